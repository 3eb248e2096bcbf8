//! The head of a table among its rows.
//!
//! Spreadsheets begin with a title, leave rows blank, merge a group's name over its columns and write
//! the units in a row of their own. The head is the row, of the first forty, with most cells that name a
//! reading; a group's name above it is put before a head that needs it, a unit below it behind.

use super::columns::REMARK;
use super::names::{self, KEY, column_of};
use super::sheet::letters;
use super::table::{Cell, Raw, RawRow};
use super::words::shown;
use crate::instrument::ColumnRead;
use crate::instrument::reading::Table;

/// A head is looked for in so many filled rows.
const DEEPEST: usize = 40;

/// What was found.
pub(super) struct Heading {
    /// The head's cells; each text is a name of the dictionary where one was understood.
    pub cells: Vec<Cell>,
    /// What was written, where it is not that name.
    written: Vec<String>,
    /// The first row of readings.
    pub first_row: usize,
    /// Its line in the file, from 1.
    pub line: usize,
}

/// The head of the table; nothing when no row is filled.
pub(super) fn find(raw: &Raw, table: Table) -> Option<Heading> {
    let score = |row: &RawRow| {
        let mut names: Vec<String> =
            row.cells.iter().filter_map(|cell| column_of(&cell.text, table)).collect();
        names.sort();
        names.dedup();
        names.len()
    };
    let rows = raw.rows.iter().take(DEEPEST).enumerate();
    // Of equal rows the first: the last of the reversed.
    let (row, _) = rows.rev().max_by_key(|(_, row)| score(row))?;
    let named = &raw.rows[row];
    let units = raw.rows.get(row + 1).filter(|units| is_units(units));
    let above = row.checked_sub(1).map(|above| groups(raw, above, named.cells.len()));
    let mut cells = named.cells.clone();
    for (column, cell) in cells.iter_mut().enumerate() {
        let group = above.as_ref().and_then(|groups| groups[column].as_deref());
        let unit = units.and_then(|row| row.cells.get(column)).map_or("", |cell| &cell.text);
        if let Some(name) = understood(group, &cell.text, unit, table) {
            cell.text = name;
        }
    }
    // A column that only its group or its unit names.
    settle_notes(&mut cells, table);
    Some(Heading {
        written: named.cells.iter().map(|cell| cell.text.clone()).collect(),
        cells,
        first_row: row + 1 + usize::from(units.is_some()),
        line: named.line,
    })
}

fn understood(group: Option<&str>, text: &str, unit: &str, table: Table) -> Option<String> {
    if text.is_empty() {
        return None;
    }
    let with_group = group.map(|group| format!("{group} {text}"));
    [with_group.as_deref(), Some(text)].into_iter().flatten().find_map(|words| {
        let whole = column_of(words, table);
        let needs_unit =
            |name: &String| !unit.is_empty() && column_of(name, table) == Some(name.clone());
        match whole {
            Some(name) if needs_unit(&name) => {
                column_of(&format!("{words} {unit}"), table).or(Some(name))
            }
            other => other,
        }
    })
}

/// A row that holds units and nothing else.
fn is_units(row: &RawRow) -> bool {
    let mut filled = row.cells.iter().filter(|cell| !cell.text.is_empty()).peekable();
    filled.peek().is_some() && filled.all(|cell| names::is_unit(&cell.text))
}

/// The names of groups in row `above`: each over its merged columns, or, where a file knows of no
/// merging, over the blank cells that follow it.
fn groups(raw: &Raw, above: usize, width: usize) -> Vec<Option<String>> {
    let row = &raw.rows[above];
    let mut groups = vec![None; width];
    for (column, cell) in row.cells.iter().enumerate().take(width) {
        if cell.text.is_empty() {
            continue;
        }
        let covers =
            |area: &&super::sheet::Area| area.rows.0 + 1 == row.line && area.columns.0 == column;
        let last = match raw.merged.iter().find(covers) {
            Some(area) => area.columns.1,
            None if raw.ragged => column,
            None => {
                let blank = |c: &usize| row.cells.get(*c).is_none_or(Cell::is_empty);
                (column + 1..width).take_while(blank).last().unwrap_or(column)
            }
        };
        for group in groups.iter_mut().take(last + 1).skip(column) {
            *group = Some(cell.text.clone());
        }
    }
    groups
}

/// `Notes` may head the notes, and the number of a key may stand for its note.
fn settle_notes(cells: &mut [Cell], table: Table) {
    if table == Table::Runs || cells.iter().any(|cell| cell.text == "note") {
        return;
    }
    let key = cells.iter().position(|cell| cell.text == KEY);
    let plural = || cells.iter().position(|cell| cell.text == REMARK);
    if let Some(found) = key.or_else(plural) {
        "note".clone_into(&mut cells[found].text);
    }
}

impl Heading {
    /// Whether it names the notes and something more.
    pub fn is_whole(&self) -> bool {
        let notes = |cell: &&Cell| matches!(cell.text.as_str(), "note" | "from");
        self.cells.len() > 1 && self.cells.iter().any(|cell| notes(&cell))
    }

    /// What stands in the head's cells.
    pub fn written(&self) -> &[String] {
        &self.written
    }

    /// The columns as they were understood, blank ones left out.
    pub fn columns(&self) -> Vec<ColumnRead> {
        let pairs = self.cells.iter().zip(&self.written).enumerate();
        pairs
            .filter(|(_, (_, written))| !written.is_empty())
            .map(|(column, (cell, written))| ColumnRead {
                letters: letters(column),
                written: shown(written),
                read_as: cell.text.clone(),
            })
            .collect()
    }
}
