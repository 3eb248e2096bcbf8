//! The mass of a winding, and the size of its wire from readings over it; for every wound string.
//!
//! A layer of touching round wire weighs rho (pi/4) t p per length of string: rho density (kg/m^3), t
//! wire diameter (m), p the perimeter along which the wire's centre lies (m). On a round core
//! p = pi (d + 2 u + t), with d the core's diameter and u the sum of the wires below, each layer riding
//! on the crests of the last: for one layer rho (pi^2/4) t (d + t). No correction for the helix: a
//! steeper turn is longer by as much as the pitch is. On a hexagonal core, a across flats, p lies
//! between 2 sqrt(3) a + pi (2 u + t) (the wire drawn taut over the flats) and
//! pi (2 a/sqrt(3) + 2 u + t) (round): the mean is taken, half the difference is carried as a bound.
//! A micrometer rests on the crests over the corners: over = across corners + 2 (sum of wires).
//! Source: geometry; the worked number is C1 of J. Woodhouse, Euphonics, section 12.2.1, table 1.
//! Holds for round wire wound touching. Leaves out wire flattened at a hexagon's corners, stretch in
//! winding (the drawn wire is a little thinner), swaged ends and silk.
//!
//! ```
//! use feltwire::measure::{kg_per_m3, mm, to_g_per_m};
//! use feltwire::physics::{core::Core, winding};
//! // C1: core 1.21 mm, 5.8 mm over the winding, 1013 mm, 189 g; steel 7800, copper 8960 kg/m³.
//! let core = Core::Round { diameter: mm(1.21) };
//! let wire = winding::wire_from_over(core, mm(5.8)).unwrap();
//! let winding = winding::layer_mass(core, mm(0.0), wire, kg_per_m3(8960.0));
//! let mass = to_g_per_m(winding.value + core.area() * kg_per_m3(7800.0)) * 1.013;
//! assert!((mass / 189.0 - 1.0).abs() < 0.008);
//! ```

use super::{Impossible, core::Core, impossible::positive};
use crate::measure::{Length, LinearMassDensity, MassDensity, g_per_m, mm};
use std::f64::consts::PI;

/// One layer of touching round wire on a core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Diameter of the wire.
    pub wire: Length,
    /// Density of its metal.
    pub density: MassDensity,
    /// From the front end of the speaking length (the tuning pin's side) to the first turn.
    pub bare_front: Length,
    /// From the last turn to the back end (the bridge).
    pub bare_back: Length,
}

/// A mass per length between two bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundedMass {
    /// The middle.
    pub value: LinearMassDensity,
    /// Half the distance of the bounds: zero on a round core.
    pub half_spread: LinearMassDensity,
}

/// How an outer layer sits on the inner one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seat {
    /// On its crests, within the error of the readings.
    Crests,
    /// Sunk between its turns: the reading over both is smaller than the wires' sum by `by`.
    Nested {
        /// How far, on the diameter.
        by: Length,
    },
    /// The reading over both is larger than core and wires can make: one of them is wrong.
    Loose {
        /// How far, on the diameter.
        by: Length,
    },
}

/// Mass per length of one layer; `below` is the sum of the wire diameters under it, zero for the
/// inner layer.
pub fn layer_mass(core: Core, below: Length, wire: Length, density: MassDensity) -> BoundedMass {
    let perimeter = Perimeter::over(core, below.value, wire.value);
    let per_perimeter = density.value * PI / 4.0 * wire.value;
    BoundedMass {
        value: g_per_m(1e3 * per_perimeter * perimeter.mean),
        half_spread: g_per_m(1e3 * per_perimeter * perimeter.half_spread),
    }
}

/// Length of one turn without its pitch, along the centre of the wire.
struct Perimeter {
    mean: f64,
    half_spread: f64,
}

impl Perimeter {
    fn over(core: Core, below: f64, wire: f64) -> Self {
        let size = core.size().value;
        let (taut, round) = match core {
            Core::Round { .. } => (PI * size, PI * size),
            Core::Hex { .. } => (2.0 * 3_f64.sqrt() * size, PI * core.corner_factor() * size),
        };
        Self {
            mean: f64::midpoint(taut, round) + PI * (2.0 * below + wire),
            half_spread: (round - taut) / 2.0,
        }
    }
}

/// Derivative of a layer's mass per length by the core's size, by what lies below, and by the wire:
/// kg/m per m.
pub(crate) fn layer_mass_slopes(core: Core, below: f64, wire: f64, density: f64) -> [f64; 3] {
    let perimeter = Perimeter::over(core, below, wire).mean;
    let by_core = Perimeter::over(core, 0.0, 0.0).mean / core.size().value;
    let area = density * PI / 4.0;
    [area * wire * by_core, area * wire * 2.0 * PI, area * (perimeter + PI * wire)]
}

/// Size of the winding wire from the reading over one layer.
///
/// ```
/// use feltwire::measure::{mm, to_mm};
/// use feltwire::physics::{core::Core, winding::wire_from_over};
/// let hex = Core::Hex { across_flats: mm(1.2) };
/// let wire = wire_from_over(hex, mm(3.0)).unwrap();
/// // (3.0 − 2 · 1.2/√3)/2, not (3.0 − 1.2)/2.
/// assert!((to_mm(wire) - 0.8072).abs() < 5e-5);
/// ```
pub fn wire_from_over(core: Core, over: Length) -> Result<Length, Impossible> {
    wire_between(core.across_corners(), over)
}

/// Size of a layer's wire from the readings over what is under it and over itself.
pub fn wire_between(under: Length, over: Length) -> Result<Length, Impossible> {
    positive(under.value, "the diameter under the winding")?;
    positive(over.value, "the diameter over the winding")?;
    if over <= under {
        return Err(Impossible::NoRoomForWire { over, under });
    }
    Ok((over - under) / 2.0)
}

/// The diameter over layers that ride on each other's crests.
pub fn over_crests(core: Core, wires: &[Length]) -> Length {
    wires.iter().fold(core.across_corners(), |over, wire| over + 2.0 * *wire)
}

/// Whether the outer of two layers rides on the inner one's crests, given the reading over both.
/// `reading_error` is how far the readings together may be off.
///
/// A nested outer layer is wound on a smaller circle than the wires say and weighs a little less
/// than [`layer_mass`] gives: use the wire sizes, and say so.
pub fn seat(core: Core, inner: Length, outer: Length, over: Length, reading_error: Length) -> Seat {
    let by = over_crests(core, &[inner, outer]) - over;
    if by > reading_error {
        Seat::Nested { by }
    } else if -by > reading_error {
        Seat::Loose { by: -by }
    } else {
        Seat::Crests
    }
}

impl Default for BoundedMass {
    fn default() -> Self {
        Self { value: g_per_m(0.0), half_spread: g_per_m(0.0) }
    }
}

impl Layer {
    /// A layer wound from end to end.
    pub fn full(wire: Length, density: MassDensity) -> Self {
        Self { wire, density, bare_front: mm(0.0), bare_back: mm(0.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{kg_per_m3, to_g_per_m};
    use approx::assert_relative_eq;

    #[test]
    fn two_layers_of_one_metal_weigh_what_core_and_over_say() {
        let core = Core::Round { diameter: mm(1.4) };
        let copper = kg_per_m3(8900.0);
        let total = |inner: f64, outer: f64| {
            let first = layer_mass(core, mm(0.0), mm(inner), copper).value;
            to_g_per_m(first + layer_mass(core, mm(inner), mm(outer), copper).value)
        };
        // (π²/4) ρ [t₁(d + t₁) + t₂(d + 2t₁ + t₂)] with t₁ + t₂ = t is (π²/4) ρ t (d + t).
        let closed = 8900.0 * PI * PI / 4.0 * 1.8e-3 * (1.4e-3 + 1.8e-3) * 1e3;
        for inner in [0.3, 0.9, 1.2] {
            assert_relative_eq!(total(inner, 1.8 - inner), closed, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_hexagon_leaves_one_to_two_percent_of_the_winding_open() {
        let core = Core::Hex { across_flats: mm(1.0) };
        let share = |wire: f64| {
            let mass = layer_mass(core, mm(0.0), mm(wire), kg_per_m3(8900.0));
            (mass.half_spread / mass.value).value
        };
        // Half of π·2/√3 − 2√3 over their mean and π t, for thin and thick wire.
        assert_relative_eq!(share(0.1), 0.081_748 / (3.545_850 + PI * 0.1), max_relative = 1e-4);
        assert_relative_eq!(share(2.0), 0.081_748 / (3.545_850 + PI * 2.0), max_relative = 1e-4);
    }

    #[test]
    fn a_nested_layer_is_seen_and_a_loose_one_too() {
        let core = Core::Round { diameter: mm(1.4) };
        let judge = |over: f64| seat(core, mm(0.5), mm(1.0), mm(over), mm(0.05));
        assert_eq!(judge(4.42), Seat::Crests);
        assert!(matches!(judge(4.2), Seat::Nested { by } if (by.value - 0.2e-3).abs() < 1e-9));
        assert!(matches!(judge(4.6), Seat::Loose { by } if (by.value - 0.2e-3).abs() < 1e-9));
    }

    #[test]
    fn slopes_are_those_of_the_mass() {
        for core in [Core::Round { diameter: mm(1.2) }, Core::Hex { across_flats: mm(1.2) }] {
            let mass = |d: f64, below: f64, wire: f64| {
                let core = core.with_size(mm(d));
                layer_mass(core, mm(below), mm(wire), kg_per_m3(8900.0)).value.value
            };
            let slopes = layer_mass_slopes(core, 0.5e-3, 0.8e-3, 8900.0);
            let h = 1e-4;
            let steps = [
                mass(1.2 + h, 0.5, 0.8) - mass(1.2 - h, 0.5, 0.8),
                mass(1.2, 0.5 + h, 0.8) - mass(1.2, 0.5 - h, 0.8),
                mass(1.2, 0.5, 0.8 + h) - mass(1.2, 0.5, 0.8 - h),
            ];
            for (slope, step) in slopes.into_iter().zip(steps) {
                assert_relative_eq!(slope, step / (2.0 * h * 1e-3), max_relative = 1e-8);
            }
        }
    }
}
