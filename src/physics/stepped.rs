//! The modes of a stiff string whose mass changes in steps: exact, none missed; the kernel of
//! `physics::wound`.
//!
//! A trial at an angular frequency w (1/s) and a tension T (N) shows, by the elimination of
//! [`cut`](super::cut), how many modes lie below and what force is left at a place that moves by 1; its
//! slopes are `dr/d(w^2) = -(integral of mu y^2)/(E I)` and `dr/dT = (integral of y'^2)/(E I)`, from the
//! motion itself: Newton's method, kept between bounds by the count, which also says that the root
//! found is the one wanted. mu mass per length (kg/m), E I bending stiffness (N m^2), y deflection.
//! Source: Rayleigh, The Theory of Sound, vol. I, art. 88-90 (the slopes); the count as in `cut`.
//! Holds for up to five pieces of one bending stiffness, ends both pinned or both clamped.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm, newtons, to_hertz};
//! use feltwire::physics::{StringSpec, core::Core, string::Elastic, wound, winding::Layer};
//! // E1 of an invented grand, by finite elements (`tests/published`, case A): 1.4 m, core 1.0 mm, 0.4 mm
//! // copper 8900, 20 mm bare at each end, at 437.87 N: first modes 55.0038, 110.0307 Hz; none between.
//! let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
//! let mut spec = StringSpec::plain(mm(1400.0), Core::Round { diameter: mm(1.0) }, steel);
//! let mut copper = Layer::full(mm(0.4), kg_per_m3(8900.0));
//! (copper.bare_front, copper.bare_back) = (mm(20.0), mm(20.0));
//! spec.layers.push(copper);
//! let below = |f: f64| wound::modes_below(&spec, newtons(437.87), hertz(f)).unwrap();
//! assert_eq!([54.9, 55.1, 109.9, 110.1].map(below), [0, 1, 1, 2]);
//! ```

use super::Impossible;
use super::beam::Motion;
use super::cut::{Cut, Trial};
use std::f64::consts::PI;

/// Two layers with their own ends make five pieces.
pub(crate) const PIECES: usize = 5;
/// Newton's last step, relative in w² or T: its square is below rounding.
const LAST_STEP: f64 = 2e-8;
/// Relative error that rounding may leave in w² or T.
const ROUNDING: f64 = 1e-11;
const TRIALS: usize = 200;
/// A last step from near by, relative in w² or T: what it leaves is its square times the number of the
/// mode, 1e-9 of w² where B n² is 1e-4 or more.
const NEAR_STEP: f64 = 1e-5;
/// Steps that may be tried before the string is solved anew.
const NEAR_TRIALS: usize = 4;

/// A piece of one mass.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Piece {
    /// m.
    pub length: f64,
    /// kg/m.
    pub mass: f64,
}

/// A string as the kernel sees it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stepped {
    pieces: [Piece; PIECES],
    count: usize,
    /// m.
    pub length: f64,
    /// N m².
    pub stiffness: f64,
    pub clamped: bool,
}

/// One mode: its motion has deflection 1 at some place.
#[derive(Debug, Clone)]
pub(crate) struct Mode {
    /// Squared angular frequency, 1/s².
    pub squared: f64,
    /// One for each piece; from the search they are good to about 1e-7.
    pub motions: [Motion; PIECES],
    /// Where, in shares of the length, the motion is large.
    loudest: f64,
}

/// Where a search stands.
struct Look {
    /// The root lies above.
    low: bool,
    /// By the count of modes there is no other root between here and the one wanted.
    next: bool,
    /// Newton's step to the nearest root.
    step: f64,
}

impl Look {
    /// The step leads to the root wanted: it goes the way that the count says.
    fn leads(&self) -> bool {
        self.next && if self.low { self.step > 0.0 } else { self.step < 0.0 }
    }
}

impl Stepped {
    /// `pieces` from the front, at most five, none of them without length.
    pub fn new(pieces: impl Iterator<Item = Piece>, stiffness: f64, clamped: bool) -> Self {
        let mut string = Self { stiffness, clamped, ..Self::default() };
        for piece in pieces.take(PIECES) {
            string.pieces[string.count] = piece;
            string.count += 1;
            string.length += piece.length;
        }
        string
    }

    pub fn pieces(&self) -> &[Piece] {
        &self.pieces[..self.count]
    }

    /// How many modes lie below the squared angular frequency.
    pub fn modes_below(&self, tension: f64, squared: f64) -> Result<usize, Impossible> {
        self.trial(tension, squared, 0.5).map(|trial| trial.below).ok_or(Impossible::OutOfReach)
    }

    /// Mode `n` (1 is the lowest) at a tension, near `guess` and above `floor` (squared angular
    /// frequencies; `floor` has at most n - 1 modes below it).
    pub fn mode(&self, tension: f64, n: usize, guess: f64, floor: f64) -> Result<Mode, Impossible> {
        let mut meet = (n.div_euclid(2) as f64 + 0.5) / n as f64;
        let mut motions = None;
        let squared = search(floor, guess, |squared| {
            let trial = self.lively_trial(tension, squared, &mut meet)?;
            let step = trial.residual * self.stiffness / self.mass_in(&trial.motions);
            motions = Some(trial.motions);
            let next = trial.is_lively() && (trial.below == n || trial.below + 1 == n);
            Some(Look { low: trial.below < n, next, step })
        })?;
        motions
            .map(|motions| Mode { squared, motions, loudest: meet })
            .ok_or(Impossible::OutOfReach)
    }

    /// The tension at which the first mode has the squared angular frequency, with that mode.
    pub fn tension(&self, squared: f64) -> Result<(f64, Mode), Impossible> {
        let wave = (PI / self.length).powi(2);
        // All of it as heavy as its heaviest piece, between pinned ends: no tension can be higher.
        let highest = self.heaviest() * squared / wave - self.stiffness * wave;
        if !highest.is_finite() {
            return Err(Impossible::OutOfReach);
        }
        if highest <= 0.0 {
            return Err(Impossible::NoTension { tension: None });
        }
        let guess = self.first_guess(squared).min(highest).max(0.01 * highest);
        let mut meet = 0.5;
        let mut motions = None;
        let tension = search(0.0, guess, |tension| {
            if tension < 1e-7 * highest {
                return None;
            }
            let trial = self.lively_trial(tension, squared, &mut meet)?;
            let slopes: f64 = self.sum(&trial.motions, |_, motion| motion.square(1));
            motions = Some(trial.motions);
            let step = -trial.residual * self.stiffness / slopes;
            let next = trial.is_lively() && trial.below <= 1;
            Some(Look { low: trial.below > 0, next, step })
        });
        match (tension, motions) {
            (Ok(tension), Some(motions)) => Ok((tension, Mode { squared, motions, loudest: meet })),
            (Err(_), Some(_)) => Err(Impossible::NoTension { tension: None }),
            (_, None) => Err(Impossible::OutOfReach),
        }
    }

    /// As [`tension`](Self::tension), from a guess and a mode of a string much like this one: one step
    /// of Newton's where that is enough.
    pub fn tension_near(&self, squared: f64, guess: f64, like: &Mode) -> Result<f64, Impossible> {
        let mut tension = guess;
        for _ in 0..NEAR_TRIALS {
            if !(tension.is_finite() && tension > 0.0) {
                break;
            }
            let Some(trial) = self.trial(tension, squared, like.loudest) else { break };
            if !trial.is_lively() || trial.below > 1 {
                break;
            }
            let slopes: f64 = self.sum(&trial.motions, |_, motion| motion.square(1));
            let step = -trial.residual * self.stiffness / slopes;
            if step.abs() > ROUNDING * tension && (trial.below > 0) != (step > 0.0) {
                break;
            }
            if step.abs() <= NEAR_STEP * tension {
                return Ok(tension + step);
            }
            tension += step;
        }
        self.tension(squared).map(|(tension, _)| tension)
    }

    /// As [`mode`](Self::mode), its squared angular frequency alone, from a guess and that mode of a
    /// string much like this one.
    pub fn mode_near(
        &self,
        tension: f64,
        n: usize,
        guess: f64,
        floor: f64,
        like: &Mode,
    ) -> Result<f64, Impossible> {
        let mut squared = guess;
        for _ in 0..NEAR_TRIALS {
            if !(squared.is_finite() && squared > floor) {
                break;
            }
            let Some(trial) = self.trial(tension, squared, like.loudest) else { break };
            if !trial.is_lively() || !(trial.below == n || trial.below + 1 == n) {
                break;
            }
            let step = trial.residual * self.stiffness / self.mass_in(&trial.motions);
            if step.abs() > ROUNDING * squared && (trial.below < n) != (step > 0.0) {
                break;
            }
            if step.abs() <= NEAR_STEP * squared {
                return Ok(squared + step);
            }
            squared += step;
        }
        self.mode(tension, n, guess.max(floor), floor).map(|mode| mode.squared)
    }

    /// The mode with its motion to rounding.
    pub fn polished(&self, tension: f64, mode: &Mode) -> Result<Mode, Impossible> {
        let trial =
            self.trial(tension, mode.squared, mode.loudest).ok_or(Impossible::OutOfReach)?;
        Ok(Mode { motions: trial.motions, ..*mode })
    }

    /// Rayleigh's quotient with a half sine: exact for one mass between pinned ends.
    fn first_guess(&self, squared: f64) -> f64 {
        let wave = PI / self.length;
        let stiff = self.stiffness * wave * wave;
        let tension = squared * self.half_sine_mass() / (wave * wave) - stiff;
        tension / self.raised_by_clamping(tension)
    }

    /// The same for the first squared angular frequency at a tension.
    pub fn first_squared(&self, tension: f64) -> f64 {
        let wave = PI / self.length;
        let pinned = (tension + self.stiffness * wave * wave) * wave * wave / self.half_sine_mass();
        pinned * self.raised_by_clamping(tension)
    }

    /// Nearly, by how much clamped ends raise w² (or lower T).
    fn raised_by_clamping(&self, tension: f64) -> f64 {
        if !self.clamped {
            return 1.0;
        }
        let b = (self.stiffness / tension.abs()).sqrt() / self.length;
        (1.0 + 2.0 * b).powi(2)
    }

    /// Mass per length, averaged with the square of a half sine over the string.
    fn half_sine_mass(&self) -> f64 {
        let turn = 2.0 * PI / self.length;
        let up_to = |x: f64| x - (turn * x).sin() / turn;
        let mut start = 0.0;
        let mut mass = 0.0;
        for piece in self.pieces() {
            let end = start + piece.length;
            mass += piece.mass * (up_to(end) - up_to(start));
            start = end;
        }
        mass / self.length
    }

    /// B of the core and of the steps in mass, to first order in (bare end over length) cubed.
    pub fn first_order_b(&self, tension: f64) -> f64 {
        let core = PI * PI * self.stiffness / (tension * self.length * self.length);
        let mut ends = 0.0;
        let mut from_front = 0.0;
        for pair in self.pieces().windows(2) {
            from_front += pair[0].length;
            let from_back = self.length - from_front;
            let step = pair[1].mass - pair[0].mass;
            ends += if from_front < from_back {
                step * from_front.powi(3)
            } else {
                -step * from_back.powi(3)
            };
        }
        core + 2.0 * PI * PI / 3.0 * ends / (self.heaviest() * self.length.powi(3))
    }

    fn heaviest(&self) -> f64 {
        self.pieces().iter().fold(0.0, |most: f64, piece| most.max(piece.mass))
    }

    /// The integral of mu y² over the string.
    pub fn mass_in(&self, motions: &[Motion; PIECES]) -> f64 {
        self.sum(motions, |piece, motion| piece.mass * motion.square(0))
    }

    /// A sum over the pieces.
    pub fn sum(&self, motions: &[Motion; PIECES], part: impl Fn(&Piece, &Motion) -> f64) -> f64 {
        self.pieces().iter().zip(motions).map(|(piece, motion)| part(piece, motion)).sum()
    }

    /// Deflection at `x` from the front.
    pub fn deflection(&self, mode: &Mode, x: f64) -> f64 {
        let mut start = 0.0;
        for (i, (piece, motion)) in self.pieces().iter().zip(&mode.motions).enumerate() {
            if x <= start + piece.length || i + 1 == self.count {
                return motion.at((x - start).clamp(0.0, piece.length));
            }
            start += piece.length;
        }
        0.0
    }

    /// A trial at a place that moves. Where the meeting place is still, the residual has a pole, at
    /// which Newton's step is as small as at a root: then the place that moves most is taken.
    fn lively_trial(&self, tension: f64, squared: f64, meet: &mut f64) -> Option<Trial> {
        let mut trial = self.trial(tension, squared, *meet)?;
        for _ in 0..3 {
            *meet = trial.loudest;
            if trial.is_lively() {
                break;
            }
            trial = self.trial(tension, squared, *meet)?;
        }
        Some(trial)
    }

    /// `None` when the figures overflow, or when the string would have to be cut into too many parts.
    fn trial(&self, tension: f64, squared: f64, meet: f64) -> Option<Trial> {
        Cut::new(self, tension, squared)?.meet_near(meet)
    }
}

/// Newton's method between bounds; `None` from `look` means that `x` is out of reach above.
fn search(
    floor: f64,
    guess: f64,
    mut look: impl FnMut(f64) -> Option<Look>,
) -> Result<f64, Impossible> {
    let (mut low, mut high) = (floor, f64::INFINITY);
    let mut x = guess;
    for _ in 0..TRIALS {
        let seen = look(x);
        let mut next = f64::NAN;
        if let Some(seen) = &seen {
            if seen.next {
                next = x + seen.step;
            }
            if seen.leads() && seen.step.abs() <= LAST_STEP * x {
                return Ok(next);
            }
            // So close that rounding decides which side `x` is on: the neighbours must agree.
            if seen.next && seen.step.abs() <= ROUNDING * x {
                let mut side = |x: f64| look(x).is_some_and(|seen| seen.leads());
                if side(x * (1.0 - 16.0 * ROUNDING)) && side(x * (1.0 + 16.0 * ROUNDING)) {
                    return Ok(x);
                }
            }
        }
        if seen.is_some_and(|seen| seen.low) {
            low = x;
        } else {
            high = x;
        }
        x = if next > low && next < high {
            next
        } else if high.is_infinite() {
            1.4 * x
        } else {
            f64::midpoint(low, high)
        };
        if !(x.is_finite() && x > 0.0) {
            break;
        }
    }
    Err(Impossible::OutOfReach)
}
