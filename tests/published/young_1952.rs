//! R. W. Young, J. Acoust. Soc. Am. 24 (1952) 267, abstract: inharmonicity of plain wire.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{
    Cents, Force, Frequency, Inharmonicity, Length, Note, gpa, hertz, kg_per_m3, to_metres,
};
use feltwire::physics::string::Elastic;
use feltwire::physics::{StringSpec, core::Core, plain, sound};

/// Cents of the first partial times l⁴ f²/d², cm and Hz, for E/rho of 25.5e10 in cm and s.
fn constant(row: &Inputs) -> f64 {
    let core = Core::Round { diameter: row.get("d") };
    let length = row.get::<Length>("l");
    let f = row.get::<Frequency>("f");
    let density = kg_per_m3(7850.0);
    let tension: Force = core.area() * density * (2.0 * length * f) * (2.0 * length * f);
    let modulus = gpa(row.number("Q/rho in cm2/s2") * 1e-4 * 7850.0 * 1e-9);
    let b = plain::inharmonicity(length, modulus * core.second_moment(), tension);
    let cents: Cents = plain::above_ideal(b, 1);
    let [d, l] = [row.get("d"), length].map(|length| 100.0 * to_metres(length));
    cents.0 * l.powi(4) * (f.value / d).powi(2)
}

/// Of a plain note of J. Woodhouse's instrument (steel 7800 kg/m³, `E = 210e9`).
fn inharmonicity(length: Length, core: Length, note: &str) -> Inharmonicity {
    let steel = Elastic { density: kg_per_m3(7800.0), youngs_modulus: gpa(210.0) };
    let spec = StringSpec::plain(length, Core::Round { diameter: core }, steel);
    let pitch = Note::parse(note).expect("a note").frequency(hertz(440.0));
    sound(&spec, pitch).expect("a string").inharmonicity
}

fn second_partial_of_middle_c(row: &Inputs) -> f64 {
    plain::above_ideal(inharmonicity(row.get("L"), row.get("core"), "C4"), 2).0
}

fn growth_in_two_octaves(row: &Inputs) -> f64 {
    let c4 = inharmonicity(row.get("L of C4"), row.get("core of C4"), "C4");
    let c6 = inharmonicity(row.get("L of C6"), row.get("core of C6"), "C6");
    c6.0 / c4.0
}

pub fn source() -> Source {
    let checks = vec![
        Check {
            locator: "cents = 3.4e13 n^2 d^2/(f^2 l^4)",
            inputs: &[
                ("Q/rho in cm2/s2", "25.5e10"),
                ("d", "0.1 cm"),
                ("l", "200 cm"),
                ("f", "440 Hz"),
            ],
            expected: "3.4e13",
            unit: "cents cm2 Hz2",
            class: Class::Printed,
            allowed: Allowed::Share(0.005),
            reason: "two printed digits allow 1.5 %; three of Q/rho allow 0.2 %",
            ours: constant,
        },
        Check {
            locator: "1.2 cents at the second partial of middle C",
            inputs: &[("L", "639 mm"), ("core", "1.0 mm")],
            expected: "1.2",
            unit: "cents",
            class: Class::Measured,
            allowed: Allowed::Factor(1.2),
            reason: "his instruments against the C4 of J. Woodhouse, Euphonics 12.2.1, table 1",
            ours: second_partial_of_middle_c,
        },
        Check {
            locator: "doubles every eight semitones above middle C: eightfold in two octaves",
            inputs: &[
                ("L of C4", "639 mm"),
                ("core of C4", "1.0 mm"),
                ("L of C6", "181 mm"),
                ("core of C6", "0.85 mm"),
            ],
            expected: "8",
            unit: "",
            class: Class::Measured,
            allowed: Allowed::Factor(1.25),
            reason: "his instruments against J. Woodhouse's C4 and C6: eight semitones, give or take one",
            ours: growth_in_two_octaves,
        },
    ];
    let citation = "R. W. Young, J. Acoust. Soc. Am. 24 (1952) 267, abstract";
    Source::new("young_1952", citation, checks)
}
