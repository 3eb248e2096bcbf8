//! The plain string: a stiff wire on tension between two pinned ends; for `scale`, and as the limit
//! that the wound string must reach.
//!
//! `f_n = n f0 sqrt(1 + B n^2)`, `f0 = (1/2L) sqrt(T/mu)`, `B = pi^2 E I/(T L^2)`, so that the
//! tension that sounds f1 is exactly `T = 4 L^2 f1^2 mu - pi^2 E I/L^2`.
//! L speaking length (m), T tension (N), mu mass per length (kg/m), E Young's modulus (Pa), I second
//! moment of area (m^4), n partial.
//! Clamped ends multiply `f_n` by nearly `1 + (2/pi) sqrt(B) + (4/pi^2) B`. Impedance
//! `Z = sqrt(T mu)`; longitudinal modes are multiples of `(1/2L) sqrt(E A/mu)`, A the core's area (m^2).
//! Source: H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203-209 (pinned and clamped ends).
//! Leaves out: motion of the bridge, tension added by the motion, shear and rotary inertia (by
//! Timoshenko's beam they lower partial 8 by about 0.1 cent at C4 and 1 cent at C6). The clamped factor is an expansion good for sqrt(B) n well below 1;
//! the modes of `physics::wound` solve clamped ends exactly.
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm};
//! use feltwire::physics::{core::Core, plain};
//! // Fletcher 1964: B = 3.95e10 d²/(l⁴ f²), d and l in cm; his table I, key 49: d 0.099, l 43.6:
//! // B = 0.000553. His constant is E/rho = 2.561e7 m²/s².
//! let core = Core::Round { diameter: mm(0.99) };
//! let mu = core.area() * kg_per_m3(7850.0);
//! let stiffness = gpa(2.561e7 * 7850.0 / 1e9) * core.second_moment();
//! let tension = plain::tension(mm(436.0), mu, stiffness, hertz(440.0)).unwrap();
//! let b = plain::inharmonicity(mm(436.0), stiffness, tension);
//! assert!((b.0 - 0.000553).abs() < 1e-6);
//! ```

use super::{Impossible, impossible::positive};
use crate::measure::{
    Area, BendingStiffness, Cents, Force, Frequency, Inharmonicity, Length, LinearMassDensity,
    MassDensity, MassRate, Pressure, hertz, kg_per_s, mpa, newtons,
};
use std::f64::consts::PI;

/// The tension at which the stiff string sounds `f1` between pinned ends.
///
/// `Err` when an input is not finite and positive, or when stiffness alone sounds at `f1` or above.
pub fn tension(
    length: Length,
    mass_per_length: LinearMassDensity,
    stiffness: BendingStiffness,
    f1: Frequency,
) -> Result<Force, Impossible> {
    let length = positive(length.value, "the speaking length")?;
    let mu = positive(mass_per_length.value, "the mass per length")?;
    let stiffness = positive(stiffness.value, "the bending stiffness")?;
    let f1 = positive(f1.value, "the pitch")?;
    let tension = 4.0 * (length * f1).powi(2) * mu - PI * PI * stiffness / (length * length);
    if !tension.is_finite() {
        return Err(Impossible::OutOfReach);
    }
    if tension <= 0.0 {
        return Err(Impossible::NoTension { tension: Some(newtons(tension)) });
    }
    Ok(newtons(tension))
}

/// B = pi² E I/(T L²), for pinned ends.
pub fn inharmonicity(length: Length, stiffness: BendingStiffness, tension: Force) -> Inharmonicity {
    Inharmonicity(PI * PI * stiffness.value / (tension.value * length.value.powi(2)))
}

/// f0 = (1/2L) sqrt(T/mu): what the string would sound without stiffness. It is not the pitch.
pub fn ideal_frequency(
    length: Length,
    mass_per_length: LinearMassDensity,
    tension: Force,
) -> Frequency {
    hertz((tension.value / mass_per_length.value).sqrt() / (2.0 * length.value))
}

/// `f_n = n f0 sqrt(1 + B n²)`, from the ideal frequency f0 (not from the sounding f1).
pub fn partial(ideal: Frequency, b: Inharmonicity, n: u32) -> Frequency {
    let n = f64::from(n);
    hertz(n * ideal.value * (1.0 + b.0 * n * n).sqrt())
}

/// By how much clamping both ends raises a partial, nearly: 1 + (2/pi) sqrt(B) + (4/pi²) B.
pub fn clamped_factor(b: Inharmonicity) -> f64 {
    1.0 + 2.0 / PI * b.0.sqrt() + 4.0 / (PI * PI) * b.0
}

/// How far partial `n` lies above n times the *ideal* f0: the curve goes as n².
pub fn above_ideal(b: Inharmonicity, n: u32) -> Cents {
    Cents(600.0 * (b.0 * f64::from(n).powi(2)).ln_1p() / std::f64::consts::LN_2)
}

/// How far partial `n` lies above n times the *sounding* f1: the curve goes as n² − 1.
pub fn above_sounding(b: Inharmonicity, n: u32) -> Cents {
    above_ideal(b, n) - above_ideal(b, 1)
}

/// Z = sqrt(T mu) of one string; the strings of a unison add up.
pub fn impedance(tension: Force, mass_per_length: LinearMassDensity) -> MassRate {
    kg_per_s((tension.value * mass_per_length.value).sqrt())
}

/// The first longitudinal mode, (1/2L) sqrt(E A/mu); `core` is the area of the core alone.
pub fn longitudinal(
    length: Length,
    core: Area,
    youngs_modulus: Pressure,
    mass_per_length: LinearMassDensity,
) -> Frequency {
    let speed = (youngs_modulus.value * core.value / mass_per_length.value).sqrt();
    hertz(speed / (2.0 * length.value))
}

/// 4 rho f² L²: the stress of a plain wire without stiffness, whatever its size.
pub fn stress_of_any_size(density: MassDensity, length: Length, f1: Frequency) -> Pressure {
    mpa(4e-6 * density.value * (f1.value * length.value).powi(2))
}
