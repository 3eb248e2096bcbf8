//! Copper Wire Tables, National Bureau of Standards Handbook 100, 1966: mass of solid copper wire, from
//! memory. The tables take 8.89 g/cm³, ours 8.93 ± 0.02 for winding wire.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::POUND_IN_KG;
use feltwire::physics::core::Core;
use feltwire::stock::material;

/// Pounds per thousand feet of a solid copper wire.
fn pounds(row: &Inputs) -> f64 {
    let copper = material("copper").expect("copper");
    let per_metre = copper.density.value * Core::Round { diameter: row.get("diameter") }.area();
    per_metre.value / POUND_IN_KG * 304.8
}

macro_rules! wire {
    ($gauge:literal, $diameter:literal, $pounds:literal) => {
        Check {
            locator: $gauge,
            inputs: &[("diameter", $diameter)],
            expected: $pounds,
            unit: "lb/1000 ft",
            class: Class::Memory,
            allowed: Allowed::Share(0.0055),
            reason: "8930 against 8890 kg/m3 is 0.45 %; four digits of diameter and mass are 0.1 %",
            ours: pounds,
        }
    };
}

#[rustfmt::skip]
const CHECKS: fn() -> Vec<Check> = || vec![
    wire!("AWG 12", "0.08081 in", "19.77"),
    wire!("AWG 14", "0.06408 in", "12.43"),
    wire!("AWG 16", "0.05082 in", "7.818"),
    wire!("AWG 18", "0.04030 in", "4.917"),
    wire!("AWG 20", "0.03196 in", "3.092"),
    wire!("AWG 22", "0.02535 in", "1.945"),
];

pub fn source() -> Source {
    Source::new(
        "copper_wire_tables",
        "National Bureau of Standards, Handbook 100, Copper Wire Tables, 1966, from memory",
        CHECKS(),
    )
}
