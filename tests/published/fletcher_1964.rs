//! H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203: B = 3.95e10 d²/(l⁴ f²), d and l in cm, f in Hz, and
//! his strings. The B of table I was worked out from his formula by a reader; the measured ones are his.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{Force, Frequency, Length, Pressure, gpa, hertz, kg_per_m3, to_metres};
use feltwire::physics::{core::Core, fit, plain};

type Row = &'static [(&'static str, &'static str)];

/// B with the tension of a string without stiffness, as in his formula.
fn inharmonicity(row: &Inputs, modulus: Pressure) -> f64 {
    let core = Core::Round { diameter: row.get("d") };
    let length = row.get::<Length>("l");
    let speed = 2.0 * length * row.get::<Frequency>("f");
    let tension: Force = core.area() * kg_per_m3(7850.0) * speed * speed;
    plain::inharmonicity(length, modulus * core.second_moment(), tension).0
}

/// With his constant: pi² (E/rho)/64 = 3.95e10 in cm and s is E/rho = 2.561e7 m²/s².
fn with_his_constant(row: &Inputs) -> f64 {
    inharmonicity(row, gpa(2.561e7 * 7850.0 * 1e-9))
}

fn with_200_gpa(row: &Inputs) -> f64 {
    inharmonicity(row, gpa(200.0))
}

/// B l⁴ f²/d², cm and Hz, for a steel of that modulus and 7850 kg/m³.
fn constant(row: &Inputs) -> f64 {
    let [d, l] = ["d", "l"].map(|name| 100.0 * to_metres(row.get::<Length>(name)));
    let f = row.get::<Frequency>("f").value;
    inharmonicity(row, row.get("E")) * l.powi(4) * (f / d).powi(2)
}

/// From partials `f_n = n (F + slope n²)`.
fn from_slope(row: &Inputs) -> f64 {
    let (first, slope) = (row.number("F"), row.number("slope"));
    let partial = |n: u32| (n, hertz(f64::from(n) * (first + slope * f64::from(n * n))));
    fit::inharmonicity(&[partial(1), partial(2)]).expect("partials").inharmonicity.0
}

const A4: Row = &[("d", "0.099 cm"), ("l", "43.6 cm"), ("f", "440.0 Hz")];
const G5: Row = &[("d", "0.094 cm"), ("l", "23.8 cm"), ("f", "783.991 Hz")];
const C8: Row = &[("d", "0.079 cm"), ("l", "4.9 cm"), ("f", "4186.009 Hz")];

const ROUNDED: &str = "B is written with three digits, 0.1 to 0.2 %";
const OTHER_MODULUS: &str =
    "E/rho = 2.548e7 instead of 2.561e7 m2/s2 takes 0.5 %; the rest is rounding";

pub fn source() -> Source {
    let row = |locator, inputs, expected, class, share, reason, ours| Check {
        locator,
        inputs,
        expected,
        unit: "",
        class,
        allowed: Allowed::Share(share),
        reason,
        ours,
    };
    let (independent, measured) = (Class::Independent, Class::Measured);
    let checks = vec![
        Check {
            locator: "the constant",
            inputs: &[("E", "201.07 GPa"), ("d", "0.099 cm"), ("l", "43.6 cm"), ("f", "440.0 Hz")],
            expected: "3.95e10",
            unit: "Hz2 cm2",
            class: Class::Printed,
            allowed: Allowed::LastDigit,
            reason: "half a unit of the last printed digit; E is the one that 7850 kg/m3 makes of it",
            ours: constant,
        },
        row(
            "table I, key 49",
            A4,
            "0.000553",
            independent,
            0.003,
            ROUNDED,
            with_his_constant as fn(&Inputs) -> f64,
        ),
        row(
            "table I, key 49, E 200 GPa",
            A4,
            "0.000553",
            independent,
            0.008,
            OTHER_MODULUS,
            with_200_gpa,
        ),
        row("table I, key 59", G5, "0.00177", independent, 0.003, ROUNDED, with_his_constant),
        row(
            "table I, key 59, E 200 GPa",
            G5,
            "0.00177",
            independent,
            0.008,
            OTHER_MODULUS,
            with_200_gpa,
        ),
        row("table I, key 88", C8, "0.0244", independent, 0.003, ROUNDED, with_his_constant),
        row(
            "table I, key 88, E 200 GPa",
            C8,
            "0.0244",
            independent,
            0.008,
            OTHER_MODULUS,
            with_200_gpa,
        ),
        row(
            "table IV and eq. 26b",
            &[("F", "776.7"), ("slope", "0.650")],
            "0.00167",
            measured,
            0.005,
            "three printed digits (0.3 %), and his B = 2 slope/F is the first order of our fit (0.2 %); \
             0.000167 printed under the table is a misprint by ten",
            from_slope,
        ),
        row(
            "table IV, key 59, measured",
            &[("d", "0.094 cm"), ("l", "23.8 cm"), ("f", "776.7 Hz")],
            "0.00167",
            measured,
            0.10,
            "a model against a measurement: he finds 8 %",
            with_his_constant,
        ),
    ];
    let citation = "H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203-209";
    Source::new("fletcher_1964", citation, checks).without(vec![Excluded {
        locator: "table III, key 31: 4.21e-4 by formula, 4.44e-4 measured",
        reason: "diameter and length of the string were not read: nothing of ours can be computed",
    }])
}
