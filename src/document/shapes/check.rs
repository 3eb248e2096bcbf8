//! `feltwire check --json`.

use super::{MissingShape, WarningShape};
use crate::instrument::TableRead;
use crate::report::Report;
use crate::scale::Source;
use serde::Serialize;

/// What a survey holds and lacks.
#[derive(Debug, Serialize)]
pub(super) struct CheckShape {
    survey: String,
    survey_hash: String,
    tables: Vec<TableShape>,
    sections: Vec<SectionShape>,
    hammer_rows: usize,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// How one table was understood.
#[derive(Debug, Serialize)]
struct TableShape {
    name: String,
    head_row: usize,
    rows: usize,
    columns: Vec<ColumnShape>,
    unread: Vec<UnreadShape>,
    remarks: Vec<String>,
}

/// A reading of which a table holds none.
#[derive(Debug, Serialize)]
struct UnreadShape {
    column: String,
    gives: &'static str,
    tool: &'static str,
}

/// One column of it.
#[derive(Debug, Serialize)]
struct ColumnShape {
    column: String,
    written: String,
    read_as: String,
}

impl From<&TableRead> for TableShape {
    fn from(table: &TableRead) -> Self {
        let columns = table.columns.iter().map(|column| ColumnShape {
            column: column.letters.clone(),
            written: column.written.clone(),
            read_as: column.read_as.clone(),
        });
        Self {
            name: table.name.clone(),
            head_row: table.head_line,
            rows: table.rows,
            columns: columns.collect(),
            unread: table
                .unread
                .iter()
                .map(|reading| UnreadShape {
                    column: reading.column(),
                    gives: reading.gives,
                    tool: reading.tool,
                })
                .collect(),
            remarks: table.remarks.clone(),
        }
    }
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
    pub(super) fn of(report: &Report, tables: &[TableRead]) -> Self {
        let sections = report.instrument.sections.iter().enumerate();
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            tables: tables.iter().map(TableShape::from).collect(),
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
