//! The rake of the new heads: a decision, taken from the samples that were read.

use super::Remarks;
use crate::instrument::{About, Instrument};
use crate::measure::{Angle, Measured, degrees, to_degrees};
use crate::sentence;

/// Why the order carries this rake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RakeFrom {
    /// Median of the samples read in the section.
    Section,
    /// None was read in the section: median of those read in the others.
    OtherSections,
    /// None was read anywhere: square to the shank. The bore is right for it, for it is bored for it.
    NoneRead,
}

/// The rake decided for one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rake {
    /// As ordered.
    pub angle: Angle,
    /// Why.
    pub from: RakeFrom,
    /// How well the samples' own is known; it enters the comparison with them, never the bore.
    pub samples_sd: Angle,
}

/// The median of `values`, `None` without any.
pub(super) fn median(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() {
        0 => None,
        count if count % 2 == 1 => Some(values[middle]),
        _ => Some(f64::midpoint(values[middle - 1], values[middle])),
    }
}

/// Standard error of the median of `count` readings over that of their mean, for normal errors
/// (√(π/2) for many; exactly 1 for one or two).
pub(super) fn median_factor(count: usize) -> f64 {
    if count < 3 { 1.0 } else { std::f64::consts::FRAC_PI_2.sqrt() }
}

/// One rake a section.
pub(super) fn decide(instrument: &Instrument, remarks: &mut Remarks) -> Vec<Rake> {
    let read = |inside: &dyn Fn(usize) -> bool| -> Vec<Measured<Angle>> {
        let rows = instrument.hammers.rows.iter();
        rows.filter(|row| instrument.section_of(row.note).is_some_and(inside))
            .filter_map(|row| row.rake)
            .collect()
    };
    let all = read(&|_| true);
    let decided = (0..instrument.sections.len()).map(|index| {
        let own = read(&|section| section == index);
        let (readings, from) = if own.is_empty() {
            (&all, RakeFrom::OtherSections)
        } else {
            (&own, RakeFrom::Section)
        };
        let Some(angle) = median(readings.iter().map(|read| to_degrees(read.value))) else {
            return Rake {
                angle: degrees(0.0),
                from: RakeFrom::NoneRead,
                samples_sd: degrees(0.0),
            };
        };
        let count = readings.len() as f64;
        let mean_sd = readings.iter().map(|read| to_degrees(read.sd)).fold(0.0, f64::hypot) / count;
        Rake {
            angle: degrees(angle),
            from,
            samples_sd: degrees(mean_sd * median_factor(readings.len())),
        }
    });
    let decided: Vec<Rake> = decided.collect();
    say(instrument, &decided, remarks);
    decided
}

fn say(instrument: &Instrument, decided: &[Rake], remarks: &mut Remarks) {
    if decided.iter().all(|rake| rake.from == RakeFrom::NoneRead) {
        if !instrument.hammers.rows.is_empty() {
            remarks.warn(
                "rake_decided_zero",
                About::Set,
                sentence![
                    "no rake was read: the heads are ordered square to the shank and the bore is that of a square \
                     head; lay a bevel on a sample before ordering, for one degree changes the bore by about 2.4 mm"
                ],
            );
        }
        return;
    }
    for (section, rake) in instrument.sections.iter().zip(decided) {
        if rake.from == RakeFrom::OtherSections {
            remarks.warn(
                "rake_from_other_sections",
                About::Section(section.name.clone()),
                sentence![
                    format!("no rake was read in the section {}: ", section.name),
                    rake.angle,
                    " as in the others; lay a bevel on one of its heads before ordering"
                ],
            );
        }
    }
}
