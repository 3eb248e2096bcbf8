//! Hexagonal cores by the corners of a polygon, and strings wound on them by finite elements (numpy,
//! scipy), computed by `hex_cores.py`: area, second moment, the winding's mass with its half spread,
//! frequencies and B at a given tension.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::rows;
use feltwire::measure::{
    Frequency, gpa, kg_per_m3, mm, newtons, to_g_per_m, to_hertz, to_square_mm,
};
use feltwire::physics::core::Core;
use feltwire::physics::string::Elastic;
use feltwire::physics::winding::{BoundedMass, Layer, layer_mass};
use feltwire::physics::{StringSpec, fit, wound};

fn core(row: &Inputs) -> Core {
    Core::Hex { across_flats: mm(row.number("flats_mm")) }
}

fn winding(row: &Inputs) -> BoundedMass {
    let metal = kg_per_m3(row.number("metal"));
    layer_mass(core(row), mm(0.0), mm(row.number("wire_mm")), metal)
}

fn modes(row: &Inputs) -> [Frequency; 16] {
    let steel =
        Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(row.number("modulus_gpa")) };
    let mut spec = StringSpec::plain(mm(row.number("length_mm")), core(row), steel);
    spec.layers.push(Layer {
        wire: mm(row.number("wire_mm")),
        density: kg_per_m3(row.number("metal")),
        bare_front: mm(row.number("front_mm")),
        bare_back: mm(row.number("back_mm")),
    });
    wound::modes(&spec, newtons(row.number("tension_n"))).expect("a string")
}

fn fitted(row: &Inputs) -> f64 {
    let partials: Vec<(u32, Frequency)> = (1..).zip(modes(row)).take(8).collect();
    fit::inharmonicity(&partials).expect("a string").inharmonicity.0
}

type Column = (&'static str, &'static str, Allowed, &'static str, fn(&Inputs) -> f64);

const PRINTED: &str = "the last digit printed";
const HULL: &str =
    "the last digit printed, and circles of 20 000 corners, whose perimeter is short by 4e-9";
const ELEMENTS: &str =
    "printed to 1e-5 Hz, 0.0003 cent at 27 Hz, and as much again for the elements themselves";
const CENTS: Allowed = Allowed::Cents(0.001);

const COLUMNS: [Column; 8] = [
    ("area_mm2", "mm²", Allowed::LastDigit, PRINTED, |row| to_square_mm(core(row).area())),
    ("second_moment_mm4", "mm⁴", Allowed::LastDigit, PRINTED, |row| {
        core(row).second_moment().value * 1e12
    }),
    ("winding_g_m", "g/m", Allowed::Absolute(6e-6), HULL, |row| to_g_per_m(winding(row).value)),
    ("half_spread_g_m", "g/m", Allowed::Absolute(6e-6), HULL, |row| {
        to_g_per_m(winding(row).half_spread)
    }),
    ("f1", "Hz", CENTS, ELEMENTS, |row| to_hertz(modes(row)[0])),
    ("f4", "Hz", CENTS, ELEMENTS, |row| to_hertz(modes(row)[3])),
    ("f8", "Hz", CENTS, ELEMENTS, |row| to_hertz(modes(row)[7])),
    (
        "b_1_to_8",
        "",
        Allowed::Share(1e-5),
        "six printed digits (5e-6), and the elements' own error",
        fitted,
    ),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for row in rows(include_str!("hex_cores.csv")) {
        let row: &'static [(&'static str, &'static str)] = row.leak();
        for &(column, unit, allowed, reason, ours) in &COLUMNS {
            checks.push(Check {
                locator: format!("{}, {column}", row[0].1).leak(),
                inputs: row,
                expected: row.iter().find(|cell| cell.0 == column).expect("a column").1,
                unit,
                class: Class::Independent,
                allowed,
                reason,
                ours,
            });
        }
    }
    let citation = "polygon and finite elements with scipy, tests/published/hex_cores.py";
    Source::new("hex_cores", citation, checks)
}
