//! Why a hammer's figures cannot be; for every caller of this room, who names the hammer.
//!
//! The conditions are those of the equations themselves: readings are finite, lengths and masses
//! above zero, angles against a square less than 90°, arc sines and arc cosines within their range.
//! Source: each module beside this one, with its equations. It leaves out what is merely unwise.
//!
//! ```
//! use feltwire::measure::{degrees, mm};
//! use feltwire::physics::{HammerFault, hammer::geometry::{Head, Station}};
//! // By Pythagoras a tip 50 mm up a shank of 120 mm reaches 130 mm from the centre and no further.
//! let head = Head::new(mm(50.0), degrees(0.0), mm(0.0)).unwrap();
//! let station = |height| Station::new(mm(height), mm(120.0), mm(0.0)).unwrap();
//! assert!(station(129.9).contact(&head).is_ok());
//! assert_eq!(station(130.1).contact(&head), Err(HammerFault::OutOfReach));
//! ```

use crate::measure::{Angle, Length, metres, to_radians};
use std::f64::consts::FRAC_PI_2;
use std::fmt;

/// Why a hammer's figures cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum HammerFault {
    /// A figure is not a finite number.
    NotFinite(&'static str),
    /// A figure that must be above zero is not.
    NotPositive(&'static str),
    /// A figure that must not be below zero is.
    Negative(&'static str),
    /// An angle of 90° or more where only less makes sense.
    TooSteep(&'static str),
    /// A crown radius as long as the bore, or longer.
    CrownBeyondShank,
    /// No shank angle brings this crown to this string.
    OutOfReach,
    /// The blow is longer than the head can swing back.
    BlowTooLong,
    /// No rake gives this obliquity with this bore.
    NoRake,
    /// More felt lost than the head is high.
    NothingLeft,
    /// A flat wider than the whole crown.
    FlatBeyondCrown,
    /// The outline is not wider below the flat than at it.
    OutlineDoesNotWiden,
    /// An up weight above the down weight.
    UpAboveDown,
}

impl fmt::Display for HammerFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite(what) => write!(f, "{what} is not a finite number; read it again"),
            Self::NotPositive(what) => write!(f, "{what} must be above zero; read it again"),
            Self::Negative(what) => write!(f, "{what} must not be below zero; read it again"),
            Self::TooSteep(what) => write!(f, "{what} must be less than 90° either way"),
            Self::CrownBeyondShank => f.write_str(
                "the crown radius is not smaller than the bore; check crown radius and bore",
            ),
            Self::OutOfReach => f.write_str(
                "the crown cannot meet the string at any shank angle; \
                 check bore, string height, hanging distance and shank offset",
            ),
            Self::BlowTooLong => f.write_str(
                "the head cannot swing back as far as the blow; check blow, bore and string height",
            ),
            Self::NoRake => f.write_str(
                "no rake gives this obliquity with this bore; check bore, string height and \
                 hanging distance",
            ),
            Self::NothingLeft => {
                f.write_str("more felt is lost than the head is high; check the loss and the bore")
            }
            Self::FlatBeyondCrown => f.write_str(
                "the flat is wider than the crown it was worn from; check flat and crown radius",
            ),
            Self::OutlineDoesNotWiden => f.write_str(
                "the outline is no wider below the flat than at it; check both widths and the depth",
            ),
            Self::UpAboveDown => f.write_str(
                "the up weight is above the down weight; were the two exchanged?",
            ),
        }
    }
}

impl std::error::Error for HammerFault {}

pub(crate) fn finite(value: f64, what: &'static str) -> Result<f64, HammerFault> {
    if value.is_finite() { Ok(value) } else { Err(HammerFault::NotFinite(what)) }
}

pub(crate) fn positive(value: f64, what: &'static str) -> Result<f64, HammerFault> {
    if finite(value, what)? > 0.0 { Ok(value) } else { Err(HammerFault::NotPositive(what)) }
}

pub(crate) fn not_negative(value: f64, what: &'static str) -> Result<f64, HammerFault> {
    if finite(value, what)? >= 0.0 { Ok(value) } else { Err(HammerFault::Negative(what)) }
}

/// The angle in radians, if it is less than a right angle either way.
pub(crate) fn slant(angle: Angle, what: &'static str) -> Result<f64, HammerFault> {
    let value = finite(to_radians(angle), what)?;
    if value.abs() < FRAC_PI_2 { Ok(value) } else { Err(HammerFault::TooSteep(what)) }
}

/// A length that comes out of the geometry: above zero and finite, or the figures cannot be.
pub(crate) fn within_reach(length: f64) -> Result<Length, HammerFault> {
    if length > 0.0 && length.is_finite() {
        Ok(metres(length))
    } else {
        Err(HammerFault::OutOfReach)
    }
}
