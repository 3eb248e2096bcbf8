//! What strings, windings and frames are made of, each property with its range and source.
//!
//! `tables/materials.toml`.

use super::source::Status;
use crate::measure::{
    MassDensity, Measured, Pressure, TemperatureCoefficient, gpa, kg_per_m3, per_kelvin,
};
use serde::Deserialize;
use std::sync::LazyLock;

/// One property of a material.
#[derive(Debug, Clone, PartialEq)]
pub struct Property<Q> {
    /// The value used.
    pub value: Q,
    /// Its standard uncertainty.
    ///
    /// A rectangular distribution from `low` to `high`: half its width over √3 when the value lies
    /// in the middle, and else the root mean square distance from the value, which is larger
    /// (JCGM 100:2008, 4.3.7).
    pub sd: Q,
    /// Lower end of what the sources give.
    pub low: Q,
    /// Upper end.
    pub high: Q,
    /// How the value came about.
    pub status: Status,
    /// Source keys, for [`citation`](super::citation).
    pub sources: Vec<String>,
    /// What the sources print, in words; may be empty.
    pub note: String,
}

impl<Q: Copy> Property<Q> {
    /// Value and standard uncertainty.
    pub fn measured(&self) -> Measured<Q> {
        Measured::new(self.value, self.sd)
    }
}

/// Where the tensile strength of a wire comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Tensile {
    /// From the series that the survey names, by diameter.
    Series,
    /// One strength at every diameter.
    Stated(Pressure),
    /// No defensible number; in words, why and what to do.
    Unsettled(String),
}

/// What a material serves for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Use {
    /// Plain strings and cores.
    Wire,
    /// Windings.
    Winding,
    /// The plate.
    Frame,
}

/// A material of strings, windings or frames.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// The name that a survey uses.
    pub name: String,
    /// What it is, in words.
    pub about: String,
    /// What it serves for.
    pub uses: Vec<Use>,
    /// Density.
    pub density: Property<MassDensity>,
    /// Young's modulus; a material without one may only be a winding.
    pub youngs_modulus: Option<Property<Pressure>>,
    /// Relative change of Young's modulus with temperature.
    pub modulus_change: Option<Property<TemperatureCoefficient>>,
    /// Thermal expansion.
    pub expansion: Option<Property<TemperatureCoefficient>>,
    /// Elastic limit in tension over tensile strength, a pure number.
    pub elastic_limit: Option<Property<f64>>,
    /// Tensile strength.
    pub tensile: Tensile,
}

impl Material {
    /// Whether it may serve as a plain string or a core.
    pub fn may_be_wire(&self) -> bool {
        self.uses.contains(&Use::Wire) && self.youngs_modulus.is_some()
    }

    /// The source keys of every property.
    pub fn sources(&self) -> impl Iterator<Item = &str> {
        let typed = [self.modulus_change.as_ref(), self.expansion.as_ref()];
        let typed = typed.into_iter().flatten().flat_map(|property| &property.sources);
        let modulus = self.youngs_modulus.iter().flat_map(|property| &property.sources);
        let limit = self.elastic_limit.iter().flat_map(|property| &property.sources);
        self.density.sources.iter().chain(modulus).chain(typed).chain(limit).map(String::as_str)
    }

    /// Whether it may serve as a winding.
    pub fn may_be_winding(&self) -> bool {
        self.uses.contains(&Use::Winding)
    }
}

/// The material called `name` in `tables/materials.toml`.
///
/// ```
/// use feltwire::measure::{to_gpa, to_kg_per_m3};
/// use feltwire::stock::material;
/// // Chabassier, Chaigne & Joly, JASA 134 (2013) 648: steel 202 GPa, 7850 kg/m3.
/// let steel = material("steel-modern").unwrap();
/// assert!((to_kg_per_m3(steel.density.value) - 7850.0).abs() < 1e-9);
/// assert!((to_gpa(steel.youngs_modulus.as_ref().unwrap().value) - 202.0).abs() < 1e-9);
/// assert!(!material("copper").unwrap().may_be_wire());
/// assert!(material("gold").is_none());
/// ```
pub fn material(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name == name)
}

/// Every material of the table.
pub fn materials() -> &'static [Material] {
    &MATERIALS
}

/// Every name of the table.
pub fn material_names() -> impl Iterator<Item = &'static str> + Clone {
    MATERIALS.iter().map(|material| material.name.as_str())
}

static MATERIALS: LazyLock<Vec<Material>> = LazyLock::new(|| {
    let file: File = toml::from_str(include_str!("../../tables/materials.toml"))
        .expect("tables/materials.toml is part of the program");
    file.material.into_iter().map(Material::from).collect()
});

#[derive(Debug, Deserialize)]
struct File {
    material: Vec<RawMaterial>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawMaterial {
    name: String,
    about: String,
    uses: Vec<Use>,
    strength: RawStrength,
    strength_note: String,
    density_kg_m3: RawProperty,
    youngs_modulus_gpa: Option<RawProperty>,
    modulus_change_per_k: Option<RawProperty>,
    thermal_expansion_per_k: Option<RawProperty>,
    elastic_limit_fraction: Option<RawProperty>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
enum RawStrength {
    Series,
    Unsettled,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawProperty {
    value: f64,
    low: f64,
    high: f64,
    status: Status,
    sources: Vec<String>,
    note: String,
}

impl RawProperty {
    fn typed<Q>(self, unit: impl Fn(f64) -> Q) -> Property<Q> {
        let (below, above) = (self.low - self.value, self.high - self.value);
        let mean_square = (below * below + below * above + above * above) / 3.0;
        Property {
            value: unit(self.value),
            sd: unit(mean_square.sqrt()),
            low: unit(self.low),
            high: unit(self.high),
            status: self.status,
            sources: self.sources,
            note: self.note,
        }
    }
}

impl From<RawMaterial> for Material {
    fn from(raw: RawMaterial) -> Self {
        Self {
            name: raw.name,
            about: raw.about,
            uses: raw.uses,
            density: raw.density_kg_m3.typed(kg_per_m3),
            youngs_modulus: raw.youngs_modulus_gpa.map(|p| p.typed(gpa)),
            modulus_change: raw.modulus_change_per_k.map(|p| p.typed(per_kelvin)),
            expansion: raw.thermal_expansion_per_k.map(|p| p.typed(per_kelvin)),
            elastic_limit: raw.elastic_limit_fraction.map(|p| p.typed(|fraction| fraction)),
            tensile: match raw.strength {
                RawStrength::Series => Tensile::Series,
                RawStrength::Unsettled => Tensile::Unsettled(raw.strength_note),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{to_gpa, to_kg_per_m3, to_per_kelvin};
    use approx::assert_relative_eq;
    use std::collections::BTreeSet;

    fn checked<Q: Copy>(name: &str, property: &Property<Q>, si: impl Fn(Q) -> f64) {
        let [low, value, high] = [property.low, property.value, property.high].map(&si);
        assert!(low <= value && value <= high, "{name}: {low} {value} {high}");
        assert!(si(property.sd) >= 0.0 && si(property.sd) < value.abs() * 0.25, "{name}");
        assert!(!property.sources.is_empty(), "{name}");
        assert!(property.sources.iter().all(|key| super::super::citation(key).is_some()), "{name}");
    }

    #[test]
    fn every_property_lies_in_its_range_and_names_its_source() {
        for material in materials() {
            let name = material.name.as_str();
            checked(name, &material.density, to_kg_per_m3);
            material.youngs_modulus.iter().for_each(|p| checked(name, p, to_gpa));
            material.modulus_change.iter().for_each(|p| checked(name, p, to_per_kelvin));
            material.expansion.iter().for_each(|p| checked(name, p, to_per_kelvin));
            material.elastic_limit.iter().for_each(|p| checked(name, p, |fraction| fraction));
            assert!(!material.about.is_empty(), "{name}");
            assert_ne!(material.tensile, Tensile::Unsettled(String::new()), "{name}");
        }
    }

    #[test]
    fn names_are_unique_and_a_wire_has_a_modulus() {
        let names: BTreeSet<_> = material_names().collect();
        assert_eq!(names.len(), materials().len());
        for material in materials() {
            let carries = material.uses.contains(&Use::Wire);
            assert_eq!(carries, material.may_be_wire(), "{}", material.name);
        }
        assert!(
            ["copper", "iron", "brass", "bronze", "aluminium"].into_iter().all(|name| material(
                name
            )
            .expect(name)
            .may_be_winding())
        );
    }

    /// Technicians' mailing list, November 2000, after a technicians' journal of July 2000: the
    /// scaling constants 24662, 24819 and 24407 are pi times density, printed to one unit.
    #[test]
    fn densities_reproduce_the_published_scaling_constants() {
        for (name, constant) in
            [("steel-modern", 24662.0), ("steel-replica-a", 24819.0), ("steel-replica-b", 24407.0)]
        {
            let density = to_kg_per_m3(material(name).expect(name).density.value);
            // Our densities are whole kg/m3, so pi times half a unit, and half a unit of theirs.
            let allowed = std::f64::consts::FRAC_PI_2 + 0.5;
            assert!((std::f64::consts::PI * density - constant).abs() <= allowed, "{name}");
        }
    }

    /// JCGM 100:2008, 4.3.7: half width over the square root of 3.
    #[test]
    fn a_value_in_the_middle_has_half_the_width_over_root_three() {
        let copper = &material("copper").expect("copper").density;
        assert_relative_eq!(to_kg_per_m3(copper.sd), 40.0 / 3f64.sqrt(), max_relative = 1e-12);
        let iron = &material("iron-historic").expect("iron").density;
        // At one end of the range: the whole width over root three.
        assert_relative_eq!(to_kg_per_m3(iron.sd), 174.0 / 3f64.sqrt(), max_relative = 1e-12);
    }

    /// Modulus over density decides inharmonicity. Young 1952 (JASA 24, 267): 25.5e10 cm²/s²;
    /// H. Fletcher 1964 (JASA 36, 203): 3.95e10 = π²/64 E/ρ, in the same unit.
    #[test]
    fn published_pairs_lie_within_two_standard_uncertainties_of_ours() {
        let steel = material("steel-modern").expect("steel");
        let modulus = steel.youngs_modulus.as_ref().expect("a wire");
        let relative = (modulus.sd / modulus.value)
            .value
            .hypot((steel.density.sd / steel.density.value).value);
        let ours = (modulus.value / steel.density.value).value;
        let fletcher = 3.95e10 * 64.0 / std::f64::consts::PI.powi(2) * 1e-4;
        for theirs in [25.5e10 * 1e-4, fletcher] {
            assert!((theirs / ours - 1.0).abs() <= 2.0 * relative, "{theirs} against {ours}");
        }
        assert!(relative < 0.02, "{relative}");
    }
}
