//! Figures of the strings.

use super::{axis, curve, empty, key, ninety, points, span};
use crate::document::plot::{Figure, Line, Point, Scale, Series, Tone};
use crate::judgement::load_limits;
use crate::measure::to_newtons;
use crate::report::Report;

/// Tension per string.
pub(super) fn tension(report: &Report) -> Figure {
    let about = about(report, "The tension of one string of each note");
    let axis = axis("tension of one string", "N", Scale::Linear, false);
    let mut figure = empty(report, "Tension per string", &about, axis);
    let points = points(report, |entry| {
        let tension = entry.string.as_ref()?.tension;
        let (value, sd) = (to_newtons(tension.value), to_newtons(tension.sd));
        Some((value, Some(ninety(value, sd))))
    });
    figure.series.push(curve("tension", points));
    figure.key = key(report);
    figure
}

/// Percent of breaking load.
pub(super) fn load(report: &Report) -> Figure {
    let about = about(report, "The tension of each note in percent of its breaking load");
    let axis = axis("tension over breaking load", "%", Scale::Linear, true);
    let mut figure = empty(report, "Percent of breaking load", &about, axis);
    let points = points(report, |entry| {
        let load = entry.string.as_ref()?.load?;
        let (value, sd) = (100.0 * load.value, 100.0 * load.sd);
        Some((value, Some(ninety(value, sd))))
    });
    figure.series.push(Series { name: String::new(), ..curve("load", points) });
    figure.series.push(limit(report, "too much above", |(_, most)| most));
    figure.series.push(limit(report, "slack below", |(least, _)| least));
    figure.key = key(report);
    figure
}

/// One of the two limits of each note's load, as a line.
fn limit(report: &Report, name: &str, which: fn((f64, f64)) -> f64) -> Series {
    let notes = report.scale.notes.iter();
    let points = notes.filter(|entry| entry.string.as_ref().is_some_and(|s| s.load.is_some()));
    Series {
        name: name.to_owned(),
        tone: Tone::Grey,
        line: Line::Dashed,
        across_breaks: true,
        points: points
            .map(|entry| Point {
                note: entry.note,
                value: Some(which(load_limits(entry.note, entry.kind, &report.limits))),
                band: None,
                mark: None,
            })
            .collect(),
    }
}

/// Inharmonicity.
pub(super) fn inharmonicity(report: &Report) -> Figure {
    let about = about(report, "The inharmonicity of each note");
    let axis = axis("inharmonicity B", "", Scale::Logarithmic, false);
    let mut figure = empty(report, "Inharmonicity", &about, axis);
    let points = points(report, |entry| {
        let b = entry.string.as_ref()?.inharmonicity;
        let low = b.lo.0.max(b.value.0 / 10.0);
        Some((b.value.0, Some((low, b.hi.0))))
    });
    figure.series.push(curve("inharmonicity", points));
    figure.key = key(report);
    figure
}

fn about(report: &Report, what: &str) -> String {
    let compass = report.instrument.compass;
    format!("{what}, {}.", span((compass.first, compass.last)))
}
