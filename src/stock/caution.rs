//! What can hurt in this work, each worded once: for the papers, the terminal and the glossary.
//!
//! The usual cautions of the trade (common practice, no source); local rules and qualified practice go
//! before them.

use serde::Deserialize;

/// A caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Caution {
    /// Strings that let go.
    StringsUnderLoad,
    /// Pulling up.
    PullUp,
    /// Letting down.
    LetDown,
    /// A doubtful plate.
    Plate,
    /// New wire off its coil.
    Wire,
    /// Lead in keys and dust.
    Lead,
    /// Old felt and its dust.
    Felt,
    /// Cleaners, solvents, treatments of pins.
    Solvents,
    /// An upright that is moved or opened.
    UprightTips,
    /// A grand that is moved.
    GrandTips,
    /// Who decides.
    LocalRules,
}

impl Caution {
    /// Its words: whole sentences.
    pub fn words(self) -> &'static str {
        match self {
            Self::StringsUnderLoad => {
                "Strings are under load: eye and face protection, long sleeves, nobody in line with a string."
            }
            Self::PullUp => {
                "Bring the whole compass up evenly, pass by pass: the plate can crack when one part bears alone."
            }
            Self::LetDown => {
                "Let the tension down evenly over the whole compass, a part of a turn at a time, before any string \
                 comes off: the plate can crack when one part bears alone. Never cut a string that pulls."
            }
            Self::Plate => {
                "A cracked plate can fail at once: nothing is pulled up or let down before a qualified person has \
                 seen it."
            }
            Self::Wire => {
                "A coil of wire springs open: gloves, free end held and bent, cut ends caught and thrown away in a box."
            }
            Self::Lead => {
                "Key weights, and dust under strings and keys, may hold lead, which is toxic: no dry sanding, filing \
                 or blowing out; mask and gloves, wipe wet, wash hands before eating; treat the waste as lead."
            }
            Self::Felt => {
                "Old felt may hold moth proofing, mould or droppings, and filing it makes fine dust: mask and \
                 extraction, no blowing out."
            }
            Self::Solvents => {
                "Cleaners, solvents and pin treatments: fresh air, no flame, gloves; by the maker’s safety sheet."
            }
            Self::UprightTips => {
                "An upright tips, the more so with action or keys out: two people, casters blocked, never on its \
                 back without a tilter made for it."
            }
            Self::GrandTips => {
                "A grand on its side or without its legs: never alone, on boards made for it."
            }
            Self::LocalRules => "Local rules and a qualified technician decide.",
        }
    }
}
