//! The strings of `cases.toml`.

use feltwire::measure::{Frequency, g_per_m, gpa, hertz, kg_per_m3, mm};
use feltwire::physics::StringSpec;
use feltwire::physics::core::Core;
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::Layer;
use serde::Deserialize;

/// One string at its pitch.
pub struct Case {
    pub name: String,
    pub spec: StringSpec,
    pub pitch: Frequency,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    case: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    length_mm: f64,
    core_mm: f64,
    #[serde(default)]
    hex: bool,
    pitch_hz: f64,
    steel_density: Option<f64>,
    modulus_gpa: Option<f64>,
    weighed_g_m: Option<f64>,
    #[serde(default)]
    clamped: bool,
    #[serde(default)]
    layers: Vec<LayerRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LayerRow {
    wire_mm: f64,
    density: f64,
    bare_front_mm: f64,
    bare_back_mm: f64,
}

/// Every case of the file.
pub fn all() -> Vec<Case> {
    let file: File = toml::from_str(include_str!("cases.toml")).expect("cases.toml");
    file.case.into_iter().map(case).collect()
}

fn case(row: Row) -> Case {
    let size = mm(row.core_mm);
    let core =
        if row.hex { Core::Hex { across_flats: size } } else { Core::Round { diameter: size } };
    let steel = Elastic {
        density: kg_per_m3(row.steel_density.unwrap_or(7850.0)),
        youngs_modulus: gpa(row.modulus_gpa.unwrap_or(202.0)),
    };
    let mut spec = StringSpec::plain(mm(row.length_mm), core, steel);
    spec.layers = row
        .layers
        .iter()
        .map(|layer| Layer {
            wire: mm(layer.wire_mm),
            density: kg_per_m3(layer.density),
            bare_front: mm(layer.bare_front_mm),
            bare_back: mm(layer.bare_back_mm),
        })
        .collect();
    spec.weighed = row.weighed_g_m.map(g_per_m);
    spec.ends = if row.clamped { Ends::Clamped } else { Ends::Pinned };
    Case { name: row.name, spec, pitch: hertz(row.pitch_hz) }
}
