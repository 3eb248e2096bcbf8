//! Rows, runs and sections that speak of one note and differ: the nearest to the note is used, and a
//! warning says so.

use super::desk::Desk;
use crate::instrument::{About, Section, StringRow, WireRun};
use crate::measure::{Note, to_mm};
use crate::sentence;

/// A diameter read may lie this far from that of its run: half a size and the micrometer's doubt.
const SAME_WIRE_MM: f64 = 0.02;

/// Warns of every row that its run or its section contradicts.
pub(super) fn check(desk: &Desk, rows: &[StringRow], runs: &[WireRun], sections: &[Section]) {
    for row in rows {
        let run = runs.iter().find(|run| run.notes.contains(row.note));
        if let (Some(core), Some(run)) = (row.core, run) {
            let apart = (to_mm(core.value) - to_mm(run.core.value)).abs();
            if apart > SAME_WIRE_MM {
                desk.warn(
                    "row_and_run_differ",
                    About::Note(row.note),
                    sentence![
                        "the wire of ",
                        row.note,
                        " reads ",
                        core,
                        ", its run says ",
                        run.core.value,
                        "; the reading is used: measure it again, or end the run before it"
                    ],
                );
            }
        }
        let counted = run.and_then(|run| run.strings).or_else(|| count(sections, row.note));
        if let (Some(strings), Some(counted)) = (row.strings, counted)
            && strings != counted
        {
            desk.warn(
                "string_counts_differ",
                About::Note(row.note),
                sentence![
                    row.note,
                    " has ",
                    usize::from(strings),
                    " strings by its row and ",
                    usize::from(counted),
                    " by its run or section; the row is used: count them again"
                ],
            );
        }
    }
}

/// The string count that the section gives `note`.
fn count(sections: &[Section], note: Note) -> Option<u8> {
    let section = sections.iter().find(|section| section.notes.contains(note))?;
    section.counts.iter().rfind(|count| count.from <= note).map(|count| count.strings)
}
