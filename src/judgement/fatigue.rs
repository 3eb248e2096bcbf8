//! Strings that broke before: where, doing what, and how often from now on.
//!
//! The rate a year is Gamma distributed before the history is known (mean 0.3 a year for an old upright
//! at home, standard deviation as large: shape 1; proposal) and so it is after n breakages in t years:
//! shape 1 + n, rate 1/0.3 + t (A. Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.6).

use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use crate::instrument::{About, BrokeWhen, BrokeWhere, Broken};
use crate::measure::{Note, Sentence};
use crate::sentence;
use statrs::distribution::{ContinuousCDF, Gamma};
use std::collections::BTreeMap;

/// Breakages a year: expected, with the interval that leaves out 5 % at each end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    /// Expected breakages a year.
    pub mean: f64,
    /// 5 % of what is believed lies below.
    pub low: f64,
    /// 5 % lies above.
    pub high: f64,
    /// Breakages counted.
    pub broken: usize,
    /// Over so many years.
    pub years: f64,
}

/// Shape and rate (years) of the Gamma distribution believed after `broken` strings in `years`.
fn believed(broken: usize, years: f64, limits: &Limits) -> (f64, f64) {
    let prior = limits.value(LimitKey::BrokenPrior).max(f64::MIN_POSITIVE);
    (1.0 + broken as f64, 1.0 / prior + years.max(0.0))
}

/// Shape and rate (years) of the Gamma distribution behind `rate`.
pub(crate) fn gamma(rate: &Rate, limits: &Limits) -> (f64, f64) {
    believed(rate.broken, rate.years, limits)
}

/// The rate believed after `broken` strings in `years`.
pub(crate) fn rate(broken: usize, years: f64, limits: &Limits) -> Rate {
    let (shape, per_year) = believed(broken, years, limits);
    let tail = limits.value(LimitKey::PinTail);
    let quantile =
        |at: f64| Gamma::new(shape, per_year).map_or(f64::NAN, |gamma| gamma.inverse_cdf(at));
    Rate { mean: shape / per_year, low: quantile(tail), high: quantile(1.0 - tail), broken, years }
}

/// Years over which breakages are known: from the first of them to `today`, or to the last.
pub(crate) fn years_watched(broken: &[Broken], today: Option<i32>) -> f64 {
    let years = || broken.iter().filter_map(|broken| broken.year);
    match (years().min(), today.or_else(|| years().max())) {
        (Some(first), Some(last)) if last >= first => f64::from(last - first + 1),
        _ => 0.0,
    }
}

/// How a section's breakages weigh.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum FatigueState {
    /// None, or too few to speak of.
    None,
    /// Watched.
    Watch,
    /// The wire is tired.
    Tired,
}

/// How a section's breakages weigh.
pub(crate) fn state(broken: &[Broken], limits: &Limits) -> FatigueState {
    let count = broken.len() as f64;
    let in_a_year = by_year(broken).into_values().max().unwrap_or(0) as f64;
    if count > limits.value(LimitKey::BrokenMany)
        || in_a_year >= limits.value(LimitKey::BrokenInAYear)
    {
        FatigueState::Tired
    } else if count >= limits.value(LimitKey::BrokenWatch) {
        FatigueState::Watch
    } else {
        FatigueState::None
    }
}

fn by_year(broken: &[Broken]) -> BTreeMap<i32, usize> {
    let mut years = BTreeMap::new();
    for year in broken.iter().filter_map(|broken| broken.year) {
        *years.entry(year).or_insert(0) += 1;
    }
    years
}

/// To what the breakages point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cause {
    /// At the coil while being tuned.
    Wire,
    /// In the length or at the bearing while being played.
    Blow,
    /// Nothing plain.
    Mixed,
}

/// To what most of the breakages point.
pub(crate) fn cause(broken: &[Broken]) -> Cause {
    let wire = |b: &&Broken| b.at == Some(BrokeWhere::Coil) || b.when == Some(BrokeWhen::Tuning);
    let blow = |b: &&Broken| {
        b.when == Some(BrokeWhen::Playing)
            && matches!(b.at, Some(BrokeWhere::Length | BrokeWhere::Bearing))
    };
    let (wire, blow) = (broken.iter().filter(wire).count(), broken.iter().filter(blow).count());
    if 2 * wire > broken.len() {
        Cause::Wire
    } else if 2 * blow > broken.len() {
        Cause::Blow
    } else {
        Cause::Mixed
    }
}

/// The finding on a section's breakages; none when nothing broke.
pub(crate) fn finding(
    facts: &SectionFacts,
    state: FatigueState,
    today: Option<i32>,
    limits: &Limits,
) -> Option<Finding> {
    let broken = &facts.broken;
    let count = broken.len();
    if count == 0 {
        return None;
    }
    let weighs = match state {
        FatigueState::Tired => Weighs::Decides,
        FatigueState::Watch | FatigueState::None => Weighs::Watch,
    };
    let rate = rate(count, years_watched(broken, today), limits);
    let finding = Finding::new(
        FindingKind::Fatigue,
        About::Section(facts.name.clone()),
        weighs,
        words(facts, state),
    )
    .value(Figure::new(count as f64, LimitUnit::Count))
    .limit(limits.limit(LimitKey::BrokenMany))
    .step(sentence![
        "breakages a year from now on, from this history and the prior of the limit `broken_a_year`: ",
        crate::measure::number(rate.mean), " (", crate::measure::number(rate.low), " to ",
        crate::measure::number(rate.high), ")"
    ]);
    Some(match partners(broken) {
        partners if partners.is_empty() => finding,
        partners => finding.step(next_to_go(&partners)),
    })
}

fn words(facts: &SectionFacts, state: FatigueState) -> Sentence {
    let count = facts.broken.len();
    let mut said = if count == 1 {
        sentence![format!("one string of the {} is known to have broken", facts.name)]
    } else {
        sentence![count, format!(" strings of the {} are known to have broken", facts.name)]
    };
    said.push(match (cause(&facts.broken), count) {
        (Cause::Wire, 1) => ", at the coil or while tuning: the wire",
        (Cause::Wire, _) => ", most of them at the coil or while tuning: the wire",
        (Cause::Blow, 1) => ", while playing, in the length or at the bearing: the blow",
        (Cause::Blow, _) => {
            ", most of them while playing, in the length or at the bearing: the blow; look at hammers \
             and bearing"
        }
        (Cause::Mixed, _) => "",
    });
    if state == FatigueState::Tired {
        said.push("; tired wire does not recover");
    }
    said
}

fn partners(broken: &[Broken]) -> Vec<Note> {
    let mut notes: Vec<Note> = broken.iter().map(|broken| broken.note).collect();
    notes.sort();
    notes.dedup();
    notes
}

fn next_to_go(notes: &[Note]) -> Sentence {
    let mut said =
        sentence!["the partners of the broken strings have had the same life and go next: "];
    for (index, note) in notes.iter().enumerate() {
        if index > 0 {
            said.push(", ");
        }
        said.push(*note);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_history_the_rate_is_the_prior() {
        // An exponential of mean 0.3: 5 % lies below −0.3 ln 0.95 and 5 % above −0.3 ln 0.05.
        let rate = rate(0, 0.0, &Limits::default());
        assert!((rate.mean - 0.3).abs() < 1e-12);
        assert!((rate.low + 0.3 * 0.95_f64.ln()).abs() < 1e-6);
        assert!((rate.high + 0.3 * 0.05_f64.ln()).abs() < 1e-6);
    }

    #[test]
    fn a_long_history_outweighs_the_prior() {
        let rate = rate(60, 100.0, &Limits::default());
        assert!((rate.mean - 0.6).abs() < 0.02 && rate.low < 0.6 && rate.high > 0.6);
    }
}
