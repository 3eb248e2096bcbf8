//! `feltwire decide`: a page that fits a screen.

use super::columns::item;
use super::head;
use crate::document::verdicts;
use crate::document::words::Style;
use crate::judgement::{Finding, FindingKind, SectionJudgement, Weighs};
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

fn strings(section: &SectionJudgement) -> String {
    let agreement = section.agreement.map_or(String::new(), |share| {
        format!(" (the same in {} of 100 re-runs)", hundredths(share))
    });
    let mut text = format!("  {}: {}{agreement}\n", section.name, section.verdict.words());
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
    text
}

/// The findings that speak for a change, or the first when none does.
fn deciding(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    let strongest = findings.iter().map(|finding| finding.weighs).min();
    findings.iter().filter(move |finding| Some(finding.weighs) == strongest).take(2)
}

fn hundredths(share: f64) -> String {
    crate::document::words::cell(Some(100.0 * share), 0)
}
