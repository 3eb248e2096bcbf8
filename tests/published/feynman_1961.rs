//! R. P. Feynman, letter of 1961, Physics Today 62 (12) (2009) 46: stiffness raises the pitch of a round
//! string by df/f = (π/2) E A² μ f²/T², which is B/2.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Force, Frequency, Length, MassDensity, Pressure};
use feltwire::physics::{core::Core, plain};

fn half_b(row: &Inputs) -> f64 {
    let core = Core::Round { diameter: row.get("d") };
    let length = row.get::<Length>("L");
    let mu = core.area() * row.get::<MassDensity>("rho");
    // The tension without stiffness, as in the letter.
    let speed = 2.0 * length * row.get::<Frequency>("f");
    let tension: Force = mu * speed * speed;
    let stiffness = row.get::<Pressure>("E") * core.second_moment();
    plain::inharmonicity(length, stiffness, tension).0 / 2.0
}

pub fn source() -> Source {
    let check = Check {
        locator: "df/f, worked out for a C4",
        inputs: &[
            ("L", "0.62 m"),
            ("d", "1.0 mm"),
            ("E", "200 GPa"),
            ("rho", "7850 kg/m3"),
            ("f", "261.6256 Hz"),
        ],
        expected: "0.0001942329391456439",
        unit: "",
        class: Class::Independent,
        allowed: Allowed::Share(1e-12),
        reason: "one formula against the other, exact but for rounding",
        ours: half_b,
    };
    let citation = "R. P. Feynman, letter of 1961, Physics Today 62 (12) (2009) 46";
    Source::new("feynman_1961", citation, vec![check])
}
