//! `feltwire breaks`: one line a break first, every figure with `--detail`.

use super::columns::item;
use super::{head, warnings};
use crate::document::shapes::heard;
use crate::document::words::Style;
use crate::judgement::breaks::{Grade, Graded, half_sizes_say};
use crate::judgement::by_ear;
use crate::measure::Measured;
use crate::report::{BreakReport, Report};
use crate::scale::breaks::{Jump, Quantity, Roughness};
use std::fmt::Write as _;

/// The breaks; with `detail` every figure at each.
pub fn breaks(report: &Report, detail: bool) -> String {
    let mut text = head(report);
    text.push('\n');
    if report.breaks.is_empty() {
        text.push_str("No break: one section of one make.\n");
    }
    for found in &report.breaks {
        text.push_str(&line(found));
        text.push_str(&if detail { every_figure(found) } else { worst_figure(found) });
        if detail {
            text.push_str(&by_ear(report, found));
        }
        if let Some(heard_there) = found.heard {
            let _ = writeln!(text, "    heard there: {}", heard_words(heard(heard_there)));
        }
    }
    if detail {
        text.push_str(&rough(&report.roughness()));
    }
    text.push_str(
        "\nA step is the treble side over the bass side. What is not modelled: decay, bridge and\n\
         soundboard; a break smooth in every figure may still sound.\n",
    );
    text.push_str(&warnings(report.string_warnings()));
    text
}

/// Where, why, and the worst grade with the figures that earn it.
fn line(found: &BreakReport) -> String {
    let place = &found.place;
    let between = if place.is_zone() { "–" } else { "/" };
    let reasons: Vec<String> = place.reasons_in_words();
    let grade = worst(found);
    let which: Vec<&str> = found
        .figures
        .iter()
        .filter(|(_, graded)| Some(graded.grade) == grade)
        .map(|(jump, _)| jump.quantity.name())
        .collect();
    let verdict = match grade {
        None | Some(Grade::Smooth) if which.len() == found.figures.len() => {
            "smooth in every figure".to_owned()
        }
        None | Some(Grade::Smooth) => {
            format!("smooth in {}, the rest too few notes", which.join(", "))
        }
        Some(Grade::TooFew) => "too few notes to judge".to_owned(),
        Some(grade) => format!("{} in {}", words(grade), which.join(", ")),
    };
    item(
        "",
        &format!("{}{between}{} ({}): {verdict}", place.below, place.above, reasons.join("; ")),
    )
}

/// The worst grade of any figure; too few only when nothing could be judged.
fn worst(found: &BreakReport) -> Option<Grade> {
    [Grade::Rough, Grade::Noticeable, Grade::NotSettled, Grade::Smooth, Grade::TooFew]
        .into_iter()
        .find(|grade| found.figures.iter().any(|(_, graded)| graded.grade == *grade))
}

fn worst_figure(found: &BreakReport) -> String {
    let grade = worst(found);
    let mut text = String::new();
    if let Some((jump, graded)) =
        found.figures.iter().find(|(_, graded)| Some(graded.grade) == grade)
    {
        text.push_str(&figure(jump, graded));
    }
    text
}

fn every_figure(found: &BreakReport) -> String {
    let mut text = String::new();
    for (jump, graded) in &found.figures {
        text.push_str(&figure(jump, graded));
        if let (Quantity::Tension, Some(halves)) = (jump.quantity, &found.half_sizes) {
            text.push_str(&item("      ", &Style::PLAIN.sentence(&half_sizes_say(halves))));
        }
    }
    text
}

/// What the tuner will hear at the break.
fn by_ear(report: &Report, found: &BreakReport) -> String {
    let rules = by_ear::rules(&report.limits);
    let mut text = String::from("    What the tuner will hear at the break:\n");
    for said in by_ear::says(&found.by_ear, &found.place, &rules) {
        text.push_str(&item("      - ", &Style::PLAIN.sentence(&said)));
    }
    text
}

/// How every figure runs from note to note between the breaks, against its readings.
fn rough(runs: &[Roughness]) -> String {
    let mut text = String::new();
    for quantity in Quantity::ALL {
        let of: Vec<String> = runs
            .iter()
            .filter(|run| run.quantity == quantity)
            .map(|run| {
                let share = |part| Style::PLAIN.share(Measured::new(part, 0.0));
                let (first, last) = run.run;
                format!("{first}–{last} {} ({})", share(run.scatter), share(run.reading))
            })
            .collect();
        if !of.is_empty() {
            let mark = format!("    {:<30}", quantity.name());
            text.push_str(&item(&mark, &of.join(", ")));
        }
    }
    if text.is_empty() {
        return text;
    }
    format!(
        "\nThe whole scale: how far a note stands off its neighbours, and in brackets how far the\n\
         readings alone would put it.\n{text}"
    )
}

fn figure(_: &Jump, graded: &Graded) -> String {
    let mark = format!("    {:<12}", words(graded.grade));
    let mut text = item(&mark, &Style::PLAIN.sentence(&graded.says));
    if let Some(measure) = &graded.measure {
        text.push_str(&item("                ", &Style::PLAIN.sentence(measure)));
    }
    text
}

/// A grade in words.
fn words(grade: Grade) -> &'static str {
    match grade {
        Grade::Smooth => "smooth",
        Grade::Noticeable => "noticeable",
        Grade::Rough => "rough",
        Grade::NotSettled => "not settled",
        Grade::TooFew => "too few",
    }
}

fn heard_words(heard: &str) -> &'static str {
    match heard {
        "even" => "nothing, it runs even",
        "slight" => "a slight change",
        _ => "a plain change",
    }
}
