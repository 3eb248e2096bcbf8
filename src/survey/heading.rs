//! The head of a table among its rows.
//!
//! Spreadsheets begin with a title, leave rows blank, merge a group's name over its columns and write
//! the units in a row of their own. The head is the row, of the first forty, with most cells that name a
//! reading; a group's name above it is put before a head that needs it, a unit below it behind.

use super::columns::REMARK;
use super::names::{self, KEY, column_of};
use super::sheet::letters;
use super::spelling;
use super::table::{Cell, Raw, RawRow};
use super::words::shown;
use crate::instrument::ColumnRead;
use crate::instrument::reading::Table;

/// A head is looked for in so many filled rows.
pub(super) const DEEPEST: usize = 40;

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
    let rows = (0..raw.rows.len().min(DEEPEST)).map(|row| under(raw, row, table));
    let score = |head: &Heading| {
        let known = |cell: &&Cell| column_of(&cell.text, table).is_some();
        let mut names: Vec<_> =
            head.cells.iter().filter(known).map(|cell| cell.text.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        names.len()
    };
    // Of equal rows the first: the last of the reversed.
    let rows: Vec<Heading> = rows.collect();
    let mut head = rows.into_iter().rev().max_by_key(score)?;
    settle_notes(&mut head.cells, table);
    Some(head)
}

/// The head that `row` would be, with the group above it and the units below.
fn under(raw: &Raw, row: usize, table: Table) -> Heading {
    let named = &raw.rows[row];
    let mut cells = named.cells.clone();
    reach_down(raw, row, &mut cells, table);
    let written = cells.iter().map(|cell| cell.text.clone()).collect();
    let units = raw.rows.get(row + 1).filter(|units| is_units(units));
    let above = row.checked_sub(1).map(|above| groups(raw, above, cells.len()));
    for (column, cell) in cells.iter_mut().enumerate() {
        let group = above.as_ref().and_then(|groups| groups[column].as_deref());
        let unit = units.and_then(|row| row.cells.get(column)).map_or("", |cell| &cell.text);
        if let Some(name) = understood(group, &cell.text, unit, table) {
            cell.text = name;
        }
    }
    let first_row = row + 1 + usize::from(units.is_some());
    Heading { cells, written, first_row, line: named.line }
}

/// Names of the row above that reach down into blank cells of `row`: merged over both, or left blank where a
/// head of two rows has no more to say.
fn reach_down(raw: &Raw, row: usize, cells: &mut [Cell], table: Table) {
    let Some(above) = row.checked_sub(1).map(|above| &raw.rows[above]) else { return };
    let line = raw.rows[row].line;
    let named = above.cells.iter().filter(|cell| column_of(&cell.text, table).is_some()).count();
    let joined = named > 1 && above.line + 1 == line;
    for (column, cell) in cells.iter_mut().enumerate().filter(|(_, cell)| cell.is_empty()) {
        let covers = |area: &&super::sheet::Area| {
            (area.rows.0 + 2..=area.rows.1 + 1).contains(&line) && area.columns == (column, column)
        };
        let from = match raw.merged.iter().find(covers) {
            Some(area) => raw.rows.iter().find(|row| row.line == area.rows.0 + 1),
            None => Some(above).filter(|_| joined),
        };
        let name = from.and_then(|row| row.cells.get(column));
        if let Some(name) = name.filter(|name| column_of(&name.text, table).is_some()) {
            cell.text.clone_from(&name.text);
        }
    }
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

/// A row that holds units and nothing else, but for what names and counts have in place of one.
fn is_units(row: &RawRow) -> bool {
    let none = |text: &str| {
        let word = text.trim_matches(|c: char| !c.is_alphabetic()).to_lowercase();
        matches!(word.as_str(), "name" | "no" | "number")
    };
    let filled = || row.cells.iter().map(|cell| cell.text.as_str()).filter(|text| !text.is_empty());
    filled().any(names::is_unit) && filled().all(|text| names::is_unit(text) || none(text))
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
    /// A column `No.` beside the notes that counts the rows from 1 is no number of a key.
    pub fn count_of_rows(&mut self, rows: &[Vec<Cell>], remarks: &mut Vec<String>) {
        let Some(column) = self.cells.iter().position(|cell| cell.text == KEY) else { return };
        let Some(notes) = self.cells.iter().position(|cell| cell.text == "note") else { return };
        // Rows of text may be shorter than the head.
        let text = |row: &Vec<Cell>, at: usize| {
            row.get(at).map_or(String::new(), |cell| cell.text.clone())
        };
        let counts = |(i, row): (usize, &Vec<Cell>)| text(row, column) == (i + 1).to_string();
        let is_key = |row: &&Vec<Cell>| {
            let note = spelling::note(&text(row, notes));
            note.is_none_or(|note| {
                spelling::key_digits(&text(row, column)) == note.key().to_string()
            })
        };
        let keys = rows.iter().filter(is_key).count();
        let bare = names::is_bare_number(&self.written[column]);
        if bare && 2 * keys < rows.len() && rows.iter().enumerate().all(counts) {
            REMARK.clone_into(&mut self.cells[column].text);
            remarks.push(format!("column {} counts the rows and was not read", letters(column)));
        }
    }

    /// Whether it names the notes and a reading beside them.
    pub fn is_of(&self, table: Table) -> bool {
        let reading = |cell: &Cell| {
            !matches!(cell.text.as_str(), "note" | "from" | "to" | REMARK | KEY)
                && column_of(&cell.text, table).is_some()
        };
        self.is_whole() && self.cells.iter().any(reading)
    }

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
