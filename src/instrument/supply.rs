//! What can be bought, and what the strings should become, where the survey says.

use super::CoreShape;
use crate::measure::{Force, Note};
use crate::stock::{WindingSizes, WireSeries, WireSize};

/// The alternatives that a survey may choose.
pub const ALTERNATIVES: [&str; 6] =
    ["copy", "smooth", "lighter", "whole-sizes", "break-only", "wind-further"];

/// Wishes for new strings; what is not said is left to the tables.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supply {
    /// Series of music wire that is bought.
    pub series: Option<WireSeries>,
    /// Plain wire that the merchant holds; empty: every size that a source lists.
    pub plain: Vec<WireSize>,
    /// Core wire that the string maker holds; empty: every size listed, and those of the old cores.
    pub cores: Vec<WireSize>,
    /// Winding wire that the string maker holds; `None`: the lists of the tables.
    pub winding: Option<WindingSizes>,
    /// Shapes of core to be had; empty: as found.
    pub shapes: Vec<CoreShape>,
    /// The alternative that is ordered, by its name.
    pub choose: Option<&'static str>,
    /// Tension that one string is wished to have, by note from the bass; straight lines between.
    pub line: Vec<(Note, Force)>,
}
