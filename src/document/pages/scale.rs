//! The strings as found, note by note, with totals and what was found of their loads.

use super::sheet::{Column, Part, Sheet};
use super::{full, said};
use crate::document::figures::two_columns;
use crate::document::words::{Style, cell};
use crate::judgement::FindingKind;
use crate::measure::{Length, to_inches, to_mm, to_newtons};
use crate::report::Report;
use crate::scale::{NoteStrings, Source, StringKind};
use std::fmt::Write as _;

/// The part on the scale.
pub(super) fn part(report: &Report, style: Style) -> Part {
    let totals = &report.scale.totals;
    let mut total = format!("{} strings pull {}", totals.strings, style.force(totals.tension));
    if totals.notes_unknown > 0 {
        let _ = write!(
            total,
            "; {} notes of which too little is known are left out",
            totals.notes_unknown
        );
    }
    let sheets = report.instrument.sections.iter().enumerate().map(|(index, section)| {
        let notes = report.scale.notes.iter().filter(|entry| entry.section == index);
        let rows = notes.map(|entry| row(entry, style.inches)).collect();
        Sheet::new(columns(style.inches), rows).titled(format!(
            "{}, {}",
            super::capital(&section.name),
            style.notes(section.notes)
        ))
    });
    let loads = report.judgement.sections.iter().flat_map(|section| &section.findings);
    let loads = loads.filter(|finding| finding.kind == FindingKind::Load);
    Part::new("Scale as found")
        .text(format!(
            "One string of each unison at the finished pitch, A4 at {}, equal temperament. ± is one standard \
             deviation, from the reading errors of the survey. {}",
            super::pitch(report),
            full(&total)
        ))
        .text(legend(report))
        .lead(loads.map(|finding| said(style, &finding.why)))
        .sheets(sheets)
}

/// Of one width in every section, so that figures stand under each other down the page.
fn columns(inches: bool) -> Vec<Column> {
    let mut columns = vec![Column::left("Note").share(9), Column::left("Strings").share(17)];
    for head in ["Length", "Core", "Over"] {
        columns.push(Column::right(head).unit("mm").share(11));
        if inches {
            columns.push(Column::right("").unit("in").share(11));
        }
    }
    columns.extend([
        Column::right("Tension").unit("N").share(13),
        Column::left("").share(10),
        Column::right("Load").unit("%").share(11),
        Column::left("").share(9),
        Column::right("Inharm. B").unit("× 10⁻⁴").share(17),
        Column::left("").share(11),
        Column::left("From").share(if inches { 27 } else { 40 }),
    ]);
    columns
}

fn row(entry: &NoteStrings, inches: bool) -> Vec<String> {
    let string = entry.string.as_ref();
    let count = entry.strings.map_or_else(|| "?".to_owned(), |count| count.to_string());
    let strings = match entry.kind {
        Some(StringKind::Wound) => format!("{count}\u{a0}wound"),
        Some(StringKind::Plain) | None => count,
    };
    let mut cells = vec![Style::PAGE.note(entry.note), strings];
    let lengths: [(Option<Length>, u8); 3] = [
        (string.map(|s| s.length.value), 1),
        (string.map(|s| s.core.value), 3),
        (string.and_then(|s| s.over).map(|over| over.value), 2),
    ];
    for (index, (length, places)) in lengths.into_iter().enumerate() {
        // A plain string has no winding: its place stays empty, unlike what is not known.
        let none = if index == 2 && string.is_some() { "" } else { "–" };
        let said = |value: Option<f64>, places| {
            value.map_or_else(|| none.to_owned(), |v| cell(Some(v), places))
        };
        cells.push(said(length.map(to_mm), places));
        if inches {
            cells.push(said(length.map(to_inches), (places + 1).max(3)));
        }
    }
    let load = string.and_then(|s| s.load);
    let tension = string.map(|s| (to_newtons(s.tension.value), to_newtons(s.tension.sd)));
    let load = load.map(|load| (100.0 * load.value, 100.0 * load.sd));
    let b = string.map(|s| (1e4 * s.inharmonicity.value.0, 1e4 * s.inharmonicity.sd));
    for (figure, finest) in [(tension, 0), (load, 1), (b, 2)] {
        cells.extend(with_sd(figure, finest));
    }
    cells.push(from(entry));
    cells
}

/// A value and its `± sd`, in cells of their own so that the signs stand under each other; places no
/// finer than `finest`, of which one unit is the least doubt shown.
fn with_sd(figure: Option<(f64, f64)>, finest: u8) -> [String; 2] {
    let Some((value, sd)) = figure else { return ["–".to_owned(), String::new()] };
    let [value, sd] = two_columns(value, sd, finest);
    [value, format!("±\u{a0}{sd}")]
}

/// What a note's figures rest on, where not all of it was read there.
fn from(entry: &NoteStrings) -> String {
    let mut words = match entry.source {
        Source::Measured => Vec::new(),
        Source::Interpolated => vec!["between"],
        Source::Extrapolated => vec!["beyond"],
        Source::Unknown => vec!["unknown"],
    };
    let string = entry.string.as_ref();
    if string.is_some_and(|s| s.approximate) {
        words.push("winding");
    }
    if string.is_some_and(|s| s.bare_ends_assumed) {
        words.push("ends");
    }
    words.join(", ")
}

/// What the words in the last column mean, those in use.
fn legend(report: &Report) -> String {
    let any = |test: &dyn Fn(&NoteStrings) -> bool| report.scale.notes.iter().any(test);
    let string = |test: fn(&crate::scale::StringFigures) -> bool| {
        any(&|note| note.string.as_ref().is_some_and(test))
    };
    let words = [
        (any(&|n| n.source == Source::Measured), "Empty in the last column: read at this note."),
        (
            any(&|n| n.source == Source::Interpolated),
            "Between: length or wire lies between readings.",
        ),
        (
            any(&|n| n.source == Source::Extrapolated),
            "Beyond: length or wire lies beyond the readings of its section.",
        ),
        (
            string(|s| s.approximate),
            "Winding: the winding is taken from its neighbours, good enough to judge, not to order.",
        ),
        (string(|s| s.bare_ends_assumed), "Ends: the bare ends of the winding were not read."),
        (any(&|n| n.source == Source::Unknown), "Unknown: too little was read."),
    ];
    words.into_iter().filter(|(used, _)| *used).map(|(_, text)| text).collect::<Vec<_>>().join(" ")
}
