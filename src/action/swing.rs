//! Swing and blow of a sample's place: as found with the worn head, and with the new one.

use super::bench::Bench;
use super::sample::Sample;
use super::side::head;
use crate::instrument::HammerRow;
use crate::measure::{Angle, Length, mm};

/// How a hammer swings where a blow was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwingFigures {
    /// Blow as read, with the head as it was.
    pub blow_found: Length,
    /// Blow with the head as ordered and the rail untouched; `None` when the felt gone is not known.
    pub blow_rail_untouched: Option<Length>,
    /// Shank to string at rest, the new head regulated to the blow found.
    pub rest: Angle,
    /// From rest to string.
    pub swing: Angle,
    /// Length of the crown's path.
    pub path: Length,
    /// How much longer the blow becomes for each millimetre of felt lost: a pure number.
    pub blow_per_wear: f64,
}

/// For the head ordered at `sample`'s note, of bore `bore`.
pub(super) fn figures(
    row: &HammerRow,
    sample: &Sample,
    bore: Length,
    square: Length,
    bench: &Bench,
) -> Option<SwingFigures> {
    let blow = row.blow?.value;
    let station = bench.station(row.note, square)?;
    let new = head(bore, sample, bench)?;
    let swing = station.swing(&new, blow).ok()?;
    let longer = station.blow_after_loss(&new, blow, mm(1.0)).ok()?;
    let untouched = sample.wear.and_then(|wear| {
        let worn = new.less(wear.lost.value).ok()?;
        let rest = station.shank_angle_short_of_string(&worn, blow).ok()?;
        let shorter = (rest - bench.rake.angle).value.cos();
        Some(blow - wear.lost.value * shorter)
    });
    Some(SwingFigures {
        blow_found: blow,
        blow_rail_untouched: untouched,
        rest: swing.rest,
        swing: swing.swing,
        path: swing.path,
        blow_per_wear: (longer - blow).value / mm(1.0).value,
    })
}
