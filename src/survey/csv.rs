//! CSV as rows of cells: divided by comma, semicolon or tab, whichever the first line has most of.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::source::{At, Source};
use super::table::{Cell, MAX_COLUMNS, MAX_ROWS, Raw, RawRow, beyond};
use csv_core::{ReadFieldResult, ReaderBuilder};
use std::ops::Range;
use std::rc::Rc;

/// The rows of `source`.
pub(super) fn read(source: &Rc<Source>, desk: &Desk) -> Option<Raw> {
    const MARKS: [u8; 3] = [b',', b';', b'\t'];
    let filled = || source.text().lines().filter(|line| !line.trim().is_empty());
    let divided = filled().find(|line| line.bytes().any(|byte| MARKS.contains(&byte)));
    let count = |mark: u8| divided.unwrap_or("").bytes().filter(|byte| *byte == mark).count();
    let delimiter = MARKS.into_iter().rev().max_by_key(|mark| count(*mark)).unwrap_or(b',');
    let records = records(source, delimiter, desk)?;
    let rows = records.into_iter().map(|cells| RawRow { line: cells[0].at.line(), cells });
    Some(Raw { rows: rows.collect(), ..Raw::of(source, delimiter != b',') })
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
            let at = &record[MAX_COLUMNS].at;
            desk.fault(beyond(FaultKind::TooManyColumns, at, "columns", MAX_COLUMNS));
            return None;
        }
        if record_end {
            let row = std::mem::take(&mut record);
            if row.iter().any(|cell| !cell.text.is_empty()) && !row[0].text.starts_with('#') {
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
    Cell::new(String::from_utf8_lossy(field).trim(), at)
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
