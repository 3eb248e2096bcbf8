//! What is believed of every string of the compass, given the readings.
//!
//! A note that was read is believed as read. Between readings of one section, lengths follow a smooth
//! curve of ln L with its own doubt; wire does not: it comes in runs, so a gap takes the size of its
//! neighbours, and where they differ the change lies in the middle of the gap, in doubt by what those
//! sizes differ by over √2, and never by less than one half size. Kind, string count,
//! core shape and material come from the neighbours when they agree; when they do not and the
//! section does not say where the change lies, the note is unknown. Nothing crosses a break.
//!
//! Every doubt says where it comes from, so that what several notes owe to one reading is known.

mod along;
mod chance;
mod fill;
mod length;
mod winding;

pub use chance::{Share, Shared, Shares, StringShares, WindingShares};
pub(crate) use length::ALONG_A_BRIDGE;

use super::{CoreShape, Instrument, Material, Missing, Place, Warning};
use crate::measure::{Force, Length, LinearMassDensity, Measured, Note};
use crate::stock::WireSize;
use std::sync::Arc;

/// Where a note's figures come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Length and wire were read at this note.
    Measured,
    /// At least one of them lies between readings of its section.
    Interpolated,
    /// At least one of them lies beyond the readings of its section.
    Extrapolated,
    /// Too little is known to say.
    Unknown,
}

/// Plain or wound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StringKind {
    /// Bare wire.
    Plain,
    /// Wire with a winding.
    Wound,
}

/// What is believed of all notes.
#[derive(Debug, Clone)]
pub struct Belief {
    /// One entry a note of the compass, from the bass.
    pub notes: Vec<BelievedNote>,
    /// Gaps that could not be bridged, and readings that do not close.
    pub warnings: Vec<Warning>,
    /// What could not be had, and why.
    pub missing: Vec<Missing>,
    /// Everything that may be off, each thing independent of the others and with a name of its own, which
    /// also names its random draws; the first are [`Shared::ALL`].
    pub chances: Vec<String>,
}

/// What is believed of one note.
#[derive(Debug, Clone)]
pub struct BelievedNote {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Where the figures come from.
    pub source: Source,
    /// Strings in the unison.
    pub strings: Option<u8>,
    /// Plain or wound.
    pub kind: Option<StringKind>,
    /// The string; `None` when too little is known.
    pub string: Option<BelievedString>,
}

/// What is believed of one string of a note.
#[derive(Debug, Clone)]
pub struct BelievedString {
    /// Speaking length.
    pub length: Measured<Length>,
    /// Wire or core diameter (hex: across flats).
    pub core: Measured<Length>,
    /// Its size, where a number was read.
    pub size: Option<WireSize>,
    /// Shape of the core.
    pub shape: CoreShape,
    /// Material of wire or core.
    pub material: Arc<Material>,
    /// The winding; `None` on a plain string.
    pub winding: Option<BelievedWinding>,
    /// Mass per length of the wound part, when weighed.
    pub weighed: Option<Measured<LinearMassDensity>>,
    /// Breaking load of a tested sample.
    pub breaking_load: Option<Measured<Force>>,
    /// Hammer-end termination to strike point, where read at this note.
    pub strike: Option<Measured<Length>>,
    /// Where the note was written, if it was.
    pub place: Option<Place>,
    /// Where the doubts of length, core and weighed mass come from.
    pub shares: StringShares,
}

/// What is believed of a winding.
#[derive(Debug, Clone)]
pub struct BelievedWinding {
    /// Diameter over it.
    pub over: Measured<Length>,
    /// Winding wire of the outer layer, where read.
    pub wire: Option<Measured<Length>>,
    /// Diameter over the inner layer of a double-wound string.
    pub under: Option<Measured<Length>>,
    /// Its material.
    pub material: Arc<Material>,
    /// Bare core at the hammer end.
    pub bare_front: BareEnd,
    /// Bare core at the bridge end.
    pub bare_back: BareEnd,
    /// The same of the inner layer, where it has ends of its own.
    pub under_bare_front: Option<Measured<Length>>,
    /// The same.
    pub under_bare_back: Option<Measured<Length>>,
    /// Taken from the neighbours by trend: not for ordering.
    pub approximate: bool,
    /// Where the doubts of its figures come from.
    pub shares: WindingShares,
}

/// A bare end of the core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BareEnd {
    /// Its length; the median when assumed.
    pub length: Measured<Length>,
    /// Not read: believed lognormal about its median, factor [`BARE_END_FACTOR`].
    pub assumed: bool,
}

/// Median of a bare end that was not read, mm (proposal, no source).
pub const BARE_END_MEDIAN_MM: f64 = 20.0;
/// Spread factor (one standard deviation of its logarithm) of such an end (proposal, no source).
pub const BARE_END_FACTOR: f64 = 1.45;

impl Belief {
    /// What is believed of `instrument`.
    pub fn of(instrument: &Instrument) -> Self {
        let mut belief = Self {
            notes: Vec::new(),
            warnings: Vec::new(),
            missing: Vec::new(),
            chances: Vec::new(),
        };
        let mut chances = chance::Chances::new(instrument);
        for index in 0..instrument.sections.len() {
            fill::section(instrument, index, &mut belief, &mut chances);
        }
        belief.chances = chances.names();
        belief
    }
}
