//! Speaking lengths along one section.

use super::super::Instrument;
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Compass, Length, Measured, Note, mm, to_mm};

/// What ln L does along a bridge before any reading: it falls by 2 to 6 % a key, its slope wandering
/// slowly (proposal, no source; the readings of the section soon outweigh it).
pub(crate) const ALONG_A_BRIDGE: Prior =
    Prior { slope: -0.04, slope_sd: 0.025, roughness: 0.0015, roughness_factor: 2.0 };

/// Lengths believed at every note of `notes`, by the readings of that section.
pub(super) fn lengths(instrument: &Instrument, notes: Compass) -> Option<Vec<Measured<Length>>> {
    let points: Vec<Point> = notes
        .notes()
        .filter_map(|note| instrument.string(note).map(|row| (note, row)))
        .filter_map(|(note, row)| row.length.map(|length| point(note, length)))
        .collect();
    let trend = Trend::through(points, ALONG_A_BRIDGE)?;
    let places: Vec<f64> = notes.notes().map(|note| f64::from(note.key())).collect();
    let believed = trend
        .at(&places)
        .into_iter()
        .map(|on| {
            let length = on.value.exp();
            Measured::new(mm(length), mm(length * on.sd))
        })
        .collect();
    Some(believed)
}

fn point(note: Note, length: Measured<Length>) -> Point {
    Point {
        at: f64::from(note.key()),
        value: to_mm(length.value).ln(),
        sd: to_mm(length.sd) / to_mm(length.value),
    }
}
