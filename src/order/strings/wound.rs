//! Wound strings line by line, for a string maker.
//!
//! The maker measures from the loop: the winding starts at `back + bare back` and ends at
//! `back + speaking length - bare front`; straight from the loop to the end of the tail it is
//! `back + speaking length + front + coils and hole of the pin + what a hand holds`. Only readings of
//! the very string make a length: where one is missing, the old string is sent as a pattern.

use super::allowance::Allowances;
use super::ends::{Ends, ends};
use super::going::Going;
use super::{Stringing, Winding, Wire, Wound};
use crate::instrument::belief::{Belief, BelievedString, Source, StringKind};
use crate::instrument::{CoreShape, Instrument, Loop, Material};
use crate::measure::{Length, Note, mm};
use std::sync::Arc;

/// The wound strings of one note: one line of the order.
#[derive(Debug, Clone, PartialEq)]
pub struct WoundLine {
    /// Number of the note, counted from the lowest of the instrument.
    pub number: usize,
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Strings for the piano.
    pub strings: u8,
    /// And to spare.
    pub spares: usize,
    /// The core.
    pub core: Wire,
    /// The core of the old string, as read.
    pub core_found: Option<Length>,
    /// Its shape.
    pub shape: CoreShape,
    /// What it is of.
    pub material: Arc<Material>,
    /// Layers from the core outwards.
    pub layers: Vec<LayerLine>,
    /// Diameter over the whole winding.
    pub over: Length,
    /// The same of the old string, as read.
    pub over_found: Option<Length>,
    /// Speaking length, as believed.
    pub speaking: Length,
    /// What lies beyond it.
    pub ends: Ends,
    /// From the loop to the end of the tail; `None` where the pattern says.
    pub total: Option<Length>,
    /// Bare ends follow the rule of the new scale, not the old string.
    pub ends_by_rule: bool,
    /// Made otherwise than the old one, by choice.
    pub changed: bool,
    /// Why the old string must go with the order; empty where figures suffice.
    pub pattern_for: Vec<Unread>,
}

/// One layer as the maker winds it.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerLine {
    /// Diameter of its wire.
    pub wire: Length,
    /// What it is of.
    pub material: Arc<Material>,
    /// Bare core between bridge pin and winding; `None`: as the pattern.
    pub bare_back: Option<Length>,
    /// Bare core between winding and bearing; `None`: as the pattern.
    pub bare_front: Option<Length>,
    /// Where it starts, from the loop; `None`: as the pattern.
    pub start: Option<Length>,
    /// Where it ends, from the loop; `None`: as the pattern.
    pub end: Option<Length>,
}

/// What was not read of a wound string, so that the old one must speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unread {
    /// The winding itself: it was taken from its neighbours.
    Winding,
    /// The speaking length.
    Speaking,
    /// Loop to bridge pin.
    Back,
    /// Bearing to tuning pin.
    Front,
    /// The bare ends.
    BareEnds,
    /// How it is fastened.
    Loop,
    /// One wire makes two wound strings: the place of the hitch pin between them.
    TwoOnOneWire,
}

impl Unread {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Winding => "winding",
            Self::Speaking => "speaking length",
            Self::Back => "loop to bridge pin",
            Self::Front => "bearing to tuning pin",
            Self::BareEnds => "bare ends",
            Self::Loop => "loop",
            Self::TwoOnOneWire => "hitch between the two strings of one wire",
        }
    }
}

impl WoundLine {
    /// The old string goes with the order.
    pub fn needs_pattern(&self) -> bool {
        !self.pattern_for.is_empty()
    }

    /// Even its diameters are those of the pattern.
    pub fn all_as_pattern(&self) -> bool {
        self.pattern_for.contains(&Unread::Winding)
    }
}

/// The wound strings among `going`.
pub fn wound(
    instrument: &Instrument,
    belief: &Belief,
    strung: &[(&Going, &Stringing)],
    pin: impl Fn(usize) -> Length,
    allowances: &Allowances,
) -> Vec<WoundLine> {
    let line = |(going, stringing): &(&Going, &Stringing)| {
        let wound = stringing.wound()?;
        let old = belief.notes.iter().find(|entry| entry.note == going.note)?;
        let ends = ends(instrument, going.note, StringKind::Wound);
        let bare = bare_ends(stringing, wound, old.string.as_ref());
        let unread = unread(old.source, old.string.as_ref(), stringing, &ends, bare);
        let on_pin = allowances.on_pin(pin(going.section), wound.core.diameter);
        let known = !unread.iter().any(|what| *what != Unread::BareEnds && *what != Unread::Loop);
        let total = ends.back.read().zip(ends.front.read()).filter(|_| known);
        let total = total.map(|(back, front)| {
            back + stringing.length.value + front + on_pin + allowances.handling
        });
        let spares = instrument.string_wishes.spares.iter().filter(|note| **note == going.note);
        Some(WoundLine {
            number: number(instrument, going.note),
            note: going.note,
            section: going.section,
            strings: going.strings,
            spares: spares.count(),
            core: wound.core,
            core_found: core_found(instrument, going.note),
            changed: stringing.changed,
            shape: wound.shape,
            material: Arc::clone(&stringing.material),
            layers: layers(stringing, wound, &ends, &unread),
            over: wound.over(),
            over_found: over_found(instrument, going.note),
            speaking: stringing.length.value,
            ends,
            total,
            ends_by_rule: bare == BareEnds::ByRule,
            pattern_for: unread,
        })
    };
    strung.iter().filter_map(line).collect()
}

/// Number of a note, from 1 for the lowest of the instrument.
pub fn number(instrument: &Instrument, note: Note) -> usize {
    usize::from(note.key().saturating_sub(instrument.compass.first.key())) + 1
}

fn core_found(instrument: &Instrument, note: Note) -> Option<Length> {
    Some(instrument.string(note)?.core?.value)
}

fn over_found(instrument: &Instrument, note: Note) -> Option<Length> {
    Some(instrument.string(note)?.over?.value)
}

/// On what the bare ends rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BareEnds {
    /// On readings of the old string.
    Read,
    /// On the rule of a new scale.
    ByRule,
    /// On nothing: they were assumed.
    Assumed,
}

fn bare_ends(stringing: &Stringing, wound: &Wound, old: Option<&BelievedString>) -> BareEnds {
    let by_rule = wound.layers.iter().any(|layer| layer.ends_by_rule);
    let winding = old.and_then(|old| old.winding.as_ref());
    let assumed =
        winding.is_none_or(|winding| winding.bare_front.assumed || winding.bare_back.assumed);
    if stringing.changed && by_rule {
        BareEnds::ByRule
    } else if by_rule || assumed {
        BareEnds::Assumed
    } else {
        BareEnds::Read
    }
}

fn unread(
    source: Source,
    old: Option<&BelievedString>,
    stringing: &Stringing,
    ends: &Ends,
    bare: BareEnds,
) -> Vec<Unread> {
    let winding = old.and_then(|old| old.winding.as_ref());
    let from_neighbours = winding.is_some_and(|winding| winding.approximate);
    let mut all = Vec::new();
    let mut add = |not_known: bool, what| {
        if not_known {
            all.push(what);
        }
    };
    add(from_neighbours && !stringing.changed, Unread::Winding);
    add(source != Source::Measured && !from_neighbours, Unread::Speaking);
    add(source != Source::Measured && from_neighbours && stringing.changed, Unread::Speaking);
    add(ends.back.read().is_none(), Unread::Back);
    add(ends.front.read().is_none(), Unread::Front);
    add(bare == BareEnds::Assumed, Unread::BareEnds);
    add(ends.hitch.is_none(), Unread::Loop);
    add(ends.hitch == Some(Loop::Double), Unread::TwoOnOneWire);
    all
}

fn layers(stringing: &Stringing, wound: &Wound, ends: &Ends, unread: &[Unread]) -> Vec<LayerLine> {
    let speaking = stringing.length.value;
    // Start needs the way from the loop to the bridge pin; the end the speaking length as well.
    let back = ends.back.read().filter(|_| {
        !unread
            .iter()
            .any(|what| matches!(what, Unread::Winding | Unread::BareEnds | Unread::TwoOnOneWire))
    });
    let read = !unread.contains(&Unread::Speaking);
    let assumed = [Unread::Winding, Unread::BareEnds];
    let bare = !unread.iter().any(|what| assumed.contains(what));
    let layer = |layer: &Winding| LayerLine {
        wire: layer.wire,
        material: Arc::clone(&layer.material),
        bare_back: bare.then_some(layer.bare_back),
        bare_front: bare.then_some(layer.bare_front),
        start: back.map(|back| back + layer.bare_back),
        end: back
            .filter(|_| read)
            .map(|back| back + speaking - layer.bare_front)
            .filter(|end| *end > mm(0.0)),
    };
    wound.layers.iter().map(layer).collect()
}
