//! How a table of the survey was understood, to be shown back to the one who wrote it.

use super::reading::Reading;

/// One column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnRead {
    /// Its letters in a spreadsheet: `C`.
    pub letters: String,
    /// What stands at its head.
    pub written: String,
    /// As which column of the dictionary it was read.
    pub read_as: String,
}

/// One table.
#[derive(Debug, Clone, PartialEq)]
pub struct TableRead {
    /// The file, and the sheet of it: `readings.xlsx!Strings`.
    pub name: String,
    /// The row or line of its head, from 1.
    pub head_line: usize,
    /// Its columns from the left, blank ones left out.
    pub columns: Vec<ColumnRead>,
    /// Rows of readings.
    pub rows: usize,
    /// Readings of the dictionary of which it holds none.
    pub unread: Vec<&'static Reading>,
    /// What was passed over, filled in or read in another spelling.
    pub remarks: Vec<String>,
}
