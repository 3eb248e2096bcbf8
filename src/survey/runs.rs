//! Wire runs: one size over a run of notes, as it is written down at the piano.

use super::fault::{Fault, FaultKind};
use super::quantity::reversed;
use super::row::Row;
use super::strings::Strings;
use crate::instrument::WireRun;
use crate::measure::Compass;

/// The runs by first note, none of which may hold a note of another.
pub(super) fn read(strings: &Strings, rows: Vec<Row>) -> Vec<WireRun> {
    let mut runs: Vec<(WireRun, Row)> = Vec::new();
    for row in rows {
        let Some(run) = one(strings, &row) else { continue };
        let shared = |other: &WireRun| {
            other.notes.first <= run.notes.last && run.notes.first <= other.notes.last
        };
        if let Some((other, first)) = runs.iter().find(|(other, _)| shared(other)) {
            row.desk().fault(
                Fault::new(
                    FaultKind::RunOverlap,
                    &row.at("from"),
                    format!("the run {} shares notes with the run {}", run.notes, other.notes),
                )
                .found("in two runs")
                .expected("each note in at most one run of wire")
                .remedy("end the one run below the first note of the other")
                .also(&first.at("from"), "the other run"),
            );
        }
        runs.push((run, row));
    }
    let mut runs: Vec<_> = runs.into_iter().map(|(run, _)| run).collect();
    runs.sort_by_key(|run| run.notes.first);
    runs
}

fn one(strings: &Strings, row: &Row) -> Option<WireRun> {
    let (first, last) = (row.note("from"), row.note("to"));
    let count = row.count("strings");
    let (core, size) = strings.core(row, "core", "core_gauge");
    if core.is_none() && !row.has("core") && !row.has("core_gauge") {
        row.desk().fault(
            Fault::new(FaultKind::MissingCell, &row.at, "this run has no wire")
                .found("of what wire?")
                .expected("core_mm or core_gauge")
                .remedy("fill in the diameter or the music wire number, or take the run out"),
        );
    }
    let (first, last) = (first?, last?);
    if first > last {
        row.desk().fault(reversed("this run", first, last, &row.at("from")));
        return None;
    }
    Some(WireRun {
        notes: Compass { first, last },
        strings: count,
        core: core?,
        size,
        place: row.place(),
    })
}
