//! Hammers as read: samples, and stations where the action was measured.

use super::Place;
use crate::measure::{Angle, Length, Mass, Measured, Note};

/// Hammers of the survey.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hammers {
    /// Rows as read, by note.
    pub rows: Vec<HammerRow>,
    /// Felt added to the bore for later filing, as the survey says; `None` is none.
    pub allowance: Option<Length>,
    /// Whether heights were read on the strings that will stay on.
    pub heights_on: HeightsOn,
    /// What the maker of heads is asked beside sizes.
    pub wishes: Wishes,
}

/// What the maker of heads is asked beside sizes; what the survey does not say is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// When the heads are needed, as written.
    pub needed_by: Option<String>,
    /// Heads loose, or hung on shanks.
    pub hung: Option<Hung>,
    /// Whether the samples are to come back.
    pub samples_back: Option<bool>,
    /// Wood of the moulding.
    pub wood: Option<String>,
    /// Felt under the outer felt.
    pub under_felt: Option<String>,
    /// How the felt is fastened to the moulding.
    pub fastening: Option<String>,
    /// How hard the felt is wished.
    pub felt_hardness: Option<String>,
    /// Whether hardener may be used.
    pub hardener: Option<Hardener>,
    /// How the crown is to come.
    pub crown: Option<Crown>,
    /// Heads cut away beside struts, and what rubs now.
    pub cut_aways: Option<String>,
    /// Sides straight, tapered (from, to) or coved.
    pub sides: Option<String>,
    /// Width and shape of the tail; its arc in a grand.
    pub tail_shape: Option<String>,
    /// Hole straight or tapered.
    pub hole_shape: Option<HoleShape>,
    /// Depth of a blind hole.
    pub hole_depth: Option<Length>,
    /// Spare heads asked for.
    pub spares: Spares,
}

/// How heads are delivered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hung {
    /// Loose: the workshop hangs them.
    Loose,
    /// Hung on shanks by the maker.
    OnShanks,
}

/// How the crown is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Crown {
    /// As it comes from the press.
    AsPressed,
    /// Shaped.
    Shaped,
    /// Shaped and filed smooth, ready to hang.
    FinishFiled,
}

/// Whether hardener may be used on the felt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hardener {
    /// None at all.
    No,
    /// Only when asked before.
    AskFirst,
    /// Where the maker thinks it right.
    Allowed,
}

/// Shape of the hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoleShape {
    /// Of one diameter.
    Straight,
    /// Narrower to its end.
    Tapered,
}

/// Spare heads asked for.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Spares {
    /// The survey does not say.
    #[default]
    NotSaid,
    /// So many of every section.
    Each(usize),
    /// So many of the sections named, by index; none of the others.
    Of(Vec<(usize, usize)>),
}

impl Spares {
    /// Spare heads of section `index`, where the survey says.
    pub fn of(&self, index: usize) -> Option<usize> {
        match self {
            Self::NotSaid => None,
            Self::Each(count) => Some(*count),
            Self::Of(named) => {
                Some(named.iter().find(|(of, _)| *of == index).map_or(0, |(_, count)| *count))
            }
        }
    }
}

/// Down and up weight with a known mass clipped on the head: with the weights without it, what a gram of head
/// does at the key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clip {
    /// The mass clipped on.
    pub mass: Measured<Mass>,
    /// Down weight with it.
    pub down: Measured<Mass>,
    /// Up weight with it.
    pub up: Measured<Mass>,
}

/// On which strings the heights were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum HeightsOn {
    /// The old ones.
    OldStrings,
    /// The new ones.
    NewStrings,
    /// The survey does not say.
    #[default]
    NotSaid,
}

/// How the height of the string over the hammer centre was read; always whole, never half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Height {
    /// Shank held parallel to the strings: its axis to the string's surface at the head's place.
    ShankParallel {
        /// That distance, D.
        shank_to_string: Measured<Length>,
    },
    /// From the hammer centre pin.
    Centre {
        /// Perpendicular distance centre pin to string surface, h.
        centre_to_string: Measured<Length>,
        /// Offset of the shank's axis from the pin, positive away from the string, e.
        shank_offset: Measured<Length>,
    },
    /// Grand, from the keybed.
    Keybed {
        /// Height of the string.
        string_height: Measured<Length>,
        /// Height of the hammer centre.
        centre_height: Measured<Length>,
        /// Horizontal distance from centre to strike point.
        centre_to_strike: Measured<Length>,
        /// Rise of the string to the rear.
        string_rise: Measured<Angle>,
    },
}

/// How the felt already gone was read; always whole, never half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wear {
    /// Known outright.
    Lost(Measured<Length>),
    /// A flat on a crown of known radius.
    Flat {
        /// Length of the flat.
        flat: Measured<Length>,
        /// Radius of the crown.
        crown_radius: Measured<Length>,
    },
    /// A flat, and the outline's width at a depth below it.
    Outline {
        /// Length of the flat.
        flat: Measured<Length>,
        /// Width of the outline.
        outline: Measured<Length>,
        /// At this depth below the flat.
        depth: Measured<Length>,
    },
}

/// How the mass of a head was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeadMass {
    /// The head alone on the scale.
    Alone(Measured<Mass>),
    /// Head on its shank, the shank held level by its centre, less a bare shank weighed alike.
    OnShank {
        /// With the head.
        end_weight: Measured<Mass>,
        /// Without.
        shank_end: Measured<Mass>,
    },
}

impl HeadMass {
    /// The mass of the head.
    pub fn head(&self) -> Measured<Mass> {
        match *self {
            Self::Alone(mass) => mass,
            Self::OnShank { end_weight, shank_end } => Measured::new(
                end_weight.value - shank_end.value,
                crate::measure::grams(
                    crate::measure::to_grams(end_weight.sd)
                        .hypot(crate::measure::to_grams(shank_end.sd)),
                ),
            ),
        }
    }
}

/// Whether the shank hole goes through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HoleKind {
    /// Right through the moulding.
    Through,
    /// Ends in the moulding.
    Blind,
}

/// What was read of one sampled hammer or measured station.
#[derive(Debug, Clone, PartialEq)]
pub struct HammerRow {
    /// The note.
    pub note: Note,
    /// Height of the string over the hammer centre.
    pub height: Option<Height>,
    /// Offset of the shank's axis from the centre pin, positive away from the string, where it was
    /// read beside [`Height::ShankParallel`]; the other heights hold their own.
    pub shank_offset: Option<Measured<Length>>,
    /// Hammer centre pin to the head's axis, along the shank, R.
    pub centre_to_head: Option<Measured<Length>>,
    /// Rake, positive when the crown tips towards the hammer centre.
    pub rake: Option<Measured<Angle>>,
    /// Shank-hole axis to crown, as found.
    pub bore: Option<Measured<Length>>,
    /// Felt already gone.
    pub wear: Option<Wear>,
    /// The head was reshaped before: its crown proves nothing.
    pub filed: bool,
    /// Mass of the head.
    pub mass: Option<HeadMass>,
    /// Side angle of the head in plan, positive when the end away from the hammer centre leans to
    /// the treble.
    pub side_angle: Option<Measured<Angle>>,
    /// Splay of the string, same sense.
    pub splay: Option<Measured<Angle>>,
    /// Tilt about the shank.
    pub tilt: Option<Measured<Angle>>,
    /// Spacing of heads along the rail.
    pub pitch: Option<Measured<Length>>,
    /// Head width at the crown.
    pub width: Option<Measured<Length>>,
    /// Hole axis to tail end.
    pub tail: Option<Measured<Length>>,
    /// Hole diameter.
    pub hole: Option<Measured<Length>>,
    /// Through or blind.
    pub hole_kind: Option<HoleKind>,
    /// Shank diameter.
    pub shank: Option<Measured<Length>>,
    /// Hole axis to moulding tip.
    pub moulding: Option<Measured<Length>>,
    /// Overall height of the head.
    pub head_length: Option<Measured<Length>>,
    /// Felt left over the moulding.
    pub felt: Option<Measured<Length>>,
    /// Length of the string marks.
    pub mark: Option<Measured<Length>>,
    /// Blow distance.
    pub blow: Option<Measured<Length>>,
    /// Down weight at the key, dampers lifted.
    pub down: Option<Measured<Mass>>,
    /// Up weight.
    pub up: Option<Measured<Mass>>,
    /// Down and up with a known mass clipped on the head.
    pub clip: Option<Clip>,
    /// Where the row stands.
    pub place: Place,
}

impl HammerRow {
    /// A row of which nothing but the note has been read.
    pub fn empty(note: Note, place: Place) -> Self {
        Self {
            note,
            height: None,
            shank_offset: None,
            centre_to_head: None,
            rake: None,
            bore: None,
            wear: None,
            filed: false,
            mass: None,
            side_angle: None,
            splay: None,
            tilt: None,
            pitch: None,
            width: None,
            tail: None,
            hole: None,
            hole_kind: None,
            shank: None,
            moulding: None,
            head_length: None,
            felt: None,
            mark: None,
            blow: None,
            down: None,
            up: None,
            clip: None,
            place,
        }
    }
}
