//! What is the same for all heads, or runs evenly over the compass.

use super::{Asked, NoteOrder, Samples};
use crate::action::{Action, Sample};
use crate::instrument::{Crown, HammerRow, Hardener, HoleKind, HoleShape, Instrument};
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Length, Mass, Measured, Note, Sentence, mm, to_grams, to_mm};

/// The hole for the shank.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// Every shank measured.
    pub shanks: Vec<(Note, Measured<Length>)>,
    /// Their mean.
    pub shank: Asked<Measured<Length>>,
    /// Hole, at least and at most.
    pub hole: Asked<(Length, Length)>,
    /// Hole less shank, at least and at most.
    pub play: (Length, Length),
    /// Through or blind.
    pub kind: Asked<HoleKind>,
    /// Depth of a blind hole.
    pub depth: Asked<Length>,
    /// Straight, or tapered.
    pub straight: Asked<Sentence>,
}

/// A size of the head where it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadSizes {
    /// The note of the sample.
    pub note: Note,
    /// Width at the crown.
    pub width: Asked<Measured<Length>>,
    /// Overall height: the bore as ordered and the tail.
    pub height: Asked<Measured<Length>>,
    /// Hole axis to moulding tip.
    pub moulding: Asked<Measured<Length>>,
    /// Hole axis to the end of the tail.
    pub tail: Asked<Measured<Length>>,
    /// Felt over the moulding at the crown: the bore as ordered less the moulding; where the bore is not
    /// known, as read and the felt lost.
    pub felt: Asked<Measured<Length>>,
    /// Radius of the crown before wear.
    pub crown_radius: Asked<Measured<Length>>,
}

/// Everything about the heads that is not bore, angle or mass.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadOrder {
    /// The hole.
    pub hole: Hole,
    /// Sizes at the samples, from the bass; they run evenly between.
    pub sizes: Vec<HeadSizes>,
    /// Sides straight, tapered (from, to) or coved.
    pub sides: Asked<Sentence>,
    /// Cut-aways beside struts, and what rubs now.
    pub cut_aways: Asked<Sentence>,
    /// Width and shape of the tail; its arc in a grand.
    pub tail_shape: Asked<Sentence>,
    /// Crown as pressed or shaped.
    pub crown: Asked<Crown>,
    /// Wood of the moulding.
    pub wood: Asked<Sentence>,
    /// Felt under the outer felt.
    pub under_felt: Asked<Sentence>,
    /// How the felt is fastened.
    pub fastening: Asked<Sentence>,
    /// How hard the felt is wished.
    pub hardness: Asked<Sentence>,
    /// Whether hardener may be used.
    pub hardener: Sentence,
    /// How heads are numbered.
    pub numbering: Sentence,
}

/// Mass of a head, and how far it may be off.
#[derive(Debug, Clone, PartialEq)]
pub struct MassTarget {
    /// The note.
    pub note: Note,
    /// The mass.
    pub mass: Asked<Measured<Mass>>,
    /// Heaviest head that keeps the mean at the key within its limit, where touch was read there.
    pub heaviest: Option<Mass>,
}

/// The heads of the set.
pub(super) fn order(
    instrument: &Instrument,
    action: &Action,
    samples: &Samples,
    notes: &[NoteOrder],
    limits: &Limits,
) -> HeadOrder {
    let to_any = samples.enclosed.first().map(|sample| sample.note);
    let wishes = &instrument.hammers.wishes;
    let told = |wish: Option<&String>| Asked::or_sample(wish.map(Sentence::words), to_any);
    HeadOrder {
        hole: hole(instrument, to_any, limits),
        sizes: samples
            .enclosed
            .iter()
            .filter_map(|enclosed| action.sample(enclosed.note))
            .map(|sample| sizes(sample, sample.read(instrument), notes))
            .collect(),
        sides: told(wishes.sides.as_ref()),
        cut_aways: told(wishes.cut_aways.as_ref()),
        tail_shape: told(wishes.tail_shape.as_ref()),
        crown: wishes.crown.map_or(Asked::MakersChoice, Asked::Value),
        wood: told(wishes.wood.as_ref()),
        under_felt: told(wishes.under_felt.as_ref()),
        fastening: told(wishes.fastening.as_ref()),
        hardness: wishes
            .felt_hardness
            .as_ref()
            .map_or(Asked::MakersChoice, |wish| Asked::Value(Sentence::words(wish))),
        hardener: Sentence::words(match wishes.hardener {
            Some(Hardener::No) => "no hardener",
            Some(Hardener::Allowed) => "hardener where you think it right; say on which heads",
            Some(Hardener::AskFirst) | None => "no hardener without asking first",
        }),
        numbering: Sentence::words(
            "each head numbered from the bass on the treble side of its moulding",
        ),
    }
}

fn hole(instrument: &Instrument, to_any: Option<Note>, limits: &Limits) -> Hole {
    let rows = &instrument.hammers.rows;
    let shanks: Vec<(Note, Measured<Length>)> =
        rows.iter().filter_map(|row| Some((row.note, row.shank?))).collect();
    let play =
        (mm(limits.value(LimitKey::HammerHoleLeast)), mm(limits.value(LimitKey::HammerHoleMost)));
    let count = shanks.len() as f64;
    let mean = (!shanks.is_empty()).then(|| {
        let value = shanks.iter().map(|(_, read)| to_mm(read.value)).sum::<f64>() / count;
        let sd = shanks.iter().map(|(_, read)| to_mm(read.sd)).fold(0.0, f64::hypot) / count;
        Measured::new(mm(value), mm(sd))
    });
    let kinds: Vec<HoleKind> = rows.iter().filter_map(|row| row.hole_kind).collect();
    let kind = kinds.first().filter(|first| kinds.iter().all(|kind| kind == *first)).copied();
    let through = kind == Some(HoleKind::Through);
    let wishes = &instrument.hammers.wishes;
    Hole {
        hole: Asked::or_sample(
            mean.map(|shank| (shank.value + play.0, shank.value + play.1)),
            to_any,
        ),
        shank: Asked::or_sample(mean, to_any),
        shanks,
        play,
        kind: Asked::or_sample(kind, to_any),
        depth: match wishes.hole_depth {
            Some(depth) => Asked::Value(depth),
            None if through => Asked::MakersChoice,
            None => Asked::NotMeasured { make_to_sample: to_any },
        },
        straight: Asked::or_sample(
            wishes.hole_shape.map(|shape| {
                Sentence::words(match shape {
                    HoleShape::Straight => "straight",
                    HoleShape::Tapered => "tapered",
                })
            }),
            to_any,
        ),
    }
}

fn sizes(sample: &Sample, row: &HammerRow, notes: &[NoteOrder]) -> HeadSizes {
    let note = sample.note;
    let asked = |read: Option<Measured<Length>>| Asked::or_sample(read, Some(note));
    let of = |value: Length, a: Measured<Length>, b: Measured<Length>| {
        Measured::new(value, mm(to_mm(a.sd).hypot(to_mm(b.sd))))
    };
    // Bore, tail and moulding rule: heights that add them up cannot contradict them.
    let ordered = notes.iter().find(|entry| entry.note == note);
    let bore = ordered.and_then(|entry| entry.bore.value().copied());
    let height = bore.zip(row.tail).map(|(bore, tail)| of(bore.value + tail.value, bore, tail));
    let over_moulding = bore
        .zip(row.moulding)
        .filter(|(bore, moulding)| bore.value > moulding.value)
        .map(|(bore, moulding)| of(bore.value - moulding.value, bore, moulding));
    let lost = sample.wear.filter(|_| !row.filed).map(|wear| wear.lost);
    let as_new = row.felt.zip(lost).map(|(felt, lost)| of(felt.value + lost.value, felt, lost));
    HeadSizes {
        note,
        width: asked(row.width),
        height: asked(height),
        moulding: asked(row.moulding),
        tail: asked(row.tail),
        felt: asked(over_moulding.or(as_new)),
        crown_radius: asked(sample.wear.filter(|_| !row.filed).and_then(|wear| wear.radius)),
    }
}

/// Most notes at which a mass is asked for.
const MOST_MASSES: usize = 9;

/// Mass targets: the ends of every section and the middle of the longest, or nine notes spread evenly.
pub(super) fn masses(action: &Action, notes: &[NoteOrder], limits: &Limits) -> Vec<MassTarget> {
    let mut at: Vec<usize> = Vec::new();
    for section in &action.sections {
        for end in [section.notes.first, section.notes.last] {
            at.extend(notes.iter().position(|note| note.note == end));
        }
    }
    at.dedup();
    if at.len() > MOST_MASSES {
        let last = notes.len().saturating_sub(1);
        at = (0..MOST_MASSES).map(|step| step * last / (MOST_MASSES - 1)).collect();
    }
    while at.len() < MOST_MASSES {
        let widest = (1..at.len()).max_by_key(|right| at[*right] - at[*right - 1]);
        let Some(right) = widest.filter(|right| at[*right] - at[*right - 1] > 1) else { break };
        at.insert(right, usize::midpoint(at[right - 1], at[right]));
    }
    let most = limits.value(LimitKey::HammerMean);
    at.into_iter().map(|index| target(action, &notes[index], most)).collect()
}

fn target(action: &Action, note: &NoteOrder, most_g: f64) -> MassTarget {
    let touch = action.sample(note.note).and_then(|sample| sample.touch);
    let heaviest = touch.and_then(|touch| {
        let (old, new) = (to_grams(touch.mean?.value), to_grams(touch.mean_new?.value));
        let per_gram = touch.per_gram_at_rest?.value;
        let mass = to_grams(note.mass.value()?.value);
        let room = (old + most_g - new) / per_gram;
        (per_gram > 0.0 && room > 0.0).then(|| crate::measure::grams(mass + room))
    });
    MassTarget { note: note.note, mass: note.mass.clone(), heaviest }
}
