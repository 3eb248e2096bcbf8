//! Hammers and touch as found, and what the order would make of them.

use super::sheet::{Column, Part, Sheet};
use super::{full, in_one_breath};
use crate::action::{Sample, SampleStanding, TouchFigures};
use crate::document::words::{Style, cell};
use crate::judgement::hammers::BOXED;
use crate::measure::{Mass, Measured, to_degrees, to_grams, to_mm};
use crate::report::Report;

/// The part on hammers and touch; `None` when no hammer was read.
pub(super) fn part(report: &Report, style: Style) -> Option<Part> {
    if report.instrument.hammers.rows.is_empty() {
        return None;
    }
    let boxed = report.hammer_warnings.iter().filter(|w| BOXED.contains(&w.kind));
    let boxed = in_one_breath(report, boxed, style);
    Some(
        Part::new("Hammers and touch")
            .text(ordered(report))
            .lead(boxed)
            .sheets(samples(report))
            .sheets(touch(report)),
    )
}

/// What is ordered, in a few words.
fn ordered(report: &Report) -> String {
    let bores = report.action.notes.iter().filter(|entry| entry.bore_ordered.is_some()).count();
    let all = report.action.notes.len();
    match bores {
        0 => "No bore is known: no height of a string over the hammer line was read.".to_owned(),
        _ if bores == all => {
            "Bores for a square strike follow from the heights, samples beside them; every note is in \
             hammer-order.csv."
                .to_owned()
        }
        _ => format!("Bores of {bores} of {all} notes are known; they are in hammer-order.csv."),
    }
}

/// The samples beside the heights; `None` when nothing but masses was read.
fn samples(report: &Report) -> Option<Sheet> {
    let read = |sample: &Sample| {
        let row = sample.read(&report.instrument);
        row.bore.is_some() || row.mark.is_some() || row.felt.is_some() || row.height.is_some()
    };
    if !report.action.samples.iter().any(read) {
        return None;
    }
    let columns = vec![
        Column::left("Note"),
        Column::right("Bore as found").unit("mm"),
        Column::right("Felt lost").unit("mm"),
        Column::right("Bore as new").unit("mm"),
        Column::right("By heights").unit("mm"),
        Column::right("Apart").unit("mm"),
        Column::right("Strikes now").unit("° off square"),
        Column::right("Marks").unit("mm"),
        Column::right("Felt left").unit("mm"),
        Column::wide("Standing"),
    ];
    let row = |sample: &Sample| {
        let read = sample.read(&report.instrument);
        let length = |read: Option<Measured<crate::measure::Length>>| {
            cell(read.map(|length| to_mm(length.value)), 1)
        };
        vec![
            Style::PAGE.note(sample.note),
            length(read.bore),
            length(sample.wear.map(|wear| wear.lost)),
            length(sample.bore_new),
            length(sample.height_bore),
            length(sample.difference),
            cell(sample.obliquity_found.map(|angle| to_degrees(angle.value)), 1),
            length(read.mark),
            length(read.felt),
            standing(sample.standing).to_owned(),
        ]
    };
    let rows = report.action.samples.iter().map(row).collect();
    Some(Sheet::new(columns, rows).titled("Samples against the heights").noted(
        "As new: the felt lost added back. By heights: the bore that the height read at this note alone asks \
         for. Apart: as new less what all heights of the section ask for here at the sample’s own rake. Strikes now: shank and crown off the square, minus where the worn head \
         is too short for it.",
    ))
}

fn standing(standing: SampleStanding) -> &'static str {
    match standing {
        SampleStanding::Sound => "agrees",
        SampleStanding::Off | SampleStanding::OffAlone => "off: not used",
        SampleStanding::SectionOff => "its section is off",
        SampleStanding::NotCompared => "not compared",
    }
}

fn touch(report: &Report) -> Option<Sheet> {
    let rows: Vec<Vec<String>> = report
        .action
        .samples
        .iter()
        .filter_map(|sample| {
            let touch = sample.touch.filter(read_or_foretold)?;
            let ordered = report.action.note(sample.note).and_then(|entry| entry.head_mass);
            let grams = |mass: Option<Measured<Mass>>, places| {
                cell(mass.map(|mass| to_grams(mass.value)), places)
            };
            Some(vec![
                Style::PAGE.note(sample.note),
                grams(touch.down, 0),
                grams(touch.up, 0),
                grams(touch.mean, 1),
                grams(touch.friction, 1),
                grams(sample.mass.map(|mass| mass.weighed), 2),
                grams(ordered, 2),
                grams(touch.mean_new, 1),
                grams(touch.reflected_found, 0),
                grams(touch.reflected_new, 0),
            ])
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let columns = vec![
        Column::left("Note"),
        Column::right("Down").unit("g"),
        Column::right("Up").unit("g"),
        Column::right("Mean").unit("g"),
        Column::right("Friction").unit("g"),
        Column::right("Head as weighed").unit("g"),
        Column::right("Head ordered").unit("g"),
        Column::right("Mean to expect").unit("g"),
        Column::right("Moving mass found").unit("g at the key"),
        Column::right("As ordered").unit("g at the key"),
    ];
    let note = full(
        "mean of down and up; friction is half their difference. Moving mass is what the key feels of the head \
         when it is played, which weighing at rest does not show. Key travel, the head’s mass centre and the \
         lean of the strings are taken from practice",
    );
    Some(Sheet::new(columns, rows).titled("Touch").noted(note))
}

fn read_or_foretold(touch: &TouchFigures) -> bool {
    touch.mean.is_some() || touch.reflected_found.is_some()
}
