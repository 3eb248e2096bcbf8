//! A reading as the number that curves are laid through, and back.

use crate::measure::{Length, Mass, Measured, grams, mm, to_grams, to_mm};

/// A value and its standard deviation, in the unit of the curve.
pub(super) type Figure = (f64, f64);

/// Value and doubt in millimetres.
pub(super) fn in_mm(length: Measured<Length>) -> Figure {
    (to_mm(length.value), to_mm(length.sd))
}

/// A length from value and doubt in millimetres.
pub(super) fn from_mm((value, sd): Figure) -> Measured<Length> {
    Measured::new(mm(value), mm(sd))
}

/// Value and doubt in grams.
pub(super) fn in_grams(mass: Measured<Mass>) -> Figure {
    (to_grams(mass.value), to_grams(mass.sd))
}

/// A mass from value and doubt in grams.
pub(super) fn from_grams((value, sd): Figure) -> Measured<Mass> {
    Measured::new(grams(value), grams(sd))
}
