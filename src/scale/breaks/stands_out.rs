//! Readings that do not go with their neighbours': measure again, or a string not of the set?
//!
//! Three readings are held against the others of their run, each by what it is believed to do:
//! - speaking lengths follow a smooth curve of ln L along a bridge: each against the curve through
//!   the others. For a plain string that is its stress, 4 rho f² L², whatever its wire;
//! - wire and cores go down a staircase of sizes: each between the thickest and thinnest of its
//!   neighbours (a step of a staircase never stands out);
//! - windings, through the tension that they make: each against the line of its neighbours, whose
//!   own scatter is the measure.
//!
//! The worst is set aside before the rest are judged again, so that one bad reading accuses nobody else.

use super::half_size::{half_size, series_at};
use super::roughness::runs;
use super::{BreakPlace, Quantity, Series};
use crate::instrument::Instrument;
use crate::instrument::belief::{ALONG_A_BRIDGE, Belief, StringKind};
use crate::measure::trend::{OnCurve, Point as Read, Prior, Trend};
use crate::measure::{Compass, Length, Measured, Note, mm, to_mm};
use crate::scale::Scale;
use crate::stock::WireSize;
use std::f64::consts::FRAC_PI_4;

/// Which reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// Speaking length.
    Length,
    /// Wire or core.
    Core,
    /// Over the winding.
    Over,
    /// Winding wire, where it was read: the mass of the string is that of its winding wire.
    WindingWire,
}

/// A reading off the course of its neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffTrend {
    /// The note.
    pub note: Note,
    /// The reading.
    pub reading: Reading,
    /// What was read.
    pub read: Measured<Length>,
    /// What would go with the neighbours.
    pub fitting: Measured<Length>,
    /// Of wire, the listed size that would.
    pub size: Option<WireSize>,
    /// How far off, in standard deviations of reading and course together.
    pub deviations: f64,
    /// How far off, in the unit of its tolerance: a fraction of the length or of the tension, or half
    /// sizes of wire.
    pub off: f64,
}

/// From where on a reading stands out: it must pass both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Standard deviations.
    pub deviations: f64,
    /// Of a length, as a fraction.
    pub length: f64,
    /// The same where the next readings are far, and lie on both sides.
    pub far_length: f64,
    /// Of wire, in half sizes.
    pub half_sizes: f64,
    /// Of the tension that a winding makes, as a fraction.
    pub tension: f64,
}

/// Fewest readings of a run against which another can be judged.
const FEWEST_OTHERS: usize = 4;

/// A reading is judged closely where at least two others lie within this many keys: an octave or more away
/// the bridge may have turned, and a published measured piano read at its Cs alone would be accused. Further
/// off, and between two others, only what no bridge does is named.
const NEAR: f64 = 9.0;

/// Every reading of the survey that stands out, by note.
pub fn stands_out(
    instrument: &Instrument,
    belief: &Belief,
    scale: &Scale,
    places: &[BreakPlace],
    tolerance: Tolerance,
) -> Vec<OffTrend> {
    let mut off: Vec<OffTrend> = Vec::new();
    for run in runs(instrument.compass, places) {
        off.extend(lengths(instrument, run, tolerance));
        off.extend(wires(instrument, scale, run, tolerance));
    }
    // A wrong length or core explains a wrong tension.
    let known: Vec<Note> = off.iter().map(|off| off.note).collect();
    let tension = Series::of_scale(instrument, belief, scale, &known)
        .into_iter()
        .find(|series| series.quantity() == Quantity::Tension);
    if let Some(tension) = tension {
        for run in runs(instrument.compass, places) {
            off.extend(windings(instrument, scale, &tension, run, tolerance));
        }
    }
    off.sort_by_key(|off| off.note);
    off
}

/// Points that stand out from the curve through the others, the worst first, with that curve there.
/// `passes` says whether one does, told whether its neighbours are near; after each the rest are judged without
/// it. `usual` is the scatter that the others have at least.
fn off_curve(
    mut points: Vec<Read>,
    prior: Prior,
    usual: impl Fn(&[Read]) -> f64,
    passes: impl Fn(&Read, &OnCurve, bool) -> bool,
) -> Vec<(Read, OnCurve)> {
    let mut found = Vec::new();
    while points.len() > FEWEST_OTHERS {
        let worst = (0..points.len())
            .filter_map(|i| {
                let mut others = points.clone();
                let mut one = others.remove(i);
                let near =
                    others.iter().filter(|other| (other.at - one.at).abs() <= NEAR).count() >= 2;
                let between = others.iter().any(|other| other.at < one.at)
                    && others.iter().any(|other| other.at > one.at);
                if !near && !between {
                    return None;
                }
                let usual = usual(&others);
                others.iter_mut().chain([&mut one]).for_each(|p| p.sd = p.sd.max(usual));
                let curve = Trend::through(others, prior)?.at(&[one.at])[0];
                passes(&one, &curve, near).then_some((i, one, curve))
            })
            .max_by(|a, b| deviations(&a.1, &a.2).total_cmp(&deviations(&b.1, &b.2)));
        let Some((i, one, curve)) = worst else { break };
        points.remove(i);
        found.push((one, curve));
    }
    found
}

fn deviations(one: &Read, curve: &OnCurve) -> f64 {
    (one.value - curve.value).abs() / one.sd.hypot(curve.sd)
}

fn note_at(point: &Read) -> Option<Note> {
    Note::from_key(point.at as u8)
}

fn lengths(instrument: &Instrument, run: Compass, tolerance: Tolerance) -> Vec<OffTrend> {
    let read = |note: Note| instrument.string(note).and_then(|row| row.length);
    let points = run.notes().filter_map(|note| {
        let length = read(note)?;
        let sd = to_mm(length.sd) / to_mm(length.value);
        Some(Read { at: f64::from(note.key()), value: to_mm(length.value).ln(), sd })
    });
    let passes = |one: &Read, curve: &OnCurve, near: bool| {
        let least = if near { tolerance.length } else { tolerance.far_length };
        deviations(one, curve) > tolerance.deviations
            && (one.value - curve.value).abs() > least.ln_1p()
    };
    off_curve(points.collect(), ALONG_A_BRIDGE, |_| 0.0, passes)
        .into_iter()
        .filter_map(|(one, curve)| {
            let note = note_at(&one)?;
            let fitting = curve.value.exp();
            Some(OffTrend {
                note,
                reading: Reading::Length,
                read: read(note)?,
                fitting: Measured::new(mm(fitting), mm(fitting * curve.sd)),
                size: None,
                deviations: deviations(&one, &curve),
                off: (one.value - curve.value).exp_m1(),
            })
        })
        .collect()
}

/// Cores and plain wire read with a micrometer, each against the staircase of its neighbours.
fn wires(
    instrument: &Instrument,
    scale: &Scale,
    run: Compass,
    tolerance: Tolerance,
) -> Vec<OffTrend> {
    let of_the_set = |note: &Note| instrument.string(*note).is_some_and(|row| !row.replaced);
    let mut read: Vec<(Note, Measured<Length>)> = run
        .notes()
        .filter(of_the_set)
        .filter(|note| scale.note(*note).is_some_and(|entry| entry.kind.is_some()))
        .filter_map(|note| Some((note, instrument.string(note)?.core?)))
        .collect();
    let mut found = Vec::new();
    while read.len() > FEWEST_OTHERS {
        let worst = (0..read.len())
            .filter_map(|i| Some((i, off_staircase(instrument, &read, i, tolerance)?)))
            .max_by(|a, b| a.1.off.abs().total_cmp(&b.1.off.abs()));
        let Some((i, off)) = worst else { break };
        read.remove(i);
        found.push(off);
    }
    found
}

/// How far wire `i` lies outside its neighbours' sizes, when that passes the tolerance.
fn off_staircase(
    instrument: &Instrument,
    read: &[(Note, Measured<Length>)],
    i: usize,
    tolerance: Tolerance,
) -> Option<OffTrend> {
    let (note, wire) = read[i];
    let at = |j: usize| to_mm(read[j].1.value);
    let below: Vec<f64> = (i.saturating_sub(2)..i).map(at).collect();
    let above: Vec<f64> = (i + 1..read.len().min(i + 3)).map(at).collect();
    let half = to_mm(half_size(instrument, note, wire.value)?);
    // At an end of the run the staircase may go on by a whole size that no neighbour shows.
    let open = if below.is_empty() || above.is_empty() { 2.0 * half } else { 0.0 };
    let extreme = |start: f64, pick: fn(f64, f64) -> f64| {
        below.iter().chain(&above).copied().fold(start, pick)
    };
    let (thin, thick) = (extreme(f64::MAX, f64::min), extreme(f64::MIN, f64::max));
    let size = to_mm(wire.value);
    let off = (size - (thick + open)).max(0.0) + (size - (thin - open)).min(0.0);
    // The neighbours' extreme is one reading, with the same error as this one.
    let deviations = off.abs() / (to_mm(wire.sd) * 2.0_f64.sqrt());
    let stands_out = deviations > tolerance.deviations && off.abs() / half > tolerance.half_sizes;
    let fitting = mm(f64::midpoint(thin, thick));
    stands_out.then(|| OffTrend {
        note,
        reading: Reading::Core,
        read: wire,
        fitting: Measured::new(fitting, mm(half.max((thick - thin) / 2.0))),
        size: series_at(instrument, note).nearest(fitting),
        deviations,
        off: off / half,
    })
}

/// What ln T does along a wound run (proposal, no source).
const ALONG_A_WOUND_RUN: Prior =
    Prior { slope: 0.0, slope_sd: 0.02, roughness: 0.001, roughness_factor: 2.0 };

/// Wound strings whose tension is off though their length and core are not: the winding.
fn windings(
    instrument: &Instrument,
    scale: &Scale,
    tension: &Series,
    run: Compass,
    tolerance: Tolerance,
) -> Vec<OffTrend> {
    let wound = |note: Note| scale.note(note).is_some_and(|e| e.kind == Some(StringKind::Wound));
    let points = tension
        .between(run.first, run.last)
        .iter()
        .filter(|point| wound(point.note))
        .map(|point| Read { at: point.key(), value: point.ln_value, sd: point.sd })
        .collect();
    let passes = |one: &Read, curve: &OnCurve, near: bool| {
        near && deviations(one, curve) > tolerance.deviations
            && (one.value - curve.value).abs() > tolerance.tension.ln_1p()
    };
    off_curve(points, ALONG_A_WOUND_RUN, scatter_of, passes)
        .into_iter()
        .filter_map(|(one, curve)| winding(instrument, scale, &one, &curve))
        .collect()
}

/// Scatter of one note about the straight line between its neighbours (as in `roughness`).
fn scatter_of(points: &[Read]) -> f64 {
    let squares: Vec<f64> = points
        .windows(3)
        .map(|three| {
            let w = (three[1].at - three[0].at) / (three[2].at - three[0].at);
            let off = three[1].value - (1.0 - w) * three[0].value - w * three[2].value;
            off * off / (1.0 + (1.0 - w).powi(2) + w * w)
        })
        .collect();
    (squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt()
}

fn winding(
    instrument: &Instrument,
    scale: &Scale,
    one: &Read,
    curve: &OnCurve,
) -> Option<OffTrend> {
    let note = note_at(one)?;
    let figures = scale.note(note)?.string.as_ref()?;
    let row = instrument.string(note)?;
    let read = row.over?;
    let off = one.value - curve.value;
    // Tension goes as the mass per length: so much mass fits, and the winding is what the core is not.
    let (core, over) = (to_mm(figures.core.value), to_mm(read.value));
    let steel = instrument.wire.core.density.value * (figures.core.value * figures.core.value);
    let bare = steel.value * FRAC_PI_4;
    let whole = figures.mass_per_length.value.value;
    let share = (whole * (-off).exp() - bare) / (whole - bare);
    let (reading, read, fitting) = if let Some(wire) = row.wrap_wire.filter(|_| row.under.is_none())
    {
        // The winding's section goes as t (d + t) with the wire's thickness t.
        let thick = to_mm(wire.value);
        let section = thick * (core + thick) * share.max(0.0);
        let fitting = (core * core / 4.0 + section).sqrt() - core / 2.0;
        (Reading::WindingWire, wire, fitting)
    } else {
        let section = (over * over - core * core) * share.max(0.0);
        (Reading::Over, read, (core * core + section).sqrt())
    };
    Some(OffTrend {
        note,
        reading,
        read,
        fitting: Measured::new(mm(fitting), read.sd),
        size: None,
        deviations: deviations(one, curve),
        off: off.exp_m1(),
    })
}
