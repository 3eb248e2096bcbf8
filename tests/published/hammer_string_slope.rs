//! A grand's heights over a rising string, and what boring by the plain height does: derived
//! independently.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Column, checks, exact_inputs, rows};
use feltwire::measure::{Length, Measured, degrees, mm, to_degrees, to_mm};
use feltwire::physics::hammer::geometry::{Contact, Head, Station};
use feltwire::physics::hammer::readings::height_over_rising_string;

const EXACT: &str = "every input is printed in full: half a unit of the column's last digit";

fn height(row: &Inputs) -> Length {
    let [height, across] =
        ["H_case_mm", "X_case_mm"].map(|name| Measured::new(mm(row.number(name)), mm(0.0)));
    let rise = Measured::new(degrees(row.number("tau_deg")), degrees(0.0));
    height_over_rising_string(height, across, rise).expect("a height").value
}

/// The head hangs where the height was read; a grand's shank has no offset.
fn station(row: &Inputs) -> Station {
    Station::new(height(row), mm(row.number("X_case_mm")), mm(0.0)).expect("a station")
}

fn bore(row: &Inputs, rake: f64) -> f64 {
    to_mm(station(row).square_bore(degrees(rake)).expect("a bore"))
}

/// The shank is level when the string rises by the shank's angle to it.
fn bore_with_level_shank(row: &Inputs) -> f64 {
    bore(row, row.number("tau_deg"))
}

fn naive(row: &Inputs) -> Contact {
    let head = Head::new(mm(row.number("H_case_mm")), degrees(0.0), mm(0.0)).expect("a head");
    station(row).contact(&head).expect("a contact")
}

const fn exact(name: &'static str, unit: &'static str, ours: fn(&Inputs) -> f64) -> Column {
    Column { name, unit, inputs_allow: exact_inputs, reason: EXACT, ours }
}

const COLUMNS: &[Column] = &[
    exact("h_perp_mm", "mm", |row| to_mm(height(row))),
    exact("bore_if_90deg_mm", "mm", |row| bore(row, 0.0)),
    exact("bore_if_shank_level_mm", "mm", bore_with_level_shank),
    exact("check_level_formula_mm", "mm", bore_with_level_shank),
    exact("psi_if_naive_bore_deg", "°", |row| to_degrees(naive(row).obliquity)),
    exact("strike_minus_R_if_naive_mm", "mm", |row| {
        to_mm(naive(row).strike) - row.number("X_case_mm")
    }),
];

pub fn source() -> Source {
    Source::new(
        "hammer_string_slope",
        "independent derivation of the height over a rising string",
        checks(rows(include_str!("hammer/string_slope.csv")), COLUMNS),
    )
}
