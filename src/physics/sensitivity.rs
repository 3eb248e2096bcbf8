//! How tension and inharmonicity answer to each input; for uncertainties and for "measure this next".
//!
//! At a mode, `d ln w^2` is, for a relative change of T, `T int y'^2/(w^2 N)`; of E I,
//! `E I int y''^2/(w^2 N)`; for a change dm of a piece's mass per length, `-dm int y^2/N` over that
//! piece; for a step in mass that moves so that a length dx loses dm, `+dm y^2 dx/N` at the step;
//! `N = int mu y^2`. All lengths scaled together go as T/L^2 and E I/L^4. With f1 held, T follows from
//! the first mode, then B from the eight that it is fitted to. T (N), E I (N m^2), mu (kg/m), w (1/s).
//! Source: Rayleigh, The Theory of Sound, vol. I, art. 88-90 (exact to first order); the worked number
//! is algebra: a plain string without stiffness has `T = 4 L^2 f^2 rho A` and `B ~ d^2/(L^4 f^2 rho)`.
//! Holds for small changes. Where both layers end at one place, the inner one's slope is towards its
//! longer winding and the outer one's towards its shorter one, so that both together move as the place.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm};
//! use feltwire::physics::{StringSpec, core::Core, sensitivities, string::Elastic};
//! let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
//! let c4 = StringSpec::plain(mm(620.0), Core::Round { diameter: mm(1.0) }, steel);
//! let slopes = sensitivities(&c4, hertz(261.63)).unwrap();
//! for (slope, tension, b) in [
//!     (slopes.length, 2.0, -4.0),
//!     (slopes.core, 2.0, 2.0),
//!     (slopes.steel_density, 1.0, -1.0),
//!     (slopes.youngs_modulus, 0.0, 1.0),
//!     (slopes.pitch, 2.0, -2.0),
//! ] {
//!     // Off by a few times B, which is 4e-4.
//!     assert!((slope.ln_tension - tension).abs() < 2e-3);
//!     assert!((slope.ln_inharmonicity - b).abs() < 2e-3);
//! }
//! ```

use super::impossible::positive;
use super::stepped::{Mode, Stepped};
use super::string::{FIT_RANGE, Masses, StringSpec, fit_line, next_guess};
use super::winding::{Layer, layer_mass_slopes};
use super::{Impossible, plain};
use crate::measure::{Frequency, Length, LinearMassDensity};
use std::array;
use std::f64::consts::TAU;

/// Change of ln T and of ln B for a *relative* change of one input, the pitch and all others held.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Slope {
    /// Of the tension.
    pub ln_tension: f64,
    /// Of B.
    pub ln_inharmonicity: f64,
}

/// Slopes by what belongs to one layer.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LayerSlopes {
    /// By the wire's diameter; the layer above is lifted with it.
    pub wire: Slope,
    /// By the metal's density.
    pub density: Slope,
    /// By the bare front end *as a share of the speaking length*: for 5 mm of 1 m, times 0.005.
    pub bare_front: Slope,
    /// By the bare back end as a share of the speaking length.
    pub bare_back: Slope,
}

/// Slopes by every input of a string.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sensitivities {
    /// By the speaking length; the bare ends keep theirs.
    pub length: Slope,
    /// By the size of the core; the winding wires keep theirs.
    pub core: Slope,
    /// By the density of the steel.
    pub steel_density: Slope,
    /// By Young's modulus.
    pub youngs_modulus: Slope,
    /// By the pitch.
    pub pitch: Slope,
    /// By the weighed mass per length; zero when it was not weighed.
    pub weighed: Slope,
    /// By what belongs to each layer, from the core outwards.
    pub layers: Vec<LayerSlopes>,
    /// By the bare front ends of all layers moved together, as a share of the speaking length.
    pub bare_front: Slope,
    /// By the bare back ends of all layers moved together, as a share of the speaking length.
    pub bare_back: Slope,
}

/// Slopes by readings over core and layers, from which the wire sizes were worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct CaliperSlopes {
    /// By the core's size, the readings over the layers held.
    pub core: Slope,
    /// By the reading over each layer, from the core outwards, the other readings held.
    pub over: Vec<Slope>,
}

const LENGTH: usize = 0;
const CORE: usize = 1;
const STEEL: usize = 2;
const MODULUS: usize = 3;
const PITCH: usize = 4;
const WEIGHED: usize = 5;
const WIRE: usize = 6;
const METAL: usize = 8;
const FRONT: usize = 10;
const BACK: usize = 12;
const FRONTS: usize = 14;
const BACKS: usize = 15;
const INPUTS: usize = 16;
const FITTED: usize = FIT_RANGE.1 as usize;

/// A quantity's slopes by the relative change of each input.
type Gradient = [f64; INPUTS];

/// Slopes of tension and B by every input, at the tension that sounds `f1`.
///
/// `Err` as [`sound`](super::sound()), and where B is not above zero (bare ends so long that the fit bends down).
pub fn sensitivities(spec: &StringSpec, f1: Frequency) -> Result<Sensitivities, Impossible> {
    let f1 = positive(f1.value, "the pitch")?;
    let slopes = if spec.is_closed() { closed(spec, f1)? } else { stepped(spec, f1)? };
    let finite = slopes
        .iter()
        .all(|slope| slope.ln_tension.is_finite() && slope.ln_inharmonicity.is_finite());
    if !finite {
        return Err(Impossible::OutOfReach);
    }
    let layer = |i: usize| LayerSlopes {
        wire: slopes[WIRE + i],
        density: slopes[METAL + i],
        bare_front: slopes[FRONT + i],
        bare_back: slopes[BACK + i],
    };
    Ok(Sensitivities {
        length: slopes[LENGTH],
        core: slopes[CORE],
        steel_density: slopes[STEEL],
        youngs_modulus: slopes[MODULUS],
        pitch: slopes[PITCH],
        weighed: slopes[WEIGHED],
        layers: (0..spec.layers.len()).map(layer).collect(),
        bare_front: slopes[FRONTS],
        bare_back: slopes[BACKS],
    })
}

impl Sensitivities {
    /// The slopes by caliper readings over core and layers, for wires that were worked out from them
    /// ([`wire_from_over`](super::winding::wire_from_over), [`wire_between`](super::winding::wire_between)).
    pub fn by_caliper(&self, spec: &StringSpec) -> CaliperSlopes {
        let mut core = self.core;
        let mut over = vec![Slope::default(); self.layers.len()];
        let mut under = spec.core.across_corners();
        for (i, (slopes, layer)) in self.layers.iter().zip(&spec.layers).enumerate() {
            let half = |reading: Length| (reading / layer.wire).value / 2.0;
            let by_under = slopes.wire * -half(under);
            if i == 0 {
                core = core + by_under;
            } else {
                over[i - 1] = over[i - 1] + by_under;
            }
            under += 2.0 * layer.wire;
            over[i] = slopes.wire * half(under);
        }
        CaliperSlopes { core, over }
    }
}

impl std::ops::Add for Slope {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            ln_tension: self.ln_tension + other.ln_tension,
            ln_inharmonicity: self.ln_inharmonicity + other.ln_inharmonicity,
        }
    }
}

impl std::ops::Mul<f64> for Slope {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            ln_tension: self.ln_tension * factor,
            ln_inharmonicity: self.ln_inharmonicity * factor,
        }
    }
}

/// `T = 4 L^2 f^2 mu - pi^2 E I/L^2`, `B = pi^2 E I/(T L^2)`.
fn closed(spec: &StringSpec, f1: f64) -> Result<[Slope; INPUTS], Impossible> {
    let masses = Masses::of(spec)?;
    let f1 = Frequency { value: f1, ..Frequency::default() };
    let mass = LinearMassDensity { value: masses.core, ..LinearMassDensity::default() };
    let tension = plain::tension(spec.length, mass, spec.stiffness(), f1)?;
    let b = plain::inharmonicity(spec.length, spec.stiffness(), tension).0;
    let mass = mass_gradient(spec, &masses, [false, false]);
    let stiffness = stiffness_gradient();
    Ok(array::from_fn(|i| {
        let [length, pitch] = [LENGTH, PITCH].map(|input| f64::from(u8::from(input == i)));
        let ideal = 2.0 * length + 2.0 * pitch + mass[i] / masses.core;
        let ln_tension = (1.0 + b) * ideal - b * (stiffness[i] - 2.0 * length);
        Slope { ln_tension, ln_inharmonicity: stiffness[i] - 2.0 * length - ln_tension }
    }))
}

/// By the motion of the modes that B is fitted to.
fn stepped(spec: &StringSpec, f1: f64) -> Result<[Slope; INPUTS], Impossible> {
    let string = spec.stepped()?;
    let masses = Masses::of(spec)?;
    let (tension, mut mode) = string.tension((TAU * f1).powi(2))?;
    let mut squared = [0.0; FITTED];
    let mut by_tension = [0.0; FITTED];
    let mut gradients = [[0.0; INPUTS]; FITTED];
    for i in 0..FITTED {
        if i > 0 {
            let guess = next_guess(&string, tension, &squared[..i]);
            mode = string.mode(tension, i + 1, guess, squared[i - 1])?;
        }
        squared[i] = mode.squared;
        mode = string.polished(tension, &mode)?;
        (by_tension[i], gradients[i]) = gradient(spec, &masses, &string, tension, &mode);
    }
    let line = fit_line(&squared)?;
    if line.b() <= 0.0 {
        return Err(Impossible::OutOfReach);
    }
    let weights: [f64; FITTED] = array::from_fn(|i| {
        let n2 = ((i + 1) * (i + 1)) as f64;
        line.b_by_y(n2) * squared[i] / n2 / line.b()
    });
    Ok(array::from_fn(|input| {
        let wanted = if input == PITCH { 2.0 } else { 0.0 };
        let ln_tension = (wanted - gradients[0][input]) / by_tension[0];
        let by_input = |i: usize| gradients[i][input] + by_tension[i] * ln_tension;
        let ln_inharmonicity = (0..FITTED).map(|i| weights[i] * by_input(i)).sum();
        Slope { ln_tension, ln_inharmonicity }
    }))
}

/// Slopes of ln w² of one mode: by ln T, and by every input at fixed T.
fn gradient(
    spec: &StringSpec,
    masses: &Masses,
    string: &Stepped,
    tension: f64,
    mode: &Mode,
) -> (f64, Gradient) {
    let inertia = string.mass_in(&mode.motions);
    let energy = mode.squared * inertia;
    let bending = spec.stiffness().value * string.sum(&mode.motions, |_, m| m.square(2)) / energy;
    let by_tension = tension * string.sum(&mode.motions, |_, m| m.square(1)) / energy;
    let mut slopes = stiffness_gradient().map(|slope| bending * slope);
    for (span, motion) in spec.spans().zip(&mode.motions) {
        let share = motion.square(0) / inertia;
        let mass = mass_gradient(spec, masses, span.layers);
        slopes.iter_mut().zip(mass).for_each(|(slope, mass)| *slope -= share * mass);
    }
    slopes[LENGTH] = -2.0 * by_tension - 4.0 * bending;
    let length = spec.length.value;
    for (i, layer) in spec.layers.iter().enumerate() {
        let edges = [(FRONT, layer.bare_front.value), (BACK, layer.bare_back.value)];
        for (input, bare) in edges {
            let at = if input == FRONT { bare } else { length - bare };
            let lost = lost_at_edge(spec, masses, i, input == FRONT);
            let slope = lost * string.deflection(mode, at).powi(2) / inertia;
            slopes[input + i] = slope * length;
            slopes[if input == FRONT { FRONTS } else { BACKS }] += slope * length;
            slopes[LENGTH] -= slope * bare;
        }
    }
    (by_tension, slopes)
}

/// What a metre loses where a layer ends, when it ends earlier; kg/m.
fn lost_at_edge(spec: &StringSpec, masses: &Masses, layer: usize, front: bool) -> f64 {
    let ends = |layer: &Layer| {
        if front {
            (layer.bare_front, spec.length - layer.bare_back)
        } else {
            (layer.bare_back, spec.length - layer.bare_front)
        }
    };
    let (at, _) = ends(&spec.layers[layer]);
    let mut present = array::from_fn(|i| {
        spec.layers.get(i).is_some_and(|other| {
            let (from, to) = ends(other);
            // Where both end at one place, the inner layer counts as there first.
            at < to && (from < at || (from == at && i < layer))
        })
    });
    present[layer] = true;
    let with = masses.of_layers(present);
    present[layer] = false;
    with - masses.of_layers(present)
}

/// E I by ln E and by ln of the core's size.
fn stiffness_gradient() -> Gradient {
    let mut gradient = [0.0; INPUTS];
    gradient[MODULUS] = 1.0;
    gradient[CORE] = 4.0;
    gradient
}

/// Mass per length where `present` layers are, by the relative change of each input; kg/m.
fn mass_gradient(spec: &StringSpec, masses: &Masses, present: [bool; 2]) -> Gradient {
    let weighed = spec.weighed.map(|weighed| weighed.value);
    let mut core = [0.0; INPUTS];
    if let (Some(weighed), true) = (weighed, spec.layers.is_empty()) {
        core[WEIGHED] = weighed;
        return core;
    }
    core[CORE] = 2.0 * masses.core;
    core[STEEL] = masses.core;
    let winding = winding_gradient(spec, masses, present);
    let Some(weighed) = weighed else { return array::from_fn(|i| core[i] + winding[i]) };
    // scale = (weighed - core)/all, with `all` the computed windings.
    let all = masses.layers[0] + masses.layers[1];
    let all_gradient = winding_gradient(spec, masses, [true, true]);
    let here = (masses.of_layers(present) - masses.core) / masses.scale;
    array::from_fn(|i| {
        let weighed = if i == WEIGHED { weighed } else { 0.0 };
        let scale = (weighed - core[i] - masses.scale * all_gradient[i]) / all;
        core[i] + masses.scale * winding[i] + here * scale
    })
}

/// The computed mass of the layers present, before any weighing.
fn winding_gradient(spec: &StringSpec, masses: &Masses, present: [bool; 2]) -> Gradient {
    let mut gradient = [0.0; INPUTS];
    let size = spec.core.size().value;
    let mut below = 0.0;
    for (i, layer) in spec.layers.iter().enumerate().filter(|(i, _)| present[*i]) {
        let (wire, density) = (layer.wire.value, layer.density.value);
        let [by_core, by_below, by_wire] = layer_mass_slopes(spec.core, below, wire, density);
        gradient[CORE] += by_core * size;
        // The inner wire lifts the outer one; with the outer one alone `below` is zero.
        gradient[WIRE] += by_below * below;
        gradient[WIRE + i] += by_wire * wire;
        gradient[METAL + i] += match (i, present[0]) {
            (0, _) => masses.layers[0],
            (_, true) => masses.layers[1],
            (_, false) => masses.layers[2],
        };
        below += wire;
    }
    gradient
}
