//! `feltwire check`: what a survey holds, what it lacks, what each missing reading would allow.

use super::{columns, head, warnings};
use crate::document::shapes;
use crate::document::words::Style;
use crate::instrument::{ColumnRead, TableRead};
use crate::report::Report;
use crate::scale::Source;
use std::fmt::Write as _;

/// What is in, what is missing, what to look at again.
pub fn check(report: &Report, tables: &[TableRead]) -> String {
    let mut text = head(report);
    text.push_str("No faults.\n");
    for table in tables {
        text.push('\n');
        text.push_str(&understood(table));
    }
    text.push('\n');
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let notes: Vec<_> =
            report.scale.notes.iter().filter(|entry| entry.section == index).collect();
        let count = |source| notes.iter().filter(|entry| entry.source == source).count();
        let _ = write!(
            text,
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
                let _ = write!(text, ", {} {word}", count(source));
            }
        }
        text.push('\n');
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
    text.push_str(&warnings(report.warnings()));
    text
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
