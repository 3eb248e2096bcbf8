//! Speaking lengths along one section.

use super::super::{Instrument, Tool};
use super::along::Along;
use super::chance::{Chances, Shares};
use crate::measure::trend::Prior;
use crate::measure::{Compass, Length, Measured, Note};

/// What ln L does along a bridge before any reading: it falls by 2 to 6 % a key, its slope wandering
/// slowly (proposal, no source; the readings of the section soon outweigh it).
pub(crate) const ALONG_A_BRIDGE: Prior =
    Prior { slope: -0.04, slope_sd: 0.025, roughness: 0.0015, roughness_factor: 2.0 };

/// A length believed, with its doubt.
pub(super) type Believed = (Measured<Length>, Shares);

/// Lengths believed at every note of `notes`: as read, or by the readings of that section; `None` when
/// there is none.
pub(super) fn lengths(
    instrument: &Instrument,
    notes: Compass,
    chances: &mut Chances,
) -> Option<Vec<Believed>> {
    let here: Vec<(Note, Option<Measured<Length>>)> = notes
        .notes()
        .map(|note| (note, instrument.string(note).and_then(|row| row.length)))
        .collect();
    let read: Vec<(Note, Measured<Length>)> =
        here.iter().filter_map(|&(note, length)| length.map(|length| (note, length))).collect();
    let unread: Vec<Note> =
        here.iter().filter(|(_, length)| length.is_none()).map(|(note, _)| *note).collect();
    let along = Along { what: "length", tool: Tool::Tape, prior: ALONG_A_BRIDGE, read: &read };
    let mut between = along.at(&unread, chances)?.into_iter();
    let believed = here.into_iter().map(|(note, length)| match length {
        Some(length) => Some((length, chances.read(Tool::Tape, length, format!("length {note}")))),
        None => between.next(),
    });
    believed.collect()
}
