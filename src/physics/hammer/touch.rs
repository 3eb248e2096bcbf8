//! What the mass of a head does at the key: mean and friction, key force per gram, reflected mass
//! and the forecast for a new set, for `action`.
//!
//! - Mean of down and up (D + U)/2, friction (D − U)/2; all in grams on the key.
//! - Key force per gram of head k = x · dφ/dy: x the horizontal distance of the head's mass centre
//!   from the hammer's centre pin, dφ/dy the hammer's turn per key travel (gram force per gram: a
//!   pure number). With θ the shank's lean from the vertical away from the strings and g the mass
//!   centre above the shank's axis along the head's axis:
//!   x = R sin θ + e cos θ − g cos(θ − ρ).
//!   A grand's shank lies a below the level, θ = 90° + a, and the same x reads
//!   R cos a − e sin a + g sin(a − ρ): near R.
//! - Reflected mass m (R dφ/dy)²: what the finger must set in motion, the same in both kinds.
//!   Weighing an upright's keys hides a heavy head, so both are given.
//! - Forecast: mean of the new set = old mean + k (new head − old head as weighed). k measured by a
//!   clipped mass c on the head: k = (mean with it − mean without)/c.
//!
//! Source: statics of a lever, derived here; expected values of the checks by a separate
//! calculation. Holds for slow motion; leaves out the bending of key and shank, springs (they are
//! in the mean), and the shank's own mass, which does not change with the head.
//!
//! ```
//! use feltwire::measure::{Measured, grams, to_grams};
//! use feltwire::physics::hammer::touch::Touch;
//! // Common practice, no source: 52 g down and 30 g up make a mean of 41 g and a friction of 11 g.
//! let read = |value| Measured::new(grams(value), grams(0.5));
//! let touch = Touch::from_weights(read(52.0), read(30.0)).unwrap();
//! assert!((to_grams(touch.mean.value) - 41.0).abs() < 1e-12);
//! assert!((to_grams(touch.friction.value) - 11.0).abs() < 1e-12);
//! ```

use super::fault::{HammerFault, finite, not_negative, positive, slant};
use super::geometry::Station;
use super::readings::by_squares;
use crate::measure::{
    Angle, Length, Mass, Measured, degrees, grams, metres, radians, to_grams, to_metres, to_radians,
};

/// Mean of down and up, and friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// (D + U)/2.
    pub mean: Measured<Mass>,
    /// (D − U)/2.
    pub friction: Measured<Mass>,
}

impl Touch {
    /// From the mass that just takes the key down and the mass that it just lifts (neither below
    /// zero, the first not below the second).
    pub fn from_weights(down: Measured<Mass>, up: Measured<Mass>) -> Result<Self, HammerFault> {
        let (down, of_down) = weighed(down, "down weight")?;
        let (up, of_up) = weighed(up, "up weight")?;
        if up > down {
            return Err(HammerFault::UpAboveDown);
        }
        let sd = by_squares(&[of_down, of_up]) / 2.0;
        let half = |value: f64| Measured::new(grams(value / 2.0), grams(sd));
        Ok(Self { mean: half(down + up), friction: half(down - up) })
    }
}

/// How far the hammer turns for a travel of the key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeyRatio {
    /// rad/m.
    turn_per_travel: f64,
}

impl KeyRatio {
    /// The hammer's turn over the key's travel at its front, both above zero and of the same
    /// stretch of the stroke.
    pub fn new(turn: Angle, travel: Length) -> Result<Self, HammerFault> {
        let turn = positive(to_radians(turn), "turn of the hammer")?;
        let travel = positive(to_metres(travel), "travel of the key")?;
        Ok(Self { turn_per_travel: finite(turn / travel, "turn over travel")? })
    }

    /// The travel of a mass at `arm` from the hammer's centre over the travel of the key: a pure
    /// number.
    pub fn travel_ratio(&self, arm: Length) -> f64 {
        to_metres(arm) * self.turn_per_travel
    }

    /// m (R dφ/dy)²: the mass that the head adds to what the key must set in motion.
    pub fn reflected_mass(
        &self,
        head: Mass,
        hanging_distance: Length,
    ) -> Result<Mass, HammerFault> {
        not_negative(to_grams(head), "mass of the head")?;
        let ratio =
            self.travel_ratio(metres(positive(to_metres(hanging_distance), "hanging distance")?));
        Ok(head * ratio * ratio)
    }
}

/// A grand's shank as a lean from the vertical: 90° and what it lies below the level (negative
/// above).
pub fn lean_of_grand(below_level: Angle) -> Angle {
    degrees(90.0) + below_level
}

/// x: horizontal distance of the head's mass centre from the centre pin, positive on the side where
/// its weight takes the hammer back to rest. `lean` is the shank's from the vertical, away from the
/// strings; `mass_centre` lies above the shank's axis along the head's axis.
pub fn horizontal_distance(
    station: &Station,
    rake: Angle,
    mass_centre: Length,
    lean: Angle,
) -> Result<Length, HammerFault> {
    let rake = slant(rake, "rake")?;
    let g = finite(to_metres(mass_centre), "place of the mass centre")?;
    let lean = finite(to_radians(lean), "lean of the shank")?;
    let x = station.hanging * lean.sin() + station.e * lean.cos() - g * (lean - rake).cos();
    Ok(metres(x))
}

/// k: key force per gram of head (gram force per gram), below zero where the head's weight helps
/// the key.
pub fn key_force_per_gram(
    station: &Station,
    rake: Angle,
    mass_centre: Length,
    lean: Angle,
    ratio: KeyRatio,
) -> Result<f64, HammerFault> {
    Ok(ratio.travel_ratio(horizontal_distance(station, rake, mass_centre, lean)?))
}

/// k measured: the mean before and with a known mass clipped on the head.
pub fn measured_key_force_per_gram(
    mean_without: Measured<Mass>,
    mean_with: Measured<Mass>,
    clipped: Measured<Mass>,
) -> Result<Measured<f64>, HammerFault> {
    let (without, of_without) = signed(mean_without, "mean without the clip")?;
    let (with, of_with) = signed(mean_with, "mean with the clip")?;
    let (clip, of_clip) = weighed(clipped, "clipped mass")?;
    positive(clip, "clipped mass")?;
    let k = finite((with - without) / clip, "key force per gram")?;
    Ok(Measured::new(k, by_squares(&[of_without, of_with, k * of_clip]) / clip))
}

/// The mean to expect from a new head: old mean + k (new − old), with the doubts of all four.
pub fn predicted_mean(
    old_mean: Measured<Mass>,
    key_force_per_gram: Measured<f64>,
    old_head: Measured<Mass>,
    new_head: Measured<Mass>,
) -> Result<Measured<Mass>, HammerFault> {
    let (mean, of_mean) = signed(old_mean, "old mean")?;
    let (old, of_old) = weighed(old_head, "mass of the old head")?;
    let (new, of_new) = weighed(new_head, "mass of the new head")?;
    let k = finite(key_force_per_gram.value, "key force per gram")?;
    let of_k = not_negative(key_force_per_gram.sd, "key force per gram")?;
    let sd = by_squares(&[of_mean, k * of_old, k * of_new, (new - old) * of_k]);
    Ok(Measured::new(grams(mean + k * (new - old)), grams(sd)))
}

/// The shank's lean in an upright: its angle to the strings and the strings' own lean from the
/// vertical, positive when they lean the same way as a shank at rest.
pub fn lean_of_upright(shank_to_string: Angle, string_lean: Angle) -> Angle {
    radians(to_radians(shank_to_string) + to_radians(string_lean))
}

/// Value and doubt in grams, both finite, the doubt not negative.
fn signed(mass: Measured<Mass>, what: &'static str) -> Result<(f64, f64), HammerFault> {
    Ok((finite(to_grams(mass.value), what)?, not_negative(to_grams(mass.sd), what)?))
}

/// The same, the value not negative either.
fn weighed(mass: Measured<Mass>, what: &'static str) -> Result<(f64, f64), HammerFault> {
    not_negative(to_grams(mass.value), what)?;
    signed(mass, what)
}
