//! The figures of a report: what each shows, of which quantity, with which marks.

mod breaks;
mod hammers;
mod restring;
mod strings;
mod tuning;

use super::plot::{
    Axis, Break, Figure, Key, Line, Mark, PlotFault, Point, Sample, Scale, Section, Series, Shape,
    Tone, svg,
};
use crate::measure::{Compass, Note};
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
    /// How far each note is tuned from equal temperament.
    Stretch,
    /// Beats of thirds, sixths and tenths.
    Beats,
    /// Beats of octaves and fifths.
    SlowBeats,
    /// One break by its number from the bass, from 1: both trends and the step between them.
    Break(u8),
    /// Bore of each hammer, beside the samples.
    Bore,
    /// Mass of each head, beside the samples.
    HeadMass,
    /// That mass over the mass of the strings.
    MassRatio,
    /// Tension as found and in the alternatives.
    RestringTension,
    /// Percent of breaking load as found and in the alternatives.
    RestringLoad,
    /// Inharmonicity as found and in the alternatives.
    RestringInharmonicity,
}

/// Names of the breaks: four notes or more lie between two of them, so 88 hold no more.
const BREAKS: [&str; 22] = [
    "break-1", "break-2", "break-3", "break-4", "break-5", "break-6", "break-7", "break-8",
    "break-9", "break-10", "break-11", "break-12", "break-13", "break-14", "break-15", "break-16",
    "break-17", "break-18", "break-19", "break-20", "break-21", "break-22",
];

impl Which {
    /// Every figure but the breaks', in the order of the packet.
    pub const ALL: [Self; 9] = [
        Self::Tension,
        Self::Load,
        Self::Inharmonicity,
        Self::Stretch,
        Self::Beats,
        Self::SlowBeats,
        Self::Bore,
        Self::HeadMass,
        Self::MassRatio,
    ];

    /// The figures of alternatives: worked out when they are asked for, and in no packet.
    pub const RESTRING: [Self; 3] =
        [Self::RestringTension, Self::RestringLoad, Self::RestringInharmonicity];

    /// The figures of as many breaks as a piano may have.
    pub fn breaks() -> impl Iterator<Item = Self> {
        (1..).zip(BREAKS).map(|(number, _)| Self::Break(number))
    }

    /// Every figure of `report`, in the order of the packet: the breaks follow the strings.
    pub fn of(report: &Report) -> impl Iterator<Item = Self> {
        let (strings, rest) = Self::ALL.split_at(3);
        let breaks = Self::breaks().take(report.breaks.len());
        strings.iter().copied().chain(breaks).chain(rest.iter().copied())
    }

    /// Its name, of a file and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tension => "tension",
            Self::Load => "load",
            Self::Inharmonicity => "inharmonicity",
            Self::Stretch => "stretch",
            Self::Beats => "beats",
            Self::SlowBeats => "slow-beats",
            Self::Break(number) => {
                BREAKS.get(usize::from(number).wrapping_sub(1)).copied().unwrap_or("break")
            }
            Self::Bore => "bore",
            Self::HeadMass => "head-mass",
            Self::MassRatio => "mass-ratio",
            Self::RestringTension => "restring-tension",
            Self::RestringLoad => "restring-load",
            Self::RestringInharmonicity => "restring-inharmonicity",
        }
    }

    /// The figure as data.
    pub fn figure(self, report: &Report) -> Figure {
        match self {
            Self::Tension => strings::tension(report),
            Self::Load => strings::load(report),
            Self::Inharmonicity => strings::inharmonicity(report),
            Self::Stretch => tuning::stretch(report),
            Self::Beats => tuning::beats(report),
            Self::SlowBeats => tuning::slow_beats(report),
            Self::Break(number) => breaks::step(report, number),
            Self::Bore => hammers::bore(report),
            Self::HeadMass => hammers::head_mass(report),
            Self::MassRatio => hammers::mass_ratio(report),
            Self::RestringTension => restring::tension(report),
            Self::RestringLoad => restring::load(report),
            Self::RestringInharmonicity => restring::inharmonicity(report),
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

/// Cuts a section to the part of the compass that is shown; false when nothing of it is left.
fn clip(section: &mut Section, compass: Compass) -> bool {
    let notes = section.notes;
    section.notes.first = notes.first.max(compass.first);
    section.notes.last = notes.last.min(compass.last);
    let cut = (section.notes.first != notes.first, section.notes.last != notes.last);
    section.name = match cut {
        (true, false) => format!("end of {}", section.name),
        (false, true) => format!("start of {}", section.name),
        (true, true) => format!("part of {}", section.name),
        (false, false) => std::mem::take(&mut section.name),
    };
    !section.notes.is_empty()
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
