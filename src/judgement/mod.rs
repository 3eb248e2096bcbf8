//! Opinion: limits, findings, verdicts.
//!
//! [`decide`] is the one call: an instrument and its computed strings in, a [`Judgement`] out. Facts
//! are gathered once (`facts`), each kind of finding has a file of its own, and `verdict` weighs what
//! they say. Nothing here rounds, reads a clock or a file; every threshold is in [`limit`].

mod agreement;
pub mod breakage;
pub mod breaks;
pub mod by_ear;
pub mod crosscheck;
mod decide;
mod facts;
mod fatigue;
mod finding;
mod guarantee;
pub mod hammers;
pub mod limit;
mod load;
mod next;
mod odds;
mod outcome;
pub mod pins;
pub mod plan;
mod raise;
pub mod readings;
pub mod received;
pub(crate) mod regions;
mod rust;
mod scale;
mod sections;
mod stops;
mod tone;
mod turn;
mod verdict;
mod wear;

pub use decide::decide;
pub use fatigue::Rate;
pub use finding::{Figure, Finding, FindingKind, Weighs};
pub use guarantee::{Guarantee, PathCost};
pub use load::load_limits;
pub use outcome::{
    Asked, HammerJudgement, Judgement, MeasureNext, PinJudgement, SectionJudgement, Stop, Turn,
};
pub use raise::{Pass, PassKind, RaisePlan};
pub use scale::BreakGrades;
pub use verdict::{HammerVerdict, LowerPitch, PinVerdict, StringVerdict};
