//! The bore of every note: heights first, sound samples beside them.

use super::agree::{SectionAgreement, SectionStanding};
use super::bench::{Bench, HeightBore, bore_curve};
use super::curve::Curve;
use super::figure::{Figure, from_mm};
use super::sample::{Sample, SampleStanding, stands_for};
use crate::instrument::Instrument;
use crate::measure::{Length, Measured, Note, to_mm};

/// On what the bore of a note rests. The curve of its section runs through all of them; this says what was read
/// at the note itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoreFrom {
    /// A height.
    Geometry,
    /// A sample.
    Sample,
    /// A height and a sample that agrees with it.
    Both,
    /// Nothing at this note: it lies on the curve of its section.
    Interpolated,
}

/// How well a set was bored in its day where no height vouches for it, mm: the doubt, common to a section, with
/// which its samples speak of the square bore there (one standard deviation; proposal, no source: a
/// set bored to ±0.3 and in few steps).
const OLD_BORING_MM: f64 = 0.5;

/// The doubt that the samples of a section share: where they agree with heights, all of the offset that would
/// still have counted as agreement. So the instrument comes first: samples confirm its heights and
/// hardly move them, least where the heights can vouch for little.
fn shared_doubt(agreement: &SectionAgreement) -> f64 {
    agreement.unseen.map_or(OLD_BORING_MM, to_mm)
}

/// What is believed of the bore of one note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoreFigures {
    /// Bore of a square strike, allowance not included.
    pub square: Measured<Length>,
    /// On what it rests.
    pub from: BoreFrom,
    /// The same by heights alone.
    pub by_heights: Option<Measured<Length>>,
    /// Keys beyond the outermost reading of the section; 0 inside.
    pub keys_beyond: f64,
}

/// The bores of one section, note by note; `None` where nothing was read.
pub(super) fn of_section(
    instrument: &Instrument,
    bench: &Bench,
    samples: &[Sample],
    agreement: &SectionAgreement,
) -> Vec<Option<BoreFigures>> {
    // What heights share, too, spread over so many that together they do not say it away.
    let level = bench.geometry.as_ref().map_or(0.0, Curve::level);
    let level = level * (bench.heights.len() as f64).sqrt();
    let heights = || {
        let own = |height: &HeightBore| (to_mm(height.bore.value), height.own.hypot(level));
        bench.heights.iter().map(move |height| (height.note, own(height)))
    };
    let speaks = |sample: &&Sample| match agreement.standing {
        SectionStanding::Agrees => sample.standing == SampleStanding::Sound,
        SectionStanding::SamplesOnly => sample.bore_new.is_some(),
        _ => false,
    };
    let speaking: Vec<&Sample> = samples.iter().filter(speaks).collect();
    // Their common doubt, spread over so many that together they do not say it away.
    let boring = shared_doubt(agreement) * (speaking.len() as f64).sqrt();
    let from_samples: Vec<(Note, Figure)> = speaking
        .iter()
        .filter_map(|sample| {
            let (value, sd) = stands_for(sample, instrument, bench)?;
            Some((sample.note, (value, sd.hypot(boring))))
        })
        .collect();
    let Some(curve) = bore_curve(heights().chain(from_samples.iter().copied())) else {
        return vec![None; bench.notes.len()];
    };
    let alone = bench.geometry.as_ref().map(|geometry| geometry.along(bench.notes));
    bench
        .notes
        .notes()
        .zip(curve.along(bench.notes))
        .enumerate()
        .map(|(at, (note, square))| {
            let height = bench.heights.iter().any(|height| height.note == note);
            let sample = from_samples.iter().any(|(sampled, _)| *sampled == note);
            // Wild readings may carry a curve below the shank.
            (square.0 > 0.0).then(|| BoreFigures {
                square: from_mm(square),
                from: from(height, sample),
                by_heights: alone.as_ref().map(|figures| from_mm(figures[at])),
                keys_beyond: curve.beyond(note),
            })
        })
        .collect()
}

fn from(height: bool, sample: bool) -> BoreFrom {
    match (height, sample) {
        (true, true) => BoreFrom::Both,
        (true, false) => BoreFrom::Geometry,
        (false, true) => BoreFrom::Sample,
        (false, false) => BoreFrom::Interpolated,
    }
}
