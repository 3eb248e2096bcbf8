//! The pitch of every note: fork, temperament, and octaves from there.
//!
//! A4 stands at the fork. The temperament is the clean octave A3-A4, or F3-F4 when a break lies inside
//! the first and none inside the second, in twelve equal steps of the fundamental; every other note
//! is tuned an octave from one that stands. Where the strings of that one are unknown, a note takes
//! the stretch of its neighbours that stand, in a straight line between them.

use super::octave::{self, Rules};
use super::{KEYS, SetBy, Tones};
use crate::measure::{Compass, Note, Sentence};
use crate::scale::breaks::BreakPlace;
use crate::sentence;

const A3: u8 = 37;
const A4: u8 = 49;
const F3: u8 = 33;
const OCTAVE: u8 = 12;
/// So many keys away a neighbour may stand for a note whose octave is unknown.
const NEAR: u8 = 6;

/// The octave in which the temperament is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Temperament {
    /// Its lower and upper note.
    pub octave: Compass,
    /// A break lies inside it.
    pub holds_a_break: bool,
}

/// Chooses the temperament; a sentence when nothing can be tuned at all.
pub(super) fn temperament(tones: &Tones, places: &[BreakPlace]) -> Result<Temperament, Sentence> {
    let octave = |low: u8| {
        let note = |key| Note::from_key(key).unwrap_or(Note::A4);
        let octave = Compass { first: note(low), last: note(low + OCTAVE) };
        let inside = |place: &&BreakPlace| place.above > octave.first && place.below < octave.last;
        Temperament { octave, holds_a_break: places.iter().find(inside).is_some() }
    };
    let known = |low: u8| tones.ratios(low).is_some() && tones.ratios(low + OCTAVE).is_some();
    if !known(A3) {
        return Err(sentence![
            "no tuning is foretold: it starts at A4 and the octave below it, and too little is known of \
             the strings of A3 or A4; measure their length and wire"
        ]);
    }
    let (usual, other) = (octave(A3), octave(F3));
    Ok(if usual.holds_a_break && known(F3) && !other.holds_a_break { other } else { usual })
}

/// Where a note stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pitch {
    /// Cents above equal temperament.
    pub stretch: f64,
    /// How it came there.
    pub by: SetBy,
}

/// Pitches by key.
pub(super) type Pitches = [Option<Pitch>; KEYS];

/// Every note that can be tuned.
pub(super) fn pitches(tones: &Tones, temperament: Temperament, rules: &Rules) -> Pitches {
    let mut pitches: Pitches = [None; KEYS];
    set_temperament(&mut pitches, tones, temperament, rules);
    loop {
        by_octaves(&mut pitches, tones, rules);
        if !by_neighbours(&mut pitches, tones) {
            return pitches;
        }
    }
}

/// How much wider than 1200 cents the octave above `lower` is tuned.
fn stretched(tones: &Tones, rules: &Rules, lower: u8) -> Option<f64> {
    octave::width(tones, rules, lower).map(|width| width.0 - 1200.0)
}

fn set_temperament(pitches: &mut Pitches, tones: &Tones, temperament: Temperament, rules: &Rules) {
    let low = temperament.octave.first.key();
    let from_fork = stretched(tones, rules, A3).unwrap_or(0.0);
    let step = stretched(tones, rules, low).unwrap_or(0.0) / f64::from(OCTAVE);
    // The member that the fork has set: A4 itself, or A3 by its octave from A4.
    let (member, at) = if low == A3 { (A4, 0.0) } else { (A3, -from_fork) };
    for key in low..=low + OCTAVE {
        let stretch = at + step * (f64::from(key) - f64::from(member));
        set(pitches, tones, key, stretch, SetBy::Temperament);
    }
    set(pitches, tones, A4, 0.0, SetBy::Fork);
}

fn set(pitches: &mut Pitches, tones: &Tones, key: u8, stretch: f64, by: SetBy) {
    if tones.ratios(key).is_some() {
        pitches[usize::from(key)] = Some(Pitch { stretch, by });
    }
}

/// Tunes every note whose octave towards the temperament stands.
fn by_octaves(pitches: &mut Pitches, tones: &Tones, rules: &Rules) {
    let last = KEYS as u8 - 1;
    for key in A4 + 1 - OCTAVE..=last {
        let from = pitches[usize::from(key - OCTAVE)].map(|pitch| pitch.stretch);
        if let (None, Some(from)) = (pitches[usize::from(key)], from)
            && let Some(more) = stretched(tones, rules, key - OCTAVE)
        {
            set(pitches, tones, key, from + more, SetBy::Octave);
        }
    }
    for key in (1..=last - OCTAVE).rev() {
        let from = pitches[usize::from(key + OCTAVE)].map(|pitch| pitch.stretch);
        if let (None, Some(from)) = (pitches[usize::from(key)], from)
            && let Some(more) = stretched(tones, rules, key)
        {
            set(pitches, tones, key, from - more, SetBy::Octave);
        }
    }
}

/// Gives the note nearest to the fork that no octave reaches the stretch of its neighbours; says
/// whether there was one.
fn by_neighbours(pitches: &mut Pitches, tones: &Tones) -> bool {
    let mut waiting: Vec<u8> = (1..KEYS as u8)
        .filter(|key| pitches[usize::from(*key)].is_none() && tones.ratios(*key).is_some())
        .collect();
    waiting.sort_by_key(|key| key.abs_diff(A4));
    for key in waiting {
        let standing = |key: u8| pitches[usize::from(key)].map(|pitch| (key, pitch.stretch));
        let below = (key.saturating_sub(NEAR).max(1)..key).rev().find_map(standing);
        let above = (key + 1..=(key + NEAR).min(KEYS as u8 - 1)).find_map(standing);
        if let (Some(below), Some(above)) = (below, above) {
            let share = f64::from(key - below.0) / f64::from(above.0 - below.0);
            let stretch = below.1 + share * (above.1 - below.1);
            set(pitches, tones, key, stretch, SetBy::Neighbours);
            return true;
        }
    }
    false
}
