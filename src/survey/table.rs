//! Tables as cells of text with their places, whatever the file they come from.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::source::{At, Source, Spot};
use super::words::shown;
use csv_core::{ReadFieldResult, ReaderBuilder};
use std::ops::Range;
use std::rc::Rc;

/// Most rows of a table, its head aside.
pub const MAX_ROWS: usize = 2000;
/// Most columns.
pub const MAX_COLUMNS: usize = 100;

/// One cell: its text without quotation marks and space around it, and its place.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub text: String,
    pub at: At,
}

/// A table: its head, and rows of as many cells.
#[derive(Debug)]
pub(super) struct Cells {
    pub head: Vec<Cell>,
    pub rows: Vec<Vec<Cell>>,
    /// Written with a comma as decimal point, as spreadsheets do where the cells are divided by `;`.
    pub decimal_comma: bool,
}

/// The table in the file that `item` names.
pub(super) fn read(item: &Item) -> Option<Cells> {
    let name = item.text("write the name of the file in quotation marks: \"strings.csv\"")?;
    of_file(name, item.desk, Some(&item.at))
}

/// The table in the file `name`, which stands at `at`; the one door through which table files come.
pub(super) fn of_file(name: &str, desk: &Desk, at: Option<&At>) -> Option<Cells> {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    match ending.as_str() {
        "csv" | "tsv" | "txt" => csv(&desk.text(name, at)?, desk),
        _ => {
            let spot = at.map_or_else(|| Spot::file(name), At::spot);
            desk.fault(
                Fault::at(FaultKind::UnknownTableFormat, spot, format!("`{}` is no table that can be read", shown(name)))
                    .found("read from the ending of its name")
                    .expected("a file ending in .csv")
                    .remedy("save the table from the spreadsheet as \"CSV UTF-8\" and write that file's name"),
            );
            None
        }
    }
}

/// Splits CSV: cells divided by comma, semicolon or tab, whichever the first line has most of.
fn csv(source: &Rc<Source>, desk: &Desk) -> Option<Cells> {
    let first = source.text().lines().find(|line| !line.trim().is_empty()).unwrap_or("");
    let count = |mark: u8| first.bytes().filter(|byte| *byte == mark).count();
    let delimiter =
        [b',', b';', b'\t'].into_iter().rev().max_by_key(|mark| count(*mark)).unwrap_or(b',');
    let mut rows = records(source, delimiter, desk)?.into_iter();
    let head = rows.next();
    let rows: Vec<_> = rows.collect();
    let Some(head) = head.filter(|_| !rows.is_empty()) else {
        desk.fault(
            Fault::new(FaultKind::EmptyTable, &At::new(source, 0..0), "the table has no rows")
                .found(if first.is_empty() { "an empty file" } else { "a head, and nothing below it" })
                .expected("a head with the names of the columns, and a row for each note that was measured")
                .remedy("fill in rows, or leave the table away until something was measured"),
        );
        return None;
    };
    let rows = rows.into_iter().filter_map(|row| squared(row, head.len(), source, desk)).collect();
    Some(Cells { head, rows, decimal_comma: delimiter != b',' })
}

/// Every record that is not blank and does not start with `#`.
fn records(source: &Rc<Source>, delimiter: u8, desk: &Desk) -> Option<Vec<Vec<Cell>>> {
    // With an end to the last line, every field is seen to its end.
    let text = [source.text().as_bytes(), b"\n"].concat();
    let mut reader = ReaderBuilder::new().delimiter(delimiter).build();
    let mut field = vec![0; text.len()];
    let (mut records, mut record, mut from) = (Vec::new(), Vec::<Cell>::new(), 0);
    while from < text.len() {
        let (result, read, written) = reader.read_field(&text[from..], &mut field);
        let raw = from..(from + read).min(source.text().len());
        from += read;
        let ReadFieldResult::Field { record_end } = result else {
            // Blank lines at the end, or a quotation mark that swallowed the rest.
            open_quote(source, raw, record.len(), desk)?;
            break;
        };
        record.push(cell(source, raw, &field[..written], record.len(), delimiter));
        if record.len() > MAX_COLUMNS {
            too_many(source, &record, FaultKind::TooManyColumns, "columns", MAX_COLUMNS, desk);
            return None;
        }
        if record_end {
            let row = std::mem::take(&mut record);
            if row.iter().any(|cell| !cell.text.is_empty()) && !row[0].text.starts_with('#') {
                records.push(row);
            }
            if let Some(last) = records.get(MAX_ROWS + 1) {
                too_many(source, last, FaultKind::TooManyRows, "rows", MAX_ROWS, desk);
                return None;
            }
        }
    }
    Some(records)
}

fn cell(
    source: &Rc<Source>,
    raw: Range<usize>,
    field: &[u8],
    column: usize,
    delimiter: u8,
) -> Cell {
    let body = source.text()[raw.clone()].trim_end_matches(['\n', '\r']);
    let body = body.strip_suffix(char::from(delimiter)).unwrap_or(body);
    // The end of one line may stand before the first field of the next.
    let start = raw.start + (body.len() - body.trim_start().len());
    let at = At::new(source, start..start + body.trim().len()).in_column(column);
    Cell { text: String::from_utf8_lossy(field).trim().to_owned(), at }
}

/// Nothing when the rest of the file is blank; a fault when it stands in a cell that never ends.
fn open_quote(source: &Rc<Source>, raw: Range<usize>, column: usize, desk: &Desk) -> Option<()> {
    let rest = &source.text()[raw.clone()];
    if rest.trim().is_empty() {
        return Some(());
    }
    let start = raw.start + (rest.len() - rest.trim_start().len());
    desk.fault(
        Fault::new(
            FaultKind::OpenQuote,
            &At::new(source, start..start + 1).in_column(column),
            "a quotation mark opens here and never closes",
        )
        .found("the rest of the file stands in it")
        .expected("cells in plain text, or in a pair of quotation marks")
        .remedy("take the mark out; inches are written in a column headed `…_in`, without a mark"),
    );
    None
}

fn too_many(
    source: &Rc<Source>,
    row: &[Cell],
    kind: FaultKind,
    what: &str,
    most: usize,
    desk: &Desk,
) {
    let at = row.last().map_or_else(|| At::new(source, 0..0), |cell| cell.at.clone());
    desk.fault(
        Fault::new(kind, &at, format!("the table has more than {most} {what}"))
            .found("one too many")
            .expected(format!("at most {MAX_ROWS} rows and {MAX_COLUMNS} columns"))
            .remedy(
                "a piano has 88 notes: keep one row for each, and the columns that Feltwire reads",
            ),
    );
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
        .remedy("count the commas: every cell that was not measured keeps its comma"),
    );
    None
}
