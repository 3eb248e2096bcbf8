//! Impossible wishes: which limit binds at which note, and the smallest relaxation that helps.
//!
//! Each limit is relaxed by itself, all others held, until there is a choice; a bound of single notes
//! to the least value at which one appears. Where no limit helps alone, all are set free and each is
//! tightened again as far as it goes: what is left is needed together.

use super::course::{BOUNDS, Bound, Candidate, Course};
use super::search::Net;
use crate::measure::Silent;

/// What a search may do beyond the course's own limits.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Allowed {
    beyond: [f64; BOUNDS],
    run: Option<usize>,
    any_order: bool,
    pull: Pull,
}

/// How much all strings may pull.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
enum Pull {
    #[default]
    AsStated,
    AtMost(f64),
    Any,
}

/// Sums of pulls are compared to this share: the order of adding must not decide.
const SAME_PULL: f64 = 1e-10;

impl Allowed {
    /// Nothing is held.
    fn anything() -> Self {
        Self { beyond: [f64::INFINITY; BOUNDS], run: Some(1), any_order: true, pull: Pull::Any }
    }

    pub(super) fn allows(&self, candidate: &Candidate) -> bool {
        candidate.breach.iter().zip(self.beyond).all(|(breach, beyond)| *breach <= beyond)
    }

    pub(super) fn cap(&self, course: &Course) -> Option<f64> {
        let cap = match self.pull {
            Pull::AsStated => course.most_pull,
            Pull::AtMost(pull) => Some(pull),
            Pull::Any => None,
        };
        cap.map(|cap| cap * (1.0 + SAME_PULL))
    }

    pub(super) fn fewest_in_run(&self, course: &Course) -> usize {
        self.run.unwrap_or(usize::MAX).min(course.fewest_in_run())
    }

    pub(super) fn never_thinner_down(&self, course: &Course) -> bool {
        course.rules.never_thinner_down && !self.any_order
    }
}

/// One limit, relaxed as little as helps.
#[derive(Debug, Clone, PartialEq)]
pub enum Relaxation {
    /// A limit of single notes.
    Bound {
        /// Which.
        bound: Bound,
        /// How far it must be passed, in its own unit.
        by: f64,
        /// At which places, and how far at each.
        at: Vec<(usize, f64)>,
    },
    /// Shorter runs.
    Run {
        /// Notes that a run may have.
        fewest: usize,
    },
    /// Wire may get thinner going down.
    Order,
    /// More pull of all strings together.
    Pull {
        /// The least that they can pull, N.
        pull: f64,
        /// What the cap is, N.
        cap: f64,
    },
}

/// Why there is no choice, and what would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Places for which nothing can be had, whatever the limits.
    pub nothing_for: Vec<usize>,
    /// Limits of which each helps by itself.
    pub alone: Vec<Relaxation>,
    /// Where none does: what helps together.
    pub together: Vec<Relaxation>,
}

impl Refusal {
    /// What stands in the way of `course`, which has no choice.
    pub fn of(course: &Course) -> Self {
        let nothing_for: Vec<usize> =
            (0..course.places.len()).filter(|&i| course.places[i].candidates.is_empty()).collect();
        if !nothing_for.is_empty() {
            return Self { nothing_for, alone: Vec::new(), together: Vec::new() };
        }
        let alone: Vec<Relaxation> = Kind::ALL
            .into_iter()
            .filter_map(|kind| {
                let allowed = kind.least(course, &Allowed::default())?;
                kind.relaxation(course, &allowed)
            })
            .collect();
        let together = if alone.is_empty() { needed_together(course) } else { Vec::new() };
        Self { nothing_for, alone, together }
    }
}

/// A limit that may be relaxed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Bound(Bound),
    Pull,
    Run,
    Order,
}

impl Kind {
    /// In the order in which they are offered: what costs least to give up comes first.
    const ALL: [Self; BOUNDS + 3] = [
        Self::Pull,
        Self::Run,
        Self::Order,
        Self::Bound(Bound::LoadLow),
        Self::Bound(Bound::Gap),
        Self::Bound(Bound::LoadHigh),
        Self::Bound(Bound::Elastic),
    ];

    /// `held` with this limit relaxed as little as helps; `None` when it does not.
    fn least(self, course: &Course, held: &Allowed) -> Option<Allowed> {
        match self {
            Self::Pull => {
                let free = Allowed { pull: Pull::Any, ..held.clone() };
                let pull = least_pull(course, &free)?;
                Some(Allowed { pull: Pull::AtMost(pull), ..held.clone() })
            }
            Self::Run => (1..course.fewest_in_run())
                .rev()
                .map(|run| Allowed { run: Some(run), ..held.clone() })
                .find(|allowed| is_possible(course, allowed)),
            Self::Order => {
                let allowed = Allowed { any_order: true, ..held.clone() };
                is_possible(course, &allowed).then_some(allowed)
            }
            Self::Bound(bound) => {
                let with = |by: f64| {
                    let mut allowed = held.clone();
                    allowed.beyond[bound as usize] = by;
                    allowed
                };
                let steps = breaches(course, bound);
                let helps = |step: &f64| is_possible(course, &with(*step));
                let at = steps.partition_point(|step| !helps(step));
                steps.get(at).map(|by| with(*by))
            }
        }
    }

    /// What `allowed` says of this limit; `None` when it is kept.
    fn relaxation(self, course: &Course, allowed: &Allowed) -> Option<Relaxation> {
        match self {
            Self::Pull => match (allowed.pull, course.most_pull) {
                (Pull::AtMost(pull), Some(cap)) if pull > cap => {
                    Some(Relaxation::Pull { pull, cap })
                }
                _ => None,
            },
            Self::Run => {
                let fewest = allowed.fewest_in_run(course);
                (fewest < course.fewest_in_run()).then_some(Relaxation::Run { fewest })
            }
            Self::Order => {
                (course.rules.never_thinner_down && allowed.any_order).then_some(Relaxation::Order)
            }
            Self::Bound(bound) => {
                let at = broken(course, bound, allowed);
                let by = at.iter().map(|(_, by)| *by).fold(0.0, f64::max);
                (by > 0.0).then_some(Relaxation::Bound { bound, by, at })
            }
        }
    }

    /// `allowed` with this limit held as stated.
    fn held(self, allowed: &Allowed) -> Allowed {
        let mut held = allowed.clone();
        match self {
            Self::Pull => held.pull = Pull::AsStated,
            Self::Run => held.run = None,
            Self::Order => held.any_order = false,
            Self::Bound(bound) => held.beyond[bound as usize] = 0.0,
        }
        held
    }
}

/// All limits free, then each tightened again as far as it goes, the dearest to give up first.
fn needed_together(course: &Course) -> Vec<Relaxation> {
    let mut allowed = Allowed::anything();
    for kind in Kind::ALL.into_iter().rev() {
        let held = kind.held(&allowed);
        if is_possible(course, &held) {
            allowed = held;
        } else if let Some(least) = kind.least(course, &held) {
            allowed = least;
        }
    }
    Kind::ALL.into_iter().filter_map(|kind| kind.relaxation(course, &allowed)).collect()
}

/// How far candidates break `bound`: every value that occurs, least first.
fn breaches(course: &Course, bound: Bound) -> Vec<f64> {
    let mut values: Vec<f64> = course
        .places
        .iter()
        .flat_map(|place| place.candidates.iter().map(|c| c.breach[bound as usize]))
        .filter(|breach| *breach > 0.0)
        .collect();
    values.sort_by(f64::total_cmp);
    values.dedup();
    values
}

fn is_possible(course: &Course, allowed: &Allowed) -> bool {
    let pull = least_pull(course, allowed);
    pull.is_some_and(|pull| allowed.cap(course).is_none_or(|cap| pull <= cap))
}

fn least_pull(course: &Course, allowed: &Allowed) -> Option<f64> {
    lightest(course, allowed).map(|choice| course.pull(&choice))
}

/// Where a choice within `allowed` that breaks `bound` least in all breaks it, the worst first.
fn broken(course: &Course, bound: Bound, allowed: &Allowed) -> Vec<(usize, f64)> {
    let mut priced = course.clone();
    for place in &mut priced.places {
        for candidate in &mut place.candidates {
            candidate.pull = candidate.breach[bound as usize];
        }
    }
    let gentle = lightest(&priced, allowed);
    let keeps_cap =
        |choice: &Vec<usize>| allowed.cap(course).is_none_or(|cap| course.pull(choice) <= cap);
    let Some(choice) = gentle.filter(keeps_cap).or_else(|| lightest(course, allowed)) else {
        return Vec::new();
    };
    let mut at: Vec<(usize, f64)> = course
        .chosen(&choice)
        .enumerate()
        .map(|(i, candidate)| (i, candidate.breach[bound as usize]))
        .filter(|(_, breach)| *breach > 0.0)
        .collect();
    at.sort_by(|a, b| b.1.total_cmp(&a.1));
    at
}

/// The choice that pulls least within `allowed`; `None` when there is none.
fn lightest(course: &Course, allowed: &Allowed) -> Option<Vec<usize>> {
    // A silent watch never stops.
    let net = Net::of(course, allowed, &Silent).ok()?;
    net.least_pull(&Silent).ok()?
}
