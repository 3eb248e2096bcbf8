//! Hammers, actions and touch as found in practice: bands to be surprised by, not limits.
//!
//! `tables/hammer_practice.csv`. Several rows of one key are several opinions.

use super::source::Status;
use super::table;
use crate::measure::{
    Angle, Length, Mass, MassDensity, POUND_IN_KG, degrees, grams, kg_per_m3, kilograms, mm,
};
use serde::Deserialize;
use std::sync::LazyLock;

/// Which instruments a row speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Applies {
    /// Grands.
    Grand,
    /// Uprights.
    Upright,
    /// Both.
    Both,
}

impl Applies {
    /// Whether a row for `self` speaks of `kind`.
    pub fn to(self, kind: Self) -> bool {
        self == kind || self == Self::Both || kind == Self::Both
    }
}

/// Lowest, usual and highest, as far as the source gives them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<Q> {
    /// Lowest.
    pub low: Option<Q>,
    /// Usual.
    pub typical: Option<Q>,
    /// Highest.
    pub high: Option<Q>,
}

/// A spread in its own kind of quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// A length.
    Length(Spread<Length>),
    /// A mass.
    Mass(Spread<Mass>),
    /// An angle.
    Angle(Spread<Angle>),
    /// A density.
    Density(Spread<MassDensity>),
    /// A pure number; key force over head weight is one.
    Number(Spread<f64>),
}

/// One row of practice.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    /// What it is about, in one word: `bore-bass`, `head-mass-1`, `down-weight`.
    pub key: String,
    /// The same in the source's words.
    pub item: String,
    /// Which instruments.
    pub applies: Applies,
    /// How much.
    pub amount: Amount,
    /// How the row came about.
    pub status: Status,
    /// Source keys.
    pub source: String,
    /// What the source prints; may be empty.
    pub note: String,
}

/// The rows of `key` that speak of `kind`.
///
/// ```
/// use feltwire::measure::{grams, mm};
/// use feltwire::stock::{Amount, Applies, practice};
/// // Technicians' mailing list, January 2004: grands are bored 55 to 59 mm in the bass.
/// let bass = practice("bore-bass", Applies::Grand).next().unwrap();
/// assert!(matches!(bass.amount, Amount::Length(spread) if spread.low == Some(mm(55.0))));
/// assert!(practice("bore-nowhere", Applies::Grand).next().is_none());
/// ```
pub fn practice(key: &str, kind: Applies) -> impl Iterator<Item = &'static Practice> {
    PRACTICE.iter().filter(move |row| row.key == key && row.applies.to(kind))
}

/// Every row.
pub fn practices() -> &'static [Practice] {
    &PRACTICE
}

#[derive(Debug, Deserialize)]
struct Raw {
    key: String,
    item: String,
    instrument: Applies,
    low: String,
    typical: String,
    high: String,
    unit: Unit,
    source: String,
    status: Status,
    note: String,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum Unit {
    #[serde(rename = "mm")]
    Millimetre,
    #[serde(rename = "g")]
    Gram,
    #[serde(rename = "lb")]
    Pound,
    #[serde(rename = "deg")]
    Degree,
    #[serde(rename = "g/cm3")]
    GramPerCubicCentimetre,
    #[serde(rename = "1", alias = "gf/g")]
    One,
}

impl Raw {
    fn spread<Q>(&self, unit: impl Fn(f64) -> Q) -> Spread<Q> {
        let read = |cell| table::number(cell).map(&unit);
        Spread { low: read(&self.low), typical: read(&self.typical), high: read(&self.high) }
    }

    fn amount(&self) -> Amount {
        match self.unit {
            Unit::Millimetre => Amount::Length(self.spread(mm)),
            Unit::Gram => Amount::Mass(self.spread(grams)),
            Unit::Pound => Amount::Mass(self.spread(|lb| kilograms(lb * POUND_IN_KG))),
            Unit::Degree => Amount::Angle(self.spread(degrees)),
            Unit::GramPerCubicCentimetre => {
                Amount::Density(self.spread(|density| kg_per_m3(density * 1e3)))
            }
            Unit::One => Amount::Number(self.spread(|number| number)),
        }
    }
}

static PRACTICE: LazyLock<Vec<Practice>> = LazyLock::new(|| {
    let row = |raw: Raw| Practice {
        amount: raw.amount(),
        key: raw.key,
        item: raw.item,
        applies: raw.instrument,
        status: raw.status,
        source: raw.source,
        note: raw.note,
    };
    table::rows(include_str!("../../tables/hammer_practice.csv")).into_iter().map(row).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    fn in_order<Q: PartialOrd + Copy>(spread: Spread<Q>) -> bool {
        let given: Vec<Q> =
            [spread.low, spread.typical, spread.high].into_iter().flatten().collect();
        !given.is_empty() && given.is_sorted()
    }

    #[test]
    fn every_row_gives_a_figure_and_its_figures_are_in_order() {
        for row in practices() {
            let sound = match row.amount {
                Amount::Length(spread) => in_order(spread),
                Amount::Mass(spread) => in_order(spread),
                Amount::Angle(spread) => in_order(spread),
                Amount::Density(spread) => in_order(spread),
                Amount::Number(spread) => in_order(spread),
            };
            assert!(sound, "{row:?}");
        }
    }

    #[test]
    fn rows_for_both_kinds_are_found_for_each() {
        for kind in [Applies::Grand, Applies::Upright] {
            assert_eq!(practice("dip", kind).next().map(|row| row.applies), Some(Applies::Both));
        }
        assert!(practice("balance", Applies::Both).next().is_none());
        assert!(practice("rake", Applies::Upright).all(|row| row.applies != Applies::Grand));
    }
}
