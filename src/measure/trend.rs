//! A smooth curve through readings with errors, and how far it may be trusted between them.
//!
//! Speaking lengths along a bridge, winding thickness along a set, strike points along a line: each
//! is a smooth curve of the key number, read at some notes only. The curve is believed to be an
//! integrated Wiener process (slope wanders by `roughness` per √key), whose posterior mean is the
//! cubic smoothing spline; the forward filter and backward smoother give mean and standard deviation
//! at every key exactly, in a number of steps proportional to the keys.
//!
//! Source: G. Wahba, Improper priors, spline smoothing and the problem of guarding against model
//! errors in regression, J. R. Statist. Soc. B 40 (1978) 364; H. E. Rauch, F. Tung, C. T. Striebel,
//! AIAA J. 3 (1965) 1445 (the backward pass).

mod joint;

pub use joint::Joint;

/// One reading: where, what, and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Position, in keys.
    pub at: f64,
    /// What was read.
    pub value: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// What is believed of the curve before any reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Usual slope per key.
    pub slope: f64,
    /// How far slopes differ from it.
    pub slope_sd: f64,
    /// Usual wander of the slope per √key.
    pub roughness: f64,
    /// Factor by which the wander differs from piano to piano (one standard deviation).
    pub roughness_factor: f64,
}

/// The curve at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnCurve {
    /// Its value.
    pub value: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// Its slope per key.
    pub slope: f64,
}

/// A curve believed given the readings.
#[derive(Debug, Clone)]
pub struct Trend {
    points: Vec<Point>,
    prior: Prior,
    roughness: f64,
}

/// State of the filter: value and slope, and their covariance.
#[derive(Debug, Clone, Copy)]
struct State {
    mean: [f64; 2],
    cov: [[f64; 2]; 2],
}

/// Variance that stands for "nothing is known of the level".
const DIFFUSE: f64 = 1e8;

impl Trend {
    /// The curve through `points`, sorted by place; `None` without any.
    pub fn through(mut points: Vec<Point>, prior: Prior) -> Option<Self> {
        points.retain(|p| p.at.is_finite() && p.value.is_finite() && p.sd.is_finite());
        if points.is_empty() {
            return None;
        }
        points.sort_by(|a, b| a.at.total_cmp(&b.at));
        let mut trend = Self { points, prior, roughness: prior.roughness };
        trend.roughness = trend.likeliest_roughness();
        Some(trend)
    }

    /// The wander of the slope per √key that the readings and the prior make likeliest.
    pub fn roughness(&self) -> f64 {
        self.roughness
    }

    /// The curve at each of `places`, which must be sorted.
    pub fn at(&self, places: &[f64]) -> Vec<OnCurve> {
        self.smoothed(places, None)
    }

    /// The curve at the place of point `index`, believed without that point: what the others say.
    pub fn without(&self, index: usize) -> OnCurve {
        let place = self.points[index].at;
        self.smoothed(&[place], Some(index))[0]
    }

    /// The readings, sorted by place.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Each roughness of a grid with the logarithm of the marginal likelihood of the readings times the
    /// prior of the roughness.
    fn roughnesses(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        const STEPS: i32 = 12;
        let spread = self.prior.roughness_factor.ln();
        (-STEPS..=STEPS).map(move |step| {
            let z = 3.0 * f64::from(step) / f64::from(STEPS);
            let roughness = self.prior.roughness * (z * spread).exp();
            (roughness, self.log_likelihood(roughness) - 0.5 * z * z)
        })
    }

    /// The most of that grid.
    fn likeliest_roughness(&self) -> f64 {
        self.roughnesses()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map_or(self.prior.roughness, |best| best.0)
    }

    /// A few roughnesses with the chance of each; they add up to 1.
    fn likely_roughnesses(&self) -> Vec<(f64, f64)> {
        if self.prior.roughness_factor <= 1.0 {
            return vec![(self.roughness, 1.0)];
        }
        let mut all: Vec<(f64, f64)> = self.roughnesses().skip(1).step_by(2).collect();
        let most = all.iter().fold(f64::NEG_INFINITY, |most, (_, score)| most.max(*score));
        for (_, score) in &mut all {
            *score = (*score - most).exp();
        }
        all.retain(|(_, weight)| *weight > 0.02);
        let sum: f64 = all.iter().map(|(_, weight)| weight).sum();
        for (_, weight) in &mut all {
            *weight /= sum;
        }
        all
    }

    fn start(&self) -> State {
        State {
            mean: [self.points[0].value, self.prior.slope],
            cov: [[DIFFUSE, 0.0], [0.0, self.prior.slope_sd.powi(2)]],
        }
    }

    fn log_likelihood(&self, roughness: f64) -> f64 {
        let mut state = self.start();
        let mut here = self.points[0].at;
        let mut sum = 0.0;
        for point in &self.points {
            state = predict(&state, point.at - here, roughness);
            here = point.at;
            let variance = state.cov[0][0] + point.sd.powi(2);
            let surprise = point.value - state.mean[0];
            sum -= 0.5 * (variance.ln() + surprise * surprise / variance);
            state = update(&state, point);
        }
        sum
    }

    fn smoothed(&self, places: &[f64], left_out: Option<usize>) -> Vec<OnCurve> {
        let pass = self.pass(places, left_out, self.roughness);
        let mut curve =
            vec![OnCurve { value: f64::NAN, sd: f64::NAN, slope: f64::NAN }; places.len()];
        for (stop, state) in pass.stops.iter().zip(pass.smooth()) {
            if let Some(place) = stop.place {
                curve[place] = OnCurve::of(&state);
            }
        }
        curve
    }

    /// The filter over all places asked for and all points.
    fn pass(&self, places: &[f64], left_out: Option<usize>, roughness: f64) -> Pass {
        let mut stops: Vec<Stop> = places
            .iter()
            .enumerate()
            .map(|(i, &at)| Stop { at, point: None, place: Some(i) })
            .chain((0..self.points.len()).filter(|i| Some(*i) != left_out).map(|i| Stop {
                at: self.points[i].at,
                point: Some(i),
                place: None,
            }))
            .collect();
        stops.sort_by(|a, b| a.at.total_cmp(&b.at));
        let mut pass = Pass {
            filtered: Vec::with_capacity(stops.len()),
            predicted: Vec::with_capacity(stops.len()),
            stops,
        };
        let mut state = self.start();
        let mut here = pass.stops.first().map_or(0.0, |stop| stop.at);
        for stop in &pass.stops {
            state = predict(&state, stop.at - here, roughness);
            pass.predicted.push(state);
            here = stop.at;
            if let Some(point) = stop.point {
                state = update(&state, &self.points[point]);
            }
            pass.filtered.push(state);
        }
        pass
    }
}

impl OnCurve {
    fn of(state: &State) -> Self {
        Self { value: state.mean[0], sd: state.cov[0][0].max(0.0).sqrt(), slope: state.mean[1] }
    }
}

/// A stop of the filter: a place asked for, or a point.
#[derive(Debug, Clone, Copy)]
struct Stop {
    at: f64,
    point: Option<usize>,
    place: Option<usize>,
}

/// The filter's states at its stops.
struct Pass {
    stops: Vec<Stop>,
    filtered: Vec<State>,
    predicted: Vec<State>,
}

impl Pass {
    /// The backward pass: what all points say of every stop.
    fn smooth(&self) -> Vec<State> {
        let mut smooth = self.filtered.clone();
        for i in (0..smooth.len().saturating_sub(1)).rev() {
            smooth[i] = match self.gain(i) {
                None => smooth[i + 1],
                Some(gain) => {
                    back(&self.filtered[i], &self.predicted[i + 1], &smooth[i + 1], &gain)
                }
            };
        }
        smooth
    }

    /// Of each stop: how it follows the next one. The last follows none.
    fn gains(&self) -> Vec<[[f64; 2]; 2]> {
        (0..self.stops.len().saturating_sub(1))
            .map(|i| self.gain(i).unwrap_or([[1.0, 0.0], [0.0, 1.0]]))
            .collect()
    }

    /// `P·Fᵀ·(predicted)⁻¹`, with F = [1 step; 0 1]; `None` where two stops are at one place.
    fn gain(&self, i: usize) -> Option<[[f64; 2]; 2]> {
        let step = self.stops[i + 1].at - self.stops[i].at;
        let [[a, b], [_, d]] = self.filtered[i].cov;
        let [[p, q], [_, r]] = self.predicted[i + 1].cov;
        let determinant = p * r - q * q;
        if determinant <= 0.0 || !determinant.is_finite() || step == 0.0 {
            return None;
        }
        let pft = [[a + step * b, b], [b + step * d, d]];
        let inverse = [[r / determinant, -q / determinant], [-q / determinant, p / determinant]];
        Some(multiply(&pft, &inverse))
    }
}

fn predict(state: &State, step: f64, roughness: f64) -> State {
    let q = roughness * roughness;
    let [[a, b], [_, d]] = state.cov;
    let cross = b + step * d + q * step * step / 2.0;
    State {
        mean: [state.mean[0] + step * state.mean[1], state.mean[1]],
        cov: [
            [a + 2.0 * step * b + step * step * d + q * step.powi(3) / 3.0, cross],
            [cross, d + q * step],
        ],
    }
}

fn update(state: &State, point: &Point) -> State {
    let [[a, b], [_, d]] = state.cov;
    let noise = noise(point.sd);
    let variance = a + noise;
    let gain = [a / variance, b / variance];
    let surprise = point.value - state.mean[0];
    // a − a²/(a+r) written as a·r/(a+r), which keeps its digits when a is diffuse.
    let cross = b * noise / variance;
    State {
        mean: [state.mean[0] + gain[0] * surprise, state.mean[1] + gain[1] * surprise],
        cov: [[a * noise / variance, cross], [cross, d - gain[1] * b]],
    }
}

fn back(filtered: &State, predicted: &State, later: &State, gain: &[[f64; 2]; 2]) -> State {
    let [[a, b], [_, d]] = filtered.cov;
    let [[p, q], [_, r]] = predicted.cov;
    let lead = [later.mean[0] - predicted.mean[0], later.mean[1] - predicted.mean[1]];
    let spread =
        [[later.cov[0][0] - p, later.cov[0][1] - q], [later.cov[1][0] - q, later.cov[1][1] - r]];
    let change = multiply(&multiply(gain, &spread), &transposed(gain));
    State {
        mean: [
            filtered.mean[0] + gain[0][0] * lead[0] + gain[0][1] * lead[1],
            filtered.mean[1] + gain[1][0] * lead[0] + gain[1][1] * lead[1],
        ],
        cov: [[a + change[0][0], b + change[0][1]], [b + change[1][0], d + change[1][1]]],
    }
}

/// Variance of a reading; never quite none.
fn noise(sd: f64) -> f64 {
    sd.powi(2).max(1e-18)
}

fn multiply(a: &[[f64; 2]; 2], b: &[[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let cell = |i: usize, j: usize| a[i][0] * b[0][j] + a[i][1] * b[1][j];
    [[cell(0, 0), cell(0, 1)], [cell(1, 0), cell(1, 1)]]
}

fn transposed(a: &[[f64; 2]; 2]) -> [[f64; 2]; 2] {
    [[a[0][0], a[1][0]], [a[0][1], a[1][1]]]
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    const PRIOR: Prior =
        Prior { slope: -0.05, slope_sd: 0.03, roughness: 0.002, roughness_factor: 2.5 };

    fn points(values: &[(f64, f64)], sd: f64) -> Vec<Point> {
        values.iter().map(|&(at, value)| Point { at, value, sd }).collect()
    }

    #[test]
    fn a_straight_line_is_followed_between_and_beyond_its_readings() {
        let line: Vec<_> = [0.0, 6.0, 12.0, 24.0].map(|k| (k, 3.0 - 0.04 * k)).to_vec();
        let trend = Trend::through(points(&line, 1e-5), PRIOR).expect("points");
        for place in [3.0, 9.0, 18.0, 23.0] {
            let on = trend.at(&[place])[0];
            assert_abs_diff_eq!(on.value, 3.0 - 0.04 * place, epsilon = 1e-4);
        }
    }

    /// Doubt grows from the readings to the middle of a gap, and faster beyond the last.
    #[test]
    fn doubt_grows_away_from_the_readings() {
        let trend = Trend::through(points(&[(0.0, 1.0), (10.0, 0.6), (20.0, 0.1)], 1e-3), PRIOR)
            .expect("points");
        let sd = |k: f64| trend.at(&[k])[0].sd;
        assert!(sd(0.0) <= 1.001e-3);
        assert!(sd(5.0) > sd(1.0) && sd(5.0) > sd(9.0));
        assert!(sd(30.0) > sd(25.0) && sd(25.0) > sd(15.0));
    }

    /// The posterior of a Gaussian process is what dense algebra says: covariance of the integrated
    /// Wiener process from 0, min(s,t)²·(3·max(s,t) − min(s,t))/6 (Wahba 1978).
    #[test]
    fn agrees_with_dense_gaussian_conditioning() {
        let given = points(&[(0.0, 1.0), (4.0, 0.85), (7.0, 0.7), (15.0, 0.2)], 0.01);
        let prior = Prior { roughness_factor: 1.0, ..PRIOR };
        let trend = Trend::through(given.clone(), prior).expect("points");
        let kernel = |s: f64, t: f64| {
            let (low, high) = (s.min(t), s.max(t));
            // Wide beside the readings, yet not so wide that dense algebra loses its digits.
            1.0 + prior.slope_sd.powi(2) * s * t
                + prior.roughness.powi(2) * low * low * (3.0 * high - low) / 6.0
        };
        let mean = |t: f64| given[0].value + prior.slope * t;
        let n = given.len();
        let gram = nalgebra::DMatrix::from_fn(n, n, |i, j| {
            kernel(given[i].at, given[j].at) + if i == j { 0.01 * 0.01 } else { 0.0 }
        });
        let inverse = gram.try_inverse().expect("positive definite");
        let residual = nalgebra::DVector::from_fn(n, |i, _| given[i].value - mean(given[i].at));
        for place in [2.0, 5.5, 10.0, 18.0] {
            let row = nalgebra::DVector::from_fn(n, |i, _| kernel(place, given[i].at));
            let expected = mean(place) + (row.transpose() * &inverse * &residual)[0];
            assert_abs_diff_eq!(trend.at(&[place])[0].value, expected, epsilon = 1e-5);
        }
    }

    #[test]
    fn a_reading_left_out_is_foretold_by_the_others() {
        let mut line: Vec<_> = (0..12).map(|k| (f64::from(k), 2.0 - 0.05 * f64::from(k))).collect();
        line[6].1 += 0.2;
        let trend = Trend::through(points(&line, 0.002), PRIOR).expect("points");
        assert_abs_diff_eq!(trend.without(6).value, 1.7, epsilon = 0.01);
    }
}
