//! Wound strings with bare ends of 2.7 to 5 % of the length, computed by `stepped_strings.py`: by finite
//! elements (scipy) at a given tension, and from a determinant with 40 digits (mpmath) at a given pitch.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::rows;
use feltwire::measure::{Frequency, gpa, hertz, kg_per_m3, mm, newtons, to_hertz, to_newtons};
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::Layer;
use feltwire::physics::{StringSpec, core::Core, fit, sound, wound};

fn spec(row: &Inputs) -> StringSpec {
    let steel = Elastic {
        density: kg_per_m3(row.number("steel")),
        youngs_modulus: gpa(row.number("modulus_gpa")),
    };
    let core = Core::Round { diameter: mm(row.number("core_mm")) };
    let mut spec = StringSpec::plain(mm(row.number("length_mm")), core, steel);
    spec.ends = if row.text("ends") == "clamped" { Ends::Clamped } else { Ends::Pinned };
    for [wire, metal, front, back] in [
        ["wire1_mm", "metal1", "front1_mm", "back1_mm"],
        ["wire2_mm", "metal2", "front2_mm", "back2_mm"],
    ] {
        if !row.text(wire).is_empty() {
            spec.layers.push(Layer {
                wire: mm(row.number(wire)),
                density: kg_per_m3(row.number(metal)),
                bare_front: mm(row.number(front)),
                bare_back: mm(row.number(back)),
            });
        }
    }
    spec
}

fn at_tension(row: &Inputs) -> [Frequency; 16] {
    wound::modes(&spec(row), newtons(row.number("tension_n"))).expect("a string")
}

fn at_pitch(row: &Inputs) -> [Frequency; 16] {
    sound(&spec(row), hertz(row.number("f1_hz"))).expect("a string").partials
}

fn fitted(row: &Inputs) -> f64 {
    let partials: Vec<(u32, Frequency)> = (1..).zip(at_tension(row)).take(8).collect();
    fit::inharmonicity(&partials).expect("a string").inharmonicity.0
}

type Column = (&'static str, &'static str, Allowed, &'static str, fn(&Inputs) -> f64);

const ELEMENTS: &str =
    "printed to 1e-5 Hz, 0.0003 cent at 27.5 Hz, and as much again for the elements themselves";
const CENTS: Allowed = Allowed::Cents(0.001);
const DIGITS: &str = "64-bit arithmetic: rounding of about 1e-13, with a margin of ten";
const ROUNDING: Allowed = Allowed::Share(1e-12);

const BY_ELEMENTS: [Column; 9] = [
    ("f1", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[0])),
    ("f2", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[1])),
    ("f3", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[2])),
    ("f4", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[3])),
    ("f5", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[4])),
    ("f6", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[5])),
    ("f7", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[6])),
    ("f8", "Hz", CENTS, ELEMENTS, |row| to_hertz(at_tension(row)[7])),
    (
        "b_1_to_8",
        "",
        Allowed::Share(1e-5),
        "six printed digits (5e-6), and the elements' own error",
        fitted,
    ),
];

const BY_DIGITS: [Column; 5] = [
    ("tension_n", "N", ROUNDING, DIGITS, |row| {
        to_newtons(sound(&spec(row), hertz(row.number("f1_hz"))).expect("a string").tension)
    }),
    ("f2", "Hz", ROUNDING, DIGITS, |row| to_hertz(at_pitch(row)[1])),
    ("f4", "Hz", ROUNDING, DIGITS, |row| to_hertz(at_pitch(row)[3])),
    ("f8", "Hz", ROUNDING, DIGITS, |row| to_hertz(at_pitch(row)[7])),
    ("f16", "Hz", ROUNDING, DIGITS, |row| to_hertz(at_pitch(row)[15])),
];

fn checks(table: &'static str, columns: &[Column]) -> Vec<Check> {
    let mut checks = Vec::new();
    for row in rows(table) {
        let row: &'static [(&'static str, &'static str)] = row.leak();
        for &(column, unit, allowed, reason, ours) in columns {
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
    checks
}

pub fn elements() -> Source {
    let citation = "finite elements with scipy, tests/published/stepped_strings.py elements";
    let table = include_str!("stepped_strings_elements.csv");
    Source::new("stepped_strings_elements", citation, checks(table, &BY_ELEMENTS))
}

pub fn digits() -> Source {
    let citation = "40-digit determinant with mpmath, tests/published/stepped_strings.py digits";
    let table = include_str!("stepped_strings_digits.csv");
    Source::new("stepped_strings_digits", citation, checks(table, &BY_DIGITS))
}
