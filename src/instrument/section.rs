//! Sections: runs of notes between two breaks.

use crate::measure::{Cents, Compass, Note};

/// One section, bass to treble; the boundary to the next is a break.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// What the rebuilder calls it.
    pub name: String,
    /// First and last note.
    pub notes: Compass,
    /// Last wound note, where the survey says.
    pub wound_to: Option<Note>,
    /// First note of each string count, where the survey says; by note.
    pub counts: Vec<CountFrom>,
    /// Age of the wire.
    pub strung: Strung,
    /// Pitch of this section as found, in place of the instrument's.
    pub found: Option<Cents>,
}

/// From this note on, so many strings to the unison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CountFrom {
    /// Strings in the unison: 1, 2 or 3.
    pub strings: u8,
    /// First note that has them.
    pub from: Note,
}

/// When the wire of a section was put on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Strung {
    /// In this year.
    Year(i32),
    /// With the instrument.
    Original,
    /// Nobody knows.
    #[default]
    Unknown,
}
