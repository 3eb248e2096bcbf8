//! The curve at several places at once: what its doubts have in common.
//!
//! With w the share that each reading has in the curve at a place, and C the covariance of what is
//! believed at two places: w = C(place, reading)/sd², and what no reading settles is left over,
//! `C(s, t) - Σ w(s) w(t) sd²`. C follows from the smoother's gains, place by place.
//!
//! Source: C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning (2006), eq. 2.23
//! and 2.24 (the covariances; from memory); P. de Jong, Biometrika 76 (1989) 83 (by the gains; from
//! memory). Held by a test against dense algebra.

use super::{OnCurve, State, Trend, multiply};

/// The curve at several places.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// At each place.
    pub curve: Vec<OnCurve>,
    /// At each place: how far the curve moves with each of [`Trend::points`], as a share.
    pub shares: Vec<Vec<f64>>,
    /// At each place: what no reading settles, as independent parts of one standard deviation each;
    /// row i has i + 1 of them.
    pub open: Vec<Vec<f64>>,
}

impl Trend {
    /// The curve at each of `places`, which must be sorted, with what their doubts have in common.
    ///
    /// How rough the curve is, is not known either: unlike [`Trend::at`], which takes the likeliest
    /// roughness, this is the mean over all likely ones, and its doubt holds what they differ by.
    pub fn jointly(&self, places: &[f64]) -> Joint {
        let variances: Vec<f64> = self.points.iter().map(|point| super::noise(point.sd)).collect();
        let likely: Vec<(f64, Known)> = self
            .likely_roughnesses()
            .into_iter()
            .map(|(roughness, weight)| (weight, self.known(places, roughness, &variances)))
            .collect();
        let mean = |of: &dyn Fn(&Known) -> f64| -> f64 {
            likely.iter().map(|(weight, known)| weight * of(known)).sum()
        };
        let count = places.len();
        let values: Vec<f64> = (0..count).map(|i| mean(&|k| k.smooth[i].mean[0])).collect();
        let whole = |a: usize, b: usize| {
            let (a, b) = (a.min(b), a.max(b));
            let apart = |k: &Known, i: usize| k.smooth[i].mean[0] - values[i];
            mean(&|k| k.covariance[a][b - a] + apart(k, a) * apart(k, b))
        };
        let shares: Vec<Vec<f64>> = (0..count)
            .map(|i| (0..variances.len()).map(|j| mean(&|k| k.shares[i][j])).collect())
            .collect();
        let left = |a: usize, b: usize| {
            let read = shares[a].iter().zip(&shares[b]).zip(&variances);
            whole(a, b) - read.map(|((a, b), variance)| a * b * variance).sum::<f64>()
        };
        let on = |i: usize| OnCurve {
            value: values[i],
            sd: whole(i, i).max(0.0).sqrt(),
            slope: mean(&|k| k.smooth[i].mean[1]),
        };
        let curve = (0..count).map(on).collect();
        let open = factor(count, left);
        Joint { curve, shares, open }
    }

    /// What is known of the places at one roughness.
    fn known(&self, places: &[f64], roughness: f64, variances: &[f64]) -> Known {
        let pass = self.pass(places, None, roughness);
        let smooth = pass.smooth();
        let (mut of_places, mut of_points) = (vec![0; places.len()], vec![0; variances.len()]);
        for (i, stop) in pass.stops.iter().enumerate() {
            if let Some(place) = stop.place {
                of_places[place] = i;
            }
            if let Some(point) = stop.point {
                of_points[point] = i;
            }
        }
        let covariance = covariances(&pass.gains(), &smooth);
        let at = |i: usize, j: usize| covariance[i.min(j)][i.max(j) - i.min(j)];
        let shares = |&i: &usize| {
            of_points.iter().zip(variances).map(|(&j, variance)| at(i, j) / variance).collect()
        };
        let row = |a: usize| of_places[a..].iter().map(|&j| at(of_places[a], j)).collect();
        Known {
            shares: of_places.iter().map(shares).collect(),
            covariance: (0..places.len()).map(row).collect(),
            smooth: of_places.iter().map(|&i| smooth[i]).collect(),
        }
    }
}

/// The places at one roughness: their states, the share of each reading, and their covariances by row
/// from the diagonal on.
struct Known {
    smooth: Vec<State>,
    shares: Vec<Vec<f64>>,
    covariance: Vec<Vec<f64>>,
}

/// `Cov(value i, value j)` for j from i on, by row: `Cov(x_i, x_j) = A_i Cov(x_{i+1}, x_j)`.
fn covariances(gains: &[[[f64; 2]; 2]], smooth: &[State]) -> Vec<Vec<f64>> {
    let count = smooth.len();
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(count);
    // Whole 2 by 2 covariances of the row below with every later stop.
    let mut later: Vec<[[f64; 2]; 2]> = Vec::new();
    for i in (0..count).rev() {
        let mut row = Vec::with_capacity(count - i);
        row.push(smooth[i].cov);
        row.extend(later.iter().map(|cov| multiply(&gains[i], cov)));
        rows.push(row.iter().map(|cov| cov[0][0]).collect());
        later = row;
    }
    rows.reverse();
    rows
}

/// The lower triangular factor of a symmetric matrix, by rows; directions without variance get none.
fn factor(count: usize, of: impl Fn(usize, usize) -> f64) -> Vec<Vec<f64>> {
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(count);
    for i in 0..count {
        let mut row: Vec<f64> = Vec::with_capacity(i + 1);
        let whole = of(i, i).max(0.0);
        for (j, earlier) in rows.iter().enumerate() {
            let known: f64 = row.iter().zip(earlier).map(|(a, b)| a * b).sum();
            let pivot = earlier[j];
            row.push(if pivot > 0.0 { (of(i, j) - known) / pivot } else { 0.0 });
        }
        let known: f64 = row.iter().map(|a| a * a).sum();
        // Below a millionth of the variance there is only rounding.
        let rest = whole - known;
        row.push(if rest > 1e-6 * whole { rest.sqrt() } else { 0.0 });
        rows.push(row);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::super::{Point, Prior};
    use super::*;
    use approx::assert_abs_diff_eq;
    use nalgebra::DMatrix;

    /// Against dense conditioning of the same Gaussian process (Wahba 1978, as in `trend`): covariance
    /// at two places, and the share of each reading.
    #[test]
    fn agrees_with_dense_gaussian_conditioning() {
        let prior = Prior { slope: -0.05, slope_sd: 0.03, roughness: 0.002, roughness_factor: 1.0 };
        let given: Vec<Point> =
            [(0.0, 1.0, 0.01), (4.0, 0.85, 0.02), (7.0, 0.7, 0.01), (15.0, 0.2, 0.01)]
                .map(|(at, value, sd)| Point { at, value, sd })
                .to_vec();
        let trend = Trend::through(given.clone(), prior).expect("points");
        let kernel = |s: f64, t: f64| {
            let (low, high) = (s.min(t), s.max(t));
            // Wide beside the readings, yet not so wide that dense algebra loses its digits.
            10.0 + prior.slope_sd.powi(2) * s * t
                + prior.roughness.powi(2) * low * low * (3.0 * high - low) / 6.0
        };
        let n = given.len();
        let gram = DMatrix::from_fn(n, n, |i, j| {
            let noise = if i == j { given[i].sd.powi(2) } else { 0.0 };
            kernel(given[i].at, given[j].at) + noise
        });
        let inverse = gram.cholesky().expect("positive definite").inverse();
        let places = [2.0, 5.5, 7.0, 10.0, 18.0];
        let cross = DMatrix::from_fn(places.len(), n, |i, j| kernel(places[i], given[j].at));
        let shares = &cross * &inverse;
        let joint = trend.jointly(&places);
        for (i, &place) in places.iter().enumerate() {
            for j in 0..n {
                assert_abs_diff_eq!(joint.shares[i][j], shares[(i, j)], epsilon = 2e-5);
            }
            for (k, &other) in places.iter().enumerate() {
                let expected =
                    kernel(place, other) - (shares.row(i) * cross.row(k).transpose())[(0, 0)];
                let read: f64 = (0..n)
                    .map(|j| joint.shares[i][j] * joint.shares[k][j] * given[j].sd.powi(2))
                    .sum();
                let open: f64 = joint.open[i].iter().zip(&joint.open[k]).map(|(a, b)| a * b).sum();
                assert_abs_diff_eq!(read + open, expected, epsilon = 2e-9);
            }
            let alone = trend.at(&[place])[0];
            assert_abs_diff_eq!(joint.curve[i].value, alone.value, epsilon = 1e-12);
            assert_abs_diff_eq!(joint.curve[i].sd, alone.sd, epsilon = 1e-12);
        }
    }
}
