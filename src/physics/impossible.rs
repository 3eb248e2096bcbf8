//! Why a string cannot be what its figures say; for every caller of this room, who names the string.
//!
//! The conditions are those of the equations themselves: lengths, sections, densities and moduli are
//! finite and above zero, the winding lies between the ends of the string, and a string that sounds
//! f1 has T > 0. A stiff bar without tension already sounds f = (pi/2 L^2) sqrt(E I/mu) between
//! pinned ends (Rayleigh, The Theory of Sound, vol. I, art. 174): below that no tension can bring it.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm};
//! use feltwire::physics::{Impossible, core::Core, plain};
//! // A rod 5 mm thick and 100 mm long between pinned ends sounds above 1 kHz without any tension:
//! // (pi / 2 / 0.1²) · sqrt(202e9 · 0.005² / 16 / 7850) = 996 Hz.
//! let core = Core::Round { diameter: mm(5.0) };
//! let mu = core.area() * kg_per_m3(7850.0);
//! let stiffness = gpa(202.0) * core.second_moment();
//! assert!(plain::tension(mm(100.0), mu, stiffness, hertz(997.0)).is_ok());
//! assert!(matches!(
//!     plain::tension(mm(100.0), mu, stiffness, hertz(995.0)),
//!     Err(Impossible::NoTension { .. })
//! ));
//! ```

use crate::measure::{Force, Length, Measured, Sentence};
use crate::sentence;
use std::fmt;

/// Why a string cannot be what its figures say.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Impossible {
    /// An input is not a finite number above zero (not below zero, for bare ends).
    NotPositive {
        /// Which one.
        what: &'static str,
    },
    /// The stiffness of the core alone sounds at the pitch or above it.
    NoTension {
        /// The tension that the pitch would take: zero or less, `None` when only its sign is known.
        tension: Option<Force>,
    },
    /// The doubt of the tension is as large as the tension itself: it may as well be none.
    Undecided {
        /// The tension.
        tension: Force,
        /// One standard deviation of it.
        sd: Force,
    },
    /// A layer of winding has no length left between its bare ends.
    NoRoomForWinding {
        /// Counted from the core, 0 is the inner one.
        layer: usize,
        /// Both bare ends together.
        bare: Length,
        /// The string's length.
        length: Length,
    },
    /// More than two layers of winding.
    TooManyLayers {
        /// How many.
        layers: usize,
    },
    /// A diameter over the winding that is not above what lies under it.
    NoRoomForWire {
        /// Over the winding.
        over: Length,
        /// Under it.
        under: Length,
    },
    /// The weighed mass per length is not above that of the bare core.
    LighterThanCore,
    /// The figures are so far from a string that the arithmetic cannot resolve them.
    OutOfReach,
}

impl Impossible {
    /// The same with its figures, for whoever rounds them.
    pub fn said(&self) -> Sentence {
        match self {
            Self::NoTension { tension: Some(tension) } => sentence![
                "the tension would be ",
                *tension,
                ": length, wire and pitch do not belong together"
            ],
            Self::Undecided { tension, sd } => sentence![
                "the tension would be ",
                Measured::new(*tension, *sd),
                ", which does not tell it from none"
            ],
            Self::NoRoomForWinding { layer, bare, length } => sentence![
                "winding layer ",
                layer + 1,
                ": the bare ends take ",
                *bare,
                " of a string of ",
                *length
            ],
            Self::NoRoomForWire { over, under } => {
                sentence![*over, " over the winding leaves no room for wire on ", *under]
            }
            other => Sentence::words(other.to_string()),
        }
    }
}

/// In words without figures; [`Impossible::said`] has them.
impl fmt::Display for Impossible {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotPositive { what } => write!(f, "{what} is not a positive number"),
            Self::NoTension { .. } => f.write_str(
                "the tension would be below zero: length, wire and pitch do not belong together",
            ),
            Self::Undecided { .. } => f.write_str("the doubt of the tension is as large as itself"),
            Self::NoRoomForWinding { layer, .. } => {
                write!(f, "winding layer {}: the bare ends leave it no room", layer + 1)
            }
            Self::TooManyLayers { layers } => {
                write!(f, "{layers} layers of winding; one or two can be computed")
            }
            Self::NoRoomForWire { .. } => f.write_str(
                "the diameter over the winding leaves no room for wire on what lies under it",
            ),
            Self::LighterThanCore => {
                f.write_str("the weighed mass per length is not above that of the bare core")
            }
            Self::OutOfReach => f.write_str("the figures are too far from any string to compute"),
        }
    }
}

impl std::error::Error for Impossible {}

/// `value` when it is finite and above zero.
pub(crate) fn positive(value: f64, what: &'static str) -> Result<f64, Impossible> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(Impossible::NotPositive { what }) }
}
