//! Figures over the compass: curves by note with their doubt, readable in black and white.
//!
//! A [`Figure`] is pure data; [`svg`] draws it. The horizontal axis is the compass: every C is named, each
//! section is bracketed and named with its ends. No meaning rests on colour: curves differ in dash and
//! mark, and carry their names beside them where there is room, in the key where there is none.

mod axis;
mod curve;
mod frame;
mod place;

use super::svg::Sheet;
use crate::measure::{Compass, Note};
use std::fmt;

/// One figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What is shown, in full words.
    pub title: String,
    /// Of what and under which conditions; may be empty.
    pub subtitle: String,
    /// What the figure says, for those who cannot see it.
    pub about: String,
    /// The notes along the horizontal axis.
    pub compass: Compass,
    /// Sections, from the bass.
    pub sections: Vec<Section>,
    /// Lines between two notes that are not the ends of sections.
    pub breaks: Vec<Break>,
    /// The vertical axis.
    pub axis: Axis,
    /// Regions of the vertical axis that mean something.
    pub zones: Vec<Zone>,
    /// The curves.
    pub series: Vec<Series>,
    /// What the marks mean; every mark in use should be here.
    pub key: Vec<Key>,
}

/// A section of the compass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its name.
    pub name: String,
    /// Its notes.
    pub notes: Compass,
}

/// A line above the note `below`, between it and the next; curves are cut there as at a section's end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Break {
    /// The note under it.
    pub below: Note,
    /// What changes there: `wound to plain`.
    pub label: String,
}

/// The vertical axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it measures, in full words.
    pub quantity: String,
    /// Its unit; empty for a pure number.
    pub unit: String,
    /// Linear or logarithmic.
    pub scale: Scale,
    /// Ends of the axis; without them all that is shown fits.
    pub range: Option<(f64, f64)>,
    /// A linear axis whose ends are not given begins at zero.
    pub from_zero: bool,
}

/// How the vertical axis runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Equal steps are equal differences.
    Linear,
    /// Equal steps are equal ratios; everything shown is above zero.
    Logarithmic,
}

/// A region of the vertical axis, hatched, with its edges drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Lower edge; to the bottom of the axis without.
    pub from: Option<f64>,
    /// Upper edge; to the top of the axis without.
    pub to: Option<f64>,
    /// What it means.
    pub label: String,
}

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its name, printed beside it when there are several; empty when the key says enough of it.
    pub name: String,
    /// Its colour.
    pub tone: Tone,
    /// How its points are joined.
    pub line: Line,
    /// Whether the line runs on from section to section.
    pub across_breaks: bool,
    /// Its points, from the bass.
    pub points: Vec<Point>,
}

/// One point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Its note.
    pub note: Note,
    /// Its value; `None` leaves a gap.
    pub value: Option<f64>,
    /// Ends of the band that shows its doubt.
    pub band: Option<(f64, f64)>,
    /// Its mark; `None` for a bare line.
    pub mark: Option<Mark>,
}

/// Colour of a curve; each also differs from the others in lightness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Near black: what was found.
    Ink,
    /// A mid blue: what is proposed.
    Accent,
    /// Grey: what others have published, or what is for comparison.
    Grey,
}

/// How points are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// An unbroken line.
    Solid,
    /// Dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// Not at all.
    None,
}

/// A mark: shape and fill.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    /// Its shape.
    pub shape: Shape,
    /// Filled or hollow.
    pub filled: bool,
}

/// Shape of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A disc.
    Circle,
    /// A square.
    Square,
    /// A square on its corner.
    Diamond,
    /// A triangle.
    Triangle,
}

/// One entry of the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    /// What is shown.
    pub sample: Sample,
    /// What it means.
    pub text: String,
}

/// What an entry of the key shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sample {
    /// A mark in a tone.
    Mark(Mark, Tone),
    /// A line in a tone.
    Line(Line, Tone),
    /// The band in a tone.
    Band(Tone),
    /// The bar through a point that no line joins, in a tone.
    Bar(Tone),
    /// The arrowhead of a value beyond the axis; added where there is one.
    Beyond(Tone),
}

/// Why a figure cannot be drawn: what was handed in makes no picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlotFault {
    /// A value that is not finite, or a band whose ends are the wrong way round.
    NotANumber {
        /// Which curve or zone.
        of: String,
    },
    /// A value at or below zero on a logarithmic axis.
    NotAboveZero {
        /// Which curve or zone.
        of: String,
    },
    /// A note outside the figure's compass.
    OutsideCompass {
        /// Which curve, section or break.
        of: String,
    },
    /// Nothing to show: no value at all, an empty compass, or an axis without extent.
    Empty,
}

impl fmt::Display for PlotFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { of } => {
                write!(f, "a value of `{of}` is not finite or its band is reversed")
            }
            Self::NotAboveZero { of } => {
                write!(f, "a value of `{of}` is not above zero on a logarithmic axis")
            }
            Self::OutsideCompass { of } => write!(f, "`{of}` leaves the compass of the figure"),
            Self::Empty => f.write_str("the figure has nothing to show"),
        }
    }
}

impl std::error::Error for PlotFault {}

/// Width of every figure, in its own units: 174 mm of a page.
const WIDTH: f64 = 1000.0;
/// Usual height of a figure.
const HEIGHT: f64 = 600.0;

/// The figure as SVG, 1000 × 600 pixels; higher when key or sections need many rows.
pub fn svg(figure: &Figure) -> Result<String, PlotFault> {
    check(figure)?;
    let reach = axis::reach(figure)?;
    // Names that find no room beside their curves go to the key, which then needs more room itself.
    let mut named_in_key = vec![false; figure.series.len()];
    loop {
        let frame = frame::Frame::of(figure, reach.clone(), &named_in_key);
        let labels = place::labels(figure, &frame, &named_in_key);
        if labels.homeless.is_empty() {
            let mut sheet = Sheet::new(WIDTH, frame.height);
            frame.draw_under(figure, &mut sheet);
            curve::draw(figure, &frame, &mut sheet);
            frame.draw_over(figure, &mut sheet);
            labels.draw(&mut sheet);
            return Ok(sheet.finish("", &figure.title, &figure.about));
        }
        for index in labels.homeless {
            named_in_key[index] = true;
        }
    }
}

fn check(figure: &Figure) -> Result<(), PlotFault> {
    if figure.compass.is_empty() {
        return Err(PlotFault::Empty);
    }
    let logarithmic = figure.axis.scale == Scale::Logarithmic;
    let number = |of: &str, value: f64| {
        if !value.is_finite() {
            return Err(PlotFault::NotANumber { of: of.to_owned() });
        }
        if logarithmic && value <= 0.0 {
            return Err(PlotFault::NotAboveZero { of: of.to_owned() });
        }
        Ok(())
    };
    let inside = |of: &str, note: Note| {
        if figure.compass.contains(note) {
            Ok(())
        } else {
            Err(PlotFault::OutsideCompass { of: of.to_owned() })
        }
    };
    for series in &figure.series {
        for point in &series.points {
            inside(&series.name, point.note)?;
            point.value.map_or(Ok(()), |value| number(&series.name, value))?;
            if let Some((low, high)) = point.band {
                number(&series.name, low)?;
                number(&series.name, high)?;
                if low > high {
                    return Err(PlotFault::NotANumber { of: series.name.clone() });
                }
            }
        }
    }
    for zone in &figure.zones {
        for edge in [zone.from, zone.to].into_iter().flatten() {
            number(&zone.label, edge)?;
        }
    }
    for section in &figure.sections {
        inside(&section.name, section.notes.first)?;
        inside(&section.name, section.notes.last)?;
    }
    figure.breaks.iter().try_for_each(|line| inside(&line.label, line.below))
}

impl Tone {
    fn colour(self) -> &'static str {
        match self {
            Self::Ink => "#1c1c1c",
            Self::Accent => "#1f6fb2",
            Self::Grey => "#8a8a8a",
        }
    }

    fn band(self) -> &'static str {
        match self {
            Self::Ink => "#d4d4d4",
            Self::Accent => "#cfe1f1",
            Self::Grey => "#e6e6e6",
        }
    }
}
