//! J. Chabassier, thesis, École Polytechnique, 2012: ten notes of one instrument, wound set. Tension
//! without stiffness, T = 4 f0² L² ρ A, with an effective density for the wound notes.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{MassDensity, gpa, to_newtons};
use feltwire::physics::string::Elastic;
use feltwire::physics::{StringSpec, core::Core, sound};

type Row = &'static [(&'static str, &'static str)];

/// T (1 + B): the author leaves out the share that stiffness carries.
fn tension_without_stiffness(row: &Inputs) -> f64 {
    let core = Core::Round { diameter: row.get("d") };
    let density = row.get::<MassDensity>("rho");
    let steel = Elastic { density, youngs_modulus: gpa(202.0) };
    let spec = StringSpec::plain(row.get("L"), core, steel);
    let sounding = sound(&spec, row.get("f0")).expect("a string");
    to_newtons(sounding.tension) * (1.0 + sounding.inharmonicity.0)
}

const NOTES: [(&str, Row, &str, f64); 10] = [
    (
        "D#1",
        &[("f0", "38.98 Hz"), ("L", "1.965 m"), ("d", "1.492 mm"), ("rho", "43195 kg/m3")],
        "1773",
        0.0022,
    ),
    (
        "C2",
        &[("f0", "65.56 Hz"), ("L", "1.602 m"), ("d", "1.051 mm"), ("rho", "23919 kg/m3")],
        "915",
        0.0026,
    ),
    (
        "F3",
        &[("f0", "175.01 Hz"), ("L", "0.96 m"), ("d", "1.049 mm"), ("rho", "7850 kg/m3")],
        "766",
        0.0030,
    ),
    (
        "C#5",
        &[("f0", "555.6 Hz"), ("L", "0.326 m"), ("d", "0.928 mm"), ("rho", "7850 kg/m3")],
        "695",
        0.0051,
    ),
    (
        "G6",
        &[("f0", "1571.35 Hz"), ("L", "0.124 m"), ("d", "0.86 mm"), ("rho", "7850 kg/m3")],
        "689",
        0.0102,
    ),
    (
        "C7",
        &[("f0", "2098.32 Hz"), ("L", "0.095 m"), ("d", "0.831 mm"), ("rho", "7850 kg/m3")],
        "670",
        0.0127,
    ),
    (
        "G#2",
        &[("f0", "104.06 Hz"), ("L", "1.591 m"), ("d", "1.095 mm"), ("rho", "7589 kg/m3")],
        "783",
        0.0025,
    ),
    (
        "A3",
        &[("f0", "220.49 Hz"), ("L", "0.773 m"), ("d", "1.027 mm"), ("rho", "7850 kg/m3")],
        "755",
        0.0033,
    ),
    (
        "G#5",
        &[("f0", "832.54 Hz"), ("L", "0.223 m"), ("d", "0.904 mm"), ("rho", "7850 kg/m3")],
        "696",
        0.0066,
    ),
    (
        "F#7",
        &[("f0", "2965.15 Hz"), ("L", "0.069 m"), ("d", "0.787 mm"), ("rho", "7850 kg/m3")],
        "631",
        0.0168,
    ),
];

pub fn source() -> Source {
    let checks = NOTES.map(|(locator, inputs, expected, share)| Check {
        locator,
        inputs,
        expected,
        unit: "N",
        class: Class::Printed,
        allowed: Allowed::Share(share),
        reason: "L is printed to 1 mm, d to 0.001 mm, T to 1 N: the sum of half their last digits",
        ours: tension_without_stiffness,
    });
    let citation =
        "J. Chabassier, thesis, École Polytechnique, 2012, tables of ten notes, wound set";
    Source::new("chabassier_2012", citation, checks.into())
}
