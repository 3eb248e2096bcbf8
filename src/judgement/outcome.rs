//! What a judgement holds.

use super::finding::{Finding, FindingKind};
use super::guarantee::{Guarantee, PathCost};
use super::raise::RaisePlan;
use super::verdict::{HammerVerdict, LowerPitch, PinVerdict, StringVerdict};
use crate::instrument::About;
use crate::measure::Sentence;

/// What the asker adds to the survey.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// This year, for rates of breakage; `None` counts to the last breakage known.
    pub year: Option<i32>,
    /// Re-runs for the agreement; with none, what would turn a verdict is left out too.
    pub draws: usize,
    /// Their seed.
    pub seed: u64,
}

impl Default for Asked {
    fn default() -> Self {
        Self { year: None, draws: 2000, seed: 1 }
    }
}

/// What is recommended, and on what it rests.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Strings, section by section from the bass.
    pub sections: Vec<SectionJudgement>,
    /// Pins, region by region as surveyed.
    pub pins: Vec<PinJudgement>,
    /// Hammers.
    pub hammers: HammerJudgement,
    /// What must be put right before anything else.
    pub stops: Vec<Stop>,
    /// Findings on the whole instrument.
    pub findings: Vec<Finding>,
    /// Parts that nobody looked at.
    pub not_looked_at: Vec<&'static str>,
    /// What to measure or try next, most useful first; empty: nothing more.
    pub measure_next: Vec<MeasureNext>,
    /// How the strings that stay are brought up; none when nothing may be, or need be.
    pub raise: Option<RaisePlan>,
    /// What a guarantee would have to pay for, when one is asked for.
    pub guarantee: Option<Guarantee>,
    /// What each way costs, when prices are given.
    pub costs: Vec<PathCost>,
}

/// On the strings of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionJudgement {
    /// The section.
    pub name: String,
    /// The recommendation.
    pub verdict: StringVerdict,
    /// The finding that decided it.
    pub decided_by: FindingKind,
    /// Share of re-runs with the same verdict; `None` when nothing that was read could change it.
    pub agreement: Option<f64>,
    /// A lower pitch that is advised, or that would do.
    pub lower_pitch: Option<LowerPitch>,
    /// Findings, the deciding one first.
    pub findings: Vec<Finding>,
    /// Smallest changes of one input that turn the verdict, the smallest first.
    pub would_turn: Vec<Turn>,
}

/// A change of one input, and the verdict that it turns to.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// On which finding the input bears.
    pub kind: FindingKind,
    /// The change, from "if".
    pub change: Sentence,
    /// The verdict then.
    pub becomes: StringVerdict,
}

/// On the pins of one region.
#[derive(Debug, Clone, PartialEq)]
pub struct PinJudgement {
    /// The region.
    pub region: String,
    /// The recommendation.
    pub verdict: PinVerdict,
    /// Readings still needed before it can be judged; 0 when it can.
    pub more_readings: usize,
    /// The finding.
    pub finding: Finding,
}

/// On the hammers.
#[derive(Debug, Clone, PartialEq)]
pub struct HammerJudgement {
    /// The recommendation.
    pub verdict: HammerVerdict,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// A part that stops the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// Which part.
    pub kind: FindingKind,
    /// What must be done.
    pub why: Sentence,
}

/// One more reading or trial.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureNext {
    /// On which finding it bears.
    pub kind: FindingKind,
    /// Where.
    pub about: About,
    /// What to do, with which tool.
    pub what: Sentence,
    /// How many readings, where it is a matter of number.
    pub readings: Option<usize>,
}
