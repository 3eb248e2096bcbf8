//! The first page of the assessment: stops, verdicts, what was not looked at, what to measure next.

use super::sheet::{Column, Sheet};
use super::{full, once, said};
use crate::document::verdicts;
use crate::document::words::{Style, cell, list};
use crate::instrument::State;
use crate::judgement::breaks::Grade;
use crate::judgement::limit::{Limit, LimitUnit};
use crate::judgement::{Finding, FindingKind, PinJudgement, SectionJudgement, Weighs};
use crate::measure::{Measured, mm, newton_metres};
use crate::report::{BreakReport, Report};
use crate::scale::breaks::Quantity;
use serde::Serialize;
use std::fmt::Write as _;

/// One verdict.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Verdict {
    about: String,
    notes: Option<String>,
    /// In how many re-runs it is the same.
    agreement: Option<String>,
    is: String,
    because: String,
    also: Option<String>,
    turned_by: Option<String>,
}

/// Strings, section by section.
pub(super) fn strings(report: &Report, style: Style) -> Vec<Verdict> {
    report
        .judgement
        .sections
        .iter()
        .zip(&report.instrument.sections)
        .map(|(judged, section)| {
            let deciding = deciding(judged);
            // Strings that wait for the pins: the figures stand in the table of the pins.
            let words = |finding: &Finding| match finding.kind {
                FindingKind::Pins => said(style, &finding.why),
                _ => against(finding, style),
            };
            let mut because = deciding.map_or_else(String::new, words);
            if let Some(lower) = &judged.lower_pitch {
                let _ = write!(
                    because,
                    " At the lower pitch A4 stands at {}{}.",
                    style.frequency(Measured::new(lower.a4, crate::measure::hertz(0.0))),
                    lower.load.map_or_else(String::new, |load| format!(
                        " and the most loaded string bears {}",
                        style.share(Measured::new(load, 0.0))
                    ))
                );
            }
            Verdict {
                about: super::capital(&judged.name),
                notes: Some(style.notes(section.notes)),
                agreement: judged.agreement.map(|share| {
                    let share = cell(Some(100.0 * share), 0);
                    format!("the same in {share} of 100 re-runs")
                }),
                is: judged.verdict.words().to_owned(),
                because,
                also: also(judged, style),
                turned_by: turned_by(judged, style),
            }
        })
        .collect()
}

fn deciding(judged: &SectionJudgement) -> Option<&Finding> {
    let decides = |finding: &&Finding| finding.kind == judged.decided_by;
    judged.findings.iter().find(decides).or(judged.findings.first())
}

/// What else speaks for new strings or is to be watched, each kind once.
fn also(judged: &SectionJudgement, style: Style) -> Option<String> {
    let first = deciding(judged);
    let mut kinds = Vec::from_iter(first.map(|finding| finding.kind));
    let mut sentences = Vec::new();
    for finding in judged.findings.iter().filter(|f| f.weighs <= Weighs::Watch) {
        if !kinds.contains(&finding.kind) {
            kinds.push(finding.kind);
            sentences.push(said(style, &finding.why));
        }
    }
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

/// The two smallest changes that turn the verdict.
fn turned_by(judged: &SectionJudgement, style: Style) -> Option<String> {
    let turns: Vec<String> = judged
        .would_turn
        .iter()
        .take(2)
        .map(|turn| format!("{}: {}", style.sentence(&turn.change), turn.becomes.words()))
        .collect();
    (!turns.is_empty()).then(|| full(&turns.join("; ")))
}

/// A finding in one sentence, the limit of its figure behind it unless the sentence names it; what the
/// limit is stands among the findings in full.
fn against(finding: &Finding, style: Style) -> String {
    let words = style.sentence(&finding.why);
    match finding.limit.as_ref().filter(|_| finding.value.is_some()) {
        Some(limit) if !words.contains("limit") => {
            full(&format!("{words} (limit {})", limit_value(limit, style)))
        }
        _ => full(&words),
    }
}

/// A limit's value in its unit.
pub(super) fn limit_value(limit: &Limit, style: Style) -> String {
    value(limit, limit.value, style)
}

/// `value` in the unit of `limit`.
pub(super) fn value(limit: &Limit, value: f64, style: Style) -> String {
    match limit.unit {
        LimitUnit::Chance => style.chance(value),
        LimitUnit::Percent => style.share(Measured::new(value / 100.0, 0.0)),
        LimitUnit::NewtonMetres => {
            style.torque(Measured::new(newton_metres(value), newton_metres(0.0)))
        }
        LimitUnit::Grade => format!("grade {}", cell(Some(value), 0)),
        LimitUnit::Millimetres => style.length(Measured::new(mm(value), mm(0.0))),
        unit => {
            let places = if value.fract() == 0.0 { 0 } else { 2 };
            let number = cell(Some(value), places);
            format!("{number}\u{a0}{}", unit.text()).trim_end().to_owned()
        }
    }
}

/// Pins, region by region; `None` when no torque was read.
pub(super) fn pins(report: &Report, style: Style) -> Option<Sheet> {
    let columns = vec![Column::left("Region"), Column::left("Verdict"), Column::wide("Because")];
    let row = |pins: &PinJudgement| {
        vec![
            super::capital(&pins.region),
            verdicts::pins(pins.verdict).to_owned(),
            said(style, &pins.finding.why),
        ]
    };
    let rows: Vec<Vec<String>> = report.judgement.pins.iter().map(row).collect();
    (!rows.is_empty()).then(|| Sheet::new(columns, rows))
}

/// The hammers, as they are.
pub(super) fn hammers(report: &Report, style: Style) -> Verdict {
    let judged = &report.judgement.hammers;
    let strongest = judged.findings.iter().map(|finding| finding.weighs).min();
    let deciding: Vec<&Finding> =
        judged.findings.iter().filter(|f| Some(f.weighs) == strongest).collect();
    let because: Vec<String> = deciding.iter().map(|f| against(f, style)).collect();
    Verdict {
        about: "Hammers".to_owned(),
        notes: None,
        agreement: None,
        is: verdicts::hammers(judged.verdict).to_owned(),
        because: if because.is_empty() {
            "Neither marks nor felt were read of enough heads.".to_owned()
        } else {
            because.join(" ")
        },
        also: None,
        turned_by: None,
    }
}

/// Parts that carry load and tone, as looked at: the sound ones in one line, the others with what to do.
pub(super) fn parts(report: &Report, style: Style) -> Vec<String> {
    let sound: Vec<String> = report
        .instrument
        .condition
        .parts()
        .into_iter()
        .filter(|(_, state)| *state == State::Sound)
        .map(|(name, _)| name.to_owned())
        .collect();
    let bad = report
        .judgement
        .findings
        .iter()
        .filter(|finding| !matches!(finding.weighs, Weighs::Keeps | Weighs::Stops))
        .map(|finding| said(style, &finding.why));
    let sound = (!sound.is_empty()).then(|| format!("Sound, as looked at: {}.", list(&sound)));
    bad.chain(sound).collect()
}

/// What nobody looked at.
pub(super) fn not_looked_at(report: &Report) -> Vec<String> {
    let instrument = &report.instrument;
    let parts: Vec<String> =
        report.judgement.not_looked_at.iter().map(|part| (*part).to_owned()).collect();
    let mut open = Vec::new();
    if !parts.is_empty() {
        open.push(list(&parts));
    }
    let lacking = |lacks: &dyn Fn(usize) -> bool| -> Vec<String> {
        let names = instrument.sections.iter().enumerate();
        names.filter(|(index, _)| lacks(*index)).map(|(_, s)| s.name.clone()).collect()
    };
    let state = |index: usize| instrument.wire_state.iter().find(|s| s.section == index);
    let rust = lacking(&|index| state(index).is_none_or(|s| s.rust.coils.is_none()));
    let wound =
        |index: usize| {
            report.scale.notes.iter().any(|note| {
                note.section == index && note.kind == Some(crate::scale::StringKind::Wound)
            })
        };
    let tone = lacking(&|index| wound(index) && state(index).is_none_or(|s| s.tone.is_empty()));
    let pitch = lacking(&|index| instrument.found_in(index).is_none());
    for (what, sections) in [
        ("rust at coils and bends", rust),
        ("tone of the wound strings", tone),
        ("pitch as found", pitch),
    ] {
        if !sections.is_empty() {
            open.push(format!("{what} ({})", sections.join(", ")));
        }
    }
    if instrument.pins.is_empty() {
        open.push("torque of the tuning pins".to_owned());
    } else if instrument.climate.humidity.is_none() {
        open.push("humidity of the room when the pins were read".to_owned());
    }
    if instrument.hammers.rows.is_empty() {
        open.push("hammers".to_owned());
    }
    if open.is_empty() {
        return vec!["Everything else that a survey asks for was looked at.".to_owned()];
    }
    vec![full(&format!("not looked at: {}", open.join("; ")))]
}

/// What to measure or try next: for the verdicts, then readings that stand out, then the breaks.
pub(super) fn measure_next(report: &Report, style: Style) -> Vec<String> {
    let verdicts = report.judgement.measure_next.iter().map(|next| said(style, &next.what));
    let again = report.measure_again.iter().map(|warning| said(style, &warning.text));
    let breaks = report.breaks.iter().filter_map(|found| {
        let what = unsettled(found)?;
        let name = super::breaks::name(found, style);
        Some(full(&format!("To settle the break {name}: {}", style.sentence(what))))
    });
    once(verdicts.chain(again).chain(breaks))
}

/// What would settle the first of a break's main figures that is not settled.
fn unsettled(found: &BreakReport) -> Option<&crate::measure::Sentence> {
    [Quantity::Tension, Quantity::Load, Quantity::Inharmonicity].into_iter().find_map(|which| {
        let (_, graded) = found.figure(which)?;
        let open = matches!(graded.grade, Grade::NotSettled | Grade::TooFew);
        graded.measure.as_ref().filter(|_| open)
    })
}
