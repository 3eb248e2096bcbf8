//! Converged Hermite finite elements by another hand: three wound strings with bare ends, and a C4 with
//! pinned and with clamped ends (`E = 202e9`, steel 7850 and copper 8900 kg/m³, touching round wire). The
//! tension is 4 f² L² μ with f the pitch without stiffness and bare ends.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Force, Frequency, Length, gpa, kg_per_m3, to_hertz};
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::{Layer, wire_from_over};
use feltwire::physics::{StringSpec, core::Core, fit, wound};

fn spec(row: &Inputs) -> StringSpec {
    let core = Core::Round { diameter: row.get("core") };
    let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
    let mut spec = StringSpec::plain(row.get("L"), core, steel);
    if let Some(over) = row.find::<Length>("over") {
        let bare = row.get::<Length>("bare");
        let wire = wire_from_over(core, over).expect("a wound string");
        let copper = Layer::full(wire, kg_per_m3(8900.0));
        spec.layers.push(Layer { bare_front: bare, bare_back: bare, ..copper });
    }
    spec
}

fn tension(row: &Inputs) -> Force {
    let spec = spec(row);
    let speed = 2.0 * spec.length * row.get::<Frequency>("f");
    spec.mass_per_length().expect("a string").0 * speed * speed
}

fn modes(row: &Inputs) -> [Frequency; 16] {
    wound::modes(&spec(row), tension(row)).expect("a string")
}

fn fitted(row: &Inputs, partials: usize) -> f64 {
    let partials: Vec<(u32, Frequency)> = (1..).zip(modes(row)).take(partials).collect();
    fit::inharmonicity(&partials).expect("a string").inharmonicity.0
}

fn first_order(row: &Inputs) -> f64 {
    let parts = wound::explain(&spec(row), tension(row)).expect("a string");
    parts.core.0 + parts.bare_ends.0
}

fn clamped(row: &Inputs) -> f64 {
    let spec = StringSpec { ends: Ends::Clamped, ..spec(row) };
    to_hertz(wound::modes(&spec, tension(row)).expect("a string")[0])
}

type Row = &'static [(&'static str, &'static str)];

/// Inputs, then f1, f2, f4, f8, f16, B over 1–8 and over 1–16, and B of core and ends to first order.
const STRINGS: [(&str, Row, [&str; 9]); 3] = [
    (
        "A",
        &[
            ("L", "1.4 m"),
            ("core", "1.0 mm"),
            ("over", "1.8 mm"),
            ("bare", "20.0 mm"),
            ("f", "55.0 Hz"),
        ],
        [
            "55.0038",
            "110.0307",
            "220.245",
            "441.9454",
            "895.1723",
            "1.3849e-04",
            "1.3606e-04",
            "1.1403e-04",
            "2.5554e-05",
        ],
    ),
    (
        "C",
        &[
            ("L", "1.013 m"),
            ("core", "1.21 mm"),
            ("over", "5.8 mm"),
            ("bare", "20.0 mm"),
            ("f", "32.7032 Hz"),
        ],
        [
            "32.7089",
            "65.4517",
            "131.173",
            "264.4432",
            "544.4121",
            "3.3846e-04",
            "3.2305e-04",
            "2.5081e-04",
            "9.6351e-05",
        ],
    ),
    (
        "G",
        &[
            ("L", "1.2 m"),
            ("core", "1.4 mm"),
            ("over", "5.0 mm"),
            ("bare", "25.0 mm"),
            ("f", "27.5 Hz"),
        ],
        [
            "27.5075",
            "55.0594",
            "110.4729",
            "223.7135",
            "468.1691",
            "5.3200e-04",
            "5.1666e-04",
            "4.3252e-04",
            "1.0861e-04",
        ],
    ),
];

const C4: Row = &[("L", "0.62 m"), ("core", "1.0 mm"), ("f", "261.6256 Hz")];

const MODES: &str = "the pitch is given to 1e-4 Hz (0.006 cent at 27.5 Hz), and so is each mode";
const FIT: &str = "five printed digits, and modes good to 0.01 cent under it";
const DIGITS: &str = "the same formula: five printed digits, with the pitch given to 4e-6";

pub fn source() -> Source {
    let mut checks = Vec::new();
    for (name, inputs, expected) in STRINGS {
        let mut add = |what: &str, expected, unit, allowed, reason, ours| {
            let locator = format!("{name}, {what}").leak();
            let class = Class::Independent;
            checks.push(Check { locator, inputs, expected, unit, class, allowed, reason, ours });
        };
        let cents = Allowed::Cents(0.015);
        add("f1", expected[0], "Hz", cents, MODES, |row: &Inputs| to_hertz(modes(row)[0]));
        add("f2", expected[1], "Hz", cents, MODES, |row| to_hertz(modes(row)[1]));
        add("f4", expected[2], "Hz", cents, MODES, |row| to_hertz(modes(row)[3]));
        add("f8", expected[3], "Hz", cents, MODES, |row| to_hertz(modes(row)[7]));
        add("f16", expected[4], "Hz", cents, MODES, |row| to_hertz(modes(row)[15]));
        add("B, 1-8", expected[5], "", Allowed::Share(5e-4), FIT, |row| fitted(row, 8));
        add("B, 1-16", expected[6], "", Allowed::Share(5e-4), FIT, |row| fitted(row, 16));
        add("B of the core", expected[7], "", Allowed::Share(1e-4), DIGITS, |row| {
            wound::explain(&spec(row), tension(row)).expect("a string").core.0
        });
        add("B of the bare ends", expected[8], "", Allowed::Share(1e-4), DIGITS, |row| {
            wound::explain(&spec(row), tension(row)).expect("a string").bare_ends.0
        });
        add(
            "first order against elements",
            expected[5],
            "",
            Allowed::Share(0.03),
            "first order in bare end over length, which is up to 2.1 %",
            first_order,
        );
    }
    let row = |locator, expected, share, reason, ours| Check {
        locator,
        inputs: C4,
        expected,
        unit: "Hz",
        class: Class::Independent,
        allowed: Allowed::Share(share),
        reason,
        ours,
    };
    checks.push(row(
        "C4 pinned, partial 16",
        "4391.2054",
        1e-6,
        "converged to 1e-6",
        |row: &Inputs| to_hertz(modes(row)[15]),
    ));
    checks.push(row(
        "C4 clamped, partial 1",
        "265.019",
        1e-5,
        "converged and printed to 4e-6",
        clamped,
    ));
    let citation = "Hermite finite elements, converged, by another hand";
    Source::new("independent_fem", citation, checks)
}
