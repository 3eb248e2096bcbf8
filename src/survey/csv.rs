//! CSV as rows of cells: divided by comma, semicolon or tab, whichever divides a line into most names of readings.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::heading::DEEPEST;
use super::names::column_of;
use super::source::{At, Source};
use super::spelling;
use super::table::{Cell, MAX_COLUMNS, MAX_ROWS, Raw, RawRow, beyond};
use crate::instrument::reading::Table;
use csv_core::{ReadFieldResult, ReaderBuilder};
use std::ops::Range;
use std::rc::Rc;

/// The rows of `source`.
pub(super) fn read(source: &Rc<Source>, table: Table, desk: &Desk) -> Option<Raw> {
    let delimiter = delimiter(source.text(), table);
    let records = records(source, delimiter, desk)?;
    let rows = records.into_iter().map(|cells| RawRow { line: cells[0].at.line(), cells });
    Some(Raw { rows: rows.collect(), ..Raw::of(source, delimiter != b',') })
}

/// The mark between cells: the one that shows most names of readings in one of the first lines; where none
/// does, the one that the first divided line has most of.
fn delimiter(text: &str, table: Table) -> u8 {
    const MARKS: [u8; 3] = [b',', b';', b'\t'];
    let filled = || text.lines().filter(|line| !line.trim().is_empty());
    let names = |mark: u8| {
        let in_line = |line: &str| {
            let cells = line.split(char::from(mark)).map(|cell| cell.trim().trim_matches('"'));
            let mut names: Vec<_> = cells.filter_map(|cell| column_of(cell, table)).collect();
            names.sort_unstable();
            names.dedup();
            names.len()
        };
        filled().take(DEEPEST).map(in_line).max().filter(|names| *names > 1).unwrap_or(0)
    };
    let divided = filled().find(|line| line.bytes().any(|byte| MARKS.contains(&byte)));
    let count = |mark: u8| divided.unwrap_or("").bytes().filter(|byte| *byte == mark).count();
    MARKS.into_iter().rev().max_by_key(|mark| (names(*mark), count(*mark))).unwrap_or(b',')
}

/// Whether a row is a remark: it begins with `#`, and neither a number nor nothing follows in that cell, as in
/// a head `#` or the wire `#15`.
fn is_remark(first: &str) -> bool {
    first.strip_prefix('#').is_some_and(|rest| {
        let rest = rest.trim_matches([' ', '#', '½']);
        !rest.is_empty()
            && !rest.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'/' | b' '))
    })
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
        swallowed(source, raw.clone(), &field[..written], record.len(), delimiter, desk)?;
        record.push(cell(source, raw, &field[..written], record.len(), delimiter));
        if record.len() > MAX_COLUMNS {
            let at = &record[MAX_COLUMNS].at;
            desk.fault(beyond(FaultKind::TooManyColumns, at, "columns", MAX_COLUMNS));
            return None;
        }
        if record_end {
            let row = std::mem::take(&mut record);
            if row.iter().any(|cell| !cell.text.is_empty()) && !is_remark(&row[0].text) {
                records.push(row);
            }
            if let Some(last) = records.get(MAX_ROWS + 1).and_then(|row: &Vec<Cell>| row.last()) {
                desk.fault(beyond(FaultKind::TooManyRows, &last.at, "rows", MAX_ROWS));
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
    let text = String::from_utf8_lossy(field);
    // With a space before it, a quotation mark does not open a quotation.
    let quoted = text.trim().strip_prefix('"').and_then(|text| text.strip_suffix('"'));
    let quoted = quoted.filter(|text| !text.contains('"'));
    Cell::new(quoted.unwrap_or(&text).trim(), at)
}

/// A fault when a quotation holds a whole row of the table, which begins with a note: a ditto mark opened it.
fn swallowed(
    source: &Rc<Source>,
    raw: Range<usize>,
    field: &[u8],
    column: usize,
    delimiter: u8,
    desk: &Desk,
) -> Option<()> {
    let field = String::from_utf8_lossy(field);
    let row = |line: &str| {
        let first = line.split_once(char::from(delimiter)).map(|(first, _)| first.trim());
        first.is_some_and(|first| spelling::note(first).is_some())
    };
    if field.lines().skip(1).any(row) {
        let start = raw.start + source.text()[raw].find('"').unwrap_or(0);
        let said = ("closes in another row", "the rows below stand in it");
        desk.fault(open_mark(source, start, column, said));
        return None;
    }
    Some(())
}

/// Nothing when the rest of the file is blank; a fault when it stands in a cell that never ends.
fn open_quote(source: &Rc<Source>, raw: Range<usize>, column: usize, desk: &Desk) -> Option<()> {
    let rest = &source.text()[raw.clone()];
    if rest.trim().is_empty() {
        return Some(());
    }
    let start = raw.start + (rest.len() - rest.trim_start().len());
    let said = ("never closes", "the rest of the file stands in it");
    desk.fault(open_mark(source, start, column, said));
    None
}

/// A quotation mark at `start`: where it closes, and what stands in the quotation.
fn open_mark(
    source: &Rc<Source>,
    start: usize,
    column: usize,
    (closes, found): (&str, &str),
) -> Fault {
    Fault::new(
        FaultKind::OpenQuote,
        &At::new(source, start..start + 1).in_column(column),
        format!("a quotation mark opens here and {closes}"),
    )
    .found(found)
    .expected("cells in plain text, or in a pair of quotation marks")
    .remedy(
        "take the mark out; inches are written in a column headed `…_in` without a mark, and \"the same\" as \
         the word ditto",
    )
}
