//! What stops all work under tension, and what was not looked at.

use super::finding::{Finding, FindingKind, Weighs};
use crate::instrument::{About, Condition, State};
use crate::measure::Sentence;
use crate::sentence;

/// The part that stops everything, if one does: the plate before the frame.
pub(crate) fn of(condition: Condition) -> Option<FindingKind> {
    let stops = |state| matches!(state, State::Doubtful | State::Failed);
    if stops(condition.plate) {
        Some(FindingKind::Plate)
    } else if stops(condition.frame) {
        Some(FindingKind::Frame)
    } else {
        None
    }
}

/// The finding on each part looked at or not; `bridges_stop` when a bridge must be mended first.
pub(crate) fn findings(condition: Condition, bridges_stop: bool) -> Vec<Finding> {
    parts(condition)
        .into_iter()
        .filter(|(_, _, state)| *state != State::NotLookedAt)
        .map(|(kind, name, state)| {
            let bad = matches!(state, State::Doubtful | State::Failed);
            let carries = matches!(kind, FindingKind::Plate | FindingKind::Frame);
            let weighs = match state {
                State::Sound | State::NotLookedAt => Weighs::Keeps,
                _ if bad && carries => Weighs::Stops,
                State::Failed if kind == FindingKind::Bridges && bridges_stop => Weighs::Stops,
                State::Failed if kind == FindingKind::Block => Weighs::Decides,
                State::Doubtful | State::Failed => Weighs::Watch,
            };
            Finding::new(kind, About::Set, weighs, words(kind, name, state))
        })
        .collect()
}

fn parts(condition: Condition) -> [(FindingKind, &'static str, State); 6] {
    let kinds = [
        FindingKind::Plate,
        FindingKind::Block,
        FindingKind::Frame,
        FindingKind::Bearing,
        FindingKind::Bridges,
        FindingKind::Soundboard,
    ];
    let mut index = 0;
    condition.parts().map(|(name, state)| {
        index += 1;
        (kinds[index - 1], name, state)
    })
}

/// What must be done about a part that stops the work.
pub(crate) fn words(kind: FindingKind, name: &str, state: State) -> Sentence {
    let found = match state {
        State::Sound => "sound",
        State::Doubtful => "doubtful",
        State::Failed => "failed",
        State::NotLookedAt => "not looked at",
    };
    let next = match (kind, state) {
        (_, State::Sound) => "",
        (FindingKind::Plate, _) => {
            ": have the plate seen to first; nothing is pulled up or restrung before"
        }
        (FindingKind::Frame, _) => {
            ": have the back frame seen to first; nothing is pulled up or restrung before"
        }
        (FindingKind::Bridges, State::Failed) => {
            ": recap or repair before any new string goes on and before anything is pulled up"
        }
        (FindingKind::Bridges, _) => ": look for cracks that join and pins that lean",
        (FindingKind::Block, State::Failed) => ": no strings go on before a new block is in",
        (FindingKind::Bearing, _) => ": mend it before pulling up",
        (FindingKind::Soundboard, _) => ": not judged here; look at ribs and downbearing",
        _ => ": look again",
    };
    sentence![format!("{name}: {found}{next}")]
}
