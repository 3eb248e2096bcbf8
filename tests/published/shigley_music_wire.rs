//! Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table 10-4: least tensile
//! strength of music wire, `A / d^m` with A = 2211 N/mm² at 1 mm and m = 0.145, for 0.10 to 6.5 mm;
//! read as two public programs cite it. Each expected value is that formula, worked apart.
//!
//! Two constants cannot follow the table: the law lies above it by 1 to 3 % from 0.5 to 2 mm (the
//! European and Japanese minima at 2 mm lie between the two) and by 7 % at 6 mm. It is a check
//! against a wrong row or unit, no better figure.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::to_mpa;
use feltwire::stock::StrengthSeries;

fn a228(row: &Inputs) -> f64 {
    to_mpa(StrengthSeries::A228.strength(row.get("diameter")).expect("in the table").min)
}

macro_rules! row {
    ($diameter:literal, $mpa:literal) => {
        Check {
            locator: concat!("music wire, ", $diameter),
            inputs: &[("diameter", $diameter)],
            expected: $mpa,
            unit: "MPa",
            class: Class::Independent,
            allowed: Allowed::Share(0.05),
            reason: "two constants for all sizes: as far as the standards for like wire differ among themselves",
            ours: a228,
        }
    };
}

#[rustfmt::skip]
const CHECKS: fn() -> Vec<Check> = || vec![
    row!("0.50 mm", "2445"),
    row!("0.80 mm", "2284"),
    row!("1.00 mm", "2211"),
    row!("1.20 mm", "2153"),
    row!("1.60 mm", "2065"),
    row!("2.00 mm", "2000"),
];

pub fn source() -> Source {
    Source::new(
        "shigley_music_wire",
        "Budynas & Nisbett, Shigley's Mechanical Engineering Design, 10th ed., table 10-4, second-hand",
        CHECKS(),
    )
}
