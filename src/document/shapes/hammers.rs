//! `feltwire hammers --json`.

use super::{MissingShape, WarningShape};
use crate::action::{BoreFrom, NoteHammer, Sample, SampleStanding, TouchFigures};
use crate::judgement::hammers::{self, Filing};
use crate::measure::{Mass, Measured, to_degrees, to_grams, to_mm};
use crate::report::Report;
use serde::Serialize;

/// The hammers of one piano.
#[derive(Debug, Serialize)]
pub(super) struct HammersShape {
    survey: String,
    survey_hash: String,
    hammers: Vec<HammerShape>,
    samples: Vec<SampleShape>,
    filing: Vec<FilingShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// The hammer of one note, as ordered.
#[derive(Debug, Serialize)]
struct HammerShape {
    note: String,
    key: u8,
    section: String,
    bore_mm: Option<f64>,
    bore_sd_mm: Option<f64>,
    bore_from: Option<&'static str>,
    bore_by_heights_mm: Option<f64>,
    allowance_mm: f64,
    rake_deg: f64,
    side_angle_deg: Option<f64>,
    side_angle_sd_deg: Option<f64>,
    head_mass_g: Option<f64>,
    head_mass_sd_g: Option<f64>,
    mass_ratio: Option<f64>,
    strike_from_centre_mm: Option<f64>,
    strike_fraction: Option<f64>,
    strike_fraction_found: Option<f64>,
    strike_fraction_per_mm: Option<f64>,
    obliquity_deg: Option<f64>,
    obliquity_sd_deg: Option<f64>,
}

/// One sampled hammer against the heights at its note.
#[derive(Debug, Serialize)]
struct SampleShape {
    note: String,
    lost_mm: Option<f64>,
    bore_new_mm: Option<f64>,
    height_bore_mm: Option<f64>,
    difference_mm: Option<f64>,
    difference_sd_mm: Option<f64>,
    off_section_mm: Option<f64>,
    standing: &'static str,
    obliquity_found_deg: Option<f64>,
    down_g: Option<f64>,
    up_g: Option<f64>,
    mean_g: Option<f64>,
    friction_g: Option<f64>,
    key_force_per_gram: Option<f64>,
    key_force_per_gram_sd: Option<f64>,
    key_force_measured: bool,
    mean_new_g: Option<f64>,
    mean_new_sd_g: Option<f64>,
    reflected_g: Option<f64>,
    reflected_new_g: Option<f64>,
}

/// What filing does in the middle of a section: how far a millimetre turns the strike, how much may be filed before
/// it is over centre by more than is good, and the rakes at which the bore ordered strikes within that.
#[derive(Debug, Serialize)]
struct FilingShape {
    section: String,
    note: String,
    obliquity_per_mm_deg: f64,
    room_mm: f64,
    rake_least_deg: Option<f64>,
    rake_greatest_deg: Option<f64>,
}

impl FilingShape {
    fn of(report: &Report, filing: &Filing) -> Self {
        Self {
            section: report.action.sections[filing.section].name.clone(),
            note: filing.note.to_string(),
            obliquity_per_mm_deg: to_degrees(filing.per_mm),
            room_mm: to_mm(filing.room),
            rake_least_deg: filing.rakes.map(|rakes| to_degrees(rakes.least)),
            rake_greatest_deg: filing.rakes.map(|rakes| to_degrees(rakes.greatest)),
        }
    }
}

impl HammersShape {
    pub(super) fn of(report: &Report) -> Self {
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            hammers: report.action.notes.iter().map(|note| HammerShape::of(report, note)).collect(),
            samples: report.action.samples.iter().map(SampleShape::of).collect(),
            filing: hammers::filing(&report.action, &report.limits)
                .iter()
                .map(|filing| FilingShape::of(report, filing))
                .collect(),
            missing: report.action.missing.iter().map(MissingShape::from).collect(),
            warnings: report.all_hammer_warnings().map(WarningShape::from).collect(),
        }
    }
}

impl HammerShape {
    fn of(report: &Report, entry: &NoteHammer) -> Self {
        let ordered = entry.bore_ordered;
        Self {
            note: entry.note.to_string(),
            key: entry.note.key(),
            section: report.instrument.sections[entry.section].name.clone(),
            bore_mm: ordered.map(|bore| to_mm(bore.value)),
            bore_sd_mm: ordered.map(|bore| to_mm(bore.sd)),
            bore_from: entry.bore.map(|bore| bore_from(bore.from)),
            bore_by_heights_mm: entry
                .bore
                .and_then(|bore| bore.by_heights)
                .map(|bore| to_mm(bore.value)),
            allowance_mm: report.action.allowance.map_or(0.0, to_mm),
            rake_deg: to_degrees(entry.rake),
            side_angle_deg: entry.side.map(|side| to_degrees(side.angle.value)),
            side_angle_sd_deg: entry.side.map(|side| to_degrees(side.angle.sd)),
            head_mass_g: entry.head_mass.map(|mass| to_grams(mass.value)),
            head_mass_sd_g: entry.head_mass.map(|mass| to_grams(mass.sd)),
            mass_ratio: entry.mass_ratio.map(|ratio| ratio.value),
            strike_from_centre_mm: entry.strike.map(|strike| to_mm(strike.from_centre.value)),
            strike_fraction: entry
                .strike
                .and_then(|strike| strike.fraction)
                .map(|fraction| fraction.value),
            strike_fraction_found: entry.strike.and_then(|strike| strike.fraction_found),
            strike_fraction_per_mm: entry.strike.and_then(|strike| strike.fraction_per_mm),
            obliquity_deg: entry.obliquity.map(|psi| to_degrees(psi.value)),
            obliquity_sd_deg: entry.obliquity.map(|psi| to_degrees(psi.sd)),
        }
    }
}

impl SampleShape {
    fn of(sample: &Sample) -> Self {
        let touch = sample.touch.as_ref();
        let grams = |read: fn(&TouchFigures) -> Option<Measured<Mass>>| touch.and_then(read);
        let value = |mass: Option<Measured<Mass>>| mass.map(|mass| to_grams(mass.value));
        let per_gram = touch.and_then(|touch| touch.per_gram_at_rest);
        let mean_new = grams(|touch| touch.mean_new);
        Self {
            note: sample.note.to_string(),
            lost_mm: sample.wear.map(|wear| to_mm(wear.lost.value)),
            bore_new_mm: sample.bore_new.map(|bore| to_mm(bore.value)),
            height_bore_mm: sample.height_bore.map(|bore| to_mm(bore.value)),
            difference_mm: sample.difference.map(|difference| to_mm(difference.value)),
            difference_sd_mm: sample.difference.map(|difference| to_mm(difference.sd)),
            off_section_mm: sample.off_section.map(|off| to_mm(off.value)),
            standing: standing(sample.standing),
            obliquity_found_deg: sample.obliquity_found.map(|psi| to_degrees(psi.value)),
            down_g: value(grams(|touch| touch.down)),
            up_g: value(grams(|touch| touch.up)),
            mean_g: value(grams(|touch| touch.mean)),
            friction_g: value(grams(|touch| touch.friction)),
            key_force_per_gram: per_gram.map(|k| k.value),
            key_force_per_gram_sd: per_gram.map(|k| k.sd),
            key_force_measured: touch.is_some_and(|touch| touch.per_gram_measured),
            mean_new_g: value(mean_new),
            mean_new_sd_g: mean_new.map(|mass| to_grams(mass.sd)),
            reflected_g: value(grams(|touch| touch.reflected_found)),
            reflected_new_g: value(grams(|touch| touch.reflected_new)),
        }
    }
}

/// On what a bore rests, as one word.
pub(in crate::document) fn bore_from(from: BoreFrom) -> &'static str {
    match from {
        BoreFrom::Geometry => "geometry",
        BoreFrom::Sample => "sample",
        BoreFrom::Both => "both",
        BoreFrom::Interpolated => "interpolated",
    }
}

fn standing(standing: SampleStanding) -> &'static str {
    match standing {
        SampleStanding::Sound => "sound",
        SampleStanding::Off | SampleStanding::OffAlone => "off",
        SampleStanding::SectionOff => "section_off",
        SampleStanding::NotCompared => "not_compared",
    }
}
