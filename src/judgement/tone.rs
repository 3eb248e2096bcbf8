//! Tone of the wound strings, by ear.

use super::facts::{SectionFacts, ToneCount};
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use crate::instrument::About;
use crate::measure::{Piece, Sentence};
use crate::sentence;

/// How the tone of a section's wound strings stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum ToneState {
    /// Even, or a few dull.
    Even,
    /// Dull enough for a trial with cleaning or twisting.
    Treat,
    /// Single dead strings.
    SingleDead,
    /// The set has gone.
    SetGone,
}

/// How the tone stands by the shares of dull and dead strings.
pub(crate) fn by_share(dull: f64, dead: f64, stage: bool, limits: &Limits) -> ToneState {
    let part = |key| limits.value(key) / 100.0;
    if dead + dull / 2.0 >= part(LimitKey::ToneSet)
        || (stage && dead + dull >= part(LimitKey::ToneStage))
    {
        ToneState::SetGone
    } else if dead > 0.0 {
        ToneState::SingleDead
    } else if dull >= part(LimitKey::ToneTreat) {
        ToneState::Treat
    } else {
        ToneState::Even
    }
}

/// How the tone stands; `None` when nothing was listened to.
pub(crate) fn state(count: ToneCount, stage: bool, limits: &Limits) -> Option<ToneState> {
    let heard = count.heard();
    let part = |of: usize| of as f64 / heard as f64;
    (heard > 0).then(|| by_share(part(count.dull), part(count.dead), stage, limits))
}

/// The finding on a section's tone, where it has wound strings that were listened to.
pub(crate) fn finding(facts: &SectionFacts, state: ToneState, limits: &Limits) -> Finding {
    let count = facts.tone;
    let key = if state == ToneState::Treat { LimitKey::ToneTreat } else { LimitKey::ToneSet };
    let weighs = match state {
        ToneState::Even => Weighs::Keeps,
        ToneState::Treat | ToneState::SingleDead | ToneState::SetGone => Weighs::Decides,
    };
    // What the limit counts: dead and dull alike for a trial, dull ones half for a new set.
    let dull = if key == LimitKey::ToneTreat { 1.0 } else { 0.5 };
    let gone = (count.dead as f64 + dull * count.dull as f64) / count.heard() as f64;
    Finding::new(FindingKind::Tone, About::Section(facts.name.clone()), weighs, words(facts))
        .value(Figure::new(100.0 * gone, LimitUnit::Percent))
        .limit(limits.limit(key))
        .step(next(state))
}

fn words(facts: &SectionFacts) -> Sentence {
    let count = facts.tone;
    sentence![
        "of ",
        count.heard(),
        format!(" wound strings of the {} listened to, ", facts.name),
        Piece::Many(count.dull),
        if count.dull == 1 { " is dull and " } else { " are dull and " },
        Piece::Many(count.dead),
        " dead"
    ]
}

fn next(state: ToneState) -> Sentence {
    match state {
        ToneState::Even => "the tone is no reason for new strings".into(),
        ToneState::Treat => {
            "corrosion between the turns stiffens a string; cleaning or twisting helps for \
            a time: twist one and listen, change one and compare, before the rest"
                .into()
        }
        ToneState::SingleDead => "replace the dead ones, made to the measure of the old".into(),
        ToneState::SetGone => {
            "corrosion between the turns stiffens the strings and does not come out for \
            good: the cure is a new set"
                .into()
        }
    }
}
