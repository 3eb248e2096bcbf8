//! H. Fletcher, E. D. Blackham, R. Stratton, J. Acoust. Soc. Am. 34 (1962) 749, tables I, VI and VII:
//! `f_n = n f0 sqrt(1 + B n²)` as worked out there. Arithmetic only: the B printed for G5 and G6 is far
//! below that of such strings.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Inharmonicity, to_hertz};
use feltwire::physics::plain;

fn partial(row: &Inputs) -> f64 {
    let b = Inharmonicity(row.number("B"));
    to_hertz(plain::partial(row.get("f0"), b, row.number("n") as u32))
}

type Row = &'static [(&'static str, &'static str)];

const ROWS: [(&str, Row, &str); 5] = [
    ("A0, n = 1", &[("f0", "27.5 Hz"), ("n", "1"), ("B", "0.00053")], "27.51"),
    ("G5, n = 1", &[("f0", "779.0 Hz"), ("n", "1"), ("B", "0.0002")], "779.1"),
    ("G5, n = 2", &[("f0", "779.0 Hz"), ("n", "2"), ("B", "0.0002")], "1558.6"),
    ("G6, n = 1", &[("f0", "1568.0 Hz"), ("n", "1"), ("B", "0.0002")], "1568.2"),
    ("G6, n = 2", &[("f0", "1568.0 Hz"), ("n", "2"), ("B", "0.0002")], "3137"),
];

pub fn source() -> Source {
    let checks = ROWS.map(|(locator, inputs, expected)| Check {
        locator,
        inputs,
        expected,
        unit: "Hz",
        class: Class::Printed,
        allowed: Allowed::LastDigit,
        reason: "half a unit of the last printed digit",
        ours: partial,
    });
    let citation = "H. Fletcher, E. D. Blackham, R. Stratton, J. Acoust. Soc. Am. 34 (1962) 749, tables I, VI, VII";
    Source::new("fletcher_1962", citation, checks.into())
}
