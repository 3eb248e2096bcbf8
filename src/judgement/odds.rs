//! Breakage in the planned raise of a section: from its facts to the model and back to words.

use super::breakage::{Breakage, Pulled, Wires, breakage, none_breaks};
use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use super::load::SmoothLoad;
use super::verdict::{Drawn, tension_factor};
use crate::instrument::About;
use crate::measure::{Note, Piece, Sentence, share};
use crate::sentence;

/// Overpull of a section that is raised by `raise` cents, cents above the pitch aimed at.
pub(crate) fn overpull(facts: &SectionFacts, raise: f64, limits: &Limits) -> f64 {
    if raise <= 0.0 {
        return 0.0;
    }
    let share = limits.value(overpull_share(facts, limits)) / 100.0;
    // Above the limit the first pass goes to pitch only; what then falls back is pulled over.
    let flat = if raise > limits.value(LimitKey::RaiseTwoPasses) { share * raise } else { raise };
    (share * flat).min(overpull_cap(facts, limits))
}

fn overpull_share(facts: &SectionFacts, limits: &Limits) -> LimitKey {
    let middle = facts
        .range()
        .map_or(0.0, |(first, last)| f64::midpoint(f64::from(first.key()), f64::from(last.key())));
    let mostly_wound = 2 * facts.loads.iter().filter(|s| s.wound).count() > facts.loads.len();
    if mostly_wound {
        LimitKey::OverpullBass
    } else if middle < limits.value(LimitKey::OverpullTrebleFrom) {
        LimitKey::OverpullTenor
    } else {
        LimitKey::OverpullTreble
    }
}

fn overpull_cap(facts: &SectionFacts, limits: &Limits) -> f64 {
    let rusty =
        facts.rust.coils.is_none_or(|grade| f64::from(grade) >= limits.value(LimitKey::LightRust));
    let heavy = super::load::greatest(&facts.loads)
        .is_some_and(|load| load > limits.value(LimitKey::PlainActHigh));
    limits.value(if rusty || heavy { LimitKey::OverpullCapRusty } else { LimitKey::OverpullCap })
}

/// The strings of a section on their way to `cents` of the finished pitch, with their wires.
pub(crate) fn pulled(
    facts: &SectionFacts,
    level: f64,
    raise: Option<f64>,
    cents: f64,
    wires: Wires,
    limits: &Limits,
) -> Vec<(Pulled, Wires)> {
    let over = match raise {
        Some(raise) => overpull(facts, raise + cents, limits),
        None => overpull_cap(facts, limits),
    };
    let top = level * tension_factor(cents + over);
    let borne = match (raise, facts.bore) {
        (Some(raise), Some(bore)) => level * tension_factor(-raise.min(bore)),
        _ => 0.0,
    };
    let one = |string: &SmoothLoad| Pulled {
        strings: string.strings,
        highest: string.load * top,
        borne: string.load * borne,
    };
    facts.loads.iter().map(|string| (one(string), wires)).collect()
}

/// Chance that none breaks, pulled to `cents` of the finished pitch.
pub(crate) fn none(facts: &SectionFacts, drawn: &Drawn, cents: f64, limits: &Limits) -> f64 {
    let wires = Wires::of(facts.strung(), drawn.coils, limits);
    none_breaks(&pulled(facts, drawn.level, drawn.raise, cents, wires, limits))
}

/// How many of the riskiest strings are named.
const NAMED: usize = 10;

/// The unisons most at risk in a list that belongs to `loads`, riskiest first.
pub(crate) fn riskiest(loads: &[SmoothLoad], breakage: &Breakage) -> Vec<(Note, f64)> {
    let mut all: Vec<(Note, f64)> =
        loads.iter().map(|string| string.note).zip(breakage.each.iter().copied()).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.truncate(NAMED);
    all.retain(|(_, p)| *p > 0.0);
    all
}

/// The finding on breakage in the raise of a section; none where nothing is known of its loads.
pub(crate) fn finding(facts: &SectionFacts, decides: bool, limits: &Limits) -> Option<Finding> {
    if facts.loads.is_empty() {
        return None;
    }
    let wires = Wires::of(facts.strung(), facts.rust.coils, limits);
    let odds =
        |flawed: f64| breakage(&pulled(facts, 1.0, facts.raise, 0.0, wires.flawed(flawed), limits));
    let (half, all, double) =
        (odds(wires.flawed / 2.0), odds(wires.flawed), odds(wires.flawed * 2.0));
    let weighs = if decides {
        Weighs::Decides
    } else if all.none < limits.value(LimitKey::NoneBreaksWatch) {
        Weighs::Restrings
    } else if facts.raise.is_some_and(|raise| raise <= limits.value(LimitKey::RaiseSmall)) {
        Weighs::Keeps
    } else {
        Weighs::Watch
    };
    let finding = Finding::new(
        FindingKind::Breakage,
        About::Section(facts.name.clone()),
        weighs,
        words(facts, &all, (&double, &half)),
    )
    .value(Figure::new(all.none, LimitUnit::Chance).between(double.none, half.none))
    .limit(limits.limit(LimitKey::NoneBreaksLeast))
    .step(model(wires, limits))
    .step(sentence![
        "expected number of strings broken: ",
        Piece::Expected(all.expected),
        " (",
        Piece::Expected(half.expected),
        " with half the share of flawed strings, ",
        Piece::Expected(double.expected),
        " with twice)"
    ]);
    let risky = riskiest(&facts.loads, &all);
    Some(if risky.is_empty() { finding } else { finding.step(by_name(&risky)) })
}

fn words(facts: &SectionFacts, all: &Breakage, (low, high): (&Breakage, &Breakage)) -> Sentence {
    // What follows the chance goes on in the same clause only where the pitch as found is known.
    let alike = match facts.raise {
        Some(_) => ", even with flaws twice as common,",
        None => ", even with flaws twice as common",
    };
    let mut said = sentence![
        format!("the {} comes up unbroken ", facts.name),
        Piece::ChanceBetween {
            chance: all.none,
            low: low.none,
            high: high.none,
            when: ", flaws twice or half as common",
            alike,
        },
    ];
    match facts.raise {
        Some(raise) if raise > 0.0 => {
            said.extend(sentence![" from ", crate::measure::Cents(raise), " flat"]);
        }
        Some(_) => said.push(" as it stands: nothing is pulled higher than it is"),
        None => said.push("; its pitch as found is not known, so nothing is taken as borne before"),
    }
    said
}

fn model(wires: Wires, limits: &Limits) -> Sentence {
    sentence![
        "strength in place ",
        share(wires.in_place),
        " of the series' minimum, spread ",
        share(wires.pianos),
        " between pianos and ",
        share(wires.strings),
        " between strings; ",
        share(wires.flawed),
        " of strings flawed, keeping ",
        share(wires.flaw.0),
        " to ",
        share(wires.flaw.1),
        format!(
            " (proposal; set so that about nine in ten old uprights come up unbroken: {})",
            limits.limit(LimitKey::FlawUnknown).source.text()
        )
    ]
}

fn by_name(risky: &[(Note, f64)]) -> Sentence {
    let mut said = sentence!["most at risk, the riskiest first: "];
    for (index, (note, _)) in risky.iter().enumerate() {
        if index > 0 {
            said.push(", ");
        }
        said.push(*note);
    }
    if let Some((_, most)) = risky.first() {
        said.extend(sentence!["; its chance is ", share(*most), " a string"]);
    }
    said
}
