//! Angles and heights in words: nobody orders by a bare sign.

use crate::instrument::{HeightsOn, Kind};
use crate::measure::{Angle, Sentence, to_radians};

/// On which strings the heights were read.
pub(super) fn heights(on: HeightsOn) -> Sentence {
    Sentence::words(match on {
        HeightsOn::NewStrings => "heights were read on the new strings, at pitch",
        HeightsOn::OldStrings => {
            "heights were read on the old strings; where strings are renewed, restring first, read the \
             heights again, then order"
        }
        HeightsOn::NotSaid => {
            "the survey does not say whether heights were read on old or on new strings: settle this before boring"
        }
    })
}

/// To which side a rake leans.
pub(super) fn rake(kind: Kind, angle: Angle) -> &'static str {
    let angle = to_radians(angle);
    match (kind, angle.partial_cmp(&0.0)) {
        (Kind::Upright, Some(std::cmp::Ordering::Greater)) => {
            "crown leaning down, towards the hammer centre"
        }
        (Kind::Upright, Some(std::cmp::Ordering::Less)) => {
            "crown leaning up, away from the hammer centre"
        }
        (Kind::Grand, Some(std::cmp::Ordering::Greater)) => {
            "crown leaning to the player, towards the hammer centre"
        }
        (Kind::Grand, Some(std::cmp::Ordering::Less)) => {
            "crown leaning to the rear, away from the hammer centre"
        }
        _ => "head square to the shank",
    }
}

/// To which side the faces are turned.
pub(super) fn side(kind: Kind, angle: Angle) -> &'static str {
    let angle = to_radians(angle);
    match (kind, angle.partial_cmp(&0.0)) {
        (Kind::Upright, Some(std::cmp::Ordering::Greater)) => {
            "seen from the player, upper end to the right"
        }
        (Kind::Upright, Some(std::cmp::Ordering::Less)) => {
            "seen from the player, upper end to the left"
        }
        (Kind::Grand, Some(std::cmp::Ordering::Greater)) => {
            "seen from the player, from above, rear end to the right"
        }
        (Kind::Grand, Some(std::cmp::Ordering::Less)) => {
            "seen from the player, from above, rear end to the left"
        }
        _ => "hole square to the face",
    }
}

/// To which side heads are tilted about their shank: positive tilts the crown to the treble.
pub(super) fn tilt(angle: Angle) -> &'static str {
    match to_radians(angle).partial_cmp(&0.0) {
        Some(std::cmp::Ordering::Greater) => {
            "seen along the shank from the hammer centre, crown to the treble"
        }
        Some(std::cmp::Ordering::Less) => {
            "seen along the shank from the hammer centre, crown to the bass"
        }
        _ => "no tilt",
    }
}
