//! Where on its string a head strikes, and how wear moves the place.
//!
//! Wear draws the strike point towards the hammer centre: away from the top bearing in an upright, where its
//! fraction of the string's length rises, towards the agraffe in a grand, where it falls.

use super::bench::Bench;
use super::curve::Curve;
use super::figure::Figure;
use super::sample::Sample;
use crate::instrument::{Instrument, Kind, LengthError};
use crate::measure::trend::Prior;
use crate::measure::{Length, Measured, Note, mm, to_mm, to_radians};
use crate::physics::hammer::geometry::Head;
use crate::scale::{NoteStrings, Scale};

/// Where one note is struck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrikeFigures {
    /// From the hammer's centre along the string, by the head as ordered.
    pub from_centre: Measured<Length>,
    /// How far felt lost since new has moved the strike point from the string's end (positive: away from it); `None`
    /// when no sample says how much is lost.
    pub shift_by_wear: Option<Length>,
    /// Strike point over speaking length as found.
    pub fraction_found: Option<f64>,
    /// The same with the head as ordered.
    pub fraction: Option<Measured<f64>>,
    /// How much that fraction changes for each millimetre of felt lost.
    pub fraction_per_mm: Option<f64>,
}

/// Felt lost along the keys, mm: a little more or less from place to place (proposal).
const LOST_ALONG_THE_KEYS: Prior =
    Prior { slope: 0.0, slope_sd: 0.03, roughness: 0.003, roughness_factor: 1.0 };
/// Scatter of the felt lost between neighbours, mm (proposal).
const NOTE_TO_NOTE_MM: f64 = 0.2;
/// Felt that may be lost where nobody looked, mm (proposal): its whole effect is carried as doubt.
const LOST_UNREAD_MM: f64 = 2.0;
/// What the strike points of the whole compass rest on.
pub(super) struct StrikeLine {
    lost: Option<Curve>,
    read: LengthError,
    known: bool,
}

impl StrikeLine {
    /// From the samples' wear and the strike points read.
    pub(super) fn of(instrument: &Instrument, scale: &Scale, samples: &[Sample]) -> Self {
        let lost = samples
            .iter()
            .filter_map(|sample| Some((sample.note, sample.wear?)))
            .filter(|(_, wear)| !wear.beyond_range)
            .map(|(note, wear)| {
                let sd = to_mm(wear.lost.sd).hypot(NOTE_TO_NOTE_MM);
                (note, (to_mm(wear.lost.value), sd))
            });
        let known = |entry: &NoteStrings| {
            entry.string.as_ref().is_some_and(|string| string.strike_fraction.is_some())
        };
        Self {
            lost: Curve::through(lost, LOST_ALONG_THE_KEYS),
            read: instrument.reading_error.length,
            known: scale.notes.iter().any(known),
        }
    }

    /// Whether any wear was read.
    pub(super) fn knows_wear(&self) -> bool {
        self.lost.is_some()
    }

    /// Whether any strike point was read.
    pub(super) fn knows_strike(&self) -> bool {
        self.known
    }

    /// Felt lost at `note`, mm.
    pub(super) fn lost(&self, note: Note) -> Option<Figure> {
        self.lost.as_ref().map(|curve| curve.at(note)).map(|(lost, sd)| (lost.max(0.0), sd))
    }

    /// Where the head of bore `bore`, square strike `square`, hits the string of `strings`.
    pub(super) fn at(
        &self,
        kind: Kind,
        bench: &Bench,
        square: Measured<Length>,
        bore: Length,
        strings: Option<&NoteStrings>,
        note: Note,
    ) -> Option<StrikeFigures> {
        let station = bench.station(note, square.value)?;
        let head = Head::new(bore, bench.rake.angle, mm(0.0)).ok()?;
        let strike = station.contact(&head).ok()?.strike;
        let slopes = station.contact_slopes(&head).ok()?.strike;
        let hanging = bench.hanging_at(note)?;
        let sd = (to_mm(hanging.sd) * slopes.by_hanging)
            .hypot(to_mm(bench.offset.sd) * to_radians(bench.rake.angle).sin());
        let towards_end = match kind {
            Kind::Upright => 1.0,
            Kind::Grand => -1.0,
        };
        let lost = self.lost(note);
        let struck = |lost: f64| {
            let old = Head::new(square.value - mm(lost), bench.rake.angle, mm(0.0)).ok()?;
            Some(to_mm(station.contact(&old).ok()?.strike))
        };
        // The old head new struck square; what it lost, and what the new one has beyond the square.
        let worn = struck(lost.map_or(0.0, |(lost, _)| lost))?;
        let shift = lost.and_then(|_| Some(towards_end * (struck(0.0)? - worn)));
        let back = towards_end * (to_mm(strike) - worn);
        let doubt = lost.map_or(LOST_UNREAD_MM / 3_f64.sqrt(), |(_, sd)| sd) * slopes.by_bore;
        let string = strings.and_then(|strings| strings.string.as_ref());
        let length = string.map(|string| to_mm(string.length.value));
        let found = string.and_then(|string| string.strike_fraction);
        let fraction = found.zip(length).map(|(found, length)| {
            let read = to_mm(self.read.of(mm(found * length)));
            let new = found - back / length;
            Measured::new(new, read.hypot(doubt) / length)
        });
        Some(StrikeFigures {
            from_centre: Measured::new(strike, mm(sd)),
            shift_by_wear: shift.map(mm),
            fraction_found: found,
            fraction,
            fraction_per_mm: length.map(|length| towards_end * slopes.by_bore / length),
        })
    }
}
