//! Bands, lines and marks.

use super::super::svg::{Pen, Rect, Sheet};
use super::frame::Frame;
use super::{Figure, Line, Mark, Point, Sample, Series, Shape, Tone};

/// Runs of points that a line or band joins: cut at gaps, at section ends, where a value leaves the
/// axis.
fn stretches<'a>(figure: &Figure, frame: &Frame, series: &'a Series) -> Vec<Vec<&'a Point>> {
    let section = |point: &Point| {
        let breaks = figure.breaks.iter().filter(|line| line.below < point.note).count();
        (figure.sections.iter().position(|s| s.notes.contains(point.note)), breaks)
    };
    let mut runs: Vec<Vec<&Point>> = vec![Vec::new()];
    for point in &series.points {
        let seen = point.value.is_some_and(|value| frame.reach.holds(value));
        let cut = runs
            .last()
            .and_then(|run| run.last())
            .is_some_and(|last| !series.across_breaks && section(last) != section(point));
        if cut || !seen {
            runs.push(Vec::new());
        }
        if let (true, Some(run)) = (seen, runs.last_mut()) {
            run.push(point);
        }
    }
    runs.retain(|run| !run.is_empty());
    runs
}

/// Where the points of each stretch lie.
pub(super) fn paths(figure: &Figure, frame: &Frame, series: &Series) -> Vec<Vec<(f64, f64)>> {
    let place = |point: &&Point| point.value.map(|value| (frame.x(point.note), frame.y(value)));
    let runs = stretches(figure, frame, series);
    runs.iter().map(|run| run.iter().filter_map(place).collect()).collect()
}

pub(super) fn draw(figure: &Figure, frame: &Frame, sheet: &mut Sheet) {
    for series in &figure.series {
        for run in stretches(figure, frame, series) {
            if series.line != Line::None {
                band(&run, frame, series.tone, sheet);
            }
        }
    }
    for series in figure.series.iter().filter(|series| series.line == Line::None) {
        series.points.iter().for_each(|point| bar(point, frame, series.tone, sheet));
    }
    // Marks that no line joins lie under the lines, which they would hide where they crowd.
    for series in figure.series.iter().filter(|series| series.line == Line::None) {
        marks(series, frame, sheet);
    }
    for series in &figure.series {
        if series.line != Line::None {
            for path in paths(figure, frame, series) {
                sheet.polyline(&path, pen(series.line, series.tone));
            }
        }
    }
    for series in figure.series.iter().filter(|series| series.line != Line::None) {
        marks(series, frame, sheet);
    }
}

/// The marks of one curve; an arrowhead for what lies beyond the axis.
fn marks(series: &Series, frame: &Frame, sheet: &mut Sheet) {
    for point in &series.points {
        let Some(value) = point.value else { continue };
        let x = frame.x(point.note);
        if value > frame.reach.high {
            beyond((x, frame.area.top + 2.0), -1.0, frame.mark_reach(), series.tone, sheet);
        } else if value < frame.reach.low {
            beyond((x, frame.area.bottom - 2.0), 1.0, frame.mark_reach(), series.tone, sheet);
        } else if let Some(shape) = point.mark {
            mark(shape, (x, frame.y(value)), frame.mark_reach(), series.tone, sheet);
        }
    }
}

/// The doubt of a point that no line joins: a bar from end to end, which bands beneath do not hide.
fn bar(point: &Point, frame: &Frame, tone: Tone, sheet: &mut Sheet) {
    let seen = point.value.is_some_and(|value| frame.reach.holds(value));
    let Some((low, high)) = point.band.filter(|_| seen) else { return };
    let y = |value: f64| frame.y(value).clamp(frame.area.top, frame.area.bottom);
    stem(frame.x(point.note), (y(high), y(low)), 0.7 * frame.mark_reach(), tone, sheet);
}

/// An upright line between two heights with a stroke across either end.
fn stem(x: f64, (top, bottom): (f64, f64), reach: f64, tone: Tone, sheet: &mut Sheet) {
    let pen = Pen::new(tone.colour(), 1.1);
    sheet.line((x, top), (x, bottom), pen);
    for y in [top, bottom] {
        sheet.line((x - reach, y), (x + reach, y), pen);
    }
}

/// The doubt of one stretch: an area, or an upright bar for a point alone.
fn band(run: &[&Point], frame: &Frame, tone: Tone, sheet: &mut Sheet) {
    let y = |value: f64| frame.y(value).clamp(frame.area.top, frame.area.bottom);
    let ends: Vec<(f64, f64, f64)> = run
        .iter()
        .filter_map(|p| p.band.map(|(low, high)| (frame.x(p.note), y(high), y(low))))
        .collect();
    if let [(x, top, bottom)] = ends[..] {
        let reach = frame.mark_reach();
        sheet.rect(Rect::new(x - reach, top, x + reach, bottom), None, Some(tone.band()));
        return;
    }
    if ends.len() > 1 {
        let upper = ends.iter().map(|(x, top, _)| (*x, *top));
        let lower = ends.iter().rev().map(|(x, _, bottom)| (*x, *bottom));
        sheet.polygon(&upper.chain(lower).collect::<Vec<_>>(), None, Some(tone.band()));
    }
}

fn pen(line: Line, tone: Tone) -> Pen {
    match line {
        Line::Dashed => Pen::dashed(tone.colour(), 1.8, 7.0, 4.0),
        Line::Dotted => Pen::dashed(tone.colour(), 2.2, 2.2, 3.4),
        Line::Solid | Line::None => Pen::new(tone.colour(), 1.6),
    }
}

/// An arrowhead at the edge: the value lies beyond the axis.
fn beyond((x, y): (f64, f64), down: f64, r: f64, tone: Tone, sheet: &mut Sheet) {
    let tip = (x, y);
    let base = y - down * 2.0 * r;
    sheet.polygon(&[tip, (x - r, base), (x + r, base)], None, Some(tone.colour()));
}

fn mark(mark: Mark, (x, y): (f64, f64), r: f64, tone: Tone, sheet: &mut Sheet) {
    let outline = Some(Pen::new(tone.colour(), 1.3));
    let fill = Some(if mark.filled { tone.colour() } else { "#ffffff" });
    match mark.shape {
        Shape::Circle => sheet.circle((x, y), 0.92 * r, outline, fill),
        Shape::Square => sheet.rect(Rect::around(x, y, 0.82 * r), outline, fill),
        Shape::Diamond => {
            let r = 1.12 * r;
            sheet.polygon(&[(x, y - r), (x + r, y), (x, y + r), (x - r, y)], outline, fill);
        }
        Shape::Triangle => {
            let (w, up, down) = (1.02 * r, 1.1 * r, 0.75 * r);
            sheet.polygon(&[(x, y - up), (x + w, y + down), (x - w, y + down)], outline, fill);
        }
    }
}

/// A sample for the key, `width` wide, its middle line at the given height.
pub(super) fn sample(sample: Sample, (x, y): (f64, f64), width: f64, sheet: &mut Sheet) {
    match sample {
        Sample::Mark(shape, tone) => mark(shape, (x + 0.5 * width, y), 5.5, tone, sheet),
        Sample::Line(line, tone) => sheet.line((x, y), (x + width, y), pen(line, tone)),
        Sample::Bar(tone) => stem(x + 0.5 * width, (y - 8.0, y + 8.0), 4.0, tone, sheet),
        Sample::Beyond(tone) => beyond((x + 0.5 * width, y - 5.0), -1.0, 5.0, tone, sheet),
        Sample::Band(tone) => {
            sheet.rect(Rect::new(x, y - 7.0, x + width, y + 7.0), None, Some(tone.band()));
        }
    }
}
