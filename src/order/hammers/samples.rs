//! Which samples go with the order, with our measurements of each.

use crate::action::{Action, Sample, SampleStanding};
use crate::instrument::{HammerRow, Instrument};
use crate::measure::{Length, Measured, Note, Sentence, to_mm};
use crate::sentence;

/// Fewest and most samples that a maker needs (common practice).
const MOST: usize = 8;

/// One sample enclosed.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleOrder {
    /// Its note, as on its label.
    pub note: Note,
    /// What we read of it: bore as worn, mass, width, moulding, tail, height, hole, shank, side angle.
    pub read: HammerRow,
    /// Felt lost, where known.
    pub lost: Option<Measured<Length>>,
    /// What to keep in mind with it.
    pub remark: Option<Sentence>,
}

/// Samples of the order.
#[derive(Debug, Clone, PartialEq)]
pub struct Samples {
    /// Those enclosed, from the bass.
    pub enclosed: Vec<SampleOrder>,
    /// Measured, but kept back: off by themselves, or beyond the number a maker needs.
    pub kept_back: Vec<Note>,
    /// Ends of sections without a sample: take these off and send them too.
    pub wanted: Vec<Note>,
    /// How they are labelled.
    pub label: Sentence,
}

impl Samples {
    /// The enclosed sample nearest to `note` in its own section.
    pub(super) fn nearest(&self, instrument: &Instrument, note: Note) -> Option<Note> {
        let section = instrument.section_of(note);
        self.enclosed
            .iter()
            .map(|sample| sample.note)
            .filter(|sampled| instrument.section_of(*sampled) == section)
            .min_by_key(|sampled| sampled.key().abs_diff(note.key()))
    }
}

/// A row that is a head in the hand, not a station only.
fn is_sample(row: &HammerRow) -> bool {
    row.bore.is_some() || row.mass.is_some() || row.moulding.is_some() || row.head_length.is_some()
}

/// Sound samples; when there are more than a maker needs, the ends of sections first, then the least
/// worn.
pub(super) fn choose(instrument: &Instrument, action: &Action) -> Samples {
    let in_hand: Vec<&Sample> =
        action.samples.iter().filter(|sample| is_sample(sample.read(instrument))).collect();
    let sound = |sample: &&&Sample| {
        !matches!(sample.standing, SampleStanding::Off | SampleStanding::OffAlone)
    };
    let end = |note: Note| {
        action
            .sections
            .iter()
            .any(|section| section.notes.first == note || section.notes.last == note)
    };
    let lost = |sample: &Sample| sample.wear.map_or(f64::INFINITY, |wear| to_mm(wear.lost.value));
    let mut chosen: Vec<&Sample> = in_hand.iter().filter(sound).copied().collect();
    chosen.sort_by(|a, b| end(b.note).cmp(&end(a.note)).then(lost(a).total_cmp(&lost(b))));
    chosen.truncate(MOST);
    chosen.sort_by_key(|sample| sample.note);
    let taken: Vec<Note> = chosen.iter().map(|sample| sample.note).collect();
    let kept_back =
        in_hand.iter().map(|sample| sample.note).filter(|note| !taken.contains(note)).collect();
    let wanted = action
        .sections
        .iter()
        .flat_map(|section| [section.notes.first, section.notes.last])
        .filter(|note| !in_hand.iter().any(|sample| sample.note == *note))
        .collect();
    Samples {
        enclosed: chosen.iter().map(|sample| one(instrument, sample)).collect(),
        kept_back,
        wanted,
        label: Sentence::words(
            "on their shanks, each labelled on shank and moulding with its note and an arrow to the treble",
        ),
    }
}

fn one(instrument: &Instrument, sample: &Sample) -> SampleOrder {
    let read = sample.read(instrument).clone();
    let remark = match sample.standing {
        SampleStanding::SectionOff => Some(sentence![
            "its section's bores do not go with the strings: for width, moulding and tail only"
        ]),
        _ if read.filed => Some(sentence!["reshaped before: its crown is not the maker's"]),
        _ => None,
    };
    SampleOrder { note: sample.note, read, lost: sample.wear.map(|wear| wear.lost), remark }
}
