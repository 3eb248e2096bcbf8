//! Music wire by number: a size is a series and a number, never a bare diameter.
//!
//! `tables/music_wire_inch.csv` and `tables/music_wire_metric.csv`.

use super::source::Status;
use super::table;
use crate::measure::{Length, inches, mm, text, to_inches, to_mm};
use serde::Deserialize;
use std::fmt;
use std::sync::LazyLock;

/// The two series of music wire: one number means two diameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WireSeries {
    /// Music wire gauge in thousandths of an inch.
    Inch,
    /// The same numbers in steps of 0.025 mm.
    Metric,
}

impl WireSeries {
    /// Both series.
    pub const ALL: [Self; 2] = [Self::Inch, Self::Metric];

    /// The name that a survey uses.
    pub fn name(self) -> &'static str {
        match self {
            Self::Inch => "inch",
            Self::Metric => "metric",
        }
    }

    /// The series called `name`.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|series| series.name() == name)
    }

    /// Every size of the table, thinnest first, midpoints that nobody lists included.
    pub fn sizes(self) -> impl DoubleEndedIterator<Item = WireSize> + Clone {
        self.rows().iter().map(move |row| WireSize { series: self, number: row.number })
    }

    /// The sizes that a source lists: what may be ordered.
    pub fn listed(self) -> impl DoubleEndedIterator<Item = WireSize> + Clone {
        self.sizes().filter(|size| size.is_listed())
    }

    /// The listed size nearest to `diameter`; none when it lies more than half a step beyond the
    /// ends of the series.
    ///
    /// ```
    /// use feltwire::measure::mm;
    /// use feltwire::stock::WireSeries;
    /// assert_eq!(WireSeries::Inch.nearest(mm(1.04)).unwrap().to_string(), "18");
    /// assert_eq!(WireSeries::Metric.nearest(mm(1.04)).unwrap().to_string(), "18½");
    /// assert_eq!(WireSeries::Metric.nearest(mm(0.40)), None);
    /// ```
    pub fn nearest(self, diameter: Length) -> Option<WireSize> {
        let off = |size: &WireSize| (to_mm(size.diameter()) - to_mm(diameter)).abs();
        let best = self.listed().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let beside = match (best.smaller(), best.larger()) {
            (Some(_), Some(_)) => return Some(best),
            (Some(size), None) | (None, Some(size)) => size,
            (None, None) => return None,
        };
        let step = (to_mm(best.diameter()) - to_mm(beside.diameter())).abs();
        (off(&best) <= step / 2.0).then_some(best)
    }

    fn rows(self) -> &'static [Row] {
        match self {
            Self::Inch => &INCH,
            Self::Metric => &METRIC,
        }
    }
}

impl fmt::Display for WireSeries {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// A wire number without its series, counted in halves so that half sizes are exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireNumber(u8);

impl WireNumber {
    /// The number made of `halves` half sizes.
    pub const fn from_halves(halves: u8) -> Self {
        Self(halves)
    }

    /// Twice the number.
    pub const fn halves(self) -> u8 {
        self.0
    }

    /// Reads `15`, `15½`, `15.5`, `15 1/2`; whole and half numbers only.
    ///
    /// ```
    /// use feltwire::stock::WireNumber;
    /// for text in ["15½", "15.5", "15 1/2", "15-1/2"] {
    ///     assert_eq!(WireNumber::parse(text), Ok(WireNumber::from_halves(31)), "{text}");
    /// }
    /// assert!(WireNumber::parse("15.3").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, WireFault> {
        let fault = || WireFault::NotANumber { found: text.trim().to_owned() };
        let (number, rest) = text::split_number(text).ok_or_else(fault)?;
        let halves = number * 2.0;
        let exact = rest.is_empty() && halves.fract() == 0.0 && (0.0..=255.0).contains(&halves);
        if exact { Ok(Self(halves as u8)) } else { Err(fault()) }
    }

    /// The size of this number in `series`, if that series has it.
    pub fn in_series(self, series: WireSeries) -> Option<WireSize> {
        let size = WireSize { series, number: self };
        series.rows().iter().any(|row| row.number == self).then_some(size)
    }
}

impl fmt::Display for WireNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let half = if self.0 % 2 == 1 { "½" } else { "" };
        f.pad(&format!("{}{half}", self.0 / 2))
    }
}

/// Why a text is no wire size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WireFault {
    /// Neither a whole nor a half number.
    NotANumber {
        /// What was written.
        found: String,
    },
    /// A number that the series does not have.
    NotInSeries {
        /// The number.
        number: WireNumber,
        /// The series looked in.
        series: WireSeries,
    },
}

impl fmt::Display for WireFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { found } => write!(
                f,
                "`{found}` is no music wire number; expected a whole or half number such as 15, \
                 15½ or 15.5"
            ),
            Self::NotInSeries { number, series } => {
                write!(f, "no {number} in the {series} series, which runs ")?;
                let mut ends = [series.sizes().next(), series.sizes().next_back()].into_iter();
                let end = |size: WireSize| size.described();
                let (first, last) = (ends.next().flatten(), ends.next().flatten());
                write!(
                    f,
                    "from {} to {}, with half sizes to {}",
                    first.map(end).unwrap_or_default(),
                    last.map(end).unwrap_or_default(),
                    series.last_half().map(end).unwrap_or_default(),
                )
            }
        }
    }
}

impl std::error::Error for WireFault {}

impl WireSeries {
    fn last_half(self) -> Option<WireSize> {
        self.sizes().rfind(|size| size.number.halves() % 2 == 1)
    }
}

/// A size of music wire: its series and its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireSize {
    series: WireSeries,
    number: WireNumber,
}

impl WireSize {
    /// Reads a wire number of `series`: `15`, `15½`, `15.5` or `15 1/2`.
    ///
    /// ```
    /// use feltwire::measure::to_mm;
    /// use feltwire::stock::{WireSeries, WireSize};
    /// let size = WireSize::parse("15½", WireSeries::Inch).unwrap();
    /// assert!((to_mm(size.diameter()) - 0.9144).abs() < 1e-12); // 0.036 in
    /// let fault = WireSize::parse("99", WireSeries::Metric).unwrap_err();
    /// assert!(fault.to_string().contains("from 12 (0.725 mm) to 26 (1.600 mm)"));
    /// ```
    pub fn parse(text: &str, series: WireSeries) -> Result<Self, WireFault> {
        let number = WireNumber::parse(text)?;
        number.in_series(series).ok_or(WireFault::NotInSeries { number, series })
    }

    /// The series.
    pub fn series(self) -> WireSeries {
        self.series
    }

    /// The number.
    pub fn number(self) -> WireNumber {
        self.number
    }

    /// The nominal diameter.
    pub fn diameter(self) -> Length {
        self.row().diameter
    }

    /// How the size came into the table.
    pub fn status(self) -> Status {
        self.row().status
    }

    /// The source keys of the size.
    pub fn source(self) -> &'static str {
        &self.row().source
    }

    /// Whether a source lists the size; midpoints between listed sizes are not for ordering.
    pub fn is_listed(self) -> bool {
        self.status() != Status::Interpolated
    }

    /// The next thinner listed size.
    pub fn smaller(self) -> Option<Self> {
        self.series.listed().rfind(|size| size.number < self.number)
    }

    /// The next thicker listed size.
    pub fn larger(self) -> Option<Self> {
        self.series.listed().find(|size| size.number > self.number)
    }

    /// Number and diameter in the unit of the series: `15½ (0.036 in)`.
    pub fn described(self) -> String {
        match self.series {
            WireSeries::Inch => {
                let diameter = to_inches(self.diameter());
                let places = if (diameter * 1e3).fract().abs() > 0.25 { 4 } else { 3 };
                format!("{} ({diameter:.places$} in)", self.number)
            }
            WireSeries::Metric => format!("{} ({:.3} mm)", self.number, to_mm(self.diameter())),
        }
    }

    fn row(self) -> &'static Row {
        self.series
            .rows()
            .iter()
            .find(|row| row.number == self.number)
            .expect("a size is only ever made from a row")
    }
}

/// The number alone: `15½`.
impl fmt::Display for WireSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.number.fmt(f)
    }
}

#[derive(Debug)]
struct Row {
    number: WireNumber,
    diameter: Length,
    source: String,
    status: Status,
}

#[derive(Debug, Deserialize)]
struct Raw {
    gauge: String,
    diameter_in: f64,
    diameter_mm: f64,
    source: String,
    status: Status,
}

static INCH: LazyLock<Vec<Row>> = LazyLock::new(|| {
    read(include_str!("../../tables/music_wire_inch.csv"), |raw| inches(raw.diameter_in))
});

static METRIC: LazyLock<Vec<Row>> = LazyLock::new(|| {
    read(include_str!("../../tables/music_wire_metric.csv"), |raw| mm(raw.diameter_mm))
});

fn read(text: &str, authoritative: impl Fn(&Raw) -> Length) -> Vec<Row> {
    let row = |raw: Raw| Row {
        number: WireNumber::parse(&raw.gauge).expect("gauge numbers are read by a test"),
        diameter: authoritative(&raw),
        source: raw.source,
        status: raw.status,
    };
    table::rows(text).into_iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn raw(text: &str) -> Vec<Raw> {
        table::rows(text)
    }

    #[test]
    fn numbers_and_diameters_rise_together() {
        for series in WireSeries::ALL {
            let sizes: Vec<_> = series.sizes().collect();
            for pair in sizes.windows(2) {
                assert!(pair[0].number() < pair[1].number(), "{series} {}", pair[1]);
                assert!(pair[0].diameter() < pair[1].diameter(), "{series} {}", pair[1]);
            }
        }
    }

    #[test]
    fn inch_and_millimetre_columns_agree_to_their_printed_digits() {
        for row in raw(include_str!("../../tables/music_wire_inch.csv")) {
            // 25.4 is exact: the printed millimetres are not rounded.
            assert!((row.diameter_in * 25.4 - row.diameter_mm).abs() < 1e-9, "{}", row.gauge);
        }
        for row in raw(include_str!("../../tables/music_wire_metric.csv")) {
            let off = (row.diameter_mm / 25.4 - row.diameter_in).abs();
            assert!(off <= 0.5e-5 + 1e-12, "{}: printed to 0.00001 in", row.gauge);
        }
    }

    #[test]
    fn a_midpoint_is_the_middle_of_its_neighbours() {
        for series in WireSeries::ALL {
            for size in series.sizes().filter(|size| !size.is_listed()) {
                let (below, above) = (size.smaller(), size.larger());
                let (below, above) = (below.expect("below"), above.expect("above"));
                let middle = f64::midpoint(to_mm(below.diameter()), to_mm(above.diameter()));
                assert!((middle - to_mm(size.diameter())).abs() < 1e-9, "{series} {size}");
            }
        }
    }

    /// Technicians' mailing list, 12 June 2003: the metric wire of a number is the thinner.
    #[test]
    fn metric_wire_is_thinner_than_inch_wire_of_the_same_number() {
        let mut seen = 0;
        for halves in 24..=44 {
            let number = WireNumber::from_halves(halves);
            let inch = number.in_series(WireSeries::Inch).expect("inch 12 to 22");
            let metric = number.in_series(WireSeries::Metric).expect("metric 12 to 22");
            let off = to_mm(inch.diameter()) - to_mm(metric.diameter());
            // Header of the metric table: 0.012 to 0.020 mm, printed to 0.001 mm.
            assert!((0.0115..=0.0205).contains(&off), "{number}: {off}");
            seen += 1;
        }
        assert_eq!(seen, 21);
    }

    /// A Japanese steelmaker's article: 23 sizes, No. 13 = 0.775 mm to No. 26 = 1.600 mm.
    #[test]
    fn the_metric_series_runs_as_the_steelmaker_counts_it() {
        let sizes = WireSeries::Metric.sizes().filter(|size| {
            let halves = size.number().halves();
            halves >= 26 && (halves <= 44 || halves % 2 == 0)
        });
        assert_eq!(sizes.count(), 23);
        for (number, diameter) in [("13", 0.775), ("26", 1.600)] {
            let size = WireSize::parse(number, WireSeries::Metric).expect(number);
            assert!((to_mm(size.diameter()) - diameter).abs() < 1e-12);
        }
    }

    #[test]
    fn nearest_and_neighbours_offer_only_listed_sizes() {
        for series in WireSeries::ALL {
            for size in series.listed() {
                assert_eq!(series.nearest(size.diameter()), Some(size));
                assert!(size.larger().is_none_or(|larger| larger.smaller() == Some(size)));
            }
        }
        let between = WireSize::parse("7.5", WireSeries::Inch).expect("a midpoint reads");
        assert!(!between.is_listed());
        assert_eq!(between.larger().map(|size| size.to_string()), Some("8".into()));
        for diameter in [f64::NAN, f64::INFINITY, 0.0, -1.0, 9.0] {
            assert_eq!(WireSeries::Inch.nearest(mm(diameter)), None, "{diameter}");
        }
    }

    #[test]
    fn a_number_reads_back_and_a_bad_one_says_what_there_is() {
        for series in WireSeries::ALL {
            for size in series.sizes() {
                assert_eq!(WireSize::parse(&size.to_string(), series), Ok(size));
            }
        }
        for text in ["", "fifteen", "15.3", "15 mm", "-15", "1e9", "15½½", "NaN", "15¼"] {
            let fault = WireSize::parse(text, WireSeries::Inch).expect_err(text);
            assert!(matches!(fault, WireFault::NotANumber { .. }), "{text}: {fault}");
        }
        let fault = WireSize::parse("34", WireSeries::Inch).expect_err("34");
        assert_eq!(
            fault.to_string(),
            "no 34 in the inch series, which runs from 6 (0.016 in) to 33 (0.095 in), with half \
             sizes to 25½ (0.061 in)"
        );
    }
}
