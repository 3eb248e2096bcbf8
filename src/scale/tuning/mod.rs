//! Tuning by ear, foretold: the pitch of every note, the beats of its intervals, and what a tuner hears
//! at a break.
//!
//! Everything follows from the partials that each string was computed to have. Pitch and partials hang
//! together: a note tuned higher stands at more tension and is less inharmonic. So the tuning is
//! worked out, every string sounded anew at the pitch that it was given, and both repeated until
//! nothing moves. The scale itself stays at equal temperament: what the stretch does is kept apart.

mod by_ear;
mod chain;
mod compromise;
mod interval;
mod octave;
mod solve;
mod strings;

pub use by_ear::{ByEar, GuideRate, Guided, Inside, Left, Off, Widths, by_ear};
pub use chain::Temperament;
pub use interval::Interval;
pub use octave::{OctaveKind, OctaveRegion, Rules};

use crate::instrument::belief::Belief;
use crate::instrument::{About, Instrument, Missing};
use crate::measure::{Cents, Compass, Force, Frequency, Note, Sentence, hertz, to_hertz};
use crate::physics::beats;
use crate::scale::Scale;
use crate::scale::breaks::BreakPlace;
use crate::sentence;
use chain::{Pitches, pitches};
use strings::Strings;

/// One more than the highest key: tables are looked up by key.
const KEYS: usize = 89;
/// Partials kept of each string: the tuner's intervals need six.
pub const PARTIALS: usize = 8;
/// The pitches stand when none moves more than this, in cents.
const STANDS: f64 = 1e-9;
/// Most rounds of tuning and sounding; five do.
const ROUNDS: usize = 8;

/// The tuning of one piano.
#[derive(Debug, Clone)]
pub struct Tuning {
    /// Where the temperament is set; why there is no tuning when there is none.
    pub temperament: Result<Temperament, Sentence>,
    /// By which partials octaves are tuned, from the bass.
    pub octaves: Vec<OctaveRegion>,
    /// One entry a note of the compass, from the bass.
    pub notes: Vec<TunedNote>,
    /// What could not be had, and why.
    pub missing: Vec<Missing>,
    tones: Tones,
    fundamentals: [Option<f64>; KEYS],
}

/// A note with its pitch; `None` where its strings are unknown or nothing leads to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TunedNote {
    /// The note.
    pub note: Note,
    /// Where it stands.
    pub tuned: Option<Tuned>,
}

/// Where a note stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuned {
    /// Above equal temperament.
    pub stretch: Cents,
    /// What it sounds.
    pub frequency: Frequency,
    /// Tension of one string there; `None` when no tension sounds it.
    pub tension: Option<Force>,
    /// How it was set.
    pub by: SetBy,
}

/// How a note was set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBy {
    /// By the fork.
    Fork,
    /// In the temperament.
    Temperament,
    /// By an octave from a note that stands.
    Octave,
    /// Between its neighbours: the strings an octave from it are unknown.
    Neighbours,
}

/// The partials of one string of each note, over its fundamental, by key.
#[derive(Debug, Clone)]
pub struct Tones([Option<[f64; PARTIALS]>; KEYS]);

impl Tones {
    /// From each note's partials over its fundamental, the first being 1.
    pub fn new(notes: impl IntoIterator<Item = (Note, [f64; PARTIALS])>) -> Self {
        let mut tones = Self([None; KEYS]);
        for (note, ratios) in notes {
            tones.0[usize::from(note.key())] = Some(ratios);
        }
        tones
    }

    fn ratios(&self, key: u8) -> Option<&[f64; PARTIALS]> {
        self.0.get(usize::from(key))?.as_ref()
    }
}

/// The stretch of every note whose tones are known, over `compass`, with no regard to what the pitch
/// does to the tones: for strings whose partials were measured at the pitch where they stand.
pub fn stretch(tones: &Tones, rules: &Rules) -> Result<Vec<(Note, Cents)>, Sentence> {
    let temperament = chain::temperament(tones, &[])?;
    let pitches = pitches(tones, temperament, rules);
    let of =
        |key: u8| Some((Note::from_key(key)?, Cents(pitches[usize::from(key)].as_ref()?.stretch)));
    Ok((1..KEYS as u8).filter_map(of).collect())
}

/// Tunes a piano. `doubtful` are notes whose readings stand out: their tones are taken from their
/// neighbours.
pub fn compute(
    instrument: &Instrument,
    belief: &Belief,
    scale: &Scale,
    places: &[BreakPlace],
    doubtful: &[Note],
    rules: &Rules,
) -> Tuning {
    let mut strings = Strings::new(instrument, belief, scale, doubtful);
    let mut tones = strings.tones();
    let temperament = chain::temperament(&tones, places);
    let mut standing: Pitches = [None; KEYS];
    if let Ok(temperament) = temperament {
        standing = pitches(&tones, temperament, rules);
        for _ in 0..ROUNDS {
            strings.sound_at(&standing);
            tones = strings.tones();
            let next = pitches(&tones, temperament, rules);
            let moved = largest_move(&standing, &next);
            standing = next;
            if moved < STANDS {
                break;
            }
        }
    }
    let notes = tuned(scale, &strings, &standing);
    let mut fundamentals = [None; KEYS];
    for note in &notes {
        let sounds = note.tuned.map(|tuned| to_hertz(tuned.frequency));
        fundamentals[usize::from(note.note.key())] = sounds;
    }
    Tuning {
        octaves: rules.regions(instrument.compass),
        missing: missing(&temperament, &notes),
        temperament,
        notes,
        tones,
        fundamentals,
    }
}

fn largest_move(from: &Pitches, to: &Pitches) -> f64 {
    let moved = |(a, b): (&Option<chain::Pitch>, &Option<chain::Pitch>)| {
        Some((a.as_ref()?.stretch - b.as_ref()?.stretch).abs())
    };
    from.iter().zip(to).filter_map(moved).fold(0.0, f64::max)
}

fn tuned(scale: &Scale, strings: &Strings, pitches: &Pitches) -> Vec<TunedNote> {
    let entries = scale.notes.iter().enumerate();
    entries
        .map(|(index, entry)| {
            let pitch = pitches[usize::from(entry.note.key())];
            let tuned = pitch.map(|pitch| Tuned {
                stretch: Cents(pitch.stretch),
                frequency: entry.frequency * Cents(pitch.stretch).ratio(),
                tension: strings.tension(index),
                by: pitch.by,
            });
            TunedNote { note: entry.note, tuned }
        })
        .collect()
}

/// One sentence for the whole set, or one for every run of notes left out.
fn missing(temperament: &Result<Temperament, Sentence>, notes: &[TunedNote]) -> Vec<Missing> {
    let say = |why| Missing { result: "stretch_cents", about: About::Set, why };
    if let Err(why) = temperament {
        return vec![say(why.clone())];
    }
    let mut runs: Vec<Compass> = Vec::new();
    for entry in notes.iter().filter(|entry| entry.tuned.is_none()) {
        match runs.last_mut() {
            Some(run) if run.last.step(1) == Some(entry.note) => run.last = entry.note,
            _ => runs.push(Compass { first: entry.note, last: entry.note }),
        }
    }
    let left_out = |run: &Compass| {
        let mut why = sentence!["pitch and beats are not foretold for ", run.first];
        if run.first != run.last {
            why.extend(sentence![" to ", run.last]);
        }
        why.push(
            ": their strings, or those that they are tuned from, are unknown; measure length and wire",
        );
        say(why)
    };
    runs.iter().map(left_out).collect()
}

impl Tuning {
    /// The pitch of `note`.
    pub fn note(&self, note: Note) -> Option<&Tuned> {
        self.notes.iter().find(|entry| entry.note == note)?.tuned.as_ref()
    }

    /// Partial `n` of `note`, 1 to 8, as tuned.
    pub fn partial(&self, note: Note, n: usize) -> Option<Frequency> {
        self.partial_of(note.key(), n).map(hertz)
    }

    /// How fast `interval` above `low` beats, a second: positive when it is wider than clean.
    pub fn beats(&self, interval: Interval, low: Note) -> Option<f64> {
        self.rate(interval, low.key())
    }

    fn rate(&self, interval: Interval, low: u8) -> Option<f64> {
        let (n, m) = interval.partials();
        let high = hertz(self.partial_of(low + interval.semitones(), m)?);
        let low = hertz(self.partial_of(low, n)?);
        Some(to_hertz(beats::rate(low, high)))
    }

    fn partial_of(&self, key: u8, n: usize) -> Option<f64> {
        let fundamental = (*self.fundamentals.get(usize::from(key))?)?;
        Some(fundamental * self.tones.ratios(key)?.get(n.checked_sub(1)?)?)
    }
}
