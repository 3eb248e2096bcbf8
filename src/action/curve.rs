//! A figure that runs evenly along the keys, given at a few of them.

use super::figure::Figure;
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Compass, Note};

/// A smooth curve of the key number through readings.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    trend: Trend,
    first: f64,
    last: f64,
    /// Standard deviation that all readings share: it moves the curve as a whole.
    level: f64,
}

/// Standard deviations beyond which a reading says nothing: 95 % as efficient as least squares where all are
/// sound.
const BIWEIGHT: f64 = 4.685;
/// What is left of such a reading, so that it may come back when its neighbours change.
const LEAST_WEIGHT: f64 = 1e-6;
/// Rounds of reweighting; the weights settle within a few.
const ROUNDS: usize = 8;

fn place(note: Note) -> f64 {
    f64::from(note.key())
}

fn point((note, (value, sd)): (Note, Figure)) -> Point {
    Point { at: place(note), value, sd }
}

impl Curve {
    /// Through `readings`; `None` without any.
    pub(super) fn through(
        readings: impl IntoIterator<Item = (Note, Figure)>,
        prior: Prior,
    ) -> Option<Self> {
        Self::of(readings.into_iter().map(point).collect(), prior)
    }

    /// The same, a reading far from what the others foretell counting for less, and beyond 4.7 standard
    /// deviations for nothing: Tukey's biweight (1 − z²/c²)², repeated (A. E. Beaton, J. W. Tukey, Technometrics 16
    /// (1974) 147; c after P. W. Holland, R. E. Welsch, Commun. Statist. A6 (1977) 813: both from memory).
    /// Here z is the distance from the curve drawn *without* the reading: at ten readings over the compass a
    /// curve bends to each of them, and a residual from its own curve would hide the bad one.
    pub(super) fn robust(
        readings: impl IntoIterator<Item = (Note, Figure)>,
        prior: Prior,
    ) -> Option<Self> {
        let mut points: Vec<Point> = readings.into_iter().map(point).collect();
        points.sort_by(|a, b| a.at.total_cmp(&b.at));
        let stated: Vec<f64> = points.iter().map(|point| point.sd).collect();
        let mut curve = Self::of(points.clone(), prior)?;
        if points.len() < 3 {
            return Some(curve);
        }
        for _ in 0..ROUNDS {
            for (index, own) in stated.iter().enumerate() {
                let foretold = curve.trend.without(index);
                let z = (points[index].value - foretold.value) / own.hypot(foretold.sd);
                let weight = (1.0 - (z / BIWEIGHT).powi(2)).max(0.0).powi(2);
                points[index].sd = own / weight.max(LEAST_WEIGHT).sqrt();
            }
            curve = Self::of(points.clone(), prior)?;
        }
        Some(curve)
    }

    fn of(points: Vec<Point>, prior: Prior) -> Option<Self> {
        let trend = Trend::through(points, prior)?;
        let (first, last) = (trend.points().first()?.at, trend.points().last()?.at);
        Some(Self { trend, first, last, level: 0.0 })
    }

    /// The same, every reading off by one unknown amount of standard deviation `level`.
    pub(super) fn sharing(self, level: f64) -> Self {
        Self { level, ..self }
    }

    /// What all readings share.
    pub(super) fn level(&self) -> f64 {
        self.level
    }

    /// At one note.
    pub(super) fn at(&self, note: Note) -> Figure {
        let on = self.trend.at(&[place(note)])[0];
        (on.value, on.sd.hypot(self.level))
    }

    /// Standard deviation of a weighted sum of its values.
    pub(super) fn doubt_of(&self, mut sum: Vec<(Note, f64)>) -> f64 {
        sum.sort_by_key(|(note, _)| *note);
        let places: Vec<f64> = sum.iter().map(|(note, _)| place(*note)).collect();
        let joint = self.trend.jointly(&places);
        let part = |column: usize, of: &[Vec<f64>]| {
            let parts = of.iter().zip(&sum);
            parts.map(|(row, (_, weight))| weight * row.get(column).unwrap_or(&0.0)).sum::<f64>()
        };
        let points = self.trend.points().iter().enumerate();
        let read = points.map(|(index, point)| part(index, &joint.shares) * point.sd);
        let open = (0..sum.len()).map(|column| part(column, &joint.open));
        let level = self.level * sum.iter().map(|(_, weight)| weight).sum::<f64>();
        read.chain(open).fold(level.abs(), f64::hypot)
    }

    /// At every note of a run, from the bass.
    pub(super) fn along(&self, notes: Compass) -> Vec<Figure> {
        let places: Vec<f64> = notes.notes().map(place).collect();
        self.trend.at(&places).into_iter().map(|on| (on.value, on.sd.hypot(self.level))).collect()
    }

    /// What the other readings say at the place of reading `index`, in the order of the keys; what all share is left
    /// out.
    pub(super) fn without(&self, index: usize) -> Figure {
        let on = self.trend.without(index);
        (on.value, on.sd)
    }

    /// How many readings there are.
    pub(super) fn len(&self) -> usize {
        self.trend.points().len()
    }

    /// Keys from `note` to the nearest reading on its outside; 0 between readings.
    pub(super) fn beyond(&self, note: Note) -> f64 {
        (self.first - place(note)).max(place(note) - self.last).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVEN: Prior =
        Prior { slope: 0.0, slope_sd: 0.1, roughness: 0.002, roughness_factor: 1.0 };

    /// One reading in ten is 3 units off: the plain curve is drawn towards it, the robust one passes.
    #[test]
    fn a_bad_reading_moves_a_robust_curve_by_less_than_the_doubt_of_a_good_one() {
        let reading = |key: u8| {
            let value = 10.0 - 0.05 * f64::from(key) + if key == 40 { 3.0 } else { 0.0 };
            (Note::from_key(key).expect("key"), (value, 0.2))
        };
        let keys = [1, 10, 20, 30, 40, 50, 60, 70, 80, 88];
        let note = Note::from_key(40).expect("key");
        let plain = Curve::through(keys.map(reading), EVEN).expect("readings").at(note).0;
        let robust = Curve::robust(keys.map(reading), EVEN).expect("readings").at(note).0;
        assert!((plain - 8.0).abs() > 0.4, "{plain}");
        assert!((robust - 8.0).abs() < 0.2, "{robust}");
    }
}
