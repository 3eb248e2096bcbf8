//! The figures of a report: what each shows, of which quantity, with which marks.

mod hammers;
mod strings;

use super::plot::{
    Axis, Break, Figure, Key, Line, Mark, PlotFault, Point, Sample, Scale, Section, Series, Shape,
    Tone, svg,
};
use crate::measure::Note;
use crate::report::Report;
use crate::scale::{NoteStrings, Source, StringKind};

/// Which figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Which {
    /// Tension per string.
    Tension,
    /// Percent of breaking load.
    Load,
    /// Inharmonicity.
    Inharmonicity,
    /// Bore of each hammer, beside the samples.
    Bore,
    /// Mass of each head, beside the samples.
    HeadMass,
    /// That mass over the mass of the strings.
    MassRatio,
}

impl Which {
    /// Every figure, in the order of the packet.
    pub const ALL: [Self; 6] = [
        Self::Tension,
        Self::Load,
        Self::Inharmonicity,
        Self::Bore,
        Self::HeadMass,
        Self::MassRatio,
    ];

    /// Its name, of a file and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tension => "tension",
            Self::Load => "load",
            Self::Inharmonicity => "inharmonicity",
            Self::Bore => "bore",
            Self::HeadMass => "head-mass",
            Self::MassRatio => "mass-ratio",
        }
    }

    /// The figure as data.
    pub fn figure(self, report: &Report) -> Figure {
        match self {
            Self::Tension => strings::tension(report),
            Self::Load => strings::load(report),
            Self::Inharmonicity => strings::inharmonicity(report),
            Self::Bore => hammers::bore(report),
            Self::HeadMass => hammers::head_mass(report),
            Self::MassRatio => hammers::mass_ratio(report),
        }
    }
}

/// The figure as SVG; `None` when the survey gives it nothing to show.
///
/// # Errors
/// When a report holds a figure that is no number: a bug of ours.
pub fn draw(report: &Report, which: Which) -> Result<Option<String>, PlotFault> {
    match svg(&which.figure(report)) {
        Ok(drawing) => Ok(Some(drawing)),
        Err(PlotFault::Empty) => Ok(None),
        Err(fault) => Err(fault),
    }
}

/// A figure of the report's compass and sections with nothing in it yet.
fn empty(report: &Report, title: &str, about: &str, axis: Axis) -> Figure {
    let instrument = &report.instrument;
    Figure {
        title: title.to_owned(),
        subtitle: instrument.name.clone(),
        about: about.to_owned(),
        compass: instrument.compass,
        sections: instrument
            .sections
            .iter()
            .map(|section| Section { name: section.name.clone(), notes: section.notes })
            .collect(),
        breaks: wound_to_plain(report),
        axis,
        zones: Vec::new(),
        series: Vec::new(),
        key: Vec::new(),
    }
}

/// Where a section changes from wound to plain inside itself.
fn wound_to_plain(report: &Report) -> Vec<Break> {
    report
        .scale
        .notes
        .windows(2)
        .filter(|pair| {
            pair[0].section == pair[1].section
                && pair[0].kind == Some(StringKind::Wound)
                && pair[1].kind == Some(StringKind::Plain)
        })
        .map(|pair| Break { below: pair[0].note, label: "wound to plain".to_owned() })
        .collect()
}

/// One point a note from a figure and its band.
fn points(
    report: &Report,
    read: impl Fn(&NoteStrings) -> Option<(f64, Option<(f64, f64)>)>,
) -> Vec<Point> {
    report
        .scale
        .notes
        .iter()
        .map(|entry| {
            let figure = read(entry);
            Point {
                note: entry.note,
                value: figure.map(|figure| figure.0),
                band: figure.and_then(|figure| figure.1),
                mark: Some(mark(entry)),
            }
        })
        .collect()
}

/// Wound strings are squares, plain ones circles; hollow where not every reading was made.
fn mark(entry: &NoteStrings) -> Mark {
    Mark {
        shape: match entry.kind {
            Some(StringKind::Wound) => Shape::Square,
            _ => Shape::Circle,
        },
        filled: entry.source == Source::Measured,
    }
}

/// What the marks in use mean.
fn key(report: &Report) -> Vec<Key> {
    let mut key = Vec::new();
    for (kind, shape, word) in
        [(StringKind::Wound, Shape::Square, "wound"), (StringKind::Plain, Shape::Circle, "plain")]
    {
        for (filled, how) in [(true, "measured"), (false, "from neighbours")] {
            let used = report.scale.notes.iter().any(|entry| {
                entry.string.is_some()
                    && entry.kind == Some(kind)
                    && (entry.source == Source::Measured) == filled
            });
            if used {
                let sample = Sample::Mark(Mark { shape, filled }, Tone::Ink);
                key.push(Key { sample, text: format!("{word}, {how}") });
            }
        }
    }
    key.push(Key {
        sample: Sample::Band(Tone::Ink),
        text: "where it lies 9 times in 10".to_owned(),
    });
    key
}

/// The one curve of a figure.
fn curve(name: &str, points: Vec<Point>) -> Series {
    Series {
        name: name.to_owned(),
        tone: Tone::Ink,
        line: Line::Solid,
        across_breaks: false,
        points,
    }
}

/// A linear or logarithmic axis that fits what is shown.
fn axis(quantity: &str, unit: &str, scale: Scale, from_zero: bool) -> Axis {
    Axis { quantity: quantity.to_owned(), unit: unit.to_owned(), scale, range: None, from_zero }
}

/// Ends of a 90 % interval about `value`.
fn ninety(value: f64, sd: f64) -> (f64, f64) {
    (value - 1.645 * sd, value + 1.645 * sd)
}

/// The compass as words for those who cannot see the figure.
fn span(notes: (Note, Note)) -> String {
    format!("from {} to {}", notes.0, notes.1)
}
