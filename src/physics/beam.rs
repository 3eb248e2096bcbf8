//! One uniform piece of stiff string under tension, vibrating: its exact stiffness, and the shape of
//! its motion; the kernel under every wound string.
//!
//! `E I y'''' - T y'' = mu w^2 y` has solutions cos kx, sin kx, exp(-qx), exp(-q(l-x)) with
//! `q^2 = (p + sqrt(p^2 + 4 s))/2`, `k^2 = s/q^2`, `p = T/(E I)` (1/m^2), `s = mu w^2/(E I)` (1/m^4):
//! E I bending stiffness (N m^2), T tension (N), mu mass per length (kg/m), w angular frequency
//! (1/s), l length of the piece (m). The forces and moments that hold its ends at given deflections
//! and slopes make a symmetric 4 by 4 matrix of six numbers, here divided by E I. Every hyperbolic
//! function is scaled by exp(-ql), so that long pieces do not overflow; short ones (ql < 1) use the
//! power series of the solutions, which has no cancellation.
//! Source: the dynamic stiffness method for beams with axial force (W. P. Howson, F. W. Williams,
//! J. Sound Vib. 26 (1973) 503-515; from memory); derived anew here, held by `tests/consistency`
//! against finite elements and by the closed form below.
//! Holds for Euler-Bernoulli bending and small motion; leaves out shear, rotary inertia and damping.
//!
//! ```
//! use feltwire::measure::{Frequency, gpa, hertz, kg_per_m3, mm, to_hertz};
//! use feltwire::physics::{StringSpec, core::Core, sound, string::{Elastic, Ends}};
//! // C4, 620 mm of 1 mm wire, f0 261.6256 Hz, T 648.9 N between clamped ends: finite elements give
//! // 265.019 Hz for the first mode; from that pitch the tension must come back.
//! let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
//! let mut c4 = StringSpec::plain(mm(620.0), Core::Round { diameter: mm(1.0) }, steel);
//! c4.ends = Ends::Clamped;
//! let tension = sound(&c4, hertz(265.019)).unwrap().tension;
//! let ideal = 4.0 * (0.620f64 * 261.6256).powi(2) * 7850.0 * std::f64::consts::PI / 4.0 * 1e-6;
//! assert!((tension.value / ideal - 1.0).abs() < 1e-5);
//! ```

use std::f64::consts::PI;

/// Below this length times q the power series is used.
const SHORT: f64 = 1.0;

/// Wave numbers of a piece.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Waves {
    /// Of the travelling wave, 1/m.
    pub k: f64,
    /// Of the wave that dies away from an end or a step, 1/m.
    pub q: f64,
    /// k² + q².
    sum: f64,
    /// q² − k² = T/(E I).
    p: f64,
    /// k² q² = mu w²/(E I).
    s: f64,
}

impl Waves {
    pub fn new(p: f64, s: f64) -> Self {
        let sum = (p * p + 4.0 * s).sqrt();
        let q2 = f64::midpoint(p, sum);
        Self { k: (s / q2).sqrt(), q: q2.sqrt(), sum, p, s }
    }
}

/// Deflection and its first three derivatives at one place.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct State {
    pub y: f64,
    pub slope: f64,
    pub curvature: f64,
    pub third: f64,
}

/// The stiffness of a piece, over E I. With the ends' (deflection, slope) in the order left, right:
/// rows `[a b d e]`, `[b c -e g]`, `[d -e a -b]`, `[e g -b c]`.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Element {
    pub a: f64,
    pub b: f64,
    pub c: f64,
    pub d: f64,
    pub e: f64,
    pub g: f64,
    p: f64,
    /// Of a short piece.
    pub series: Option<Series>,
}

/// A short piece by its power series: the solution that starts as x³/6, its three derivatives at the
/// far end, and the constants of the equation of motion.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Series {
    f: [f64; 4],
    p: f64,
    s: f64,
}

impl Element {
    pub fn new(waves: &Waves, length: f64) -> Self {
        if waves.q * length < SHORT {
            Self::short(waves, length)
        } else {
            Self::long(waves, length)
        }
    }

    fn long(waves: &Waves, length: f64) -> Self {
        let &Waves { k, q, sum, p, .. } = waves;
        let decay = (-q * length).exp();
        let (sin, cos) = (k * length).sin_cos();
        // cosh and sinh, over exp(ql).
        let cosh = f64::midpoint(1.0, decay * decay);
        let sinh = 0.5 * (1.0 - decay * decay);
        let open = decay - cosh * cos;
        let scale = 1.0 / (2.0 * open + p / (q * k) * sinh * sin);
        let wide = sum * scale;
        Self {
            a: wide * (q * sinh * cos + k * cosh * sin),
            b: scale * (2.0 * q * k * sinh * sin - p * open),
            c: wide * (cosh * sin / k - sinh * cos / q),
            d: -wide * (q * sinh + k * sin * decay),
            e: wide * (cosh - cos * decay),
            g: wide * (sinh / q - sin * decay / k),
            p,
            series: None,
        }
    }

    fn short(waves: &Waves, length: f64) -> Self {
        let &Waves { p, s, .. } = waves;
        let [f, f1, f2, f3] = unit_third_derivative(p, s, length);
        let psi0 = f3 - p * f1;
        let psi1 = f2 - p * f;
        let scale = 1.0 / (f1 * f1 - f * f2);
        Self {
            a: scale * (f2 * psi0 - s * f1 * f),
            b: scale * (f1 * psi0 - s * f * f),
            c: scale * (f1 * psi1 - f * psi0),
            d: -scale * f2,
            e: scale * f1,
            g: scale * f,
            p,
            series: Some(Series { f: [f, f1, f2, f3], p, s }),
        }
    }

    /// What is left at the right end when the left one, whose inverted pivot is given, is eliminated.
    pub fn condense(&self, [i, m, o]: [f64; 3]) -> [f64; 3] {
        let &Self { a, b, c, d, e, g, .. } = self;
        let (by_y, by_slope) = ([i * d - m * e, m * d - o * e], [i * e + m * g, m * e + o * g]);
        [
            a - d * by_y[0] + e * by_y[1],
            -b - e * by_y[0] - g * by_y[1],
            c - e * by_slope[0] - g * by_slope[1],
        ]
    }

    /// What moves at the left end, from deflection and slope of both ends.
    pub fn left_state(&self, left: [f64; 2], right: [f64; 2]) -> State {
        let force = self.a * left[0] + self.b * left[1] + self.d * right[0] + self.e * right[1];
        let moment = self.b * left[0] + self.c * left[1] - self.e * right[0] + self.g * right[1];
        State { y: left[0], slope: left[1], curvature: -moment, third: force + self.p * left[1] }
    }

    /// What moves at the right end.
    pub fn right_state(&self, left: [f64; 2], right: [f64; 2]) -> State {
        let force = self.d * left[0] - self.e * left[1] + self.a * right[0] - self.b * right[1];
        let moment = self.e * left[0] + self.g * left[1] - self.b * right[0] + self.c * right[1];
        State { y: right[0], slope: right[1], curvature: moment, third: self.p * right[1] - force }
    }
}

impl Series {
    /// What is left at the right end, from what is left at the left one: force and moment that hold the
    /// left part there, carried across with the motion. Without the large stiffness of a short piece.
    pub fn carry(&self, [stay, couple, turn]: [f64; 3]) -> [f64; 3] {
        let &Self { f: [f, f1, f2, f3], p, s } = self;
        let across = |y: f64, slope: f64| {
            let third = p * slope - stay * y - couple * slope;
            let curvature = couple * y + turn * slope;
            let right_y = y * (f3 - p * f1) + slope * (f2 - p * f) + curvature * f1 + third * f;
            let right_slope = y * s * f + slope * (f3 - p * f1) + curvature * f2 + third * f1;
            let right_curvature = y * s * f1 + slope * s * f + curvature * f3 + third * f2;
            let right_third =
                y * s * f2 + slope * s * f1 + curvature * (p * f2 + s * f) + third * f3;
            [right_y, right_slope, p * right_slope - right_third, right_curvature]
        };
        let [y, slope, force, moment] = across(1.0, 0.0);
        let [y2, slope2, force2, moment2] = across(0.0, 1.0);
        let scale = 1.0 / (y * slope2 - y2 * slope);
        let mixed = f64::midpoint(force2 * y - force * y2, moment * slope2 - moment2 * slope);
        [
            scale * (force * slope2 - force2 * slope),
            scale * mixed,
            scale * (moment2 * y - moment * y2),
        ]
    }
}

/// The solution whose third derivative is 1 and all lower ones 0 at x = 0, with its derivatives:
/// the sum of c_j x^(2j+3)/(2j+3)!, c_j = p c_(j-1) + s c_(j-2).
#[expect(clippy::doc_markdown, reason = "a formula")]
fn unit_third_derivative(p: f64, s: f64, x: f64) -> [f64; 4] {
    let (mut last, mut coefficient) = (0.0, 1.0);
    let mut power = 1.0;
    let mut sums = [0.0; 4];
    for j in 0..12 {
        let order = f64::from(2 * j);
        let term = coefficient * power;
        sums[3] += term;
        sums[2] += term * x / (order + 1.0);
        sums[1] += term * x * x / ((order + 1.0) * (order + 2.0));
        sums[0] += term * x * x * x / ((order + 1.0) * (order + 2.0) * (order + 3.0));
        power *= x * x / ((order + 1.0) * (order + 2.0));
        (last, coefficient) = (coefficient, p * coefficient + s * last);
    }
    sums
}

/// The motion along one piece.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Motion {
    /// Amplitudes of cos kx, sin kx, exp(-qx) and exp(-q(l-x)).
    Waves { waves: Waves, length: f64, amplitudes: [f64; 4] },
    /// From the state at its left end, by the power series.
    Series { p: f64, s: f64, length: f64, left: State },
}

/// A piece that is not there.
impl Default for Motion {
    fn default() -> Self {
        Self::Series { p: 0.0, s: 0.0, length: 0.0, left: State::default() }
    }
}

impl Motion {
    pub fn new(waves: &Waves, length: f64, left: State, right: State) -> Self {
        let &Waves { k, q, sum, p, s } = waves;
        if q * length < SHORT {
            return Self::Series { p, s, length, left };
        }
        let (k2, q2) = (k * k, q * q);
        let amplitudes = [
            (q2 * left.y - left.curvature) / sum,
            (q2 * left.slope - left.third) / (k * sum),
            0.5 / sum * (k2 * left.y + left.curvature - (k2 * left.slope + left.third) / q),
            0.5 / sum * (k2 * right.y + right.curvature + (k2 * right.slope + right.third) / q),
        ];
        Self::Waves { waves: *waves, length, amplitudes }
    }

    /// Deflection at `x` from the left end of the piece.
    pub fn at(&self, x: f64) -> f64 {
        match *self {
            Self::Waves { waves: Waves { k, q, .. }, length, amplitudes: [a, b, c, d] } => {
                let (sin, cos) = (k * x).sin_cos();
                a * cos + b * sin + c * (-q * x).exp() + d * (-q * (length - x)).exp()
            }
            Self::Series { p, s, left, .. } => taylor(p, s, left, x)[0],
        }
    }

    /// Integral of the squared deflection from the left end up to `x`.
    pub fn square_up_to(&self, x: f64) -> f64 {
        match *self {
            Self::Waves { ref waves, length, amplitudes: [a, b, c, d] } => {
                square_of_waves(waves, x, [a, b, c, d * (-waves.q * (length - x)).exp()])
            }
            Self::Series { p, s, left, .. } => Self::Series { p, s, length: x, left }.square(0),
        }
    }

    /// Integral of the squared deflection (order 0), slope (1) or curvature (2) over the piece.
    pub fn square(&self, order: usize) -> f64 {
        match *self {
            Self::Waves { ref waves, length, mut amplitudes } => {
                for _ in 0..order {
                    let [a, b, c, d] = amplitudes;
                    amplitudes = [waves.k * b, -waves.k * a, -waves.q * c, waves.q * d];
                }
                square_of_waves(waves, length, amplitudes)
            }
            Self::Series { p, s, length, left } => {
                let at = |share: f64| taylor(p, s, left, share * length)[order].powi(2);
                length * GAUSS.iter().map(|&(place, weight)| weight * at(place)).sum::<f64>()
            }
        }
    }
}

/// Gauss-Legendre with six points on 0..1: exact to the eleventh power.
const GAUSS: [(f64, f64); 6] = [
    (0.033_765_242_898_423_975, 0.085_662_246_189_585_17),
    (0.169_395_306_766_867_74, 0.180_380_786_524_069_3),
    (0.380_690_406_958_401_56, 0.233_956_967_286_345_52),
    (0.619_309_593_041_598_5, 0.233_956_967_286_345_52),
    (0.830_604_693_233_132_2, 0.180_380_786_524_069_3),
    (0.966_234_757_101_576, 0.085_662_246_189_585_17),
];

/// Deflection, slope and curvature at `x` from the state at 0.
fn taylor(p: f64, s: f64, left: State, x: f64) -> [f64; 3] {
    let mut derivatives = [left.y, left.slope, left.curvature, left.third];
    let mut power = 1.0;
    let mut sums = [0.0; 3];
    for n in 0..24 {
        let order = f64::from(n);
        sums[0] += derivatives[0] * power;
        sums[1] += derivatives[1] * power;
        sums[2] += derivatives[2] * power;
        power *= x / (order + 1.0);
        let [y, slope, curvature, third] = derivatives;
        derivatives = [slope, curvature, third, p * curvature + s * y];
    }
    sums
}

fn square_of_waves(waves: &Waves, length: f64, [a, b, c, d]: [f64; 4]) -> f64 {
    let &Waves { k, q, sum, .. } = waves;
    let decay = (-q * length).exp();
    let (sin, cos) = (k * length).sin_cos();
    let half = sin * cos / (2.0 * k);
    let travelling =
        a * a * (length / 2.0 + half) + b * b * (length / 2.0 - half) + a * b * sin * sin / k;
    let dying = (c * c + d * d) * (1.0 - decay * decay) / (2.0 * q) + 2.0 * c * d * decay * length;
    let from_left = a * (q + decay * (k * sin - q * cos)) + b * (k - decay * (q * sin + k * cos));
    let from_right = a * (q * cos + k * sin - q * decay) + b * (q * sin - k * cos + k * decay);
    travelling + dying + 2.0 / sum * (c * from_left + d * from_right)
}

/// Into how many equal parts a piece is cut, so that no part can vibrate between clamped ends at or
/// below this frequency: the lowest such frequency has kl above pi whatever the tension.
pub(crate) fn parts(waves: &Waves, length: f64) -> f64 {
    (waves.k * length / (0.8 * PI)).ceil().max(1.0)
}
