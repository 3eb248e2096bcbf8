//! The rows below a head: which are readings, and what merged cells and marks in them stand for.

use super::heading::Heading;
use super::sheet::Area;
use super::table::{Cell, Raw, RawRow, Refused};
use super::words::shown;
use super::workbook;
use crate::measure::Note;

/// Readings that one merged cell, or a ditto mark, may state for several notes: what comes in runs.
const IN_RUNS: [&str; 7] =
    ["strings", "core_mm", "core_in", "core_gauge", "core_shape", "wrap", "material"];

/// The rows that hold readings, as wide as the head; what was passed over or filled in is remarked.
pub(super) fn rows(
    raw: &Raw,
    head: &Heading,
    below: Vec<RawRow>,
    remarks: &mut Vec<String>,
) -> Vec<Vec<Cell>> {
    let mut kept: Vec<(usize, Vec<Cell>)> = Vec::new();
    for RawRow { line, mut cells } in below {
        if let Some(title) = heading_of_a_part(&cells, head) {
            remarks.push(format!("row {line} was passed over: “{}”", shown(&title)));
            continue;
        }
        if raw.ragged {
            widen(&mut cells, head, raw, line);
        }
        kept.push((line, cells));
    }
    for area in &raw.merged {
        merged(area, head, &mut kept, remarks);
    }
    marks(head, &mut kept, remarks);
    kept.retain(|(_, cells)| cells.iter().any(|cell| !cell.is_empty()));
    kept.into_iter().map(|(_, cells)| cells).collect()
}

/// Dashes for what was not read, and ditto marks for the wire of the row above.
fn marks(head: &Heading, kept: &mut [(usize, Vec<Cell>)], remarks: &mut Vec<String>) {
    let (mut dashes, mut words, mut dittos) = (Vec::new(), Vec::new(), Vec::new());
    for row in 0..kept.len() {
        let (above, here) = kept.split_at_mut(row);
        for (column, cell) in here[0].1.iter_mut().enumerate() {
            let name = head.cells.get(column).map_or("", |cell| &cell.text);
            if is_dash(&cell.text) {
                dashes.push(place(cell));
                cell.text.clear();
            } else if says_nothing(&cell.text, name) {
                words.push(place(cell));
                cell.text.clear();
            } else if is_ditto(&cell.text) && IN_RUNS.contains(&name) {
                let above = above.last().and_then(|(_, row)| row.get(column));
                if let Some(above) = above.filter(|above| !above.text.is_empty()) {
                    dittos.push(place(cell));
                    cell.text.clone_from(&above.text);
                }
            }
        }
    }
    remark(remarks, &dashes, "a dash was read as an empty cell");
    remark(remarks, &words, "a word for nothing was read as an empty cell");
    remark(remarks, &dittos, "a ditto mark was read as the cell above");
}

fn remark(remarks: &mut Vec<String>, places: &[String], what: &str) {
    match places {
        [] => {}
        [one] => remarks.push(format!("{what}: {one}")),
        [first, .., last] => {
            remarks.push(format!("{what} in {} places, {first} to {last}", places.len()));
        }
    }
}

fn place(cell: &Cell) -> String {
    cell.at.spot().cell.unwrap_or_default()
}

/// The words of a row that heads a part of the table, or repeats the head: no reading beside them.
fn heading_of_a_part(cells: &[Cell], head: &Heading) -> Option<String> {
    let filled: Vec<&Cell> = cells.iter().filter(|cell| !cell.is_empty()).collect();
    let repeated = !filled.is_empty()
        && cells.iter().zip(head.written()).all(|(cell, written)| cell.text == *written)
        && filled.len() > 1;
    if repeated {
        return Some("the head again".to_owned());
    }
    match filled[..] {
        [only] if only.refused.is_none() => {
            let first = only.text.trim_start_matches('#');
            let words = first.chars().filter(|c| c.is_alphabetic()).count() >= 3;
            let note = Note::parse(&only.text).is_ok();
            (words && !note).then(|| only.text.clone())
        }
        _ => None,
    }
}

/// As many cells as the head, or more where more are filled.
fn widen(cells: &mut Vec<Cell>, head: &Heading, raw: &Raw, line: usize) {
    while cells.len() < head.cells.len() {
        let at = raw.source.end_of_line(line).in_column(cells.len());
        cells.push(Cell::new("", at));
    }
    while cells.len() > head.cells.len() && cells.last().is_some_and(Cell::is_empty) {
        cells.pop();
    }
}

fn is_dash(text: &str) -> bool {
    const MOST: usize = 5;
    let dashes = (1..=MOST).contains(&text.chars().count());
    text == "/" || (dashes && text.chars().all(|c| matches!(c, '-' | '–' | '—' | '−')))
}

/// Words for a reading that was not taken. Over a winding an empty cell says that there is none: there only
/// words that say so too, and not `n/a`, which may be a winding that nobody measured.
fn says_nothing(text: &str, name: &str) -> bool {
    let word = text.to_lowercase();
    match name {
        "note" | "from" | "to" => false,
        "over_mm" | "over_in" | "over_cm" => matches!(word.as_str(), "none" | "plain"),
        _ => matches!(word.as_str(), "n/a" | "n.a." | "n. a."),
    }
}

fn is_ditto(text: &str) -> bool {
    matches!(text, "\"" | "″" | "''" | "“" | "”" | "〃") || text.eq_ignore_ascii_case("ditto")
}

/// One cell merged over several rows: what comes in runs stands for each of them, anything else is
/// one reading for several notes and is refused. Over several columns that are read: refused.
fn merged(area: &Area, head: &Heading, kept: &mut [(usize, Vec<Cell>)], remarks: &mut Vec<String>) {
    let (first, last) = (area.rows.0 + 1, area.rows.1 + 1);
    let names: Vec<&str> = head
        .cells
        .iter()
        .enumerate()
        .filter(|(column, cell)| {
            (area.columns.0..=area.columns.1).contains(column)
                && !cell.text.is_empty()
                && cell.text != super::columns::REMARK
        })
        .map(|(_, cell)| cell.text.as_str())
        .collect();
    let column = area.columns.0;
    let mut rows: Vec<&mut Vec<Cell>> = kept
        .iter_mut()
        .filter(|(line, _)| (first..=last).contains(line))
        .map(|(_, cells)| cells)
        .collect();
    let Some(value) = rows.first().and_then(|row| row.get(column)).cloned() else { return };
    if value.is_empty() || names.is_empty() || (rows.len() < 2 && names.len() < 2) {
        return;
    }
    if names.len() == 1 && IN_RUNS.contains(&names[0]) {
        let said = workbook::area(area);
        remarks.push(format!(
            "{said} is merged: “{}” stands for each of its rows",
            shown(&value.text)
        ));
        for row in rows {
            row[column].text.clone_from(&value.text);
        }
    } else if let Some(cell) = rows.first_mut().and_then(|row| row.get_mut(column)) {
        cell.refused = Some(Refused::Merged(workbook::area(area)));
    }
}
