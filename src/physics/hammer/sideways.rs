//! Heads seen along the shank's own plane: side angle, rake on the face, and the gaps to the
//! neighbours at rest and while one head passes another, for `action` and the order.
//!
//! Frame of a shank: s along it away from the centre pin O, y along the rail, n square to both,
//! towards the strings. β is the splay of the string against the shank, seen square to the strings;
//! ρ the rake.
//!
//! - At a square strike the shank is u = (cos ρ, 0, −sin ρ) over the string plane and the face,
//!   which holds the string and the square to it, has the normal f = (−sin β, cos β, 0). Side angle
//!   γ, hole to face: sin γ = |u·f| = cos ρ sin β. Within the face u shows as
//!   (cos ρ cos β, −sin ρ), so the rake as read on the face is tan ρ' = tan ρ/cos β.
//! - A face turned by γ and tilted by κ is the plane y = y0 + s tan γ + n tan κ. Two heads of width
//!   w at a pitch p along the rail, both at rest: gap square to the faces = p/√(1 + tan²γ + tan²κ)
//!   − w (without tilt p cos γ − w).
//! - One of them lifted by θ about the rail's direction: what is now at (s', n'), in the axes of
//!   the resting neighbour, was at (s' cos θ + n' sin θ, n' cos θ − s' sin θ). The distance along
//!   the rail to the neighbour on the side to which the far end is turned is p − w√(1 + tan²γ +
//!   tan²κ) + dg, on the other side − dg:
//!   dg = tan γ [s'(1 − cos θ) − n' sin θ] + tan κ [n'(1 − cos θ) + s' sin θ].
//! - The tilt that evens both sides makes dg zero:
//!   tan κ = tan γ [n' sin θ − s'(1 − cos θ)]/[n'(1 − cos θ) + s' sin θ].
//!
//! Source: derived here, checked against rigid rotation in three dimensions. Holds for straight
//! faces and equal heads side by side; leaves out taper, cut-aways and play. A gap below zero means
//! that the heads collide.
//!
//! ```
//! use feltwire::measure::{degrees, to_degrees};
//! use feltwire::physics::hammer::sideways::face_angles;
//! // By hand: cos 5° · sin 15° = 0.996195 · 0.258819 = 0.257834, whose arc sine is 14.9416°.
//! let face = face_angles(degrees(15.0), degrees(5.0)).unwrap();
//! assert!((to_degrees(face.side) - 14.9416).abs() < 5e-5);
//! ```

use super::fault::{HammerFault, finite, positive, slant};
use crate::measure::{Angle, Length, metres, radians, to_metres};

/// How the hole stands to the face of a head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceAngles {
    /// γ, hole to face; of the splay's sign.
    pub side: Angle,
    /// Rake as read on the face; of the rake's sign.
    pub rake_on_face: Angle,
}

/// Hole to face and rake on the face from the string's splay against the shank and the rake (both
/// less than 90° either way).
pub fn face_angles(splay: Angle, rake: Angle) -> Result<FaceAngles, HammerFault> {
    let splay = slant(splay, "splay")?;
    let rake = slant(rake, "rake")?;
    Ok(FaceAngles {
        side: radians((rake.cos() * splay.sin()).asin()),
        rake_on_face: radians((rake.tan() / splay.cos()).atan()),
    })
}

/// Equal heads side by side on a rail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbours {
    pitch: f64,
    width: f64,
    /// tan γ and tan κ.
    slope: (f64, f64),
}

/// Gaps along the rail between a lifted head and its resting neighbours; below zero they collide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PassingGaps {
    /// To the neighbour on the side to which the faces' far end (away from the centre pin) is
    /// turned.
    pub turned_side: Length,
    /// To the neighbour on the other side.
    pub other_side: Length,
}

impl PassingGaps {
    /// The smaller of the two.
    pub fn narrower(&self) -> Length {
        if self.turned_side < self.other_side { self.turned_side } else { self.other_side }
    }
}

/// Where one head passes another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pass {
    lift: f64,
    along: f64,
    square: f64,
}

impl Pass {
    /// One head lifted by `lift` (above zero, less than 90°) passes its neighbour at the place
    /// `along` the resting shank (above zero) and `square` to it towards the strings, both from the
    /// centre pin.
    pub fn new(lift: Angle, along: Length, square: Length) -> Result<Self, HammerFault> {
        Ok(Self {
            lift: positive(slant(lift, "lift")?, "lift")?,
            along: positive(to_metres(along), "place along the shank")?,
            square: finite(to_metres(square), "place square to the shank")?,
        })
    }

    /// Shift along the rail per unit of tan γ and of tan κ.
    fn shifts(&self) -> (f64, f64) {
        let (sin, cos) = self.lift.sin_cos();
        // 1 − cos θ without loss of figures at small lifts.
        let short = sin * sin / (1.0 + cos);
        (self.along * short - self.square * sin, self.square * short + self.along * sin)
    }

    /// The tilt that makes the gaps on both sides equal for heads of this side angle; positive
    /// tilts the crown to the side to which the far end is turned by a positive side angle.
    pub fn evening_tilt(&self, side: Angle) -> Result<Angle, HammerFault> {
        let turn = slant(side, "side angle")?.tan();
        let (by_turn, by_tilt) = self.shifts();
        let slope = -turn * by_turn / positive(by_tilt, "sideways reach of the tilt")?;
        Ok(radians(slope.atan()))
    }
}

impl Neighbours {
    /// Heads of `width` at `pitch` along the rail, their faces turned by the side angle and tilted
    /// (both less than 90° either way, of like sign when far end and crown lean to the same side).
    pub fn new(
        pitch: Length,
        width: Length,
        side: Angle,
        tilt: Angle,
    ) -> Result<Self, HammerFault> {
        Ok(Self {
            pitch: positive(to_metres(pitch), "pitch of the heads")?,
            width: positive(to_metres(width), "width of the heads")?,
            slope: (slant(side, "side angle")?.tan(), slant(tilt, "tilt")?.tan()),
        })
    }

    /// Width along the rail per width square to the face.
    fn stretch(&self) -> f64 {
        1f64.hypot(self.slope.0).hypot(self.slope.1)
    }

    /// Gap square to the faces with all heads at rest.
    pub fn rest_gap(&self) -> Length {
        metres(self.pitch / self.stretch() - self.width)
    }

    /// Gaps along the rail while one head passes.
    pub fn passing_gaps(&self, pass: &Pass) -> PassingGaps {
        let free = self.pitch - self.width * self.stretch();
        let (by_turn, by_tilt) = pass.shifts();
        let shift = self.slope.0 * by_turn + self.slope.1 * by_tilt;
        // Positive angles turn the far end to +y, negative ones to −y.
        let shift = if self.slope.0 < 0.0 { -shift } else { shift };
        PassingGaps { turned_side: metres(free + shift), other_side: metres(free - shift) }
    }
}
