//! One string: what it is, and how it sounds at a pitch.
//!
//! Plain between pinned ends: the closed form of [`plain`]. Wound or clamped: the string as it is,
//! bare ends and all, a stiff core whose mass per length changes in steps (`E I` of the core alone,
//! N m^2; T, N; mu, kg/m); the tension is the one at which the *first mode* is the pitch, solved
//! exactly; B is fitted over partials 1 to 8, for bare ends bend the partials away from 1 + B n^2.
//! Source: as [`plain`] and `stepped`; the worked number is C1 of J. Woodhouse, Euphonics,
//! section 12.2.1, table 1: 1013 mm, core 1.21, 5.8 over the winding, T/L 0.81 kN/m (steel 7800,
//! copper 8960, `E = 210e9`).
//! Holds for one or two layers of touching round wire. Leaves out: bridge motion, the stiffness that
//! the winding lends, wire flattened or swaged at the ends.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm, to_newtons};
//! use feltwire::physics::{StringSpec, core::Core, sound, string::Elastic, winding::{self, Layer}};
//! let core = Core::Round { diameter: mm(1.21) };
//! let steel = Elastic { density: kg_per_m3(7800.0), youngs_modulus: gpa(210.0) };
//! let mut c1 = StringSpec::plain(mm(1013.0), core, steel);
//! let wire = winding::wire_from_over(core, mm(5.8)).unwrap();
//! c1.layers.push(Layer::full(wire, kg_per_m3(8960.0)));
//! let c1 = sound(&c1, hertz(32.703)).unwrap();
//! // The author leaves stiffness out: our tension is lower by the share B that it carries.
//! let over_length = to_newtons(c1.tension) * (1.0 + c1.inharmonicity.0) / 1013.0;
//! assert!((over_length / 0.81 - 1.0).abs() < 0.008);
//! ```

use super::core::Core;
use super::fit::Line;
use super::impossible::positive;
use super::stepped::{PIECES, Piece, Stepped};
use super::winding::{Layer, layer_mass};
use super::{Impossible, plain};
use crate::measure::{
    BendingStiffness, Force, Frequency, Inharmonicity, Length, LinearMassDensity, MassDensity,
    MassRate, Pressure, g_per_m, hertz, mm, newtons, to_hertz,
};
use std::f64::consts::TAU;

/// How many partials [`sound`] gives.
pub const PARTIALS: usize = 16;
/// The partials over which B is fitted: the first and the last.
pub const FIT_RANGE: (u32, u32) = (1, 8);

/// Density and stiffness of a wire's steel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Elastic {
    /// Density.
    pub density: MassDensity,
    /// Young's modulus.
    pub youngs_modulus: Pressure,
}

/// How the ends of the speaking length are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Ends {
    /// Held in place, free to turn: the usual assumption.
    #[default]
    Pinned,
    /// Held in place and direction.
    Clamped,
}

/// One string as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct StringSpec {
    /// The speaking length.
    pub length: Length,
    /// The core, or the whole of a plain string.
    pub core: Core,
    /// What the core is made of.
    pub steel: Elastic,
    /// Layers of winding from the core outwards: none, one or two.
    pub layers: Vec<Layer>,
    /// Mass per length of the wound part (of a plain string: of the string) when it was weighed;
    /// takes the place of the computed one.
    pub weighed: Option<LinearMassDensity>,
    /// How the ends are held.
    pub ends: Ends,
}

/// How a string sounds, and what it bears.
#[derive(Debug, Clone, PartialEq)]
pub struct Sounding {
    /// The tension at which the first mode is the pitch asked for.
    pub tension: Force,
    /// Tension over the area of the core.
    pub stress: Pressure,
    /// Of the wound part where all layers are; of the string, when it is plain.
    pub mass_per_length: LinearMassDensity,
    /// What a hexagonal core leaves open of it: half the distance of the bounds. Zero when weighed.
    pub winding_mass_half_spread: LinearMassDensity,
    /// B: exact for a plain string between pinned ends, else fitted over `fit_range`.
    pub inharmonicity: Inharmonicity,
    /// First and last partial of the fit.
    pub fit_range: (u32, u32),
    /// Partials 1 to 16; the first is the pitch asked for.
    pub partials: [Frequency; PARTIALS],
    /// Z = sqrt(T mu) of this one string, with the mass of the wound part.
    pub impedance: MassRate,
    /// First longitudinal mode, with the mass of the wound part.
    pub longitudinal: Frequency,
}

impl StringSpec {
    /// A plain string between pinned ends.
    pub fn plain(length: Length, core: Core, steel: Elastic) -> Self {
        Self { length, core, steel, layers: Vec::new(), weighed: None, ends: Ends::Pinned }
    }

    /// Bending stiffness: the core's alone.
    pub fn stiffness(&self) -> BendingStiffness {
        self.steel.youngs_modulus * self.core.second_moment()
    }

    /// Mass per length where all layers are, and the half spread that a hexagonal core leaves.
    pub fn mass_per_length(&self) -> Result<(LinearMassDensity, LinearMassDensity), Impossible> {
        let masses = Masses::of(self)?;
        Ok((g_per_m(1e3 * masses.full()), g_per_m(1e3 * masses.half_spread)))
    }

    /// Whether the closed form holds.
    pub(crate) fn is_closed(&self) -> bool {
        self.layers.is_empty() && self.ends == Ends::Pinned
    }

    /// The string cut where its mass changes.
    pub(crate) fn stepped(&self) -> Result<Stepped, Impossible> {
        let masses = Masses::of(self)?;
        let stiffness = positive(self.stiffness().value, "the bending stiffness")?;
        let pieces = self
            .spans()
            .map(|span| Piece { length: span.to - span.from, mass: masses.of_layers(span.layers) });
        Ok(Stepped::new(pieces, stiffness, self.ends == Ends::Clamped))
    }

    /// The pieces of one mass, from the front; those shorter than 1e-9 of the string are left out.
    pub(crate) fn spans(&self) -> impl Iterator<Item = Span> + use<> {
        let length = self.length.value;
        let mut cuts = [length; PIECES + 1];
        cuts[0] = 0.0;
        let mut edges = [(length, length); 2];
        for (i, layer) in self.layers.iter().take(2).enumerate() {
            edges[i] = (layer.bare_front.value, length - layer.bare_back.value);
            (cuts[2 * i + 1], cuts[2 * i + 2]) = edges[i];
        }
        cuts.sort_by(f64::total_cmp);
        let span = move |i: usize| {
            let (from, to) = (cuts[i], cuts[i + 1]);
            let middle = f64::midpoint(from, to);
            Span { from, to, layers: edges.map(|(start, end)| start < middle && middle < end) }
        };
        (0..PIECES).map(span).filter(move |span| span.to - span.from > 1e-9 * length)
    }
}

/// A piece of string with the layers that are there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Span {
    /// m from the front.
    pub from: f64,
    /// m from the front.
    pub to: f64,
    /// Inner and outer.
    pub layers: [bool; 2],
}

/// What a length of string weighs, with each combination of layers; kg/m.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Masses {
    /// The bare core.
    pub core: f64,
    /// Inner layer, outer layer on it, outer layer on the core where the inner one is not.
    pub layers: [f64; 3],
    /// What a weighing makes of the computed windings.
    pub scale: f64,
    half_spread: f64,
}

impl Masses {
    pub fn of(spec: &StringSpec) -> Result<Self, Impossible> {
        check(spec)?;
        let core = (spec.core.area() * spec.steel.density).value;
        let mut layers = [0.0; 3];
        let mut half_spread = 0.0;
        let mut below = mm(0.0);
        for (i, layer) in spec.layers.iter().enumerate() {
            let mass = layer_mass(spec.core, below, layer.wire, layer.density);
            layers[i] = mass.value.value;
            half_spread += mass.half_spread.value;
            if i == 1 {
                layers[2] = layer_mass(spec.core, mm(0.0), layer.wire, layer.density).value.value;
            }
            below += layer.wire;
        }
        let mut masses = Self { core, layers, scale: 1.0, half_spread };
        if let Some(weighed) = spec.weighed {
            let weighed = positive(weighed.value, "the weighed mass per length")?;
            masses.half_spread = 0.0;
            if spec.layers.is_empty() {
                masses.core = weighed;
            } else {
                masses.scale = (weighed - core) / (layers[0] + layers[1]);
                if masses.scale <= 0.0 {
                    return Err(Impossible::LighterThanCore);
                }
            }
        }
        if masses.full().is_finite() { Ok(masses) } else { Err(Impossible::OutOfReach) }
    }

    /// Where all layers are.
    pub(crate) fn full(&self) -> f64 {
        self.core + self.scale * (self.layers[0] + self.layers[1])
    }

    pub(crate) fn of_layers(&self, present: [bool; 2]) -> f64 {
        let [inner, outer, alone] = self.layers;
        let winding = match present {
            [false, false] => 0.0,
            [true, false] => inner,
            [false, true] => alone,
            [true, true] => inner + outer,
        };
        self.core + self.scale * winding
    }
}

/// Every input positive, every layer with room.
fn check(spec: &StringSpec) -> Result<(), Impossible> {
    let length = positive(spec.length.value, "the speaking length")?;
    positive(spec.core.size().value, "the diameter of the core")?;
    positive(spec.steel.density.value, "the density of the steel")?;
    positive(spec.steel.youngs_modulus.value, "Young's modulus")?;
    if spec.layers.len() > 2 {
        return Err(Impossible::TooManyLayers { layers: spec.layers.len() });
    }
    for (i, layer) in spec.layers.iter().enumerate() {
        positive(layer.wire.value, "the diameter of the winding wire")?;
        positive(layer.density.value, "the density of the winding")?;
        for bare in [layer.bare_front, layer.bare_back] {
            if !(bare.value.is_finite() && bare.value >= 0.0) {
                return Err(Impossible::NotPositive { what: "a bare end" });
            }
        }
        let bare = layer.bare_front + layer.bare_back;
        if bare.value >= length {
            return Err(Impossible::NoRoomForWinding { layer: i, bare, length: spec.length });
        }
    }
    Ok(())
}

/// The string at the tension at which its first mode is `f1`.
///
/// `Err` when an input is not a positive number, the winding has no room, or no tension above zero
/// sounds `f1`; never a NaN.
pub fn sound(spec: &StringSpec, f1: Frequency) -> Result<Sounding, Impossible> {
    let f1 = positive(f1.value, "the pitch")?;
    let masses = Masses::of(spec)?;
    let (tension, inharmonicity, partials) = if spec.is_closed() {
        closed(spec, masses.core, f1)?
    } else {
        let stepped = spec.stepped()?;
        let (tension, first) = stepped.tension((TAU * f1).powi(2))?;
        let squared = partials(&stepped, tension, first.squared)?;
        (tension, fitted(&squared)?, squared.map(|squared| squared.sqrt() / TAU))
    };
    let mass_per_length = g_per_m(1e3 * masses.full());
    let force = newtons(tension);
    let sounding = Sounding {
        tension: force,
        stress: force / spec.core.area(),
        mass_per_length,
        winding_mass_half_spread: g_per_m(1e3 * masses.half_spread),
        inharmonicity: Inharmonicity(inharmonicity),
        fit_range: FIT_RANGE,
        partials: partials.map(hertz),
        impedance: plain::impedance(force, mass_per_length),
        longitudinal: plain::longitudinal(
            spec.length,
            spec.core.area(),
            spec.steel.youngs_modulus,
            mass_per_length,
        ),
    };
    if sounding.is_sound() { Ok(sounding) } else { Err(Impossible::OutOfReach) }
}

impl Sounding {
    /// Nothing overflowed or vanished.
    fn is_sound(&self) -> bool {
        let numbers = [
            self.tension.value,
            self.stress.value,
            self.mass_per_length.value,
            self.impedance.value,
            self.longitudinal.value,
        ];
        let partials = self.partials.iter().map(|partial| to_hertz(*partial));
        self.inharmonicity.0.is_finite()
            && numbers.into_iter().chain(partials).all(|number| number > 0.0 && number.is_finite())
    }
}

/// Tension, B and partials of a plain string between pinned ends.
fn closed(
    spec: &StringSpec,
    mass: f64,
    f1: f64,
) -> Result<(f64, f64, [f64; PARTIALS]), Impossible> {
    let (mass, stiffness) = (g_per_m(1e3 * mass), spec.stiffness());
    let tension = plain::tension(spec.length, mass, stiffness, hertz(f1))?;
    let b = plain::inharmonicity(spec.length, stiffness, tension);
    let ideal = plain::ideal_frequency(spec.length, mass, tension);
    let partials = std::array::from_fn(|i| to_hertz(plain::partial(ideal, b, i as u32 + 1)));
    Ok((tension.value, b.0, partials))
}

/// Squared angular frequencies of the first modes, from the first one.
pub(crate) fn partials(
    stepped: &Stepped,
    tension: f64,
    first: f64,
) -> Result<[f64; PARTIALS], Impossible> {
    let mut squared = [first; PARTIALS];
    for i in 1..PARTIALS {
        let guess = next_guess(stepped, tension, &squared[..i]);
        squared[i] = stepped.mode(tension, i + 1, guess, squared[i - 1])?.squared;
    }
    Ok(squared)
}

/// The next squared angular frequency, from those below: w²/n² carried on in n².
pub(crate) fn next_guess(stepped: &Stepped, tension: f64, below: &[f64]) -> f64 {
    let count = below.len();
    let at = |n: usize| below[n - 1] / (n * n) as f64;
    let n = count + 1;
    let x = |n: usize| (n * n) as f64;
    let carried = match count {
        1 => at(1) * (1.0 + 3.0 * stepped.first_order_b(tension)),
        2 => at(2) + (at(2) - at(1)) / (x(2) - x(1)) * (x(3) - x(2)),
        _ => {
            let [i, j, k] = [n - 3, n - 2, n - 1];
            let upper = (at(k) - at(j)) / (x(k) - x(j));
            let lower = (at(j) - at(i)) / (x(j) - x(i));
            let bend = (upper - lower) / (x(k) - x(i));
            at(k) + (x(n) - x(k)) * (upper + bend * (x(n) - x(j)))
        }
    };
    let step = at(count);
    carried.max(0.7 * step).min(2.0 * step) * x(n)
}

/// B over [`FIT_RANGE`].
fn fitted(squared: &[f64; PARTIALS]) -> Result<f64, Impossible> {
    fit_line(squared).map(|line| line.b())
}

/// The line of w²/n² over n² through the fitted range.
pub(crate) fn fit_line(squared: &[f64]) -> Result<Line, Impossible> {
    let points = (FIT_RANGE.0..=FIT_RANGE.1).map(|n| {
        let n2 = f64::from(n * n);
        (n2, squared[n as usize - 1] / n2)
    });
    Line::through(points).ok_or(Impossible::OutOfReach)
}
