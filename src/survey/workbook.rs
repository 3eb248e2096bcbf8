//! A sheet of a spreadsheet as rows of cells, and its faults in the words of a survey.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::heading;
use super::number::number_text;
use super::sheet::{
    self, Area, Format, Grid, SheetFault, SheetName, Value, Wanted, address, letters,
};
use super::source::{At, Source, Spot};
use super::table::{Cell, MAX_COLUMNS, MAX_ROWS, Raw, RawRow, Refused};
use super::words::{any_of, shown};
use crate::instrument::reading::Table;
use std::fmt::Write as _;
use std::ops::Range;

/// Which sheet of which file is asked for, and where it is named.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub desk: &'a Desk<'a>,
    pub at: Option<&'a At>,
    pub name: &'a str,
    pub sheet: Option<&'a str>,
}

impl Asked<'_> {
    /// The rows of that sheet.
    pub fn read(self, format: Format, table: Table) -> Option<Raw> {
        let bytes = self.desk.bytes(self.name, self.at)?;
        let usual: &[&str] = match table {
            Table::Strings => &["Strings", "String"],
            Table::Runs => &["Runs", "Wire", "Wire runs"],
            Table::Hammers => &["Hammers", "Hammer"],
        };
        match sheet::read(&bytes, format, Wanted { name: self.sheet, usual }) {
            Ok(grid) => Some(raw(self.name, &grid)),
            Err(SheetFault::WhichSheet(sheets)) => {
                let only = self.only_one(&bytes, format, table, &sheets);
                if only.is_none() {
                    self.tell(SheetFault::WhichSheet(sheets), usual[0]);
                }
                only
            }
            Err(fault) => {
                self.tell(fault, usual[0]);
                None
            }
        }
    }
}

impl Asked<'_> {
    /// The one visible sheet of several that has the head of this table, where the others have none.
    fn only_one(
        self,
        bytes: &[u8],
        format: Format,
        table: Table,
        sheets: &[SheetName],
    ) -> Option<Raw> {
        const MOST: usize = 12;
        let visible: Vec<&SheetName> = sheets.iter().filter(|sheet| !sheet.hidden).collect();
        if visible.len() > MOST {
            return None;
        }
        let mut fit = Vec::new();
        for sheet in &visible {
            let wanted = Wanted { name: Some(&sheet.name), usual: &[] };
            let mut raw = raw(self.name, &sheet::read(bytes, format, wanted).ok()?);
            if heading::find(&raw, table).is_some_and(|head| head.is_of(table)) {
                let said = format!("of {} sheets this one alone holds such a table", visible.len());
                raw.remarks.push(said);
                fit.push(raw);
            }
        }
        fit.pop().filter(|_| fit.is_empty())
    }

    fn tell(self, fault: SheetFault, usual: &str) {
        let name = self.name;
        let spot = || self.at.map_or_else(|| Spot::file(name), At::spot);
        let title = |what: &str| format!("`{}` {what}", shown(name));
        let at = |kind, title: String| Fault::at(kind, spot(), title);
        let too_many = |kind, sheet: &str, cell: String, what: &str| {
            Fault::at(
                kind,
                Spot::sheet_cell(name, sheet, Some(cell)),
                title(&format!("has too many {what}")),
            )
            .found("a filled cell beyond the limit")
            .expected(format!(
                "at most {MAX_ROWS} rows and {MAX_COLUMNS} columns, near the top left"
            ))
            .remedy("look for a stray entry there and clear it; a piano has 88 notes")
        };
        self.desk.fault(match fault {
            SheetFault::NotThisFormat(what) => {
                at(FaultKind::BadSpreadsheet, title("is not the spreadsheet that it is called"))
                    .found(what)
                    .expected("an XLSX or ODS file without a password")
                    .remedy(
                        "open it in the spreadsheet and save it as XLSX or ODS, without a password",
                    )
            }
            SheetFault::Broken(why) => at(
                FaultKind::BadSpreadsheet,
                title("cannot be taken apart"),
            )
            .found(shown(&why))
            .expected("a whole XLSX or ODS file")
            .remedy(
                "open it in the spreadsheet and save it again, or save the table as \"CSV UTF-8\"",
            ),
            SheetFault::Bomb(part) => {
                at(FaultKind::FileTooLarge, title("grows too large when it is unpacked"))
                    .found(format!("{part}: more than {} MiB", sheet::MAX_PART_BYTES >> 20))
                    .expected(format!("at most {} MiB a part", sheet::MAX_PART_BYTES >> 20))
                    .remedy("copy the table alone into a new spreadsheet")
            }
            SheetFault::NoSheet(sheets) => {
                at(FaultKind::WhichSheet, title("has no sheet of that name"))
                    .found(format!("its sheets are {}", listed(&sheets)))
                    .expected("the name of one of its sheets after the mark `!`")
                    .remedy("write the sheet as its tab names it")
            }
            SheetFault::WhichSheet(sheets) => {
                let visible = sheets.iter().find(|sheet| !sheet.hidden).or(sheets.first());
                let example = visible.map_or(usual.to_owned(), |sheet| shown(&sheet.name));
                at(FaultKind::WhichSheet, title("has no one sheet that is meant"))
                    .found(listed(&sheets))
                    .expected(format!("one visible sheet, or one called {usual}"))
                    .remedy(format!(
                        "write the sheet after the name: \"{}!{example}\"",
                        shown(name)
                    ))
            }
            SheetFault::Hidden(sheet) => {
                at(FaultKind::WhichSheet, title("hides the sheet that is meant"))
                    .found(format!("{} is hidden", shown(&sheet)))
                    .expected("a sheet that can be seen")
                    .remedy(format!(
                        "show the sheet, or write it after the name: \"{}!{}\"",
                        shown(name),
                        shown(&sheet)
                    ))
            }
            SheetFault::TooManyRows(sheet, cell) => {
                too_many(FaultKind::TooManyRows, &sheet, cell, "rows")
            }
            SheetFault::TooManyColumns(sheet, cell) => {
                too_many(FaultKind::TooManyColumns, &sheet, cell, "columns")
            }
        });
    }
}

fn raw(name: &str, grid: &Grid) -> Raw {
    let deepest = grid.rows.keys().next_back().map_or(0, |last| last + 1);
    let mut text = String::new();
    let mut spans: Vec<Vec<Range<usize>>> = Vec::with_capacity(deepest);
    for row in 0..deepest {
        spans.push(line(grid, row, &mut text));
        text.push('\n');
    }
    let source = Source::of_sheet(name, &grid.sheet, text);
    let mut raw = Raw { ragged: true, ..Raw::of(&source, true) };
    for (row, cells) in &grid.rows {
        let width = cells.keys().next_back().map_or(0, |last| last + 1);
        let cell = |column: usize| {
            let at = At::new(&source, spans[*row][column].clone()).in_column(column);
            let mut cell = Cell::new("", at);
            if let Some(found) = cells.get(&column) {
                (cell.text, cell.refused) = content(&found.value);
            }
            cell
        };
        raw.rows.push(RawRow { line: row + 1, cells: (0..width).map(cell).collect() });
    }
    raw.remarks = remarks(grid);
    raw.merged.clone_from(&grid.merged);
    raw
}

/// Writes one row of the sheet as a line of text, and says where its cells stand in it.
fn line(grid: &Grid, row: usize, text: &mut String) -> Vec<Range<usize>> {
    let Some(cells) = grid.rows.get(&row) else { return Vec::new() };
    let width = cells.keys().next_back().map_or(0, |last| last + 1);
    let mut spans = Vec::with_capacity(width);
    for column in 0..width {
        if column > 0 {
            text.push_str(" | ");
        }
        let start = text.len();
        if let Some(cell) = cells.get(&column) {
            let (words, _) = content(&cell.value);
            // One line: a cell may hold several.
            text.extend(words.chars().map(|c| if c.is_control() { ' ' } else { c }));
        }
        spans.push(start..text.len());
    }
    spans
}

/// The text of a cell, and why it is not to be read.
fn content(value: &Value) -> (String, Option<Refused>) {
    match value {
        Value::Text(text) => (text.trim().to_owned(), None),
        Value::Number(number) => (number_text(*number), None),
        Value::Flag(flag) => (flag.to_string(), None),
        Value::Date(date) => (date.clone(), Some(Refused::Date)),
        Value::Error(error) => (shown(error), Some(Refused::Error)),
        Value::NoResult => ("=…".to_owned(), Some(Refused::NoResult)),
    }
}

/// What there is to say of how the sheet was read.
fn remarks(grid: &Grid) -> Vec<String> {
    let mut remarks = Vec::new();
    let cells = || grid.rows.iter().flat_map(|(row, cells)| cells.iter().map(move |c| (row, c)));
    let formulas: Vec<String> = cells()
        .filter(|(_, (_, cell))| cell.formula && cell.value != Value::NoResult)
        .map(|(row, (column, _))| address(*row, *column))
        .collect();
    if let Some(first) = formulas.first() {
        remarks.push(match formulas.len() {
            1 => format!("{first} holds a formula; its last result was read"),
            n => {
                format!("{n} cells hold formulas, {first} the first; their last results were read")
            }
        });
    }
    let filled = |column: usize| cells().any(|(_, (c, _))| *c == column);
    let hidden: Vec<String> = (0..MAX_COLUMNS)
        .filter(|c| grid.hidden_columns.iter().any(|(a, b)| (*a..=*b).contains(c)) && filled(*c))
        .map(letters)
        .collect();
    if !hidden.is_empty() {
        remarks.push(format!("hidden columns were read as well: {}", hidden.join(", ")));
    }
    let rows: Vec<String> =
        grid.hidden_rows.iter().take(12).map(|row| (row + 1).to_string()).collect();
    if !rows.is_empty() {
        let more = if grid.hidden_rows.len() > rows.len() { " …" } else { "" };
        remarks.push(format!("hidden rows were read as well: {}{more}", rows.join(", ")));
    }
    remarks
}

/// An area as it is written in a spreadsheet: `B2:C4`.
pub(super) fn area(area: &Area) -> String {
    let (first, last) =
        (address(area.rows.0, area.columns.0), address(area.rows.1, area.columns.1));
    format!("{first}:{last}")
}

fn listed(sheets: &[SheetName]) -> String {
    const MOST: usize = 8;
    if sheets.is_empty() {
        return "no sheet at all".to_owned();
    }
    let name = |sheet: &SheetName| {
        let hidden = if sheet.hidden { " (hidden)" } else { "" };
        format!("{}{hidden}", shown(&sheet.name))
    };
    let mut names: Vec<String> = sheets.iter().take(MOST).map(name).collect();
    let mut text = any_of(names.iter().map(String::as_str)).replace(" or ", " and ");
    if sheets.len() > MOST {
        names.truncate(MOST);
        text = names.join(", ");
        let _ = write!(text, " and {} more", sheets.len() - MOST);
    }
    text
}
