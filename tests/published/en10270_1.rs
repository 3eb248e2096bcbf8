//! EN 10270-1:2011, grade SH, least tensile strength of patented drawn wire, as reprinted in a spring
//! maker's glossary, against the default series: two standards for like wire.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::to_mpa;
use feltwire::stock::StrengthSeries;

/// Least tensile strength of ASTM A228, the default, in megapascals.
fn a228(row: &Inputs) -> f64 {
    to_mpa(StrengthSeries::A228.strength(row.get("diameter")).expect("a piano size").min)
}

macro_rules! row {
    ($diameter:literal, $mpa:literal) => {
        Check {
            locator: concat!("SH, ", $diameter),
            inputs: &[("diameter", $diameter)],
            expected: $mpa,
            unit: "MPa",
            class: Class::Printed,
            allowed: Allowed::Share(0.05),
            reason: "two standards: each rounds its minimum, and neither copies the other",
            ours: a228,
        }
    };
}

#[rustfmt::skip]
const CHECKS: fn() -> Vec<Check> = || vec![
    row!("0.70 mm", "2360"),
    row!("0.80 mm", "2310"),
    row!("1.00 mm", "2230"),
    row!("1.10 mm", "2200"),
    row!("1.20 mm", "2170"),
    row!("1.25 mm", "2150"),
    row!("1.30 mm", "2140"),
    row!("1.40 mm", "2110"),
    row!("1.50 mm", "2090"),
    row!("1.60 mm", "2060"),
    row!("1.70 mm", "2040"),
    row!("1.80 mm", "2020"),
    row!("1.90 mm", "2000"),
    row!("2.00 mm", "1980"),
];

pub fn source() -> Source {
    Source::new("en10270_1", "EN 10270-1:2011, grade SH, as reprinted", CHECKS())
}
