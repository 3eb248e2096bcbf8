//! Tuning pins by size.
//!
//! `tables/tuning_pins.csv`. Makers differ by up to 0.05 mm and old pins taper: a size is what a pin
//! is sold as, a micrometer says what it is.

use super::source::Status;
use super::table;
use crate::measure::{Length, inches, mm, to_mm};
use serde::Deserialize;
use std::sync::LazyLock;

/// A tuning pin size.
#[derive(Debug, Clone, PartialEq)]
pub struct TuningPin {
    /// As the trade writes it: `2/0`.
    pub size: String,
    /// Diameter in the inch series.
    pub diameter: Length,
    /// Diameter that a metric maker sells under the size.
    pub nominal: Length,
    /// How the row came about.
    pub status: Status,
    /// Source keys.
    pub source: String,
}

impl TuningPin {
    /// The next thicker size of the table, the half size 2.5/0 included.
    pub fn larger(&self) -> Option<&'static Self> {
        tuning_pins().iter().find(|pin| pin.diameter > self.diameter)
    }
}

/// Every size, thinnest first.
pub fn tuning_pins() -> &'static [TuningPin] {
    &PINS
}

/// The pin of `size`.
///
/// ```
/// use feltwire::measure::to_mm;
/// use feltwire::stock::tuning_pin;
/// // .282 in = 7.16 mm, as a technician's page prints it.
/// assert!((to_mm(tuning_pin("2/0").unwrap().diameter) - 7.16).abs() < 0.005);
/// assert!(tuning_pin("9/0").is_none());
/// ```
pub fn tuning_pin(size: &str) -> Option<&'static TuningPin> {
    PINS.iter().find(|pin| pin.size == size)
}

/// The size whose metric nominal or inch diameter lies nearest to `diameter`; none when it lies more
/// than 0.1 mm (about one size) beyond the ends of the table.
pub fn nearest_tuning_pin(diameter: Length) -> Option<&'static TuningPin> {
    let off = |pin: &TuningPin| {
        let from = |size: Length| (to_mm(size) - to_mm(diameter)).abs();
        from(pin.diameter).min(from(pin.nominal))
    };
    PINS.iter().min_by(|a, b| off(a).total_cmp(&off(b))).filter(|pin| off(pin) <= ONE_SIZE_MM)
}

/// The step between whole sizes: 0.004 to 0.010 in.
const ONE_SIZE_MM: f64 = 0.1;

#[derive(Debug, Deserialize)]
struct Raw {
    size: String,
    diameter_in: f64,
    nominal_mm: f64,
    source: String,
    status: Status,
}

static PINS: LazyLock<Vec<TuningPin>> = LazyLock::new(|| {
    let pin = |raw: Raw| TuningPin {
        size: raw.size,
        diameter: inches(raw.diameter_in),
        nominal: mm(raw.nominal_mm),
        status: raw.status,
        source: raw.source,
    };
    table::rows(include_str!("../../tables/tuning_pins.csv")).into_iter().map(pin).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_rise_and_each_is_its_own_nearest() {
        let pins = tuning_pins();
        for pair in pins.windows(2) {
            assert!(pair[0].diameter < pair[1].diameter && pair[0].nominal < pair[1].nominal);
            assert_eq!(pair[0].larger(), Some(&pair[1]));
        }
        for pin in pins {
            assert_eq!(nearest_tuning_pin(pin.diameter), Some(pin));
            assert_eq!(nearest_tuning_pin(pin.nominal), Some(pin));
        }
        assert_eq!(pins.last().and_then(TuningPin::larger), None);
        for beyond in [6.0, 8.5, f64::NAN] {
            assert_eq!(nearest_tuning_pin(mm(beyond)), None, "{beyond}");
        }
    }

    #[test]
    fn inch_and_millimetre_columns_agree_to_their_printed_digits() {
        #[derive(Deserialize)]
        struct Both {
            diameter_in: f64,
            diameter_mm: f64,
            nominal_mm: f64,
        }
        let rows: Vec<Both> = table::rows(include_str!("../../tables/tuning_pins.csv"));
        for row in rows {
            let d = row.diameter_in;
            assert!((to_mm(inches(d)) - row.diameter_mm).abs() <= 0.005 + 1e-9, "{d}");
            // Header: makers differ by up to 0.05 mm.
            assert!((row.nominal_mm - row.diameter_mm).abs() <= 0.05, "{d}");
        }
    }
}
