//! A step of tension in the words of the trade: how many half sizes of wire it is.
//!
//! Tension goes as the section of a plain wire, so half a size is a step of 2 ln(d'/d). The wire that
//! is there is read from the trends themselves, d² = (4/pi) T/S at the break, not from one note: its
//! neighbours may be a size apart.

use super::{BreakPlace, Figures};
use crate::instrument::Instrument;
use crate::instrument::belief::StringKind;
use crate::measure::{Length, Measured, Note, metres, to_metres};
use crate::scale::Scale;
use crate::stock::{WireSeries, WireSize};
use std::f64::consts::PI;

/// A step of tension counted in half sizes of the plain wire beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfSizes {
    /// The outer note on the plain side (the treble side when both are plain).
    pub note: Note,
    /// How many, treble side over bass side: negative when the tension falls.
    pub count: Measured<f64>,
    /// The listed size nearest to the wire at the break by the trend.
    pub now: Option<WireSize>,
    /// The listed size that would take the step away, the other side being kept.
    pub fitting: Option<WireSize>,
}

/// The step of tension at `place` in half sizes, from the steps of tension and stress there; `None`
/// when neither side is plain.
pub fn half_sizes(
    instrument: &Instrument,
    scale: &Scale,
    place: &BreakPlace,
    tension: &Figures,
    stress: &Figures,
) -> Option<HalfSizes> {
    let plain = |note: Note| scale.note(note).and_then(|n| n.kind) == Some(StringKind::Plain);
    let (note, level, other_way) = if plain(place.above) {
        (place.above, (tension.level_above, stress.level_above), -1.0)
    } else if plain(place.below) {
        (place.below, (tension.level_below, stress.level_below), 1.0)
    } else {
        return None;
    };
    let diameter = metres((4.0 / PI * (level.0 - level.1).exp()).sqrt());
    let series = series_at(instrument, note);
    let step = half_size_step(series, diameter)?;
    let fitting = metres(to_metres(diameter) * (other_way * tension.ln / 2.0).exp());
    Some(HalfSizes {
        note,
        count: Measured::new(tension.ln / step, tension.se / step),
        now: series.nearest(diameter),
        fitting: series.nearest(fitting),
    })
}

/// The series of wire numbers in use at `note`: its own row's or run's, else that of the first number
/// anywhere in the survey, else the inch series.
pub(super) fn series_at(instrument: &Instrument, note: Note) -> WireSeries {
    let row = instrument.string(note).and_then(|row| row.size);
    let run = instrument.runs.iter().find(|run| run.notes.contains(note)).and_then(|run| run.size);
    let anywhere = || {
        let rows = instrument.strings.iter().filter_map(|row| row.size);
        rows.chain(instrument.runs.iter().filter_map(|run| run.size)).next()
    };
    row.or(run).or_else(anywhere).map_or(WireSeries::Inch, WireSize::series)
}

/// Half a size of wire at `note` near `diameter`.
pub fn half_size(instrument: &Instrument, note: Note, diameter: Length) -> Option<Length> {
    let step = half_size_step(series_at(instrument, note), diameter)?;
    Some(diameter * (step / 2.0).exp_m1())
}

/// By how much half a size steps the logarithm of tension near `diameter`.
pub(super) fn half_size_step(series: WireSeries, diameter: Length) -> Option<f64> {
    let size = series.nearest(diameter)?;
    let (low, high) = (size.smaller().unwrap_or(size), size.larger().unwrap_or(size));
    let halves = f64::from(high.number().halves()) - f64::from(low.number().halves());
    let ratio = to_metres(high.diameter()) / to_metres(low.diameter());
    (halves > 0.0).then(|| 2.0 * ratio.ln() / halves)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{inches, mm};

    /// Design of the trade: a half size is 4.5 to 7 % of tension (common practice); at 0.041 in the
    /// next half sizes are 0.040 and 0.042: 2 ln(0.042/0.040)/2 = 4.88 %.
    #[test]
    fn half_a_size_is_about_five_percent() {
        let at = |diameter| half_size_step(WireSeries::Inch, diameter).expect("in the series");
        assert!((at(inches(0.041)) - (0.042_f64 / 0.040).ln()).abs() < 1e-12);
        for diameter in [0.80, 0.90, 1.0, 1.1] {
            let step = at(mm(diameter)).exp_m1();
            assert!((0.044..0.07).contains(&step), "{diameter}: {step}");
        }
    }
}
