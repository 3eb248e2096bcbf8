//! Whether samples and heights agree, sample by sample and section by section.
//!
//! Each sample's bore before wear less the bore that the heights ask for at its note is its difference.
//! The median difference of a section is what its samples share: a height read wrongly throughout, another rake,
//! a set bored wrongly. What a sample has beyond that median is its own; the furthest is measured against the median
//! of the others. Medians of three or more stand a
//! bad reading among them; with two samples the wider one is told by the median of the whole set, and one
//! alone cannot be told from its section. How much is too much is opinion: it comes in [`Agreement`].

use super::bench::Bench;
use super::figure::{from_mm, in_mm};
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
    let measure = measure(samples, bench, whole, agreement);
    for index in 0..samples.len() {
        let Some((apart, sd)) = difference(samples[index]) else { continue };
        let (own, sd) = match &measure {
            // One, or two that disagree: each as doubtful as the other.
            Measure::Set => (apart - whole, sd * (1.0 + 1.0 / count as f64).sqrt()),
            Measure::Section(others) => (
                apart - median_of(samples, others).unwrap_or(whole),
                beside(samples, bench, index, others),
            ),
        };
        let off = beyond(own, sd, agreement);
        let sample = &mut *samples[index];
        sample.off_section = Some(from_mm((own, sd)));
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

/// What the samples of a section are measured by.
enum Measure {
    /// The median of the whole set.
    Set,
    /// The median of these, by index.
    Section(Vec<usize>),
}

/// Their own median when there are three or more, or when two agree with each other; else that of the set. Where
/// the furthest of three or more is off the others, these are the measure, of it and of each other: its
/// own difference would draw a median that it is part of towards itself.
fn measure(samples: &[&mut Sample], bench: &Bench, whole: f64, agreement: &Agreement) -> Measure {
    let compared: Vec<usize> =
        (0..samples.len()).filter(|index| samples[*index].difference.is_some()).collect();
    let apart = |index: usize| difference(samples[index]).unwrap_or((0.0, 0.0));
    match compared.as_slice() {
        [] | [_] => return Measure::Set,
        [a, b] => {
            let (a, b) = (apart(*a), apart(*b));
            let off = beyond(a.0 - b.0, a.1.hypot(b.1), agreement);
            return if off { Measure::Set } else { Measure::Section(compared) };
        }
        _ => {}
    }
    let middle = median_of(samples, &compared).unwrap_or(whole);
    let far = |index: &usize| (apart(*index).0 - middle).abs();
    let furthest = compared.iter().copied().max_by(|a, b| far(a).total_cmp(&far(b)));
    let others: Vec<usize> =
        compared.iter().copied().filter(|index| Some(*index) != furthest).collect();
    let off = furthest.zip(median_of(samples, &others)).is_some_and(|(index, others_middle)| {
        let own = apart(index).0 - others_middle;
        beyond(own, beside(samples, bench, index, &others), agreement)
    });
    Measure::Section(if off { others } else { compared })
}

fn median_of(samples: &[&mut Sample], which: &[usize]) -> Option<f64> {
    median(which.iter().filter_map(|index| difference(samples[*index])).map(|apart| apart.0))
}

/// How a maker's bores scatter who keeps ±0.3 mm, one standard deviation (half of common practice's tolerance): no
/// reading's fault and no sample's.
const OLD_SCATTER_MM: f64 = 0.15;

/// The doubt of a sample's own bore as one of its set, the heights' left out.
fn own_doubt(sample: &Sample, bench: &Bench) -> f64 {
    let heights = bench.geometry.as_ref().map_or(0.0, |curve| curve.at(sample.note).1);
    let whole = difference(sample).map_or(0.0, |(_, sd)| sd);
    (whole * whole - heights * heights).max(0.0).sqrt().hypot(OLD_SCATTER_MM)
}

/// One standard deviation of the difference of sample `index` less the median of `others`': their own readings, and
/// what the heights' curve may be wrong between their notes.
fn beside(samples: &[&mut Sample], bench: &Bench, index: usize, others: &[usize]) -> f64 {
    let count = others.len().max(1) as f64;
    let own = own_doubt(samples[index], bench);
    let of_others =
        others.iter().map(|other| own_doubt(samples[*other], bench) / count).fold(0.0, f64::hypot)
            * median_factor(others.len());
    let weights = others
        .iter()
        .map(|other| (samples[*other].note, -1.0 / count))
        .chain([(samples[index].note, 1.0)]);
    let of_heights = bench.geometry.as_ref().map_or(0.0, |curve| curve.doubt_of(weights.collect()));
    own.hypot(of_others).hypot(of_heights)
}

/// Standard error of the median of the sound samples' differences: their own readings, by number, and what
/// they share: the heights' doubt and that of the samples' rake.
fn error_of_median(samples: &[&mut Sample], bench: &Bench) -> f64 {
    let sound = || samples.iter().filter(|sample| sample.standing == SampleStanding::Sound);
    let count = sound().count().max(1);
    let own = sound().map(|sample| own_doubt(sample, bench).powi(2)).sum::<f64>().sqrt()
        / count as f64
        * median_factor(count);
    let share = 1.0 / count as f64;
    let mean = sound().map(|sample| (sample.note, share)).collect();
    let shared = bench.geometry.as_ref().map_or(0.0, |curve| curve.doubt_of(mean));
    let middle = bench.notes.notes().nth(bench.notes.len() / 2);
    let per_radian =
        middle.and_then(|note| bench.hanging_at(note)).map_or(0.0, |hanging| to_mm(hanging.value));
    let of_rake = per_radian * to_radians(bench.rake.samples_sd);
    own.hypot(shared).hypot(of_rake)
}
