//! The figure of one break: what was read on both sides, the two trends, and how far the piano steps
//! elsewhere.
//!
//! Shown is the figure with the worst grade, the first of those in their order. The trend from below is
//! carried on over the break with the largest step found inside the sections on either side of it: where the
//! trend from above leaves that corridor, the break steps more than the sections do.

use super::{axis, clip, empty, mark, ninety};
use crate::document::plot::{Break, Figure, Key, Line, Point, Sample, Scale, Series, Shape, Tone};
use crate::document::words::Style;
use crate::judgement::breaks::{Grade, Graded};
use crate::measure::{Compass, Note};
use crate::report::{BreakReport, Report};
use crate::scale::breaks::{BreakPlace, Figures, Jump, Outcome, Quantity, Reason};

/// Keys shown beyond the outer notes of the break on either side.
const REACH: i32 = 17;

/// Break `number`, counted from the bass from 1.
pub(super) fn step(report: &Report, number: u8) -> Figure {
    let found = usize::from(number).checked_sub(1).and_then(|index| report.breaks.get(index));
    let blank = || empty(report, "", "", axis("", "", Scale::Linear, false));
    let Some(found) = found else { return blank() };
    let Some((jump, graded, figures)) = worst(found) else { return blank() };
    let shown = Shown { report, place: &found.place, jump, figures };
    shown.figure(graded)
}

/// The figure with the worst grade, of those that have a step.
fn worst(found: &BreakReport) -> Option<(&Jump, &Graded, &Figures)> {
    let grades = [Grade::Rough, Grade::Noticeable, Grade::NotSettled, Grade::Smooth];
    grades.into_iter().find_map(|grade| {
        found.figures.iter().find_map(|(jump, graded)| match &jump.outcome {
            Outcome::Figures(figures) if graded.grade == grade => {
                Some((jump, graded, figures.as_ref()))
            }
            _ => None,
        })
    })
}

struct Shown<'a> {
    report: &'a Report,
    place: &'a BreakPlace,
    jump: &'a Jump,
    figures: &'a Figures,
}

impl Shown<'_> {
    fn figure(&self, graded: &Graded) -> Figure {
        let quantity = self.jump.quantity;
        let (name, unit, scale) = shown_as(quantity);
        let style = Style::PAGE;
        let between = if self.place.is_zone() { "–" } else { "/" };
        let (below, above) = (style.note(self.place.below), style.note(self.place.above));
        let title = format!(
            "Break {below}{between}{above}: {} {}",
            quantity.name(),
            quantity.per().words()
        );
        let says = sentence(&style.sentence(&graded.says));
        let mut figure = empty(self.report, &title, &says, axis(name, unit, scale, false));
        figure.subtitle = says;
        figure.compass = self.compass();
        figure.sections.retain_mut(|section| clip(section, figure.compass));
        figure.breaks = self.lines(figure.compass);
        figure.series = vec![
            self.trend(true),
            self.trend(false),
            self.carried(0.0, Tone::Accent, Line::Dashed),
            self.readings(),
        ];
        figure.key = self.marks();
        figure.key.extend(key());
        if let Some(step) = self.figures.largest_own_step() {
            let step = step.ln_1p();
            figure.series.insert(0, self.carried(step, Tone::Grey, Line::Dotted));
            figure.series.insert(0, self.carried(-step, Tone::Grey, Line::Dotted));
            let sample = Sample::Line(Line::Dotted, Tone::Grey);
            let text = "the same, off by the largest step inside the sections".to_owned();
            figure.key.push(Key { sample, text });
        }
        figure
    }

    fn compass(&self) -> Compass {
        let whole = self.report.instrument.compass;
        let far = |note: Note, by: i32, end: Note| note.step(by).unwrap_or(end);
        Compass {
            first: far(self.place.below, -REACH, whole.first).max(whole.first),
            last: far(self.place.above, REACH, whole.last).min(whole.last),
        }
    }

    fn middle(&self) -> f64 {
        f64::midpoint(f64::from(self.place.below.key()), f64::from(self.place.above.key()))
    }

    fn value(&self, ln: f64) -> f64 {
        ln.exp() * per_unit(self.jump.quantity)
    }

    /// Where something changes that is not a section's end, with what it is.
    fn lines(&self, compass: Compass) -> Vec<Break> {
        let places = self.report.breaks.iter().flat_map(|found| &found.place.breaks);
        let seen = places.filter(|one| compass.contains(one.below) && one.below != compass.last);
        seen.filter_map(|one| {
            let what = one.reasons.iter().filter(|r| !matches!(r, Reason::Section { .. }));
            let what: Vec<String> = what.map(Reason::words).collect();
            (!what.is_empty()).then(|| Break { below: one.below, label: what.join(", ") })
        })
        .collect()
    }

    /// One side's trend with the doubt that it has at the break, through the notes that it is drawn
    /// from.
    fn trend(&self, below: bool) -> Series {
        let figures = self.figures;
        let (notes, level, slope, se, outer) = if below {
            let se = figures.level_se.0;
            (&figures.notes_below, figures.level_below, figures.slope_below, se, self.place.below)
        } else {
            let se = figures.level_se.1;
            (&figures.notes_above, figures.level_above, figures.slope_above, se, self.place.above)
        };
        let far = notes.last().copied().unwrap_or(outer);
        let span = Compass { first: far.min(outer), last: far.max(outer) };
        let points = span.notes().map(|note| {
            let ln = level + slope * (f64::from(note.key()) - self.middle());
            let (low, high) = ninety(ln, se);
            Point {
                note,
                value: Some(self.value(ln)),
                band: Some((self.value(low), self.value(high))),
                mark: None,
            }
        });
        line("", Tone::Accent, Line::Solid, points.collect())
    }

    /// The trend from below carried on to the notes above, moved by `off` in the logarithm.
    fn carried(&self, off: f64, tone: Tone, how: Line) -> Series {
        let to = self.figures.notes_above.last().copied().unwrap_or(self.place.above);
        let points = Compass { first: self.place.below, last: to }.notes().map(|note| {
            let away = f64::from(note.key()) - self.middle();
            let ln = self.figures.level_below + self.figures.slope_below * away + off;
            Point { note, value: Some(self.value(ln)), band: None, mark: None }
        });
        line("", tone, how, points.collect())
    }

    /// Every note that was read, with the scatter of its readings.
    fn readings(&self) -> Series {
        let compass = self.compass();
        let series = self.report.series.iter().find(|one| one.quantity() == self.jump.quantity);
        let points = series.map(|series| series.between(compass.first, compass.last));
        let point = |point: &crate::scale::breaks::Point| {
            let (low, high) = ninety(point.ln_value, point.sd);
            Point {
                note: point.note,
                value: Some(self.value(point.ln_value)),
                band: Some((self.value(low), self.value(high))),
                mark: self.report.scale.note(point.note).map(mark),
            }
        };
        line("", Tone::Ink, Line::None, points.unwrap_or_default().iter().map(point).collect())
    }

    /// What the marks in use mean.
    fn marks(&self) -> Vec<Key> {
        let readings = self.readings();
        let used = |shape| {
            let of = |point: &Point| point.mark.filter(|mark| mark.shape == shape);
            readings.points.iter().find_map(of)
        };
        [(Shape::Square, "wound"), (Shape::Circle, "plain")]
            .into_iter()
            .filter_map(|(shape, text)| {
                let sample = Sample::Mark(used(shape)?, Tone::Ink);
                Some(Key { sample, text: format!("{text}, measured") })
            })
            .collect()
    }
}

fn line(name: &str, tone: Tone, line: Line, points: Vec<Point>) -> Series {
    Series { name: name.to_owned(), tone, line, across_breaks: true, points }
}

fn key() -> Vec<Key> {
    let entry = |sample, text: &str| Key { sample, text: text.to_owned() };
    vec![
        entry(Sample::Bar(Tone::Ink), "where a reading lies 9 times in 10"),
        entry(Sample::Line(Line::Solid, Tone::Accent), "trend on either side"),
        entry(Sample::Band(Tone::Accent), "where it lies at the break, 9 times in 10"),
        entry(Sample::Line(Line::Dashed, Tone::Accent), "trend from below carried on"),
    ]
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str() + "."
}

/// Name of the axis, unit, and how it runs.
fn shown_as(quantity: Quantity) -> (&'static str, &'static str, Scale) {
    match quantity {
        Quantity::Tension => ("tension of one string", "N", Scale::Linear),
        Quantity::Stress => ("tension over the section of the core", "MPa", Scale::Linear),
        Quantity::Inharmonicity => ("inharmonicity B", "", Scale::Logarithmic),
        Quantity::Load => ("tension over breaking load", "%", Scale::Linear),
        Quantity::Drift => ("drift for a strain of 10⁻⁵", "cents", Scale::Linear),
        Quantity::Impedance => ("impedance of all strings of the note", "kg/s", Scale::Linear),
        Quantity::MassRatio => ("head mass over string mass", "", Scale::Logarithmic),
        Quantity::StrikeFraction => ("strike point over speaking length", "%", Scale::Linear),
    }
}

/// Units of the axis in one SI unit of the figure.
fn per_unit(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Stress => 1e-6,
        Quantity::Load | Quantity::StrikeFraction => 100.0,
        _ => 1.0,
    }
}
