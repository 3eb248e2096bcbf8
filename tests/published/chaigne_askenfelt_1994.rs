//! A. Chaigne, A. Askenfelt, J. Acoust. Soc. Am. 95 (1994) 1631, table I, three strings, as read in C.
//! Saitis, dissertation, Belfast 2008, table 4.1, which states alterations in several cases.
//! ε = E I/(T L²), so that B = π² ε; hammer masses are per string.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{
    BendingStiffness, Force, Length, Mass, gpa, kg_per_m3, to_grams, to_hertz,
};
use feltwire::physics::{core::Core, hammer::strike, plain};

type Row = &'static [(&'static str, &'static str)];

fn frequency(row: &Inputs) -> f64 {
    let length = row.get::<Length>("L");
    let mu = row.get::<Mass>("Ms") / length;
    to_hertz(plain::ideal_frequency(length, mu, row.get("T")))
}

fn mass_ratio(row: &Inputs) -> f64 {
    strike::mass_ratio(row.get("Mh"), row.get("Ms")).expect("a ratio")
}

fn whole_hammer(row: &Inputs) -> f64 {
    to_grams(row.get::<Mass>("Mh")) * row.number("strings")
}

/// B of a string whose E I is ε T L².
fn inharmonicity(row: &Inputs) -> f64 {
    let (length, tension) = (row.get::<Length>("L"), row.get::<Force>("T"));
    let stiffness: BendingStiffness = tension * length * length * row.number("epsilon");
    plain::inharmonicity(length, stiffness, tension).0
}

/// ε of a steel wire of the string's mass: 7850 kg/m³, `E = 200e9`.
fn epsilon(row: &Inputs) -> f64 {
    let length = row.get::<Length>("L");
    let area = row.get::<Mass>("Ms") / length / kg_per_m3(7850.0);
    let unit = Core::Round { diameter: length };
    let core = unit.with_size(length * (area / unit.area()).sqrt());
    let stiffness = gpa(200.0) * core.second_moment();
    plain::inharmonicity(length, stiffness, row.get("T")).0 / std::f64::consts::PI.powi(2)
}

const C2: Row =
    &[("L", "1.92 m"), ("Ms", "35.0 g"), ("T", "750 N"), ("epsilon", "7.5e-6"), ("Mh", "4.9 g")];
const C4: Row = &[
    ("L", "0.62 m"),
    ("Ms", "3.93 g"),
    ("T", "670 N"),
    ("epsilon", "3.82e-5"),
    ("Mh", "2.97 g"),
    ("strings", "3"),
];
const C7: Row = &[
    ("L", "0.09 m"),
    ("Ms", "0.467 g"),
    ("T", "750 N"),
    ("epsilon", "8.67e-4"),
    ("Mh", "2.2 g"),
    ("strings", "3"),
];

const SAME: &str = "computed from the same printed numbers";
const PITCH: &str = "length and mass are printed to 2–3 digits: within 4 and 16 cents of the note";
const RATIO: &str = "a ratio written with 2–3 digits";
const HAMMER: &str = "against the hammer of J. Woodhouse, Euphonics 12.2.1, table 1, another instrument: \
                      it shows that masses are per string";
const OTHER_STEEL: &str = "E of the source is not stated (200 GPa here) and goes in with its share; the diameter \
             comes from the mass and goes in with its fourth power";
const PI_SQUARED: &str = "algebra: pi^2 times the printed epsilon";

fn checks() -> Vec<Check> {
    let row = |locator, inputs, expected, unit, class, allowed, reason, ours| Check {
        locator,
        inputs,
        expected,
        unit,
        class,
        allowed,
        reason,
        ours,
    };
    let (measured, independent) = (Class::Measured, Class::Independent);
    let share = Allowed::Share;
    vec![
        row(
            "C2, f from T, L, Ms",
            C2,
            "52.8221",
            "Hz",
            independent,
            share(0.0005),
            SAME,
            frequency as fn(&Inputs) -> f64,
        ),
        row(
            "C4, f from T, L, Ms",
            C4,
            "262.1895",
            "Hz",
            independent,
            share(0.0005),
            SAME,
            frequency,
        ),
        row("C7, f from T, L, Ms", C7, "2112.1", "Hz", independent, share(0.0005), SAME, frequency),
        row("C4, pitch", C4, "261.626", "Hz", measured, share(0.003), PITCH, frequency),
        row("C7, pitch", C7, "2093.005", "Hz", measured, share(0.01), PITCH, frequency),
        row("C2, hammer over string", C2, "0.14", "", independent, share(0.01), RATIO, mass_ratio),
        row("C4, hammer over string", C4, "0.756", "", independent, share(0.01), RATIO, mass_ratio),
        row("C7, hammer over string", C7, "4.71", "", independent, share(0.01), RATIO, mass_ratio),
        row(
            "C4, hammer for three strings",
            C4,
            "9",
            "g",
            measured,
            share(0.02),
            HAMMER,
            whole_hammer,
        ),
        row(
            "C7, hammer for three strings",
            C7,
            "6",
            "g",
            measured,
            share(0.15),
            HAMMER,
            whole_hammer,
        ),
        row(
            "C2, B",
            C2,
            "7.40220e-5",
            "",
            independent,
            Allowed::LastDigit,
            PI_SQUARED,
            inharmonicity,
        ),
        row(
            "C4, B",
            C4,
            "3.77019e-4",
            "",
            independent,
            Allowed::LastDigit,
            PI_SQUARED,
            inharmonicity,
        ),
        row(
            "C7, B",
            C7,
            "8.55695e-3",
            "",
            independent,
            Allowed::LastDigit,
            PI_SQUARED,
            inharmonicity,
        ),
        row(
            "C4, epsilon from the wire of its mass",
            C4,
            "3.82e-5",
            "",
            measured,
            share(0.06),
            OTHER_STEEL,
            epsilon,
        ),
    ]
}

pub fn source() -> Source {
    let citation = "A. Chaigne, A. Askenfelt, J. Acoust. Soc. Am. 95 (1994) 1631, table I, as in C. \
                    Saitis, dissertation, Belfast 2008, table 4.1";
    Source::new("chaigne_askenfelt_1994", citation, checks()).without(vec![
        Excluded {
            locator: "C2, pitch",
            reason: "its own T, L and mass sound 370 cents below C2 (C2 would take 1150 N)",
        },
        Excluded {
            locator: "C7, epsilon from the wire of its mass",
            reason: "32 % off: the set is not one geometry",
        },
    ])
}
