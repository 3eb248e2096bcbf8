//! Tables and pairs as the templates read them.

use serde::Serialize;

/// Label and value.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Fact {
    label: String,
    value: String,
}

impl Fact {
    pub(super) fn new(label: &str, value: impl Into<String>) -> Self {
        Self { label: label.to_owned(), value: value.into() }
    }
}

/// One column of a table.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Column {
    head: String,
    unit: Option<String>,
    align: &'static str,
    /// Share of the width that is left; `None` is as wide as its widest cell.
    share: Option<u8>,
}

impl Column {
    /// Words.
    pub(super) fn left(head: &str) -> Self {
        Self { head: head.to_owned(), unit: None, align: "left", share: None }
    }

    /// Figures.
    pub(super) fn right(head: &str) -> Self {
        Self { align: "right", ..Self::left(head) }
    }

    /// Words that take what width is left.
    pub(super) fn wide(head: &str) -> Self {
        Self { share: Some(1), ..Self::left(head) }
    }

    /// Words that take so many shares of what width is left.
    pub(super) fn share(self, share: u8) -> Self {
        Self { share: Some(share), ..self }
    }

    /// With its unit beneath.
    pub(super) fn unit(self, unit: &str) -> Self {
        Self { unit: Some(unit.to_owned()), ..self }
    }
}

/// A table: heads, rows, and what is said beneath.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Sheet {
    title: Option<String>,
    columns: Vec<Column>,
    rows: Vec<Vec<String>>,
    /// Index of each row that begins something new.
    starts: Vec<usize>,
    note: Option<String>,
}

impl Sheet {
    pub(super) fn new(columns: Vec<Column>, rows: Vec<Vec<String>>) -> Self {
        debug_assert!(rows.iter().all(|row| row.len() == columns.len()));
        Self { title: None, columns, rows, starts: Vec::new(), note: None }
    }

    pub(super) fn titled(self, title: impl Into<String>) -> Self {
        Self { title: Some(title.into()), ..self }
    }

    pub(super) fn noted(self, note: impl Into<String>) -> Self {
        Self { note: Some(note.into()), ..self }
    }

    pub(super) fn starting(self, starts: Vec<usize>) -> Self {
        Self { starts, ..self }
    }
}

/// One part of the assessment after its first page.
#[derive(Debug, Clone, Serialize, Default)]
pub(super) struct Part {
    heading: String,
    text: Vec<String>,
    /// Points before the tables.
    lead: Vec<String>,
    sheets: Vec<Sheet>,
    points: Vec<String>,
}

impl Part {
    pub(super) fn new(heading: &str) -> Self {
        Self { heading: heading.to_owned(), ..Self::default() }
    }

    pub(super) fn text(mut self, text: impl Into<String>) -> Self {
        self.text.push(text.into());
        self
    }

    pub(super) fn lead(mut self, points: impl IntoIterator<Item = String>) -> Self {
        self.lead.extend(points);
        self
    }

    pub(super) fn sheets(mut self, sheets: impl IntoIterator<Item = Sheet>) -> Self {
        self.sheets.extend(sheets);
        self
    }

    pub(super) fn points(mut self, points: impl IntoIterator<Item = String>) -> Self {
        self.points.extend(points);
        self
    }
}
