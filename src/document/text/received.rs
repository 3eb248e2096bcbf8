//! `feltwire hammers --received FILE`: the heads that arrived, against the order.

use super::columns::{Align, Columns, item};
use super::{head, warnings};
use crate::document::words::{Style, cell};
use crate::judgement::limit::LimitUnit;
use crate::judgement::received::{Received, ReceivedVerdict, Summary};
use crate::measure::{Compass, Measured, Note};
use crate::report::Report;
use std::fmt::Write as _;

/// Verdict first; then what is shared, single heads, every respect, and what to do with which heads.
pub fn received(report: &Report, received: &Received) -> String {
    let mut text = head(report);
    let (arrived, missing) = (received.heads.len(), received.missing.len());
    let _ = writeln!(text, "{arrived} of {} heads arrived\n", arrived + missing);
    let _ = writeln!(text, "{}", verdict(received.verdict));
    for why in &received.why {
        text.push_str(&item("  ", &Style::PLAIN.sentence(why)));
    }
    text.push_str(&lists(received));
    if !received.said.is_empty() {
        text.push_str("\nShared by many\n");
    }
    for said in &received.said {
        text.push_str(&item("  - ", &Style::PLAIN.sentence(said)));
    }
    if !received.singles.is_empty() {
        text.push_str("\nSingle heads\n");
    }
    for (_, said) in &received.singles {
        text.push_str(&item("  - ", &Style::PLAIN.sentence(said)));
    }
    if !received.summaries.is_empty() {
        text.push_str("\nRead less ordered\n");
        text.push_str(&table(&received.summaries));
        text.push_str(&item(
            "",
            "Allowed: the tolerance, and half the step to which the order is written. Doubtful: beyond it by no \
             more than the reading may be wrong.",
        ));
    }
    text.push_str(&warnings(received.warnings.iter()));
    text
}

fn verdict(verdict: ReceivedVerdict) -> &'static str {
    match verdict {
        ReceivedVerdict::Accept => "ACCEPT",
        ReceivedVerdict::AcceptAfterWork => "ACCEPT AFTER WORK HERE",
        ReceivedVerdict::Incomplete => "HEADS ARE MISSING",
        ReceivedVerdict::SendBackSome => "SEND BACK SOME",
        ReceivedVerdict::Rebore => "HAVE IT BORED AGAIN",
        ReceivedVerdict::SendBackSet => "SEND BACK THE SET",
        ReceivedVerdict::NotMeasured => "NOT MEASURED ENOUGH TO ACCEPT",
    }
}

fn lists(received: &Received) -> String {
    let sending = &received.sending;
    let mut text = String::new();
    for (what, notes) in [
        ("no row", &received.missing),
        ("send back", &sending.replace),
        ("bore again", &sending.rebore),
        ("file", &sending.file),
        ("ream", &sending.ream),
    ] {
        if !notes.is_empty() {
            text.push_str(&item("  ", &format!("{what} ({}): {}", notes.len(), runs(notes))));
        }
    }
    let again = received.read_again();
    if !again.is_empty() {
        let said: Vec<String> =
            again.iter().map(|(note, quantity)| format!("{note} {}", quantity.words())).collect();
        text.push_str(&item("  ", &format!("read again ({}): {}", again.len(), said.join(", "))));
    }
    text
}

/// Notes, neighbours as runs.
fn runs(notes: &[Note]) -> String {
    let mut runs: Vec<Compass> = Vec::new();
    for note in notes {
        match runs.last_mut() {
            Some(run) if run.last.step(1) == Some(*note) => run.last = *note,
            _ => runs.push(Compass { first: *note, last: *note }),
        }
    }
    runs.into_iter().map(|run| Style::PLAIN.notes(run)).collect::<Vec<_>>().join(", ")
}

fn table(summaries: &[Summary]) -> String {
    let mut table = Columns::new(&[
        ("", Align::Left),
        ("allowed ±", Align::Right),
        ("heads", Align::Right),
        ("mean", Align::Right),
        ("most", Align::Right),
        ("at", Align::Left),
        ("within", Align::Right),
        ("doubtful", Align::Right),
        ("off", Align::Right),
    ]);
    for summary in summaries {
        let (unit, places) = match summary.quantity.unit() {
            LimitUnit::Degrees => ("°", 1),
            LimitUnit::Grams => ("g", 2),
            _ => ("mm", 2),
        };
        let [within, doubtful, off] = summary.counts;
        table.row(vec![
            format!("{} {unit}", summary.quantity.words()),
            Style::PLAIN.number(Measured::new(summary.tolerance, 0.0)),
            summary.heads.to_string(),
            cell(Some(summary.mean), places),
            cell(Some(summary.worst.1), places),
            summary.worst.0.to_string(),
            within.to_string(),
            doubtful.to_string(),
            off.to_string(),
        ]);
    }
    table.text()
}
