//! The breaks: one row each, with every figure.

use super::sheet::{Column, Part, Sheet};
use super::{full, once, said};
use crate::document::words::{Style, cell};
use crate::instrument::Heard;
use crate::judgement::breaks::{Grade, Graded, half_sizes_say};
use crate::judgement::by_ear;
use crate::report::{BreakReport, Report};
use crate::scale::breaks::{Jump, Outcome, Quantity, Reason};

/// A break by the notes beside it: `F♯1/G1`, a zone `C♯3–F3`.
pub(super) fn name(found: &BreakReport, style: Style) -> String {
    let between = if found.place.is_zone() { "–" } else { "/" };
    format!("{}{between}{}", style.note(found.place.below), style.note(found.place.above))
}

/// The part on the breaks.
pub(super) fn part(report: &Report, style: Style) -> Part {
    let part = Part::new("Breaks");
    if report.breaks.is_empty() {
        return part.text("No break: one section of one make.");
    }
    let mut columns = vec![Column::left("Break").share(3)];
    let figure = |which| Column::left(head(which)).unit(unit(which)).share(2);
    columns.extend(Quantity::ALL.map(figure));
    columns.push(Column::left("Heard").share(2));
    let row = |found: &BreakReport| {
        let reasons: Vec<String> = found.place.reasons().map(Reason::words).collect();
        let mut cells = vec![format!("{}: {}", name(found, style), once(reasons).join("; "))];
        cells.extend(Quantity::ALL.map(|which| {
            found.figure(which).map_or_else(|| "–".to_owned(), |(jump, graded)| step(jump, graded))
        }));
        cells.push(found.heard.map_or("not noted", heard).to_owned());
        cells
    };
    let rows = report.breaks.iter().map(row).collect();
    let note = "In percent, treble side over bass side, beyond what the number of strings brings; ± is one standard \
                deviation. Smooth, noticeable or rough: a step beyond its limit is unlikely, likelier than not, \
                or all but certain. Not settled: the readings do not say. Too few: fewer than four notes \
                measured on one side. Mass ratio: hammer mass over string mass.";
    part.text(
        "How far each figure steps where the scale changes its make. What is not modelled: decay, bridge \
         and soundboard; a break that is smooth in every figure may still sound.",
    )
    .sheets([Sheet::new(columns, rows).noted(note)])
    .points(report.breaks.iter().flat_map(|found| points(found, style)))
}

/// What the tuner will hear at every break, beside what was heard.
pub(super) fn by_ear(report: &Report, style: Style) -> Option<Part> {
    let rules = by_ear::rules(&report.limits);
    let point = |found: &BreakReport| {
        let says = by_ear::says(&found.by_ear, &found.place, &rules);
        let says: Vec<String> = says.iter().map(|sentence| said(style, sentence)).collect();
        format!("{}: {}", name(found, style), says.join(" "))
    };
    (!report.breaks.is_empty()).then(|| {
        Part::new("What the tuner will hear at the breaks")
            .text(
                "Foretold from the computed partials, tuned by octaves; rates in beats a second. Thirds count \
                 where they are slow enough to be followed, tenths above them.",
            )
            .points(report.breaks.iter().map(point))
    })
}

fn head(which: Quantity) -> &'static str {
    match which {
        Quantity::Tension => "Tension",
        Quantity::Stress => "Stress",
        Quantity::Inharmonicity => "Inharm.",
        Quantity::Load => "Load",
        Quantity::Drift => "Drift",
        Quantity::Impedance => "Imped.",
        Quantity::MassRatio => "Mass ratio",
        Quantity::StrikeFraction => "Strike",
    }
}

fn unit(which: Quantity) -> &'static str {
    match which.per() {
        crate::scale::breaks::Per::String => "%, a string",
        crate::scale::breaks::Per::Unison => "%, a unison",
    }
}

/// A step and its grade: `−9 ± 3, not settled`.
fn step(jump: &Jump, graded: &Graded) -> String {
    let Outcome::Figures(figures) = &jump.outcome else { return grade(graded.grade).to_owned() };
    let (size, sd) = (100.0 * figures.fraction(), 100.0 * figures.fraction_se());
    let places = u8::from(sd < 1.95);
    let way = size > 0.0;
    let size = cell(Some(size), places);
    let sign = if way && size.parse() != Ok(0.0) { "+" } else { "" };
    format!("{sign}{size}\u{a0}±\u{a0}{} {}", cell(Some(sd), places), grade(graded.grade))
}

fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::Smooth => "smooth",
        Grade::Noticeable => "noticeable",
        Grade::Rough => "rough",
        Grade::NotSettled => "not\u{a0}settled",
        Grade::TooFew => "too\u{a0}few",
    }
}

fn heard(heard: Heard) -> &'static str {
    match heard {
        Heard::Even => "even",
        Heard::Slight => "a slight change",
        Heard::Plain => "a plain change",
    }
}

/// Half sizes, and what to measure where a figure is open or too few notes were read.
fn points(found: &BreakReport, style: Style) -> Vec<String> {
    let name = name(found, style);
    let halves = found.half_sizes.as_ref().map(|halves| {
        full(&format!("{name}, step of tension: {}", style.sentence(&half_sizes_say(halves))))
    });
    let measures = once(
        found
            .figures
            .iter()
            .filter(|(_, graded)| matches!(graded.grade, Grade::NotSettled | Grade::TooFew))
            .filter_map(|(_, graded)| graded.measure.as_ref())
            .map(|sentence| format!("{name}: {}", style.sentence(sentence))),
    );
    halves.into_iter().chain(measures.into_iter().map(|text| full(&text))).collect()
}
