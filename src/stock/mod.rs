//! What can be bought and what it is made of: the embedded tables, each row with its source.
//!
//! Every figure comes from a file of `tables/`, one file per publication, whose header says what it
//! is, from where, which unit rules and how many rows it has. The tables are part of the program;
//! they are parsed once, and the tests of this room read every one.

mod caution;
mod glossary;
mod historical;
mod material;
mod pin;
mod practice;
mod source;
mod stand_in;
mod strength;
mod strike;
mod table;
#[cfg(test)]
mod tests;
mod winding;
mod wire;

pub use caution::Caution;
pub use glossary::{Term, terms};
pub use historical::TestYear;
pub use material::{Material, Property, Tensile, Use, material, material_names, materials};
pub use pin::{TuningPin, nearest_tuning_pin, tuning_pin, tuning_pins};
pub use practice::{Amount, Applies, Practice, Spread, practice, practices};
pub use source::{Status, citation, citations};
pub use stand_in::{StandIn, stand_in};
pub use strength::{Strength, StrengthSeries};
pub use strike::{StrikeBand, strike_bands, strike_range};
pub use table::{TABLES, Table};
pub use winding::WindingSizes;
pub use wire::{WireFault, WireNumber, WireSeries, WireSize};
