//! The breaks: one row each, with every figure.

use super::sheet::{Column, Part, Sheet};
use super::{full, once};
use crate::document::words::{Style, cell};
use crate::instrument::Heard;
use crate::judgement::breaks::{Grade, Graded, half_sizes_say};
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
    // Long names of sections find no room in the table: they stand above it.
    let long = report.breaks.iter().any(|found| changes(found, style).chars().count() > 70);
    let lead = report.breaks.iter().filter(|_| long).map(|found| full(&changes(found, style)));
    let mut columns = vec![Column::left("Break").share(3)];
    let figure = |which| Column::left(head(which)).unit(unit(which)).share(2);
    columns.extend(Quantity::ALL.map(figure));
    columns.push(Column::left("Heard").share(2));
    let row = |found: &BreakReport| {
        let mut cells = vec![if long { name(found, style) } else { changes(found, style) }];
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
    .lead(lead)
    .sheets([Sheet::new(columns, rows).noted(note)])
    .points(report.breaks.iter().flat_map(|found| points(found, style)))
}

/// A break with what changes there.
fn changes(found: &BreakReport, style: Style) -> String {
    let reasons: Vec<String> = found.place.reasons().map(Reason::words).collect();
    format!("{}: {}", name(found, style), once(reasons).join("; "))
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

/// Half sizes, and in one point what to measure where a figure is open or too few notes were read.
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
            .map(|sentence| style.sentence(sentence)),
    );
    let measures =
        (!measures.is_empty()).then(|| full(&format!("{name}: {}", measures.join("; "))));
    halves.into_iter().chain(measures).collect()
}
