//! The strings at other pitches than the finished one: as found, pulled over pitch, at another
//! temperature.

use super::{NoteStrings, Scale, StringFigures, Totals, pull};
use crate::instrument::Instrument;
use crate::instrument::belief::{Belief, BelievedString};
use crate::measure::{
    Cents, Force, Note, ThermodynamicTemperature, kelvins, newtons, to_celsius, to_newtons,
};
use crate::physics::temperature::{Expansion, warming};
use crate::stock;

impl StringFigures {
    /// Its tension when it sounds `above` the finished pitch.
    ///
    /// `w² = a T + b` with a and b of the first mode: T + b/a grows as the square of the pitch, and b/a
    /// is what stiffness adds, pi² E I/L² of a pinned string; exact for plain wire, and for wound to
    /// the square of what the change does to the shape of the mode.
    pub fn tension_at(&self, above: Cents) -> Force {
        let square = above.ratio().powi(2);
        let (tension, stiff) = (to_newtons(self.tension.value), to_newtons(self.stiffness));
        newtons(square * tension + (square - 1.0) * stiff)
    }
}

/// The pull of some strings at one pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// All of them together.
    pub totals: Totals,
    /// Of the single strings, the highest tension over breaking load.
    pub most_load: Option<f64>,
}

/// The strings of the notes for which `above` says where they stand, each so far above the finished
/// pitch.
pub fn pull_at(scale: &Scale, above: impl Fn(&NoteStrings) -> Option<Cents>) -> Pull {
    let factor = |entry: &NoteStrings, string: &StringFigures| {
        above(entry).map(|above| (string.tension_at(above) / string.tension.value).value)
    };
    let loads = scale.notes.iter().filter_map(|entry| {
        let string = entry.string.as_ref()?;
        Some(factor(entry, string)? * string.load?.value)
    });
    let most = loads.fold(f64::NEG_INFINITY, f64::max);
    let totals = pull(&scale.notes, |entry| match &entry.string {
        Some(string) => factor(entry, string).unwrap_or(0.0),
        // Unknown, and counted as such where it stands among those asked for.
        None => above(entry).map_or(0.0, |_| 1.0),
    });
    Pull { totals, most_load: most.is_finite().then_some(most) }
}

/// One string at another temperature than that at which it was tuned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warmed {
    /// The note.
    pub note: Note,
    /// How far its pitch moves when string and plate change together.
    pub together: Cents,
    /// The same when the string alone has changed: in the first minutes, or under stage lights.
    pub alone: Cents,
    /// Its tension when string and plate have changed together.
    pub tension: Force,
}

/// Every string known, tuned to the finished pitch at `tuned` and now at `now`; those whose material
/// has no known expansion are left out.
///
/// Moisture in the soundboard, which rules the seasons, is not in it.
pub fn warmed(
    instrument: &Instrument,
    belief: &Belief,
    scale: &Scale,
    tuned: ThermodynamicTemperature,
    now: ThermodynamicTemperature,
) -> Vec<Warmed> {
    let warmer = to_celsius(now) - to_celsius(tuned);
    belief
        .notes
        .iter()
        .filter(|believed| instrument.compass.contains(believed.note))
        .filter_map(|believed| {
            let figures = scale.note(believed.note)?.string.as_ref()?;
            let string = believed.string.as_ref()?;
            let expansion = expansion(string)?;
            let modulus = string.material.youngs_modulus?.value;
            let by = |frame: f64| {
                let (string, frame) = (kelvins(warmer), kelvins(frame));
                warming(figures.stress.value, modulus, expansion, string, frame)
            };
            let together = by(warmer);
            Some(Warmed {
                note: believed.note,
                together,
                alone: by(0.0),
                tension: figures.tension_at(together),
            })
        })
        .collect()
}

/// Of this string and the plate. A material of the survey's own loses stiffness as modern steel does.
fn expansion(string: &BelievedString) -> Option<Expansion> {
    let change = |name: &str| Some(stock::material(name)?.modulus_change.as_ref()?.value);
    let softening = change(&string.material.name).or_else(|| change("steel-modern"))?;
    Some(Expansion {
        string: string.material.expansion?,
        frame: stock::material("cast-iron")?.expansion.as_ref()?.value,
        softening: -softening,
    })
}
