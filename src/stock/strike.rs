//! Where hammers strike, as published: bands, not a curve.
//!
//! `tables/strike_ratio.csv`: distance of the strike point from the near termination over the
//! speaking length, a pure number.

use super::source::Status;
use super::table;
use crate::measure::{Compass, Note};
use serde::Deserialize;
use std::sync::LazyLock;

/// One published statement on the strike point.
#[derive(Debug, Clone, PartialEq)]
pub struct StrikeBand {
    /// The region in the source's words.
    pub region: String,
    /// The notes that we take the region for.
    pub notes: Compass,
    /// Least ratio, where the source gives a range.
    pub low: Option<f64>,
    /// The usual ratio.
    pub typical: Option<f64>,
    /// Greatest ratio.
    pub high: Option<f64>,
    /// How the row came about.
    pub status: Status,
    /// Source keys.
    pub source: String,
}

/// Every statement.
pub fn strike_bands() -> &'static [StrikeBand] {
    &BANDS
}

/// Least and greatest ratio that any source gives for `note`; none where no source has a figure.
///
/// ```
/// use feltwire::measure::Note;
/// use feltwire::stock::strike_range;
/// // C8: 1/20 (early writers) to 1/12, Conklin 1990 and technicians' lists.
/// assert_eq!(strike_range(Note::C8), Some((0.05, 0.0833)));
/// ```
pub fn strike_range(note: Note) -> Option<(f64, f64)> {
    BANDS
        .iter()
        .filter(|band| band.notes.contains(note))
        .flat_map(|band| [band.low, band.typical, band.high])
        .flatten()
        .fold(None, |range, ratio| match range {
            None => Some((ratio, ratio)),
            Some((low, high)) => Some((ratio.min(low), ratio.max(high))),
        })
}

#[derive(Debug, Deserialize)]
struct Raw {
    region: String,
    first: String,
    last: String,
    low: String,
    typical: String,
    high: String,
    source: String,
    status: Status,
}

static BANDS: LazyLock<Vec<StrikeBand>> = LazyLock::new(|| {
    let note = |name: &str| Note::parse(name).expect("notes of the table are read by a test");
    let band = |raw: Raw| StrikeBand {
        region: raw.region,
        notes: Compass { first: note(&raw.first), last: note(&raw.last) },
        low: table::number(&raw.low),
        typical: table::number(&raw.typical),
        high: table::number(&raw.high),
        status: raw.status,
        source: raw.source,
    };
    table::rows(include_str!("../../tables/strike_ratio.csv")).into_iter().map(band).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_band_is_in_order_and_every_note_has_one() {
        for band in strike_bands() {
            let given: Vec<f64> =
                [band.low, band.typical, band.high].into_iter().flatten().collect();
            assert!(given.is_sorted() && given.iter().all(|ratio| (0.04..0.15).contains(ratio)));
            assert!(!band.notes.is_empty(), "{}", band.region);
        }
        for key in 1..=88 {
            let note = Note::from_key(key).expect("88 keys");
            let (low, high) = strike_range(note).expect("a source for every note");
            assert!(low < high, "{note}");
        }
    }

    #[test]
    fn a_ratio_in_words_is_the_decimal_beside_it() {
        // Technicians' list 1998: 1:8.25 to 1:7.75, 1:8.5; Conklin 1990: 1/17 to 1/12.
        for (decimal, one_over, digits) in [
            (0.1212, 8.25, 4),
            (0.129, 7.75, 3),
            (0.1176, 8.5, 4),
            (0.0588, 17.0, 4),
            (0.0833, 12.0, 4),
            (0.0625, 16.0, 4),
        ] {
            let printed = |ratio: &f64| (ratio - decimal).abs() < 1e-12;
            let found = strike_bands()
                .iter()
                .flat_map(|band| [band.low, band.typical, band.high])
                .flatten()
                .any(|ratio| printed(&ratio));
            assert!(found, "{decimal}");
            assert!((1.0 / one_over - decimal).abs() <= 0.5 * 10f64.powi(-digits), "{decimal}");
        }
    }
}
