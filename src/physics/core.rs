//! The core wire, which alone carries tension and stiffness: round or hexagonal.
//!
//! Round, diameter d: A = (pi/4) d^2, I = (pi/64) d^4. Hexagonal, a across flats:
//! A = (sqrt(3)/2) a^2, I = (5 sqrt(3)/144) a^4, the same about every axis; across corners
//! 2 a/sqrt(3). Lengths in m, A in m^2, I in m^4. Strength is looked up at the round wire of equal
//! area, for a hexagon a sqrt(2 sqrt(3)/pi) = 1.050 a.
//! Source: Machinery's Handbook, "Moments of inertia, section moduli": hexagon A = 0.866 d^2,
//! I = 0.060 d^4 (from memory; exact by integration).
//! Holds for a sharp-cornered hexagon: drawn wire has rounded corners and is a little smaller.
//!
//! ```
//! use feltwire::measure::{mm, to_mm, to_square_mm};
//! use feltwire::physics::core::Core;
//! let hex = Core::Hex { across_flats: mm(1.0) };
//! assert!((to_square_mm(hex.area()) - 0.866).abs() < 5e-4);
//! assert!((hex.second_moment().value / 1e-12 - 0.060).abs() < 5e-4);
//! assert!((to_mm(hex.across_corners()) - 1.1547).abs() < 5e-5);
//! ```

use crate::measure::{Area, Length, SecondMoment};
use std::f64::consts::PI;

/// The core wire of a string; a plain string is all core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Core {
    /// Round wire.
    Round {
        /// Its diameter.
        diameter: Length,
    },
    /// Hexagonal wire.
    Hex {
        /// Across two opposite flats.
        across_flats: Length,
    },
}

impl Core {
    /// What a micrometer reads: the diameter, or across flats.
    pub fn size(self) -> Length {
        match self {
            Self::Round { diameter } => diameter,
            Self::Hex { across_flats } => across_flats,
        }
    }

    /// A core of the same shape and another size.
    #[must_use]
    pub fn with_size(self, size: Length) -> Self {
        match self {
            Self::Round { .. } => Self::Round { diameter: size },
            Self::Hex { .. } => Self::Hex { across_flats: size },
        }
    }

    /// Area of the section.
    pub fn area(self) -> Area {
        let size = self.size();
        size * size * self.area_factor()
    }

    /// Second moment of area, about any axis through the centre.
    pub fn second_moment(self) -> SecondMoment {
        let size = self.size();
        let factor = match self {
            Self::Round { .. } => PI / 64.0,
            Self::Hex { .. } => 5.0 * 3_f64.sqrt() / 144.0,
        };
        size * size * size * size * factor
    }

    /// Diameter of the round wire of equal area, at which the strength is looked up.
    pub fn equal_area_diameter(self) -> Length {
        self.size() * (self.area_factor() * 4.0 / PI).sqrt()
    }

    /// The widest reading across: what a winding rests on.
    pub fn across_corners(self) -> Length {
        self.size() * self.corner_factor()
    }

    /// Area over size squared.
    fn area_factor(self) -> f64 {
        match self {
            Self::Round { .. } => PI / 4.0,
            Self::Hex { .. } => 3_f64.sqrt() / 2.0,
        }
    }

    /// Across corners over size.
    pub(crate) fn corner_factor(self) -> f64 {
        match self {
            Self::Round { .. } => 1.0,
            Self::Hex { .. } => 2.0 / 3_f64.sqrt(),
        }
    }
}
