//! What lies beyond the speaking length: from the bearing to the tuning pin, and from the bridge pin to
//! the hitch pin.
//!
//! As read, where it was. Between two readings of plain strings of one section they run evenly (wire is
//! bought with a margin); beyond them the outermost is kept. A wound string takes nothing but its own
//! reading: it is made to length.

use crate::instrument::belief::StringKind;
use crate::instrument::{Instrument, Loop, StringRow};
use crate::measure::{Length, Note, mm, to_mm};

/// A length beyond the speaking one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beyond {
    /// Read at this note.
    Read(Length),
    /// From the readings of other plain strings of the section.
    Carried(Length),
    /// Not read.
    NotRead,
}

impl Beyond {
    /// As read at this note.
    pub fn read(self) -> Option<Length> {
        match self {
            Self::Read(length) => Some(length),
            Self::Carried(_) | Self::NotRead => None,
        }
    }

    /// As read, or as carried from others.
    pub fn known(self) -> Option<Length> {
        match self {
            Self::Read(length) | Self::Carried(length) => Some(length),
            Self::NotRead => None,
        }
    }
}

/// Both, and how the string is fastened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Hitch loop to the bridge pin where the speaking length ends.
    pub back: Beyond,
    /// Bearing to tuning-pin centre.
    pub front: Beyond,
    /// How it is fastened at the hitch pin; of a note not read, as all that were read in its section.
    pub hitch: Option<Loop>,
}

/// What is known of the ends of the strings of `note`, plain or wound.
pub fn ends(instrument: &Instrument, note: Note, kind: StringKind) -> Ends {
    let own = instrument.string(note);
    let plain = kind == StringKind::Plain;
    let read = |part: fn(&StringRow) -> Option<Length>| match own.and_then(part) {
        Some(length) => Beyond::Read(length),
        None if plain => carried(instrument, note, part),
        None => Beyond::NotRead,
    };
    let all = || if plain { hitch_of_all(instrument, note) } else { None };
    Ends {
        back: read(|row| Some(row.back?.value)),
        front: read(|row| Some(row.front?.value)),
        hitch: own.and_then(|row| row.hitch).or_else(all),
    }
}

/// The rows of plain strings in the section of `note`.
fn beside(instrument: &Instrument, note: Note) -> impl Iterator<Item = &StringRow> {
    let section = instrument.section_of(note);
    let of_section =
        move |row: &&StringRow| section.is_some() && instrument.section_of(row.note) == section;
    instrument.strings.iter().filter(of_section).filter(|row| row.over.is_none())
}

fn carried(instrument: &Instrument, note: Note, part: fn(&StringRow) -> Option<Length>) -> Beyond {
    let mut read: Vec<(f64, f64)> = beside(instrument, note)
        .filter_map(|row| Some((f64::from(row.note.key()), to_mm(part(row)?))))
        .collect();
    read.sort_by(|a, b| a.0.total_cmp(&b.0));
    let key = f64::from(note.key());
    let ([first, .., last], false) = (read.as_slice(), read.len() < 2) else {
        return Beyond::NotRead;
    };
    if key <= first.0 || key >= last.0 {
        let nearest = if key <= first.0 { first } else { last };
        return Beyond::Carried(mm(nearest.1));
    }
    let above = read.partition_point(|(other, _)| *other <= key);
    let (low, high) = (read[above - 1], read[above]);
    Beyond::Carried(mm(low.1 + (high.1 - low.1) * (key - low.0) / (high.0 - low.0)))
}

/// What every note of the section that was read says, when all agree.
fn hitch_of_all(instrument: &Instrument, note: Note) -> Option<Loop> {
    let mut read = beside(instrument, note).filter_map(|row| row.hitch);
    let first = read.next()?;
    read.all(|other| other == first).then_some(first)
}
