//! Tables as cells of text with their places, whatever the file they come from.
//!
//! A file gives [`Raw`] rows; [`heading`](super::heading) finds the head among them and
//! [`body`](super::body) the rows that are readings; what is left are [`Cells`].

use super::columns::REMARK;
use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::heading::{self, Heading};
use super::item::Item;
use super::names::column_of;
use super::sheet::{Area, Format};
use super::source::{At, Source, Spot};
use super::words::shown;
use super::workbook::Asked;
use super::{body, csv};
use crate::instrument::TableRead;
use crate::instrument::reading::{Table, of_table};
use std::rc::Rc;

/// Most rows of a table, its head aside.
pub const MAX_ROWS: usize = 2000;
/// Most columns.
pub const MAX_COLUMNS: usize = 100;

/// Why a cell of a spreadsheet is no reading, whatever it shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Refused {
    /// It was made a date.
    Date,
    /// It shows the spreadsheet's own fault.
    Error,
    /// A formula that was never worked out.
    NoResult,
    /// One reading in a merged area that belongs to several cells.
    Merged(String),
}

/// One cell: its text without quotation marks and space around it, and its place.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub text: String,
    pub at: At,
    pub refused: Option<Refused>,
}

impl Cell {
    pub fn new(text: impl Into<String>, at: At) -> Self {
        Self { text: text.into(), at, refused: None }
    }

    /// Nothing in it, whether to be read or refused.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty() && self.refused.is_none()
    }
}

/// One row as it stands in the file.
#[derive(Debug)]
pub(super) struct RawRow {
    /// Line or row, from 1.
    pub line: usize,
    pub cells: Vec<Cell>,
}

/// The filled rows of a file.
#[derive(Debug)]
pub(super) struct Raw {
    pub source: Rc<Source>,
    pub rows: Vec<RawRow>,
    /// A comma may stand for the decimal point, because cells are not divided by it.
    pub decimal_comma: bool,
    /// Merged areas of a sheet.
    pub merged: Vec<Area>,
    /// Whether rows may be shorter than the head: in a sheet the cells that nobody filled are not there.
    pub ragged: bool,
    /// What the rebuilder should know of how the file was read.
    pub remarks: Vec<String>,
}

impl Raw {
    pub fn of(source: &Rc<Source>, decimal_comma: bool) -> Self {
        Self {
            source: Rc::clone(source),
            rows: Vec::new(),
            decimal_comma,
            merged: Vec::new(),
            ragged: false,
            remarks: Vec::new(),
        }
    }
}

/// A table: its head, and rows of as many cells.
#[derive(Debug)]
pub(super) struct Cells {
    pub head: Vec<Cell>,
    pub rows: Vec<Vec<Cell>>,
    /// A comma may stand for the decimal point.
    pub decimal_comma: bool,
}

/// The table in the file that `item` names.
pub(super) fn read(item: &Item, table: Table) -> Option<Cells> {
    let name = item.text("write the name of the file in quotation marks: \"strings.csv\"")?;
    of_file(name, table, item.desk, Some(&item.at))
}

/// The table in the file `written`, a sheet's name after it where one is meant, which stands at `at`;
/// the one door through which table files come.
pub(super) fn of_file(written: &str, table: Table, desk: &Desk, at: Option<&At>) -> Option<Cells> {
    let (name, sheet) = match written.split_once('!') {
        Some((name, sheet)) => (name, Some(sheet)),
        None => (written, None),
    };
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    let raw = match (ending.as_str(), sheet) {
        ("csv" | "tsv" | "txt", None) => csv::read(&desk.text(name, at)?, table, desk),
        ("xlsx" | "xlsm", sheet) => Asked { desk, at, name, sheet }.read(Format::Xlsx, table),
        ("ods", sheet) => Asked { desk, at, name, sheet }.read(Format::Ods, table),
        _ => {
            let spot = at.map_or_else(|| Spot::file(name), At::spot);
            desk.fault(
                Fault::at(
                    FaultKind::UnknownTableFormat,
                    spot,
                    format!("`{}` is no table that can be read", shown(written)),
                )
                .found("read from the ending of its name")
                .expected("a file ending in .csv, .xlsx or .ods")
                .remedy("save the table from the spreadsheet in one of these and write that file's name"),
            );
            None
        }
    }?;
    understood(raw, table, desk)
}

/// The head of `raw` and the rows of readings below it.
fn understood(mut raw: Raw, table: Table, desk: &Desk) -> Option<Cells> {
    // A sheet with its head stands ready to be filled.
    let ready = |head: &Heading| head.first_row < raw.rows.len() || (raw.ragged && head.is_whole());
    let Some(head) = heading::find(&raw, table).filter(ready) else {
        empty(&raw, desk);
        return None;
    };
    let below = raw.rows.split_off(head.first_row.min(raw.rows.len()));
    let mut read = TableRead {
        name: raw.source.name(),
        head_line: head.line,
        columns: head.columns(),
        rows: 0,
        unread: Vec::new(),
        remarks: std::mem::take(&mut raw.remarks),
    };
    let mut rows = body::rows(&raw, &head, below, &mut read.remarks);
    let mut head = head;
    head.count_of_rows(&rows, &mut read.remarks);
    let head = head.cells;
    if !raw.ragged {
        let squared = |row| squared(row, head.len(), &raw.source, desk);
        rows = rows.into_iter().filter_map(squared).collect();
    }
    second_head(&mut rows, table, desk);
    if rows.len() > MAX_ROWS {
        let at = &rows[MAX_ROWS][0].at;
        desk.fault(beyond(FaultKind::TooManyRows, at, "rows", MAX_ROWS));
        return None;
    }
    let note = |column: &usize| matches!(head[*column].text.as_str(), "note" | REMARK);
    let holds = |row: &&Vec<Cell>| (0..head.len()).any(|c| !note(&c) && !row[c].is_empty());
    read.rows = rows.iter().filter(holds).count();
    let ready = rows.len() - read.rows;
    if ready > 0 {
        read.remarks.push(format!("{ready} rows hold a note and no reading yet"));
    }
    let filled = |column: usize| rows.iter().any(|row| !row[column].is_empty());
    read.unread = of_table(table)
        .filter(|reading| {
            let own =
                |cell: &Cell| column_of(&cell.text, table).as_deref() == Some(&reading.column());
            let inches = format!("{}_in", reading.name);
            !head
                .iter()
                .enumerate()
                .any(|(i, cell)| (own(cell) || cell.text == inches) && filled(i))
        })
        .collect();
    desk.understood(read);
    Some(Cells { head, rows, decimal_comma: raw.decimal_comma })
}

/// Refuses a row that heads columns of its own, and what stands below it: those are another table.
fn second_head(rows: &mut Vec<Vec<Cell>>, table: Table, desk: &Desk) {
    let heads = |row: &Vec<Cell>| {
        let mut names: Vec<_> =
            row.iter().filter_map(|cell| column_of(&cell.text, table)).collect();
        names.sort_unstable();
        names.dedup();
        let number = |cell: &Cell| cell.text.starts_with(|c: char| c.is_ascii_digit());
        let words = !row.iter().any(number);
        words
            && names.len() > 1
            && names.iter().any(|name| matches!(name.as_str(), "note" | "key" | "from"))
    };
    let Some(first) = rows.iter().position(heads) else { return };
    let filled = rows[first].iter().find(|cell| !cell.is_empty());
    if let Some(cell) = filled {
        desk.fault(
            Fault::new(FaultKind::SecondHead, &cell.at, "a second head stands below the first")
                .found("names of columns among the rows")
                .expected("one head, and every row below it in its columns and its units")
                .remedy(
                    "bring the rows below it into the columns and units of the first head, or put them into \
                     a table of their own",
                ),
        );
    }
    rows.truncate(first);
}

fn empty(raw: &Raw, desk: &Desk) {
    let found = match raw.rows.len() {
        0 if raw.ragged => "an empty sheet",
        0 => "an empty file",
        _ => "a head, and nothing below it",
    };
    desk.fault(
        Fault::new(FaultKind::EmptyTable, &At::new(&raw.source, 0..0), "the table has no rows")
            .found(found)
            .expected(
                "a head with the names of the columns, and a row for each note that was measured",
            )
            .remedy("fill in rows, or leave the table away until something was measured"),
    );
}

/// The fault of a table beyond its limits.
pub(super) fn beyond(kind: FaultKind, at: &At, what: &str, most: usize) -> Fault {
    Fault::new(kind, at, format!("the table has more than {most} {what}"))
        .found("one too many")
        .expected(format!("at most {MAX_ROWS} rows and {MAX_COLUMNS} columns"))
        .remedy("a piano has 88 notes: keep one row for each, and the columns that Feltwire reads")
}

/// A row with as many cells as the head, empty ones beyond it left off.
fn squared(
    mut row: Vec<Cell>,
    width: usize,
    source: &Rc<Source>,
    desk: &Desk,
) -> Option<Vec<Cell>> {
    while row.len() > width && row.last().is_some_and(|cell| cell.text.is_empty()) {
        row.pop();
    }
    if row.len() == width {
        return Some(row);
    }
    let beyond = row.get(width).or(row.last());
    let at = beyond.map_or_else(|| At::new(source, 0..0), |cell| cell.at.clone());
    desk.fault(
        Fault::new(
            FaultKind::WrongCellCount,
            &at,
            format!("this row has {} cells, the head has {width}", row.len()),
        )
        .found(if row.len() < width { "the row ends here" } else { "a cell without a column" })
        .expected(format!("{width} cells, empty ones included"))
        .remedy(
            "count the marks between the cells: one that was not measured keeps its comma, semicolon or tab",
        ),
    );
    None
}
