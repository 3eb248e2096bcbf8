//! The plain string's closed form against the same in 50 digits: `closed_form_50_digits.py`.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::rows;
use feltwire::measure::{gpa, hertz, kg_per_m3, mm, to_hertz, to_kg_per_s, to_newtons};
use feltwire::physics::string::Elastic;
use feltwire::physics::{Sounding, StringSpec, core::Core, sound};

fn sounding(row: &Inputs) -> Sounding {
    let core = match row.text("round_mm") {
        "" => Core::Hex { across_flats: mm(row.number("hex_mm")) },
        _ => Core::Round { diameter: mm(row.number("round_mm")) },
    };
    let steel = Elastic {
        density: kg_per_m3(row.number("density")),
        youngs_modulus: gpa(row.number("modulus_gpa")),
    };
    let spec = StringSpec::plain(mm(row.number("length_mm")), core, steel);
    sound(&spec, hertz(row.number("f1_hz"))).expect("a string")
}

type Ours = fn(&Inputs) -> f64;

const COLUMNS: [(&str, &str, Ours); 5] = [
    ("tension_n", "N", |row| to_newtons(sounding(row).tension)),
    ("b", "", |row| sounding(row).inharmonicity.0),
    ("f8_hz", "Hz", |row| to_hertz(sounding(row).partials[7])),
    ("impedance", "kg/s", |row| to_kg_per_s(sounding(row).impedance)),
    ("longitudinal_hz", "Hz", |row| to_hertz(sounding(row).longitudinal)),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for row in rows(include_str!("closed_form_50_digits.csv")) {
        let row: &'static [(&'static str, &'static str)] = row.leak();
        for (column, unit, ours) in COLUMNS {
            let cell = row.iter().find(|cell| cell.0 == column).expect("a column");
            checks.push(Check {
                locator: format!("{}, {column}", row[0].1).leak(),
                inputs: row,
                expected: cell.1,
                unit,
                class: Class::Independent,
                allowed: Allowed::Share(1e-12),
                reason: "64-bit arithmetic through about ten operations, with a margin of a hundred",
                ours,
            });
        }
    }
    let citation = "50-digit evaluation with mpmath, tests/published/closed_form_50_digits.py";
    Source::new("closed_form_50_digits", citation, checks)
}
