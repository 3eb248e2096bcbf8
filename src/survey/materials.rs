//! `[[material]]` and `[wire]`.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::possible;
use super::source::At;
use super::tree::Keys;
use super::words::{meant, shown};
use crate::instrument::{Ends, Material, TensileStrength, Wire};
use crate::measure::Measured;
use crate::measure::text::{Reading, Written};
use crate::stock::{self, StrengthSeries, WireSeries};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Every material that a name of this survey may mean: its own, and the tables'.
pub(super) struct Materials<'d> {
    desk: &'d Desk<'d>,
    by_name: BTreeMap<String, Arc<Material>>,
    /// Names whose own definition is at fault: no second fault for using them.
    broken: Vec<String>,
}

/// What a material is wanted for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum For {
    Wire,
    Winding,
}

impl<'d> Materials<'d> {
    pub fn read(root: &Keys<'d>) -> Self {
        let tables =
            stock::materials().iter().map(|row| (row.name.clone(), Arc::new(Material::from(row))));
        let mut all = Self { desk: root.desk, by_name: tables.collect(), broken: Vec::new() };
        for keys in root.tables("material") {
            all.own(keys);
        }
        all
    }

    fn own(&mut self, keys: Keys) {
        let item = keys.need("name", "write a name of your own: name = \"replica-a\"");
        let name = item.as_ref().and_then(Item::name);
        let density = keys.need("density", "write density = \"7850 kg/m3\"");
        let density = density.and_then(|item| item.quantity("7850 kg/m3", possible::density()));
        let modulus = keys.quantity("youngs_modulus", "202 GPa", possible::modulus());
        let strength = keys.quantity("tensile_strength", "2046 MPa", possible::strength());
        let expansion = keys.quantity("expansion", "11.5e-6 1/K", possible::expansion());
        keys.finish();
        let (Some(item), Some(name)) = (item, name) else { return };
        let Some(density) = density else {
            self.broken.push(name);
            return;
        };
        let material = Material {
            name: name.clone(),
            density: exact_unless_stated(density),
            youngs_modulus: modulus.map(exact_unless_stated),
            expansion: expansion.map(|read| read.value),
            tensile: strength
                .map_or(TensileStrength::Series, |read| TensileStrength::Stated(read.value)),
            own: true,
        };
        if let Some(taken) = self.by_name.get(&name) {
            let by =
                if taken.own { "an earlier [[material]]" } else { "the tables of this program" };
            self.desk.fault(
                Fault::new(
                    FaultKind::MaterialTwice,
                    &item.at,
                    format!("the name `{}` is taken", shown(&name)),
                )
                .found(format!("taken by {by}"))
                .expected("a name of its own for each material")
                .remedy(format!("write another name, such as \"{}-mine\"", shown(&name))),
            );
        } else {
            self.by_name.insert(name, Arc::new(material));
        }
    }

    /// The material called `name`, which stands at `at`.
    pub fn find(&self, name: &str, at: &At, wanted: For) -> Option<Arc<Material>> {
        let Some(material) = self.by_name.get(name) else {
            if !self.broken.iter().any(|broken| broken == name) {
                self.desk.fault(self.unknown(name, at, wanted));
            }
            return None;
        };
        if wanted == For::Wire && material.youngs_modulus.is_none() {
            self.desk.fault(
                Fault::new(
                    FaultKind::MaterialWithoutModulus,
                    at,
                    format!("`{}` cannot be wire or core", shown(name)),
                )
                .found("has no Young's modulus: it may only be a winding")
                .expected("a material with a Young's modulus")
                .remedy(if material.own {
                    "add youngs_modulus = \"200 GPa\" to its [[material]]".to_owned()
                } else {
                    format!(
                        "write one of {}, or define your own [[material]]",
                        self.names(For::Wire)
                    )
                }),
            );
            return None;
        }
        Some(Arc::clone(material))
    }

    fn unknown(&self, name: &str, at: &At, wanted: For) -> Fault {
        let fault = Fault::new(
            FaultKind::UnknownMaterial,
            at,
            format!("no material is called \"{}\"", shown(name)),
        )
        .expected(format!("one of {}, or a [[material]] of this survey", self.names(wanted)));
        match meant(name, self.by_name.keys().map(String::as_str)) {
            Some(near) => fault.found(format!("did you mean \"{near}\"?")).remedy(format!("write \"{near}\"")),
            None => fault.found("neither in the tables nor in this survey").remedy(
                "write one of these names, or add a [[material]] with name, density and, for wire, youngs_modulus",
            ),
        }
    }

    fn names(&self, wanted: For) -> String {
        let fits =
            |material: &&Arc<Material>| wanted == For::Winding || material.youngs_modulus.is_some();
        let names: Vec<_> =
            self.by_name.values().filter(fits).map(|material| material.name.as_str()).collect();
        names.join(", ")
    }
}

/// A material's figure as stated; without a ± it is taken as exact.
fn exact_unless_stated<Q: Written>(read: Reading<Q>) -> Measured<Q> {
    Measured::new(read.value, read.sd.unwrap_or_else(|| Q::from_si(0.0)))
}

/// `[wire]`, and the series of music wire numbers.
pub(super) fn wire(root: &Keys, materials: &Materials) -> (Option<Wire>, Option<WireSeries>) {
    let keys = root.table("wire");
    let named = |key, default, wanted| match keys.as_ref().and_then(|keys| keys.get(key)) {
        Some(item) => item.name().and_then(|name| materials.find(&name, &item.at, wanted)),
        None => materials.by_name.get(default).cloned(),
    };
    let plain = named("plain", "steel-modern", For::Wire);
    let core = named("core", "steel-modern", For::Wire);
    let wrap = named("wrap", "copper", For::Winding);
    let Some(keys) = keys else {
        return (assemble(plain, core, wrap, Ends::default(), StrengthSeries::A228), None);
    };
    let ends = keys.word("ends", &[("pinned", Ends::Pinned), ("clamped", Ends::Clamped)]);
    let gauge = keys.word("gauge", &WireSeries::ALL.map(|series| (series.name(), series)));
    let strength = keys.get("strength").map_or(Some(StrengthSeries::A228), |item| series(&item));
    keys.finish();
    let wire = strength
        .and_then(|strength| assemble(plain, core, wrap, ends.unwrap_or_default(), strength));
    (wire, gauge)
}

fn assemble(
    plain: Option<Arc<Material>>,
    core: Option<Arc<Material>>,
    wrap: Option<Arc<Material>>,
    ends: Ends,
    strength: StrengthSeries,
) -> Option<Wire> {
    Some(Wire { plain: plain?, core: core?, wrap: wrap?, ends, strength })
}

fn series(item: &Item) -> Option<StrengthSeries> {
    let name = item.name()?;
    let found = StrengthSeries::from_name(&name);
    if found.is_none() {
        let names: Vec<_> = StrengthSeries::STANDARD.iter().map(|series| series.name()).collect();
        let fault = Fault::new(
            FaultKind::UnknownStrength,
            &item.at,
            format!("no strength series is called \"{}\"", shown(&name)),
        )
        .expected(format!("one of {}", StrengthSeries::names()));
        item.desk.fault(match meant(&name, names.iter().map(AsRef::as_ref)) {
            Some(near) => fault
                .found(format!("did you mean \"{near}\"?"))
                .remedy(format!("write \"{near}\""))
                .fix(format!("\"{near}\"")),
            None => fault
                .found("not in the tables")
                .remedy("write one of these names, or leave the line out"),
        });
    }
    found
}
