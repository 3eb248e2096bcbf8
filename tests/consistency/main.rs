//! What must hold whatever the numbers: identities and limits, one method against another, there
//! and back again. No expected value here comes from Feltwire.

mod cases;
mod hammer_geometry;
mod hammer_sideways;
mod hammer_strike;
mod hammer_touch;
mod hammer_wear;
mod string_slopes;
