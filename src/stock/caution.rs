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
                "Strings under load: eye and face protection, nobody in line with a string."
            }
            Self::PullUp => {
                "Bring the whole compass up evenly: the plate can crack when one part bears alone."
            }
            Self::LetDown => {
                "Let tension down evenly over the whole compass before any string comes off: the plate can crack \
                 when one part bears alone. Never cut a string that pulls."
            }
            Self::Plate => {
                "A cracked plate can fail at once: nothing is pulled up or let down before a qualified person has \
                 seen it."
            }
            Self::Wire => {
                "A coil of wire springs open: gloves, free end held and bent, cut ends caught and thrown away in a box."
            }
            Self::Lead => {
                "Key weights and old dust may hold lead, which is toxic: no dry sanding, filing or blowing; \
                 gloves, wipe wet, wash hands; treat the waste as lead."
            }
            Self::Felt => {
                "Old felt may hold moth proofing or mould, and filing it makes fine dust: mask and extraction, \
                 no blowing out."
            }
            Self::Solvents => {
                "Cleaners, solvents and pin treatments: fresh air, no flame, gloves; by the maker’s safety sheet."
            }
            Self::UprightTips => {
                "An upright tips: two people, casters blocked, never on its back without a tilter made for it."
            }
            Self::GrandTips => {
                "A grand on its side or without its legs: never alone, on boards made for it."
            }
            Self::LocalRules => "Local rules and a qualified technician decide.",
        }
    }
}
