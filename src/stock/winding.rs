//! Winding wire sizes: what a winder is likely to have, when nothing else is known.
//!
//! `tables/winding_wire_r20.csv` (preferred numbers, from memory) and
//! `tables/winding_wire_steps.csv` (steps of 0.05 mm, common practice). No published list of piano
//! winding sizes was found: a winder's own list takes their place.

use super::table;
use crate::measure::{Length, mm, to_mm};
use serde::Deserialize;
use std::sync::LazyLock;

/// A list of winding wire diameters, thinnest first.
#[derive(Debug, Clone, PartialEq)]
pub struct WindingSizes(Vec<Length>);

impl WindingSizes {
    /// The preferred numbers of series R20, 0.200 to 2.000 mm.
    pub fn r20() -> Self {
        Self(R20.clone())
    }

    /// Steps of 0.05 mm, 0.20 to 2.00 mm.
    pub fn steps() -> Self {
        Self(STEPS.clone())
    }

    /// A winder's own list in any order; none when it is empty or holds what is no diameter.
    ///
    /// ```
    /// use feltwire::measure::mm;
    /// use feltwire::stock::WindingSizes;
    /// let own = WindingSizes::own(vec![mm(0.9), mm(0.5), mm(0.9)]).unwrap();
    /// assert_eq!(own.iter().collect::<Vec<_>>(), [mm(0.5), mm(0.9)]);
    /// assert!(WindingSizes::own(vec![mm(-1.0)]).is_none());
    /// ```
    pub fn own(mut diameters: Vec<Length>) -> Option<Self> {
        let sound = |d: &Length| to_mm(*d).is_finite() && *d > mm(0.0);
        if diameters.is_empty() || !diameters.iter().all(sound) {
            return None;
        }
        diameters.sort_by(|a, b| to_mm(*a).total_cmp(&to_mm(*b)));
        diameters.dedup_by(|a, b| same(*a, *b));
        Some(Self(diameters))
    }

    /// Every size, thinnest first.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Length> + Clone {
        self.0.iter().copied()
    }

    /// The size nearest to `diameter`, however far it is; none for what is no number.
    ///
    /// ```
    /// use feltwire::measure::mm;
    /// use feltwire::stock::WindingSizes;
    /// assert_eq!(WindingSizes::r20().nearest(mm(0.58)), Some(mm(0.56)));
    /// ```
    pub fn nearest(&self, diameter: Length) -> Option<Length> {
        let off = |size: &Length| (to_mm(*size) - to_mm(diameter)).abs();
        let best = self.iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        off(&best).is_finite().then_some(best)
    }

    /// The next thinner size than `diameter`.
    pub fn smaller(&self, diameter: Length) -> Option<Length> {
        self.iter().rfind(|size| *size < diameter && !same(*size, diameter))
    }

    /// The next thicker size than `diameter`.
    pub fn larger(&self, diameter: Length) -> Option<Length> {
        self.iter().find(|size| *size > diameter && !same(*size, diameter))
    }
}

/// Both lists of the tables together.
impl Default for WindingSizes {
    fn default() -> Self {
        let both = R20.iter().chain(STEPS.iter()).copied().collect();
        Self::own(both).unwrap_or_else(Self::r20)
    }
}

/// Less than 0.1 µm apart: one size written twice.
fn same(a: Length, b: Length) -> bool {
    (to_mm(a) - to_mm(b)).abs() < 1e-4
}

#[derive(Debug, Deserialize)]
struct Raw {
    diameter_mm: f64,
}

static R20: LazyLock<Vec<Length>> =
    LazyLock::new(|| read(include_str!("../../tables/winding_wire_r20.csv")));

static STEPS: LazyLock<Vec<Length>> =
    LazyLock::new(|| read(include_str!("../../tables/winding_wire_steps.csv")));

fn read(text: &str) -> Vec<Length> {
    table::rows(text).into_iter().map(|raw: Raw| mm(raw.diameter_mm)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_list_rises() {
        for list in [WindingSizes::r20(), WindingSizes::steps(), WindingSizes::default()] {
            assert!(list.0.windows(2).all(|pair| pair[0] < pair[1]));
            assert!(list.iter().all(|size| list.nearest(size) == Some(size)));
        }
    }

    #[test]
    fn both_lists_together_hold_each_size_once() {
        let both = WindingSizes::default();
        for size in WindingSizes::r20().iter().chain(WindingSizes::steps().iter()) {
            assert_eq!(both.iter().filter(|other| same(*other, size)).count(), 1);
        }
    }

    #[test]
    fn steps_are_five_hundredths_of_a_millimetre() {
        let steps = WindingSizes::steps();
        for pair in steps.0.windows(2) {
            assert!((to_mm(pair[1] - pair[0]) - 0.05).abs() < 1e-9);
        }
        assert_eq!((steps.0.first(), steps.0.last()), (Some(&mm(0.2)), Some(&mm(2.0))));
    }

    #[test]
    fn neighbours_lie_either_side_and_nothing_lies_beyond_the_ends() {
        let list = WindingSizes::r20();
        assert_eq!((list.smaller(mm(0.5)), list.larger(mm(0.5))), (Some(mm(0.45)), Some(mm(0.56))));
        assert_eq!((list.smaller(mm(0.2)), list.larger(mm(2.0))), (None, None));
        assert_eq!(list.nearest(mm(f64::NAN)), None);
    }

    /// The mass columns were computed apart from this program; they are printed to 0.1 mg/m.
    #[test]
    fn mass_beside_each_size_is_density_times_area() {
        #[derive(Deserialize)]
        struct Mass {
            diameter_mm: f64,
            copper_8890_g_m: f64,
            copper_8960_g_m: f64,
        }
        let rows: Vec<Mass> = table::rows(include_str!("../../tables/winding_wire_r20.csv"));
        for row in rows {
            let area = std::f64::consts::FRAC_PI_4 * row.diameter_mm.powi(2);
            for (density, printed) in [(8.89, row.copper_8890_g_m), (8.96, row.copper_8960_g_m)] {
                assert!((density * area - printed).abs() <= 0.5e-4 + 1e-9, "{}", row.diameter_mm);
            }
        }
    }
}
