//! Rest angle, swing, path of the crown, and what a loss of felt does to the blow, for `action`.
//!
//! Symbols as in [`geometry`](super::geometry). The tip (r = 0) turns about O on a
//! circle.
//!
//! 4. rest angle for a blow B0 (tip to string, square to the string): n(a) = h − B0 with z = b, so
//!    a0 = acos((h − B0)/√(A² + B²)) − atan2(B, A); swing = a0 − α, both with r = 0;
//!    the tip is at (s, h) at the string, so its path is √(s² + h²) · swing;
//!    it moves square to that radius: rubbing angle, path to the string's square, = atan(h/s)
//! 5. with the rail untouched the shank rests at a0 still; a tip lower by w along the head's axis
//!    is lower by w cos(a0 − ρ) square to the string: blow = B0 + w cos(a0 − ρ)
//!
//! Source: derived here, checked against a rotated outline. Exact for a rigid shank and a rail that
//! does not give; leaves out the hammer's rebound and checking.
//!
//! ```
//! use feltwire::measure::{degrees, inches, mm, to_degrees};
//! use feltwire::physics::hammer::geometry::{Head, Station};
//! // Heights of a 1919 technicians' conference with its blow of 1 7/8 in (2 in less 1/8 in for wear), as
//! // quoted on a technicians' list, May 2009. By hand: the tip rises from 6.35 mm to 53.975 mm at
//! // 152.730 mm from the centre: asin(.35340) − asin(.04158) = 20.695° − 2.383° = 18.312°.
//! let station = Station::new(inches(2.125), inches(5.625), mm(9.525)).unwrap();
//! let head = Head::new(inches(2.5), degrees(0.0), mm(9.0)).unwrap();
//! let swing = station.swing(&head, inches(1.875)).unwrap();
//! assert!((to_degrees(swing.swing) - 18.312).abs() < 1e-3);
//! ```

use super::fault::{HammerFault, positive};
use super::geometry::{Contact, Head, Station};
use crate::measure::{Angle, Length, metres, radians, to_metres, to_radians};

/// A blow, from rest to string; the crown taken as its tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// Shank to string at rest.
    pub rest: Angle,
    /// Shank to string when the tip touches.
    pub contact: Angle,
    /// Rest less contact.
    pub swing: Angle,
    /// Length of the arc on which the tip travels.
    pub path: Length,
    /// Between the tip's path at the string and the square to the string.
    pub rubbing: Angle,
}

/// What a head is after losing felt, the rail untouched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterLoss {
    /// How it meets the string now.
    pub contact: Contact,
    /// Obliquity now less obliquity before.
    pub obliquity_change: Angle,
    /// Strike point now less strike point before; negative towards the centre pin.
    pub strike_shift: Length,
    /// The blow now.
    pub blow: Length,
}

impl Station {
    /// Relation 4: rest angle, swing and path for a blow (tip to string, square to the string).
    pub fn swing(&self, head: &Head, blow: Length) -> Result<Swing, HammerFault> {
        let (contact, strike) = self.turn(head.bore, head.rake, self.h)?;
        let rest = self.rest(head, blow)?;
        Ok(Swing {
            rest: radians(rest),
            contact: radians(contact),
            swing: radians(rest - contact),
            path: metres(strike.hypot(self.h) * (rest - contact)),
            rubbing: radians(self.h.atan2(strike)),
        })
    }

    /// Relation 4: the shank angle at which the tip is `distance` short of the string: at rest with
    /// the blow, at let-off with the let-off distance.
    pub fn shank_angle_short_of_string(
        &self,
        head: &Head,
        distance: Length,
    ) -> Result<Angle, HammerFault> {
        self.rest(head, distance).map(radians)
    }

    /// Relation 5: the blow after losing `lost` of the bore with the rail untouched.
    pub fn blow_after_loss(
        &self,
        head: &Head,
        blow: Length,
        lost: Length,
    ) -> Result<Length, HammerFault> {
        head.less(lost)?;
        let rest = self.rest(head, blow)?;
        Ok(metres(to_metres(blow) + to_metres(lost) * (rest - head.rake).cos()))
    }

    /// What wear or filing by `lost` does to a head: obliquity, strike point and blow; the crown
    /// keeps its radius and the rail its place.
    pub fn after_loss(
        &self,
        head: &Head,
        blow: Length,
        lost: Length,
    ) -> Result<AfterLoss, HammerFault> {
        let before = self.contact(head)?;
        let contact = self.contact(&head.less(lost)?)?;
        let turned = to_radians(contact.obliquity) - to_radians(before.obliquity);
        Ok(AfterLoss {
            contact,
            obliquity_change: radians(turned),
            strike_shift: metres(to_metres(contact.strike) - to_metres(before.strike)),
            blow: self.blow_after_loss(head, blow, lost)?,
        })
    }

    fn rest(&self, head: &Head, blow: Length) -> Result<f64, HammerFault> {
        let blow = positive(to_metres(blow), "blow")?;
        self.turn(head.bore, head.rake, self.h)?;
        match self.turn(head.bore, head.rake, self.h - blow) {
            Err(HammerFault::OutOfReach) => Err(HammerFault::BlowTooLong),
            turned => turned.map(|(angle, _)| angle),
        }
    }
}
