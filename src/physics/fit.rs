//! B and f0 from partials: for strings whose partials do not follow one law exactly.
//!
//! Least squares of `(f_n/n)^2 = f0^2 (1 + B n^2)`, a straight line in n^2: B is its slope over its
//! intercept, a pure number that belongs to the range of partials fitted. f in Hz.
//! Source: the law is H. Fletcher's, J. Acoust. Soc. Am. 36 (1964) 203; the worked number is his
//! table IV: F = 776.7 and slope 0.650 of `f_n/n` over n^2, so that B = (2/F) 0.650 = 0.00167.
//! Holds for two or more different partials; leaves out weights.
//!
//! ```
//! use feltwire::measure::{hertz, Frequency};
//! use feltwire::physics::fit;
//! let f = |n: u32| hertz(f64::from(n) * (776.7 + 0.650 * f64::from(n * n)));
//! let partials: Vec<(u32, Frequency)> = (1..=6).map(|n| (n, f(n))).collect();
//! let fitted = fit::inharmonicity(&partials).unwrap();
//! assert!((fitted.inharmonicity.0 / 0.00167 - 1.0).abs() < 0.03);
//! ```

use crate::measure::{Frequency, Inharmonicity, hertz};

/// What a set of partials says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// f0, what the string would sound without stiffness.
    pub ideal: Frequency,
    /// B over the partials fitted.
    pub inharmonicity: Inharmonicity,
}

/// Fits partial numbers and frequencies; `None` when they are fewer than two, or not those of a string.
pub fn inharmonicity(partials: &[(u32, Frequency)]) -> Option<Fitted> {
    let points = partials.iter().map(|&(n, f)| {
        let n = f64::from(n);
        (n * n, (f.value / n).powi(2))
    });
    let line = Line::through(points)?;
    Some(Fitted { ideal: hertz(line.intercept.sqrt()), inharmonicity: Inharmonicity(line.b()) })
}

/// A least-squares line through (x, y), with what is needed for its slopes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    intercept: f64,
    slope: f64,
    mean: f64,
    spread: f64,
    count: f64,
}

impl Line {
    pub(crate) fn through(points: impl Iterator<Item = (f64, f64)> + Clone) -> Option<Self> {
        let count = points.clone().count() as f64;
        let mean = points.clone().map(|(x, _)| x).sum::<f64>() / count;
        let level = points.clone().map(|(_, y)| y).sum::<f64>() / count;
        let spread: f64 = points.clone().map(|(x, _)| (x - mean).powi(2)).sum();
        let slope = points.map(|(x, y)| (x - mean) * (y - level)).sum::<f64>() / spread;
        let intercept = level - slope * mean;
        let sound = slope.is_finite() && intercept.is_finite() && intercept > 0.0;
        sound.then_some(Self { intercept, slope, mean, spread, count })
    }

    /// Slope over intercept.
    pub(crate) fn b(&self) -> f64 {
        self.slope / self.intercept
    }

    /// Derivative of B by the y of the point at `x`.
    pub(crate) fn b_by_y(&self, x: f64) -> f64 {
        let slope = (x - self.mean) / self.spread;
        let intercept = 1.0 / self.count - slope * self.mean;
        (slope - self.b() * intercept) / self.intercept
    }
}
