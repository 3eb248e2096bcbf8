//! What a guarantee would have to pay for, and how to word it; and, where prices are given, what each
//! way costs over the same years.

use super::facts::SectionFacts;
use super::fatigue::{self, Rate};
use super::limit::{LimitKey, Limits};
use super::outcome::SectionJudgement;
use super::raise::RaisePlan;
use super::verdict::StringVerdict;
use crate::instrument::{Broken, Instrument, Money};
use crate::measure::{Sentence, number};
use crate::sentence;
use statrs::distribution::{DiscreteCDF, NegativeBinomial};

/// String breakages to expect over the years of a guarantee.
#[derive(Debug, Clone, PartialEq)]
pub struct Guarantee {
    /// Years asked for.
    pub years: f64,
    /// Breakages a year, from the history.
    pub rate: Rate,
    /// Expected number over those years.
    pub expected: f64,
    /// 5 % of what is believed lies below.
    pub low: u64,
    /// 5 % lies above.
    pub high: u64,
    /// Suggested wording: what is covered and what is not.
    pub wording: Vec<Sentence>,
}

/// The guarantee, where one is asked for.
pub(crate) fn of(
    instrument: &Instrument,
    facts: &[SectionFacts],
    sections: &[SectionJudgement],
    year: Option<i32>,
    limits: &Limits,
) -> Option<Guarantee> {
    let years = instrument.usage.guarantee_years.filter(|years| *years > 0.0)?;
    let rate = rate(facts, sections, year, limits);
    let (low, high) = spread(&rate, years, limits);
    Some(Guarantee {
        years,
        rate,
        expected: rate.mean * years,
        low,
        high,
        wording: wording(facts, sections, years),
    })
}

/// The rate of the strings that stay, from their own history.
fn rate(
    facts: &[SectionFacts],
    sections: &[SectionJudgement],
    year: Option<i32>,
    limits: &Limits,
) -> Rate {
    let broken: Vec<Broken> = facts
        .iter()
        .zip(sections)
        .filter(|(_, section)| !section.verdict.strings_come_off())
        .flat_map(|(facts, _)| facts.broken.clone())
        .collect();
    fatigue::rate(broken.len(), fatigue::years_watched(&broken, year), limits)
}

/// Breakages in `years` at a rate that is itself only believed: negative binomial.
fn spread(rate: &Rate, years: f64, limits: &Limits) -> (u64, u64) {
    let (shape, per_year) = fatigue::gamma(rate, limits);
    let tail = limits.value(LimitKey::PinTail);
    NegativeBinomial::new(shape, per_year / (per_year + years))
        .map_or((0, 0), |count| (count.inverse_cdf(tail), count.inverse_cdf(1.0 - tail)))
}

fn wording(facts: &[SectionFacts], sections: &[SectionJudgement], years: f64) -> Vec<Sentence> {
    let mut words = Vec::new();
    let named = |off: bool| {
        let names: Vec<&str> = sections
            .iter()
            .filter(|section| section.verdict.strings_come_off() == off)
            .map(|section| section.name.as_str())
            .collect();
        // As one says it: the last with "and"; all of several are the whole piano.
        match names.split_last() {
            Some((_, before)) if names.len() == sections.len() && !before.is_empty() => {
                "whole piano".to_owned()
            }
            Some((last, before)) if !before.is_empty() => {
                let between = if names.concat().contains(',') { "; " } else { ", " };
                let and = if between == "; " { ";" } else { "" };
                format!("{}{and} and {last}", before.join(between))
            }
            _ => names.concat(),
        }
    };
    let (new, old) = (named(true), named(false));
    if !new.is_empty() {
        words.push(sentence![
            format!("covered: new strings of the {new}, and the work on them, for "),
            number(years),
            " years; their first tunings are part of settling and are not a fault"
        ]);
    }
    if !old.is_empty() {
        words.push(sentence![format!(
            "not covered: breakage of old strings of the {old}; a broken one is replaced at the usual price"
        )]);
    }
    let risky = facts.iter().zip(sections).any(|(facts, section)| {
        !section.verdict.strings_come_off() && facts.rust.coils.is_some_and(|grade| grade >= 3)
    });
    if risky {
        words
            .push("the owner has been told that rusted strings stay on at the owner's wish".into());
    }
    words
}

/// What one way costs over the years.
#[derive(Debug, Clone, PartialEq)]
pub struct PathCost {
    /// Which way, as a verdict.
    pub path: StringVerdict,
    /// Expected cost, in the survey's currency.
    pub expected: f64,
    /// One standard deviation.
    pub sd: f64,
    /// Over so many years.
    pub years: f64,
}

/// Costs of the ways that have a price; empty when no prices are given.
pub(crate) fn costs(
    instrument: &Instrument,
    facts: &[SectionFacts],
    raise: Option<&RaisePlan>,
    year: Option<i32>,
    limits: &Limits,
) -> Vec<PathCost> {
    let Some(money) = &instrument.money else { return Vec::new() };
    let usual = limits.value(LimitKey::GuaranteeUsual);
    let years = instrument.usage.guarantee_years.unwrap_or(usual);
    let mut all = Vec::new();
    if let Some(visit) = money.visit {
        all.push(keep(visit, years, facts, raise, year, limits));
    }
    all.extend(at_price(money, years));
    all
}

fn keep(
    visit: f64,
    years: f64,
    facts: &[SectionFacts],
    raise: Option<&RaisePlan>,
    year: Option<i32>,
    limits: &Limits,
) -> PathCost {
    let broken: Vec<Broken> = facts.iter().flat_map(|facts| facts.broken.clone()).collect();
    let rate = fatigue::rate(broken.len(), fatigue::years_watched(&broken, year), limits);
    let (shape, per_year) = fatigue::gamma(&rate, limits);
    let raised = raise.map_or(0.0, |plan| plan.expected_broken);
    // Visits over the years are negative binomial: mean a t/b, variance a t/b (1 + t/b).
    let mean = shape * years / per_year;
    let variance = mean * (1.0 + years / per_year) + raised;
    PathCost {
        path: StringVerdict::Keep,
        expected: visit * (mean + raised),
        sd: visit * variance.sqrt(),
        years,
    }
}

fn at_price(money: &Money, years: f64) -> Vec<PathCost> {
    let fixed = |path, price: Option<f64>| {
        price.map(|expected| PathCost { path, expected, sd: 0.0, years })
    };
    [
        fixed(StringVerdict::ReplaceWoundSame, money.wound_set),
        fixed(StringVerdict::RestringSame, money.restring),
    ]
    .into_iter()
    .flatten()
    .collect()
}
