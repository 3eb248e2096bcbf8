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

/// A strike point off the others of its section: what was read over the length, and what the others foretell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeOff {
    /// The note.
    pub note: Note,
    /// Strike point over speaking length, as read.
    pub read: f64,
    /// By the others.
    pub foretold: f64,
    /// How far off, in standard deviations of both.
    pub deviations: f64,
}

/// Fewest others by which a strike point can be judged.
const FEWEST_OTHERS: usize = 3;

/// Every strike point beside what the others of its section foretell, their lengths as read; none of a section
/// with three or fewer.
pub fn beside_others(instrument: &Instrument) -> Vec<StrikeOff> {
    (0..instrument.sections.len()).flat_map(|index| in_section(instrument, index)).collect()
}

fn in_section(instrument: &Instrument, index: usize) -> Vec<StrikeOff> {
    let rows =
        instrument.strings.iter().filter(|row| instrument.section_of(row.note) == Some(index));
    let read: Vec<(Note, f64, Point)> = rows
        .filter_map(|row| {
            let (strike, length) = (row.strike?, row.length?);
            let fraction = to_mm(strike.value) / to_mm(length.value);
            let sd = (to_mm(strike.sd) / to_mm(strike.value))
                .hypot(to_mm(length.sd) / to_mm(length.value));
            let at = f64::from(row.note.key());
            Some((row.note, fraction, Point { at, value: fraction.ln(), sd }))
        })
        .collect();
    if read.len() <= FEWEST_OTHERS {
        return Vec::new();
    }
    let Some(trend) = Trend::through(read.iter().map(|one| one.2).collect(), ALONG_A_LINE) else {
        return Vec::new();
    };
    let off = |(at, (note, fraction, point)): (usize, &(Note, f64, Point))| {
        let on = trend.without(at);
        StrikeOff {
            note: *note,
            read: *fraction,
            foretold: on.value.exp(),
            deviations: (point.value - on.value).abs() / point.sd.hypot(on.sd),
        }
    };
    read.iter().enumerate().map(off).collect()
}
