//! What must hold whatever the numbers: identities and limits, one method against another, there
//! and back again. No expected value here comes from Feltwire.

mod breakage_calibration;
mod breaks_bad_input;
mod breaks_examples;
mod breaks_simulated;
mod breaks_stands_out;
mod breaks_survey;
mod cases;
mod decide_cases;
mod decide_piano;
mod decide_rules;
mod finite_elements;
mod hammer_geometry;
mod hammer_mistakes;
mod hammer_orders;
mod hammer_received;
mod hammer_sideways;
mod hammer_simulation;
mod hammer_strike;
mod hammer_touch;
mod hammer_wear;
mod plan;
mod restring_brute_force;
mod string_coverage;
mod string_doubt;
mod string_draws;
mod string_elements;
mod string_explained;
mod string_identities;
mod string_orders;
mod string_pitches;
mod string_property;
mod string_slopes;
mod strings_survey;
mod tuning;
