//! Bores, shank angles, strike points, swings and crown paths: derived independently of the library
//! and checked by the table's author against a rotated outline.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Column, checks, exact_inputs, rows};
use feltwire::measure::{Length, degrees, mm, to_degrees, to_mm};
use feltwire::physics::hammer::geometry::{Contact, Head, Station};
use feltwire::physics::hammer::swing::Swing;

const EXACT: &str = "every input is printed in full: half a unit of the column's last digit";

fn station(row: &Inputs) -> Station {
    let [h, hanging, e] = ["h_mm", "R_mm", "e_mm"].map(|name| mm(row.number(name)));
    Station::new(h, hanging, e).expect("a station")
}

fn square(row: &Inputs) -> Head {
    let (rake, crown) = (degrees(row.number("rho_deg")), mm(row.number("crown_r_mm")));
    station(row).square_head(rake, crown).expect("a head")
}

/// How much shorter than a square strike wants.
fn lost(row: &Inputs) -> Length {
    -mm(row.number("bore_error_mm"))
}

fn head(row: &Inputs) -> Head {
    square(row).less(lost(row)).expect("a head")
}

fn contact(row: &Inputs) -> Contact {
    station(row).contact(&head(row)).expect("a contact")
}

fn point(row: &Inputs) -> Contact {
    station(row).contact(&head(row).pointed()).expect("a contact")
}

fn swing(row: &Inputs) -> Swing {
    station(row).swing(&head(row), mm(row.number("blow_mm"))).expect("a swing")
}

/// The shift as the loss from a square head gives it.
fn shift(row: &Inputs) -> f64 {
    let blow = mm(row.number("blow_mm"));
    to_mm(station(row).after_loss(&square(row), blow, lost(row)).expect("a loss").strike_shift)
}

fn later_blow(row: &Inputs) -> f64 {
    let blow = mm(row.number("blow_mm"));
    to_mm(station(row).blow_after_loss(&square(row), blow, lost(row)).expect("a blow"))
}

const fn length(name: &'static str, ours: fn(&Inputs) -> f64) -> Column {
    Column { name, unit: "mm", inputs_allow: exact_inputs, reason: EXACT, ours }
}

const fn angle(name: &'static str, ours: fn(&Inputs) -> f64) -> Column {
    Column { name, unit: "°", inputs_allow: exact_inputs, reason: EXACT, ours }
}

const COLUMNS: &[Column] = &[
    length("b_square_mm", |row| to_mm(square(row).bore())),
    length("b_mm", |row| to_mm(head(row).bore())),
    angle("alpha_contact_deg", |row| to_degrees(contact(row).shank_angle)),
    angle("psi_obliquity_deg", |row| to_degrees(contact(row).obliquity)),
    length("strike_s_mm", |row| to_mm(contact(row).strike)),
    length("strike_shift_mm", shift),
    angle("alpha_contact_point_tip_deg", |row| to_degrees(point(row).shank_angle)),
    length("strike_s_point_tip_mm", |row| to_mm(point(row).strike)),
    angle("alpha_rest_deg", |row| to_degrees(swing(row).rest)),
    angle("swing_deg", |row| to_degrees(swing(row).swing)),
    length("tip_arc_mm", |row| to_mm(swing(row).path)),
    length("blow_if_rest_rail_unchanged_mm", later_blow),
    angle("rubbing_angle_deg", |row| to_degrees(swing(row).rubbing)),
];

pub fn source() -> Source {
    Source::new(
        "hammer_geometry",
        "independent derivation, checked against a rotated outline to 1.5e-10 rad",
        checks(rows(include_str!("hammer/geometry.csv")), COLUMNS),
    )
}
