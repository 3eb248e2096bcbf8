//! Tension and pitch of one string: what a change of one does to the other; for raise plans and lower
//! pitches.
//!
//! At one length and mass f1^2 is linear in T: without stiffness T2/T1 = (f2/f1)^2 = 2^(c/600), c in
//! cents; +1 % of tension is 600 log2(1.01) = +8.61 cents. Stiffness carries the share B/(1+B) of f1^2:
//! exactly, T2/T1 = (1+B) 2^(c/600) - B with B taken at T1.
//! Source: Mersenne's law; table of cents and tension in `tests/published` (algebra).
//! Holds for one string with its ends fixed; leaves out the stretch of wire and frame, and the other
//! strings' giving way.
//!
//! ```
//! use feltwire::measure::Cents;
//! use feltwire::physics::pitch;
//! // A at 435 Hz instead of 440 Hz takes 97.74 % of the tension: (435/440)².
//! let ratio = pitch::tension_ratio(Cents::of_ratio(435.0 / 440.0));
//! assert!((ratio - 0.97740).abs() < 5e-6);
//! assert!((pitch::cents(1.01).0 - 8.61).abs() < 5e-3);
//! ```

use crate::measure::{Cents, Inharmonicity};

/// Tension after over tension before for a change of pitch, without stiffness.
pub fn tension_ratio(change: Cents) -> f64 {
    (change.0 / 600.0).exp2()
}

/// The same with the string's stiffness, which carries a share of the pitch and does not change.
/// `before` is the string's inharmonicity at the tension before.
pub fn tension_ratio_stiff(change: Cents, before: Inharmonicity) -> f64 {
    (1.0 + before.0) * tension_ratio(change) - before.0
}

/// The change of pitch that a ratio of tensions makes, without stiffness.
pub fn cents(tension_ratio: f64) -> Cents {
    Cents(600.0 * tension_ratio.log2())
}
