//! Many strings that differ a little from one: each solved from the modes of the one; for re-runs by
//! the thousand.
//!
//! The modes `y_n` of the nominal string, stretched to the length of the other, give by Rayleigh's
//! quotient `w_n^2 = (T int y'^2 + E I int y''^2)/int mu y^2` a guess that is off by the square of the
//! change of shape; one Newton step of the exact string (`stepped`) squares that again. The tension is
//! found so from mode 1, then partials 2 to 8, and B is fitted as everywhere. T tension (N), E I bending
//! stiffness (N m^2), mu mass per length (kg/m), w angular frequency (1/s).
//! Source: Rayleigh, The Theory of Sound, vol. I, art. 88-90. The worked number is that of
//! [`string`](super::string): J. Woodhouse, Euphonics, section 12.2.1, table 1, C1.
//! Holds for any string: whose step does not lead to the mode wanted is solved anew. Leaves out nothing
//! that [`sound`](super::sound()) holds.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm, to_newtons};
//! use feltwire::physics::{StringSpec, core::Core, string::Elastic, warm::Warm, winding::Layer};
//! let steel = Elastic { density: kg_per_m3(7800.0), youngs_modulus: gpa(210.0) };
//! let mut c1 = StringSpec::plain(mm(1013.0), Core::Round { diameter: mm(1.21) }, steel);
//! c1.layers.push(Layer::full(mm(2.2), kg_per_m3(8960.0)));
//! let warm = Warm::new(&c1, hertz(32.703)).unwrap();
//! // The winding as measured, 5.8 mm over 1.21 mm: T/L 0.81 kN/m with the author's stiffness left out.
//! c1.layers[0].wire = mm((5.8 - 1.21) / 2.0);
//! let near = warm.sound(&c1).unwrap();
//! let over_length = to_newtons(near.tension) * (1.0 + near.inharmonicity.0) / 1013.0;
//! assert!((over_length / 0.81 - 1.0).abs() < 0.008);
//! ```

use super::beam::Motion;
use super::impossible::positive;
use super::stepped::{Mode, PIECES, Stepped};
use super::string::{FIT_RANGE, Masses, StringSpec, fit_line, next_guess};
use super::{Impossible, plain};
use crate::measure::{Force, Frequency, Inharmonicity, g_per_m, hertz, newtons};
use std::f64::consts::TAU;

const FITTED: usize = FIT_RANGE.1 as usize;

/// A string with its modes, from which strings like it are solved.
#[derive(Debug, Clone)]
pub struct Warm {
    /// Hz.
    pitch: f64,
    /// None of a plain string between pinned ends.
    modes: Vec<Nominal>,
    length: f64,
    lengths: [f64; PIECES],
}

/// Tension and inharmonicity of a string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// At which the first mode is the pitch.
    pub tension: Force,
    /// Fitted over the usual partials; exact for a plain string between pinned ends.
    pub inharmonicity: Inharmonicity,
}

/// One mode of the nominal string.
#[derive(Debug, Clone)]
struct Nominal {
    mode: Mode,
    /// Integral of the squared deflection from the front up to each piece.
    before: [f64; PIECES + 1],
    slopes: f64,
    curvatures: f64,
}

impl Warm {
    /// The modes of `spec` sounding `f1`.
    ///
    /// `Err` as [`sound`](super::sound()).
    pub fn new(spec: &StringSpec, f1: Frequency) -> Result<Self, Impossible> {
        let pitch = positive(f1.value, "the pitch")?;
        let mut warm =
            Self { pitch, modes: Vec::new(), length: spec.length.value, lengths: [0.0; PIECES] };
        if spec.is_closed() {
            warm.sound(spec)?;
            return Ok(warm);
        }
        let stepped = spec.stepped()?;
        for (length, piece) in warm.lengths.iter_mut().zip(stepped.pieces()) {
            *length = piece.length;
        }
        let (tension, mut mode) = stepped.tension((TAU * pitch).powi(2))?;
        let mut squared = Vec::with_capacity(FITTED);
        for n in 1..=FITTED {
            if n > 1 {
                let guess = next_guess(&stepped, tension, &squared);
                mode = stepped.mode(tension, n, guess, squared[n - 2])?;
            }
            squared.push(mode.squared);
            warm.modes.push(Nominal::of(&stepped, stepped.polished(tension, &mode)?));
        }
        Ok(warm)
    }

    /// Tension and B of `spec` at the pitch of this one; exact, the faster the more alike they are.
    ///
    /// `Err` as [`sound`](super::sound()).
    pub fn sound(&self, spec: &StringSpec) -> Result<Near, Impossible> {
        if spec.is_closed() {
            return self.closed(spec);
        }
        let stepped = spec.stepped()?;
        let first = (TAU * self.pitch).powi(2);
        let Some(fundamental) = self.modes.first() else { return cold(&stepped, first) };
        let (by_tension, by_stiffness, inertia) = self.quotient(fundamental, &stepped);
        let guess = (first * inertia - by_stiffness) / by_tension;
        let tension = stepped.tension_near(first, guess, &fundamental.mode)?;
        let mut squared = [first; FITTED];
        for (i, nominal) in self.modes.iter().enumerate().skip(1) {
            let (by_tension, by_stiffness, inertia) = self.quotient(nominal, &stepped);
            let guess = (tension * by_tension + by_stiffness) / inertia;
            squared[i] = stepped.mode_near(tension, i + 1, guess, squared[i - 1], &nominal.mode)?;
        }
        near(tension, fit_line(&squared)?.b())
    }

    fn closed(&self, spec: &StringSpec) -> Result<Near, Impossible> {
        let mass = g_per_m(1e3 * Masses::of(spec)?.full());
        let stiffness = spec.stiffness();
        let tension = plain::tension(spec.length, mass, stiffness, hertz(self.pitch))?;
        near(tension.value, plain::inharmonicity(spec.length, stiffness, tension).0)
    }

    /// With a nominal mode stretched to another string: the integral of y'², E I times that of y''²,
    /// and that of mu y².
    fn quotient(&self, nominal: &Nominal, other: &Stepped) -> (f64, f64, f64) {
        let shrunk = self.length / other.length;
        let mut inertia = 0.0;
        let (mut place, mut before) = (0.0, 0.0);
        for (i, piece) in other.pieces().iter().enumerate() {
            place += piece.length;
            let up_to = if i + 1 == other.pieces().len() {
                nominal.before[PIECES]
            } else {
                nominal.up_to(place * shrunk, &self.lengths)
            };
            inertia += piece.mass * (up_to - before);
            before = up_to;
        }
        (
            nominal.slopes * shrunk,
            other.stiffness * nominal.curvatures * shrunk.powi(3),
            inertia / shrunk,
        )
    }
}

impl Nominal {
    fn of(stepped: &Stepped, mode: Mode) -> Self {
        let mut before = [0.0; PIECES + 1];
        let mut sum = 0.0;
        for (i, motion) in mode.motions.iter().enumerate() {
            before[i] = sum;
            sum += motion.square(0);
        }
        before[PIECES] = sum;
        let slopes = stepped.sum(&mode.motions, |_, motion| motion.square(1));
        let curvatures = stepped.sum(&mode.motions, |_, motion| motion.square(2));
        Self { mode, before, slopes, curvatures }
    }

    /// The integral of the squared deflection up to `x` from the front.
    fn up_to(&self, x: f64, lengths: &[f64; PIECES]) -> f64 {
        let mut start = 0.0;
        for (i, length) in lengths.iter().enumerate() {
            if x <= start + length || i + 1 == PIECES || lengths[i + 1] == 0.0 {
                let motion: &Motion = &self.mode.motions[i];
                return self.before[i] + motion.square_up_to((x - start).clamp(0.0, *length));
            }
            start += length;
        }
        self.before[PIECES]
    }
}

/// Solved without any nominal string.
fn cold(stepped: &Stepped, first: f64) -> Result<Near, Impossible> {
    let (tension, _) = stepped.tension(first)?;
    let mut squared = vec![first];
    for n in 2..=FITTED {
        let guess = next_guess(stepped, tension, &squared);
        squared.push(stepped.mode(tension, n, guess, squared[n - 2])?.squared);
    }
    near(tension, fit_line(&squared)?.b())
}

fn near(tension: f64, inharmonicity: f64) -> Result<Near, Impossible> {
    if tension.is_finite() && inharmonicity.is_finite() {
        Ok(Near { tension: newtons(tension), inharmonicity: Inharmonicity(inharmonicity) })
    } else {
        Err(Impossible::OutOfReach)
    }
}
