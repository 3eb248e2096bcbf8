//! A straight line through points by least squares, as weights on the values: every figure taken
//! from it (value at a place, slope) is a sum of weight times value, so that the errors of the
//! values carry through exactly.
//!
//! At place a: `w_i = 1/n + (a - x̄)(x_i - x̄)/S`, slope: `v_i = (x_i - x̄)/S`,
//! `S = sum (x_i - x̄)²`; x in keys.

/// A line through points.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// Weights of the values in the line's value at the place asked for.
    pub value: Vec<f64>,
    /// Weights of the values in its slope.
    pub slope: Vec<f64>,
}

impl Line {
    /// The line through points at `x` (at least two different ones), read at `at`.
    pub fn through(x: &[f64], at: f64) -> Self {
        let n = x.len() as f64;
        let mean = x.iter().sum::<f64>() / n;
        let spread: f64 = x.iter().map(|x| (x - mean).powi(2)).sum();
        let slope: Vec<f64> = x.iter().map(|x| (x - mean) / spread).collect();
        let value = slope.iter().map(|v| 1.0 / n + (at - mean) * v).collect();
        Self { value, slope }
    }

    /// Sum of squared distances of the values `y` at `x` from the line.
    pub fn residual_squares(&self, x: &[f64], y: &[f64]) -> f64 {
        let n = x.len() as f64;
        let slope = dot(&self.slope, y);
        let (x_mean, y_mean) = (x.iter().sum::<f64>() / n, y.iter().sum::<f64>() / n);
        x.iter().zip(y).map(|(x, y)| (y - y_mean - slope * (x - x_mean)).powi(2)).sum()
    }
}

/// Sum of products.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Sum of squares.
pub(super) fn squares(a: &[f64]) -> f64 {
    dot(a, a)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a_straight_line_is_read_anywhere() {
        let x = [1.0, 2.0, 4.0, 9.0];
        let y = x.map(|x| 3.0 - 0.2 * x);
        let line = Line::through(&x, 12.0);
        assert_abs_diff_eq!(dot(&line.value, &y), 3.0 - 2.4, epsilon = 1e-12);
        assert_abs_diff_eq!(dot(&line.slope, &y), -0.2, epsilon = 1e-12);
        assert_abs_diff_eq!(line.residual_squares(&x, &y), 0.0, epsilon = 1e-24);
    }

    /// Least squares against the pencil: x 0, 1, 2, 3 and y 0, 1, 1, 2 give slope 0.6 and intercept 0.1,
    /// residuals -0.1, 0.3, -0.3, 0.1.
    #[test]
    fn agrees_with_the_pencil() {
        let (x, y) = ([0.0, 1.0, 2.0, 3.0], [0.0, 1.0, 1.0, 2.0]);
        let line = Line::through(&x, 0.0);
        assert_abs_diff_eq!(dot(&line.value, &y), 0.1, epsilon = 1e-12);
        assert_abs_diff_eq!(dot(&line.slope, &y), 0.6, epsilon = 1e-12);
        assert_abs_diff_eq!(line.residual_squares(&x, &y), 0.2, epsilon = 1e-12);
    }
}
