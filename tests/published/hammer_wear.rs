//! Height lost to a flat on a round crown: derived independently.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Column, checks, exact_inputs, rows};
use feltwire::measure::{Measured, mm, to_mm};
use feltwire::physics::hammer::wear::from_flat;

const EXACT: &str = "every input is printed in full: half a unit of the column's last digit";

fn lost(row: &Inputs, flat: f64) -> f64 {
    let radius = Measured::new(mm(row.number("crown_radius_mm")), mm(0.0));
    to_mm(from_flat(Measured::new(mm(flat), mm(0.0)), radius).expect("wear").lost.value)
}

fn flat(row: &Inputs) -> f64 {
    row.number("flat_length_mm")
}

const fn exact(name: &'static str, ours: fn(&Inputs) -> f64) -> Column {
    Column { name, unit: "mm", inputs_allow: exact_inputs, reason: EXACT, ours }
}

const COLUMNS: &[Column] = &[
    exact("lost_height_exact_mm", |row| lost(row, flat(row))),
    exact("extra_for_0.5mm_longer_flat_mm", |row| {
        lost(row, flat(row) + 0.5) - lost(row, flat(row))
    }),
    // The parabola c²/(8r) is what remains of the circle for small flats: a thousandth of the flat
    // loses a millionth of it, to 1e-6 of itself.
    exact("lost_height_parabola_mm", |row| lost(row, flat(row) * 1e-3) * 1e6),
];

pub fn source() -> Source {
    Source::new(
        "hammer_wear",
        "independent derivation of the height lost to a flat",
        checks(rows(include_str!("hammer/wear.csv")), COLUMNS),
    )
}
