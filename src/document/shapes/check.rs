//! `feltwire check --json`.

use super::{MissingShape, WarningShape};
use crate::report::Report;
use crate::scale::Source;
use serde::Serialize;

/// What a survey holds and lacks.
#[derive(Debug, Serialize)]
pub(super) struct CheckShape {
    survey: String,
    survey_hash: String,
    sections: Vec<SectionShape>,
    hammer_rows: usize,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// How far one section was read.
#[derive(Debug, Serialize)]
struct SectionShape {
    name: String,
    notes: usize,
    measured: usize,
    interpolated: usize,
    extrapolated: usize,
    unknown: usize,
}

impl CheckShape {
    /// The state of the survey of `report`.
    pub(super) fn of(report: &Report) -> Self {
        let sections = report.instrument.sections.iter().enumerate();
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            sections: sections
                .map(|(index, section)| {
                    let count = |source| {
                        let notes = report.scale.notes.iter();
                        notes.filter(|n| n.section == index && n.source == source).count()
                    };
                    SectionShape {
                        name: section.name.clone(),
                        notes: section.notes.len(),
                        measured: count(Source::Measured),
                        interpolated: count(Source::Interpolated),
                        extrapolated: count(Source::Extrapolated),
                        unknown: count(Source::Unknown),
                    }
                })
                .collect(),
            hammer_rows: report.instrument.hammers.rows.len(),
            missing: report.missing().map(MissingShape::from).collect(),
            warnings: report.warnings().map(WarningShape::from).collect(),
        }
    }
}
