//! What was read at the piano, with its error, and what is believed given the readings.
//!
//! An [`Instrument`] is what a survey says once it has been found free of faults: every quantity has
//! its unit and its standard uncertainty, every name is resolved. Nothing here is computed from
//! physics, and nothing is assumed: what was not read is `None`.

pub mod belief;
mod evidence;
mod hammer;
mod material;
pub mod reading;
mod section;
mod string;
mod supply;
mod understood;
mod warning;

pub use evidence::*;
pub use hammer::*;
pub use material::*;
pub use section::*;
pub use string::*;
pub use supply::*;
pub use understood::*;
pub use warning::*;

use crate::measure::{Cents, Compass, Frequency, Note};

/// Upright or grand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Strings stand; hammers strike away from the player.
    Upright,
    /// Strings lie; hammers strike upwards.
    Grand,
}

/// One piano as surveyed.
#[derive(Debug, Clone)]
pub struct Instrument {
    /// What the rebuilder calls it.
    pub name: String,
    /// Upright or grand.
    pub kind: Kind,
    /// Serial number, as written.
    pub serial: Option<String>,
    /// Year built.
    pub built: Option<i32>,
    /// Lowest and highest note.
    pub compass: Compass,
    /// Where A4 is to stand when the work is done.
    pub pitch: Frequency,
    /// How far from that the instrument stood when found.
    pub found: Option<Cents>,
    /// Only reversible advice is wanted.
    pub heritage: bool,
    /// What the tools read, one standard deviation.
    pub reading_error: ReadingError,
    /// Materials and ends unless a row says otherwise.
    pub wire: Wire,
    /// Sections from bass to treble, together the whole compass.
    pub sections: Vec<Section>,
    /// The strings that were read, by note, at most one row a note.
    pub strings: Vec<StringRow>,
    /// Wire as written down in runs, by first note.
    pub runs: Vec<WireRun>,
    /// What is asked of an order of strings.
    pub string_wishes: StringWishes,
    /// Hammers as sampled and measured.
    pub hammers: Hammers,
    /// Condition of the parts that carry the load and the tone.
    pub condition: Condition,
    /// Tuning pins by region of the block.
    pub pins: Vec<PinRegion>,
    /// Rust, tone and history of the wire by section.
    pub wire_state: Vec<WireState>,
    /// Strings known to have broken.
    pub broken: Vec<Broken>,
    /// What was heard at the breaks.
    pub heard: Vec<HeardBreak>,
    /// What the piano is for.
    pub usage: Usage,
    /// Temperature and humidity when measured.
    pub climate: Climate,
    /// Prices, when the reader wants money judged.
    pub money: Option<Money>,
    /// Limits that the survey sets in place of ours: name and value in the limit's own unit.
    pub limits: Vec<LimitOverride>,
    /// What can be bought, and what the strings should become.
    pub supply: Supply,
    /// The workshop whose papers these are.
    pub shop: Shop,
}

impl Instrument {
    /// Index of the section that holds `note`.
    pub fn section_of(&self, note: Note) -> Option<usize> {
        self.sections.iter().position(|section| section.notes.contains(note))
    }

    /// How far from the finished pitch section `index` stood when found.
    pub fn found_in(&self, index: usize) -> Option<Cents> {
        self.sections.get(index).and_then(|section| section.found).or(self.found)
    }

    /// The row read for `note`.
    pub fn string(&self, note: Note) -> Option<&StringRow> {
        self.strings.iter().find(|row| row.note == note)
    }
}
