//! Equations only: no key numbers, no tables, no input or output, no rounding.

mod beam;
pub mod beats;
pub mod core;
mod cut;
pub mod fit;
mod hammer_fault;
pub mod hammer_geometry;
pub mod hammer_inverse;
pub mod hammer_readings;
pub mod hammer_sideways;
pub mod hammer_slopes;
pub mod hammer_swing;
pub mod hammer_wear;
mod impossible;
pub mod pitch;
pub mod plain;
pub mod sensitivity;
mod stepped;
pub mod strength;
pub mod strike;
pub mod string;
pub mod temperature;
pub mod touch;
pub mod typical;
pub mod winding;
pub mod wound;

pub use hammer_fault::HammerFault;
pub use impossible::Impossible;
pub use sensitivity::{Sensitivities, Slope, sensitivities};
pub use string::{Sounding, StringSpec, sound};
