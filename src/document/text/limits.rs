//! `feltwire limits`: every threshold with its source.

use super::columns::{Align, Columns, item};
use super::warnings;
use crate::document::words::cell;
use crate::judgement::limit::{Limit, LimitUnit, Limits};

/// The limits in force, and which of them the survey sets.
pub fn limits(limits: &Limits) -> String {
    let mut text = String::from(
        "The limits by which things are judged. A survey sets any of them under [limits], by name.\n\n",
    );
    for limit in limits.iter() {
        let source = match limit.instead_of {
            Some(ours) => format!("set by the survey in place of {}", value(limit, ours)),
            None => limit.source.text().to_owned(),
        };
        let mut line = Columns::new(&[("", Align::Left), ("", Align::Right)]);
        line.row(vec![format!("{:<26}", limit.name), format!("{:>12}", value(limit, limit.value))]);
        text.push_str(line.text().trim_start());
        text.push_str(&item("    ", &format!("{} ({source})", limit.about)));
    }
    text.push_str(&warnings(limits.warnings().iter()));
    text
}

/// A limit's value in its unit; counts and keys are whole numbers.
pub(super) fn value(limit: &Limit, value: f64) -> String {
    let places = match limit.unit {
        LimitUnit::Count => 0,
        _ if value.fract() == 0.0 => 0,
        _ if (value * 10.0).fract().abs() < 1e-9 => 1,
        _ => 2,
    };
    format!("{} {}", cell(Some(value), places), limit.unit.text()).trim_end().to_owned()
}
