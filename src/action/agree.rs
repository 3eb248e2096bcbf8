//! Whether samples and heights agree, sample by sample and section by section.
//!
//! Each sample's bore before wear less the bore that the heights ask for at its note is its difference.
//! The median difference of a section is what its samples share: a height read wrongly throughout, another rake,
//! a set bored wrongly. What a sample has beyond that median is its own. Medians of three or more stand a
//! bad reading among them; with two samples the wider one is told by the median of the whole set, and one
//! alone cannot be told from its section. How much is too much is opinion: it comes in [`Agreement`].

use super::bench::{Bench, from_mm, in_mm};
use super::rake::{median, median_factor};
use super::sample::{Sample, SampleStanding};
use crate::measure::{Length, Measured, mm, to_mm, to_radians};

/// How far samples and heights may lie apart and still be used together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// A sample beyond its section's median by more than this is off …
    pub sample: Length,
    /// … if that is also more than so many standard deviations of its own difference.
    pub sample_deviations: f64,
    /// A section whose median difference is more than this is off …
    pub section: Length,
    /// … if that is also more than so many standard errors of the median.
    pub section_errors: f64,
}

/// How the samples of a section stand to its heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SectionStanding {
    /// They agree, and both are used.
    Agrees,
    /// They do not: the heights rule.
    Off,
    /// Heights were read, but no sample is there to check them.
    NotChecked,
    /// No height was read: the bores rest on the samples alone.
    SamplesOnly,
    /// Neither: there is no bore.
    Nothing,
}

/// What the samples of one section say together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionAgreement {
    /// Median difference of its sound samples, with its standard error.
    pub median: Option<Measured<Length>>,
    /// How many samples that is.
    pub samples: usize,
    /// A median up to this counts as agreement: an offset as large may lie in the samples unseen.
    pub unseen: Option<Length>,
    /// How it stands.
    pub standing: SectionStanding,
}

/// Judges every sample's standing and returns every section's.
pub(super) fn settle(
    samples: &mut [Sample],
    benches: &[Bench],
    agreement: &Agreement,
) -> Vec<SectionAgreement> {
    let whole = median(samples.iter().filter_map(|sample| difference(sample).map(|d| d.0)));
    (0..benches.len())
        .map(|section| {
            let bench = &benches[section];
            let mut own: Vec<&mut Sample> =
                samples.iter_mut().filter(|sample| sample.section == section).collect();
            one_section(&mut own, bench, whole.unwrap_or(0.0), agreement)
        })
        .collect()
}

fn difference(sample: &Sample) -> Option<(f64, f64)> {
    sample.difference.map(in_mm)
}

fn one_section(
    samples: &mut [&mut Sample],
    bench: &Bench,
    whole: f64,
    agreement: &Agreement,
) -> SectionAgreement {
    if bench.geometry.is_none() {
        let count = samples.iter().filter(|sample| sample.bore_new.is_some()).count();
        let standing =
            if count > 0 { SectionStanding::SamplesOnly } else { SectionStanding::Nothing };
        return SectionAgreement { median: None, samples: count, unseen: None, standing };
    }
    let count = samples.iter().filter(|sample| sample.difference.is_some()).count();
    let (reference, shared) = reference(samples, bench, whole, agreement);
    for sample in samples.iter_mut() {
        let Some((apart, sd)) = difference(sample) else { continue };
        let own = apart - reference;
        // Its own doubt, and that of a median of so many.
        let sd = (sd * sd - shared * shared).max(0.0).sqrt()
            * (median_factor(count).powi(2) / count as f64 + 1.0).sqrt();
        sample.off_section = Some(from_mm((own, sd)));
        let off = beyond(own, sd, agreement);
        sample.standing = match (off, count) {
            (false, _) => SampleStanding::Sound,
            (true, 1) => SampleStanding::OffAlone,
            (true, _) => SampleStanding::Off,
        };
    }
    let sound: Vec<(f64, f64)> = samples
        .iter()
        .filter(|sample| sample.standing == SampleStanding::Sound)
        .filter_map(|sample| difference(sample))
        .collect();
    let Some(middle) = median(sound.iter().map(|(apart, _)| *apart)) else {
        return SectionAgreement {
            median: None,
            samples: 0,
            unseen: None,
            standing: SectionStanding::NotChecked,
        };
    };
    let error = error_of_median(samples, bench);
    let most = to_mm(agreement.section).max(agreement.section_errors * error);
    let off = middle.abs() > most;
    if off {
        for sample in samples.iter_mut() {
            if sample.standing == SampleStanding::Sound {
                sample.standing = SampleStanding::SectionOff;
            }
        }
    }
    let standing = if off { SectionStanding::Off } else { SectionStanding::Agrees };
    SectionAgreement {
        median: Some(from_mm((middle, error))),
        samples: sound.len(),
        unseen: Some(mm(most)),
        standing,
    }
}

fn beyond(apart: f64, sd: f64, agreement: &Agreement) -> bool {
    apart.abs() > to_mm(agreement.sample).max(agreement.sample_deviations * sd)
}

/// What the samples of a section are set against: their own median when there are three or more, or when two
/// agree with each other; else the median of the set. With it the doubt that goes with the median: the heights'
/// own level, which all samples of the section share.
fn reference(
    samples: &[&mut Sample],
    bench: &Bench,
    whole: f64,
    agreement: &Agreement,
) -> (f64, f64) {
    let differences: Vec<(f64, f64)> =
        samples.iter().filter_map(|sample| difference(sample)).collect();
    let own = median(differences.iter().map(|(apart, _)| *apart)).unwrap_or(whole);
    match differences.as_slice() {
        [] | [_] => (whole, 0.0),
        [a, b] if beyond(a.0 - b.0, a.1.hypot(b.1), agreement) => (whole, 0.0),
        _ => (own, level_doubt(samples, bench)),
    }
}

/// The least doubt of the heights at any sample: what remains of it elsewhere is not shared.
fn level_doubt(samples: &[&mut Sample], bench: &Bench) -> f64 {
    let compared = samples.iter().filter(|sample| sample.difference.is_some());
    let Some(geometry) = &bench.geometry else { return 0.0 };
    compared.map(|sample| geometry.at(sample.note).1).reduce(f64::min).unwrap_or(0.0)
}

/// Standard error of the median of the sound samples' differences: their own readings, by number, and what
/// they share: the heights' doubt and that of the samples' rake.
fn error_of_median(samples: &[&mut Sample], bench: &Bench) -> f64 {
    let sound = || samples.iter().filter(|sample| sample.standing == SampleStanding::Sound);
    let count = sound().count().max(1);
    let own = sound()
        .filter_map(|sample| sample.bore_new)
        .map(|bore| to_mm(bore.sd).powi(2))
        .sum::<f64>()
        .sqrt()
        / count as f64
        * median_factor(count);
    let geometry = bench.geometry.as_ref();
    let shared = sound()
        .filter_map(|sample| geometry.map(|curve| curve.at(sample.note).1.powi(2)))
        .sum::<f64>()
        / count as f64;
    let middle = bench.notes.notes().nth(bench.notes.len() / 2);
    let per_radian =
        middle.and_then(|note| bench.hanging_at(note)).map_or(0.0, |hanging| to_mm(hanging.value));
    let of_rake = per_radian * to_radians(bench.rake.samples_sd);
    own.hypot(shared.sqrt()).hypot(of_rake)
}
