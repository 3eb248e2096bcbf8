//! Figures of the alternatives: as found against what is proposed.
//!
//! Shown are the piano as found and two alternatives, smooth and lighter: more curves than three cannot
//! be told apart. The rest stand in the table of `feltwire restring`.

use super::{axis, empty, mark, span};
use crate::document::plot::{
    Axis, Figure, Key, Line, Mark, Point, Sample, Scale as Along, Series, Shape, Tone,
};
use crate::document::string_words::held_words;
use crate::measure::{Silent, to_newtons};
use crate::order::strings::{Name, Prefer};
use crate::report::{Report, Wanted};
use crate::scale::{Scale, StringFigures};
use std::fmt::Write as _;

/// The alternatives shown, each with its tone and line.
const SHOWN: [(Name, Tone, Line); 2] =
    [(Name::Smooth, Tone::Accent, Line::Solid), (Name::Lighter, Tone::Grey, Line::Dashed)];

/// Tension of one string.
pub(super) fn tension(report: &Report) -> Figure {
    let axis = axis("tension of one string", "N", Along::Linear, false);
    against(report, "Tension per string, as found and restrung", axis, |string| {
        Some(to_newtons(string.tension.value))
    })
}

/// Percent of breaking load.
pub(super) fn load(report: &Report) -> Figure {
    let axis = axis("tension over breaking load", "%", Along::Linear, true);
    against(report, "Percent of breaking load, as found and restrung", axis, |string| {
        Some(100.0 * string.load?.value)
    })
}

/// Inharmonicity.
pub(super) fn inharmonicity(report: &Report) -> Figure {
    let axis = axis("inharmonicity B", "", Along::Logarithmic, false);
    against(report, "Inharmonicity, as found and restrung", axis, |string| {
        Some(string.inharmonicity.value.0)
    })
}

/// One figure as found and in the alternatives shown.
fn against(
    report: &Report,
    title: &str,
    axis: Axis,
    read: fn(&StringFigures) -> Option<f64>,
) -> Figure {
    let compass = report.instrument.compass;
    let about = format!(
        "{title}, {}: marks are the strings as found, lines what is proposed.",
        span((compass.first, compass.last))
    );
    let mut figure = empty(report, title, &about, axis);
    figure.series.push(Series {
        name: String::new(),
        tone: Tone::Ink,
        line: Line::None,
        across_breaks: false,
        points: points(&report.scale, read, true),
    });
    let names = SHOWN.map(|shown| shown.0);
    // A silent watch never stops.
    let Ok(worked) = report.rescale(&names, &Prefer::default(), Wanted::Advised, &Silent) else {
        return figure;
    };
    let held = held_words(&worked.staying).into_iter().next();
    figure.about = std::iter::once(figure.about).chain(held).collect::<Vec<_>>().join(" ");
    let beside = worked.staying.stay_whole();
    if !beside.is_empty() {
        let stay = if beside.len() == 1 { "stays" } else { "stay" };
        let _ = write!(figure.title, " ({} {stay})", beside.join(", "));
    }
    for (name, tone, line) in SHOWN {
        let Some(one) = worked.alternatives.iter().find(|one| one.name == name) else { continue };
        figure.series.push(Series {
            name: name.words().to_owned(),
            tone,
            line,
            across_breaks: false,
            points: points(&one.judged.scale, read, false),
        });
        let sample = Sample::Line(line, tone);
        figure.key.push(Key { sample, text: format!("{}: {}", name.words(), name.about()) });
    }
    let found = [(Shape::Square, "wound, as found"), (Shape::Circle, "plain, as found")];
    let found = found.map(|(shape, text)| Key {
        sample: Sample::Mark(Mark { shape, filled: true }, Tone::Ink),
        text: text.to_owned(),
    });
    figure.key.splice(0..0, found);
    figure
}

fn points(scale: &Scale, read: fn(&StringFigures) -> Option<f64>, marked: bool) -> Vec<Point> {
    let point = |entry: &crate::scale::NoteStrings| Point {
        note: entry.note,
        value: entry.string.as_ref().and_then(read),
        band: None,
        mark: marked.then(|| Mark { filled: true, ..mark(entry) }),
    };
    scale.notes.iter().map(point).collect()
}
