//! What the readings of one section give at their own notes: square bores from heights, hanging distance,
//! shank offset.

use super::curve::Curve;
use super::figure::{Figure, from_mm, in_mm};
use super::offset::{believed, beside_height};
use super::rake::Rake;
use super::{Remarks, usual};
use crate::instrument::{About, HammerRow, Height, Instrument, Kind, Missing};
use crate::measure::trend::Prior;
use crate::measure::{Compass, Length, Measured, Note, mm, to_mm, to_radians};
use crate::physics::HammerFault;
use crate::physics::hammer::geometry::Station;
use crate::physics::hammer::readings::{
    anywhere_between, bore_from_parallel_shank, height_over_rising_string, square_bore,
};
use crate::sentence;
use crate::stock::Applies;

/// What the square bore does along a section before any reading, mm: it stays, its slope is rarely more than
/// 0.1 mm a key, and it bends from a straight line by 0.14 mm in the middle of 29 keys (proposal, no
/// source: 0.006·√(29³/48)). Three readings outweigh the slope; the bend is never estimated from so few.
const BORE_ALONG_A_SECTION: Prior =
    Prior { slope: 0.0, slope_sd: 0.1, roughness: 0.006, roughness_factor: 1.0 };

/// The hanging distance along a section, mm: one length, or a rail a little out of line (proposal).
const HANGING_ALONG_A_SECTION: Prior =
    Prior { slope: 0.0, slope_sd: 0.03, roughness: 0.001, roughness_factor: 1.0 };

/// A square bore from a height, at the note where it was read.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeightBore {
    /// Index of the row.
    pub row: usize,
    /// Its note.
    pub note: Note,
    /// The bore, at the section's rake.
    pub bore: Measured<Length>,
    /// The part of its doubt that is its own, mm.
    pub own: f64,
    /// The part that it shares with the other heights, mm.
    pub shared: f64,
}

/// One section's readings.
#[derive(Debug, Clone)]
pub(super) struct Bench {
    /// Its notes.
    pub notes: Compass,
    /// The rake decided.
    pub rake: Rake,
    /// Hanging distance.
    pub hanging: Option<Curve>,
    /// Shank offset: read, or between its bounds.
    pub offset: Measured<Length>,
    /// Square bores read, in the order of the keys.
    pub heights: Vec<HeightBore>,
    /// The square bore by heights alone.
    pub geometry: Option<Curve>,
}

/// The curve of a square bore through readings of one section.
pub(super) fn bore_curve(readings: impl IntoIterator<Item = (Note, Figure)>) -> Option<Curve> {
    Curve::through(readings, BORE_ALONG_A_SECTION)
}

/// The rows of section `index`, with their places in the survey's list.
pub(super) fn rows_of(
    instrument: &Instrument,
    index: usize,
) -> impl Iterator<Item = (usize, &HammerRow)> {
    instrument
        .hammers
        .rows
        .iter()
        .enumerate()
        .filter(move |(_, row)| instrument.section_of(row.note) == Some(index))
}

impl Bench {
    /// The readings of section `index`.
    pub(super) fn of(
        instrument: &Instrument,
        index: usize,
        rake: Rake,
        remarks: &mut Remarks,
    ) -> Self {
        let hanging = Curve::through(
            rows_of(instrument, index)
                .filter_map(|(_, row)| row.centre_to_head.map(|read| (row.note, in_mm(read)))),
            HANGING_ALONG_A_SECTION,
        );
        let mut bench = Self {
            notes: instrument.sections[index].notes,
            rake,
            hanging,
            offset: offset(instrument, index),
            heights: Vec::new(),
            geometry: None,
        };
        for (row, read) in rows_of(instrument, index) {
            match bench.height_bore(instrument, read) {
                Ok(Some((bore, shared))) => {
                    let (value, own) = in_mm(bore);
                    let bore = from_mm((value, own.hypot(shared)));
                    bench.heights.push(HeightBore { row, note: read.note, bore, own, shared });
                }
                Ok(None) => {}
                Err(why) => remarks.missing.push(Missing {
                    result: "bore_mm",
                    about: About::Note(read.note),
                    why,
                }),
            }
        }
        bench.heights.sort_by_key(|height| height.note);
        let heights = bench.heights.iter();
        let level = heights.clone().map(|height| height.shared).sum::<f64>()
            / bench.heights.len().max(1) as f64;
        let own = heights.map(|height| (height.note, (to_mm(height.bore.value), height.own)));
        bench.geometry = bore_curve(own).map(|curve| curve.sharing(level));
        bench
    }

    /// The hanging distance at `note`.
    pub(super) fn hanging_at(&self, note: Note) -> Option<Measured<Length>> {
        self.hanging.as_ref().map(|curve| from_mm(curve.at(note)))
    }

    /// The station at `note` where the square bore is `bore`.
    pub(super) fn station(&self, note: Note, bore: Length) -> Option<Station> {
        let hanging = self.hanging_at(note)?.value;
        let (sin, cos) = to_radians(self.rake.angle).sin_cos();
        let height = bore - self.offset.value * cos - hanging * sin;
        Station::new(height, hanging, self.offset.value).ok()
    }

    /// The bore with its own doubt, and what of its doubt is shared, mm.
    fn height_bore(
        &self,
        instrument: &Instrument,
        row: &HammerRow,
    ) -> Result<Option<(Measured<Length>, f64)>, crate::measure::Sentence> {
        let Some(height) = row.height else { return Ok(None) };
        let Some(hanging) = row.centre_to_head.or_else(|| self.hanging_needed(row.note, height))
        else {
            return Err(sentence![
                "the height at ",
                row.note,
                " gives a bore only with the distance from the hammer centre pin to the head, centre_to_head_mm, for \
                 the heads are raked by ",
                self.rake.angle
            ]);
        };
        let offset = beside_height(row).map(|read| believed(instrument, read));
        let own = offset.map_or(self.offset, |offset| offset.own);
        let shared = offset.map_or(0.0, |offset| to_mm(offset.shared));
        let of_offset = shared * to_radians(self.rake.angle).cos();
        self.bore_from(height, hanging, own).map(|bore| Some((bore, of_offset))).map_err(|fault| {
            sentence!["the readings of ", row.note, format!(" give no bore: {fault}")]
        })
    }

    /// The hanging distance of the section; of a head square to its shank any length will do, for it
    /// enters times the sine of the rake.
    fn hanging_needed(&self, note: Note, height: Height) -> Option<Measured<Length>> {
        self.hanging_at(note).or_else(|| {
            let any = match height {
                Height::ShankParallel { shank_to_string } => shank_to_string.value,
                Height::Centre { centre_to_string, .. } => centre_to_string.value,
                Height::Keybed { centre_to_strike, .. } => centre_to_strike.value,
            };
            (to_radians(self.rake.angle) == 0.0).then(|| Measured::new(any, mm(0.0)))
        })
    }

    fn bore_from(
        &self,
        height: Height,
        hanging: Measured<Length>,
        offset: Measured<Length>,
    ) -> Result<Measured<Length>, HammerFault> {
        let rake = Measured::new(self.rake.angle, self.rake.angle * 0.0);
        match height {
            Height::ShankParallel { shank_to_string } => {
                bore_from_parallel_shank(shank_to_string, hanging, offset, rake)
            }
            Height::Centre { centre_to_string, .. } => {
                square_bore(centre_to_string, hanging, offset, rake)
            }
            Height::Keybed { string_height, centre_height, centre_to_strike, string_rise } => {
                let difference = Measured::new(
                    string_height.value - centre_height.value,
                    mm(to_mm(string_height.sd).hypot(to_mm(centre_height.sd))),
                );
                let height = height_over_rising_string(difference, centre_to_strike, string_rise)?;
                square_bore(height, hanging, offset, rake)
            }
        }
    }
}

/// The shank's offset: mean of those read in the section, else of those read anywhere; else none in a grand,
/// whose shank points at the pin, and anywhere between practice's bounds in an upright. It is needed only
/// where height and offset were read in one, and then enters times 1 − cos of the rake.
fn offset(instrument: &Instrument, index: usize) -> Measured<Length> {
    let read = |row: &HammerRow| match row.height {
        Some(Height::Centre { shank_offset, .. }) => Some(in_mm(shank_offset)),
        _ => row.shank_offset.map(in_mm),
    };
    let own: Vec<Figure> = rows_of(instrument, index).filter_map(|(_, row)| read(row)).collect();
    let all = || instrument.hammers.rows.iter().filter_map(read).collect();
    let readings: Vec<Figure> = if own.is_empty() { all() } else { own };
    if readings.is_empty() {
        return unread_offset(instrument.kind);
    }
    let count = readings.len() as f64;
    let mean = readings.iter().map(|(value, _)| value).sum::<f64>() / count;
    let sd = readings.iter().map(|(_, sd)| *sd).fold(0.0, f64::hypot) / count;
    from_mm((mean, sd))
}

fn unread_offset(kind: Kind) -> Measured<Length> {
    let none = Measured::new(mm(0.0), mm(0.0));
    if kind == Kind::Grand {
        return none;
    }
    let most = usual::highest("shank-offset", Applies::Upright).map_or(mm(0.0), mm);
    anywhere_between(mm(0.0), most).unwrap_or(none)
}
