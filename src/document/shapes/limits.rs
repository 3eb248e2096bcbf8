//! `feltwire limits --json`.

use super::WarningShape;
use crate::judgement::limit::{Limit, Limits};
use serde::Serialize;

/// Every limit in force.
#[derive(Debug, Serialize)]
pub(super) struct LimitsShape {
    limits: Vec<LimitShape>,
    warnings: Vec<WarningShape>,
}

/// One limit.
#[derive(Debug, Serialize)]
pub(super) struct LimitShape {
    name: &'static str,
    value: f64,
    unit: &'static str,
    about: &'static str,
    source: &'static str,
    instead_of: Option<f64>,
}

impl LimitsShape {
    pub(super) fn of(limits: &Limits) -> Self {
        Self {
            limits: limits.iter().map(LimitShape::of).collect(),
            warnings: limits.warnings().iter().map(WarningShape::from).collect(),
        }
    }
}

impl LimitShape {
    pub(super) fn of(limit: &Limit) -> Self {
        Self {
            name: limit.name,
            value: limit.value,
            unit: limit.unit.text(),
            about: limit.about,
            source: limit.source.text(),
            instead_of: limit.instead_of,
        }
    }
}
