//! E. Oberg, F. D. Jones, H. H. Ryffel, Machinery's Handbook, Industrial Press, 2012: music wire gauge,
//! as an independent library of fluid mechanics holds it. `machinery_2012.py` beside this file prints
//! the list again. The whole numbers of `tables/music_wire_inch.csv` come from the same handbook, so this
//! guards the copying; Nos. 6 to 26 agree with a second publication that the table names.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::to_inches;
use feltwire::stock::{WireSeries, WireSize};

fn diameter(row: &Inputs) -> f64 {
    let size = WireSize::parse(row.text("number"), WireSeries::Inch).expect("an inch size");
    to_inches(size.diameter())
}

macro_rules! size {
    ($number:literal, $inch:literal) => {
        Check {
            locator: concat!("No. ", $number),
            inputs: &[("number", $number)],
            expected: $inch,
            unit: "in",
            class: Class::Printed,
            allowed: Allowed::LastDigit,
            reason: "a nominal size, printed in full",
            ours: diameter,
        }
    };
}

#[rustfmt::skip]
const CHECKS: fn() -> Vec<Check> = || vec![
    size!("6", "0.016"),
    size!("7", "0.018"),
    size!("8", "0.020"),
    size!("9", "0.022"),
    size!("10", "0.024"),
    size!("11", "0.026"),
    size!("12", "0.029"),
    size!("13", "0.031"),
    size!("14", "0.033"),
    size!("15", "0.035"),
    size!("16", "0.037"),
    size!("17", "0.039"),
    size!("18", "0.041"),
    size!("19", "0.043"),
    size!("20", "0.045"),
    size!("21", "0.047"),
    size!("22", "0.049"),
    size!("23", "0.051"),
    size!("24", "0.055"),
    size!("25", "0.059"),
    size!("26", "0.063"),
    size!("27", "0.067"),
    size!("28", "0.071"),
    size!("29", "0.075"),
    size!("30", "0.080"),
    size!("31", "0.085"),
    size!("32", "0.090"),
    size!("33", "0.095"),
];

pub fn source() -> Source {
    Source::new(
        "machinery_2012",
        "Oberg, Jones & Ryffel, Machinery's Handbook, Industrial Press, 2012, music wire gauge, by way \
         of the Python library fluids 1.3.1",
        CHECKS(),
    )
}
