//! `feltwire check`: what a survey holds, what it lacks, what each missing reading would allow.

use super::{columns, head, warnings};
use crate::document::shapes;
use crate::document::words::Style;
use crate::instrument::reading::Reading;
use crate::instrument::{ColumnRead, Kind, TableRead};
use crate::report::Report;
use crate::scale::Source;
use std::fmt::Write as _;

/// What is in, what is missing, what to look at again.
pub fn check(report: &Report, tables: &[TableRead]) -> String {
    let mut text = head(report);
    text.push_str("No faults.\n");
    text.push('\n');
    for table in tables {
        text.push_str(&understood(table));
    }
    text.push('\n');
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let notes: Vec<_> =
            report.scale.notes.iter().filter(|entry| entry.section == index).collect();
        let count = |source| notes.iter().filter(|entry| entry.source == source).count();
        let mut line = format!(
            "{} ({}–{}): {} of {} notes measured",
            section.name,
            section.notes.first,
            section.notes.last,
            count(Source::Measured),
            notes.len()
        );
        for (source, word) in [
            (Source::Interpolated, "between readings"),
            (Source::Extrapolated, "beyond readings"),
            (Source::Unknown, "unknown"),
        ] {
            if count(source) > 0 {
                let _ = write!(line, ", {} {word}", count(source));
            }
        }
        text.push_str(&columns::item("", &line));
    }
    let _ = writeln!(text, "hammers: {} rows", report.instrument.hammers.rows.len());
    if report.missing().next().is_some() {
        text.push_str("\nNot to be had yet, and why:\n");
    }
    for missing in report.missing() {
        let (_, name) = shapes::about(&missing.about);
        let name = if name.is_empty() { String::new() } else { format!("{name}: ") };
        text.push_str(&columns::item(
            "- ",
            &format!("{name}{}", Style::PLAIN.sentence(&missing.why)),
        ));
    }
    for table in tables {
        text.push_str(&unread(table, report.instrument.kind));
    }
    text.push_str(&warnings(report.warnings()));
    text
}

/// Readings of which a table holds none, by the result that each would serve.
fn unread(table: &TableRead, kind: Kind) -> String {
    let mut by_result: Vec<(&str, Vec<String>)> = Vec::new();
    // Heights from the keybed are a grand's.
    let serves = |reading: &&&Reading| kind == Kind::Grand || !reading.sense.starts_with("grand:");
    for reading in table.unread.iter().filter(serves) {
        let column = reading.column();
        match by_result.iter_mut().find(|(gives, _)| *gives == reading.gives) {
            Some((_, columns)) => columns.push(column),
            None => by_result.push((reading.gives, vec![column])),
        }
    }
    if by_result.is_empty() {
        return String::new();
    }
    let mut text =
        columns::item("", &format!("Not read in {}, and what each would serve:", table.name));
    for (gives, names) in by_result {
        text.push_str(&columns::item("- ", &format!("{}: {gives}", names.join(", "))));
    }
    format!("\n{text}")
}

/// How a table was understood: its columns where they are called otherwise, and every remark.
fn understood(table: &TableRead) -> String {
    let other = |column: &&ColumnRead| column.written != column.read_as;
    let line =
        format!("{}: {} rows below the head in row {}", table.name, table.rows, table.head_line);
    let columns: Vec<String> = table
        .columns
        .iter()
        .filter(other)
        .map(|c| format!("{} “{}” as {}", c.letters, c.written, c.read_as))
        .collect();
    let mut text = columns::item("", &line);
    if !columns.is_empty() {
        text.push_str(&columns::item("- ", &format!("columns: {}", columns.join(", "))));
    }
    for remark in &table.remarks {
        text.push_str(&columns::item("- ", remark));
    }
    text
}
