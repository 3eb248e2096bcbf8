//! How far a figure steps inside a run of notes where nothing changes: the error of a step at its end.
//!
//! The line of one side goes through the 10 notes nearest to the break, or all there are, at least 4.
//!
//! Wire comes in sizes, so that tension along a plain section is a sawtooth whose distances from a
//! line hang together; the textbook error of a line takes them for independent and is too small.
//! The run's own steps are not: a step is taken at every place inside the run through
//! n = min(10, (notes - 3)/2) notes a side, and the mean square of what is found there is what the
//! recipe finds where there is nothing. One side of a break carries half of it. (Where n is 7 to 9 the
//! line at the break itself, through 10, is a little surer than that: the error is on the safe side.)
//!
//! A run too short for n = 7 gives the textbook error of its line times [`SHORT_RUN_FACTOR`].

use super::FEWEST_NOTES;
use super::line::{Line, dot, squares};

/// Most notes through which a line is drawn.
pub(super) const MOST_NOTES: usize = 10;
/// Below so many notes a side the own steps of a run are too few and too alike to be a yardstick: in
/// simulated scales with whole sizes in runs of 8 and 11 notes on both sides of the break, twice the
/// error held the step in 87 of 100 with own steps (4 notes a side), and in 99 of 100 with all notes
/// and the widened textbook error, which was also smaller.
const FEWEST_FOR_OWN_STEPS: usize = 7;
/// By how much the textbook error of a line is widened, because a sawtooth's residuals hang together.
const SHORT_RUN_FACTOR: f64 = 1.5;
/// A line reaches no further than this from the break, in keys, unless it needs to for its fewest notes.
const REACH: f64 = 15.0;

/// Where the error of one side comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Yardstick {
    /// The run's own steps.
    OwnSteps {
        /// At how many places they were taken.
        places: usize,
        /// Their root mean square, in the logarithm.
        usual: f64,
        /// The largest, in the logarithm, without its sign.
        largest: f64,
    },
    /// The run is too short: the widened error of its line.
    WidenedLeastSquares,
}

/// One side of a break: the line drawn, and what is known of its error.
#[derive(Debug, Clone)]
pub(super) struct Side {
    /// How many points from the break outwards the line uses.
    pub used: usize,
    /// Weights on those points, from the break outwards.
    pub line: Line,
    /// Variance of the line's value at the break.
    pub variance: f64,
    /// Variance of its slope.
    pub slope_variance: f64,
    /// Where they come from.
    pub yardstick: Yardstick,
}

impl Side {
    /// The side whose points, from the break outwards, lie at `x` with values `y`; the line is read at
    /// `at`. `width` is how far apart the outer notes of the break are, in keys: 1 unless it is a zone.
    ///
    /// `None` with fewer points than a line needs.
    pub fn new(x: &[f64], y: &[f64], at: f64, width: f64) -> Option<Self> {
        if x.len() < FEWEST_NOTES {
            return None;
        }
        let left_out = width.max(1.0) as usize - 1;
        let most = (x.len().saturating_sub(left_out + 3) / 2).min(MOST_NOTES);
        if most >= FEWEST_FOR_OWN_STEPS
            && let Some(side) = Self::by_own_steps(x, y, at, width, most)
        {
            return Some(side);
        }
        Some(Self::short(x, y, at))
    }

    fn short(x: &[f64], y: &[f64], at: f64) -> Self {
        let used = reach(x, at, MOST_NOTES);
        let (x, y) = (&x[..used], &y[..used]);
        let line = Line::through(x, at);
        let scatter = line.residual_squares(x, y) / (used as f64 - 2.0) * SHORT_RUN_FACTOR.powi(2);
        Self {
            used,
            variance: scatter * squares(&line.value),
            slope_variance: scatter * squares(&line.slope),
            line,
            yardstick: Yardstick::WidenedLeastSquares,
        }
    }

    /// `most`: notes a side at the places inside the run.
    fn by_own_steps(x: &[f64], y: &[f64], at: f64, width: f64, most: usize) -> Option<Self> {
        let used = reach(x, at, MOST_NOTES);
        let steps = own_steps(x, y, width, most);
        if steps.is_empty() {
            return None;
        }
        let mean_square = |of: fn(&(f64, f64)) -> f64| {
            steps.iter().map(|step| of(step).powi(2)).sum::<f64>() / steps.len() as f64
        };
        let (value, slope) = (mean_square(|step| step.0), mean_square(|step| step.1));
        Some(Self {
            used,
            line: Line::through(&x[..used], at),
            variance: value / 2.0,
            slope_variance: slope / 2.0,
            yardstick: Yardstick::OwnSteps {
                places: steps.len(),
                usual: value.sqrt(),
                largest: steps.iter().map(|step| step.0.abs()).fold(0.0, f64::max),
            },
        })
    }
}

/// How many of the points at `x`, nearest first, a line of at most `most` takes.
fn reach(x: &[f64], at: f64, most: usize) -> usize {
    let near = x.iter().take_while(|x| (*x - at).abs() <= REACH).count();
    near.max(FEWEST_NOTES).min(most).min(x.len())
}

/// Steps of value and slope at every place inside a run, by the recipe used at its break.
fn own_steps(x: &[f64], y: &[f64], width: f64, most: usize) -> Vec<(f64, f64)> {
    let mut steps = Vec::new();
    for near in (most - 1)..x.len() {
        // Points near+1.. lie further out; leave out what a break of this width would leave out.
        let Some(far) = (near + 1..x.len()).find(|&j| (x[j] - x[near]).abs() >= width) else {
            break;
        };
        if x.len() - far < most {
            break;
        }
        let at = f64::midpoint(x[near], x[far]);
        let (inner_x, inner_y): (Vec<f64>, Vec<f64>) =
            (0..=near).rev().map(|i| (x[i], y[i])).unzip();
        let inner = reach(&inner_x, at, most);
        let outer = reach(&x[far..], at, most);
        let before = Line::through(&inner_x[..inner], at);
        let after = Line::through(&x[far..far + outer], at);
        let outer_y = &y[far..far + outer];
        steps.push((
            dot(&after.value, outer_y) - dot(&before.value, &inner_y[..inner]),
            dot(&after.slope, outer_y) - dot(&before.slope, &inner_y[..inner]),
        ));
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn keys(n: usize) -> Vec<f64> {
        (0..n).map(|i| i as f64).collect()
    }

    #[test]
    fn a_straight_run_has_no_steps_of_its_own() {
        let x = keys(30);
        let y: Vec<f64> = x.iter().map(|x| 6.0 + 0.01 * x).collect();
        let side = Side::new(&x, &y, -0.5, 1.0).expect("30 notes");
        assert_eq!(side.used, 10);
        assert_abs_diff_eq!(side.variance, 0.0, epsilon = 1e-24);
        assert!(matches!(side.yardstick, Yardstick::OwnSteps { places: 11, .. }));
    }

    /// A clean step of height s in the middle of a run: seen in full from beside it, so the largest
    /// own step is s.
    #[test]
    fn the_largest_own_step_is_the_one_that_was_put_in() {
        let x = keys(40);
        let y: Vec<f64> = x.iter().map(|x| if *x < 20.0 { 0.0 } else { 0.05 }).collect();
        let side = Side::new(&x, &y, -0.5, 1.0).expect("40 notes");
        let Yardstick::OwnSteps { largest, .. } = side.yardstick else { panic!("long run") };
        assert_abs_diff_eq!(largest, 0.05, epsilon = 1e-12);
    }

    #[test]
    fn a_short_run_uses_all_its_notes_and_widens() {
        for n in 4..=16 {
            let x = keys(n);
            let y: Vec<f64> = x.iter().map(|x| 0.02 * (x % 2.0)).collect();
            let side = Side::new(&x, &y, -0.5, 1.0).expect("enough");
            assert_eq!(side.used, n.min(10), "{n}");
            assert_eq!(side.yardstick, Yardstick::WidenedLeastSquares, "{n}");
            assert!(side.variance > 0.0);
        }
        assert!(Side::new(&keys(3), &[0.0; 3], -0.5, 1.0).is_none());
    }

    /// A zone leaves notes out inside the run as it does at its own place, and doubts itself more.
    #[test]
    fn a_wide_zone_is_less_sure() {
        let x = keys(40);
        let y: Vec<f64> = x.iter().map(|x| 0.02 * (x * 2.1).sin()).collect();
        let narrow = Side::new(&x, &y, -0.5, 1.0).expect("narrow").variance;
        let wide = Side::new(&x, &y, -2.0, 4.0).expect("wide").variance;
        assert!(wide > narrow, "{wide} {narrow}");
    }

    #[test]
    fn sparse_notes_reach_far_only_for_the_fewest() {
        assert_eq!(reach(&[2.0, 8.0, 20.0, 30.0, 40.0], 0.0, 10), 4);
        assert_eq!(reach(&[2.0, 4.0, 6.0, 8.0, 10.0, 40.0], 0.0, 10), 5);
    }
}
