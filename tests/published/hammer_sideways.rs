//! Side angles, rake on the face and gaps between heads: derived independently of the library; the
//! gaps checked by the table's author against rigid rotation in three dimensions.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Column, checks, exact_inputs, rows};
use feltwire::measure::{Length, degrees, mm, to_degrees, to_mm};
use feltwire::physics::hammer::sideways::{FaceAngles, Neighbours, Pass, face_angles};

const EXACT: &str = "every input is printed in full: half a unit of the column's last digit";

fn face(row: &Inputs) -> FaceAngles {
    let [splay, rake] = ["splay_beta_deg", "rake_rho_deg"].map(|name| degrees(row.number(name)));
    face_angles(splay, rake).expect("a face")
}

fn heads(row: &Inputs) -> Neighbours {
    let [pitch, width] = ["pitch_mm", "head_width_mm"].map(|name| mm(row.number(name)));
    let [side, tilt] = ["side_angle_deg", "tilt_deg"].map(|name| degrees(row.number(name)));
    Neighbours::new(pitch, width, side, tilt).expect("heads")
}

/// Of the side to which the far ends are turned, where the gap of a lifted head is narrower.
fn passing(row: &Inputs, square: Length) -> f64 {
    let pass = Pass::new(degrees(18.3), mm(130.0), square).expect("a pass");
    to_mm(heads(row).passing_gaps(&pass).turned_side)
}

const fn exact(name: &'static str, unit: &'static str, ours: fn(&Inputs) -> f64) -> Column {
    Column { name, unit, inputs_allow: exact_inputs, reason: EXACT, ours }
}

const FACES: &[Column] = &[
    exact("hole_to_face_gamma_deg", "°", |row| to_degrees(face(row).side)),
    exact("rake_on_face_deg", "°", |row| to_degrees(face(row).rake_on_face)),
];

const GAPS: &[Column] = &[
    exact("gap_both_at_rest_perp_mm", "mm", |row| to_mm(heads(row).rest_gap())),
    exact("gap_lifted_n20_mm", "mm", |row| passing(row, mm(20.0))),
    exact("gap_lifted_n30_mm", "mm", |row| passing(row, mm(30.0))),
    exact("gap_lifted_n40_mm", "mm", |row| passing(row, mm(40.0))),
    exact("gap_lifted_n50_mm", "mm", |row| passing(row, mm(50.0))),
];

pub fn faces() -> Source {
    Source::new(
        "hammer_side_bore",
        "independent derivation of hole-to-face angle and rake on the face",
        checks(rows(include_str!("hammer/side_bore.csv")), FACES),
    )
}

pub fn gaps() -> Source {
    Source::new(
        "hammer_gaps",
        "independent derivation, checked against rigid rotation in three dimensions",
        checks(rows(include_str!("hammer/gaps.csv")), GAPS),
    )
}
