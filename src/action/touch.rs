//! What a new head does at the key.
//!
//! Mean of down and up, and friction, as read; key force per gram of head at rest and at let-off from the
//! swing between them; reflected mass; and the mean to expect. The key's travel is not read at the piano: it is
//! taken from practice (dip less aftertouch), with its spread as doubt, and so are the place of a
//! head's mass centre and the lean of an upright's strings. Where a known mass was clipped on the head and the
//! key weighed again, the force per gram at rest is the one measured, and practice has no say in it.

use super::bench::Bench;
use super::figure::{from_grams, in_grams};
use super::sample::Sample;
use super::side::head;
use super::usual::{anywhere, applies, spread};
use crate::instrument::{HammerRow, Kind};
use crate::measure::{Angle, Length, Mass, Measured, degrees, grams, mm, to_grams, to_mm};
use crate::physics::hammer::geometry::{Head, Station};
use crate::physics::hammer::touch::{
    KeyRatio, Touch, key_force_per_gram, lean_of_grand, lean_of_upright,
    measured_key_force_per_gram, predicted_mean,
};
use crate::stock::Applies;

/// Touch at one sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TouchFigures {
    /// Down weight as read.
    pub down: Option<Measured<Mass>>,
    /// Up weight as read.
    pub up: Option<Measured<Mass>>,
    /// Mean of down and up.
    pub mean: Option<Measured<Mass>>,
    /// Half their difference.
    pub friction: Option<Measured<Mass>>,
    /// Key force per gram of head, the hammer at rest.
    pub per_gram_at_rest: Option<Measured<f64>>,
    /// Whether that was measured, by a known mass clipped on the head.
    pub per_gram_measured: bool,
    /// The same just before let-off.
    pub per_gram_at_let_off: Option<Measured<f64>>,
    /// Mass that the key must set in motion, per gram of head.
    pub reflected_per_gram: Option<Measured<f64>>,
    /// That of the head as weighed.
    pub reflected_found: Option<Measured<Mass>>,
    /// That of the head as ordered.
    pub reflected_new: Option<Measured<Mass>>,
    /// Mean to expect with the head as ordered.
    pub mean_new: Option<Measured<Mass>>,
}

/// Mass centre of a head over its bore, above the shank's axis (proposal: 15 to 25 mm of 63.5).
const MASS_CENTRE_OVER_BORE: (f64, f64) = (0.24, 0.40);
/// Lean of an upright's strings from the vertical, degrees either way (proposal).
const STRING_LEAN_DEG: f64 = 3.0;

/// What gram weights at the key are read to, g, where the survey states nothing: whole grams, and a judgement of when
/// the key moves (one standard deviation; proposal).
const GRAM_WEIGHTS_G: f64 = 0.5;

/// Everything that a key force hangs on.
#[derive(Clone, Copy)]
struct Lever {
    travel_mm: f64,
    centre: f64,
    lean_deg: f64,
}

/// Touch at `sample`, for a new head of mass `target`.
pub(super) fn figures(
    row: &HammerRow,
    sample: &Sample,
    kind: Kind,
    bench: &Bench,
    square: Option<Length>,
    target: Option<Measured<Mass>>,
) -> Option<TouchFigures> {
    if row.down.is_none() && row.up.is_none() && row.mass.is_none() {
        return None;
    }
    let read = row.down.zip(row.up).and_then(|(down, up)| Touch::from_weights(down, up).ok());
    let lever = square.and_then(|square| {
        let station = bench.station(row.note, square)?;
        Place { kind, station, head: head(square, sample, bench)?, blow: row.blow?.value }.figures()
    });
    let weighed = sample.mass.map(|mass| mass.weighed);
    let clipped = clipped(row);
    let at_rest = clipped.or(lever.map(|(rest, _, _)| rest));
    let mean_new = (|| predicted_mean(read?.mean, at_rest?, weighed?, target?).ok())();
    let reflected = |head: Option<Measured<Mass>>| {
        let ((ratio, of_ratio), (mass, sd)) =
            (lever.map(|(_, _, ratio)| (ratio.value, ratio.sd))?, in_grams(head?));
        Some(from_grams((mass * ratio, (sd * ratio).hypot(mass * of_ratio))))
    };
    Some(TouchFigures {
        down: row.down,
        up: row.up,
        mean: read.map(|touch| touch.mean),
        friction: read.map(|touch| touch.friction),
        per_gram_at_rest: at_rest,
        per_gram_measured: clipped.is_some(),
        per_gram_at_let_off: lever.map(|(_, let_off, _)| let_off),
        reflected_per_gram: lever.map(|(_, _, ratio)| ratio),
        reflected_found: reflected(weighed),
        reflected_new: reflected(target),
        mean_new,
    })
}

/// Key force per gram as measured: what a known mass on the head adds to the mean at the key.
fn clipped(row: &HammerRow) -> Option<Measured<f64>> {
    let clip = row.clip?;
    let doubted = |read: Measured<Mass>| {
        let sd = if to_grams(read.sd) > 0.0 { read.sd } else { grams(GRAM_WEIGHTS_G) };
        Measured::new(read.value, sd)
    };
    let mean = |down, up| Touch::from_weights(doubted(down), doubted(up)).ok();
    let (without, with) = (mean(row.down?, row.up?)?, mean(clip.down, clip.up)?);
    measured_key_force_per_gram(without.mean, with.mean, clip.mass).ok()
}

/// A hammer with its blow.
struct Place {
    kind: Kind,
    station: Station,
    head: Head,
    blow: Length,
}

type Forces = (Measured<f64>, Measured<f64>, Measured<f64>);

impl Place {
    /// Key force per gram at rest and at let-off, and reflected mass per gram, each with the doubt of what
    /// was not read, one after the other.
    fn figures(&self) -> Option<Forces> {
        let dip = spread("dip", Applies::Both)?;
        let after = spread("aftertouch", Applies::Both)?;
        let ((dip, of_dip), (after, of_after)) = (anywhere(dip), anywhere(after));
        let (centre, of_centre) = anywhere(MASS_CENTRE_OVER_BORE);
        let (lean_deg, of_lean) = anywhere((-STRING_LEAN_DEG, STRING_LEAN_DEG));
        let usual = Lever { travel_mm: dip - after, centre, lean_deg };
        let moved = [
            Lever { travel_mm: usual.travel_mm + of_dip.hypot(of_after), ..usual },
            Lever { centre: centre + of_centre, ..usual },
            Lever { lean_deg: lean_deg + of_lean, ..usual },
        ];
        let base = self.at(usual)?;
        let mut sd = [0.0_f64; 3];
        for lever in moved {
            for ((sum, moved), base) in sd.iter_mut().zip(self.at(lever)?).zip(base) {
                *sum = sum.hypot(moved - base);
            }
        }
        Some((
            Measured::new(base[0], sd[0]),
            Measured::new(base[1], sd[1]),
            Measured::new(base[2], sd[2]),
        ))
    }

    fn at(&self, lever: Lever) -> Option<[f64; 3]> {
        let (let_off, _) = anywhere(spread("let-off", applies(self.kind))?);
        let angle = |short| self.station.shank_angle_short_of_string(&self.head, short).ok();
        let (rest, off) = (angle(self.blow)?, angle(mm(let_off))?);
        let ratio = KeyRatio::new(rest - off, mm(lever.travel_mm)).ok()?;
        let centre = mm(to_mm(self.head.bore()) * lever.centre);
        let force = |shank: Angle| {
            let lean = match self.kind {
                Kind::Upright => lean_of_upright(shank, degrees(lever.lean_deg)),
                Kind::Grand => lean_of_grand(shank),
            };
            key_force_per_gram(&self.station, self.head.rake(), centre, lean, ratio).ok()
        };
        let travel = ratio.travel_ratio(self.station.hanging_distance());
        Some([force(rest)?, force(off)?, travel * travel])
    }
}
