//! What each note could be strung with, each with its figures at the finished pitch.
//!
//! Plain: every wire in stock. Wound: a bounded list, of which the search then finds the exact best:
//! cores within [`CORES`] sizes of the one found, windings of stock wire whose tension is one that
//! occurs within [`NEAR`] notes either side ([`SPREAD`] beyond it), two layers where such were found or one
//! would be thick or does not reach; of these the [`MOST`] nearest to the tension and the core that are usual there.

use super::alternative::Known;
use super::buy::{Stock, new_material};
use super::choice::{Make, Stringing, Winding, Wire, Wound};
use super::old::old;
use crate::instrument::belief::{BARE_END_MEDIAN_MM, BelievedNote, BelievedString, StringKind};
use crate::instrument::{CoreShape, Instrument};
use crate::measure::{Length, Measured, Note, Sentence, mm, to_metres, to_mm, to_newtons};
use crate::physics::core::Core;
use crate::physics::sound;
use crate::physics::winding::layer_mass;
use crate::scale::breaking_load;
use crate::scale::breaks::Reading;
use crate::scale::spec::spec_of;
use std::f64::consts::PI;
use std::sync::Arc;

/// Sizes of core either side of the usual one (proposal, no source).
const CORES: usize = 4;
/// Notes either side whose tensions are taken for possible (proposal, no source).
const NEAR: usize = 10;
/// How far beyond those, as a logarithm, below and above (proposal, no source).
const SPREAD: (f64, f64) = (0.10, 0.03);
/// Most wound strings among which a note chooses (proposal, no source).
const MOST: usize = 36;
/// Thinnest inner winding of two over the outer one (proposal, no source).
const INNER_LEAST: f64 = 0.5;
/// Winding wire from which two layers are offered beside one, mm (proposal, no source).
const TWO_FROM_MM: f64 = 1.3;
/// Steps of tension at which a string of two layers is offered, as a logarithm (proposal).
const STEP_OF_TWO: f64 = 0.02;

/// One way to string a note, with what it comes to.
#[derive(Debug, Clone)]
pub(super) struct Offer {
    /// The string.
    pub make: Make,
    /// Its figures.
    pub figures: Figures,
}

/// Figures of one string.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figures {
    /// N.
    pub tension: f64,
    /// Logarithms of tension, inharmonicity, impedance and load; the last zero where no breaking load
    /// can be defended.
    pub ln: [f64; 4],
    /// Percent of the breaking load.
    pub load: Option<f64>,
}

impl Figures {
    fn new(tension: f64, b: f64, impedance: f64, load: Option<f64>) -> Self {
        let ln = [tension.ln(), b.ln(), impedance.ln(), load.map_or(0.0, f64::ln)];
        Self { tension, ln, load: load.map(|load| 100.0 * load) }
    }
}

/// A note with all that it could get.
#[derive(Debug, Clone)]
pub(super) struct NoteOffers {
    /// Index into the belief's notes.
    pub at: usize,
    /// The note.
    pub note: Note,
    /// Its section.
    pub section: usize,
    /// Strings found.
    pub strings: u8,
    /// Plain or wound as found.
    pub kind: StringKind,
    /// The string as found, as it is compared with new ones.
    pub found: Figures,
    /// The same as it is.
    pub old: Offer,
    /// Layers of its winding; none on a plain string.
    pub layers: usize,
    /// Plain wire.
    pub plain: Vec<Offer>,
    /// Wound strings; empty where winding the note is out of the question.
    pub wound: Vec<Offer>,
}

/// Everything that the notes could get.
pub(super) struct Offers<'a> {
    known: &'a Known<'a>,
    /// The readings as they would be with modern wire.
    instrument: Instrument,
    stock: &'a Stock,
    /// The notes of which enough is known, from the bass.
    notes: Vec<(usize, &'a BelievedNote, BelievedString, Figures)>,
    /// The figures of the same strings as they are, with their own wire and ends.
    old: Vec<Figures>,
}

impl<'a> Offers<'a> {
    pub fn new(known: &'a Known<'a>, stock: &'a Stock, instrument: Instrument) -> Self {
        let mut offers = Self { known, instrument, stock, notes: Vec::new(), old: Vec::new() };
        for (at, note) in known.belief.notes.iter().enumerate() {
            let (Some(string), Some(_), Some(_)) = (&note.string, note.strings, note.kind) else {
                continue;
            };
            let mut string = string.clone();
            let figures = match fitting(known, note.note) {
                // A length in doubt would spoil every figure of its note.
                Some(length) => {
                    string.length = length;
                    let old = figures(known.instrument, note.note, &string);
                    offers.figures(note.note, &string).zip(old)
                }
                None => found(known, note.note).map(|found| (found, found)),
            };
            if let Some((found, old)) = figures {
                offers.notes.push((at, note, string, found));
                offers.old.push(old);
            }
        }
        offers.end_alike();
        offers
    }

    /// Bare ends that nobody read follow the rule for new ones: old and new are compared alike.
    fn end_alike(&mut self) {
        for i in 0..self.notes.len() {
            let ends = self.ends(i);
            let (_, note, string, _) = &self.notes[i];
            let mut string = string.clone();
            let Some(winding) = string.winding.as_mut() else { continue };
            let assumed = [&mut winding.bare_front, &mut winding.bare_back];
            let pairs = assumed.into_iter().zip([ends.front, ends.back]);
            for (old, new) in pairs.filter(|(old, _)| old.assumed) {
                old.length.value = new;
            }
            if let Some(figures) = self.figures(note.note, &string) {
                self.notes[i].3 = figures;
            }
        }
    }

    /// How many notes there are.
    pub fn len(&self) -> usize {
        self.notes.len()
    }

    /// Note `i` as found, with nothing that it could get.
    pub fn head(&self, i: usize) -> NoteOffers {
        let (at, note, string, found) = &self.notes[i];
        let layers = string.winding.as_ref().map_or(0, |w| 1 + usize::from(w.under.is_some()));
        let spec = spec_of(string, self.instrument.wire.ends).ok();
        NoteOffers {
            at: *at,
            note: note.note,
            section: note.section,
            strings: note.strings.unwrap_or(1),
            kind: note.kind.unwrap_or(StringKind::Plain),
            found: *found,
            old: old(string, spec.as_ref(), self.old[i]),
            layers,
            plain: Vec::new(),
            wound: Vec::new(),
        }
    }

    /// What note `i` could get; `other` asks for plain strings of a wound note, or wound ones of a
    /// plain note, as well.
    pub fn of(&self, i: usize, other: bool) -> NoteOffers {
        let (_, note, string, _) = &self.notes[i];
        let mut offers = self.head(i);
        let wound = offers.kind == StringKind::Wound;
        if !wound || other {
            offers.plain = self.plain(note, string);
        }
        if wound || other {
            offers.wound = self.wound(i);
        }
        offers
    }

    fn plain(&self, note: &BelievedNote, string: &BelievedString) -> Vec<Offer> {
        let offers = self.stock.plain.iter().map(|wire| Make::Plain(*wire));
        offers.filter_map(|make| self.offer(note, string, make)).collect()
    }

    /// `make` with its figures; `None` where no such string sounds the note.
    pub fn offer(&self, note: &BelievedNote, string: &BelievedString, make: Make) -> Option<Offer> {
        let stringing = stringing(note, string, make);
        let figures = self.figures(note.note, &stringing.believed(string))?;
        Some(Offer { make: stringing.make, figures })
    }

    /// Figures of `string` at the pitch of `note`.
    fn figures(&self, note: Note, string: &BelievedString) -> Option<Figures> {
        figures(&self.instrument, note, string)
    }

    /// The string as found, wire to the nearest size in stock and its winding as read.
    pub fn as_found(&self, i: usize) -> Option<Offer> {
        let (_, note, string, _) = &self.notes[i];
        if string.winding.is_none() {
            let wire = self.stock.nearest_plain(string.core.value)?;
            return self.offer(note, string, Make::Plain(wire));
        }
        let core = *self.stock.cores_about(string.core.value, 0).first()?;
        let layers = self.layers_found(i)?;
        let make = Make::Wound(Wound { core, shape: string.shape, layers });
        self.offer(note, string, make)
    }

    /// The winding of a wound note: each wire to the nearest of the string maker's list; where the
    /// survey has no such list, as read, for whoever wound it had it.
    fn layers_found(&self, i: usize) -> Option<Vec<Winding>> {
        let (_, _, string, _) = &self.notes[i];
        let spec = spec_of(string, self.instrument.wire.ends).ok()?;
        let ends = self.ends(i);
        let winding = string.winding.as_ref()?;
        let layers = spec.layers.iter().map(|layer| {
            let wire = match self.known.instrument.supply.winding {
                Some(_) => self.nearest_winding(layer.wire)?,
                None => layer.wire,
            };
            Some(ends.winding(wire, &winding.material))
        });
        layers.collect()
    }

    fn nearest_winding(&self, wire: Length) -> Option<Length> {
        let off = |size: &Length| (to_mm(*size) - to_mm(wire)).abs();
        self.stock.windings.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    fn wound(&self, i: usize) -> Vec<Offer> {
        let (_, note, string, _) = &self.notes[i];
        let usual = self.usual(i);
        let ends = self.ends(i);
        let Some(like) = self.like(i) else { return Vec::new() };
        let material = like.winding.as_ref().map_or_else(
            || Arc::clone(&self.instrument.wire.wrap),
            |winding| Arc::clone(&winding.material),
        );
        let mut shapes = vec![like.shape];
        shapes.extend(self.stock.shapes.iter().filter(|shape| **shape != like.shape));
        let mut makes: Vec<(f64, Make)> = Vec::new();
        let steel = new_material(&like.material);
        for &core in self.stock.cores_about(like.core.value, CORES) {
            for &shape in &shapes {
                for wires in self.windings(i, core, shape, &usual, &steel) {
                    let layers = wires.1.iter().map(|wire| ends.winding(*wire, &material));
                    let wound = Wound { core, shape, layers: layers.collect() };
                    let off_core = (to_mm(core.diameter) / to_mm(like.core.value)).ln() / 0.06;
                    let off = (wires.0 - usual.middle) / 0.08;
                    makes.push((off.hypot(off_core), Make::Wound(wound)));
                }
            }
        }
        makes.sort_by(|a, b| a.0.total_cmp(&b.0));
        makes.truncate(MOST);
        let mut offers: Vec<Offer> =
            makes.into_iter().filter_map(|(_, make)| self.offer(note, string, make)).collect();
        // The old string itself is always among them.
        if let Some(old) = string.winding.as_ref().and_then(|_| self.as_found(i))
            && !offers.iter().any(|offer| offer.make == old.make)
        {
            offers.push(old);
        }
        offers
    }

    /// Windings of stock wire on a core with their ln T, of which the tension lies where it may.
    fn windings(
        &self,
        i: usize,
        core: Wire,
        shape: CoreShape,
        usual: &Usual,
        steel: &crate::instrument::Material,
    ) -> Vec<(f64, Vec<Length>)> {
        let (_, note, string, _) = &self.notes[i];
        let core = match shape {
            CoreShape::Round => Core::Round { diameter: core.diameter },
            CoreShape::Hex => Core::Hex { across_flats: core.diameter },
        };
        let copper = self.like(i).and_then(|like| like.winding.as_ref()).map_or_else(
            || self.instrument.wire.wrap.density.value,
            |winding| winding.material.density.value,
        );
        let bare = (core.area() * steel.density.value).value;
        let stiff = steel.youngs_modulus.map_or(0.0, |e| (e.value * core.second_moment()).value);
        let length = to_metres(string.length.value);
        let pitch = note.note.frequency(self.instrument.pitch).value;
        // Bare ends take less than a thousandth of it.
        let ln_tension = |winding: f64| {
            let tension =
                4.0 * (length * pitch).powi(2) * (bare + winding) - (PI / length).powi(2) * stiff;
            tension.ln()
        };
        let mass = |below: Length, wire: Length| layer_mass(core, below, wire, copper).value.value;
        let fits = |ln: f64| ln >= usual.low && ln <= usual.high;
        let mut found: Vec<(f64, Vec<Length>)> = Vec::new();
        for &wire in &self.stock.windings {
            let ln = ln_tension(mass(mm(0.0), wire));
            if fits(ln) {
                found.push((ln, vec![wire]));
            }
        }
        // Where one layer would be thick, or does not reach.
        let reached = found.last().is_some_and(|last| last.0 >= usual.middle);
        let thick = found.iter().any(|one| one.1[0] > mm(TWO_FROM_MM));
        if usual.two || thick || !reached {
            found.extend(self.two_layers(usual, |inner, outer| {
                let ln = ln_tension(mass(mm(0.0), inner) + mass(inner, outer));
                fits(ln).then_some(ln)
            }));
        }
        found
    }

    /// Of pairs that come to one tension, the one whose wires stand most like those found.
    fn two_layers(
        &self,
        usual: &Usual,
        ln_tension: impl Fn(Length, Length) -> Option<f64>,
    ) -> Vec<(f64, Vec<Length>)> {
        let mut steps: Vec<(i64, f64, f64, Vec<Length>)> = Vec::new();
        for &outer in &self.stock.windings {
            for &inner in &self.stock.windings {
                let ratio = to_mm(inner) / to_mm(outer);
                if !(INNER_LEAST..=1.0).contains(&ratio) {
                    continue;
                }
                let Some(ln) = ln_tension(inner, outer) else { continue };
                let step = (ln / STEP_OF_TWO).floor() as i64;
                let off = (ratio / usual.ratio).ln().abs();
                match steps.iter_mut().find(|one| one.0 == step) {
                    Some(one) if one.2 <= off => {}
                    Some(one) => *one = (step, ln, off, vec![inner, outer]),
                    None => steps.push((step, ln, off, vec![inner, outer])),
                }
            }
        }
        steps.into_iter().map(|(_, ln, _, wires)| (ln, wires)).collect()
    }

    /// The wound string that note `i` is to be like: its own, or the nearest of its section, or else
    /// the nearest at all.
    fn like(&self, i: usize) -> Option<&BelievedString> {
        self.nearest_wound(i, |_| true).map(|at| &self.notes[at].2)
    }

    fn nearest_wound(&self, i: usize, also: impl Fn(usize) -> bool) -> Option<usize> {
        let section = self.notes[i].1.section;
        let wound = (0..self.notes.len()).filter(|&j| self.notes[j].2.winding.is_some() && also(j));
        wound.min_by_key(|&j| (usize::from(self.notes[j].1.section != section), j.abs_diff(i)))
    }

    /// Bare ends by rule: as read on the old string; else those of the nearest wound note of which
    /// they were read; else the usual ones.
    fn ends(&self, i: usize) -> EndsOf {
        let read = |j: usize| {
            let winding = self.notes[j].2.winding.as_ref();
            winding.is_some_and(|w| !w.bare_front.assumed && !w.bare_back.assumed)
        };
        let usual = (mm(BARE_END_MEDIAN_MM), mm(BARE_END_MEDIAN_MM));
        let Some(at) = self.nearest_wound(i, read) else {
            return EndsOf { front: usual.0, back: usual.1, by_rule: true };
        };
        let (front, back) = self.notes[at].2.winding.as_ref().map_or(usual, |winding| {
            (winding.bare_front.length.value, winding.bare_back.length.value)
        });
        EndsOf { front, back, by_rule: at != i }
    }

    /// What is usual about note `i`.
    fn usual(&self, i: usize) -> Usual {
        let near = |reach: usize| {
            let from = i.saturating_sub(reach);
            let to = (i + reach + 1).min(self.notes.len());
            &self.notes[from..to]
        };
        let tensions = near(NEAR).iter().map(|one| one.3.ln[0]);
        let low = tensions.clone().fold(f64::INFINITY, f64::min) - SPREAD.0;
        let high = tensions.fold(f64::NEG_INFINITY, f64::max) + SPREAD.1;
        let beside = near(3);
        let middle = beside.iter().map(|one| one.3.ln[0]).sum::<f64>() / beside.len() as f64;
        let double = |one: &(usize, &BelievedNote, BelievedString, Figures)| {
            one.2.winding.as_ref().is_some_and(|winding| winding.under.is_some())
        };
        let two = near(1).iter().any(double);
        let ratio = self.ratio_found(i).unwrap_or(0.7);
        Usual { low, high, middle, two, ratio }
    }

    /// Inner over outer winding wire of the nearest double-wound string.
    fn ratio_found(&self, i: usize) -> Option<f64> {
        let double = |j: usize| {
            self.notes[j].2.winding.as_ref().is_some_and(|winding| winding.under.is_some())
        };
        let at = self.nearest_wound(i, double)?;
        let spec = spec_of(&self.notes[at].2, self.known.instrument.wire.ends).ok()?;
        let [inner, outer] = spec.layers.as_slice() else { return None };
        Some(to_mm(inner.wire) / to_mm(outer.wire))
    }
}

/// What is usual about a note.
struct Usual {
    /// Least logarithm of the tension that is offered.
    low: f64,
    /// Greatest.
    high: f64,
    /// The middle of the neighbours'.
    middle: f64,
    /// Two layers were found there or beside.
    two: bool,
    /// Inner over outer winding wire.
    ratio: f64,
}

/// Bare ends of a new winding.
#[derive(Debug, Clone, Copy)]
struct EndsOf {
    front: Length,
    back: Length,
    by_rule: bool,
}

impl EndsOf {
    fn winding(self, wire: Length, material: &Arc<crate::instrument::Material>) -> Winding {
        Winding {
            wire,
            material: Arc::clone(material),
            bare_front: self.front,
            bare_back: self.back,
            ends_by_rule: self.by_rule,
        }
    }
}

/// The length that goes with the neighbours', where the one read does not.
fn fitting(known: &Known, note: Note) -> Option<Measured<Length>> {
    let off = known.off.iter().find(|off| off.note == note && off.reading == Reading::Length)?;
    Some(off.fitting)
}

/// Figures of `string` at the pitch of `note`, with the wire of `instrument`.
fn figures(instrument: &Instrument, note: Note, string: &BelievedString) -> Option<Figures> {
    let spec = spec_of(string, instrument.wire.ends).ok()?;
    let sounding = sound(&spec, note.frequency(instrument.pitch)).ok()?;
    let bearing = breaking_load(instrument, string, &spec).ok();
    Some(Figures::new(
        to_newtons(sounding.tension),
        sounding.inharmonicity.0,
        sounding.impedance.value,
        bearing.map(|bearing| (sounding.tension / bearing.load).value),
    ))
}

/// Figures of a note as found.
fn found(known: &Known, note: Note) -> Option<Figures> {
    let string = known.scale.note(note)?.string.as_ref()?;
    Some(Figures::new(
        to_newtons(string.tension.value),
        string.inharmonicity.value.0,
        string.impedance.value,
        string.load.map(|load| load.value),
    ))
}

/// The note strung with `make`.
pub(super) fn stringing(note: &BelievedNote, string: &BelievedString, make: Make) -> Stringing {
    Stringing {
        note: note.note,
        section: note.section,
        strings: note.strings.unwrap_or(1),
        length: string.length,
        material: new_material(&string.material),
        make,
        stays: false,
        changed: false,
        approximate: false,
        why: Sentence::default(),
    }
}
