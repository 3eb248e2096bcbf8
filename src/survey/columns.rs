//! From cells to readings: heads by the dictionary, units by the head, values by the one parser.

use super::cell::unit_word;
use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::names::{KEY, column_of, meant_column};
use super::row::Row;
use super::source::At;
use super::spelling;
use super::table::{Cell, Cells, Refused};
use super::tree::Keys;
use super::words::{meant, shown};
use crate::instrument::ReadingError;
use crate::instrument::reading::{Reading, Table, Unit, of_table};
use crate::measure::{Compass, Note};

/// A column without meaning to the program, for the rebuilder's own remarks.
pub(super) const REMARK: &str = "remark";

/// What a column holds: a reading, and the unit of its numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub reading: &'static Reading,
    /// Unit of bare numbers; empty where the value must carry its own.
    pub unit: &'static str,
}

impl Column {
    /// The head of the column, in the unit that it has.
    pub fn label(&self) -> String {
        match self.unit {
            "in" | "cm" => format!("{}_{}", self.reading.name, self.unit),
            "" => self.reading.name.to_owned(),
            _ => self.reading.column(),
        }
    }

    fn is_number(&self) -> bool {
        !matches!(self.reading.unit, Unit::NoteName | Unit::Name | Unit::Choice(_) | Unit::Flag)
    }
}

/// `980,5` as `980.5`; anything with more than one mark is left to be refused.
fn with_point(text: &str) -> String {
    let one = text.matches(',').count() == 1 && !text.contains('.');
    if one { text.replace(',', ".") } else { text.to_owned() }
}

/// What every table is read with.
#[derive(Clone, Copy)]
pub(super) struct Reader<'d> {
    pub desk: &'d Desk<'d>,
    pub compass: Compass,
    pub error: ReadingError,
}

impl<'d> Reader<'d> {
    /// The rows of a table file; none when a column of `needed` is missing.
    pub fn rows(&self, cells: Cells, table: Table, needed: &[&'static str]) -> Vec<Row<'d>> {
        let columns: Vec<_> =
            cells.head.iter().map(|cell| self.column(cell, table, &cells)).collect();
        for (i, column) in columns.iter().enumerate() {
            let twin = columns[..i].iter().position(|other| same(other.as_ref(), column.as_ref()));
            if let (Some(column), Some(twin)) = (column, twin) {
                self.desk.fault(twice(*column, &cells.head[i].at, &cells.head[twin].at));
            }
        }
        let has = |name: &str| columns.iter().flatten().any(|column| column.reading.name == name);
        let missing: Vec<_> = needed.iter().filter(|name| !has(name)).collect();
        for name in &missing {
            self.desk.fault(missing_column(name, &cells));
        }
        if !missing.is_empty() {
            return Vec::new();
        }
        let decimal_comma = cells.decimal_comma;
        let key = cells.head.iter().position(|cell| cell.text == KEY);
        let noted = columns.iter().position(|c| c.is_some_and(|c| c.reading.name == "note"));
        let row = |row: Vec<Cell>| {
            let at = row[0].at.clone();
            if let Some((key, note)) = key.zip(noted) {
                self.compare_key(&row[key], &row[note]);
            }
            let pairs = columns.iter().zip(row);
            let pointed = |column: Column, mut cell: Cell| {
                if decimal_comma && column.is_number() {
                    cell.text = with_point(&cell.text);
                }
                if let Some(refused) = cell.refused.take() {
                    self.desk.fault(refusal(&column, &cell, refused));
                    cell.text.clear();
                }
                (column, cell)
            };
            let cells =
                pairs.filter_map(|(column, cell)| Some(pointed((*column)?, cell))).collect();
            Row { at, desk: self.desk, table, compass: self.compass, error: self.error, cells }
        };
        cells.rows.into_iter().map(row).collect()
    }

    /// A row written in `survey.toml`: keys named like columns, or without the unit when the text
    /// carries it.
    pub fn inline(&self, keys: &Keys<'d>, table: Table) -> Row<'d> {
        let mut cells: Vec<(Column, Cell)> = Vec::new();
        for (key, at, item) in keys.rest() {
            if key == REMARK {
                continue;
            }
            let bare = of_table(table)
                .find(|reading| reading.name == key && !reading.unit.suffix().is_empty());
            let column = headed(table, key).or(bare.map(|reading| Column { reading, unit: "" }));
            let Some(column) = column else {
                self.desk.fault(unknown_column(key, table, &at, FaultKind::UnknownKey));
                continue;
            };
            let text = match (item.scalar(), column.reading.unit) {
                (Some((text, _)), _) => text,
                (None, Unit::Flag) => match item.flag() {
                    Some(flag) => flag.to_string(),
                    None => continue,
                },
                (None, _) => {
                    item.wrong_type::<()>("a reading", "write a number or text");
                    continue;
                }
            };
            if let Some((_, twin)) =
                cells.iter().find(|(other, _)| same(Some(other), Some(&column)))
            {
                self.desk.fault(twice(column, &at, &twin.at));
            }
            cells.push((column, Cell::new(text, item.at)));
        }
        Row {
            at: keys.at.clone(),
            desk: self.desk,
            table,
            compass: self.compass,
            error: self.error,
            cells,
        }
    }

    /// A key number beside a note must be that note's.
    fn compare_key(&self, key: &Cell, note: &Cell) {
        let read = spelling::note(&note.text);
        let key_of = |text: &str| key_number(text, self.compass);
        let Some((read, number)) = read.zip(key_of(&key.text)) else { return };
        if number != read {
            self.desk.fault(
                Fault::new(
                    FaultKind::KeyDisagrees,
                    &key.at,
                    format!(
                        "key {} is {number}, but the note beside it is {read}",
                        shown(&key.text)
                    ),
                )
                .found("the number of the key")
                .expected(format!("{}, which is {read}", read.key()))
                .remedy("look which of the two was meant; middle C is C4, key 40")
                .also(&note.at, "the note"),
            );
        }
    }

    fn column(&self, cell: &Cell, table: Table, cells: &Cells) -> Option<Column> {
        let head = cell.text.as_str();
        let place = cells.head.iter().position(|other| std::ptr::eq(other, cell));
        let empty = || {
            place
                .is_some_and(|i| cells.rows.iter().all(|row| row.get(i).is_none_or(Cell::is_empty)))
        };
        if head == REMARK || head == KEY || (head.is_empty() && empty()) {
            return None;
        }
        let column = headed(table, head);
        if column.is_none() {
            let bare = of_table(table).find(|reading| reading.name == head);
            self.desk.fault(match bare {
                Some(reading) => without_unit(reading, &cell.at),
                None if place.is_some_and(|column| holds_notes(cells, column, table)) => {
                    notes_unnamed(head, &cell.at)
                }
                None if head.is_empty() => headless(&cell.at),
                None => unknown_column(head, table, &cell.at, FaultKind::UnknownColumn),
            });
        }
        column
    }
}

/// The column headed `head`: a name of the dictionary, `_in` allowed wherever `_mm` is.
fn headed(table: Table, head: &str) -> Option<Column> {
    of_table(table).find_map(|reading| {
        if reading.column() == head {
            return Some(Column { reading, unit: unit_word(reading.unit) });
        }
        let other = |suffix| head.strip_suffix(suffix) == Some(reading.name);
        match reading.unit {
            Unit::Millimetres if other("_in") => Some(Column { reading, unit: "in" }),
            Unit::Millimetres if other("_cm") => Some(Column { reading, unit: "cm" }),
            _ => None,
        }
    })
}

/// The note of a key number from the bass, where the compass begins with the first key.
pub(super) fn key_number(text: &str, compass: Compass) -> Option<Note> {
    let digits = spelling::key_digits(text);
    let key = digits.parse::<u8>().ok().filter(|_| digits.bytes().all(|b| b.is_ascii_digit()))?;
    (compass.first == Note::A0).then(|| Note::from_key(key)).flatten()
}

/// The fault of a cell that a spreadsheet keeps from being read.
fn refusal(column: &Column, cell: &Cell, why: Refused) -> Fault {
    let (label, text) = (column.label(), shown(&cell.text));
    let new = |kind, title: String| Fault::new(kind, &cell.at, title);
    match why {
        Refused::Date => new(FaultKind::DateInCell, format!("`{label}` was made a date by the spreadsheet"))
            .found(text)
            .expected("a reading; 1.5 and 1/2 are made dates by some spreadsheets as they are typed")
            .remedy("set the cells of the column to the format \"number\" or \"text\" and type the reading again"),
        Refused::Error => new(FaultKind::ErrorInCell, format!("`{label}` shows a fault of the spreadsheet"))
            .found(text)
            .expected("a reading, or a formula that gives one")
            .remedy("mend the formula, or write the reading itself"),
        Refused::NoResult => new(FaultKind::FormulaWithoutResult, format!("`{label}` is a formula without a result"))
            .found("never worked out")
            .expected("a reading, or a formula with its result")
            .remedy("open the file in the spreadsheet and save it there, or write the reading itself"),
        Refused::Merged(area) => new(FaultKind::MergedCells, format!("`{label}` is merged over several cells"))
            .found(format!("one cell for {area}"))
            .expected("one cell for each reading of each note; wire and what else comes in runs may be merged downwards")
            .remedy("take the merging off and write each reading into its own cell"),
    }
}

fn same(a: Option<&Column>, b: Option<&Column>) -> bool {
    matches!((a, b), (Some(a), Some(b)) if std::ptr::eq(a.reading, b.reading))
}

fn twice(column: Column, at: &At, twin: &At) -> Fault {
    let title = format!("`{}` is a second column of one reading", column.label());
    Fault::new(FaultKind::ColumnTwice, at, title)
        .found("again here")
        .expected("each reading in one column, in millimetres or in inches")
        .remedy(
            "if the two hold different readings, write its own name at the head of each; else take one \
             of them out",
        )
        .also(twin, "the first one")
}

/// Whether a table without a column of notes has them in this one: every filled cell is the name of a note.
fn holds_notes(cells: &Cells, column: usize, table: Table) -> bool {
    let noted = |cell: &Cell| column_of(&cell.text, table).is_some_and(|name| name == "note");
    let mut filled = cells
        .rows
        .iter()
        .filter_map(|row| row.get(column))
        .filter(|cell| !cell.is_empty())
        .peekable();
    of_table(table).any(|reading| reading.name == "note")
        && !cells.head.iter().any(noted)
        && filled.peek().is_some()
        && filled.all(|cell| spelling::note(&cell.text).is_some())
}

fn notes_unnamed(head: &str, at: &At) -> Fault {
    let title = format!("`{}` is no reading of this table", shown(head));
    Fault::new(FaultKind::UnknownColumn, at, title)
        .found("the cells below are notes")
        .expected("`note` at the head of the column of notes")
        .remedy("write `note` here")
        .fix("note")
}

fn headless(at: &At) -> Fault {
    Fault::new(FaultKind::UnknownColumn, at, "a column without a head has cells below it")
        .found("no name")
        .expected("the name of a reading at the head of each column that is filled")
        .remedy(format!(
            "write the name of the reading, or `{REMARK}` for words of your own; or clear the cells below; a \
             head merged over two columns names the first"
        ))
}

fn missing_column(name: &str, cells: &Cells) -> Fault {
    let head = &cells.head[0];
    Fault::new(FaultKind::MissingColumn, &head.at, format!("the table has no column `{name}`"))
        .found("the head of the table")
        .expected(format!("a column headed `{name}`"))
        .remedy(format!(
            "write `{name}` at the head of the column that holds it, or add the column"
        ))
}

fn without_unit(reading: &Reading, at: &At) -> Fault {
    let inches = if reading.unit == Unit::Millimetres {
        format!(", or `{}_in` for inches", reading.name)
    } else {
        String::new()
    };
    Fault::new(
        FaultKind::ColumnWithoutUnit,
        at,
        format!("the column `{}` does not say its unit", reading.name),
    )
    .found("in what unit?")
    .expected(format!("`{}`{inches}", reading.column()))
    .remedy(format!("write `{}`{inches}", reading.column()))
}

fn unknown_column(head: &str, table: Table, at: &At, kind: FaultKind) -> Fault {
    let names: Vec<String> = of_table(table).map(Reading::column).collect();
    let inline = kind == FaultKind::UnknownKey;
    let what = if inline { "line" } else { "column" };
    let fault = Fault::new(kind, at, format!("`{}` is no reading of this table", shown(head)));
    let near = meant(head, names.iter().map(String::as_str)).map(str::to_owned);
    match near.or_else(|| meant_column(head, table)) {
        Some(near) => fault
            .found(format!("did you mean `{near}`?"))
            .expected(format!("`{near}`, or another reading of this table"))
            .remedy(format!("write `{near}`, or take the {what} out"))
            .fix(near),
        None => fault
            .found("not in the dictionary of readings")
            .expected(format!(
                "one of {}; `_in` in place of `_mm` for inches; `{REMARK}` for words of your own",
                names.join(", ")
            ))
            .remedy(format!(
                "write the name of the reading that the {what} holds; where it holds none, take it out or \
                 call it `{REMARK}`"
            )),
    }
}
