//! How rough each figure runs from note to note, against what the readings alone would make of it.
//!
//! Each note is held against the straight line between its two measured neighbours:
//! `r = y - (1-w) y_low - w y_high`, whose variance is that of one note times
//! `1 + (1-w)² + w²`. The root mean square of r over the root of that factor is the scatter of one
//! note about a smooth course (von Neumann's successive differences, taken once more so that a slope
//! does not count). A curved course adds a little; wire sizes add their steps, and are meant to.

use super::{BreakPlace, Point, Quantity, Series};
use crate::measure::{Compass, Note};

/// The roughness of one figure along one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Roughness {
    /// The figure.
    pub quantity: Quantity,
    /// First and last note measured.
    pub run: (Note, Note),
    /// Notes held against their neighbours.
    pub notes: usize,
    /// Scatter of one note about a smooth course, in the logarithm.
    pub scatter: f64,
    /// Scatter that the readings alone would make.
    pub reading: f64,
}

/// The roughness of `series` along every run between `places`; runs with fewer than three measured
/// notes are left out.
pub fn roughness(compass: Compass, places: &[BreakPlace], series: &Series) -> Vec<Roughness> {
    runs(compass, places)
        .filter_map(|run| of_run(series.quantity(), series.between(run.first, run.last)))
        .collect()
}

/// The runs of like notes between breaks, zones left out.
pub(super) fn runs(
    compass: Compass,
    places: &[BreakPlace],
) -> impl Iterator<Item = Compass> + use<'_> {
    let first = places.first().map_or(compass, |place| place.run_below);
    std::iter::once(first).chain(places.iter().map(|place| place.run_above))
}

fn of_run(quantity: Quantity, points: &[Point]) -> Option<Roughness> {
    let (first, last) = (points.first()?, points.last()?);
    let mut squares = (0.0, 0.0);
    for three in points.windows(3) {
        let w = (three[1].key() - three[0].key()) / (three[2].key() - three[0].key());
        let off = three[1].ln_value - (1.0 - w) * three[0].ln_value - w * three[2].ln_value;
        let reading =
            three[1].sd.powi(2) + ((1.0 - w) * three[0].sd).powi(2) + (w * three[2].sd).powi(2);
        let factor = 1.0 + (1.0 - w).powi(2) + w * w;
        squares.0 += off * off / factor;
        squares.1 += reading / factor;
    }
    let notes = points.len().saturating_sub(2);
    (notes > 0).then(|| Roughness {
        quantity,
        run: (first.note, last.note),
        notes,
        scatter: (squares.0 / notes as f64).sqrt(),
        reading: (squares.1 / notes as f64).sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_course_is_smooth_and_a_zigzag_shows_its_height() {
        let course = |height: f64| {
            let point = |key: u8| {
                let zigzag = if key.is_multiple_of(2) { height } else { -height };
                let value = (5.0 - 0.03 * f64::from(key) + zigzag).exp();
                Point::new(Note::from_key(key)?, value, 0.01)
            };
            Series::new(Quantity::Tension, (20..=40).filter_map(point).collect())
        };
        let whole = Compass { first: Note::A0, last: Note::C8 };
        let smooth = roughness(whole, &[], &course(0.0));
        assert_eq!((smooth.len(), smooth[0].notes), (1, 19));
        assert!(smooth[0].scatter < 1e-12 && (smooth[0].reading - 0.01).abs() < 1e-12);
        // A zigzag of ±h is off its neighbours' middle by 2 h, over sqrt(1.5).
        let rough = roughness(whole, &[], &course(0.02));
        assert!((rough[0].scatter - 0.04 / 1.5_f64.sqrt()).abs() < 1e-9);
    }
}
