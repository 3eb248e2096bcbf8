//! What must hold whatever the numbers: identities and limits, one method against another, there
//! and back again. No expected value here comes from Feltwire.

mod cases;
mod decide_cases;
mod decide_piano;
mod finite_elements;
mod hammer_geometry;
mod hammer_orders;
mod hammer_sideways;
mod hammer_strike;
mod hammer_touch;
mod hammer_wear;
mod string_elements;
mod string_identities;
mod string_slopes;
