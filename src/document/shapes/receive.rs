//! `feltwire hammers --sheet receive --json`.

use super::{MissingShape, WarningShape};
use crate::document::words::Style;
use crate::judgement::received::{Quantity, Wanted};
use crate::measure::{to_degrees, to_grams, to_mm};
use crate::order::hammers::{Check, HammerOrder, Tolerance};
use crate::report::Report;
use serde::Serialize;

/// What is checked on arrival, and the figures to hold the heads against.
#[derive(Debug, Serialize)]
pub(super) struct ReceiveShape {
    survey: String,
    survey_hash: String,
    heads: Option<usize>,
    allowance_mm: Option<f64>,
    checks: Vec<CheckShape>,
    ordered: Vec<HeadShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// One thing to check: `tolerance` is either way, `least` and `most` bound what may be read, `notes` is empty for
/// every head.
#[derive(Debug, Serialize)]
struct CheckShape {
    kind: &'static str,
    what: String,
    tool: &'static str,
    unit: Option<&'static str>,
    tolerance: Option<f64>,
    least: Option<f64>,
    most: Option<f64>,
    notes: Vec<String>,
}

/// One head as ordered; `null` was ordered to a sample.
#[derive(Debug, Serialize)]
struct HeadShape {
    note: String,
    key: u8,
    section: String,
    bore_mm: Option<f64>,
    rake_deg: Option<f64>,
    side_angle_deg: Option<f64>,
    head_mass_g: Option<f64>,
    width_mm: Option<f64>,
    tail_mm: Option<f64>,
    moulding_mm: Option<f64>,
    head_length_mm: Option<f64>,
    hole_mm: Option<f64>,
}

impl ReceiveShape {
    pub(super) fn of(report: &Report) -> Self {
        let order = report.hammer_order.as_ref();
        let wanted = report.heads_wanted().unwrap_or_default();
        let checks = |order: &HammerOrder| order.receiving.iter().map(CheckShape::of).collect();
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            heads: order.map(|order| order.job.heads),
            allowance_mm: order.map(|order| to_mm(order.allowance)),
            checks: order.map_or_else(Vec::new, checks),
            ordered: wanted.iter().map(|wanted| HeadShape::of(report, wanted)).collect(),
            missing: report.action.missing.iter().map(MissingShape::from).collect(),
            warnings: report.all_hammer_warnings().map(WarningShape::from).collect(),
        }
    }
}

impl CheckShape {
    fn of(check: &Check) -> Self {
        let (unit, tolerance, least, most) = match check.tolerance {
            Tolerance::Length(either) => (Some("mm"), Some(to_mm(either)), None, None),
            Tolerance::Between(least, most) => {
                (Some("mm"), None, Some(to_mm(least)), Some(to_mm(most)))
            }
            Tolerance::Angle(either) => (Some("deg"), Some(to_degrees(either)), None, None),
            Tolerance::Mass(either) => (Some("g"), Some(to_grams(either)), None, None),
            Tolerance::Count(count) => {
                (Some("heads"), None, Some(count as f64), Some(count as f64))
            }
            Tolerance::Seen => (None, None, None, None),
        };
        Self {
            kind: check.kind,
            what: Style::PLAIN.sentence(&check.what),
            tool: check.tool,
            unit,
            tolerance,
            least,
            most,
            notes: check.notes.iter().map(ToString::to_string).collect(),
        }
    }
}

impl HeadShape {
    fn of(report: &Report, wanted: &Wanted) -> Self {
        let figure = |quantity: Quantity| wanted.target(quantity).map(|target| target.value);
        Self {
            note: wanted.note.to_string(),
            key: wanted.note.key(),
            section: report.instrument.sections[wanted.section].name.clone(),
            bore_mm: figure(Quantity::Bore),
            rake_deg: figure(Quantity::Rake),
            side_angle_deg: figure(Quantity::SideAngle),
            head_mass_g: figure(Quantity::Mass),
            width_mm: figure(Quantity::Width),
            tail_mm: figure(Quantity::Tail),
            moulding_mm: figure(Quantity::Moulding),
            head_length_mm: figure(Quantity::Height),
            hole_mm: figure(Quantity::Hole),
        }
    }
}
