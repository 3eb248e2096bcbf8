//! Strength of old wire by year, from breaking tests that were printed at the time.
//!
//! `tables/historical_wire.csv`. The figure for a year is the mean of the tests made within ten years
//! of it. Its standard uncertainty is that of *one* wire of the time: the scatter of the largest
//! single event (the jury tests of 1876: 18 wires, three makers) over wires and over the mean, and the
//! 10 % by which a nineteenth century gauge number may miss the stress (rectangular, so 10 % / √3).
//! Least and greatest strength stand two standard uncertainties away. Sizes are not told apart: the
//! tests of 1876 fall by 13 % from No. 13 to No. 18, which the spread holds. Iron wire is another matter:
//! no defensible number was found.

use super::source::Status;
use super::strength::Strength;
use super::table;
use crate::measure::{Length, Measured, Pressure, inches, mpa};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Tests count for the years this far from their own.
const REACH_YEARS: u16 = 10;
/// By how much a stress from an old gauge number may be wrong, as a share (half width).
const GAUGE_DOUBT: f64 = 0.10;
/// The event whose scatter stands for all: the most wires and makers tested at one place.
const SCATTER_YEAR: u16 = 1876;

/// A year of which breaking tests of piano wire are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TestYear(u16);

impl TestYear {
    /// `year`, if tests were made within ten years of it.
    ///
    /// ```
    /// use feltwire::stock::TestYear;
    /// assert!(TestYear::new(1876).is_some());
    /// assert!(TestYear::new(1820).is_none());
    /// ```
    pub fn new(year: u16) -> Option<Self> {
        tests_near(year).next().map(|_| Self(year))
    }

    /// The year.
    pub fn year(self) -> u16 {
        self.0
    }

    /// First and last year of the tests that count, and their number.
    pub fn tests(self) -> (u16, u16, usize) {
        let years = || tests_near(self.0).map(|test| test.year);
        (years().min().unwrap_or(self.0), years().max().unwrap_or(self.0), years().count())
    }

    /// Mean strength, with the standard uncertainty of one wire.
    pub fn mean(self) -> Measured<Pressure> {
        let stresses: Vec<f64> = tests_near(self.0).map(Test::stress_mpa).collect();
        let mean = mean(&stresses);
        let scatter = relative_scatter().powi(2) * (1.0 + 1.0 / stresses.len() as f64);
        let relative = (scatter + GAUGE_DOUBT.powi(2) / 3.0).sqrt();
        Measured::new(mpa(mean), mpa(mean * relative))
    }

    /// The source keys of the tests.
    fn source(self) -> String {
        let keys: BTreeSet<&str> = tests_near(self.0).map(|test| test.source.as_str()).collect();
        keys.into_iter().collect::<Vec<_>>().join(";")
    }

    /// Strength for a wire of `diameter`; none outside the diameters that were tested.
    pub fn strength(self, diameter: Length) -> Option<Strength> {
        let (thinnest, thickest) = tested_diameters();
        if !(diameter >= thinnest && diameter <= thickest) {
            return None;
        }
        let Measured { value, sd } = self.mean();
        Some(Strength {
            min: value - sd * 2.0,
            max: value + sd * 2.0,
            tolerance: None,
            status: Status::Derived,
            source: self.source().into(),
            note: "mean of tests within ten years, two standard uncertainties either way; gauges of \
                   the time are uncertain: have a sample tested",
        })
    }
}

/// Thinnest and thickest diameter among the tests that count.
pub(super) fn tested_diameters() -> (Length, Length) {
    let all = || TESTS.iter().filter_map(Test::diameter_in);
    (inches(all().fold(f64::INFINITY, f64::min)), inches(all().fold(0.0, f64::max)))
}

/// First and last year for which there is a figure; there may be gaps between.
pub(super) fn years() -> (u16, u16) {
    let all = || TESTS.iter().map(|test| test.year);
    let (first, last) = (all().min().unwrap_or(0), all().max().unwrap_or(0));
    (first.saturating_sub(REACH_YEARS), last.saturating_add(REACH_YEARS))
}

fn tests_near(year: u16) -> impl Iterator<Item = &'static Test> {
    TESTS.iter().filter(move |test| test.year.abs_diff(year) <= REACH_YEARS)
}

/// Standard deviation over mean, of the tests of the largest event.
fn relative_scatter() -> f64 {
    let stresses: Vec<f64> =
        TESTS.iter().filter(|test| test.year == SCATTER_YEAR).map(Test::stress_mpa).collect();
    let mean = mean(&stresses);
    let squares: f64 = stresses.iter().map(|stress| (stress - mean).powi(2)).sum();
    (squares / (stresses.len() - 1) as f64).sqrt() / mean
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

#[derive(Debug, Deserialize)]
struct Test {
    year: u16,
    diameter_in: String,
    stress_low_mpa: f64,
    stress_high_mpa: f64,
    source: String,
    #[serde(rename = "use")]
    used: String,
}

impl Test {
    fn stress_mpa(&self) -> f64 {
        f64::midpoint(self.stress_low_mpa, self.stress_high_mpa)
    }

    fn diameter_in(&self) -> Option<f64> {
        table::number(&self.diameter_in)
    }
}

/// The tests that count.
static TESTS: LazyLock<Vec<Test>> = LazyLock::new(|| {
    let mut tests: Vec<Test> = table::rows(include_str!("../../tables/historical_wire.csv"));
    tests.retain(|test| test.used == "yes");
    tests
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{POUND_FORCE_IN_N, mm, to_mpa};

    #[derive(Deserialize)]
    struct Row {
        diameter_in: String,
        breaking_lbf: String,
        stress_low_mpa: f64,
        stress_high_mpa: f64,
        #[serde(rename = "use")]
        used: String,
        note: String,
    }

    #[test]
    fn each_stress_follows_from_its_load_and_diameter() {
        let rows: Vec<Row> = table::rows(include_str!("../../tables/historical_wire.csv"));
        let mut checked = 0;
        for row in &rows {
            assert!(row.stress_low_mpa <= row.stress_high_mpa);
            assert!(["yes", "no"].contains(&row.used.as_str()) && !row.note.is_empty());
            let (Ok(lbf), Ok(d)) =
                (row.breaking_lbf.parse::<f64>(), row.diameter_in.parse::<f64>())
            else {
                continue;
            };
            let area = std::f64::consts::FRAC_PI_4 * (d * 25.4).powi(2);
            // The stress is printed to 1 MPa.
            let off = lbf * POUND_FORCE_IN_N / area - row.stress_low_mpa;
            assert!(off.abs() <= 0.5, "{lbf} lbf at {d} in: {off}");
            checked += 1;
        }
        assert_eq!((checked, rows.len()), (25, 28));
    }

    #[test]
    fn long_tons_per_square_inch_are_the_stresses_of_pole_and_percy() {
        // Dolge 1911: Pole 100 to 120, Percy 154 long tons per square inch; 2240 lb to the long ton.
        let mpa_of = |tons: f64| tons * 2240.0 * POUND_FORCE_IN_N / 25.4_f64.powi(2);
        for (tons, printed) in [(100.0, 1544.0), (120.0, 1853.0), (154.0, 2378.0)] {
            assert!((mpa_of(tons) - printed).abs() <= 0.5, "{tons}");
            let found = TESTS.iter().any(|test| {
                [test.stress_low_mpa, test.stress_high_mpa]
                    .into_iter()
                    .any(|s| s.to_bits() == f64::to_bits(printed))
            });
            assert!(found, "{printed}");
        }
    }

    #[test]
    fn a_year_far_from_every_test_has_no_figure() {
        for year in [0, 1700, 1851, 1905, 1929, 2020] {
            assert_eq!(TestYear::new(year), None, "{year}");
        }
        assert_eq!(years(), (1852, 1928));
        for year in 1852..=1928 {
            let Some(year) = TestYear::new(year) else { continue };
            let Measured { value, sd } = year.mean();
            // At least the gauges' doubt; no figure beyond what any source prints.
            assert!(to_mpa(sd) / to_mpa(value) > GAUGE_DOUBT / 3f64.sqrt());
            assert!((1500.0..2500.0).contains(&to_mpa(value)), "{year:?}");
        }
    }

    #[test]
    fn single_tests_of_the_jury_lie_in_the_spread_of_their_year() {
        // Dolge 1911: the jury of 1876 broke 18 wires between 221 and 386 lbf.
        let strength = TestYear::new(1876).expect("1876").strength(mm(0.9)).expect("tested");
        let jury = TESTS.iter().filter(|test| test.year == 1876).map(Test::stress_mpa);
        let inside = jury
            .clone()
            .filter(|stress| (to_mpa(strength.min)..=to_mpa(strength.max)).contains(stress))
            .count();
        assert_eq!((inside, jury.count()), (18, 18));
        assert_eq!(super::super::citations(&strength.source).len(), 2);
        assert!(TestYear::new(1876).expect("1876").strength(mm(2.0)).is_none());
        assert!(TestYear::new(1876).expect("1876").strength(mm(f64::NAN)).is_none());
    }
}
