//! `feltwire packet`: what was written, and in short what it says.

use super::columns::item;
use super::head;
use crate::document::words::{Style, list};
use crate::judgement::{SectionJudgement, StringVerdict};
use crate::report::Report;
use std::fmt::Write as _;

/// Which instrument, which files into which folder; then the verdicts with what decided them.
pub fn packet(report: &Report, folder: &str, files: &[&str]) -> String {
    let mut text = head(report);
    text.push_str(&item(
        "",
        &format!("Wrote {} files to {folder}: {}.", files.len(), files.join(", ")),
    ));
    if report.hammer_order.is_none() {
        text.push_str("No hammer order: the survey names no hammers table.\n");
    }
    if !files.contains(&"string-order.pdf") {
        text.push_str(&item("", &no_strings(report)));
    }
    let totals = &report.scale.totals;
    let pull = Style::PLAIN.force(totals.tension);
    let _ = writeln!(text, "{} strings pull {pull} at the finished pitch.", totals.strings);
    for stop in &report.judgement.stops {
        text.push_str(&item("STOP  ", &Style::PLAIN.sentence(&stop.why)));
    }
    for section in &report.judgement.sections {
        text.push_str(&item("", &verdict(section)));
    }
    text
}

/// Why no string is ordered.
fn no_strings(report: &Report) -> String {
    let sections = report.judgement.sections.iter();
    let open = sections.filter(|section| section.verdict == StringVerdict::RescaleBreak);
    let open: Vec<String> = open.map(|section| section.name.clone()).collect();
    if open.is_empty() {
        return "No string order: no string is to go, or too little was measured to say."
            .to_owned();
    }
    format!(
        "No string order yet: `feltwire restring` compares sizes for the break in the {}.",
        list(&open)
    )
}

/// One section's verdict and the finding that decided it.
fn verdict(section: &SectionJudgement) -> String {
    let decided = section.findings.iter().find(|finding| finding.kind == section.decided_by);
    let why = decided
        .map_or(String::new(), |finding| format!(": {}", Style::PLAIN.sentence(&finding.why)));
    format!("{}: {}{why}.", section.name, section.verdict.words())
}
