//! The strings of a piano as the tuner meets them: what each sounds at the pitch where it stands.

use super::chain::Pitches;
use super::{PARTIALS, Tones};
use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::measure::{Cents, Force, Note};
use crate::physics::{Sounding, StringSpec, sound};
use crate::scale::Scale;
use crate::scale::spec::spec_of;

/// One string of each note.
pub(super) struct Strings<'a> {
    scale: &'a Scale,
    notes: Vec<Option<OneString>>,
}

struct OneString {
    spec: StringSpec,
    /// Partials over the fundamental.
    ratios: [f64; PARTIALS],
    /// Its readings stand out from its neighbours'.
    doubtful: bool,
    /// Where it was last sounded, in cents above equal temperament, and its tension there.
    sounded: f64,
    tension: Option<Force>,
}

impl<'a> Strings<'a> {
    /// The strings at equal temperament.
    pub fn new(
        instrument: &Instrument,
        belief: &Belief,
        scale: &'a Scale,
        doubtful: &[Note],
    ) -> Self {
        let one = |entry: &crate::scale::NoteStrings| {
            let figures = entry.string.as_ref()?;
            let believed = belief.notes.iter().find(|believed| believed.note == entry.note)?;
            let spec = spec_of(believed.string.as_ref()?, instrument.wire.ends).ok()?;
            Some(OneString {
                spec,
                ratios: figures.partials.map(|partial| partial.value / figures.partials[0].value),
                doubtful: doubtful.contains(&entry.note),
                sounded: 0.0,
                tension: Some(figures.tension.value),
            })
        };
        Self { scale, notes: scale.notes.iter().map(one).collect() }
    }

    /// Sounds every string anew at the pitch where it stands.
    pub fn sound_at(&mut self, pitches: &Pitches) {
        for (entry, string) in self.scale.notes.iter().zip(&mut self.notes) {
            let pitch = pitches[usize::from(entry.note.key())];
            let (Some(string), Some(pitch)) = (string.as_mut(), pitch) else { continue };
            if (pitch.stretch - string.sounded).abs() < super::STANDS {
                continue;
            }
            string.sounded = pitch.stretch;
            // A few cents from a pitch that sounds, no string is out of reach; were one, it keeps its tones.
            let sounding = sound(&string.spec, entry.frequency * Cents(pitch.stretch).ratio()).ok();
            string.tension = sounding.as_ref().map(|sounding| sounding.tension);
            if let Some(sounding) = sounding {
                string.ratios = ratios(&sounding);
            }
        }
    }

    /// Tension of the string of the note at `index` of the scale, where it was last sounded.
    pub fn tension(&self, index: usize) -> Option<Force> {
        self.notes.get(index)?.as_ref()?.tension
    }

    /// What each string sounds, those in doubt as their neighbours would have it.
    pub fn tones(&self) -> Tones {
        Tones::new((0..self.notes.len()).filter_map(|index| {
            let string = self.notes[index].as_ref()?;
            let ratios = if string.doubtful { self.between(index) } else { None };
            Some((self.scale.notes[index].note, ratios.unwrap_or(string.ratios)))
        }))
    }

    /// What the nearest strings of the same make on both sides would have at `index`: each partial
    /// between theirs.
    fn between(&self, index: usize) -> Option<[f64; PARTIALS]> {
        let make = |i: usize| (self.scale.notes[i].section, self.scale.notes[i].kind);
        let sure = |i: &usize| {
            make(*i) == make(index)
                && self.notes[*i].as_ref().is_some_and(|string| !string.doubtful)
        };
        let below = (0..index).rev().find(sure);
        let above = (index + 1..self.notes.len()).find(sure);
        let of = |i: usize| self.notes[i].as_ref().map(|string| string.ratios);
        match (below, above) {
            (Some(low), Some(high)) => {
                let share = (index - low) as f64 / (high - low) as f64;
                let (low, high) = (of(low)?, of(high)?);
                Some(std::array::from_fn(|n| low[n].powf(1.0 - share) * high[n].powf(share)))
            }
            (Some(one), None) | (None, Some(one)) => of(one),
            (None, None) => None,
        }
    }
}

fn ratios(sounding: &Sounding) -> [f64; PARTIALS] {
    std::array::from_fn(|n| sounding.partials[n].value / sounding.partials[0].value)
}
