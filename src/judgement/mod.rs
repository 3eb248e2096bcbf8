//! Opinion: limits, findings, verdicts.
//!
//! [`decide`] is the one call: an instrument and its computed strings in, a [`Judgement`] out. Facts
//! are gathered once (`facts`), each kind of finding has a file of its own, and `verdict` weighs what
//! they say. Nothing here rounds, reads a clock or a file; every threshold is in [`limit`].

pub mod breakage;
pub mod breaks;
mod decide;
mod facts;
mod fatigue;
mod finding;
pub mod hammers;
pub mod limit;
mod load;
mod next;
mod odds;
mod outcome;
pub mod pins;
mod regions;
mod rust;
mod sections;
mod stops;
mod tone;
mod verdict;
mod wear;

pub use decide::decide;
pub use finding::{Figure, Finding, FindingKind, Weighs};
pub use outcome::{
    Asked, HammerJudgement, Judgement, MeasureNext, PinJudgement, SectionJudgement, Stop,
};
pub use verdict::{HammerVerdict, LowerPitch, PinVerdict, StringVerdict};
