//! Strike fractions along the compass, from the strike points that were read.

use crate::instrument::Instrument;
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Length, Note, to_mm};

/// What ln(strike/L) does along a section before any reading: level in bass and middle, falling at
/// the top (proposal, no source; two or three readings outweigh it).
const ALONG_A_LINE: Prior =
    Prior { slope: 0.0, slope_sd: 0.01, roughness: 0.002, roughness_factor: 2.0 };

/// The strike fraction of every note of section `index`, where any strike point was read there.
///
/// `lengths` are the believed speaking lengths of its notes, where known.
pub(super) fn fractions(
    instrument: &Instrument,
    index: usize,
    lengths: &[Option<Length>],
) -> Vec<Option<f64>> {
    let notes: Vec<Note> = instrument.sections[index].notes.notes().collect();
    let points: Vec<Point> = notes
        .iter()
        .zip(lengths)
        .filter_map(|(note, length)| {
            let strike = instrument.string(*note)?.strike?;
            let fraction = to_mm(strike.value) / to_mm((*length)?);
            Some(Point {
                at: f64::from(note.key()),
                value: fraction.ln(),
                sd: to_mm(strike.sd) / to_mm(strike.value),
            })
        })
        .collect();
    let places: Vec<f64> = notes.iter().map(|note| f64::from(note.key())).collect();
    match Trend::through(points, ALONG_A_LINE) {
        None => vec![None; notes.len()],
        Some(trend) => trend.at(&places).into_iter().map(|on| Some(on.value.exp())).collect(),
    }
}
