//! Figures of the hammers: what is ordered, and the samples beside it.

use super::{axis, curve, empty, ninety};
use crate::action::{NoteHammer, Sample, SampleStanding};
use crate::document::plot::{
    Figure, Key, Line, Mark, Point, Sample as KeySample, Scale, Series, Shape, Tone,
};
use crate::document::words::Style;
use crate::measure::{Measured, Note, mm, to_grams, to_mm};
use crate::report::Report;

const READ: Mark = Mark { shape: Shape::Circle, filled: true };
const SAMPLE: Mark = Mark { shape: Shape::Diamond, filled: false };
const NOT_USED: Mark = Mark { shape: Shape::Triangle, filled: false };

/// Bore as ordered, beside the samples with their worn felt added back.
pub(super) fn bore(report: &Report) -> Figure {
    let about = about(report, "The bore of each hammer as ordered, beside the samples as new");
    let axis = axis("bore, shank axis to crown", "mm", Scale::Linear, false);
    let mut figure = without_breaks(empty(report, "Bore of each hammer", &about, axis));
    let allowance = report.action.allowance.filter(|felt| to_mm(*felt) > 0.0);
    let said = allowance.map(|felt| Style::PAGE.length(Measured::new(felt, mm(0.0))));
    figure.subtitle = said.as_ref().map_or_else(
        || figure.subtitle.clone(),
        |felt| format!("{}; {felt} of allowance included", figure.subtitle),
    );
    let read = |note: Note| {
        report.action.samples.iter().any(|s| s.note == note && s.height_bore.is_some())
    };
    let ordered = ordered(report, |entry| {
        let bore = entry.bore_ordered?;
        let mark = read(entry.note).then_some(READ);
        Some((to_mm(bore.value), to_mm(bore.sd), mark))
    });
    figure.series.push(curve("as ordered", ordered));
    let as_new = samples(report, |sample| {
        let bore = sample.bore_new?;
        let off = matches!(
            sample.standing,
            SampleStanding::Off | SampleStanding::OffAlone | SampleStanding::SectionOff
        );
        let value = to_mm(bore.value + allowance.unwrap_or(mm(0.0)));
        Some((value, to_mm(bore.sd), if off { NOT_USED } else { SAMPLE }))
    });
    let of_sample =
        if allowance.is_some() { "sample as new, and the allowance" } else { "sample as new" };
    let sampled = as_new.iter().any(|point| point.band.is_some());
    add_samples(&mut figure, as_new, &[(READ, "height read here"), (SAMPLE, of_sample)]);
    if sampled {
        figure.key.push(Key {
            sample: KeySample::Bar(Tone::Accent),
            text: "where a sample lies 9 times in 10".to_owned(),
        });
    }
    figure
}

/// Mass of each head as ordered, beside the samples as weighed.
pub(super) fn head_mass(report: &Report) -> Figure {
    let about = about(report, "The mass of each hammer head as ordered, beside the samples");
    let axis = axis("mass of the head", "g", Scale::Linear, true);
    let mut figure = without_breaks(empty(report, "Mass of each hammer head", &about, axis));
    let ordered = ordered(report, |entry| {
        let mass = entry.head_mass?;
        Some((to_grams(mass.value), to_grams(mass.sd), None))
    });
    // Heads are cut from one strip: their mass runs on across the breaks.
    figure.series.push(Series { across_breaks: true, ..curve("as ordered", ordered) });
    let weighed = samples(report, |sample| {
        let mass = sample.mass?.weighed;
        Some((to_grams(mass.value), to_grams(mass.sd), SAMPLE))
    });
    add_samples(&mut figure, weighed, &[(SAMPLE, "sample as weighed, worn")]);
    figure
}

/// Mass of each head over the mass of its strings, beside the samples.
pub(super) fn mass_ratio(report: &Report) -> Figure {
    let about = about(report, "The mass of each head over the mass of all strings of its note");
    let axis = axis("head mass over string mass", "", Scale::Logarithmic, false);
    let mut figure = empty(report, "Hammer mass over string mass", &about, axis);
    let ordered = ordered(report, |entry| {
        let ratio = entry.mass_ratio?;
        Some((ratio.value, ratio.sd, None))
    });
    figure.series.push(curve("as ordered", ordered));
    // The strings are the same: the ratio goes with the head's mass.
    let weighed = samples(report, |sample| {
        let entry = report.action.note(sample.note)?;
        let (ratio, mass) = (entry.mass_ratio?, entry.head_mass?);
        let found = sample.mass?.weighed;
        let value = ratio.value * to_grams(found.value) / to_grams(mass.value);
        Some((value, 0.0, SAMPLE))
    });
    add_samples(&mut figure, weighed, &[(SAMPLE, "sample as weighed, worn")]);
    figure
}

/// Where the strings change from wound to plain is nothing to a hammer.
fn without_breaks(figure: Figure) -> Figure {
    Figure { breaks: Vec::new(), ..figure }
}

/// Points of what is ordered, note by note: value, doubt, mark.
fn ordered(
    report: &Report,
    read: impl Fn(&NoteHammer) -> Option<(f64, f64, Option<Mark>)>,
) -> Vec<Point> {
    let point = |entry: &NoteHammer| {
        let figure = read(entry);
        Point {
            note: entry.note,
            value: figure.map(|(value, ..)| value),
            band: figure.map(|(value, sd, _)| above_zero(value, ninety(value, sd))),
            mark: figure.and_then(|(.., mark)| mark),
        }
    };
    report.action.notes.iter().map(point).collect()
}

/// Points of what was read of samples.
fn samples(report: &Report, read: impl Fn(&Sample) -> Option<(f64, f64, Mark)>) -> Vec<Point> {
    let point = |sample: &Sample| {
        let (value, sd, mark) = read(sample)?;
        let band = (sd > 0.0).then(|| above_zero(value, ninety(value, sd)));
        Some(Point { note: sample.note, value: Some(value), band, mark: Some(mark) })
    };
    report.action.samples.iter().filter_map(point).collect()
}

/// A band about a value above zero stays above it, as an axis of ratios needs.
fn above_zero(value: f64, (low, high): (f64, f64)) -> (f64, f64) {
    (low.max(value.min(0.1 * value)), high)
}

/// Adds the samples and the key of the marks in use.
fn add_samples(figure: &mut Figure, points: Vec<Point>, marks: &[(Mark, &str)]) {
    let used = |mark: Mark| {
        let all = figure.series.iter().flat_map(|series| &series.points).chain(&points);
        all.into_iter().any(|point| point.mark == Some(mark) && point.value.is_some())
    };
    let mut key = Vec::new();
    for (mark, text) in marks.iter().chain(&[(NOT_USED, "sample not used: it is off")]) {
        if used(*mark) {
            let tone = if *mark == READ { Tone::Ink } else { Tone::Accent };
            key.push(Key { sample: KeySample::Mark(*mark, tone), text: (*text).to_owned() });
        }
    }
    key.push(Key {
        sample: KeySample::Band(Tone::Ink),
        text: "where it lies 9 times in 10".to_owned(),
    });
    figure.key = key;
    // Without a line it has no name beside it: the key tells what its marks are.
    if !points.is_empty() {
        figure.series.push(Series {
            name: String::new(),
            tone: Tone::Accent,
            line: Line::None,
            across_breaks: true,
            points,
        });
    }
}

fn about(report: &Report, what: &str) -> String {
    let compass = report.instrument.compass;
    format!("{what}, from {} to {}.", compass.first, compass.last)
}
