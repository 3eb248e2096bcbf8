//! ISO 3, preferred numbers, series R20: `10^(k/20)`, rounded. From memory.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Length, to_mm};
use feltwire::stock::WindingSizes;

/// The winding wire of our list that lies nearest to the size looked for.
fn nearest(row: &Inputs) -> f64 {
    to_mm(WindingSizes::r20().nearest(row.get::<Length>("size")).expect("a list of sizes"))
}

/// How many sizes our list has in one decade.
fn in_a_decade(row: &Inputs) -> f64 {
    let (from, to) = (row.get::<Length>("from"), row.get::<Length>("below"));
    WindingSizes::r20().iter().filter(|size| *size >= from && *size < to).count() as f64
}

macro_rules! size {
    ($locator:literal, $size:literal) => {
        Check {
            locator: $locator,
            inputs: &[("size", concat!($size, " mm"))],
            expected: $size,
            unit: "mm",
            class: Class::Memory,
            allowed: Allowed::LastDigit,
            reason: "preferred numbers are exact by definition",
            ours: nearest,
        }
    };
}

#[rustfmt::skip]
const SIZES: fn() -> Vec<Check> = || vec![
    size!("R20 no. 0", "1.000"),
    size!("R20 no. 1", "1.120"),
    size!("R20 no. 2", "1.250"),
    size!("R20 no. 3", "1.400"),
    size!("R20 no. 4", "1.600"),
    size!("R20 no. 5", "1.800"),
    size!("R20 no. 6", "0.200"),
    size!("R20 no. 7", "0.224"),
    size!("R20 no. 8", "0.250"),
    size!("R20 no. 9", "0.280"),
    size!("R20 no. 10", "0.315"),
    size!("R20 no. 11", "0.355"),
    size!("R20 no. 12", "0.400"),
    size!("R20 no. 13", "0.450"),
    size!("R20 no. 14", "0.500"),
    size!("R20 no. 15", "0.560"),
    size!("R20 no. 16", "0.630"),
    size!("R20 no. 17", "0.710"),
    size!("R20 no. 18", "0.800"),
    size!("R20 no. 19", "0.900"),
    size!("R20 no. 6, next decade", "2.000"),
];

pub fn source() -> Source {
    let mut checks = SIZES();
    checks.push(Check {
        locator: "sizes to the decade",
        inputs: &[("from", "0.2 mm"), ("below", "2.0 mm")],
        expected: "20",
        unit: "",
        class: Class::Memory,
        allowed: Allowed::LastDigit,
        reason: "a count",
        ours: in_a_decade,
    });
    Source::new("iso_3", "ISO 3, preferred numbers, series R20, from memory", checks)
}
