//! Key force per gram of head in both kinds of action: calculated independently.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Column, checks, rows};
use feltwire::measure::{Angle, degrees, mm, radians, to_mm};
use feltwire::physics::hammer::geometry::Station;
use feltwire::physics::hammer::touch::{
    KeyRatio, horizontal_distance, key_force_per_gram, lean_of_grand,
};

/// The upright's printed shank angle holds the string's lean already; the grand's lies below the
/// level.
fn lean(row: &Inputs) -> Angle {
    let angle = degrees(row.number("shank_angle_deg"));
    match row.text("instrument") {
        "upright" => angle,
        "grand" => lean_of_grand(angle),
        kind => panic!("unknown kind {kind}"),
    }
}

/// The centre of mass does not depend on where the string is; any height does.
fn station(row: &Inputs) -> Station {
    Station::new(mm(50.0), mm(row.number("R_mm")), mm(row.number("e_mm"))).expect("a station")
}

fn distance(row: &Inputs) -> f64 {
    let g = mm(row.number("g_mm"));
    to_mm(horizontal_distance(&station(row), degrees(0.0), g, lean(row)).expect("a distance"))
}

fn key_force(row: &Inputs) -> f64 {
    let ratio = KeyRatio::new(radians(row.number("rad_per_mm_key")), mm(1.0)).expect("a ratio");
    let g = mm(row.number("g_mm"));
    key_force_per_gram(&station(row), degrees(0.0), g, lean(row), ratio).expect("a force")
}

const COLUMNS: &[Column] = &[
    Column {
        name: "horizontal_offset_mm",
        unit: "mm",
        inputs_allow: |_| 1.3e-3,
        reason: "half a digit, and half of 0.001° of shank angle at 145 mm: 0.0013 mm",
        ours: distance,
    },
    Column {
        name: "key_gf_per_g_of_head",
        unit: "",
        inputs_allow: |_| 1.1e-4,
        reason: "half a digit, 0.0013 mm of distance at 0.034/mm, and half of 1e-6 rad/mm at 130 mm",
        ours: key_force,
    },
];

pub fn source() -> Source {
    Source::new(
        "hammer_touch",
        "independent calculation of key force per gram of head",
        checks(rows(include_str!("hammer/touch.csv")), COLUMNS),
    )
}
