//! What temperature and small strains of the frame do to the pitch of a string.
//!
//! `cents = -(600/ln 2) [(E/S) (a_s t_s - a_p t_p) + m t_s]`, and the drift per strain eps of the
//! frame `cents = (600/ln 2) (E/S) eps`: E Young's modulus (Pa), S stress (Pa), `a_s` and `a_p` the
//! expansion of string and frame (1/K), `t_s` and `t_p` their warming (K), m the loss of the modulus
//! per kelvin (1/K). A slack string (small S) drifts most.
//! Source: Hooke's law at fixed length, T changes by E A (strain), f by half of it. The worked number
//! is algebra: 600/ln 2 · 202/0.7 · 1e-5 = 2.5 cents at `S = 700e6`.
//! Holds while strains are far below S/E. Leaves out the soundboard, whose moisture rules the seasons.
//!
//! ```
//! use feltwire::measure::{gpa, mpa};
//! use feltwire::physics::temperature::drift;
//! let cents = |stress: f64| drift(mpa(stress), gpa(202.0), 1e-5).0;
//! assert!((cents(700.0) - 2.5).abs() < 0.05);
//! assert!((cents(1200.0) - 1.5).abs() < 0.05);
//! ```
//!
//! A string alone that warms by 1 K at `S = 1e9`, expansion 11.5e-6 and softening 2.5e-4 per kelvin,
//! falls by 865.6 · (202 · 11.5e-6 + 2.5e-4) = 2.2 cents.
//!
//! ```
//! use feltwire::measure::{gpa, kelvins, mpa, per_kelvin};
//! use feltwire::physics::temperature::{Expansion, warming};
//! let expansion = Expansion {
//!     string: per_kelvin(11.5e-6),
//!     frame: per_kelvin(10.8e-6),
//!     softening: per_kelvin(2.5e-4),
//! };
//! let alone = warming(mpa(1000.0), gpa(202.0), expansion, kelvins(1.0), kelvins(0.0));
//! assert!((alone.0 + 2.2).abs() < 0.05);
//! ```

use crate::measure::{Cents, Pressure, TemperatureCoefficient, TemperatureInterval};
use std::f64::consts::LN_2;

/// Expansion and softening of string and frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expansion {
    /// Of the string's steel.
    pub string: TemperatureCoefficient,
    /// Of the frame that holds its ends apart.
    pub frame: TemperatureCoefficient,
    /// Share of Young's modulus that the string loses per kelvin, as a positive number.
    pub softening: TemperatureCoefficient,
}

/// Change of pitch when the string warms by `string` and the frame by `frame`.
pub fn warming(
    stress: Pressure,
    youngs_modulus: Pressure,
    expansion: Expansion,
    string: TemperatureInterval,
    frame: TemperatureInterval,
) -> Cents {
    let (string, frame) = (string.value, frame.value);
    let slack = expansion.string.value * string - expansion.frame.value * frame;
    let stiffness = youngs_modulus.value / stress.value;
    Cents(-600.0 / LN_2 * (stiffness * slack + expansion.softening.value * string))
}

/// Change of pitch when the ends of the string move apart by `strain` of its length.
pub fn drift(stress: Pressure, youngs_modulus: Pressure, strain: f64) -> Cents {
    Cents(600.0 / LN_2 * (youngs_modulus.value / stress.value) * strain)
}
