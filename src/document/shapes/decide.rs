//! `feltwire decide --json`.

use super::{MissingShape, WarningShape, about};
use crate::document::words::Style;
use crate::judgement::limit::LimitUnit;
use crate::judgement::{
    Finding, HammerJudgement, MeasureNext, PinJudgement, SectionJudgement, Stop,
};
use crate::report::Report;
use serde::Serialize;

/// What is recommended.
#[derive(Debug, Serialize)]
pub(super) struct DecideShape {
    survey: String,
    survey_hash: String,
    stops: Vec<StopShape>,
    sections: Vec<SectionShape>,
    pins: Vec<PinShape>,
    hammers: HammerShape,
    findings: Vec<FindingShape>,
    not_looked_at: Vec<&'static str>,
    measure_next: Vec<NextShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// The strings of one section.
#[derive(Debug, Serialize)]
struct SectionShape {
    name: String,
    verdict: &'static str,
    decided_by: &'static str,
    agreement: Option<f64>,
    lower_pitch_cents: Option<f64>,
    findings: Vec<FindingShape>,
}

/// One finding.
#[derive(Debug, Serialize)]
struct FindingShape {
    kind: &'static str,
    about: &'static str,
    name: String,
    weighs: &'static str,
    value: Option<f64>,
    value_lo: Option<f64>,
    value_hi: Option<f64>,
    limit: Option<f64>,
    unit: Option<&'static str>,
    why: String,
}

/// The pins of one region.
#[derive(Debug, Serialize)]
struct PinShape {
    region: String,
    verdict: &'static str,
    more_readings: usize,
    findings: Vec<FindingShape>,
}

/// The hammers.
#[derive(Debug, Serialize)]
struct HammerShape {
    verdict: &'static str,
    findings: Vec<FindingShape>,
}

/// A part that stops the work.
#[derive(Debug, Serialize)]
struct StopShape {
    kind: &'static str,
    why: String,
}

/// One more reading or trial.
#[derive(Debug, Serialize)]
struct NextShape {
    kind: &'static str,
    about: &'static str,
    name: String,
    what: String,
    readings: Option<usize>,
}

impl DecideShape {
    pub(super) fn of(report: &Report) -> Self {
        let judgement = &report.judgement;
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            stops: judgement.stops.iter().map(StopShape::of).collect(),
            sections: judgement.sections.iter().map(SectionShape::of).collect(),
            pins: judgement.pins.iter().map(PinShape::of).collect(),
            hammers: HammerShape::of(&judgement.hammers),
            findings: judgement.findings.iter().map(FindingShape::of).collect(),
            not_looked_at: judgement.not_looked_at.clone(),
            measure_next: judgement.measure_next.iter().map(NextShape::of).collect(),
            missing: report.missing().map(MissingShape::from).collect(),
            warnings: report.warnings().map(WarningShape::from).collect(),
        }
    }
}

impl SectionShape {
    fn of(section: &SectionJudgement) -> Self {
        Self {
            name: section.name.clone(),
            verdict: section.verdict.name(),
            decided_by: section.decided_by.name(),
            agreement: section.agreement,
            lower_pitch_cents: section.lower_pitch.as_ref().map(|lower| lower.below.0),
            findings: section.findings.iter().map(FindingShape::of).collect(),
        }
    }
}

impl FindingShape {
    fn of(finding: &Finding) -> Self {
        let (about, name) = about(&finding.about);
        let unit = finding.value.map(|v| v.unit).or(finding.limit.map(|limit| limit.unit));
        Self {
            kind: finding.kind.name(),
            about,
            name,
            weighs: finding.weighs.name(),
            value: finding.value.map(|v| v.value),
            value_lo: finding.value.and_then(|v| v.range).map(|range| range.0),
            value_hi: finding.value.and_then(|v| v.range).map(|range| range.1),
            limit: finding.limit.map(|limit| limit.value),
            unit: unit.map(LimitUnit::text),
            why: Style::PLAIN.sentence(&finding.why),
        }
    }
}

impl PinShape {
    fn of(pins: &PinJudgement) -> Self {
        Self {
            region: pins.region.clone(),
            verdict: pins.verdict.name(),
            more_readings: pins.more_readings,
            findings: vec![FindingShape::of(&pins.finding)],
        }
    }
}

impl HammerShape {
    fn of(hammers: &HammerJudgement) -> Self {
        Self {
            verdict: hammers.verdict.name(),
            findings: hammers.findings.iter().map(FindingShape::of).collect(),
        }
    }
}

impl StopShape {
    fn of(stop: &Stop) -> Self {
        Self { kind: stop.kind.name(), why: Style::PLAIN.sentence(&stop.why) }
    }
}

impl NextShape {
    fn of(next: &MeasureNext) -> Self {
        let (about, name) = about(&next.about);
        Self {
            kind: next.kind.name(),
            about,
            name,
            what: Style::PLAIN.sentence(&next.what),
            readings: next.readings,
        }
    }
}
