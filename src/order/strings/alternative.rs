//! Alternatives to choose from: each the exact best of its wish among what the notes could get, and each
//! judged by the measure that judges the piano as found.

use super::choice::Choice;
use super::course::Terms;
use super::judge::Judged;
use super::staying::Staying;
use super::wind::Extent;
use super::wish::{Name, Prefer, Term};
use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::judgement::limit::Limits;
use crate::measure::{Force, Sentence};
use crate::scale::Scale;
use crate::scale::breaks::OffTrend;

/// What the alternatives are worked out from.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// What was read.
    pub instrument: &'a Instrument,
    /// What is believed of every string.
    pub belief: &'a Belief,
    /// The strings as found.
    pub scale: &'a Scale,
    /// Readings in doubt: no trend is drawn through their notes, and no term of the objective crosses
    /// a doubtful length.
    pub off: &'a [OffTrend],
    /// The limits in force.
    pub limits: &'a Limits,
    /// What stays on of the old strings, and is held as it is found.
    pub staying: &'a Staying,
}

/// Every way to string the piano that was tried.
#[derive(Debug, Clone)]
pub struct Rescale {
    /// The piano as found, by the measure that judges the alternatives.
    pub found: Judged,
    /// Pull of the notes known, as found.
    pub found_totals: Totals,
    /// Its scatter, as of the alternatives.
    pub found_scatter: [Option<f64>; 2],
    /// The alternatives that keep their limits, in the order of [`Name::ALL`].
    pub alternatives: Vec<Alternative>,
    /// Those that no choice can keep, and why.
    pub refused: Vec<Refused>,
    /// Other numbers of wound notes at the foot of the plain wire.
    pub extents: Vec<ExtentTried>,
    /// Which of these were not tried, for the strings there stay.
    pub extents_held: Vec<Sentence>,
    /// How the choice answers to its weights.
    pub swayed: Vec<Swayed>,
    /// The alternative whose weights those are.
    pub swayed_from: Name,
    /// What was preferred.
    pub prefer: Prefer,
    /// What was held of the old strings.
    pub staying: Staying,
    /// Every old string in the nearest size in stock, those that stay too: a single one is replaced by
    /// it.
    pub copy: Choice,
}

/// One way to string the piano.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// Which.
    pub name: Name,
    /// What each note gets.
    pub choice: Choice,
    /// Sums over it.
    pub totals: Totals,
    /// The objective that it is the least of, term by term.
    pub terms: Terms,
    /// The strings as they would be, and their breaks, by the measure used on the piano as found.
    pub judged: Judged,
    /// Scatter of one note about a smooth course, as a logarithm: tension and inharmonicity; `None`
    /// with too few notes.
    pub scatter: [Option<f64>; 2],
    /// What it gives up.
    pub gives_up: Vec<Sentence>,
    /// What else must change at the piano.
    pub knock_on: Vec<Sentence>,
    /// Another number of wound notes than found.
    pub extent: Option<Extent>,
}

/// An alternative that no choice can keep.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Which.
    pub name: Name,
    /// Which limit binds where, and the smallest relaxation that helps.
    pub why: Vec<Sentence>,
}

/// Another number of wound notes, tried.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtentTried {
    /// Which.
    pub extent: Extent,
    /// What else must change at the piano.
    pub knock_on: Vec<Sentence>,
    /// What came of it; else why nothing did.
    pub outcome: Result<ExtentFigures, Vec<Sentence>>,
}

/// What another number of wound notes comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExtentFigures {
    /// The objective of `smooth`.
    pub objective: f64,
    /// Pull of all strings.
    pub pull: Force,
    /// Steps at the break between wound and plain, as fractions: tension, inharmonicity, load; `None`
    /// with too few notes.
    pub steps: [Option<f64>; 3],
}

/// How a choice answers to one weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swayed {
    /// The term.
    pub term: Term,
    /// By what its weight was multiplied.
    pub factor: f64,
    /// Notes that get another string; `None` when nothing could be had.
    pub notes: Option<usize>,
    /// Pull of all strings.
    pub pull: Option<Force>,
    /// Steps at the break between wound and plain, as in [`ExtentFigures::steps`].
    pub steps: [Option<f64>; 3],
}

/// Sums over a choice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Pull of all strings.
    pub pull: Force,
    /// Pull of the same notes as found.
    pub found: Force,
    /// Strings.
    pub strings: usize,
    /// Notes whose strings may go.
    pub open: usize,
    /// Different plain wires to buy; of the piano as found, those of the strings that may go.
    pub plain_sizes: usize,
    /// Notes whose strings differ from those of the copy.
    pub changed: usize,
}
