//! The mass of every head: samples as new, and an even curve over the compass.
//!
//! Heads of a set are cut from one pressed strip that tapers from bass to treble, so that their mass runs evenly
//! across the breaks; what a single sample has beyond the curve is its own. Felt gone by wear is added back
//! first: the segment that the flat cut off, r² acos(k/r) − k √(r² − k²) with k = r − lost, times the
//! width of the head, times the density of pressed felt.

use super::curve::Curve;
use super::figure::{Figure, from_grams, in_grams, in_mm};
use super::sample::{Sample, WearFigures};
use super::usual::{anywhere, spread};
use crate::instrument::{HammerRow, Instrument};
use crate::measure::trend::Prior;
use crate::measure::{Mass, Measured, to_grams};
use crate::stock::Applies;

/// Mass of a head along the keys before any reading, g: 10 at one end, 4 at the other, its slope wandering
/// slowly (common practice for the ends, the rest a proposal). The wander is not estimated: few readings would
/// let a bad one pass for a bend.
const MASS_ALONG_THE_KEYS: Prior =
    Prior { slope: -0.07, slope_sd: 0.03, roughness: 0.003, roughness_factor: 1.0 };
/// How far heads of one set scatter about an even curve, g (one standard deviation; proposal).
const HEAD_TO_HEAD_G: f64 = 0.15;

/// The mass of one sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassFigures {
    /// As weighed.
    pub weighed: Measured<Mass>,
    /// Felt gone by wear and filing.
    pub felt_lost: Measured<Mass>,
    /// Whether that was computed from the flat, or taken between the bounds of practice.
    pub felt_lost_computed: bool,
    /// As new: weighed and felt together.
    pub as_new: Measured<Mass>,
    /// As new over the curve, minus 1; `None` with fewer than three samples.
    pub off_curve: Option<f64>,
}

/// Density of the felt at a crown, g/mm³: between that of the sheet, as in the bass, and that times the ratio of
/// treble to bass after pressing.
fn crown_density() -> Option<Figure> {
    let (low, high) = spread("sheet-density", Applies::Both)?;
    let (_, ratio) = spread("density-ratio", Applies::Both)?;
    Some(anywhere((low, high * ratio)))
}

/// Felt lost from the flat: the segment cut off times width and density, g.
fn from_flat(row: &HammerRow, wear: WearFigures) -> Option<Figure> {
    let (width, of_width) = in_mm(row.width?);
    let (radius, _) = in_mm(wear.radius?);
    let (lost, of_lost) = in_mm(wear.lost);
    let (density, of_density) = crown_density()?;
    if wear.beyond_range || row.filed {
        return None;
    }
    let flat = (radius - lost).clamp(0.0, radius);
    let half = (radius * radius - flat * flat).max(0.0).sqrt();
    let area = radius * radius * (flat / radius).acos() - flat * half;
    let felt = area * width * density;
    // The area grows by the flat's own length for each millimetre lost.
    let sd = (2.0 * half * of_lost * width * density)
        .hypot(area * of_width * density)
        .hypot(area * width * of_density);
    Some((felt, sd))
}

/// The mass of every sample that was weighed, and the curve over the compass, g.
pub(super) fn weigh(instrument: &Instrument, samples: &mut [Sample]) -> Option<Curve> {
    for sample in samples.iter_mut() {
        sample.mass = one(&instrument.hammers.rows[sample.row], sample.wear);
    }
    let mut weighed: Vec<_> = samples
        .iter()
        .filter_map(|sample| sample.mass.map(|mass| (sample.note, in_grams(mass.as_new))))
        .map(|(note, (mass, sd))| (note, (mass, sd.hypot(HEAD_TO_HEAD_G))))
        .collect();
    weighed.sort_by_key(|(note, _)| *note);
    let curve = Curve::robust(weighed.iter().copied(), MASS_ALONG_THE_KEYS)?;
    if curve.len() < 3 {
        return Some(curve);
    }
    for sample in samples {
        let (on_curve, _) = curve.at(sample.note);
        if let Some(mass) = &mut sample.mass {
            mass.off_curve = Some(to_grams(mass.as_new.value) / on_curve - 1.0);
        }
    }
    Some(curve)
}

fn one(row: &HammerRow, wear: Option<WearFigures>) -> Option<MassFigures> {
    let weighed = row.mass?.head();
    let computed = wear.and_then(|wear| from_flat(row, wear));
    let (felt, of_felt) = match computed {
        Some(felt) => felt,
        None => anywhere(spread("felt-lost", Applies::Both)?),
    };
    let (mass, of_mass) = in_grams(weighed);
    Some(MassFigures {
        weighed,
        felt_lost: from_grams((felt, of_felt)),
        felt_lost_computed: computed.is_some(),
        as_new: from_grams((mass + felt, of_mass.hypot(of_felt))),
        off_curve: None,
    })
}
