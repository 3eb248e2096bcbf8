//! The questions turned round: which hanging distance for a wanted strike line, which offset for a
//! bore known to be square, which rakes for a bore that is already drilled, where on the string's
//! length a strike point lies. For `action`.
//!
//! Symbols as in [`geometry`](super::geometry).
//!
//! - strike line: s = R cos ρ − e sin ρ gives R = (s + e sin ρ)/cos ρ
//! - offset from a bore known to strike squarely: b = h + e cos ρ + R sin ρ gives
//!   e = (b − h − R sin ρ)/cos ρ
//! - bore fixed, obliquity ψ wanted: relation 2 with a = ρ + ψ reads
//!   R sin a + e cos a = (b − r) cos ψ − (h − r), and the left is √(R² + e²) sin(a + atan2(e, R)),
//!   so ρ = asin([(b − r) cos ψ − (h − r)]/√(R² + e²)) − atan2(e, R) − ψ
//! - distance from the speaking length's near end at t (same axis as s): t − s in an upright, where
//!   the top bearing lies beyond the head; s − t in a grand, where the agraffe lies on the centre
//!   pin's side
//!
//! Source: derived here from relations 1 and 2; checked by going there and back. Range as there.
//!
//! ```
//! use feltwire::measure::{degrees, inches, mm, to_degrees};
//! use feltwire::physics::hammer::geometry::Station;
//! // Bore 2 1/2 in over 2 1/8 in of height with the butt offset 3/8 in: square with no rake at all.
//! // Proceedings of a 1919 piano technicians' conference, quoted on a technicians' list, May 2009.
//! let station = Station::new(inches(2.125), inches(5.625), inches(0.375)).unwrap();
//! let rake = station.rake_for_obliquity(inches(2.5), mm(9.0), degrees(0.0)).unwrap();
//! assert!(to_degrees(rake).abs() < 1e-9);
//! ```

use super::fault::{HammerFault, finite, not_negative, positive, slant};
use super::geometry::{Head, Station};
use crate::measure::{Angle, Length, metres, radians, to_metres, to_radians};

/// Which kind of action: it decides on which side of the head the speaking length ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ActionKind {
    /// Top bearing beyond the head, away from the centre pin.
    Upright,
    /// Agraffe or capo on the centre pin's side of the head.
    Grand,
}

impl ActionKind {
    /// The strike distance: from the near end of the speaking length, at `termination` from the
    /// centre pin along the string, to the strike point. An error when the strike point is not on
    /// the string.
    ///
    /// ```
    /// use feltwire::measure::{mm, to_mm};
    /// use feltwire::physics::hammer::inverse::ActionKind;
    /// let distance = ActionKind::Upright.strike_distance(mm(150.0), mm(142.875)).unwrap();
    /// assert!((to_mm(distance) - 7.125).abs() < 1e-9);
    /// assert!(ActionKind::Grand.strike_distance(mm(150.0), mm(142.875)).is_err());
    /// ```
    pub fn strike_distance(
        self,
        termination: Length,
        strike: Length,
    ) -> Result<Length, HammerFault> {
        let beyond = to_metres(termination) - to_metres(strike);
        let distance = match self {
            Self::Upright => beyond,
            Self::Grand => -beyond,
        };
        positive(distance, "strike distance").map(metres)
    }
}

/// The rakes that keep a bored head within a stated obliquity either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RakeBand {
    /// Least rake; the obliquity there is the limit, positive.
    pub least: Angle,
    /// The rake of a square strike.
    pub square: Angle,
    /// Greatest rake; the obliquity there is the limit, negative.
    pub greatest: Angle,
}

/// The hanging distance that puts a square strike at `strike` from the centre pin along the string.
pub fn hanging_distance_for_strike(
    strike: Length,
    rake: Angle,
    shank_offset: Length,
) -> Result<Length, HammerFault> {
    let strike = positive(to_metres(strike), "strike point")?;
    let rake = slant(rake, "rake")?;
    let e = finite(to_metres(shank_offset), "shank offset")?;
    positive((strike + e * rake.sin()) / rake.cos(), "hanging distance").map(metres)
}

/// The shank offset that a bore implies which is known to strike squarely.
pub fn shank_offset_for_square_bore(
    bore: Length,
    string_height: Length,
    hanging_distance: Length,
    rake: Angle,
) -> Result<Length, HammerFault> {
    let bore = positive(to_metres(bore), "bore")?;
    let h = positive(to_metres(string_height), "string height")?;
    let hanging = positive(to_metres(hanging_distance), "hanging distance")?;
    let rake = slant(rake, "rake")?;
    finite((bore - h - hanging * rake.sin()) / rake.cos(), "shank offset").map(metres)
}

impl Station {
    /// The rake with which a head of this bore and crown radius meets the string at `obliquity`.
    pub fn rake_for_obliquity(
        &self,
        bore: Length,
        crown_radius: Length,
        obliquity: Angle,
    ) -> Result<Angle, HammerFault> {
        let bore = positive(to_metres(bore), "bore")?;
        let r = not_negative(to_metres(crown_radius), "crown radius")?;
        if r >= bore {
            return Err(HammerFault::CrownBeyondShank);
        }
        let psi = slant(obliquity, "obliquity")?;
        let sine = ((bore - r) * psi.cos() - (self.h - r)) / self.hanging.hypot(self.e);
        if sine.abs() > 1.0 {
            return Err(HammerFault::NoRake);
        }
        let rake = sine.asin() - self.e.atan2(self.hanging) - psi;
        slant(radians(rake), "rake").map(radians).map_err(|_| HammerFault::NoRake)
    }

    /// The rakes that keep a head of this bore within `limit` of a square strike, either way.
    pub fn rake_band(
        &self,
        bore: Length,
        crown_radius: Length,
        limit: Angle,
    ) -> Result<RakeBand, HammerFault> {
        let limit = not_negative(to_radians(limit), "limit of obliquity")?;
        let at = |psi| self.rake_for_obliquity(bore, crown_radius, radians(psi));
        Ok(RakeBand { least: at(limit)?, square: at(0.0)?, greatest: at(-limit)? })
    }

    /// The head that strikes squarely here with this rake and crown radius.
    pub fn square_head(&self, rake: Angle, crown_radius: Length) -> Result<Head, HammerFault> {
        Head::new(self.square_bore(rake)?, rake, crown_radius)
    }
}
