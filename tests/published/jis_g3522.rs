//! JIS G 3522, grade SWP-B, least tensile strength of piano wire, as reprinted in two places, against
//! the default series: two standards for like wire.

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
            locator: concat!("SWP-B, ", $diameter),
            inputs: &[("diameter", $diameter)],
            expected: $mpa,
            unit: "MPa",
            class: Class::Printed,
            allowed: Allowed::Share(0.05),
            reason: "two standards; this one steps by 50 MPa, 2.2 %",
            ours: a228,
        }
    };
}

#[rustfmt::skip]
const CHECKS: fn() -> Vec<Check> = || vec![
    row!("0.70 mm", "2400"),
    row!("0.80 mm", "2350"),
    row!("0.90 mm", "2300"),
    row!("1.00 mm", "2260"),
    row!("1.20 mm", "2210"),
    row!("1.40 mm", "2160"),
    row!("1.60 mm", "2110"),
    row!("1.80 mm", "2060"),
    row!("2.00 mm", "2010"),
];

pub fn source() -> Source {
    Source::new("jis_g3522", "JIS G 3522, grade SWP-B, as reprinted", CHECKS())
}
