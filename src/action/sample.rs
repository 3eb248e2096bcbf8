//! Samples corrected for wear, beside what the instrument asks for.

use super::bench::{Bench, rows_of};
use super::figure::{from_mm, in_mm};
use super::touch::TouchFigures;
use super::{GapFigures, SwingFigures};
use super::{MassFigures, Remarks};
use crate::instrument::{About, HammerRow, Instrument, Missing, Place, Wear};
use crate::measure::{Angle, Length, Measured, Note, Sentence, mm, to_mm, to_radians};
use crate::physics::HammerFault;
use crate::physics::hammer::geometry::Head;
use crate::physics::hammer::wear::{from_flat, from_outline};
use crate::sentence;

/// Felt gone from a sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearFigures {
    /// Height lost at the crown.
    pub lost: Measured<Length>,
    /// Radius of the crown before wear, where it was read.
    pub radius: Option<Measured<Length>>,
    /// The flat is so long that the crown can no longer be told from it.
    pub beyond_range: bool,
}

/// How a sample's bore stands to the instrument.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SampleStanding {
    /// It agrees: what it says is used.
    Sound,
    /// It is off by itself, the others of its section are not: it is not used.
    Off,
    /// It is off, and stands alone in its section: the heights there may be as wrong. Not used.
    OffAlone,
    /// Its section is off as a whole: not used.
    SectionOff,
    /// There is nothing to compare it with, or nothing of it to compare.
    NotCompared,
}

/// One row of the survey's hammers, computed.
#[derive(Debug, Clone)]
pub struct Sample {
    /// Its index among the rows of the survey.
    pub row: usize,
    /// Its note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Where it is written.
    pub place: Place,
    /// Square bore from the height read at this note alone.
    pub height_bore: Option<Measured<Length>>,
    /// That bore less what the other heights of its section foretell here.
    pub height_off: Option<Measured<Length>>,
    /// Felt gone.
    pub wear: Option<WearFigures>,
    /// Bore before wear, at the sample's own rake.
    pub bore_new: Option<Measured<Length>>,
    /// Bore before wear less the bore that its own rake asks for here by the heights.
    pub difference: Option<Measured<Length>>,
    /// The difference less the median of its section.
    pub off_section: Option<Measured<Length>>,
    /// How it stands.
    pub standing: SampleStanding,
    /// Obliquity of the sample as it is today.
    pub obliquity_found: Option<Measured<Angle>>,
    /// Its mass.
    pub mass: Option<MassFigures>,
    /// Down, up, and what a new head changes.
    pub touch: Option<TouchFigures>,
    /// Swing and blow.
    pub swing: Option<SwingFigures>,
    /// Gaps to the neighbours.
    pub gaps: Option<GapFigures>,
}

/// The felt gone from `row`; `Ok(None)` when nothing was read.
fn wear(row: &HammerRow) -> Result<Option<WearFigures>, HammerFault> {
    let figures = match row.wear {
        None => return Ok(None),
        Some(Wear::Lost(lost)) => WearFigures { lost, radius: None, beyond_range: false },
        Some(Wear::Flat { flat, crown_radius }) => of_arc(from_flat(flat, crown_radius)?),
        Some(Wear::Outline { flat, outline, depth }) => of_arc(from_outline(flat, outline, depth)?),
    };
    Ok(Some(figures))
}

fn of_arc(wear: crate::physics::hammer::wear::Wear) -> WearFigures {
    WearFigures { lost: wear.lost, radius: Some(wear.radius), beyond_range: wear.beyond_range() }
}

/// Every row of the survey, its bore corrected for wear and set beside the heights.
pub(super) fn compare(
    instrument: &Instrument,
    benches: &[Bench],
    remarks: &mut Remarks,
) -> Vec<Sample> {
    let mut samples = Vec::new();
    for (section, bench) in benches.iter().enumerate() {
        for (index, row) in rows_of(instrument, section) {
            samples.push(one(index, row, section, bench, remarks));
        }
    }
    samples
}

fn one(
    index: usize,
    row: &HammerRow,
    section: usize,
    bench: &Bench,
    remarks: &mut Remarks,
) -> Sample {
    let mut sample = Sample {
        row: index,
        note: row.note,
        section,
        place: row.place.clone(),
        height_bore: None,
        height_off: None,
        wear: None,
        bore_new: None,
        difference: None,
        off_section: None,
        standing: SampleStanding::NotCompared,
        obliquity_found: None,
        mass: None,
        touch: None,
        swing: None,
        gaps: None,
    };
    if let Some(at) = bench.heights.iter().position(|height| height.row == index) {
        let height = &bench.heights[at];
        sample.height_bore = Some(height.bore);
        sample.height_off = off_line(bench, at);
    }
    match wear(row) {
        Ok(found) => sample.wear = found,
        Err(fault) => not_had(
            remarks,
            row,
            sentence!["the felt lost at ", row.note, format!(" cannot be told: {fault}")],
        ),
    }
    if row.bore.is_some() {
        match bore_before_wear(row, sample.wear) {
            Ok(bore) => set_beside(&mut sample, row, bore, bench),
            Err(why) => not_had(remarks, row, why),
        }
        sample.obliquity_found = found_obliquity(row, bench);
    }
    sample
}

fn not_had(remarks: &mut Remarks, row: &HammerRow, why: Sentence) {
    remarks.missing.push(Missing { result: "sample_bore", about: About::Note(row.note), why });
}

/// What a height says beyond the other two or more of its section.
fn off_line(bench: &Bench, at: usize) -> Option<Measured<Length>> {
    let curve = bench.geometry.as_ref().filter(|curve| curve.len() >= 3)?;
    let ((foretold, doubt), height) = (curve.without(at), &bench.heights[at]);
    Some(from_mm((to_mm(height.bore.value) - foretold, doubt.hypot(height.own))))
}

fn bore_before_wear(
    row: &HammerRow,
    wear: Option<WearFigures>,
) -> Result<Measured<Length>, Sentence> {
    if row.filed {
        return Err(sentence![
            "the sample of ",
            row.note,
            " was reshaped before: its crown is a false one and its bore proves nothing"
        ]);
    }
    let (Some(bore), Some(wear)) = (row.bore, wear) else {
        return Err(sentence![
            "the sample of ",
            row.note,
            " is compared only when the felt gone from it is known: read the flat with the crown's radius, or with the \
             width of the outline at a depth below it"
        ]);
    };
    if wear.beyond_range {
        return Err(sentence![
            "the flat of the sample of ",
            row.note,
            " is longer than 1.2 times its crown's radius: the felt gone is a guess, and its bore is not compared"
        ]);
    }
    let ((bore, of_bore), (lost, of_lost)) = (in_mm(bore), in_mm(wear.lost));
    Ok(from_mm((bore + lost, of_bore.hypot(of_lost))))
}

/// Relation 2 with the shank at the section's angle of strike, which is the rake decided, and the head
/// at its own rake: the square bore that the sample stands for, and how far it is from the heights'.
fn set_beside(sample: &mut Sample, row: &HammerRow, bore: Measured<Length>, bench: &Bench) {
    sample.bore_new = Some(bore);
    let (value, sd) = square_equivalent(sample, row, bore, bench);
    if let Some(geometry) = &bench.geometry {
        let (asked, doubt) = geometry.at(row.note);
        sample.difference = Some(from_mm((value - asked, sd.hypot(doubt))));
    }
}

/// The bore at the section's rake for which a sample of another rake stands: r + (b − r) cos(a − ρ).
fn square_equivalent(
    sample: &Sample,
    row: &HammerRow,
    bore: Measured<Length>,
    bench: &Bench,
) -> (f64, f64) {
    let crown = sample.wear.and_then(|wear| wear.radius).map_or(0.0, |radius| to_mm(radius.value));
    let own = row.rake.map_or(bench.rake.angle, |rake| rake.value);
    let turned = to_radians(bench.rake.angle) - to_radians(own);
    let of_rake = row.rake.map_or(0.0, |rake| to_radians(rake.sd));
    let (value, sd) = in_mm(bore);
    let arm = value - crown;
    (crown + arm * turned.cos(), sd.hypot(arm * turned.sin() * of_rake))
}

/// The square bore for which a sound sample stands, and the doubt of its own readings.
pub(super) fn stands_for(
    sample: &Sample,
    instrument: &Instrument,
    bench: &Bench,
) -> Option<(f64, f64)> {
    let bore = sample.bore_new?;
    Some(square_equivalent(sample, &instrument.hammers.rows[sample.row], bore, bench))
}

/// How the sample meets its string today, by the heights.
fn found_obliquity(row: &HammerRow, bench: &Bench) -> Option<Measured<Angle>> {
    let (bore, rake) = (row.bore?, row.rake?);
    let (square, doubt) = bench.geometry.as_ref()?.at(row.note);
    let station = bench.station(row.note, mm(square))?;
    // The string has flattened the crown: what meets it now is the flat, a crown without a radius.
    let worn = Head::new(bore.value, rake.value, mm(0.0)).ok()?;
    let contact = station.contact(&worn).ok()?;
    let slope = station.contact_slopes(&worn).ok()?.obliquity;
    let of_bore = to_mm(bore.sd).hypot(doubt) * to_radians(slope.per_mm_of_bore);
    let of_rake = to_radians(rake.sd) * slope.by_rake;
    let sd = crate::measure::radians(of_bore.hypot(of_rake));
    Some(Measured::new(contact.obliquity, sd))
}
