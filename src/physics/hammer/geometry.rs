//! Where a hammer head meets its string: bore, shank angle, obliquity and strike point, for the
//! room that bores heads (`action`).
//!
//! One figure serves uprights and grands. Look along the hammer rail; the origin O is the hammer
//! centre pin, the axis s runs parallel to the string from O towards the head, the axis n runs
//! square to the string and towards it. All lengths in one unit, angles in radians.
//!
//! - h: O to the string's *surface* (outside of a winding), square to the string
//! - R: hanging distance, O to the head's axis along the shank
//! - e: shank offset, the shank's axis from O, positive on the side away from the string
//! - b: bore, shank's axis to crown along the head's axis; r: crown radius; z = b − r
//! - ρ: rake, positive when the crown leans towards O
//! - a: shank to string, positive while the shank is not yet parallel; α: its value at contact
//! - ψ = α − ρ: obliquity, zero for a square strike
//!
//! With the shank at a, its direction is u = (cos a, −sin a) and the square to it, towards the
//! string, v = (sin a, cos a). The head's axis starts at R·u − e·v and points along
//! cos ρ·v − sin ρ·u = (sin(a − ρ), cos(a − ρ)). The centre of the crown's arc, z along it, lies at
//!
//! - s(a) = R cos a − e sin a + z sin(a − ρ)
//! - n(a) = z cos(a − ρ) − R sin a − e cos a = A cos a − B sin a, A = z cos ρ − e, B = R − z sin ρ
//!
//! and the arc touches the string, straight above its centre, when n(a) = h − r = H. Hence
//!
//! 1. square strike (a = ρ): b = h + e cos ρ + R sin ρ and s = R cos ρ − e sin ρ
//! 2. any shank angle: b = r + (H + R sin a + e cos a) / cos(a − ρ)
//! 3. a given head: n(a) = √(A² + B²) cos(a + atan2(B, A)), so
//!    α = acos(H/√(A² + B²)) − atan2(B, A);
//!    this branch is the first touch, for there s = √(A² + B²) sin(α + atan2(B, A)) > 0
//!
//! Source: derived here; checked against an independent derivation and a rotated outline, which
//! shares none of these formulas. Holds for a rigid shank and an arc that reaches to the place of
//! contact; it leaves out the bending of the shank, play of the centre and the string's give.
//!
//! ```
//! use feltwire::measure::{degrees, inches, mm, to_mm};
//! use feltwire::physics::hammer::geometry::Station;
//! // 2 1/8 in to the strings, 5 5/8 in to the head, bore 2 1/2 in, no rake: the butt is offset 3/8 in.
//! // Proceedings of a 1919 piano technicians' conference, quoted on a technicians' list, May 2009.
//! let station = Station::new(inches(2.125), inches(5.625), mm(9.525)).unwrap();
//! let bore = station.square_bore(degrees(0.0)).unwrap();
//! assert!((to_mm(bore) - 63.5).abs() < 1e-9);
//! ```

use super::fault::{HammerFault, finite, not_negative, positive, slant, within_reach};
use crate::measure::{Angle, Length, metres, radians, to_metres};

/// Where a head stands: what the instrument gives and the maker of heads cannot change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// h, m.
    pub(crate) h: f64,
    /// R, m.
    pub(crate) hanging: f64,
    /// e, m.
    pub(crate) e: f64,
}

impl Station {
    /// A station from string height h, hanging distance R (both above zero) and shank offset e
    /// (any finite length).
    pub fn new(
        string_height: Length,
        hanging_distance: Length,
        shank_offset: Length,
    ) -> Result<Self, HammerFault> {
        Ok(Self {
            h: positive(to_metres(string_height), "string height")?,
            hanging: positive(to_metres(hanging_distance), "hanging distance")?,
            e: finite(to_metres(shank_offset), "shank offset")?,
        })
    }

    /// h, centre pin to string surface, square to the string.
    pub fn string_height(&self) -> Length {
        metres(self.h)
    }

    /// R, centre pin to the head's axis along the shank.
    pub fn hanging_distance(&self) -> Length {
        metres(self.hanging)
    }

    /// e, the shank's axis from the centre pin, positive away from the string.
    pub fn shank_offset(&self) -> Length {
        metres(self.e)
    }

    /// Relation 1: the bore with which a head of this rake strikes squarely.
    pub fn square_bore(&self, rake: Angle) -> Result<Length, HammerFault> {
        let rake = slant(rake, "rake")?;
        let bore = self.h + self.e * rake.cos() + self.hanging * rake.sin();
        within_reach(bore)
    }

    /// Relation 1: the strike point of a square strike, from the centre pin along the string.
    pub fn square_strike(&self, rake: Angle) -> Result<Length, HammerFault> {
        let rake = slant(rake, "rake")?;
        let strike = self.hanging * rake.cos() - self.e * rake.sin();
        within_reach(strike)
    }

    /// Relation 2: the bore with which the crown touches just when the shank stands at
    /// `shank_angle`.
    pub fn bore_at(
        &self,
        shank_angle: Angle,
        rake: Angle,
        crown_radius: Length,
    ) -> Result<Length, HammerFault> {
        let a = slant(shank_angle, "shank angle")?;
        let obliquity = slant(radians(a - slant(rake, "rake")?), "obliquity")?;
        let r = not_negative(to_metres(crown_radius), "crown radius")?;
        let z = (self.h - r + self.hanging * a.sin() + self.e * a.cos()) / obliquity.cos();
        within_reach(z)?;
        within_reach(r + z)
    }

    /// Relation 3: how a given head meets the string.
    pub fn contact(&self, head: &Head) -> Result<Contact, HammerFault> {
        let (angle, strike) = self.turn(head.bore - head.crown, head.rake, self.h - head.crown)?;
        Ok(Contact {
            shank_angle: radians(angle),
            obliquity: radians(angle - head.rake),
            strike: metres(strike),
        })
    }

    /// The shank angle that brings a point `z` up the head's axis to height `height` above O, and
    /// the point's place along the string.
    pub(crate) fn turn(&self, z: f64, rake: f64, height: f64) -> Result<(f64, f64), HammerFault> {
        let a = z * rake.cos() - self.e;
        let b = self.hanging - z * rake.sin();
        let radius = a.hypot(b);
        if height.abs() >= radius || !radius.is_finite() {
            return Err(HammerFault::OutOfReach);
        }
        let raised = (height / radius).acos();
        Ok((raised - b.atan2(a), radius * raised.sin()))
    }
}

/// A head as bored: what the maker decides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// b, m.
    pub(crate) bore: f64,
    /// ρ, rad.
    pub(crate) rake: f64,
    /// r, m.
    pub(crate) crown: f64,
}

impl Head {
    /// A head from its bore b, rake ρ (less than 90° either way) and crown radius r (zero for a
    /// pointed crown, less than the bore).
    pub fn new(bore: Length, rake: Angle, crown_radius: Length) -> Result<Self, HammerFault> {
        let head = Self {
            bore: positive(to_metres(bore), "bore")?,
            rake: slant(rake, "rake")?,
            crown: not_negative(to_metres(crown_radius), "crown radius")?,
        };
        if head.crown < head.bore { Ok(head) } else { Err(HammerFault::CrownBeyondShank) }
    }

    /// b, shank's axis to crown along the head's axis.
    pub fn bore(&self) -> Length {
        metres(self.bore)
    }

    /// ρ, positive when the crown leans towards the centre pin.
    pub fn rake(&self) -> Angle {
        radians(self.rake)
    }

    /// r, radius of the crown's arc.
    pub fn crown_radius(&self) -> Length {
        metres(self.crown)
    }

    /// The same head with a pointed crown: what travels is then the tip itself.
    #[must_use]
    pub fn pointed(&self) -> Self {
        Self { crown: 0.0, ..*self }
    }

    /// The same head, of the same crown radius, with `lost` of its bore worn or filed away.
    pub fn less(&self, lost: Length) -> Result<Self, HammerFault> {
        let lost = not_negative(to_metres(lost), "felt lost")?;
        let bore = self.bore - lost;
        if bore > self.crown { Ok(Self { bore, ..*self }) } else { Err(HammerFault::NothingLeft) }
    }
}

/// How a head meets its string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// α, shank to string, positive while the shank is not yet parallel.
    pub shank_angle: Angle,
    /// ψ = α − ρ, zero for a square strike.
    pub obliquity: Angle,
    /// s, from the centre pin along the string.
    pub strike: Length,
}
