//! `feltwire scale`: the strings, note by note.

use super::columns::{Align, Columns};
use super::{basis, head, warnings};
use crate::document::figures::two_columns;
use crate::document::words::{Style, cell};
use crate::measure::{Measured, to_mm, to_newtons};
use crate::report::{Report, ScaleMore};
use crate::scale::draws::{Draws, NoteDraws};
use crate::scale::{NoteStrings, Source, StringKind};
use std::fmt::Write as _;

/// The table, the totals, and what they rest on.
pub fn scale(report: &Report, more: &ScaleMore) -> String {
    let mut text = head(report);
    let doubt = if more.draws.is_some() { "5–95 %" } else { "±" };
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let _ =
            write!(text, "\n{} ({}–{})\n", section.name, section.notes.first, section.notes.last);
        // Two ends take the room of one ±, of the winding and of the strike point.
        let short = more.draws.is_some();
        let over: &[_] = if short { &[] } else { &[("over mm", Align::Right)] };
        let strike: &[_] = if short { &[] } else { &[("strike", Align::Right)] };
        let string = [
            ("note", Align::Left),
            ("strings", Align::Left),
            ("length mm", Align::Right),
            ("core mm", Align::Right),
        ];
        let figures = [
            (if short { "pull N" } else { "tension N" }, Align::Right),
            (doubt, Align::Right),
            ("load %", Align::Right),
            (doubt, Align::Right),
            ("B·10⁴", Align::Right),
            (doubt, Align::Right),
        ];
        let mut table =
            Columns::new(&[&string, over, &figures, strike, &[("", Align::Left)]].concat());
        for entry in report.scale.notes.iter().filter(|entry| entry.section == index) {
            let drawn = more.draws.as_ref().and_then(|draws| draws.note(entry.note));
            table.row(row(entry, drawn, more.draws.is_some()));
        }
        text.push_str(&table.text());
    }
    text.push('\n');
    text.push_str(&foot(report, more));
    text.push_str(&super::pitches::pitches(report));
    text.push_str(&super::pitches::warmed(report, more));
    text.push_str(&warnings(report.string_warnings()));
    text
}

fn row(entry: &NoteStrings, drawn: Option<&NoteDraws>, is_drawn: bool) -> Vec<String> {
    let string = entry.string.as_ref();
    let number = |value: Option<f64>, places| cell(value, places);
    let strings = match (entry.strings, entry.kind) {
        (Some(count), Some(StringKind::Wound)) => format!("{count} wound"),
        (Some(count), _) => count.to_string(),
        (None, Some(StringKind::Wound)) => "? wound".to_owned(),
        (None, _) => "?".to_owned(),
    };
    let tension = string.map(|s| (to_newtons(s.tension.value), to_newtons(s.tension.sd)));
    let load = string.and_then(|s| s.load).map(|load| (100.0 * load.value, 100.0 * load.sd));
    let b = string.map(|s| (1e4 * s.inharmonicity.value.0, 1e4 * s.inharmonicity.sd));
    let [(tension, of_tension), (load, of_load), (b, of_b)] =
        [borne(tension, 0), borne(load, 1), borne(b, 2)];
    let mut doubts = [of_tension, of_load, of_b];
    if let Some(drawn) = drawn {
        let ends = |lo: f64, hi: f64, places| {
            format!("{}–{}", cell(Some(lo), places), cell(Some(hi), places))
        };
        let (pull, b) = (drawn.tension, drawn.inharmonicity);
        doubts = [
            ends(to_newtons(pull.lo), to_newtons(pull.hi), 0),
            drawn
                .load
                .map_or_else(|| number(None, 1), |load| ends(100.0 * load.lo, 100.0 * load.hi, 1)),
            ends(1e4 * b.lo.0, 1e4 * b.hi.0, if 1e4 * b.hi.0 < 100.0 { 2 } else { 0 }),
        ];
    }
    let [of_tension, of_load, of_b] = doubts;
    let strike = string
        .and_then(|s| s.strike_fraction)
        .map_or(String::new(), |fraction| format!("1/{}", cell(Some(1.0 / fraction), 1)));
    let mut cells = vec![
        entry.note.to_string(),
        strings,
        number(string.map(|s| to_mm(s.length.value)), 1),
        number(string.map(|s| to_mm(s.core.value)), 3),
    ];
    if !is_drawn {
        let over = string.and_then(|s| s.over);
        cells.push(over.map_or(String::new(), |over| cell(Some(to_mm(over.value)), 2)));
    }
    cells.extend([tension, of_tension, load, of_load, b, of_b]);
    if !is_drawn {
        cells.push(strike);
    }
    cells.push(remark(entry).to_owned());
    cells
}

/// A value and its ±, with the digits that the ± bears, the points under each other.
fn borne(figure: Option<(f64, f64)>, finest: u8) -> (String, String) {
    let Some((value, sd)) = figure else { return ("–".to_owned(), "–".to_owned()) };
    let aligned = |text: String| {
        let after = text.split_once('.').map_or(0, |(_, after)| after.len() + 1);
        let all = if finest == 0 { 0 } else { usize::from(finest) + 1 };
        format!("{text}{}", " ".repeat(all.saturating_sub(after)))
    };
    let [value, sd] = two_columns(value, sd, finest).map(aligned);
    (value, sd)
}

/// Why a figure is worth less than its neighbours', in one letter that the foot explains.
fn remark(entry: &NoteStrings) -> &'static str {
    let assumed = entry.string.as_ref().is_some_and(|string| string.bare_ends_assumed);
    match (entry.source, assumed) {
        (Source::Measured, false) => "",
        (Source::Measured, true) => "a",
        (Source::Interpolated, false) => "i",
        (Source::Interpolated, true) => "i a",
        (Source::Extrapolated, false) => "e",
        (Source::Extrapolated, true) => "e a",
        (Source::Unknown, _) => "unknown",
    }
}

fn foot(report: &Report, more: &ScaleMore) -> String {
    let totals = &report.scale.totals;
    let mut text = format!(
        "Pull of {} strings: {}",
        totals.strings,
        Style::PLAIN.force(Measured::new(totals.tension.value, totals.tension.sd))
    );
    if totals.notes_unknown > 0 {
        let _ = write!(text, " ({} notes unknown and left out)", totals.notes_unknown);
    }
    text.push_str(".\n");
    let bases: std::collections::BTreeSet<String> = report
        .scale
        .notes
        .iter()
        .filter_map(|entry| entry.string.as_ref()?.strength)
        .map(basis)
        .collect();
    let bases: Vec<String> = bases.into_iter().collect();
    if !bases.is_empty() {
        let _ = writeln!(text, "Load is tension over breaking load: {}.", bases.join("; "));
    }
    match &more.draws {
        None => text.push_str(
            "Tension and inharmonicity of one string at the finished pitch, equal temperament. ± is one\n\
             standard deviation from the survey's reading errors. B is fitted over partials 1 to 8.\n",
        ),
        Some(draws) => text.push_str(&drawn(draws)),
    }
    let has = |wanted: &[Source]| report.scale.notes.iter().any(|n| wanted.contains(&n.source));
    if has(&[Source::Interpolated]) {
        text.push_str("i: length or wire lies between readings.\n");
    }
    if has(&[Source::Extrapolated]) {
        text.push_str("e: length or wire lies beyond the readings of its section.\n");
    }
    let assumed = report
        .scale
        .notes
        .iter()
        .any(|entry| entry.string.as_ref().is_some_and(|string| string.bare_ends_assumed));
    if assumed {
        text.push_str(
            "a: bare ends of the winding were not read and are assumed (median 20 mm, factor 1.45).\n",
        );
    }
    text
}

/// What the draws are, and what they say of the total.
fn drawn(draws: &Draws) -> String {
    let mut text = format!(
        "Tension and inharmonicity of one string at the finished pitch, equal temperament. B is fitted over\n\
         partials 1 to 8. 5–95 %: of {} draws of all readings with the survey's errors, each string\n\
         solved anew; what several notes owe to one reading moves in all of them together.\n",
        draws.wanted.draws
    );
    if let Some(total) = draws.total {
        let kn = |force| cell(Some(to_newtons(force) / 1e3), 1);
        let _ = writeln!(
            text,
            "All strings pull {} to {} kN in nine draws of ten.",
            kn(total.lo),
            kn(total.hi)
        );
    }
    let impossible: usize = draws.notes.iter().map(|note| note.impossible).sum();
    if impossible > 0 {
        let _ =
            writeln!(text, "{impossible} draws made no string that could sound, and are left out.");
    }
    text
}
