//! Results as CSV.

use super::csv::{Cell, table};
use super::shapes::{kind, source};
use crate::measure::{to_g_per_m, to_hertz, to_kg_per_s, to_mm, to_mpa, to_newtons};
use crate::report::Report;
use crate::scale::{NoteStrings, StringFigures};

/// The strings, note by note.
pub fn scale(report: &Report) -> String {
    const HEADS: [&str; 21] = [
        "note",
        "key",
        "section",
        "strings",
        "kind",
        "source",
        "frequency_hz",
        "length_mm",
        "core_mm",
        "over_mm",
        "mass_per_length_g_m",
        "tension_n",
        "tension_sd_n",
        "stress_mpa",
        "breaking_load_n",
        "load_percent",
        "load_percent_sd",
        "inharmonicity",
        "inharmonicity_lo",
        "inharmonicity_hi",
        "impedance_kg_s",
    ];
    let rows: Vec<Vec<Cell>> =
        report.scale.notes.iter().map(|entry| scale_row(report, entry)).collect();
    table(&HEADS, &rows)
}

fn scale_row(report: &Report, entry: &NoteStrings) -> Vec<Cell> {
    let string = entry.string.as_ref();
    let figure = |read: fn(&StringFigures) -> Option<f64>, places: u8| {
        Cell::fixed(string.and_then(read), places)
    };
    vec![
        entry.note.to_string().into(),
        Cell::count(entry.note.key()),
        report.instrument.sections[entry.section].name.clone().into(),
        entry.strings.map_or(Cell::Empty, Cell::count),
        entry.kind.map_or(Cell::Empty, |is| kind(is).into()),
        source(entry.source).into(),
        Cell::fixed(Some(to_hertz(entry.frequency)), 3),
        figure(|s| Some(to_mm(s.length.value)), 1),
        figure(|s| Some(to_mm(s.core.value)), 3),
        figure(|s| s.over.map(|over| to_mm(over.value)), 2),
        figure(|s| Some(to_g_per_m(s.mass_per_length.value)), 3),
        figure(|s| Some(to_newtons(s.tension.value)), 1),
        figure(|s| Some(to_newtons(s.tension.sd)), 1),
        figure(|s| Some(to_mpa(s.stress.value)), 1),
        figure(|s| s.breaking_load.map(to_newtons), 0),
        figure(|s| s.load.map(|load| 100.0 * load.value), 2),
        figure(|s| s.load.map(|load| 100.0 * load.sd), 2),
        figure(|s| Some(s.inharmonicity.value.0), 8),
        figure(|s| Some(s.inharmonicity.lo.0), 8),
        figure(|s| Some(s.inharmonicity.hi.0), 8),
        figure(|s| Some(to_kg_per_s(s.impedance)), 4),
    ]
}
