//! The hammer order: everything a maker of heads must be told, as data.
//!
//! Bores are lengths as ordered, allowance included. What the survey does not know is
//! [`Asked::NotMeasured`] with the sample to make it to, or [`Asked::MakersChoice`]: never blank, never
//! invented. Nothing is rounded here.

mod head;
mod receive;
mod samples;
mod section;
mod wanted;
mod words;

pub use crate::instrument::Crown;
pub use head::{HeadOrder, HeadSizes, Hole, MassTarget};
pub use receive::{Check, Tolerance};
pub use samples::{SampleOrder, Samples};
pub use section::{NoteOrder, SectionOrder, Turned};
pub use wanted::wanted;

use crate::action::Action;
use crate::instrument::{HeightsOn, Hung, Instrument, Kind, Shop};
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Angle, Compass, Length, Mass, Note, Sentence, degrees, grams, mm, to_mm};
use crate::scale::Scale;
use crate::sentence;

/// One item of the order: known, or said to be unknown.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked<T> {
    /// As ordered.
    Value(T),
    /// Not measured: make it to this sample; without one, ask.
    NotMeasured {
        /// The sample that comes nearest.
        make_to_sample: Option<Note>,
    },
    /// Left to the maker.
    MakersChoice,
}

impl<T> Asked<T> {
    /// The value, where there is one.
    pub fn value(&self) -> Option<&T> {
        match self {
            Self::Value(value) => Some(value),
            _ => None,
        }
    }

    /// Known, or not measured with the sample that comes nearest.
    fn or_sample(value: Option<T>, make_to_sample: Option<Note>) -> Self {
        value.map_or(Self::NotMeasured { make_to_sample }, Self::Value)
    }
}

/// Strings in the unison from a note on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StringsFrom {
    /// Strings in the unison.
    pub strings: u8,
    /// First note that has them.
    pub from: Note,
}

/// What the order is for.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The instrument, as the rebuilder calls it.
    pub instrument: String,
    /// Its serial number.
    pub serial: Option<String>,
    /// Upright or grand.
    pub kind: Kind,
    /// First and last note.
    pub compass: Compass,
    /// How many heads, spares not counted.
    pub heads: usize,
    /// How notes are numbered.
    pub numbering: Sentence,
    /// On which strings heights were read.
    pub heights_on: HeightsOn,
    /// The same in words, with what follows from it.
    pub heights: Sentence,
    /// Where singles, pairs and threes begin, as far as known.
    pub strings: Vec<StringsFrom>,
    /// Whom to ask, and where to send.
    pub shop: Shop,
    /// When the heads are needed.
    pub needed_by: Asked<Sentence>,
    /// Loose, or hung on shanks.
    pub hung: Sentence,
    /// Whether samples come back.
    pub samples_back: Sentence,
}

/// What a maker is asked to keep, either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerances {
    /// Bore.
    pub bore: Length,
    /// Rake and side angle.
    pub angle: Angle,
    /// Mass of a head.
    pub mass: Mass,
    /// Width.
    pub width: Length,
    /// Tail, moulding, overall height.
    pub tail: Length,
}

/// The order.
#[derive(Debug, Clone, PartialEq)]
pub struct HammerOrder {
    /// What it is for.
    pub job: Job,
    /// Felt that every bore includes for later filing; zero when none is.
    pub allowance: Length,
    /// That it is included, said once.
    pub allowance_words: Sentence,
    /// Tolerances.
    pub tolerances: Tolerances,
    /// Sections from the bass; their counts add up to the compass.
    pub sections: Vec<SectionOrder>,
    /// One entry for each note of the compass.
    pub notes: Vec<NoteOrder>,
    /// What is the same for all heads.
    pub head: HeadOrder,
    /// Mass of the head at five to nine notes, between which it runs evenly.
    pub masses: Vec<MassTarget>,
    /// Samples.
    pub samples: Samples,
    /// The line that stops the commonest loss.
    pub copy: Sentence,
    /// What will be checked on arrival, before the old heads come off.
    pub receiving: Vec<Check>,
}

/// The order that follows from `action`; sizes and masses of heads are the survey's, limits those in force.
pub fn hammers(
    instrument: &Instrument,
    scale: &Scale,
    action: &Action,
    limits: &Limits,
) -> HammerOrder {
    let tolerances = tolerances(limits);
    let samples = samples::choose(instrument, action);
    let notes = section::notes(instrument, action, &samples, limits);
    let sections = section::sections(instrument, action, &samples, &notes, limits);
    let masses = head::masses(action, &notes, limits);
    let allowance = action.allowance.unwrap_or(mm(0.0));
    HammerOrder {
        job: job(instrument, scale, action),
        allowance,
        allowance_words: allowance_words(allowance),
        head: head::order(instrument, action, &samples, &notes, limits),
        copy: Sentence::words(
            "Copy from the samples: width, moulding, tail, wood, side angle. Do not copy bore or crown from the samples: \
             use the table.",
        ),
        receiving: receive::checks(instrument, action, &sections, (&tolerances, limits)),
        tolerances,
        sections,
        notes,
        masses,
        samples,
    }
}

fn tolerances(limits: &Limits) -> Tolerances {
    Tolerances {
        bore: mm(limits.value(LimitKey::OrderBore)),
        angle: degrees(limits.value(LimitKey::OrderAngle)),
        mass: grams(limits.value(LimitKey::OrderMass)),
        width: mm(limits.value(LimitKey::OrderWidth)),
        tail: mm(limits.value(LimitKey::OrderTail)),
    }
}

fn allowance_words(allowance: Length) -> Sentence {
    if to_mm(allowance) > 0.0 {
        sentence![
            "Every bore of this order includes ",
            allowance,
            " of felt for later filing. Do not add it again."
        ]
    } else {
        sentence![
            "No bore of this order includes felt for later filing: bored as written, the heads strike square."
        ]
    }
}

fn job(instrument: &Instrument, scale: &Scale, action: &Action) -> Job {
    let compass = instrument.compass;
    let wishes = &instrument.hammers.wishes;
    let mut strings: Vec<StringsFrom> = Vec::new();
    for entry in &scale.notes {
        let Some(count) = entry.strings else { continue };
        if strings.last().is_none_or(|last| last.strings != count) {
            strings.push(StringsFrom { strings: count, from: entry.note });
        }
    }
    Job {
        instrument: instrument.name.clone(),
        serial: instrument.serial.clone(),
        kind: instrument.kind,
        compass,
        heads: compass.len(),
        numbering: sentence![
            "notes are numbered from the bass: 1 is ",
            compass.first,
            ", ",
            compass.len(),
            " is ",
            compass.last
        ],
        heights_on: action.heights_on,
        heights: words::heights(action.heights_on),
        strings,
        shop: instrument.shop.clone(),
        needed_by: Asked::or_sample(wishes.needed_by.as_ref().map(Sentence::words), None),
        hung: Sentence::words(match wishes.hung {
            Some(Hung::OnShanks) => "hung on new shanks by the maker, each marked with its number",
            Some(Hung::Loose) | None => "heads loose, each marked with its number; we hang them",
        }),
        samples_back: Sentence::words(match wishes.samples_back {
            Some(false) => "the samples need not come back",
            Some(true) | None => "all samples come back with the heads",
        }),
    }
}
