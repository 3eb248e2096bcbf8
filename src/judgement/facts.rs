//! What the verdicts rest on, gathered once from instrument and strings, section by section.

use super::load::{self, SmoothLoad};
use crate::instrument::{Broken, Instrument, Rust, Strung, TensileStrength, Tone};
use crate::measure::{Cents, Note};
use crate::scale::{NoteStrings, Scale, StrengthBasis, StringKind};

/// What is known of one section.
#[derive(Debug, Clone)]
pub(crate) struct SectionFacts {
    /// Its name.
    pub name: String,
    /// Its smoothed loads at the finished pitch.
    pub loads: Vec<SmoothLoad>,
    /// How far it is to be raised, cents; negative when it stands sharp; `None` when not known.
    pub raise: Option<f64>,
    /// How far below the finished pitch it last stood, cents, the higher of now and then.
    pub bore: Option<f64>,
    /// Rust grades.
    pub rust: Rust,
    /// Wound strings listened to.
    pub tone: ToneCount,
    /// Whether it has wound strings.
    pub wound: bool,
    /// Age of its wire.
    pub age: WireAge,
    /// Strings that broke since it was strung.
    pub broken: Vec<Broken>,
}

/// Wound strings by ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct ToneCount {
    pub clear: usize,
    pub dull: usize,
    pub dead: usize,
}

impl ToneCount {
    fn of(tones: &[Tone]) -> Self {
        let count = |which| tones.iter().filter(|tone| **tone == which).count();
        Self { clear: count(Tone::Clear), dull: count(Tone::Dull), dead: count(Tone::Dead) }
    }

    pub fn heard(self) -> usize {
        self.clear + self.dull + self.dead
    }
}

/// What the year of the wire allows to say of its strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WireAge {
    /// Iron, soft wire or wire from before about 1880, and no sample tested.
    NoNumber(NoNumber),
    /// Steel of these years; `None` when nobody knows.
    Steel(Option<i32>),
}

/// Why there is no defensible strength.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoNumber {
    /// The material has none.
    Material,
    /// The wire is older than the oldest steel we speak of.
    Year(i32),
    /// Of unknown age, in an instrument of this year.
    PerhapsOriginal(i32),
}

impl SectionFacts {
    /// Gathers what is known of section `index`.
    pub fn of(instrument: &Instrument, scale: &Scale, index: usize, old_before: f64) -> Self {
        let section = &instrument.sections[index];
        let notes: Vec<&NoteStrings> =
            scale.notes.iter().filter(|note| note.section == index).collect();
        let state = instrument.wire_state.iter().find(|state| state.section == index);
        let raise = instrument.found_in(index).map(|found| -found.0);
        let strung = year(instrument, section.strung);
        let since = match section.strung {
            Strung::Year(year) => Some(year),
            Strung::Original | Strung::Unknown => None,
        };
        Self {
            name: section.name.clone(),
            loads: load::smooth(&notes),
            raise,
            bore: bore(instrument, state.and_then(|state| state.last_at_pitch), raise),
            rust: state.map(|state| state.rust).unwrap_or_default(),
            tone: state.map_or_else(ToneCount::default, |state| ToneCount::of(&state.tone)),
            wound: notes.iter().any(|note| note.kind == Some(StringKind::Wound)),
            age: age(instrument, &notes, section.strung, strung, old_before),
            broken: instrument
                .broken
                .iter()
                .filter(|broken| section.notes.contains(broken.note))
                .filter(|broken| !matches!((broken.year, since), (Some(b), Some(s)) if b < s))
                .cloned()
                .collect(),
        }
    }

    /// The wire's year, where it is steel and the year is known.
    pub fn strung(&self) -> Option<i32> {
        match self.age {
            WireAge::Steel(year) => year,
            WireAge::NoNumber(_) => None,
        }
    }

    /// First and last note with a load, for words.
    pub fn range(&self) -> Option<(Note, Note)> {
        Some((self.loads.first()?.note, self.loads.last()?.note))
    }
}

fn year(instrument: &Instrument, strung: Strung) -> Option<i32> {
    match strung {
        Strung::Year(year) => Some(year),
        Strung::Original => instrument.built,
        Strung::Unknown => None,
    }
}

/// The pitch that the strings have borne, as cents below the finished pitch: the higher of what they
/// bear now and what they last stood at.
fn bore(
    instrument: &Instrument,
    last: Option<crate::measure::Frequency>,
    raise: Option<f64>,
) -> Option<f64> {
    let last = last.map(|last| -Cents::of_ratio((last / instrument.pitch).value).0);
    match (raise, last) {
        (Some(raise), Some(last)) => Some(raise.min(last)),
        (known, None) | (None, known) => known,
    }
}

fn age(
    instrument: &Instrument,
    notes: &[&NoteStrings],
    strung: Strung,
    year: Option<i32>,
    old_before: f64,
) -> WireAge {
    let tested = |note: &&NoteStrings| {
        note.string.as_ref().is_some_and(|string| {
            matches!(string.strength, Some(StrengthBasis::Tested | StrengthBasis::OwnMaterial))
        })
    };
    if !notes.is_empty() && notes.iter().all(tested) {
        return WireAge::Steel(year);
    }
    if notes.iter().any(|note| unsettled(instrument, note)) {
        return WireAge::NoNumber(NoNumber::Material);
    }
    let old = |year: i32| f64::from(year) < old_before;
    match (year, strung, instrument.built) {
        (Some(year), _, _) if old(year) => WireAge::NoNumber(NoNumber::Year(year)),
        (None, Strung::Unknown, Some(built)) if old(built) => {
            WireAge::NoNumber(NoNumber::PerhapsOriginal(built))
        }
        _ => WireAge::Steel(year),
    }
}

/// Whether the wire of `note` is of a material without a defensible strength.
fn unsettled(instrument: &Instrument, note: &NoteStrings) -> bool {
    let own = instrument.string(note.note).and_then(|row| row.material.as_ref());
    let usual = match note.kind {
        Some(StringKind::Wound) => &instrument.wire.core,
        _ => &instrument.wire.plain,
    };
    matches!(own.unwrap_or(usual).tensile, TensileStrength::Unsettled(_))
}
