//! The modes of a stiff string whose mass changes in steps: exact, none missed; the kernel of
//! `physics::wound`.
//!
//! The pieces of [`beam`](super::beam) are joined at nodes; K(w) x = 0 at a mode, x the nodes'
//! deflections and slopes. The number of modes below w is the number of negative pivots of K, because
//! every piece is cut so short that it has no mode of its own between clamped ends below w. K is
//! eliminated from both ends to a node that moves; what is left there is a residual r with
//! `dr/d(w^2) = -(integral of mu y^2)/(E I)` and `dr/dT = (integral of y'^2)/(E I)` for a deflection
//! of 1 there, from the motion itself: Newton's method, kept between bounds by the count.
//! SI units throughout. Source: W. H. Wittrick, F. W. Williams, Q. J. Mech. Appl. Math. 24 (1971)
//! 263-284 (the count; from memory), Rayleigh, The Theory of Sound, vol. I, art. 88-90 (the slopes).
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
use super::beam::{Element, Motion, Waves, parts};
use std::f64::consts::PI;

/// Two layers with their own ends make five pieces.
pub(crate) const PIECES: usize = 5;
/// Parts that a shape may have: partial 16 of a string takes about 25.
const PARTS: usize = 96;
/// Newton's last step, relative in w² or T: its square is below rounding.
const LAST_STEP: f64 = 2e-8;
/// Relative error that rounding may leave in w² or T.
const ROUNDING: f64 = 1e-11;
const TRIALS: usize = 200;

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
    length: f64,
    /// N m².
    stiffness: f64,
    clamped: bool,
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

/// What a trial frequency and tension show.
struct Trial {
    /// How many modes lie below.
    below: usize,
    /// What is left of K at the node that moves by 1, over E I.
    residual: f64,
    motions: [Motion; PIECES],
    /// Where, in shares of the length, the motion is largest.
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
            let trial = self.trial(tension, squared, meet)?;
            meet = trial.loudest;
            let step = trial.residual * self.stiffness / self.mass_in(&trial.motions);
            motions = Some(trial.motions);
            let next = trial.below == n || trial.below + 1 == n;
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
        if highest <= 0.0 {
            return Err(Impossible::NoTension { tension: None });
        }
        let guess = self.first_guess(squared).clamp(0.01 * highest, highest);
        let mut meet = 0.5;
        let mut motions = None;
        let tension = search(0.0, guess, |tension| {
            if tension < 1e-7 * highest {
                return None;
            }
            let trial = self.trial(tension, squared, meet)?;
            meet = trial.loudest;
            let slopes: f64 = self.sum(&trial.motions, |_, motion| motion.square(1));
            motions = Some(trial.motions);
            let step = -trial.residual * self.stiffness / slopes;
            Some(Look { low: trial.below > 0, next: trial.below <= 1, step })
        });
        match (tension, motions) {
            (Ok(tension), Some(motions)) => Ok((tension, Mode { squared, motions, loudest: meet })),
            (Err(_), Some(_)) => Err(Impossible::NoTension { tension: None }),
            (_, None) => Err(Impossible::OutOfReach),
        }
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

    /// `None` when the figures overflow, or when the string would have to be cut into too many parts.
    fn trial(&self, tension: f64, squared: f64, meet: f64) -> Option<Trial> {
        let cut = Cut::new(self, tension, squared)?;
        let meet = cut.node_near(meet);
        let mut left = [[0.0; 3]; PARTS];
        let mut right = [[0.0; 3]; PARTS];
        let parts = cut.elements();
        let (from_left, negative_left) =
            sweep(parts[..meet].iter().copied(), self.clamped, &mut left);
        let (from_right, negative_right) =
            sweep(parts[meet..].iter().rev().copied(), self.clamped, &mut right);
        let [stay, couple, turn] = [
            from_left[0] + from_right[0],
            from_left[1] - from_right[1],
            from_left[2] + from_right[2],
        ];
        let residual = stay - couple * couple / turn;
        if !residual.is_finite() {
            return None;
        }
        let below =
            negative_left + negative_right + usize::from(turn < 0.0) + usize::from(residual < 0.0);
        let slope = -couple / turn;
        let mut nodes = [[0.0; 2]; PARTS + 1];
        nodes[meet] = [1.0, slope];
        back(parts[..meet].iter().copied(), &left, nodes[..=meet].iter_mut().rev(), false);
        back(
            parts[meet..].iter().rev().copied(),
            &right,
            nodes[meet..=parts.len()].iter_mut(),
            true,
        );
        Some(Trial { below, residual, motions: cut.motions(&nodes), loudest: cut.loudest(&nodes) })
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

/// The string cut into parts that cannot vibrate between clamped ends.
struct Cut<'a> {
    string: &'a Stepped,
    waves: [Waves; PIECES],
    counts: [usize; PIECES],
    elements: [Element; PARTS],
    total: usize,
}

impl<'a> Cut<'a> {
    fn new(string: &'a Stepped, tension: f64, squared: f64) -> Option<Self> {
        let (p, over) = (tension / string.stiffness, squared / string.stiffness);
        let mut cut = Self {
            string,
            waves: [Waves::default(); PIECES],
            counts: [0; PIECES],
            elements: [Element::default(); PARTS],
            total: 0,
        };
        for (i, piece) in string.pieces().iter().enumerate() {
            let waves = Waves::new(p, piece.mass * over);
            let least = if string.count == 1 { 2.0 } else { 1.0 };
            let count = parts(&waves, piece.length).max(least);
            if count.is_nan() || count > (PARTS - cut.total) as f64 {
                return None;
            }
            let count = count as usize;
            let element = Element::new(&waves, piece.length / count as f64);
            cut.elements[cut.total..cut.total + count].fill(element);
            (cut.waves[i], cut.counts[i]) = (waves, count);
            cut.total += count;
        }
        (cut.total >= 2).then_some(cut)
    }

    fn elements(&self) -> &[Element] {
        &self.elements[..self.total]
    }

    /// The inner node nearest to a share of the length.
    fn node_near(&self, share: f64) -> usize {
        let target = share * self.string.length;
        let mut start = 0.0;
        let mut node = 0;
        for (piece, &count) in self.string.pieces().iter().zip(&self.counts) {
            if target < start + piece.length {
                let within = (target - start) / piece.length * count as f64;
                node += (within + 0.5) as usize;
                break;
            }
            start += piece.length;
            node += count;
        }
        node.clamp(1, self.total - 1)
    }

    /// Where, in shares of the length, the motion is largest.
    fn loudest(&self, nodes: &[[f64; 2]]) -> f64 {
        let mut start = 0.0;
        let mut node = 0;
        let (mut most, mut place) = (0.0, 0.5);
        for (piece, &count) in self.string.pieces().iter().zip(&self.counts) {
            for part in 0..count {
                let deflection = nodes[node + part][0].abs();
                if deflection > most {
                    most = deflection;
                    place = start + piece.length * part as f64 / count as f64;
                }
            }
            start += piece.length;
            node += count;
        }
        place / self.string.length
    }

    fn motions(&self, nodes: &[[f64; 2]]) -> [Motion; PIECES] {
        let mut motions = [Motion::default(); PIECES];
        let mut node = 0;
        for (i, (piece, &count)) in self.string.pieces().iter().zip(&self.counts).enumerate() {
            let end = node + count;
            let left = self.elements[node].left_state(nodes[node], nodes[node + 1]);
            let right = self.elements[end - 1].right_state(nodes[end - 1], nodes[end]);
            motions[i] = Motion::new(&self.waves[i], piece.length, left, right);
            node = end;
        }
        motions
    }
}

/// Eliminates node after node from one end; what is left at the last one (deflection, mixed, slope),
/// and how many pivots were negative. Keeps the inverted pivots.
fn sweep(
    elements: impl Iterator<Item = Element>,
    clamped: bool,
    inverses: &mut [[f64; 3]],
) -> ([f64; 3], usize) {
    let mut carried = [0.0; 3];
    let mut negative = 0;
    for (j, (element, inverse)) in elements.zip(inverses).enumerate() {
        let Element { a, b, c, d, e, g, .. } = element;
        *inverse = if j > 0 {
            let [stay, couple, turn] = [carried[0] + a, carried[1] + b, carried[2] + c];
            let determinant = stay * turn - couple * couple;
            negative += if determinant < 0.0 { 1 } else { 2 * usize::from(turn < 0.0) };
            [turn / determinant, -couple / determinant, stay / determinant]
        } else if clamped {
            [0.0; 3]
        } else {
            negative += usize::from(c < 0.0);
            [0.0, 0.0, 1.0 / c]
        };
        let [i, m, o] = *inverse;
        let (by_y, by_slope) = ([i * d - m * e, m * d - o * e], [i * e + m * g, m * e + o * g]);
        carried = [
            a - d * by_y[0] + e * by_y[1],
            -b - e * by_y[0] - g * by_y[1],
            c - e * by_slope[0] - g * by_slope[1],
        ];
    }
    (carried, negative)
}

/// The motion of the nodes from the meeting node (the first of `nodes`) back to the end; `mirrored`
/// where the elimination came from the right, which turns slopes about.
fn back<'a>(
    elements: impl DoubleEndedIterator<Item = Element> + ExactSizeIterator,
    inverses: &[[f64; 3]],
    mut nodes: impl Iterator<Item = &'a mut [f64; 2]>,
    mirrored: bool,
) {
    let turn = if mirrored { -1.0 } else { 1.0 };
    let Some(&mut [mut y, slope]) = nodes.next() else { return };
    let mut slope = turn * slope;
    let kept = &inverses[..elements.len()];
    for ((Element { d, e, g, .. }, &[i, m, o]), node) in
        elements.rev().zip(kept.iter().rev()).zip(nodes)
    {
        let (force, moment) = (d * y + e * slope, g * slope - e * y);
        (y, slope) = (-i * force - m * moment, -m * force - o * moment);
        *node = [y, turn * slope];
    }
}
