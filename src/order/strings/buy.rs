//! What can be bought for this piano: the merchant's and the string maker's own lists where the survey
//! has them, else the sizes that the tables list.

use super::choice::Wire;
use crate::instrument::belief::{Belief, BelievedString};
use crate::instrument::{CoreShape, Instrument, Material, TensileStrength};
use crate::measure::{Length, to_mm};
use crate::scale::spec::spec_of;
use crate::stock::{WindingSizes, WireSeries, WireSize, material};
use std::sync::Arc;

/// Winding wires of less difference are one size (proposal, no source).
const APART: f64 = 0.03;

/// Sizes to choose among, each list from the thinnest.
#[derive(Debug, Clone)]
pub(super) struct Stock {
    /// Plain wire.
    pub plain: Vec<Wire>,
    /// Core wire.
    pub cores: Vec<Wire>,
    /// Winding wire.
    pub windings: Vec<Length>,
    /// Shapes of core beside the one found.
    pub shapes: Vec<CoreShape>,
}

impl Stock {
    /// What `instrument`'s survey lists, or the tables.
    pub fn of(instrument: &Instrument, belief: &Belief) -> Self {
        let wishes = &instrument.supply;
        let series = wishes.series.unwrap_or_else(|| series_in_use(belief));
        let listed = |own: &[WireSize]| -> Vec<Wire> {
            let mut wires: Vec<Wire> = if own.is_empty() {
                series.listed().map(of_size).collect()
            } else {
                own.iter().copied().map(of_size).collect()
            };
            sort(&mut wires);
            wires
        };
        let mut cores = listed(&wishes.cores);
        if wishes.cores.is_empty() {
            // A midpoint that nobody lists can be had where the old string maker had it.
            let old = belief.notes.iter().filter_map(|note| note.string.as_ref());
            let wound = old.filter(|string| string.winding.is_some());
            cores.extend(wound.filter_map(|string| nearest_of_all(series, string)));
            sort(&mut cores);
        }
        let windings = match &wishes.winding {
            Some(own) => own.iter().collect(),
            None => with_those_found(&WindingSizes::default(), instrument, belief),
        };
        Self { plain: listed(&wishes.plain), cores, windings, shapes: wishes.shapes.clone() }
    }

    /// The plain wire nearest to `diameter`.
    pub fn nearest_plain(&self, diameter: Length) -> Option<Wire> {
        nearest(&self.plain, diameter).map(|at| self.plain[at])
    }

    /// Cores within `reach` sizes of the one nearest to `diameter`.
    pub fn cores_about(&self, diameter: Length, reach: usize) -> &[Wire] {
        let Some(at) = nearest(&self.cores, diameter) else { return &[] };
        &self.cores[at.saturating_sub(reach)..(at + reach + 1).min(self.cores.len())]
    }
}

/// The rank of a wire among all: thicker is larger, one size is one rank.
pub(super) fn rank(wire: Wire) -> usize {
    // Nanometres: no two sizes lie so close.
    (to_mm(wire.diameter) * 1e6) as usize
}

/// The material of new wire in the place of `old`: the survey's, but never one of which nobody can
/// say what it bears.
pub(super) fn new_material(old: &Arc<Material>) -> Arc<Material> {
    match &old.tensile {
        TensileStrength::Unsettled(_) => material("steel-modern")
            .map_or_else(|| Arc::clone(old), |modern| Arc::new(Material::from(modern))),
        TensileStrength::Series | TensileStrength::Stated(_) => Arc::clone(old),
    }
}

/// The lists of the tables, and beyond their ends the wires found: the old string maker had them.
fn with_those_found(
    listed: &WindingSizes,
    instrument: &Instrument,
    belief: &Belief,
) -> Vec<Length> {
    let mut sizes: Vec<Length> = listed.iter().collect();
    let strings = belief.notes.iter().filter_map(|note| note.string.as_ref());
    let specs = strings.filter_map(|string| spec_of(string, instrument.wire.ends).ok());
    for layer in specs.flat_map(|spec| spec.layers) {
        let beyond = sizes.first().is_some_and(|first| layer.wire < *first * (1.0 - APART))
            || sizes.last().is_some_and(|last| layer.wire > *last * (1.0 + APART));
        if beyond {
            sizes.push(layer.wire);
            sizes.sort_by(|a, b| to_mm(*a).total_cmp(&to_mm(*b)));
        }
    }
    sizes
}

fn of_size(size: WireSize) -> Wire {
    Wire { diameter: size.diameter(), size: Some(size) }
}

fn sort(wires: &mut Vec<Wire>) {
    wires.sort_by_key(|wire| rank(*wire));
    wires.dedup_by_key(|wire| rank(*wire));
}

fn nearest(wires: &[Wire], diameter: Length) -> Option<usize> {
    let off = |wire: &Wire| (to_mm(wire.diameter) - to_mm(diameter)).abs();
    (0..wires.len()).min_by(|a, b| off(&wires[*a]).total_cmp(&off(&wires[*b])))
}

fn nearest_of_all(series: WireSeries, string: &BelievedString) -> Option<Wire> {
    let all: Vec<Wire> = series.sizes().map(of_size).collect();
    nearest(&all, string.core.value).map(|at| all[at])
}

/// The series of the numbers that were read; the inch series where none was.
fn series_in_use(belief: &Belief) -> WireSeries {
    let sizes = belief.notes.iter().filter_map(|note| note.string.as_ref()?.size);
    sizes.map(WireSize::series).next().unwrap_or(WireSeries::Inch)
}
