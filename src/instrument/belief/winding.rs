//! Windings of notes that were not read, by trend along notes of the same string count.

use super::super::{Instrument, StringRow};
use super::{BARE_END_FACTOR, BARE_END_MEDIAN_MM, BareEnd, BelievedWinding};
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Length, Measured, Note, mm, to_mm};
use std::sync::Arc;

/// What ln(over) does along a wound set of one string count (proposal, no source).
const ALONG_A_SET: Prior =
    Prior { slope: -0.03, slope_sd: 0.02, roughness: 0.004, roughness_factor: 2.0 };

/// The winding of a note that was read, from its row.
pub(super) fn of_row(instrument: &Instrument, row: &StringRow) -> Option<BelievedWinding> {
    let over = row.over?;
    Some(BelievedWinding {
        over,
        wire: row.wrap_wire,
        under: row.under,
        material: row.wrap.clone().unwrap_or_else(|| Arc::clone(&instrument.wire.wrap)),
        bare_front: bare_end(row.bare_front),
        bare_back: bare_end(row.bare_back),
        under_bare_front: row.under_bare_front,
        under_bare_back: row.under_bare_back,
        approximate: false,
    })
}

/// The winding of `note` by trend through `read`, the wound rows of its section that have its count.
pub(super) fn by_trend(
    instrument: &Instrument,
    note: Note,
    read: &[&StringRow],
    own: Option<&StringRow>,
) -> Option<BelievedWinding> {
    let points = read
        .iter()
        .filter_map(|row| row.over.map(|over| (row.note, over)))
        .map(|(note, over)| Point {
            at: f64::from(note.key()),
            value: to_mm(over.value).ln(),
            sd: to_mm(over.sd) / to_mm(over.value),
        })
        .collect();
    let on = Trend::through(points, ALONG_A_SET)?.at(&[f64::from(note.key())])[0];
    let nearest = read.iter().min_by_key(|row| row.note.key().abs_diff(note.key()))?;
    let over = on.value.exp();
    Some(BelievedWinding {
        over: Measured::new(mm(over), mm(over * on.sd)),
        wire: None,
        under: None,
        material: nearest.wrap.clone().unwrap_or_else(|| Arc::clone(&instrument.wire.wrap)),
        bare_front: bare_end(own.and_then(|row| row.bare_front)),
        bare_back: bare_end(own.and_then(|row| row.bare_back)),
        under_bare_front: None,
        under_bare_back: None,
        approximate: true,
    })
}

fn bare_end(read: Option<Measured<Length>>) -> BareEnd {
    match read {
        Some(length) => BareEnd { length, assumed: false },
        None => BareEnd {
            length: Measured::new(
                mm(BARE_END_MEDIAN_MM),
                mm(BARE_END_MEDIAN_MM * BARE_END_FACTOR.ln()),
            ),
            assumed: true,
        },
    }
}
