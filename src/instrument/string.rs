//! Strings as read: one row a note, what was not read left empty.

use super::Material;
use crate::measure::{
    Compass, Force, Frequency, Inharmonicity, Length, LinearMassDensity, Measured, Note,
};
use crate::stock::WireSize;
use std::sync::Arc;

/// Cross-section of the wire or core.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CoreShape {
    /// Round; its size is the diameter.
    #[default]
    Round,
    /// Hexagonal; its size is across flats.
    Hex,
}

/// How a string is fastened at the hitch pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loop {
    /// One string with its own loop.
    Single,
    /// One wire makes two strings round the hitch pin.
    Double,
    /// A single string tied with its own knot.
    Tied,
}

/// What was read of the strings of one note.
#[derive(Debug, Clone, PartialEq)]
pub struct StringRow {
    /// The note.
    pub note: Note,
    /// Strings in the unison: 1, 2 or 3.
    pub strings: Option<u8>,
    /// Speaking length: middle string of three, the longer of a pair.
    pub length: Option<Measured<Length>>,
    /// Wire diameter; of a wound string the core's (hex: across flats).
    pub core: Option<Measured<Length>>,
    /// The wire size, where a music wire number was read in place of a diameter.
    pub size: Option<WireSize>,
    /// Shape of the core, where the survey says.
    pub shape: Option<CoreShape>,
    /// Diameter over the winding; `None` on a plain string.
    pub over: Option<Measured<Length>>,
    /// Winding wire diameter, outer layer.
    pub wrap_wire: Option<Measured<Length>>,
    /// Diameter over the inner winding of a double-wound string.
    pub under: Option<Measured<Length>>,
    /// Material of the winding, where the row says.
    pub wrap: Option<Arc<Material>>,
    /// Bare core at the hammer end.
    pub bare_front: Option<Measured<Length>>,
    /// Bare core at the bridge end.
    pub bare_back: Option<Measured<Length>>,
    /// The same of the inner winding.
    pub under_bare_front: Option<Measured<Length>>,
    /// The same of the inner winding.
    pub under_bare_back: Option<Measured<Length>>,
    /// Hammer-end termination to strike point.
    pub strike: Option<Measured<Length>>,
    /// Material of the wire, where the row says.
    pub material: Option<Arc<Material>>,
    /// Mass per length of the wound part, when the string was weighed.
    pub mass_per_length: Option<Measured<LinearMassDensity>>,
    /// Breaking load of a tested sample.
    pub breaking_load: Option<Measured<Force>>,
    /// Hitch loop to bridge pin.
    pub back: Option<Measured<Length>>,
    /// Bearing to tuning-pin centre.
    pub front: Option<Measured<Length>>,
    /// How it is fastened at the hitch pin.
    pub hitch: Option<Loop>,
    /// Centre to centre of neighbouring strings at the strike point.
    pub spacing: Option<Measured<Length>>,
    /// This string is not of the set.
    pub replaced: bool,
    /// Sounding fundamental measured from a recording.
    pub f1: Option<Measured<Frequency>>,
    /// Inharmonicity measured from a recording.
    pub inharmonicity: Option<Measured<Inharmonicity>>,
    /// Where the row stands, to send the reader back to it: file and line.
    pub place: Place,
}

impl StringRow {
    /// A row of which nothing but the note has been read.
    pub fn empty(note: Note, place: Place) -> Self {
        Self {
            note,
            strings: None,
            length: None,
            core: None,
            size: None,
            shape: None,
            over: None,
            wrap_wire: None,
            under: None,
            wrap: None,
            bare_front: None,
            bare_back: None,
            under_bare_front: None,
            under_bare_back: None,
            strike: None,
            material: None,
            mass_per_length: None,
            breaking_load: None,
            back: None,
            front: None,
            hitch: None,
            spacing: None,
            replaced: false,
            f1: None,
            inharmonicity: None,
            place,
        }
    }
}

/// Where something was written: file and line, from 1.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place {
    /// File name inside the survey's folder.
    pub file: String,
    /// Line, from 1; 0 where there is none.
    pub line: usize,
}

/// Wire as it is written down at the piano: one size over a run of notes.
#[derive(Debug, Clone, PartialEq)]
pub struct WireRun {
    /// The notes.
    pub notes: Compass,
    /// Strings in the unison.
    pub strings: Option<u8>,
    /// Diameter of the wire (wound: of the core).
    pub core: Measured<Length>,
    /// The wire size, where a number was read.
    pub size: Option<WireSize>,
    /// Where it stands.
    pub place: Place,
}

/// What `[strings]` asks of an order beside the readings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StringWishes {
    /// Which sections are strung anew.
    pub restring: Restring,
    /// Single strings to be replaced: one for each time that its note is named.
    pub replace: Vec<Note>,
    /// Wound strings of which one more is wanted, each time that its note is named.
    pub spares: Vec<Note>,
    /// When the strings are needed, as written.
    pub needed_by: Option<String>,
}

/// Which sections are strung anew.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Restring {
    /// Those of which the judgement says so.
    #[default]
    Advised,
    /// Every one.
    All,
    /// These, by index, and those of which the judgement says so.
    Sections(Vec<usize>),
}
