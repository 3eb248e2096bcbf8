//! Tensile strength of new wire by diameter, as the standards print it.
//!
//! `tables/astm_a228.csv` (straight line between rows), `tables/en10270_1.csv` and
//! `tables/jis_g3522.csv` (the row of the next larger diameter). Outside its rows a series says
//! nothing: there is no extrapolation. Old wire goes by year (`tables/historical_wire.csv`).

use super::historical::{self, TestYear};
use super::source::Status;
use super::table;
use crate::measure::{INCH_IN_MM, Length, POUND_FORCE_IN_N, Pressure, inches, mm, mpa, to_metres};
use serde::Deserialize;
use std::borrow::Cow;
use std::fmt;
use std::sync::LazyLock;

/// One kilopound-force per square inch in megapascals, from the exact definitions.
const KSI_IN_MPA: f64 = 1e3 * POUND_FORCE_IN_N / (INCH_IN_MM * INCH_IN_MM);

/// Two diameters nearer than this are one: float noise of unit conversion, far below a micrometre.
const SAME_DIAMETER_M: f64 = 1e-9;

/// A published series of tensile strength by diameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum StrengthSeries {
    /// ASTM A228/A228M music spring wire, inch-pound table.
    #[default]
    A228,
    /// EN 10270-1 grade SL.
    En10270Sl,
    /// EN 10270-1 grade SM.
    En10270Sm,
    /// EN 10270-1 grade SH.
    En10270Sh,
    /// EN 10270-1 grade DM.
    En10270Dm,
    /// EN 10270-1 grade DH.
    En10270Dh,
    /// JIS G 3522 SWP-A.
    JisSwpA,
    /// JIS G 3522 SWP-B.
    JisSwpB,
    /// Breaking tests made within ten years of a year, with their wide spread.
    Historical(TestYear),
}

/// How the name of the tests of a year begins: `historical-1876`.
const HISTORICAL: &str = "historical-";

/// What a series says of one diameter.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// Least tensile strength: the base of a percentage of breaking load.
    pub min: Pressure,
    /// Greatest tensile strength.
    pub max: Pressure,
    /// Permitted deviation of the diameter, where the table has one.
    pub tolerance: Option<Length>,
    /// How the figure came about; `Interpolated` between two rows.
    pub status: Status,
    /// Source keys of the row, for [`citations`](super::citations).
    pub source: Cow<'static, str>,
    /// What was put right in the row, or empty.
    pub note: &'static str,
}

impl StrengthSeries {
    /// Every series of new wire.
    pub const STANDARD: [Self; 8] = [
        Self::A228,
        Self::En10270Sl,
        Self::En10270Sm,
        Self::En10270Sh,
        Self::En10270Dm,
        Self::En10270Dh,
        Self::JisSwpA,
        Self::JisSwpB,
    ];

    /// The name that a survey uses: `a228`, `en10270-sh`, `jis-swp-b`, `historical-1876`.
    pub fn name(self) -> Cow<'static, str> {
        self.in_words().0
    }

    /// The name as a reader of the report knows it.
    pub fn title(self) -> Cow<'static, str> {
        self.in_words().1
    }

    fn in_words(self) -> (Cow<'static, str>, Cow<'static, str>) {
        let (name, title) = match self {
            Self::A228 => ("a228", "ASTM A228"),
            Self::En10270Sl => ("en10270-sl", "EN 10270-1 SL"),
            Self::En10270Sm => ("en10270-sm", "EN 10270-1 SM"),
            Self::En10270Sh => ("en10270-sh", "EN 10270-1 SH"),
            Self::En10270Dm => ("en10270-dm", "EN 10270-1 DM"),
            Self::En10270Dh => ("en10270-dh", "EN 10270-1 DH"),
            Self::JisSwpA => ("jis-swp-a", "JIS G 3522 SWP-A"),
            Self::JisSwpB => ("jis-swp-b", "JIS G 3522 SWP-B"),
            Self::Historical(year) => {
                let (first, last, tests) = year.tests();
                let tests = if tests == 1 { "1 test".into() } else { format!("{tests} tests") };
                let years =
                    if first == last { first.to_string() } else { format!("{first}–{last}") };
                let title = format!("wire of {}, by {tests} of {years}", year.year());
                return (format!("{HISTORICAL}{}", year.year()).into(), title.into());
            }
        };
        (name.into(), title.into())
    }

    /// The series called `name`.
    ///
    /// ```
    /// use feltwire::stock::StrengthSeries;
    /// assert_eq!(StrengthSeries::from_name("en10270-sh"), Some(StrengthSeries::En10270Sh));
    /// assert_eq!(StrengthSeries::from_name("historical-1876").unwrap().name(), "historical-1876");
    /// assert_eq!(StrengthSeries::from_name("historical-1700"), None);
    /// ```
    pub fn from_name(name: &str) -> Option<Self> {
        if let Some(year) = name.strip_prefix(HISTORICAL) {
            let digits = year.bytes().all(|byte| byte.is_ascii_digit());
            return digits
                .then(|| year.parse().ok())?
                .and_then(TestYear::new)
                .map(Self::Historical);
        }
        Self::STANDARD.into_iter().find(|series| series.name() == name)
    }

    /// Every name in one line, to say what would have been right.
    pub fn names() -> String {
        let names: Vec<_> = Self::STANDARD.into_iter().map(Self::name).collect();
        let (first, last) = historical::years();
        format!("{}, or {HISTORICAL}YEAR ({first} to {last})", names.join(", "))
    }

    /// Strength at `diameter`; none outside the rows of the series.
    ///
    /// ```
    /// use feltwire::measure::{inches, mm, to_mpa};
    /// use feltwire::stock::StrengthSeries;
    /// // ASTM A228: 0.040 in, 315 to 349 ksi.
    /// let wire = StrengthSeries::A228.strength(inches(0.040)).unwrap();
    /// assert!((to_mpa(wire.min) - 2171.8).abs() < 0.1);
    /// // JIS G 3522 SWP-B: 1.00 mm, 2260 to 2450 MPa; 1.02 mm takes the row of 1.20 mm.
    /// let swp_b = StrengthSeries::JisSwpB;
    /// assert!((to_mpa(swp_b.strength(mm(1.00)).unwrap().min) - 2260.0).abs() < 1e-9);
    /// assert!((to_mpa(swp_b.strength(mm(1.02)).unwrap().min) - 2210.0).abs() < 1e-9);
    /// assert!(swp_b.strength(mm(2.1)).is_none());
    /// ```
    pub fn strength(self, diameter: Length) -> Option<Strength> {
        if let Self::Historical(year) = self {
            return year.strength(diameter);
        }
        let d = to_metres(diameter);
        let rows = self.rows();
        let first = to_metres(rows.first()?.diameter) - SAME_DIAMETER_M;
        if d.is_nan() || d < first {
            return None;
        }
        let at = rows.iter().position(|row| d <= to_metres(row.diameter) + SAME_DIAMETER_M)?;
        let here = &rows[at];
        let on_the_row = (d - to_metres(here.diameter)).abs() <= SAME_DIAMETER_M;
        if self.takes_next_larger() || on_the_row || at == 0 {
            return Some(here.strength());
        }
        Some(between(&rows[at - 1], here, diameter))
    }

    /// Thinnest and thickest diameter of the series.
    pub fn range(self) -> (Length, Length) {
        match self.rows() {
            [only] => (only.diameter, only.diameter),
            [first, .., last] => (first.diameter, last.diameter),
            [] => historical::tested_diameters(),
        }
    }

    /// Whether a diameter between two rows takes the larger one's, and not the line between them.
    pub fn takes_next_larger(self) -> bool {
        !matches!(self, Self::A228 | Self::Historical(_))
    }

    fn rows(self) -> &'static [Row] {
        let place = Self::STANDARD.into_iter().position(|series| series == self);
        place.map_or(&[], |place| &ROWS[place])
    }
}

impl fmt::Display for StrengthSeries {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.title())
    }
}

fn between(thin: &Row, thick: &'static Row, diameter: Length) -> Strength {
    let share = (diameter - thin.diameter) / (thick.diameter - thin.diameter);
    Strength {
        min: thin.min + (thick.min - thin.min) * share,
        max: thin.max + (thick.max - thin.max) * share,
        status: Status::Interpolated,
        ..thick.strength()
    }
}

#[derive(Debug)]
struct Row {
    diameter: Length,
    min: Pressure,
    max: Pressure,
    tolerance: Option<Length>,
    source: String,
    status: Status,
    note: String,
}

impl Row {
    fn strength(&'static self) -> Strength {
        Strength {
            min: self.min,
            max: self.max,
            tolerance: self.tolerance,
            status: self.status,
            source: self.source.as_str().into(),
            note: &self.note,
        }
    }
}

#[derive(Debug, Deserialize)]
struct InchRaw {
    diameter_in: f64,
    min_ksi: f64,
    max_ksi: f64,
    tolerance_in: f64,
    source: String,
    status: Status,
    note: String,
}

impl From<InchRaw> for Row {
    fn from(raw: InchRaw) -> Self {
        Self {
            diameter: inches(raw.diameter_in),
            min: mpa(raw.min_ksi * KSI_IN_MPA),
            max: mpa(raw.max_ksi * KSI_IN_MPA),
            tolerance: Some(inches(raw.tolerance_in)),
            source: raw.source,
            status: raw.status,
            note: raw.note,
        }
    }
}

#[derive(Debug, Deserialize)]
struct MetricRaw {
    grade: String,
    diameter_mm: f64,
    min_mpa: f64,
    max_mpa: f64,
    tolerance_mm: Option<f64>,
    source: String,
    status: Status,
    note: String,
}

impl From<MetricRaw> for Row {
    fn from(raw: MetricRaw) -> Self {
        Self {
            diameter: mm(raw.diameter_mm),
            min: mpa(raw.min_mpa),
            max: mpa(raw.max_mpa),
            tolerance: raw.tolerance_mm.map(mm),
            source: raw.source,
            status: raw.status,
            note: raw.note,
        }
    }
}

/// The rows of each series, in the order of [`StrengthSeries::STANDARD`].
static ROWS: LazyLock<[Vec<Row>; 8]> = LazyLock::new(|| {
    StrengthSeries::STANDARD.map(|series| match series {
        StrengthSeries::A228 => {
            let raw: Vec<InchRaw> = table::rows(include_str!("../../tables/astm_a228.csv"));
            raw.into_iter().map(Row::from).collect()
        }
        StrengthSeries::JisSwpA | StrengthSeries::JisSwpB => {
            of_grade(include_str!("../../tables/jis_g3522.csv"), &series.name())
        }
        _ => of_grade(include_str!("../../tables/en10270_1.csv"), &series.name()),
    })
});

fn of_grade(text: &str, grade: &str) -> Vec<Row> {
    let raw: Vec<MetricRaw> = table::rows(text);
    raw.into_iter().filter(|raw| raw.grade == grade).map(Row::from).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{to_inches, to_mm, to_mpa};
    use crate::stock::{WireNumber, WireSeries};
    use approx::assert_relative_eq;

    #[test]
    fn every_series_has_rows_that_fall_with_diameter() {
        for series in StrengthSeries::STANDARD {
            let rows = series.rows();
            assert!(rows.len() >= 13, "{series}: {}", rows.len());
            for row in rows {
                assert!(row.min < row.max, "{series} {}", to_mm(row.diameter));
                assert!(row.tolerance.is_none_or(|tolerance| tolerance > mm(0.0)), "{series}");
            }
            for pair in rows.windows(2) {
                let at = to_mm(pair[1].diameter);
                assert!(pair[0].diameter < pair[1].diameter, "{series} {at}");
                assert!(pair[0].min >= pair[1].min && pair[0].max >= pair[1].max, "{series} {at}");
            }
        }
    }

    #[test]
    fn a_name_reads_back() {
        for series in StrengthSeries::STANDARD {
            assert_eq!(StrengthSeries::from_name(&series.name()), Some(series));
        }
        assert_eq!(StrengthSeries::from_name("A228 "), None);
        for wrong in ["historical-", "historical-1876x", "historical-+1876", "historical-99999", ""]
        {
            assert_eq!(StrengthSeries::from_name(wrong), None, "{wrong}");
        }
        assert_eq!(StrengthSeries::default(), StrengthSeries::A228);
        assert!(StrengthSeries::names().ends_with("or historical-YEAR (1852 to 1928)"));
    }

    #[test]
    fn a_series_says_nothing_outside_its_rows() {
        let old = StrengthSeries::from_name("historical-1876").expect("tests of 1876");
        for series in StrengthSeries::STANDARD.into_iter().chain([old]) {
            let (thinnest, thickest) = series.range();
            assert!(series.strength(thinnest).is_some() && series.strength(thickest).is_some());
            assert!(series.strength(thinnest * 0.999).is_none(), "{series}");
            assert!(series.strength(thickest * 1.001).is_none(), "{series}");
            for wrong in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
                assert!(series.strength(mm(wrong)).is_none(), "{series} {wrong}");
            }
        }
    }

    #[test]
    fn between_rows_the_line_or_the_next_larger_row() {
        // Half way between 0.040 in (315 ksi) and 0.042 in (313 ksi) of ASTM A228.
        let middle = StrengthSeries::A228.strength(inches(0.041)).expect("in range");
        assert_relative_eq!(to_mpa(middle.min), 314.0 * KSI_IN_MPA, max_relative = 1e-9);
        assert_eq!(middle.status, Status::Interpolated);
        let on = StrengthSeries::A228.strength(inches(0.036)).expect("in range");
        assert_eq!(on.status, Status::Corrected);
        assert!(on.note.contains("255"));
        // EN 10270-1 SH: 1.12 mm takes the row of 1.20 mm, 2170 MPa.
        let sh = StrengthSeries::En10270Sh.strength(mm(1.12)).expect("in range");
        assert_relative_eq!(to_mpa(sh.min), 2170.0, max_relative = 1e-12);
    }

    #[test]
    fn inch_pound_and_si_columns_agree_to_their_printed_digits() {
        #[derive(Deserialize)]
        struct Both {
            diameter_in: f64,
            min_ksi: f64,
            max_ksi: f64,
            diameter_mm: f64,
            min_mpa: f64,
            max_mpa: f64,
        }
        // NIST SP 811 (2008), appendix B.8: 1 ksi = 6.894757 MPa.
        assert!((KSI_IN_MPA - 6.894_757).abs() < 5e-7);
        let rows: Vec<Both> = table::rows(include_str!("../../tables/astm_a228.csv"));
        for row in rows {
            let d = row.diameter_in;
            assert!((to_mm(inches(d)) - row.diameter_mm).abs() < 1e-9, "{d}");
            assert!((row.min_ksi * KSI_IN_MPA - row.min_mpa).abs() <= 0.5, "{d}");
            assert!((row.max_ksi * KSI_IN_MPA - row.max_mpa).abs() <= 0.5, "{d}");
        }
    }

    #[test]
    fn the_corrected_maximum_fits_its_neighbours() {
        let ratios: Vec<f64> = StrengthSeries::A228
            .rows()
            .iter()
            .filter(|row| (0.028..=0.045).contains(&to_inches(row.diameter)))
            .map(|row| row.max.value / row.min.value)
            .collect();
        // Printed to 1 ksi in about 320: each ratio is rounded by up to 0.5/320 + 0.5/320 of itself.
        assert!(ratios.len() >= 8 && ratios.iter().all(|ratio| (ratio - 1.1065).abs() < 0.0035));
    }

    /// The loads beside the strengths are strength times area, to a tenth of a pound-force.
    #[test]
    fn strength_times_area_is_the_breaking_load_beside_it() {
        #[derive(Deserialize)]
        struct Load {
            diameter_in: f64,
            min_ksi: f64,
            min_breaking_load_lbf: f64,
        }
        let rows: Vec<Load> = table::rows(include_str!("../../tables/astm_a228.csv"));
        assert_eq!(rows.len(), 58);
        for row in rows {
            let area = std::f64::consts::FRAC_PI_4 * row.diameter_in.powi(2);
            let off = row.min_ksi * 1e3 * area - row.min_breaking_load_lbf;
            assert!(off.abs() <= 0.051, "{} in: {off}", row.diameter_in);
        }
    }

    /// EN 10270-1 prints its minima to `10 MPa`; a straight line in the logarithm gives each that was
    /// read within that rounding. Rows from memory were partly made with it and prove nothing.
    #[test]
    fn european_minima_fall_with_the_logarithm_of_the_diameter() {
        #[derive(Deserialize)]
        struct Fit {
            grade: String,
            diameter_mm: f64,
            min_mpa: f64,
            #[serde(rename = "min_mpa_log_fit")]
            printed_line: f64,
            status: Status,
        }
        let rows: Vec<Fit> = table::rows(include_str!("../../tables/en10270_1.csv"));
        let mut read = 0;
        for row in &rows {
            let (at_1_mm, slope) = match row.grade.as_str() {
                "en10270-sl" => (1720.0, 660.0),
                "en10270-sm" | "en10270-dm" => (1980.0, 740.0),
                _ => (2230.0, 820.0),
            };
            let line = at_1_mm - slope * row.diameter_mm.log10();
            let name = format!("{} {}", row.grade, row.diameter_mm);
            assert!((line - row.printed_line).abs() <= 0.5, "{name}: fit is printed to 1 MPa");
            if row.status == Status::Read {
                assert!((line - row.min_mpa).abs() <= 5.0, "{name}");
                read += 1;
            }
        }
        assert_eq!(read, rows.iter().filter(|row| row.status == Status::Read).count());
        assert!(read > 60, "{read}");
    }

    /// How far the default lies from the other standards for like wire, at every size that pianos
    /// use: the figure that the report prints, 5 %, rests on this.
    #[test]
    fn three_standards_agree_at_piano_sizes() {
        for halves in 24..=52 {
            let Some(size) = WireNumber::from_halves(halves).in_series(WireSeries::Inch) else {
                continue;
            };
            let min = |series: StrengthSeries| {
                to_mpa(series.strength(size.diameter()).expect("a piano size").min)
            };
            let a228 = min(StrengthSeries::A228);
            for other in [StrengthSeries::En10270Sh, StrengthSeries::JisSwpB] {
                let above = min(other) / a228 - 1.0;
                assert!((0.0..0.05).contains(&above), "{other} at No. {size}: {above}");
            }
        }
    }
}
