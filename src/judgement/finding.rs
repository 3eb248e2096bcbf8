//! A finding: what was found, where, with its figure and the limit that it was held against.

use super::limit::{Limit, LimitUnit};
use crate::instrument::About;
use crate::measure::Sentence;

/// Of what a finding speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FindingKind {
    /// Iron frame.
    Plate,
    /// Back frame.
    Frame,
    /// Bridges.
    Bridges,
    /// Pressure bar or agraffes.
    Bearing,
    /// Soundboard.
    Soundboard,
    /// Wire of iron, soft steel, or from before about 1880.
    Wire,
    /// Pin block, as looked at.
    Block,
    /// Tuning pins, by torque.
    Pins,
    /// Rust.
    Rust,
    /// Pitch as found.
    Pitch,
    /// Load at the finished pitch, both ways.
    Load,
    /// Breakage in the planned raise.
    Breakage,
    /// Strings that broke before.
    Fatigue,
    /// Tone of the wound strings.
    Tone,
    /// What no new wire of the same size can mend.
    Scale,
    /// Only reversible advice is wanted.
    Heritage,
    /// Cost against the instrument.
    Money,
    /// Hammers.
    Hammers,
}

impl FindingKind {
    /// Every kind.
    pub const ALL: [Self; 18] = [
        Self::Plate,
        Self::Frame,
        Self::Bridges,
        Self::Bearing,
        Self::Soundboard,
        Self::Wire,
        Self::Block,
        Self::Pins,
        Self::Rust,
        Self::Pitch,
        Self::Load,
        Self::Breakage,
        Self::Fatigue,
        Self::Tone,
        Self::Scale,
        Self::Heritage,
        Self::Money,
        Self::Hammers,
    ];

    /// Its name, which machines rely on.
    pub fn name(self) -> &'static str {
        match self {
            Self::Plate => "plate",
            Self::Frame => "frame",
            Self::Bridges => "bridges",
            Self::Bearing => "bearing",
            Self::Soundboard => "soundboard",
            Self::Wire => "wire",
            Self::Block => "block",
            Self::Pins => "pins",
            Self::Rust => "rust",
            Self::Pitch => "pitch",
            Self::Load => "load",
            Self::Breakage => "breakage",
            Self::Fatigue => "fatigue",
            Self::Tone => "tone",
            Self::Scale => "scale",
            Self::Heritage => "heritage",
            Self::Money => "money",
            Self::Hammers => "hammers",
        }
    }
}

/// What a finding does to the verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weighs {
    /// Nothing is done before this is put right.
    Stops,
    /// It decides the verdict.
    Decides,
    /// It speaks for new strings (or heads) without deciding.
    Restrings,
    /// To be watched.
    Watch,
    /// It speaks for keeping.
    Keeps,
}

impl Weighs {
    /// Its name, which machines rely on.
    pub fn name(self) -> &'static str {
        match self {
            Self::Stops => "stops",
            Self::Decides => "decides",
            Self::Restrings => "restrings",
            Self::Watch => "watch",
            Self::Keeps => "keeps",
        }
    }
}

/// A number with its unit, and how far it may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// What it may be as little, and as much, as: an interval or a range of assumptions.
    pub range: Option<(f64, f64)>,
    /// Its unit.
    pub unit: LimitUnit,
}

impl Figure {
    /// A figure without a range.
    pub fn new(value: f64, unit: LimitUnit) -> Self {
        Self { value, range: None, unit }
    }

    /// The same, with its range.
    #[must_use]
    pub fn between(self, low: f64, high: f64) -> Self {
        Self { range: Some((low, high)), ..self }
    }
}

/// One finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Of what it speaks.
    pub kind: FindingKind,
    /// Where.
    pub about: About,
    /// What it does to the verdict.
    pub weighs: Weighs,
    /// Its figure, where it has one.
    pub value: Option<Figure>,
    /// The limit that the figure was held against.
    pub limit: Option<Limit>,
    /// In one sentence.
    pub why: Sentence,
    /// The chain that leads to it, step by step, with sources.
    pub chain: Vec<Sentence>,
}

impl Finding {
    /// A finding without figure, limit or chain.
    pub fn new(kind: FindingKind, about: About, weighs: Weighs, why: Sentence) -> Self {
        Self { kind, about, weighs, value: None, limit: None, why, chain: Vec::new() }
    }

    /// With its figure.
    #[must_use]
    pub fn value(self, value: Figure) -> Self {
        Self { value: Some(value), ..self }
    }

    /// With the limit that it was held against.
    #[must_use]
    pub fn limit(self, limit: &Limit) -> Self {
        Self { limit: Some(*limit), ..self }
    }

    /// With one more step of its chain.
    #[must_use]
    pub fn step(mut self, step: Sentence) -> Self {
        self.chain.push(step);
        self
    }
}
