//! How much each reading moves the bore, the obliquity and the strike point, for doubts (`action`)
//! and for the advice which reading to take again.
//!
//! Symbols as in [`geometry`](super::geometry).
//!
//! Square strike, from b = h + e cos ρ + R sin ρ and s = R cos ρ − e sin ρ:
//! ∂b/∂h = 1, ∂b/∂e = cos ρ, ∂b/∂R = sin ρ, ∂b/∂ρ = R cos ρ − e sin ρ = s;
//! ∂s/∂e = −sin ρ, ∂s/∂R = cos ρ, ∂s/∂ρ = −R sin ρ − e cos ρ = h − b.
//!
//! A given head, from F = z cos(α − ρ) − R sin α − e cos α − (h − r) = 0, with ∂F/∂α = −s and
//! ∂s/∂α = h − r = H:
//! ∂α/∂b = cos ψ/s, ∂α/∂h = −1/s, ∂α/∂e = −cos α/s, ∂α/∂R = −sin α/s, ∂α/∂ρ = z sin ψ/s;
//! the strike point follows as its own slope plus H times that:
//! b: sin ψ, h: 0, e: −sin α, R: cos α, ρ: −z cos ψ.
//! The obliquity ψ = α − ρ has the slopes of α, and ∂ψ/∂ρ = ∂α/∂ρ − 1.
//!
//! Source: derived here; checked by finite differences of the relations themselves. Holds for
//! small changes (first order): over 3 mm of bore the obliquity bends away from its
//! tangent by about 0.005°.
//!
//! ```
//! use feltwire::measure::{degrees, inches, mm, to_degrees};
//! use feltwire::physics::hammer::geometry::{Head, Station};
//! // 5 5/8 in (1919 conference figures): one millimetre of bore is 1/142.875 rad = 0.40102°.
//! let station = Station::new(inches(2.125), inches(5.625), inches(0.375)).unwrap();
//! let head = Head::new(inches(2.5), degrees(0.0), mm(9.0)).unwrap();
//! let slopes = station.contact_slopes(&head).unwrap();
//! assert!((to_degrees(slopes.obliquity.per_mm_of_bore) - 0.40102).abs() < 5e-6);
//! ```

use super::fault::{HammerFault, slant};
use super::geometry::{Head, Station};
use crate::measure::{Angle, Length, metres, radians, to_radians};

/// Slopes of a length of the square strike: pure numbers per length, a length per radian.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SquareSlopes {
    /// Per string height.
    pub by_height: f64,
    /// Per shank offset.
    pub by_offset: f64,
    /// Per hanging distance.
    pub by_hanging: f64,
    /// Length per radian of rake.
    pub per_radian_of_rake: Length,
}

impl SquareSlopes {
    /// The change that one degree of rake makes.
    pub fn per_degree_of_rake(&self) -> Length {
        self.per_radian_of_rake * crate::measure::degrees(1.0).value
    }
}

/// Slopes of the obliquity of a given head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ObliquitySlopes {
    /// Angle per millimetre of bore.
    pub per_mm_of_bore: Angle,
    /// Angle per millimetre of string height.
    pub per_mm_of_height: Angle,
    /// Angle per millimetre of shank offset.
    pub per_mm_of_offset: Angle,
    /// Angle per millimetre of hanging distance.
    pub per_mm_of_hanging: Angle,
    /// Pure number, about −1.
    pub by_rake: f64,
}

/// Slopes of the strike point of a given head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeSlopes {
    /// Per bore.
    pub by_bore: f64,
    /// Per string height.
    pub by_height: f64,
    /// Per shank offset.
    pub by_offset: f64,
    /// Per hanging distance.
    pub by_hanging: f64,
    /// Length per radian of rake.
    pub per_radian_of_rake: Length,
}

/// Slopes of a given head's obliquity and strike point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactSlopes {
    /// Of the obliquity.
    pub obliquity: ObliquitySlopes,
    /// Of the strike point.
    pub strike: StrikeSlopes,
}

impl Station {
    /// Slopes of the square bore.
    pub fn square_bore_slopes(&self, rake: Angle) -> Result<SquareSlopes, HammerFault> {
        let rake = slant(rake, "rake")?;
        Ok(SquareSlopes {
            by_height: 1.0,
            by_offset: rake.cos(),
            by_hanging: rake.sin(),
            per_radian_of_rake: metres(self.hanging * rake.cos() - self.e * rake.sin()),
        })
    }

    /// Slopes of the square strike point.
    pub fn square_strike_slopes(&self, rake: Angle) -> Result<SquareSlopes, HammerFault> {
        let rake = slant(rake, "rake")?;
        Ok(SquareSlopes {
            by_height: 0.0,
            by_offset: -rake.sin(),
            by_hanging: rake.cos(),
            per_radian_of_rake: metres(-self.hanging * rake.sin() - self.e * rake.cos()),
        })
    }

    /// Slopes of obliquity and strike point of a given head.
    pub fn contact_slopes(&self, head: &Head) -> Result<ContactSlopes, HammerFault> {
        let contact = self.contact(head)?;
        let a = to_radians(contact.shank_angle);
        let psi = to_radians(contact.obliquity);
        let s = contact.strike.value;
        let z = head.bore - head.crown;
        let height = self.h - head.crown;
        let (by_bore, by_height) = (psi.cos() / s, -1.0 / s);
        let (by_offset, by_hanging) = (-a.cos() / s, -a.sin() / s);
        let by_rake = z * psi.sin() / s;
        let per_mm = |slope: f64| radians(slope * 1e-3);
        Ok(ContactSlopes {
            obliquity: ObliquitySlopes {
                per_mm_of_bore: per_mm(by_bore),
                per_mm_of_height: per_mm(by_height),
                per_mm_of_offset: per_mm(by_offset),
                per_mm_of_hanging: per_mm(by_hanging),
                by_rake: by_rake - 1.0,
            },
            strike: StrikeSlopes {
                by_bore: psi.sin() + height * by_bore,
                by_height: height * by_height,
                by_offset: -a.sin() + height * by_offset,
                by_hanging: a.cos() + height * by_hanging,
                per_radian_of_rake: metres(-z * psi.cos() + height * by_rake),
            },
        })
    }
}
