//! `feltwire explain`: what a word means.

use super::columns::item;
use super::limits::value;
use crate::document::lookup::Entry;
use crate::instrument::reading::{Reading, Table};
use crate::judgement::limit::Limit;
use crate::stock::{Term, terms};
use std::fmt::Write as _;

/// Every term by name.
pub fn glossary() -> String {
    let names: Vec<&str> = terms().iter().map(|term| term.term.as_str()).collect();
    format!(
        "Words that can be explained; so can every column of a survey's tables and every limit.\n\n{}",
        item("  ", &names.join(", "))
    )
}

/// Everything that goes by one name.
pub fn entry(entry: &Entry<'_>) -> String {
    let terms = entry.term.map(term).into_iter();
    let readings = entry.readings.iter().map(|reading| column(reading));
    let parts: Vec<String> = terms.chain(readings).chain(entry.limit.map(limit)).collect();
    parts.join("\n")
}

fn term(term: &Term) -> String {
    let mut text = term.term.clone();
    if let Some(unit) = &term.unit {
        let _ = write!(text, " ({unit})");
    }
    text.push('\n');
    if !term.also.is_empty() {
        text.push_str(&item("    also: ", &term.also.join(", ")));
    }
    text.push_str(&item("    ", &term.meaning));
    if let Some(here) = &term.here {
        text.push_str(&item("    In Feltwire: ", here));
    }
    for caution in &term.cautions {
        text.push_str(&item("  ! ", caution.words()));
    }
    if !term.see.is_empty() {
        text.push_str(&item("    see: ", &term.see.join(", ")));
    }
    text
}

fn column(reading: &Reading) -> String {
    let table = match reading.table {
        Table::Strings => "strings",
        Table::Runs => "runs of wire",
        Table::Hammers => "hammers",
    };
    let mut text = format!("{} (column of the table of {table})\n", reading.column());
    let mut line = |mark: &str, words: &str| {
        if !words.is_empty() {
            text.push_str(&item(mark, words));
        }
    };
    line("    ", reading.sense);
    line("    read with: ", reading.tool);
    line("    gives: ", reading.gives);
    if let Some((least, most)) = reading.range {
        line(
            "    possible: ",
            &format!("{least} to {most}{}", reading.unit.suffix().replace('_', " ")),
        );
    }
    text
}

fn limit(limit: &Limit) -> String {
    let mut text = format!("{} (limit): {}\n", limit.name, value(limit, limit.value));
    text.push_str(&item("    ", limit.about));
    text.push_str(&item("    rests on: ", limit.source.text()));
    text
}
