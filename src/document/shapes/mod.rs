//! What other programs read: flat structs, one a command, keys in a fixed order with their units.
//!
//! Every key is always there; `null` is unknown, and `missing` says why.

mod breaks;
mod check;
mod common;
mod decide;
mod explain;
mod glossary;
mod hammers;
mod limits;
mod numbers;
mod pitches;
mod receive;
mod received;
mod restring;
mod scale;
mod strings;
mod tuning;

pub(in crate::document) use breaks::heard;
pub(in crate::document) use common::about;
pub(in crate::document) use common::{MissingShape, WarningShape};
pub(in crate::document) use hammers::bore_from;
pub(in crate::document) use scale::{kind, source};
pub(in crate::document) use strings::{core_shape, hitch};

pub use crate::document::lists::WHOLE;
use crate::document::lookup::Entry;
use crate::document::{Date, json, lists};
use crate::instrument::TableRead;
use crate::judgement::limit::Limits;
use crate::judgement::received::Received;
use crate::measure::Note;
use crate::order::strings::{Rescale, StringOrder};
use crate::report::{Report, ScaleMore};
use serde::Serialize;

/// `feltwire breaks --json`.
pub fn breaks(report: &Report) -> String {
    text(&breaks::BreaksShape::of(report))
}

/// `feltwire check --json`.
pub fn check(report: &Report, tables: &[TableRead]) -> String {
    text(&check::CheckShape::of(report, tables))
}

/// `feltwire scale --json`.
pub fn scale(report: &Report, more: &ScaleMore) -> String {
    text(&scale::ScaleShape::of(report, more))
}

/// `feltwire scale --explain NOTE --json`.
pub fn explain_note(report: &Report, note: Note, draws: Option<usize>) -> String {
    text(&explain::ExplainShape::of(report, note, draws))
}

/// `feltwire explain --json`.
pub fn glossary() -> String {
    text(&glossary::GlossaryShape::all())
}

/// `feltwire explain TERM --json`.
pub fn entry(entry: &Entry<'_>) -> String {
    text(&glossary::EntryShape::of(entry))
}

/// `feltwire decide --json`.
pub fn decide(report: &Report) -> String {
    text(&decide::DecideShape::of(report))
}

/// `feltwire hammers --json`.
pub fn hammers(report: &Report) -> String {
    text(&hammers::HammersShape::of(report))
}

/// `feltwire strings --json`.
pub fn strings(report: &Report, order: &StringOrder) -> String {
    text(&strings::StringsShape::of(report, order))
}

/// `feltwire hammers --sheet receive --json`.
pub fn receive(report: &Report) -> String {
    text(&receive::ReceiveShape::of(report))
}

/// `feltwire hammers --received FILE --json`; `table_hash` names the table of heads that arrived.
pub fn received(report: &Report, received: &Received, table_hash: &str) -> String {
    text(&received::ReceivedShape::of(report, received, table_hash))
}

/// `feltwire restring --json`, with the lines of the order that the survey chooses.
pub fn restring(report: &Report, rescale: &Rescale, order: &StringOrder) -> String {
    text(&restring::RestringShape::of(report, rescale, order))
}

/// `feltwire limits --json`.
pub fn limits(limits: &Limits) -> String {
    text(&limits::LimitsShape::of(limits))
}

/// `numbers.json`: everything, with the names and fingerprints of the packet's other `files`; `strings` is
/// the order of strings, where there is one.
pub fn numbers(
    report: &Report,
    strings: Option<&StringOrder>,
    date: Date,
    files: &[(String, String)],
) -> String {
    text(&numbers::NumbersShape::of(report, strings, date, files))
}

/// One list of an object of ours as CSV, with the keys of the JSON as heads: `tables`, or `sections.findings`
/// for the list within each row of another; [`WHOLE`] for what stands in no list.
///
/// # Errors
/// The names of the lists that the object has, when none is called `list`.
pub fn as_csv(json: &str, list: &str) -> Result<String, Vec<String>> {
    lists::as_csv(json, list)
}

/// One object as JSON. A figure that is no number is a bug of ours, caught here, where it would
/// otherwise be printed.
fn text(shape: &impl Serialize) -> String {
    match json::pretty(shape) {
        Ok(text) => text,
        Err(fault) => panic!("a figure that is no number at {}", fault.place),
    }
}
