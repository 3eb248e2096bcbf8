//! `feltwire explain --json`.

use super::limits::LimitShape;
use crate::document::lookup::Entry;
use crate::instrument::reading::{Reading, Table};
use crate::stock::{Term, terms};
use serde::Serialize;

/// Every term.
#[derive(Debug, Serialize)]
pub(super) struct GlossaryShape {
    terms: Vec<TermShape>,
}

/// Everything that goes by one name.
#[derive(Debug, Serialize)]
pub(super) struct EntryShape {
    term: Option<TermShape>,
    columns: Vec<ColumnShape>,
    limit: Option<LimitShape>,
}

#[derive(Debug, Serialize)]
struct TermShape {
    term: &'static str,
    also: &'static [String],
    unit: Option<&'static str>,
    meaning: &'static str,
    here: Option<&'static str>,
    cautions: Vec<&'static str>,
    see: &'static [String],
}

#[derive(Debug, Serialize)]
struct ColumnShape {
    column: String,
    table: &'static str,
    meaning: &'static str,
    tool: &'static str,
    gives: &'static str,
    least: Option<f64>,
    most: Option<f64>,
}

impl GlossaryShape {
    pub(super) fn all() -> Self {
        Self { terms: terms().iter().map(TermShape::of).collect() }
    }
}

impl EntryShape {
    pub(super) fn of(entry: &Entry<'_>) -> Self {
        Self {
            term: entry.term.map(TermShape::of),
            columns: entry.readings.iter().map(|reading| ColumnShape::of(reading)).collect(),
            limit: entry.limit.map(LimitShape::of),
        }
    }
}

impl TermShape {
    fn of(term: &'static Term) -> Self {
        Self {
            term: &term.term,
            also: &term.also,
            unit: term.unit.as_deref(),
            meaning: &term.meaning,
            here: term.here.as_deref(),
            cautions: term.cautions.iter().map(|caution| caution.words()).collect(),
            see: &term.see,
        }
    }
}

impl ColumnShape {
    fn of(reading: &Reading) -> Self {
        Self {
            column: reading.column(),
            table: match reading.table {
                Table::Strings => "strings",
                Table::Runs => "runs",
                Table::Hammers => "hammers",
            },
            meaning: reading.sense,
            tool: reading.tool,
            gives: reading.gives,
            least: reading.range.map(|range| range.0),
            most: reading.range.map(|range| range.1),
        }
    }
}
