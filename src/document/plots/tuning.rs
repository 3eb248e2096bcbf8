//! Figures of the tuning foretold.

use super::{axis, clip, empty, key, mark, span};
use crate::document::plot::{Figure, Key, Line, Point, Sample, Scale, Series, Tone};
use crate::measure::Note;
use crate::report::Report;
use crate::scale::tuning::Interval;

/// Beats of octaves and fifths beyond this, a second, are not drawn: nobody tunes by them.
const SLOW: f64 = 2.0;

/// How far each note is tuned from equal temperament.
pub(super) fn stretch(report: &Report) -> Figure {
    let about = about(report, "How far each note is tuned by ear from equal temperament");
    let axis = axis("above equal temperament", "cents", Scale::Linear, false);
    let mut figure = empty(report, "Stretch of the tuning", &about, axis);
    let notes = report.scale.notes.iter();
    let points: Vec<Point> = notes
        .map(|entry| Point {
            note: entry.note,
            value: report.tuning.note(entry.note).map(|tuned| tuned.stretch.0),
            band: None,
            mark: Some(mark(entry)),
        })
        .collect();
    let tuned = points.iter().any(|point| point.value.is_some());
    figure.series.push(across("", Tone::Ink, Line::Solid, points));
    figure.key = key(report);
    // The last entry is the band, which this figure has not.
    figure.key.pop();
    if tuned {
        let level = |note| Point { note, value: Some(0.0), band: None, mark: None };
        let level = report.instrument.compass.notes().map(level).collect();
        figure.series.push(across("equal temperament", Tone::Grey, Line::Dashed, level));
    }
    figure
}

/// Beats of thirds, sixths and tenths up to where thirds become too fast to be followed: their upper
/// partials are those of the lower note, and higher up nobody listens to them.
pub(super) fn beats(report: &Report) -> Figure {
    let about = about(report, "How fast thirds, sixths and tenths beat, by their lower note");
    let axis = axis("beats a second, by the lower note", "", Scale::Linear, true);
    let mut figure = empty(report, "Beats of thirds, sixths and tenths", &about, axis);
    let fastest = crate::judgement::by_ear::rules(&report.limits).fastest;
    let third = |note: &Note| report.tuning.beats(Interval::Third, *note);
    let too_fast = |note: &Note| third(note).is_some_and(|rate| rate > fastest);
    let whole = report.instrument.compass;
    if let Some(last) = whole.notes().find(too_fast).and_then(|note| note.step(-1)) {
        figure.compass.last = last.max(whole.first);
        let shown = figure.compass;
        figure.sections.retain_mut(|section| clip(section, shown));
        figure.breaks.retain(|line| shown.contains(line.below) && line.below != shown.last);
    }
    for (interval, tone, line) in [
        (Interval::Third, Tone::Ink, Line::Solid),
        (Interval::Tenth, Tone::Accent, Line::Dashed),
        (Interval::Sixth, Tone::Grey, Line::Solid),
    ] {
        add(&mut figure, report, interval, (tone, line), f64::INFINITY);
    }
    figure
}

/// Beats of octaves and fifths, where they are slow.
pub(super) fn slow_beats(report: &Report) -> Figure {
    let about = about(report, "How fast octaves and fifths beat, by their lower note");
    let axis = axis("beats a second, wide above zero, by the lower note", "", Scale::Linear, false);
    let mut figure = empty(report, "Beats of octaves and fifths", &about, axis);
    for (interval, tone, line) in [
        (Interval::Octave63, Tone::Accent, Line::Dotted),
        (Interval::Octave42, Tone::Ink, Line::Solid),
        (Interval::Octave21, Tone::Grey, Line::Solid),
        (Interval::Fifth, Tone::Ink, Line::Dashed),
    ] {
        add(&mut figure, report, interval, (tone, line), SLOW);
    }
    figure
}

/// Adds the beats of `interval` up to `most` a second; named in the key, for the curves cross.
fn add(
    figure: &mut Figure,
    report: &Report,
    interval: Interval,
    (tone, line): (Tone, Line),
    most: f64,
) {
    let rate = |note: Note| report.tuning.beats(interval, note).filter(|rate| rate.abs() <= most);
    let points: Vec<Point> = figure
        .compass
        .notes()
        .map(|note| Point { note, value: rate(note), band: None, mark: None })
        .collect();
    if points.iter().any(|point| point.value.is_some()) {
        figure.series.push(across("", tone, line, points));
        let sample = Sample::Line(line, tone);
        figure.key.push(Key { sample, text: interval.plural().to_owned() });
    }
}

fn across(name: &str, tone: Tone, line: Line, points: Vec<Point>) -> Series {
    Series { name: name.to_owned(), tone, line, across_breaks: true, points }
}

fn about(report: &Report, what: &str) -> String {
    let compass = report.instrument.compass;
    format!("{what}, {}.", span((compass.first, compass.last)))
}
