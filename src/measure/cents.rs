//! Pitch intervals and inharmonicity as types of their own: a ratio is not a ratio.

use std::ops::{Add, Neg, Sub};

/// An interval in cents, 1200 to the octave; positive is sharp.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Cents(pub f64);

impl Cents {
    /// The interval between two frequencies of which `ratio` is the quotient.
    ///
    /// ```
    /// use feltwire::measure::Cents;
    /// assert_eq!(Cents::of_ratio(2.0), Cents(1200.0));
    /// // A at 435 Hz under A at 440 Hz (ISO 16:1975 standard pitch).
    /// assert!((Cents::of_ratio(435.0 / 440.0).0 + 19.786).abs() < 5e-4);
    /// ```
    pub fn of_ratio(ratio: f64) -> Self {
        Self(1200.0 * ratio.log2())
    }

    /// The frequency ratio of the interval.
    pub fn ratio(self) -> f64 {
        (self.0 / 1200.0).exp2()
    }
}

impl Add for Cents {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Cents {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Cents {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

/// The inharmonicity coefficient B of `f_n = n·f0·√(1 + B·n²)`, a pure number.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Inharmonicity(pub f64);
