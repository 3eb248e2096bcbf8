//! Bores and angles, note by note and section by section.

use super::{Asked, Samples, words};
use crate::action::{Action, BoreFrom, NoteHammer, SideFrom};
use crate::instrument::Instrument;
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{
    Angle, Length, Mass, Measured, Note, Sentence, degrees, mm, to_degrees, to_grams,
};
use crate::sentence;

/// One head.
#[derive(Debug, Clone, PartialEq)]
pub struct NoteOrder {
    /// Its note.
    pub note: Note,
    /// Its number in the order, from 1.
    pub number: usize,
    /// Index of its section.
    pub section: usize,
    /// Bore, allowance included.
    pub bore: Asked<Measured<Length>>,
    /// On what the bore rests.
    pub bore_from: Option<BoreFrom>,
    /// Rake.
    pub rake: Angle,
    /// Side angle.
    pub side: Asked<Measured<Angle>>,
    /// Mass of the head.
    pub mass: Asked<Measured<Mass>>,
}

/// An angle, and in words which way.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// How far.
    pub angle: Measured<Angle>,
    /// Which way.
    pub way: &'static str,
}

/// One section.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionOrder {
    /// Its name.
    pub name: String,
    /// First note.
    pub first: Note,
    /// Last note.
    pub last: Note,
    /// How many heads.
    pub count: usize,
    /// Spare heads asked for.
    pub spares: Asked<usize>,
    /// Bore at its first, middle and last note, allowance included.
    pub bores: Vec<(Note, Asked<Measured<Length>>)>,
    /// Bored note by note or tapered, for its ends differ by more than one bore allows.
    pub per_note: bool,
    /// Rake, and which way.
    pub rake: Turned,
    /// Side angle at its first and last note.
    pub side: Vec<(Note, Asked<Turned>)>,
    /// On what the side angle rests, where known.
    pub side_from: Option<SideFrom>,
    /// Tilt about the shank.
    pub tilt: Asked<Turned>,
    /// What else to say of it.
    pub remarks: Vec<Sentence>,
}

/// Every head.
pub(super) fn notes(
    instrument: &Instrument,
    action: &Action,
    samples: &Samples,
    limits: &Limits,
) -> Vec<NoteOrder> {
    let doubt = mm(limits.value(LimitKey::HammerBoreDoubt));
    let of_mass = limits.value(LimitKey::HammerMassDoubt);
    let entries = action.notes.iter().enumerate();
    entries
        .map(|(index, entry)| {
            let sample = samples.nearest(instrument, entry.note);
            let known = entry.bore_ordered.filter(|bore| bore.sd <= doubt);
            NoteOrder {
                note: entry.note,
                number: index + 1,
                section: entry.section,
                bore: Asked::or_sample(known, sample),
                bore_from: known.and(entry.bore).map(|bore| bore.from),
                rake: entry.rake,
                side: Asked::or_sample(entry.side.map(|side| side.angle), sample),
                mass: Asked::or_sample(
                    entry.head_mass.filter(|mass| to_grams(mass.sd) <= of_mass),
                    sample,
                ),
            }
        })
        .collect()
}

/// Every section, from the bass.
pub(super) fn sections(
    instrument: &Instrument,
    action: &Action,
    samples: &Samples,
    notes: &[NoteOrder],
    limits: &Limits,
) -> Vec<SectionOrder> {
    (0..action.sections.len())
        .map(|index| one(instrument, action, samples, notes, limits, index))
        .collect()
}

fn one(
    instrument: &Instrument,
    action: &Action,
    samples: &Samples,
    notes: &[NoteOrder],
    limits: &Limits,
    index: usize,
) -> SectionOrder {
    let section = &action.sections[index];
    let own: Vec<&NoteOrder> = notes.iter().filter(|note| note.section == index).collect();
    let ends = [own.first(), own.last()];
    let bores: Vec<_> = [own.first(), own.get(own.len() / 2), own.last()]
        .into_iter()
        .flatten()
        .map(|note| (note.note, note.bore.clone()))
        .collect();
    let known: Vec<Length> =
        own.iter().filter_map(|note| note.bore.value()).map(|bore| bore.value).collect();
    let apart = known.first().zip(known.last()).map_or(mm(0.0), |(a, b)| *b - *a);
    let kind = instrument.kind;
    let none = degrees(0.0);
    let rake = Turned {
        angle: Measured::new(section.rake.angle, none),
        way: words::rake(kind, section.rake.angle),
    };
    let side = ends.into_iter().flatten().map(|note| {
        let turned = match &note.side {
            Asked::Value(angle) => {
                Asked::Value(Turned { angle: *angle, way: words::side(kind, angle.value) })
            }
            _ => Asked::NotMeasured { make_to_sample: samples.nearest(instrument, note.note) },
        };
        (note.note, turned)
    });
    let side: Vec<_> = side.collect();
    let side_from = action.notes_of(index).find_map(|entry| entry.side).map(|side| side.from);
    SectionOrder {
        name: section.name.clone(),
        first: section.notes.first,
        last: section.notes.last,
        count: section.notes.len(),
        spares: instrument
            .hammers
            .wishes
            .spares
            .of(index)
            .map_or(Asked::MakersChoice, Asked::Value),
        bores,
        per_note: apart.abs() > mm(limits.value(LimitKey::HammerBoreSpread)),
        rake,
        side,
        side_from,
        tilt: tilt(instrument, samples, index, section.notes.first),
        remarks: remarks(action, index),
    }
}

/// Mean tilt of the section's samples.
fn tilt(instrument: &Instrument, samples: &Samples, index: usize, first: Note) -> Asked<Turned> {
    let read: Vec<f64> = instrument
        .hammers
        .rows
        .iter()
        .filter(|row| instrument.section_of(row.note) == Some(index))
        .filter_map(|row| row.tilt)
        .map(|tilt| to_degrees(tilt.value))
        .collect();
    if read.is_empty() {
        return Asked::NotMeasured { make_to_sample: samples.nearest(instrument, first) };
    }
    let angle = degrees(read.iter().sum::<f64>() / read.len() as f64);
    Asked::Value(Turned { angle: Measured::new(angle, degrees(0.0)), way: words::tilt(angle) })
}

fn remarks(action: &Action, index: usize) -> Vec<Sentence> {
    let mut remarks = Vec::new();
    let carried = |entry: &&NoteHammer| entry.bore.is_some_and(|bore| bore.keys_beyond > 0.0);
    let beyond: Vec<Note> =
        action.notes_of(index).filter(carried).map(|entry| entry.note).collect();
    if let (Some(first), Some(last)) = (beyond.first(), beyond.last()) {
        remarks.push(sentence![
            beyond.len(),
            " heads between ",
            *first,
            " and ",
            *last,
            " lie beyond the last height read; their bores are carried on"
        ]);
    }
    if action
        .notes_of(index)
        .any(|entry| entry.side.is_some_and(|side| side.from == SideFrom::Splay))
    {
        remarks.push(Sentence::words(
            "the side angle was not read: a third to a half of the strings' splay is usual; compare with the samples",
        ));
    }
    remarks
}
