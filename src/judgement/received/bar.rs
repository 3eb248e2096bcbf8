//! How many standard deviations of its reading a head, or a mean of heads, must lie beyond its tolerance before it is
//! called off: so many that of sets without a fault no more than a stated share is accused of anything.
//!
//! A head that keeps its tolerance t, read with standard deviation s, is read beyond t + z s on one side with a chance
//! of at most Φ(−z), reached where it stands at that edge. By Boole's inequality M such statements accuse a sound set
//! with a chance of at most M Φ(−z), however the heads lie within their tolerance; so z = Φ⁻¹(1 − α/M). The share α is
//! parted evenly between single heads, sections and sets, and stretches of a section.

use super::fit::Point;
use crate::judgement::limit::{LimitKey, Limits};
use statrs::distribution::{ContinuousCDF, Normal};

/// Standard deviations beyond the tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bar {
    /// Of one head's reading: off.
    pub single: f64,
    /// Of the mean of a section or the set: off.
    pub many: f64,
    /// Of the mean of a stretch: off.
    pub stretch: f64,
    /// Of one head's reading, looked at by itself: to be read again.
    pub again: f64,
}

impl Bar {
    /// For the readings of a set, one list for each respect.
    pub fn of(readings: &[Vec<Point>], limits: &Limits) -> Self {
        let mut statements = [0.0; 3];
        for points in readings {
            statements[0] += points.len() as f64;
            // The set, each of its sections; a stretch for each two heads that may be its ends.
            statements[1] += 1.0;
            for section in points.chunk_by(|a, b| a.section == b.section) {
                let heads = section.len() as f64;
                statements[1] += 1.0;
                statements[2] += 0.5 * heads * (heads - 1.0);
            }
        }
        let share = limits.value(LimitKey::ReceivedFalseAlarms) / 100.0 / statements.len() as f64;
        let [single, many, stretch] = statements.map(|count| beyond(share / count.max(1.0)));
        let again = beyond(limits.value(LimitKey::ReceivedReadAgain) / 100.0);
        Self { single, many, stretch, again }
    }
}

/// What a standard normal figure lies beyond with this chance; nothing below a half has a say.
fn beyond(chance: f64) -> f64 {
    -Normal::standard().inverse_cdf(chance.min(0.5))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Upper points of the normal distribution (D. V. Lindley, W. F. Scott, New Cambridge Statistical Tables, 2nd ed.
    /// 1995, table 5, from memory): 5 % 1.6449, 0.1 % 3.0902, 0.001 % 4.2649.
    #[test]
    fn the_bar_is_the_upper_point_of_the_normal_distribution() {
        for (chance, point) in [(0.05, 1.6449), (0.001, 3.0902), (0.000_01, 4.2649)] {
            assert!((beyond(chance) - point).abs() < 5e-5, "{chance}");
        }
    }
}
