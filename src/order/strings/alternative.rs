//! Alternatives to choose from, each judged by the measure that judges the piano as found.

use super::choice::{Choice, Make, Stringing, Winding, Wire, Wound};
use super::course::Terms;
use super::judge::{Judged, judge};
use crate::instrument::belief::{Belief, BelievedNote, BelievedString, Source};
use crate::instrument::{Instrument, Material};
use crate::judgement::limit::Limits;
use crate::measure::{Force, Length, Note, Sentence, Stopped, Watch, newtons, to_mm, to_newtons};
use crate::scale::Scale;
use crate::scale::spec::spec_of;
use crate::sentence;
use crate::stock::{WireSeries, WireSize};
use std::sync::Arc;

/// What the alternatives are worked out from.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// What was read.
    pub instrument: &'a Instrument,
    /// What is believed of every string.
    pub belief: &'a Belief,
    /// The strings as found.
    pub scale: &'a Scale,
    /// Notes whose readings are in doubt: no trend is drawn through them.
    pub doubtful: &'a [Note],
    /// The limits in force.
    pub limits: &'a Limits,
}

/// Which alternative. Each is defined by its weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Name {
    /// The old scale in new wire of the nearest sizes.
    Copy,
}

impl Name {
    /// Its name, as machines read it and on the command line.
    pub fn key(self) -> &'static str {
        match self {
            Self::Copy => "copy",
        }
    }
}

/// One way to string the piano.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// Which.
    pub name: Name,
    /// What each note gets.
    pub choice: Choice,
    /// Sums over it.
    pub totals: Totals,
    /// The objective that it was chosen by, term by term; `None` where nothing was searched.
    pub terms: Option<Terms>,
    /// The strings as they would be, and their breaks, by the measure used on the piano as found.
    pub judged: Judged,
    /// What it gives up.
    pub gives_up: Vec<Sentence>,
    /// What else must change at the piano.
    pub knock_on: Vec<Sentence>,
}

/// Sums over a choice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// Pull of all strings.
    pub pull: Force,
    /// Pull of the same notes as found.
    pub found: Force,
    /// Strings.
    pub strings: usize,
    /// Different plain wires.
    pub plain_sizes: usize,
    /// Notes whose strings differ from what was found by more than the nearest size.
    pub changed: usize,
}

/// Every alternative, the copy first.
pub fn alternatives(known: &Known, watch: &dyn Watch) -> Result<Vec<Alternative>, Stopped> {
    watch.check()?;
    let choice = copy(known);
    let judged = judge(known, &choice);
    let totals = totals(known, &choice, &judged.scale);
    Ok(vec![Alternative {
        name: Name::Copy,
        choice,
        totals,
        terms: None,
        judged,
        gives_up: Vec::new(),
        knock_on: Vec::new(),
    }])
}

fn totals(known: &Known, choice: &Choice, scale: &Scale) -> Totals {
    let pull = |scale: &Scale, note: Note| -> f64 {
        let entry = scale.note(note);
        let tension = entry.and_then(|n| n.string.as_ref()).map(|s| to_newtons(s.tension.value));
        tension.unwrap_or(0.0) * f64::from(entry.and_then(|n| n.strings).unwrap_or(0))
    };
    let sum = |scale: &Scale| -> f64 { choice.notes.iter().map(|n| pull(scale, n.note)).sum() };
    let mut plain: Vec<Length> = choice
        .notes
        .iter()
        .filter_map(|n| match &n.make {
            Make::Plain(wire) => Some(wire.diameter),
            Make::Wound(_) => None,
        })
        .collect();
    plain.sort_by(|a, b| to_mm(*a).total_cmp(&to_mm(*b)));
    plain.dedup();
    Totals {
        pull: newtons(sum(scale)),
        found: newtons(sum(known.scale)),
        strings: choice.notes.iter().map(|n| usize::from(n.strings)).sum(),
        plain_sizes: plain.len(),
        changed: choice.notes.iter().filter(|n| n.changed).count(),
    }
}

/// The strings as found, wires and cores to the nearest size that is listed.
fn copy(known: &Known) -> Choice {
    let notes = known.belief.notes.iter().filter_map(|note| copied(known, note)).collect();
    Choice { notes }
}

fn copied(known: &Known, believed: &BelievedNote) -> Option<Stringing> {
    let (string, strings) = (believed.string.as_ref()?, believed.strings?);
    let series = string.size.map_or(WireSeries::Inch, WireSize::series);
    let size = string.size.or_else(|| series.nearest(string.core.value));
    let wire = Wire { diameter: size.map_or(string.core.value, WireSize::diameter), size };
    let make = match &string.winding {
        None => Make::Plain(wire),
        Some(winding) => Make::Wound(Wound {
            core: wire,
            shape: string.shape,
            layers: layers(known, string, &winding.material)?,
        }),
    };
    let approximate = string.winding.as_ref().is_some_and(|winding| winding.approximate)
        || believed.source != Source::Measured;
    Some(Stringing {
        note: believed.note,
        section: believed.section,
        strings,
        length: string.length,
        material: Arc::clone(&string.material),
        make,
        changed: false,
        approximate,
        why: sentence!["as found, in the nearest size that is made"],
    })
}

/// The layers as found; their wires ride on the new core.
fn layers(
    known: &Known,
    string: &BelievedString,
    material: &Arc<Material>,
) -> Option<Vec<Winding>> {
    let spec = spec_of(string, known.instrument.wire.ends).ok()?;
    let assumed = string
        .winding
        .as_ref()
        .is_some_and(|winding| winding.bare_front.assumed || winding.bare_back.assumed);
    let layer = |layer: &crate::physics::winding::Layer| Winding {
        wire: layer.wire,
        material: Arc::clone(material),
        bare_front: layer.bare_front,
        bare_back: layer.bare_back,
        ends_by_rule: assumed,
    };
    Some(spec.layers.iter().map(layer).collect())
}
