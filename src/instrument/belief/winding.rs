//! Windings of notes that were not read, by trend along notes of the same string count.

use super::super::{Instrument, StringRow, Tool};
use super::along::Along;
use super::chance::{Chances, Shares, WindingShares};
use super::{BARE_END_FACTOR, BARE_END_MEDIAN_MM, BareEnd, BelievedWinding};
use crate::measure::trend::Prior;
use crate::measure::{Length, Measured, Note, mm};
use std::sync::Arc;

/// What ln(over) does along a wound set of one string count (proposal, no source).
const ALONG_A_SET: Prior =
    Prior { slope: -0.03, slope_sd: 0.02, roughness: 0.004, roughness_factor: 2.0 };

/// The winding of a note that was read, from its row.
pub(super) fn of_row(
    instrument: &Instrument,
    row: &StringRow,
    chances: &mut Chances,
) -> Option<BelievedWinding> {
    let over = row.over?;
    let note = row.note;
    let mut shares = WindingShares {
        over: chances.read(Tool::OverWinding, over, format!("over {note}")),
        ..WindingShares::default()
    };
    if let Some(wire) = row.wrap_wire {
        shares.wire = chances.read(Tool::Micrometer, wire, format!("winding wire {note}"));
    }
    if let Some(under) = row.under {
        shares.under = chances.read(Tool::OverWinding, under, format!("under {note}"));
    }
    let (bare_front, bare_back);
    (bare_front, shares.bare_front) = bare_end(row.bare_front, note, "front", chances);
    (bare_back, shares.bare_back) = bare_end(row.bare_back, note, "back", chances);
    Some(BelievedWinding {
        over,
        wire: row.wrap_wire,
        under: row.under,
        material: row.wrap.clone().unwrap_or_else(|| Arc::clone(&instrument.wire.wrap)),
        bare_front,
        bare_back,
        under_bare_front: row.under_bare_front,
        under_bare_back: row.under_bare_back,
        approximate: false,
        shares,
    })
}

/// Diameters over the windings of `wanted` by trend through `read`, the wound rows of their section
/// that have their count.
pub(super) fn over_by_trend(
    wanted: &[Note],
    read: &[&StringRow],
    chances: &mut Chances,
) -> Option<Vec<(Measured<Length>, Shares)>> {
    let read: Vec<(Note, Measured<Length>)> =
        read.iter().filter_map(|row| row.over.map(|over| (row.note, over))).collect();
    Along { what: "over", tool: Tool::OverWinding, prior: ALONG_A_SET, read: &read }
        .at(wanted, chances)
}

/// The winding of `note` that is believed to be `over`; `read` are the rows that say so.
pub(super) fn by_trend(
    instrument: &Instrument,
    note: Note,
    over: (Measured<Length>, Shares),
    read: &[&StringRow],
    own: Option<&StringRow>,
    chances: &mut Chances,
) -> Option<BelievedWinding> {
    let nearest = read.iter().min_by_key(|row| row.note.key().abs_diff(note.key()))?;
    let (over, of_over) = over;
    let mut shares = WindingShares { over: of_over, ..WindingShares::default() };
    let (bare_front, bare_back);
    let end = |pick: fn(&StringRow) -> Option<Measured<Length>>| own.and_then(pick);
    (bare_front, shares.bare_front) = bare_end(end(|row| row.bare_front), note, "front", chances);
    (bare_back, shares.bare_back) = bare_end(end(|row| row.bare_back), note, "back", chances);
    Some(BelievedWinding {
        over,
        wire: None,
        under: None,
        material: nearest.wrap.clone().unwrap_or_else(|| Arc::clone(&instrument.wire.wrap)),
        bare_front,
        bare_back,
        under_bare_front: None,
        under_bare_back: None,
        approximate: true,
        shares,
    })
}

fn bare_end(
    read: Option<Measured<Length>>,
    note: Note,
    end: &str,
    chances: &mut Chances,
) -> (BareEnd, Shares) {
    if let Some(length) = read {
        let shares = chances.read(Tool::Tape, length, format!("bare {end} {note}"));
        return (BareEnd { length, assumed: false }, shares);
    }
    let factor = BARE_END_FACTOR.ln();
    let length = Measured::new(mm(BARE_END_MEDIAN_MM), mm(BARE_END_MEDIAN_MM * factor));
    (BareEnd { length, assumed: true }, chances.assumed_end(factor, note, end))
}
