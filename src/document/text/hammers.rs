//! `feltwire hammers`: the hammers, note by note, and the samples against the heights.

use super::columns::{Align, Columns, item};
use super::{head, warnings};
use crate::action::{NoteHammer, Sample, SampleStanding};
use crate::document::shapes::bore_from;
use crate::document::words::{Style, cell};
use crate::measure::{Measured, to_degrees, to_grams, to_mm};
use crate::report::Report;
use std::fmt::Write as _;

/// Bores, angles and masses by section; then the samples.
pub fn hammers(report: &Report) -> String {
    let mut text = head(report);
    if report.instrument.hammers.rows.is_empty() {
        text.push_str(
            "No hammer was read: name a hammers table in survey.toml, [hammers] table.\n",
        );
        return text;
    }
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let _ =
            write!(text, "\n{} ({}–{})\n", section.name, section.notes.first, section.notes.last);
        let mut table = Columns::new(&[
            ("note", Align::Left),
            ("bore mm", Align::Right),
            ("±", Align::Right),
            ("from", Align::Left),
            ("rake °", Align::Right),
            ("side °", Align::Right),
            ("mass g", Align::Right),
            ("head/strings", Align::Right),
            ("strike", Align::Right),
            ("was", Align::Right),
        ]);
        for entry in report.action.notes_of(index) {
            table.row(row(entry));
        }
        text.push_str(&table.text());
    }
    text.push('\n');
    text.push_str(&foot(report));
    text.push_str(&samples(report));
    text.push_str(&warnings(report.all_hammer_warnings()));
    text
}

fn row(entry: &NoteHammer) -> Vec<String> {
    let fraction = |value: Option<f64>| {
        value.map_or(String::new(), |f| format!("1/{}", cell(Some(1.0 / f), 1)))
    };
    vec![
        entry.note.to_string(),
        cell(entry.bore_ordered.map(|bore| to_mm(bore.value)), 1),
        cell(entry.bore_ordered.map(|bore| to_mm(bore.sd)), 1),
        entry.bore.map_or("", |bore| bore_from(bore.from)).to_owned(),
        cell(Some(to_degrees(entry.rake)), 1),
        cell(entry.side.map(|side| to_degrees(side.angle.value)), 1),
        cell(entry.head_mass.map(|mass| to_grams(mass.value)), 1),
        cell(entry.mass_ratio.map(|ratio| ratio.value), 2),
        fraction(entry.strike.and_then(|s| s.fraction).map(|f| f.value)),
        fraction(entry.strike.and_then(|s| s.fraction_found)),
    ]
}

fn foot(report: &Report) -> String {
    let allowance = match report.action.allowance {
        Some(felt) => format!(
            "Bores include an allowance of {} for later filing: add none.",
            Style::PLAIN.length(Measured::new(felt, crate::measure::mm(0.0)))
        ),
        None => "Bores include no allowance for later filing.".to_owned(),
    };
    item(
        "",
        &format!(
            "Bore: shank-hole axis to crown, for a square strike. {allowance} Rake is positive when the \
             crown tips towards the hammer centre; side angle when the end away from the centre leans \
             to the treble. Strike: strike point over speaking length, as ordered and as found."
        ),
    )
}

fn samples(report: &Report) -> String {
    let mut table = Columns::new(&[
        ("sample", Align::Left),
        ("worn bore", Align::Right),
        ("lost mm", Align::Right),
        ("as new", Align::Right),
        ("by heights", Align::Right),
        ("apart mm", Align::Right),
        ("", Align::Left),
    ]);
    for sample in &report.action.samples {
        table.row(sample_row(report, sample));
    }
    format!("\nSamples against the heights\n{}", table.text())
}

fn sample_row(report: &Report, sample: &Sample) -> Vec<String> {
    let bore = sample.read(&report.instrument).bore;
    vec![
        sample.note.to_string(),
        cell(bore.map(|bore| to_mm(bore.value)), 1),
        cell(sample.wear.map(|wear| to_mm(wear.lost.value)), 1),
        cell(sample.bore_new.map(|bore| to_mm(bore.value)), 1),
        cell(sample.height_bore.map(|bore| to_mm(bore.value)), 1),
        cell(sample.difference.map(|apart| to_mm(apart.value)), 1),
        match sample.standing {
            SampleStanding::Sound => "",
            SampleStanding::Off | SampleStanding::OffAlone => "off: not used",
            SampleStanding::SectionOff => "its section is off",
            SampleStanding::NotCompared => "not compared",
        }
        .to_owned(),
    ]
}
