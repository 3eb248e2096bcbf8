//! The filled cells of one sheet, its merged areas, and what is hidden.

use super::SheetFault;
use crate::survey::{MAX_COLUMNS, MAX_ROWS};
use std::collections::BTreeMap;

/// Rows above the head of a table that a sheet may fill with titles and remarks.
const ABOVE: usize = 40;
/// Rows a sheet may reach down to, filled or not.
const DEEPEST: usize = 10_000;
/// Longest text of one cell, in bytes: twice what spreadsheets themselves allow.
const LONGEST: usize = 1 << 16;
/// Most merged areas.
const MOST_AREAS: usize = 5_000;

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::survey) enum Value {
    /// Words, or a number written as words.
    Text(String),
    /// A number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A date or a time of day; shown in the words of the spreadsheet where it has them.
    Date(String),
    /// The spreadsheet's own fault: `#DIV/0!`.
    Error(String),
    /// A formula whose result was never worked out.
    NoResult,
}

/// One filled cell.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::survey) struct SheetCell {
    pub value: Value,
    /// Worked out by the spreadsheet.
    pub formula: bool,
}

/// A merged area, both ends included, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::survey) struct Area {
    pub rows: (usize, usize),
    pub columns: (usize, usize),
}

/// The filled cells of a sheet by row and column, from 0.
#[derive(Debug, Clone, Default)]
pub(in crate::survey) struct Grid {
    pub sheet: String,
    pub rows: BTreeMap<usize, BTreeMap<usize, SheetCell>>,
    pub merged: Vec<Area>,
    /// Rows and columns that the sheet does not show, with filled cells.
    pub hidden_rows: Vec<usize>,
    pub hidden_columns: Vec<(usize, usize)>,
}

impl Grid {
    /// Puts a filled cell in; blank text is no cell.
    pub fn put(&mut self, row: usize, column: usize, cell: SheetCell) -> Result<(), SheetFault> {
        match &cell.value {
            Value::Text(text) if text.trim().is_empty() && !cell.formula => return Ok(()),
            Value::Text(text) if text.len() > LONGEST => {
                return Err(SheetFault::Broken(format!(
                    "cell {} holds {} characters",
                    address(row, column),
                    text.len()
                )));
            }
            _ => {}
        }
        if row >= DEEPEST || (!self.rows.contains_key(&row) && self.rows.len() > MAX_ROWS + ABOVE) {
            return Err(SheetFault::TooManyRows(self.sheet.clone(), address(row, column)));
        }
        if column >= MAX_COLUMNS {
            return Err(SheetFault::TooManyColumns(self.sheet.clone(), address(row, column)));
        }
        self.rows.entry(row).or_default().insert(column, cell);
        Ok(())
    }

    /// Notes a merged area; areas of one cell are none, and what is beyond the table is left.
    pub fn merge(&mut self, area: Area) {
        let one = area.rows.0 == area.rows.1 && area.columns.0 == area.columns.1;
        if !one && area.rows.0 < DEEPEST && self.merged.len() < MOST_AREAS {
            self.merged.push(area);
        }
    }
}

/// Spreadsheet letters of a column from 0: A, B … Z, AA.
pub(in crate::survey) fn letters(column: usize) -> String {
    let last = char::from(b'A' + (column % 26) as u8);
    match column / 26 {
        0 => last.to_string(),
        more => letters(more - 1) + &last.to_string(),
    }
}

/// `C14` of row 13 and column 2, from 0.
pub(in crate::survey) fn address(row: usize, column: usize) -> String {
    format!("{}{}", letters(column), row + 1)
}

/// Row and column, from 0, of `C14`; marks that keep an address in place are left out.
pub(super) fn place_of(address: &str) -> Option<(usize, usize)> {
    let address = address.replace('$', "");
    let digits = address.find(|c: char| c.is_ascii_digit())?;
    let (column, row) = address.split_at(digits);
    if column.is_empty() || column.len() > 3 || row.len() > 7 {
        return None;
    }
    let mut number = 0;
    for c in column.chars() {
        let letter = c.to_ascii_uppercase();
        if !letter.is_ascii_uppercase() {
            return None;
        }
        number = number * 26 + (letter as usize - 'A' as usize + 1);
    }
    Some((row.parse::<usize>().ok()?.checked_sub(1)?, number.checked_sub(1)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        assert_eq!([0, 25, 26, 51, 52, 99].map(letters), ["A", "Z", "AA", "AZ", "BA", "CV"]);
    }

    #[test]
    fn addresses_read_back() {
        for (row, column) in [(0, 0), (13, 2), (1_048_575, 16_383)] {
            assert_eq!(place_of(&address(row, column)), Some((row, column)));
        }
        assert_eq!(place_of("$C$14"), Some((13, 2)));
        for bad in ["", "C", "14", "C0", "Ä1", "AAAA1"] {
            assert_eq!(place_of(bad), None, "{bad}");
        }
    }
}
