//! `numbers.json` of a packet: all of the results, and what else the packet holds.

use super::breaks::BreaksShape;
use super::decide::DecideShape;
use super::hammers::HammersShape;
use super::limits::LimitsShape;
use super::scale::ScaleShape;
use super::strings::StringsShape;
use crate::document::Date;
use crate::order::strings::StringOrder;
use crate::report::{Report, ScaleMore};
use serde::Serialize;

/// Everything.
#[derive(Debug, Serialize)]
pub(super) struct NumbersShape {
    program: &'static str,
    version: &'static str,
    date: String,
    survey: String,
    survey_hash: String,
    files: Vec<FileShape>,
    scale: ScaleShape,
    breaks: BreaksShape,
    decide: DecideShape,
    hammers: HammersShape,
    strings: Option<StringsShape>,
    limits: LimitsShape,
}

/// One file of the packet.
#[derive(Debug, Serialize)]
struct FileShape {
    name: String,
    sha256: String,
}

impl NumbersShape {
    pub(super) fn of(
        report: &Report,
        strings: Option<&StringOrder>,
        date: Date,
        files: &[(String, String)],
    ) -> Self {
        Self {
            program: env!("CARGO_PKG_NAME"),
            version: env!("CARGO_PKG_VERSION"),
            date: date.to_string(),
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            files: files
                .iter()
                .map(|(name, sha256)| FileShape { name: name.clone(), sha256: sha256.clone() })
                .collect(),
            scale: ScaleShape::of(report, &ScaleMore::default()),
            breaks: BreaksShape::of(report),
            decide: DecideShape::of(report),
            hammers: HammersShape::of(report),
            strings: strings.map(|order| StringsShape::of(report, order)),
            limits: LimitsShape::of(&report.limits),
        }
    }
}
