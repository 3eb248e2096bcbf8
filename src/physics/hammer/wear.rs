//! How much felt a worn head has lost, from the flat the strings have cut, for `action`.
//!
//! A crown is an arc of radius r; wear leaves a flat of length c. With k the distance of the flat
//! from the arc's centre:
//!
//! - k² + c²/4 = r², so lost = r − k = r − √(r² − c²/4), computed as (c²/4)/(r + k).
//!   Slopes: ∂lost/∂c = c/(4k), ∂lost/∂r = 1 − r/k.
//! - r not known: c0 the flat, c1 the outline's width at the depth d1 below it. Both lie on the
//!   arc: k² + c0²/4 = (k − d1)² + c1²/4, so k = (c1² − c0²)/(8 d1) + d1/2, r = √(k² + c0²/4),
//!   lost = r − k. With k' the slope of k (−c0/(4 d1), c1/(4 d1), 1/2 − (c1² − c0²)/(8 d1²)) the slopes
//!   of r are k k'/r, plus c0/(4r) for c0, and those of lost are the slopes of r less k'.
//!
//! Source: derived here (circle and chord), checked by cutting an arc. Holds to c ≈ 1.2 r, beyond
//! which the result says so, and only for heads never reshaped: a filed head has a false crown.
//! Doubts are first order and independent; the result's leave out how far the crown was an arc in
//! the first place.
//!
//! ```
//! use feltwire::measure::{Measured, mm, to_mm};
//! use feltwire::physics::hammer::wear::from_flat;
//! // The 3-4-5 triangle: r = 5, half flat 4, so k = 3 and 2 mm are lost (and a flat of 1.6 r is flagged).
//! let read = |value| Measured::new(mm(value), mm(0.0));
//! let wear = from_flat(read(8.0), read(5.0)).unwrap();
//! assert!((to_mm(wear.lost.value) - 2.0).abs() < 1e-12 && wear.beyond_range());
//! ```

use super::fault::{HammerFault, not_negative, positive};
use super::readings::{by_squares, read, result};
use crate::measure::{Length, Measured};

/// Longest flat, over the crown radius, for which an arc describes a crown.
const LONGEST_FLAT: f64 = 1.2;

/// Felt lost and the crown it was lost from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wear {
    /// Height lost at the crown.
    pub lost: Measured<Length>,
    /// Radius of the crown before wear.
    pub radius: Measured<Length>,
    /// Length of the flat over that radius.
    pub flat_over_radius: f64,
}

impl Wear {
    /// Whether the flat is longer than 1.2 times the crown radius: the head is no longer a crown
    /// with a flat on it, and the loss is a rough guess.
    pub fn beyond_range(&self) -> bool {
        self.flat_over_radius > LONGEST_FLAT
    }
}

/// The loss from the length of the flat (not negative, less than the crown's whole width) and the
/// radius of the crown.
pub fn from_flat(flat: Measured<Length>, radius: Measured<Length>) -> Result<Wear, HammerFault> {
    let (c, of_flat) = read(flat, "length of the flat")?;
    let (r, of_radius) = read(radius, "crown radius")?;
    not_negative(c, "length of the flat")?;
    positive(r, "crown radius")?;
    if c >= 2.0 * r {
        return Err(HammerFault::FlatBeyondCrown);
    }
    let k = ((r - c / 2.0) * (r + c / 2.0)).sqrt();
    let lost = c * c / 4.0 / (r + k);
    let sd = by_squares(&[c / (4.0 * k) * of_flat, (1.0 - r / k) * of_radius]);
    Ok(Wear { lost: result(lost, sd, "felt lost")?, radius, flat_over_radius: c / r })
}

/// The loss where the crown radius is not known: from the length of the flat and the outline's
/// width at a depth below it (the flat not below zero, the depth above zero, the outline wider than
/// the flat).
pub fn from_outline(
    flat: Measured<Length>,
    width: Measured<Length>,
    depth: Measured<Length>,
) -> Result<Wear, HammerFault> {
    let (c0, of_flat) = read(flat, "length of the flat")?;
    let (c1, of_width) = read(width, "width of the outline")?;
    let (d1, of_depth) = read(depth, "depth below the flat")?;
    not_negative(c0, "length of the flat")?;
    positive(d1, "depth below the flat")?;
    if c1 <= c0 {
        return Err(HammerFault::OutlineDoesNotWiden);
    }
    let wider = (c1 - c0) * (c1 + c0);
    let k = wider / (8.0 * d1) + d1 / 2.0;
    let r = k.hypot(c0 / 2.0);
    let lost = c0 * c0 / 4.0 / (r + k);
    let slopes = [
        (-c0 / (4.0 * d1), c0 / (4.0 * r), of_flat),
        (c1 / (4.0 * d1), 0.0, of_width),
        (0.5 - wider / (8.0 * d1 * d1), 0.0, of_depth),
    ];
    let radius_terms = slopes.map(|(of_k, own, sd)| (k * of_k / r + own) * sd);
    let lost_terms = slopes.map(|(of_k, own, sd)| (k * of_k / r + own - of_k) * sd);
    Ok(Wear {
        lost: result(lost, by_squares(&lost_terms), "felt lost")?,
        radius: result(r, by_squares(&radius_terms), "crown radius")?,
        flat_over_radius: c0 / r,
    })
}
