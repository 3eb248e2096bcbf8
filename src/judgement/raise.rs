//! The raise: passes, overpull section by section, what it adds to the frame, which strings are at
//! risk, and the cautions.

use super::breakage::{Wires, breakage};
use super::facts::SectionFacts;
use super::limit::LimitKey;
use super::odds;
use super::outcome::SectionJudgement;
use super::sections::Judged;
use crate::instrument::State;
use crate::measure::{
    Cents, Force, Frequency, Note, Sentence, hertz, newtons, to_hertz, to_newtons,
};
use crate::scale::NoteStrings;
use crate::scale::pitch::pull_at;
use crate::sentence;
use crate::stock::Caution;

/// How the strings that stay are brought up.
#[derive(Debug, Clone, PartialEq)]
pub struct RaisePlan {
    /// Where A4 is to stand.
    pub a4: Frequency,
    /// How far that is from the finished pitch: zero, or a lower pitch that a section needs.
    pub below: Cents,
    /// Passes in order, the fine tuning last.
    pub passes: Vec<Pass>,
    /// Sections in the order of pulling.
    pub order: Vec<String>,
    /// Tension added by the strings that stay.
    pub added: Force,
    /// Chance that none of them breaks.
    pub none_breaks: f64,
    /// Expected number of strings broken.
    pub expected_broken: f64,
    /// The unisons most at risk, with the chance of each string, riskiest first.
    pub at_risk: Vec<(Note, f64)>,
    /// Cautions.
    pub cautions: Vec<Sentence>,
}

/// One pass through the strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// What kind of pass it is.
    pub kind: PassKind,
    /// How far each section is pulled in it, relative to the pitch aimed at: negative stays below,
    /// positive is overpull.
    pub sections: Vec<(String, Cents)>,
}

/// Kinds of passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PassKind {
    /// Part of the way, for a piano that is very flat.
    PartWay,
    /// To pitch, nothing over.
    ToPitch,
    /// Over pitch, by what will fall back.
    Over,
    /// Fine tuning.
    Fine,
}

impl PassKind {
    /// Its name, which machines rely on.
    pub fn name(self) -> &'static str {
        match self {
            Self::PartWay => "part_way",
            Self::ToPitch => "to_pitch",
            Self::Over => "over",
            Self::Fine => "fine",
        }
    }
}

/// A section on its way: its facts and how many cents it goes up.
struct Going<'a> {
    index: usize,
    facts: &'a SectionFacts,
    raise: f64,
}

/// The plan; none when nothing may be pulled up, or nothing needs more than tuning.
pub(crate) fn plan(
    judged: &Judged,
    facts: &[SectionFacts],
    sections: &[SectionJudgement],
) -> Option<RaisePlan> {
    let settled = |s: &SectionJudgement| s.verdict.may_be_raised() || s.verdict.strings_come_off();
    if !sections.iter().all(settled) {
        return None;
    }
    let stay =
        || sections.iter().zip(facts).enumerate().filter(|(_, (s, _))| s.verdict.may_be_raised());
    let below = stay()
        .filter_map(|(_, (section, _))| section.lower_pitch.map(|lower| lower.below.0))
        .fold(0.0, f64::min);
    let going: Vec<Going> = stay()
        .map(|(index, (_, facts))| Some(Going { index, facts, raise: facts.raise? + below }))
        .collect::<Option<_>>()?;
    let most = going.iter().map(|section| section.raise).fold(0.0, f64::max);
    if most <= judged.limits.value(LimitKey::RaiseSmall) {
        return None;
    }
    Some(with(judged, &going, below, most))
}

fn with(judged: &Judged, going: &[Going], below: f64, most: f64) -> RaisePlan {
    let limits = judged.limits;
    let pulled: Vec<_> = going
        .iter()
        .flat_map(|section| {
            let wires = Wires::of(section.facts.strung(), section.facts.rust.coils, limits);
            odds::pulled(section.facts, 1.0, section.facts.raise, below, wires, limits)
        })
        .collect();
    let loads: Vec<_> = going.iter().flat_map(|section| section.facts.loads.clone()).collect();
    let broken = breakage(&pulled);
    let added: f64 = going
        .iter()
        .map(|section| {
            let now = section.facts.raise.unwrap_or_default();
            let at = |above: f64| {
                let among = |entry: &NoteStrings| entry.section == section.index;
                pull_at(judged.scale, |entry| among(entry).then_some(Cents(above)))
            };
            let [to, from] = [below, -now].map(|above| to_newtons(at(above).totals.tension.value));
            to - from
        })
        .sum();
    RaisePlan {
        a4: hertz(to_hertz(judged.instrument.pitch) * Cents(below).ratio()),
        below: Cents(below),
        passes: passes(judged, going, most),
        order: going.iter().map(|section| section.facts.name.clone()).collect(),
        added: newtons(added),
        none_breaks: broken.none,
        expected_broken: broken.expected,
        at_risk: odds::riskiest(&loads, &broken),
        cautions: cautions(judged, going, most),
    }
}

fn passes(judged: &Judged, going: &[Going], most: f64) -> Vec<Pass> {
    let limits = judged.limits;
    let pass = |kind, to: &dyn Fn(&Going) -> f64| Pass {
        kind,
        sections: going
            .iter()
            .map(|section| (section.facts.name.clone(), Cents(to(section))))
            .collect(),
    };
    let mut passes = Vec::new();
    let step = limits.value(LimitKey::RaiseManyPasses).max(1.0);
    let mut left = most;
    while left > step {
        left -= step;
        let short = left;
        passes.push(pass(PassKind::PartWay, &|section| -section.raise.clamp(0.0, short)));
    }
    if most > limits.value(LimitKey::RaiseTwoPasses) {
        passes.push(pass(PassKind::ToPitch, &|_| 0.0));
    }
    passes.push(pass(PassKind::Over, &|s| odds::overpull(s.facts, s.raise, limits)));
    passes.push(pass(PassKind::Fine, &|_| 0.0));
    passes
}

fn cautions(judged: &Judged, going: &[Going], most: f64) -> Vec<Sentence> {
    let limits = judged.limits;
    let condition = judged.instrument.condition;
    let mut all: Vec<Sentence> =
        vec![Caution::StringsUnderLoad.words().into(), Caution::PullUp.words().into()];
    for (name, state) in condition.parts() {
        if state == State::NotLookedAt {
            all.push(sentence![format!("Not looked at: {name}. Look before pulling up.")]);
        } else if state != State::Sound {
            all.push(sentence![format!("Not sound: {name}. See to it before pulling up.")]);
        }
    }
    if going.iter().any(|s| {
        s.facts.rust.coils.is_some_and(|g| f64::from(g) >= limits.value(LimitKey::LightRust))
    }) {
        all.push("Rust at the bends: let each string down a little before pulling it up, so that it comes free.".into());
    }
    if most > limits.value(LimitKey::RaiseManyPasses) {
        all.push("So flat: tell the owner of the risk and have consent before beginning.".into());
    }
    all.push(Caution::LocalRules.words().into());
    all
}
