//! Equations only: no key numbers, no tables, no input or output, no rounding.

mod beam;
pub mod beats;
pub mod core;
mod cut;
pub mod fit;
pub mod hammer;
mod impossible;
pub mod pitch;
pub mod plain;
pub mod sensitivity;
mod stepped;
pub mod strength;
pub mod string;
pub mod temperature;
pub mod typical;
pub mod warm;
pub mod winding;
pub mod wound;

pub use hammer::HammerFault;
pub use impossible::Impossible;
pub use sensitivity::{Sensitivities, Slope, sensitivities};
pub use string::{Sounding, StringSpec, sound};
