//! Where the scale changes its make.

use super::FEWEST_NOTES;
use crate::instrument::belief::{Belief, BelievedNote, StringKind};
use crate::instrument::{CoreShape, Instrument};
use crate::measure::{Compass, Note};
use crate::scale::{NoteStrings, Scale};

/// Why a place is a break.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// One section ends, another begins: bridge or strut.
    Section {
        /// The one below.
        below: String,
        /// The one above.
        above: String,
    },
    /// Wound strings below, plain above.
    WoundToPlain,
    /// Plain strings below, wound above.
    PlainToWound,
    /// Another number of strings to the unison.
    Count {
        /// Below.
        below: u8,
        /// Above.
        above: u8,
    },
    /// Wire of another material.
    Material {
        /// Below.
        below: String,
        /// Above.
        above: String,
    },
    /// Round core on one side, hexagonal on the other.
    CoreShape {
        /// Below.
        below: CoreShape,
        /// Above.
        above: CoreShape,
    },
}

impl Reason {
    /// In words: `bass to tenor`, `wound to plain`, `2 to 3 strings`.
    pub fn words(&self) -> String {
        let shape = |shape: &CoreShape| match shape {
            CoreShape::Round => "round",
            CoreShape::Hex => "hexagonal",
        };
        match self {
            Self::Section { below, above } => format!("{below} to {above}"),
            Self::Material { below, above } => format!("{below} wire to {above} wire"),
            Self::WoundToPlain => "wound to plain".to_owned(),
            Self::PlainToWound => "plain to wound".to_owned(),
            Self::Count { below, above } => format!("{below} to {above} strings"),
            Self::CoreShape { below, above } => {
                format!("{} to {} core", shape(below), shape(above))
            }
        }
    }
}

/// One place where something changes: between two notes next to each other, or, when the notes
/// between are unknown, somewhere between these two.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Break {
    /// Last note below.
    pub below: Note,
    /// First note above.
    pub above: Note,
    /// What changes, at least one.
    pub reasons: Vec<Reason>,
}

/// A break, or a zone of several that lie too close together for a trend between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BreakPlace {
    /// Outer note below.
    pub below: Note,
    /// Outer note above.
    pub above: Note,
    /// The breaks in it, from the bass, at least one.
    pub breaks: Vec<Break>,
    /// The run of like notes that ends at `below`: its trend comes up to the place.
    pub run_below: Compass,
    /// The run of like notes that begins at `above`.
    pub run_above: Compass,
    /// Strings to the unison at the outer notes, where known.
    pub counts: Option<(u8, u8)>,
}

impl BreakPlace {
    /// Whether several breaks make it up.
    pub fn is_zone(&self) -> bool {
        self.breaks.len() > 1
    }

    /// All reasons, in order.
    pub fn reasons(&self) -> impl Iterator<Item = &Reason> {
        self.breaks.iter().flat_map(|one| &one.reasons)
    }

    /// All reasons in words, each once: a section may be named `wound` and another `plain`.
    pub fn reasons_in_words(&self) -> Vec<String> {
        let mut words: Vec<String> = Vec::new();
        for reason in self.reasons().map(Reason::words) {
            if !words.contains(&reason) {
                words.push(reason);
            }
        }
        words
    }

    /// The notes between the outer ones; none at a single break between neighbours.
    pub fn inside(&self) -> impl Iterator<Item = Note> + Clone {
        Compass { first: self.below, last: self.above }
            .notes()
            .filter(|note| *note != self.below && *note != self.above)
    }

    /// How far apart the outer notes are, in keys.
    pub(super) fn width(&self) -> f64 {
        f64::from(self.above.key()) - f64::from(self.below.key())
    }

    /// The middle, in keys.
    pub(super) fn middle(&self) -> f64 {
        f64::midpoint(f64::from(self.below.key()), f64::from(self.above.key()))
    }
}

/// Every break of the instrument, breaks too close together for a trend as one zone, from the bass.
pub fn find(instrument: &Instrument, belief: &Belief, scale: &Scale) -> Vec<BreakPlace> {
    let breaks = single_breaks(instrument, belief, scale);
    let mut zones: Vec<Vec<Break>> = Vec::new();
    for one in breaks {
        match zones.last_mut() {
            Some(zone) if too_close(top(zone), &one) => zone.push(one),
            _ => zones.push(vec![one]),
        }
    }
    places(instrument.compass, scale, &zones)
}

/// The highest outer note of a zone.
fn top(zone: &[Break]) -> Option<Note> {
    zone.iter().map(|one| one.above).max()
}

/// Whether the notes from `top` to the next break are too few for a trend.
fn too_close(top: Option<Note>, next: &Break) -> bool {
    top.is_some_and(|top| {
        let between = usize::from((next.below.key() + 1).saturating_sub(top.key()));
        between < FEWEST_NOTES
    })
}

fn places(compass: Compass, scale: &Scale, zones: &[Vec<Break>]) -> Vec<BreakPlace> {
    let ends: Vec<(Note, Note)> =
        zones.iter().filter_map(|zone| Some((zone.first()?.below, top(zone)?))).collect();
    let count = |note: Note| scale.note(note).and_then(|entry| entry.strings);
    zones
        .iter()
        .zip(&ends)
        .enumerate()
        .map(|(i, (zone, &(below, above)))| BreakPlace {
            below,
            above,
            breaks: zone.clone(),
            run_below: Compass {
                first: if i == 0 { compass.first } else { ends[i - 1].1 },
                last: below,
            },
            run_above: Compass {
                first: above,
                last: ends.get(i + 1).map_or(compass.last, |next| next.0),
            },
            counts: count(below).zip(count(above)),
        })
        .collect()
}

/// What is compared from note to note.
struct Make<'a> {
    entry: &'a NoteStrings,
    believed: Option<&'a BelievedNote>,
}

impl Make<'_> {
    fn note(&self) -> Note {
        self.entry.note
    }

    fn material(&self) -> Option<&str> {
        self.believed.and_then(|b| b.string.as_ref()).map(|s| s.material.name.as_str())
    }

    fn shape(&self) -> Option<CoreShape> {
        self.believed.and_then(|b| b.string.as_ref()).map(|s| s.shape)
    }
}

fn single_breaks(instrument: &Instrument, belief: &Belief, scale: &Scale) -> Vec<Break> {
    let makes: Vec<Make> = scale
        .notes
        .iter()
        .map(|entry| Make { entry, believed: belief.notes.iter().find(|b| b.note == entry.note) })
        .collect();
    let mut breaks: Vec<Break> = Vec::new();
    for pair in makes.windows(2) {
        let (below, above) = (pair[0].entry.section, pair[1].entry.section);
        if below != above {
            let name = |i: usize| instrument.sections.get(i).map(|s| s.name.clone());
            let reason = Reason::Section {
                below: name(below).unwrap_or_default(),
                above: name(above).unwrap_or_default(),
            };
            add(&mut breaks, pair[0].note(), pair[1].note(), reason);
        }
    }
    changes(
        &makes,
        &mut breaks,
        |make| make.entry.kind,
        |below, _| match below {
            StringKind::Wound => Reason::WoundToPlain,
            StringKind::Plain => Reason::PlainToWound,
        },
    );
    changes(
        &makes,
        &mut breaks,
        |make| make.entry.strings,
        |below, above| Reason::Count { below: *below, above: *above },
    );
    changes(
        &makes,
        &mut breaks,
        |make| make.material().map(str::to_owned),
        |below, above| Reason::Material { below: below.clone(), above: above.clone() },
    );
    changes(&makes, &mut breaks, Make::shape, |below, above| Reason::CoreShape {
        below: *below,
        above: *above,
    });
    breaks.sort_by_key(|one| (one.below, one.above));
    breaks
}

/// Adds a break wherever `item` changes between two notes at which it is known. One note by itself
/// that differs from two alike neighbours is no break: it is a string not of the set.
fn changes<'a, T: PartialEq>(
    makes: &'a [Make<'a>],
    breaks: &mut Vec<Break>,
    item: impl Fn(&'a Make<'a>) -> Option<T>,
    reason: impl Fn(&T, &T) -> Reason,
) {
    let known: Vec<(Note, T)> =
        makes.iter().filter_map(|make| item(make).map(|value| (make.note(), value))).collect();
    let alone = |i: usize| {
        i > 0
            && i + 1 < known.len()
            && known[i - 1].1 == known[i + 1].1
            && known[i].1 != known[i - 1].1
    };
    let of_the_set: Vec<&(Note, T)> =
        (0..known.len()).filter(|&i| !alone(i)).map(|i| &known[i]).collect();
    for pair in of_the_set.windows(2) {
        if pair[0].1 != pair[1].1 {
            add(breaks, pair[0].0, pair[1].0, reason(&pair[0].1, &pair[1].1));
        }
    }
}

/// Adds a reason between two notes, to a break that lies there already if there is one. A change
/// somewhere in a gap of unknown notes is put at the break that lies in the gap.
fn add(breaks: &mut Vec<Break>, below: Note, above: Note, reason: Reason) {
    let inside = |one: &&mut Break| below <= one.below && one.above <= above;
    if let Some(one) = breaks.iter_mut().find(inside) {
        one.reasons.push(reason);
    } else {
        breaks.push(Break { below, above, reasons: vec![reason] });
    }
}
