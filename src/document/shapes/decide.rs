//! `feltwire decide --json`.

use super::{MissingShape, WarningShape, about};
use crate::document::words::Style;
use crate::judgement::limit::LimitUnit;
use crate::judgement::{
    Finding, Guarantee, HammerJudgement, MeasureNext, Pass, PathCost, PinJudgement, RaisePlan,
    SectionJudgement, Stop, Turn,
};
use crate::measure::to_newtons;
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
    raise: Option<RaiseShape>,
    guarantee: Option<GuaranteeShape>,
    costs: Vec<CostShape>,
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
    would_turn: Vec<TurnShape>,
    findings: Vec<FindingShape>,
}

/// A change of one input, and the verdict then.
#[derive(Debug, Serialize)]
struct TurnShape {
    kind: &'static str,
    change: String,
    becomes: &'static str,
}

/// How the strings that stay are brought up.
#[derive(Debug, Serialize)]
struct RaiseShape {
    below_cents: f64,
    passes: Vec<PassShape>,
    order: Vec<String>,
    added_kn: f64,
    none_breaks: f64,
    expected_broken: f64,
    at_risk: Vec<RiskShape>,
    cautions: Vec<String>,
}

/// One pass.
#[derive(Debug, Serialize)]
struct PassShape {
    kind: &'static str,
    sections: Vec<PassSectionShape>,
}

/// How far one section is pulled in a pass, against the pitch aimed at.
#[derive(Debug, Serialize)]
struct PassSectionShape {
    name: String,
    cents: f64,
}

/// A note whose strings are the likeliest to break.
#[derive(Debug, Serialize)]
struct RiskShape {
    note: String,
    chance: f64,
}

/// What a guarantee would have to pay for.
#[derive(Debug, Serialize)]
struct GuaranteeShape {
    years: f64,
    expected_breakages: f64,
    expected_lo: u64,
    expected_hi: u64,
    wording: Vec<String>,
}

/// What one way costs.
#[derive(Debug, Serialize)]
struct CostShape {
    path: &'static str,
    expected: f64,
    sd: f64,
    years: f64,
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
            raise: judgement.raise.as_ref().map(RaiseShape::of),
            guarantee: judgement.guarantee.as_ref().map(GuaranteeShape::of),
            costs: judgement.costs.iter().map(CostShape::of).collect(),
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
            would_turn: section.would_turn.iter().map(TurnShape::of).collect(),
            findings: section.findings.iter().map(FindingShape::of).collect(),
        }
    }
}

impl TurnShape {
    fn of(turn: &Turn) -> Self {
        Self {
            kind: turn.kind.name(),
            change: Style::PLAIN.sentence(&turn.change),
            becomes: turn.becomes.name(),
        }
    }
}

impl RaiseShape {
    fn of(plan: &RaisePlan) -> Self {
        Self {
            below_cents: plan.below.0,
            passes: plan.passes.iter().map(PassShape::of).collect(),
            order: plan.order.clone(),
            added_kn: to_newtons(plan.added) / 1e3,
            none_breaks: plan.none_breaks,
            expected_broken: plan.expected_broken,
            at_risk: plan
                .at_risk
                .iter()
                .map(|(note, chance)| RiskShape { note: note.to_string(), chance: *chance })
                .collect(),
            cautions: plan.cautions.iter().map(|words| Style::PLAIN.sentence(words)).collect(),
        }
    }
}

impl PassShape {
    fn of(pass: &Pass) -> Self {
        let sections = pass.sections.iter();
        Self {
            kind: pass.kind.name(),
            sections: sections
                .map(|(name, cents)| PassSectionShape { name: name.clone(), cents: cents.0 })
                .collect(),
        }
    }
}

impl GuaranteeShape {
    fn of(guarantee: &Guarantee) -> Self {
        Self {
            years: guarantee.years,
            expected_breakages: guarantee.expected,
            expected_lo: guarantee.low,
            expected_hi: guarantee.high,
            wording: guarantee.wording.iter().map(|words| Style::PLAIN.sentence(words)).collect(),
        }
    }
}

impl CostShape {
    fn of(cost: &PathCost) -> Self {
        Self { path: cost.path.name(), expected: cost.expected, sd: cost.sd, years: cost.years }
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
