//! `feltwire decide`: a page that fits a screen.

use super::columns::item;
use super::head;
use crate::document::verdicts;
use crate::document::words::{Style, cell, whole_cents};
use crate::judgement::{Finding, FindingKind, PassKind, RaisePlan, SectionJudgement, Weighs};
use crate::measure::{Cents, Measured, to_newtons};
use crate::report::Report;
use std::fmt::Write as _;

/// Stops first; then strings, pins and hammers, each with the finding that decided it.
pub fn decide(report: &Report) -> String {
    let judgement = &report.judgement;
    let mut text = head(report);
    for stop in &judgement.stops {
        text.push_str(&item("STOP  ", &Style::PLAIN.sentence(&stop.why)));
    }
    text.push_str("\nStrings\n");
    for section in &judgement.sections {
        text.push_str(&strings(section));
    }
    text.push_str("\nPins\n");
    if judgement.pins.is_empty() {
        text.push_str("  no torque was read\n");
    }
    for pins in &judgement.pins {
        let _ = writeln!(text, "  {}: {}", pins.region, verdicts::pins(pins.verdict));
        text.push_str(&item("      ", &Style::PLAIN.sentence(&pins.finding.why)));
    }
    text.push_str("\nHammers\n");
    let _ = writeln!(text, "  {}", verdicts::hammers(judgement.hammers.verdict));
    for finding in deciding(&judgement.hammers.findings) {
        text.push_str(&item("      ", &Style::PLAIN.sentence(&finding.why)));
    }
    if let Some(plan) = &judgement.raise {
        text.push_str(&raise(plan));
    }
    if let Some(guarantee) = &judgement.guarantee {
        let years = crate::document::words::cell(Some(guarantee.years), 0);
        let _ = writeln!(text, "\nGuarantee of {years} years");
        for words in &guarantee.wording {
            text.push_str(&item("  - ", &Style::PLAIN.sentence(words)));
        }
    }
    if !judgement.not_looked_at.is_empty() {
        let _ = write!(text, "\nNot looked at: {}.\n", judgement.not_looked_at.join(", "));
    }
    text.push_str("\nMeasure or try next\n");
    if judgement.measure_next.is_empty() {
        text.push_str("  nothing more\n");
    }
    for next in judgement.measure_next.iter().take(5) {
        text.push_str(&item("  - ", &Style::PLAIN.sentence(&next.what)));
    }
    text
}

/// The whole chain of every finding of `kind`: what was held against what, with sources. `None` when
/// nothing of that kind was found.
pub fn explain(report: &Report, kind: FindingKind) -> Option<String> {
    let judgement = &report.judgement;
    let sections = judgement.sections.iter().flat_map(|section| &section.findings);
    let pins = judgement.pins.iter().map(|pins| &pins.finding);
    let mut found: Vec<&Finding> = sections
        .chain(pins)
        .chain(&judgement.hammers.findings)
        .chain(&judgement.findings)
        .filter(|finding| finding.kind == kind)
        .collect();
    found.dedup();
    if found.is_empty() {
        return None;
    }
    let mut text = head(report);
    for finding in found {
        text.push('\n');
        text.push_str(&item("", &Style::PLAIN.sentence(&finding.why)));
        let _ = writeln!(text, "    weighs: {}", finding.weighs.name());
        if let Some(limit) = &finding.limit {
            let value = crate::document::words::cell(Some(limit.value), 1);
            let words = format!(
                "limit `{}`: {value} {}, {} ({})",
                limit.name,
                limit.unit.text(),
                limit.about,
                limit.source.text()
            );
            text.push_str(&item("    ", &words));
        }
        for step in &finding.chain {
            text.push_str(&item("    - ", &Style::PLAIN.sentence(step)));
        }
    }
    Some(text)
}

fn strings(section: &SectionJudgement) -> String {
    let agreement = section.agreement.map_or(String::new(), |share| {
        format!(" (the same in {} of 100 re-runs)", hundredths(share))
    });
    let verdict = format!("{}: {}{agreement}", section.name, section.verdict.words());
    let mut text = item("  ", &verdict);
    let mut said: Vec<FindingKind> = Vec::new();
    for finding in section
        .findings
        .iter()
        .filter(|finding| finding.kind == section.decided_by || finding.weighs <= Weighs::Watch)
    {
        if !said.contains(&finding.kind) {
            said.push(finding.kind);
            text.push_str(&item("      ", &Style::PLAIN.sentence(&finding.why)));
        }
    }
    if let Some(turn) = section.would_turn.first() {
        let change = Style::PLAIN.sentence(&turn.change);
        text.push_str(&item(
            "      ",
            &format!("would turn it: {change} (then: {})", turn.becomes.words()),
        ));
    }
    text
}

/// How the strings that stay are brought up.
fn raise(plan: &RaisePlan) -> String {
    let below = if plan.below.0.abs() < 0.5 {
        String::new()
    } else {
        format!(", to {} below the finished pitch", Style::PLAIN.cents(exact(plan.below)))
    };
    let added = cell(Some(to_newtons(plan.added) / 1e3), 2);
    let mut text = format!("\nPitch raise{below}: {added} kN more pull\n");
    for (number, pass) in plan.passes.iter().enumerate() {
        let mut what = pass_words(pass.kind).to_owned();
        if pass.sections.iter().any(|(_, cents)| cents.0 != 0.0) {
            let each = pass.sections.iter();
            let each = each.map(|(name, cents)| format!("{name} {}", whole_cents(*cents)));
            let each: Vec<String> = each.collect();
            let _ = write!(what, ": {} cents", each.join(", "));
        }
        text.push_str(&item(&format!("  {}. ", number + 1), &what));
    }
    text.push_str(&item("     ", &format!("order: {}", plan.order.join(", "))));
    for caution in &plan.cautions {
        text.push_str(&item("  ! ", &Style::PLAIN.sentence(caution)));
    }
    text
}

fn exact(cents: Cents) -> Measured<Cents> {
    Measured::new(cents, Cents(0.0))
}

fn pass_words(kind: PassKind) -> &'static str {
    match kind {
        PassKind::PartWay => "part of the way, against the pitch aimed at",
        PassKind::ToPitch => "to pitch, nothing over",
        PassKind::Over => "over pitch, by what will fall back",
        PassKind::Fine => "fine tuning",
    }
}

/// The findings that speak for a change, or the first when none does.
fn deciding(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    let strongest = findings.iter().map(|finding| finding.weighs).min();
    findings.iter().filter(move |finding| Some(finding.weighs) == strongest).take(2)
}

fn hundredths(share: f64) -> String {
    crate::document::words::cell(Some(100.0 * share), 0)
}
