//! A value with its standard uncertainty.

use std::ops::{Div, Mul};

/// A value and its standard uncertainty (one standard deviation, same unit).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured<Q> {
    /// The best value.
    pub value: Q,
    /// One standard deviation.
    pub sd: Q,
}

impl<Q> Measured<Q> {
    /// A value with its standard uncertainty.
    pub const fn new(value: Q, sd: Q) -> Self {
        Self { value, sd }
    }

    /// The same, expressed through another unit or quantity by a linear map without offset.
    pub fn map<R>(self, linear: impl Fn(Q) -> R) -> Measured<R> {
        Measured { value: linear(self.value), sd: linear(self.sd) }
    }
}

impl<Q: Copy + Mul<f64, Output = Q>> Mul<f64> for Measured<Q> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.value * factor, self.sd * factor.abs())
    }
}

impl<Q: Copy + Div<Output = R>, R> Measured<Q> {
    /// Standard uncertainty over value.
    pub fn relative_sd(&self) -> R {
        self.sd / self.value
    }
}
