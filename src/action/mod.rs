//! Hammers computed: bore, strike line, mass, touch. What follows from the readings, no opinion.
//!
//! [`compute`] takes the instrument, its computed [`Scale`] (string lengths and masses) and how far samples
//! and heights may lie apart and still be used together ([`Agreement`], which `judgement` holds). Bores run
//! along each section by themselves and never across a break; heads' masses run over the compass. What
//! is not known is `None`, and [`Action::missing`] says which reading would give it.

mod agree;
mod bench;
mod bore;
mod curve;
mod figure;
mod mass;
mod note;
mod offset;
mod rake;
mod sample;
mod side;
mod strike;
mod swing;
mod touch;
mod usual;

pub use agree::{Agreement, SectionAgreement, SectionStanding};
pub use bore::{BoreFigures, BoreFrom};
pub use mass::MassFigures;
pub use note::NoteHammer;
pub use rake::{Rake, RakeFrom};
pub use sample::{Sample, SampleStanding, WearFigures};
pub use side::{GapFigures, SideAngle, SideFrom};
pub use strike::StrikeFigures;
pub use swing::SwingFigures;
pub use touch::TouchFigures;

use crate::instrument::{About, HammerRow, HeightsOn, Instrument, Missing, Warning};
use crate::measure::{Compass, Length, Measured, Note, Sentence};
use crate::scale::Scale;
use bench::Bench;
use curve::Curve;
use strike::StrikeLine;

/// The hammers of one piano.
#[derive(Debug, Clone)]
pub struct Action {
    /// One entry for each note of the compass, from the bass.
    pub notes: Vec<NoteHammer>,
    /// One entry for each section.
    pub sections: Vec<SectionHammers>,
    /// Every row of the survey's hammers, computed, by note.
    pub samples: Vec<Sample>,
    /// Felt that every bore ordered has beyond a square strike, for later filing.
    pub allowance: Option<Length>,
    /// On which strings the heights were read.
    pub heights_on: HeightsOn,
    /// What the reader should know about these figures.
    pub warnings: Vec<Warning>,
    /// What could not be had, and why.
    pub missing: Vec<Missing>,
}

/// The hammers of one section.
#[derive(Debug, Clone)]
pub struct SectionHammers {
    /// Its name.
    pub name: String,
    /// Its notes.
    pub notes: Compass,
    /// The rake decided.
    pub rake: Rake,
    /// How its samples stand to its heights.
    pub agreement: SectionAgreement,
    /// How many heights were read.
    pub heights: usize,
    /// Hanging distance in the middle of the section.
    pub hanging: Option<Measured<Length>>,
    /// Shank offset, read or between the bounds of practice.
    pub offset: Measured<Length>,
}

/// What is said on the way.
#[derive(Debug, Default)]
struct Remarks {
    warnings: Vec<Warning>,
    missing: Vec<Missing>,
}

impl Remarks {
    fn warn(&mut self, kind: &'static str, about: About, text: Sentence) {
        self.warnings.push(Warning { kind, about, text });
    }

    fn miss(&mut self, result: &'static str, about: About, why: Sentence) {
        self.missing.push(Missing { result, about, why });
    }
}

impl Action {
    /// The entry of `note`.
    pub fn note(&self, note: Note) -> Option<&NoteHammer> {
        self.notes.iter().find(|entry| entry.note == note)
    }

    /// The row read at `note`, computed.
    pub fn sample(&self, note: Note) -> Option<&Sample> {
        self.samples.iter().find(|sample| sample.note == note)
    }

    /// The notes of section `index`, from the bass.
    pub fn notes_of(&self, index: usize) -> impl Iterator<Item = &NoteHammer> {
        self.notes.iter().filter(move |entry| entry.section == index)
    }
}

impl Sample {
    /// The row as read.
    pub fn read<'i>(&self, instrument: &'i Instrument) -> &'i HammerRow {
        &instrument.hammers.rows[self.row]
    }
}

/// Everything computed that the notes are put together from.
struct Parts<'a> {
    instrument: &'a Instrument,
    scale: &'a Scale,
    benches: &'a [Bench],
    samples: &'a [Sample],
    agreements: &'a [SectionAgreement],
    masses: Option<&'a Curve>,
    strike: &'a StrikeLine,
}

/// The hammers of `instrument`, whose strings are `scale`.
pub fn compute(instrument: &Instrument, scale: &Scale, agreement: &Agreement) -> Action {
    let mut remarks = Remarks::default();
    let rakes = rake::decide(instrument, &mut remarks);
    let benches: Vec<Bench> = rakes
        .iter()
        .enumerate()
        .map(|(index, rake)| Bench::of(instrument, index, *rake, &mut remarks))
        .collect();
    let mut samples = sample::compare(instrument, &benches, &mut remarks);
    let agreements = agree::settle(&mut samples, &benches, agreement);
    let masses = mass::weigh(instrument, &mut samples);
    let strike = StrikeLine::of(instrument, scale, &samples);
    let parts = Parts {
        instrument,
        scale,
        benches: &benches,
        samples: &samples,
        agreements: &agreements,
        masses: masses.as_ref(),
        strike: &strike,
    };
    let notes = note::all(&parts);
    note::say(&parts, &notes, &mut remarks);
    note::at_samples(instrument, &benches, &notes, &mut samples);
    let sections = sections(instrument, &benches, &agreements);
    Action {
        notes,
        sections,
        samples,
        allowance: instrument.hammers.allowance,
        heights_on: instrument.hammers.heights_on,
        warnings: remarks.warnings,
        missing: remarks.missing,
    }
}

fn sections(
    instrument: &Instrument,
    benches: &[Bench],
    agreements: &[SectionAgreement],
) -> Vec<SectionHammers> {
    let middle = |notes: Compass| notes.notes().nth(notes.len() / 2);
    let entries = instrument.sections.iter().zip(benches).zip(agreements);
    entries
        .map(|((section, bench), agreement)| SectionHammers {
            name: section.name.clone(),
            notes: section.notes,
            rake: bench.rake,
            agreement: *agreement,
            heights: bench.heights.len(),
            hanging: middle(section.notes).and_then(|note| bench.hanging_at(note)),
            offset: bench.offset,
        })
        .collect()
}
