//! The alternatives by name, each defined by its weights; and what the rebuilder prefers.
//!
//! All weights are proposals, without a source: percent count against percent, so that a step of 1 % in
//! tension at a break costs as much as [`STEPS`]`[0]` percent of distance from the target, and a change
//! of plain wire as much as [`SIZE`] percent.

use super::course::{FIGURES, Rules, Weights};
use crate::judgement::limit::{LimitKey, Limits};

/// Evenness inside sections: tension, inharmonicity, impedance, load (proposal, no source).
const EVEN: [f64; FIGURES] = [1.0, 0.4, 0.3, 0.3];
/// Steps at breaks (proposal, no source).
const STEPS: [f64; FIGURES] = [6.0, 4.0, 1.0, 3.0];
/// Distance from the old scale, or of tension from the line wished for (proposal, no source).
const FAR: [f64; FIGURES] = [0.5, 0.1, 0.0, 0.1];
/// Distance where nothing else counts: every figure alike.
const COPY: [f64; FIGURES] = [1.0; FIGURES];
/// Price of a change of plain wire, percent (proposal, no source).
const SIZE: f64 = 1.0;
/// The same where few sizes are wanted (proposal, no source).
const SIZE_OF_FEW: f64 = 6.0;
/// Distance where another tension is aimed at (proposal, no source).
const AIMED: f64 = 0.6;

/// Which alternative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Name {
    /// The old scale in new wire of the nearest sizes in stock: nothing counts but the distance from
    /// it; no limit, no rule of runs.
    Copy,
    /// Even inside sections, small steps at breaks; total pull held.
    Smooth,
    /// The same, aimed at less pull, and held to it.
    Lighter,
    /// The same, of whole plain sizes only and few of them.
    WholeSizes,
    /// Smooth near breaks that are not smooth as found; everywhere else the copy.
    BreakOnly,
    /// Smooth with another number of wound notes, or of strings to them, at the foot of the plain wire.
    WindFurther,
    /// Smooth by the weights that the rebuilder set.
    Preferred,
}

impl Name {
    /// Every name, in the order in which alternatives are shown.
    pub const ALL: [Self; 7] = [
        Self::Copy,
        Self::Smooth,
        Self::Lighter,
        Self::WholeSizes,
        Self::BreakOnly,
        Self::WindFurther,
        Self::Preferred,
    ];

    /// Its name, as machines read it and on the command line.
    pub fn key(self) -> &'static str {
        match self {
            Self::Copy => "copy",
            Self::Smooth => "smooth",
            Self::Lighter => "lighter",
            Self::WholeSizes => "whole-sizes",
            Self::BreakOnly => "break-only",
            Self::WindFurther => "wind-further",
            Self::Preferred => "preferred",
        }
    }

    /// Its name as words.
    pub fn words(self) -> &'static str {
        match self {
            Self::WholeSizes => "whole sizes",
            Self::BreakOnly => "break only",
            Self::WindFurther => "wind further",
            other => other.key(),
        }
    }

    /// What it is, in a few words.
    pub fn about(self) -> &'static str {
        match self {
            Self::Copy => "the old scale in the nearest sizes in stock; no limit and no rule asked",
            Self::Smooth => "even inside sections, small steps at breaks, pull held",
            Self::Lighter => "smooth, aimed at less pull",
            Self::WholeSizes => "smooth, of whole plain sizes only and few of them",
            Self::BreakOnly => "smooth beside the breaks that need it, a copy elsewhere",
            Self::WindFurther => "smooth, with another number of wound notes above the bass",
            Self::Preferred => "smooth by the weights preferred",
        }
    }
}

/// A term of the objective that a rebuilder may count for more or less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Term {
    /// Evenness inside sections.
    Even,
    /// Steps at breaks.
    Breaks,
    /// Nearness to the old scale or the line wished for.
    Old,
    /// Few changes of plain wire.
    Sizes,
    /// Tension in evenness and steps.
    Tension,
    /// Inharmonicity in them.
    Inharmonicity,
    /// Impedance in them.
    Impedance,
    /// Load in them.
    Load,
}

impl Term {
    /// Every term.
    pub const ALL: [Self; 8] = [
        Self::Even,
        Self::Breaks,
        Self::Old,
        Self::Sizes,
        Self::Tension,
        Self::Inharmonicity,
        Self::Impedance,
        Self::Load,
    ];

    /// Its name on the command line.
    pub fn key(self) -> &'static str {
        match self {
            Self::Even => "even",
            Self::Breaks => "breaks",
            Self::Old => "old",
            Self::Sizes => "sizes",
            Self::Tension => "tension",
            Self::Inharmonicity => "inharmonicity",
            Self::Impedance => "impedance",
            Self::Load => "load",
        }
    }
}

/// What each term counts for, as a factor of our own weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prefer([f64; Term::ALL.len()]);

impl Default for Prefer {
    fn default() -> Self {
        Self([1.0; Term::ALL.len()])
    }
}

impl Prefer {
    /// The most that a term may count for.
    pub const MOST: f64 = 1000.0;

    /// The factor of `term`.
    pub fn factor(&self, term: Term) -> f64 {
        self.0[term as usize]
    }

    /// The same with another factor of `term`.
    #[must_use]
    pub fn with(mut self, term: Term, factor: f64) -> Self {
        self.0[term as usize] = factor;
        self
    }

    /// Whether it is our own weights.
    pub fn is_ours(&self) -> bool {
        *self == Self::default()
    }

    /// Reads `even=2,breaks=0.5`; a sentence for people when it cannot.
    ///
    /// ```
    /// use feltwire::order::strings::{Prefer, Term};
    /// let prefer = Prefer::parse("breaks=3, sizes=0.5").unwrap();
    /// assert_eq!((prefer.factor(Term::Breaks), prefer.factor(Term::Even)), (3.0, 1.0));
    /// assert!(Prefer::parse("break=3").unwrap_err().contains("one of even, breaks"));
    /// assert!(Prefer::parse("breaks=-1").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, String> {
        let mut prefer = Self::default();
        for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
            let names = Term::ALL.map(Term::key).join(", ");
            let (name, factor) = part.split_once('=').ok_or_else(|| {
                format!("`{part}` is no weight; write {}", "name=factor, as breaks=2")
            })?;
            let term = Term::ALL.into_iter().find(|term| term.key() == name.trim());
            let term = term
                .ok_or_else(|| format!("no weight is called `{}`; one of {names}", name.trim()))?;
            let factor: f64 = factor.trim().parse().map_err(|_| {
                format!(
                    "`{}` is no number; a weight counts 0 to {} times ours",
                    factor.trim(),
                    Self::MOST
                )
            })?;
            if !(0.0..=Self::MOST).contains(&factor) {
                return Err(format!(
                    "a weight counts 0 to {} times ours, not {factor}",
                    Self::MOST
                ));
            }
            prefer = prefer.with(term, factor);
        }
        Ok(prefer)
    }
}

/// What a choice is to be like.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wish {
    /// Evenness, steps, price of a size.
    pub weights: Weights,
    /// Distance from the target, by figure.
    pub far: [f64; FIGURES],
    /// Whether the tension is held against the line aimed at instead of the one found.
    pub along_line: bool,
    /// Factor on that line.
    pub aim: f64,
    /// Most pull, as a factor of what was found.
    pub most: Option<f64>,
    /// Runs and order.
    pub rules: Rules,
    /// Whole plain sizes only.
    pub whole_sizes: bool,
    /// Whether load, elastic limit and gap must be kept; else strings are made as they were found, with
    /// as many layers of winding.
    pub limits: bool,
}

impl Wish {
    /// The wish of an alternative under `prefer`.
    pub fn of(name: Name, prefer: &Prefer, limits: &Limits) -> Self {
        let share = |key| limits.value(key) / 100.0;
        let run = limits.value(LimitKey::RestringRun).max(1.0) as usize;
        let smooth = Self {
            weights: Weights { even: EVEN, steps: STEPS, size: SIZE },
            far: FAR,
            along_line: true,
            aim: 1.0,
            most: Some(1.0 + share(LimitKey::RestringPull)),
            rules: Rules { fewest_in_run: run, never_thinner_down: true },
            whole_sizes: false,
            limits: true,
        };
        match name {
            Name::Copy => Self {
                weights: Weights { even: [0.0; FIGURES], steps: [0.0; FIGURES], size: 0.0 },
                far: COPY,
                along_line: false,
                most: None,
                rules: Rules { fewest_in_run: 1, never_thinner_down: false },
                limits: false,
                ..smooth
            },
            Name::Smooth | Name::BreakOnly | Name::WindFurther => smooth,
            Name::Lighter => {
                let less = 1.0 - share(LimitKey::RestringLighter);
                Self { far: [AIMED, 0.1, 0.0, 0.1], aim: less, most: Some(less), ..smooth }
            }
            Name::WholeSizes => Self {
                weights: Weights { size: SIZE_OF_FEW, ..smooth.weights },
                whole_sizes: true,
                ..smooth
            },
            Name::Preferred => smooth.preferring(prefer),
        }
    }

    /// The same with every weight counted as preferred.
    pub fn preferring(mut self, prefer: &Prefer) -> Self {
        let figures = [Term::Tension, Term::Inharmonicity, Term::Impedance, Term::Load];
        for (q, figure) in figures.into_iter().enumerate() {
            let of_figure = prefer.factor(figure);
            self.weights.even[q] *= prefer.factor(Term::Even) * of_figure;
            self.weights.steps[q] *= prefer.factor(Term::Breaks) * of_figure;
            self.far[q] *= prefer.factor(Term::Old);
        }
        self.weights.size *= prefer.factor(Term::Sizes);
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::ALTERNATIVES;

    #[test]
    fn a_survey_may_choose_every_alternative_but_the_preferred() {
        let keys: Vec<&str> = Name::ALL.map(Name::key).to_vec();
        assert_eq!(keys.split_last(), Some((&"preferred", ALTERNATIVES.as_slice())));
    }
}
