//! Figures of practice, where an instrument's own were not read: always a spread, never one number.

use super::figure::Figure;
use crate::instrument::Kind;
use crate::measure::{to_degrees, to_grams, to_kg_per_m3, to_mm};
use crate::stock::{Amount, Applies, Spread, practice};

/// Which rows of practice speak of a kind of instrument.
pub(super) fn applies(kind: Kind) -> Applies {
    match kind {
        Kind::Upright => Applies::Upright,
        Kind::Grand => Applies::Grand,
    }
}

/// Lowest, usual and highest in mm, g, °, g/mm³, or as a number.
fn figures(amount: Amount) -> Spread<f64> {
    fn each<Q: Copy>(of: Spread<Q>, read: impl Fn(Q) -> f64) -> Spread<f64> {
        Spread { low: of.low.map(&read), typical: of.typical.map(&read), high: of.high.map(&read) }
    }
    match amount {
        Amount::Length(of) => each(of, to_mm),
        Amount::Mass(of) => each(of, to_grams),
        Amount::Angle(of) => each(of, to_degrees),
        Amount::Density(of) => each(of, |density| to_kg_per_m3(density) * 1e-6),
        Amount::Number(of) => of,
    }
}

/// Lowest and highest of the first row of `key` that gives both.
pub(super) fn spread(key: &str, kind: Applies) -> Option<(f64, f64)> {
    practice(key, kind).map(|row| figures(row.amount)).find_map(|of| Some((of.low?, of.high?)))
}

/// The highest figure that any row of `key` gives.
pub(super) fn highest(key: &str, kind: Applies) -> Option<f64> {
    practice(key, kind)
        .map(|row| figures(row.amount))
        .filter_map(|of| of.high.or(of.typical))
        .max_by(f64::total_cmp)
}

/// The middle of a spread, and the standard deviation of a value anywhere in it (the width over √12).
pub(super) fn anywhere((low, high): (f64, f64)) -> Figure {
    (f64::midpoint(low, high), (high - low) / 12_f64.sqrt())
}
