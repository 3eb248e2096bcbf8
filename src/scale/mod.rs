//! Strings computed: tension, load, inharmonicity, modes, breaks, tuning. What follows from the readings, no
//! opinion.

pub mod breaks;
pub mod cause;
mod compute;
pub mod crosscheck;
pub mod doubt;
pub mod draws;
mod ends;
mod explain;
pub mod pitch;
pub mod spec;
mod strength;
pub mod strike;
mod sum;
mod threads;
pub mod tuning;

pub use compute::compute;
pub(crate) use strength::breaking_load;

pub use explain::{Explanation, LayerFacts, Strength, explain};
pub use sum::pull;

use crate::instrument::{Missing, Warning};
use crate::measure::{
    Cents, Force, Frequency, Inharmonicity, Length, LinearMassDensity, MassRate, Measured, Note,
    Pressure,
};
use crate::stock::StrengthSeries;
use doubt::Doubts;

use crate::instrument::belief::Shares;
pub use crate::instrument::belief::{Source, StringKind};

/// The strain for which drift is stated.
const DRIFT_STRAIN: f64 = 1e-5;

/// The strings of one piano, note by note.
#[derive(Debug, Clone)]
pub struct Scale {
    /// One entry for each note of the compass, from the bass.
    pub notes: Vec<NoteStrings>,
    /// Sums over all strings known.
    pub totals: Totals,
    /// What the reader should know about these figures.
    pub warnings: Vec<Warning>,
    /// What could not be had, and why.
    pub missing: Vec<Missing>,
}

impl Scale {
    /// The entry of `note`.
    pub fn note(&self, note: Note) -> Option<&NoteStrings> {
        self.notes.iter().find(|entry| entry.note == note)
    }
}

/// Sums over the strings known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Pull of all strings, with its ± from the readings.
    pub tension: Measured<Force>,
    /// What the materials leave open of it, one standard deviation, all wire being of one lot.
    pub tension_material: Force,
    /// How many strings that is.
    pub strings: usize,
    /// Notes left out because too little is known of them.
    pub notes_unknown: usize,
}

/// The strings of one note.
#[derive(Debug, Clone)]
pub struct NoteStrings {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Strings in the unison.
    pub strings: Option<u8>,
    /// Plain or wound.
    pub kind: Option<StringKind>,
    /// Where the figures come from.
    pub source: Source,
    /// Equally tempered fundamental at the finished pitch.
    pub frequency: Frequency,
    /// One string of the unison; `None` when too little is known.
    pub string: Option<StringFigures>,
}

/// One string computed at the finished pitch.
#[derive(Debug, Clone)]
pub struct StringFigures {
    /// Speaking length.
    pub length: Measured<Length>,
    /// Wire or core diameter.
    pub core: Measured<Length>,
    /// Diameter over the winding.
    pub over: Option<Measured<Length>>,
    /// Mass per length; of a wound string, of its wound part.
    pub mass_per_length: Measured<LinearMassDensity>,
    /// Tension.
    pub tension: Measured<Force>,
    /// Tension over the core's section.
    pub stress: Measured<Pressure>,
    /// Load at which straight wire of this size breaks; `None` where no number can be defended.
    pub breaking_load: Option<Force>,
    /// On what that rests.
    pub strength: Option<StrengthBasis>,
    /// Tension over breaking load, as a fraction.
    pub load: Option<Measured<f64>>,
    /// Inharmonicity, fitted over partials 1 to 8.
    pub inharmonicity: InharmonicityFigure,
    /// π² E I/L²: what a pinned string's stiffness does in place of tension.
    pub stiffness: Force,
    /// Mechanical impedance √(T·mu).
    pub impedance: MassRate,
    /// Partials 1 to 8.
    pub partials: [Frequency; 8],
    /// First longitudinal mode.
    pub longitudinal: Frequency,
    /// The transverse partial nearest to it.
    pub near_longitudinal: Option<NearPartial>,
    /// Pitch drift, cents per 1e-5 of strain.
    pub drift: f64,
    /// Strike point over speaking length.
    pub strike_fraction: Option<f64>,
    /// Bare ends were assumed, not read.
    pub bare_ends_assumed: bool,
    /// Winding taken from its neighbours by trend: not for ordering.
    pub approximate: bool,
    /// Where the doubt of these figures comes from.
    pub doubts: Doubts,
    /// By how much each chance of the belief moves the tension, relative to it: what the tensions of
    /// several notes have in common.
    pub tension_shares: Shares,
}

/// The transverse partial nearest to a longitudinal mode. Where they meet, the string rings with a
/// whine of its own (information; no verdict rests on it).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearPartial {
    /// Its number.
    pub partial: u32,
    /// How far the longitudinal mode lies above it.
    pub above: Cents,
}

/// On what a breaking load rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrengthBasis {
    /// The minimum of a series at the wire's diameter.
    SeriesMinimum(StrengthSeries),
    /// The strength that the survey gives its own material.
    OwnMaterial,
    /// A sample of this string was tested.
    Tested,
}

/// Inharmonicity with its spread, which is skewed where bare ends were assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InharmonicityFigure {
    /// The figure.
    pub value: Inharmonicity,
    /// One standard deviation.
    pub sd: f64,
    /// 5 % of what is believed lies below.
    pub lo: Inharmonicity,
    /// 5 % of what is believed lies above.
    pub hi: Inharmonicity,
}
