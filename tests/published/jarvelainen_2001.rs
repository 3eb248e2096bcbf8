//! H. Järveläinen, V. Välimäki, M. Karjalainen, Acoust. Res. Lett. Online 2 (2001) 79: inharmonicity that
//! is just heard, ln B = 2.57 ln f − 26.5 (as quoted in a secondary text), over a thousandfold range.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::Inharmonicity;
use feltwire::physics::typical::just_audible;

fn range(row: &Inputs) -> f64 {
    let at =
        |name: &str| -> Inharmonicity { just_audible(row.get(name)).expect("within the range") };
    at("high").0 / at("low").0
}

pub fn source() -> Source {
    let check = Check {
        locator: "threshold at 1108.7 Hz over that at 55 Hz",
        inputs: &[("low", "55 Hz"), ("high", "1108.7 Hz")],
        expected: ">1000",
        unit: "",
        class: Class::Printed,
        allowed: Allowed::Bound,
        reason: "stated as more than a thousand",
        ours: range,
    };
    let citation =
        "H. Järveläinen, V. Välimäki, M. Karjalainen, Acoust. Res. Lett. Online 2 (2001) 79";
    let reason =
        "a threshold of hearing, which Feltwire does not compute: every real string lies above it";
    let excluded = |locator| Excluded { locator, reason };
    Source::new("jarvelainen_2001", citation, vec![check]).without(vec![
        excluded("threshold at 55 Hz"),
        excluded("threshold at 110 Hz"),
        excluded("threshold at 220 Hz"),
        excluded("threshold at 440 Hz"),
        excluded("threshold at 1046.5 Hz"),
        excluded("threshold at 2093 Hz"),
    ])
}
