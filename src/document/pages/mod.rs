//! What each template reads: texts worded and rounded, flat, from a report.
//!
//! A template lays out and never words; what it prints stands here.

mod action;
mod assessment;
mod assumptions;
mod breaks;
mod by_ear;
mod cautions;
mod hammer_order;
mod heads;
mod job_card;
mod measuring;
mod order_facts;
mod order_tables;
mod owner;
mod raise;
mod scale;
mod sheet;
mod string_order;
mod verdicts;

pub use assessment::{Assessment, assessment};
pub use hammer_order::{DRAWING, HammerOrderPages, hammer_order, hammer_order_csv};
pub use job_card::{JobCard, job_card};
pub use measuring::{Measuring, measuring, measuring_drawings};
pub use owner::{OwnerPage, owner};
pub use string_order::{StringOrderPages, StringingSheet, string_order, stringing_sheet};

use super::stamp::Stamp;
use super::typeset::Origin;
use super::words::{Style, list};
use crate::instrument::{About, Kind, Warning};
use crate::measure::{Measured, Sentence, hertz};
use crate::report::Report;
use std::fmt::Write as _;

/// Digits of a survey's hash that are printed: enough to tell surveys apart.
const HASH_DIGITS: usize = 12;

/// Where the pages of `report` come from.
pub(super) fn origin(report: &Report, stamp: Stamp) -> Origin {
    Origin {
        survey: report.instrument.name.clone(),
        content_hash: report.survey_hash.chars().take(HASH_DIGITS).collect(),
        shop: report.instrument.shop.name.clone(),
        address: report.instrument.shop.address.clone(),
        logo: report.instrument.shop.logo.clone(),
        date: stamp.date,
    }
}

/// How figures are spelled on the pages.
fn style(stamp: Stamp) -> Style {
    Style::PAGE.with_inches(stamp.also_inches)
}

/// The line under a title: what it is, of which year and number, its compass.
fn instrument_line(report: &Report) -> String {
    let instrument = &report.instrument;
    let mut said = format!("{} – {}", instrument.name, kind(instrument.kind));
    if let Some(year) = instrument.built {
        let _ = write!(said, " of {year}");
    }
    if let Some(serial) = &instrument.serial {
        let _ = write!(said, ", number {serial}");
    }
    let _ = write!(said, ", {}", Style::PAGE.notes(instrument.compass));
    said
}

/// The finished pitch in words.
fn pitch(report: &Report) -> String {
    Style::PAGE.frequency(Measured::new(report.instrument.pitch, hertz(0.0)))
}

fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Upright => "upright",
        Kind::Grand => "grand",
    }
}

/// A sentence as it stands on a page: a capital first, a full stop last.
fn said(style: Style, sentence: &Sentence) -> String {
    full(&style.sentence(sentence))
}

/// The same of words already spelled.
fn full(words: &str) -> String {
    // Names of limits come in backticks, which are no printer's marks.
    let words = capital(words.trim()).replace(" `", " “").replace('`', "”");
    if words.is_empty() || words.ends_with(['.', '?', '!', ':']) {
        words
    } else {
        format!("{words}.")
    }
}

fn capital(words: &str) -> String {
    let mut rest = words.chars();
    rest.next().map_or_else(String::new, |first| first.to_uppercase().chain(rest).collect())
}

/// Sections by name after "the": all of several are the whole piano.
fn of_the(report: &Report, names: &[String]) -> String {
    if names.len() > 1 && names.len() == report.instrument.sections.len() {
        return "whole piano".to_owned();
    }
    list(names)
}

/// Remarks on sections that differ in nothing but the section, in one breath.
fn in_one_breath<'a>(
    report: &Report,
    warnings: impl Iterator<Item = &'a Warning>,
    style: Style,
) -> Vec<String> {
    const SECTION: &str = "the section \u{1}";
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for warning in warnings {
        let text = said(style, &warning.text);
        let of = match &warning.about {
            About::Section(name) => Some(name),
            _ => None,
        };
        let alike = of.map(|name| (text.replace(&format!("the section {name}"), SECTION), name));
        match alike.filter(|(pattern, _)| pattern.contains(SECTION)) {
            Some((pattern, name)) => match groups.iter_mut().find(|(known, _)| *known == pattern) {
                Some((_, names)) => names.push(name.clone()),
                None => groups.push((pattern, vec![name.clone()])),
            },
            None => groups.push((text, Vec::new())),
        }
    }
    let all = report.instrument.sections.len();
    let spell = |(pattern, names): (String, Vec<String>)| match names.len() {
        0 => pattern,
        1 => pattern.replace(SECTION, &format!("the section {}", names[0])),
        count if count == all => pattern.replace(SECTION, "every section"),
        _ => pattern.replace(SECTION, &format!("the sections {}", list(&names))),
    };
    groups.into_iter().map(spell).collect()
}

/// Every text once, in the order of its first.
fn once(texts: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for text in texts {
        if !kept.contains(&text) {
            kept.push(text);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_begin_with_a_capital_and_end_once() {
        assert_eq!(full("the bass is dull"), "The bass is dull.");
        assert_eq!(full("is it of the set?"), "Is it of the set?");
        assert_eq!(full("  "), "");
        assert_eq!(full("éclat"), "Éclat.");
    }
}
