//! Equations only: no key numbers, no tables, no input or output, no rounding.

pub mod core;
pub mod hammer_geometry;
pub mod hammer_inverse;
pub mod hammer_readings;
pub mod hammer_slopes;
pub mod hammer_swing;
mod impossible;
pub mod pitch;
pub mod plain;
pub mod strength;
pub mod temperature;
pub mod winding;

pub use impossible::Impossible;
