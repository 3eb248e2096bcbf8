//! What each note is to be strung with: sizes that can be bought, and why.

use crate::instrument::belief::{
    BareEnd, BelievedString, BelievedWinding, StringKind, StringShares, WindingShares,
};
use crate::instrument::{CoreShape, Material};
use crate::measure::{Length, Measured, Note, Sentence, mm};
use crate::physics::core::Core;
use crate::physics::winding::over_crests;
use crate::stock::WireSize;
use std::sync::Arc;

/// What every note of a piano is to be strung with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// One entry for each note of which enough is known, from the bass.
    pub notes: Vec<Stringing>,
}

impl Choice {
    /// The entry of `note`.
    pub fn note(&self, note: Note) -> Option<&Stringing> {
        self.notes.iter().find(|entry| entry.note == note)
    }

    /// The same with what stays given as `copy` has it, in sizes that can be bought; what it does not
    /// have is left out.
    #[must_use]
    pub fn with_copies(self, copy: &Self) -> Self {
        let bought = |entry: Stringing| {
            if entry.stays { copy.note(entry.note).cloned() } else { Some(entry) }
        };
        Self { notes: self.notes.into_iter().filter_map(bought).collect() }
    }
}

/// What one note is to be strung with.
#[derive(Debug, Clone, PartialEq)]
pub struct Stringing {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Strings in the unison.
    pub strings: u8,
    /// Speaking length, as believed.
    pub length: Measured<Length>,
    /// Material of wire or core.
    pub material: Arc<Material>,
    /// The string.
    pub make: Make,
    /// It is the old one, which stays: nothing is bought.
    pub stays: bool,
    /// Differs from what was found by more than the nearest size: in kind, count or wire.
    pub changed: bool,
    /// The winding found was itself taken from its neighbours, or the length was not read: for
    /// comparing, not for ordering.
    pub approximate: bool,
    /// Why this one.
    pub why: Sentence,
}

/// How a string is made.
#[derive(Debug, Clone, PartialEq)]
pub enum Make {
    /// Bare wire.
    Plain(Wire),
    /// Wire with a winding.
    Wound(Wound),
}

/// A wire as it is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Its diameter (hexagonal: across flats).
    pub diameter: Length,
    /// Its size in a series; `None` where no series holds it.
    pub size: Option<WireSize>,
}

/// A wound string as it is ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Wound {
    /// The core.
    pub core: Wire,
    /// Its shape.
    pub shape: CoreShape,
    /// The winding from the core outwards: one layer or two.
    pub layers: Vec<Winding>,
}

/// One layer of a winding.
#[derive(Debug, Clone, PartialEq)]
pub struct Winding {
    /// Diameter of its wire.
    pub wire: Length,
    /// Its material.
    pub material: Arc<Material>,
    /// Bare core at the hammer end.
    pub bare_front: Length,
    /// Bare core at the bridge end.
    pub bare_back: Length,
    /// The bare ends follow the rule, not a reading of the old string.
    pub ends_by_rule: bool,
}

impl Wound {
    /// The core as the equations take it.
    pub fn core(&self) -> Core {
        match self.shape {
            CoreShape::Round => Core::Round { diameter: self.core.diameter },
            CoreShape::Hex => Core::Hex { across_flats: self.core.diameter },
        }
    }

    /// Diameter over the whole winding.
    pub fn over(&self) -> Length {
        self.over_layers(self.layers.len())
    }

    /// Diameter over the inner layer of two.
    pub fn under(&self) -> Option<Length> {
        (self.layers.len() > 1).then(|| self.over_layers(1))
    }

    fn over_layers(&self, count: usize) -> Length {
        let wires: Vec<Length> = self.layers.iter().take(count).map(|layer| layer.wire).collect();
        over_crests(self.core(), &wires)
    }
}

impl Stringing {
    /// Plain or wound.
    pub fn kind(&self) -> StringKind {
        match self.make {
            Make::Plain(_) => StringKind::Plain,
            Make::Wound(_) => StringKind::Wound,
        }
    }

    /// The wire, or the core.
    pub fn wire(&self) -> Wire {
        match &self.make {
            Make::Plain(wire) => *wire,
            Make::Wound(wound) => wound.core,
        }
    }

    /// The wound string.
    pub fn wound(&self) -> Option<&Wound> {
        match &self.make {
            Make::Plain(_) => None,
            Make::Wound(wound) => Some(wound),
        }
    }

    /// What would be believed of the string once it is on: `old` with this wire in its place, at the
    /// sizes ordered. Lengths, their doubt and the strike point stay.
    pub fn believed(&self, old: &BelievedString) -> BelievedString {
        if self.stays {
            return old.clone();
        }
        let exact = |length: Length| Measured::new(length, mm(0.0));
        let wire = self.wire();
        BelievedString {
            length: self.length,
            core: exact(wire.diameter),
            size: wire.size,
            shape: self.wound().map_or(CoreShape::Round, |wound| wound.shape),
            material: Arc::clone(&self.material),
            winding: self.wound().and_then(winding),
            weighed: None,
            breaking_load: None,
            strike: old.strike,
            place: old.place.clone(),
            shares: StringShares { length: old.shares.length.clone(), ..StringShares::default() },
        }
    }
}

fn winding(wound: &Wound) -> Option<BelievedWinding> {
    let exact = |length: Length| Measured::new(length, mm(0.0));
    let (inner, outer) = (wound.layers.first()?, wound.layers.last()?);
    let end = |length| BareEnd { length: exact(length), assumed: false };
    let two = wound.layers.len() > 1;
    Some(BelievedWinding {
        over: exact(wound.over()),
        wire: Some(exact(outer.wire)),
        under: wound.under().map(exact),
        material: Arc::clone(&outer.material),
        bare_front: end(outer.bare_front),
        bare_back: end(outer.bare_back),
        under_bare_front: two.then(|| exact(inner.bare_front)),
        under_bare_back: two.then(|| exact(inner.bare_back)),
        approximate: false,
        shares: WindingShares::default(),
    })
}
