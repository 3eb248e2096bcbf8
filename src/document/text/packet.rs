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
        &format!("Wrote {} files to {folder}: {}.", files.len(), named(files)),
    ));
    if report.hammer_order.is_none() {
        text.push_str("No hammer order: the survey names no hammers table.\n");
    }
    if !files.contains(&"string-order.pdf") {
        text.push_str(&item("", &no_strings(report)));
    }
    let shop = &report.instrument.shop;
    if shop.name.is_none() && shop.address.is_empty() {
        text.push_str(&item("", NO_ADDRESS));
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

const NO_ADDRESS: &str = "The papers name no workshop and the orders say \u{201c}as on our letter\u{201d}: write name, \
     address and contact under [shop] of survey.toml.";

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

/// The files by name; plots, which come as lines and as pixels, once.
fn named(files: &[&str]) -> String {
    let plots: Vec<&str> = files.iter().filter_map(|file| file.strip_suffix(".svg")).collect();
    let plot = |file: &str| {
        let name = file.strip_suffix(".svg").or_else(|| file.strip_suffix(".png"));
        name.is_some_and(|name| plots.contains(&name))
    };
    let others: Vec<&str> = files.iter().copied().filter(|file| !plot(file)).collect();
    let others = others.join(", ");
    if plots.is_empty() {
        return others;
    }
    format!("{others}; the plots, each as .svg and .png: {}", plots.join(", "))
}
