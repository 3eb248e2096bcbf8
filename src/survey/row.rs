//! One row of a table: a reading from each filled cell, with its error and its faults.

use super::cell::{in_unit, no_reading, range_words, unit_word, with_unit};
use super::columns::{Column, key_number};
use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::quantity::{impossible, note, within};
use super::source::At;
use super::spelling;
use super::table::Cell;
use super::words::{any_of, shown};
use crate::instrument::reading::{ErrorOf, Reading, Table, Unit, of_table};
use crate::instrument::{Place, ReadingError};
use crate::measure::text::{self, Written};
use crate::measure::{
    Angle, Compass, Force, Frequency, Length, LinearMassDensity, Mass, Measured, Note,
};

/// One row of a table: its place, and each reading with its cell.
pub(super) struct Row<'d> {
    pub at: At,
    pub desk: &'d Desk<'d>,
    pub table: Table,
    pub compass: Compass,
    pub error: ReadingError,
    pub cells: Vec<(Column, Cell)>,
}

impl Row<'_> {
    pub fn place(&self) -> Place {
        self.at.place()
    }

    pub fn desk(&self) -> &Desk<'_> {
        self.desk
    }

    /// The filled cell of a reading.
    fn cell(&self, name: &str, fits: impl Fn(Unit) -> bool) -> Option<(&Column, &Cell)> {
        let filled = self.cells.iter().find(|(column, cell)| {
            column.reading.name == name && fits(column.reading.unit) && !cell.text.is_empty()
        });
        filled.map(|(column, cell)| (column, cell))
    }

    /// The head of a reading's column as it is or would be written.
    pub fn label(&self, name: &str) -> String {
        let number = |unit: Unit| !unit.suffix().is_empty();
        if let Some((column, _)) = self.cell(name, number).or_else(|| self.cell(name, |_| true)) {
            return column.label();
        }
        let known =
            of_table(self.table).find(|reading| reading.name == name && number(reading.unit));
        known.map_or_else(|| name.to_owned(), Reading::column)
    }

    /// Whether a reading of a length is filled in.
    pub fn has_length(&self, name: &str) -> bool {
        self.cell(name, |unit| unit == Unit::Millimetres).is_some()
    }

    /// Whether nothing but the note is filled in: a row that stands ready.
    pub fn is_ready(&self) -> bool {
        let filled = |(column, cell): &(Column, Cell)| {
            column.reading.name != "note" && !cell.text.is_empty()
        };
        !self.cells.iter().any(filled)
    }

    /// Where a reading stands, or the row when it does not.
    pub fn at(&self, name: &str) -> At {
        let number = |unit: Unit| !unit.suffix().is_empty();
        let found = self.cell(name, number).or_else(|| self.cell(name, |_| true));
        found.map_or_else(|| self.at.clone(), |(_, cell)| cell.at.clone())
    }

    /// Whether any of the readings is filled in.
    pub fn has(&self, name: &str) -> bool {
        self.cell(name, |_| true).is_some()
    }

    /// The note in column `name`, which must be filled in.
    pub fn note(&self, name: &str) -> Option<Note> {
        let Some((_, cell)) = self.cell(name, |unit| unit == Unit::NoteName) else {
            self.desk.fault(
                Fault::new(FaultKind::MissingCell, &self.at, format!("this row has no `{name}`"))
                    .found("which note?")
                    .expected("the name of a note, A0 to C8")
                    .remedy("write the note, or take the row out"),
            );
            return None;
        };
        let read = key_number(&cell.text, self.compass).or_else(|| spelling::note(&cell.text));
        let number = read.map(|note| note.to_string());
        let text = number.as_deref().unwrap_or(&cell.text);
        match note(&format!("`{name}`"), text, Some(self.compass), &cell.at) {
            Ok(note) => {
                if cell.text != note.to_string() {
                    self.desk.spelled(cell.at.place().file, &cell.text, note);
                }
                Some(note)
            }
            Err(fault) => {
                let digits = cell.text.trim().bytes().all(|byte| byte.is_ascii_digit());
                let numbered = fault.kind == FaultKind::NotANote && digits;
                let counted = spelling::letter_with_key(&cell.text);
                self.desk.fault(if let Some(note) = counted {
                    fault.found(format!("key {} is {note}", note.key())).remedy(
                        "where the number is that of the key, write it alone, or write the note with its octave, \
                         in every row: C4 is middle C here, not key 4",
                    )
                } else if numbered {
                    fault.remedy(
                        "key numbers go from 1, which is A0, to 88, which is C8, on a piano that begins \
                         at A0; or write the note: A0, C#3, Bb4",
                    )
                } else {
                    *fault
                });
                None
            }
        }
    }

    pub fn length(&self, name: &str) -> Option<Measured<Length>> {
        self.measured(name, Unit::Millimetres, |error, of, value: Length| match of {
            ErrorOf::Length => Some(error.of_length(value)),
            ErrorOf::Core => Some(error.of_core()),
            ErrorOf::Over => Some(error.of_over()),
            ErrorOf::Centre => Some(error.centre),
            ErrorOf::Bore => Some(error.bore),
            ErrorOf::Mass | ErrorOf::Rake | ErrorOf::None => None,
        })
    }

    pub fn mass(&self, name: &str) -> Option<Measured<Mass>> {
        self.measured(name, Unit::Grams, |error, of, _| (of == ErrorOf::Mass).then_some(error.mass))
    }

    pub fn angle(&self, name: &str) -> Option<Measured<Angle>> {
        self.measured(
            name,
            Unit::Degrees,
            |error, of, _| if of == ErrorOf::Rake { error.rake } else { None },
        )
    }

    pub fn mass_per_length(&self, name: &str) -> Option<Measured<LinearMassDensity>> {
        self.measured(name, Unit::GramsPerMetre, |_, _, _| None)
    }

    pub fn force(&self, name: &str) -> Option<Measured<Force>> {
        self.measured(name, Unit::Newtons, |_, _, _| None)
    }

    pub fn frequency(&self, name: &str) -> Option<Measured<Frequency>> {
        self.measured(name, Unit::Hertz, |_, _, _| None)
    }

    /// A quantity with the uncertainty stated, else that of the tool, else none.
    fn measured<Q: Written>(
        &self,
        name: &str,
        kind: Unit,
        tool: impl Fn(&ReadingError, ErrorOf, Q) -> Option<Q>,
    ) -> Option<Measured<Q>> {
        let (column, cell) = self.cell(name, |unit| unit == kind)?;
        let read = match in_unit::<Q>(&cell.text, column.unit) {
            Ok(read) => read,
            Err(fault) => {
                self.desk.fault(no_reading(column, cell, &fault));
                return None;
            }
        };
        let edge = |value: f64| Some(in_unit::<Q>(&value.to_string(), unit_word(kind)).ok()?.value);
        let range = column.reading.range.and_then(|(low, high)| edge(low).zip(edge(high)));
        if range.is_some_and(|(low, high)| !within(read.value, low, high)) {
            self.impossible(column, cell);
            return None;
        }
        let sd = read.sd.or_else(|| tool(&self.error, column.reading.error, read.value));
        Some(Measured::new(read.value, sd.unwrap_or_else(|| Q::from_si(0.0))))
    }

    fn impossible(&self, column: &Column, cell: &Cell) {
        let found = with_unit(&cell.text, column.unit);
        let title = format!("`{}`", column.label());
        self.desk.fault(impossible(&title, &found, &range_words(column), &cell.at));
    }

    /// A pure number.
    pub fn pure(&self, name: &str) -> Option<Measured<f64>> {
        let (column, cell) = self.cell(name, |unit| unit == Unit::Pure)?;
        let (value, spread) = text::split_uncertainty(&cell.text);
        let number = |text: &str| match text::split_number(text) {
            Some((number, "")) if number.is_finite() => Some(number),
            _ => None,
        };
        let (low, high) = column.reading.range.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        match (number(value), spread.map_or(Some(0.0), number)) {
            (Some(value), Some(sd)) if (low..=high).contains(&value) && sd >= 0.0 => {
                Some(Measured::new(value, sd))
            }
            (Some(_), Some(_)) => {
                self.impossible(column, cell);
                None
            }
            _ => {
                self.not_a_number(name, cell, "a pure number such as 0.00042");
                None
            }
        }
    }

    fn not_a_number(&self, name: &str, cell: &Cell, expected: &str) {
        self.desk.fault(
            Fault::new(
                FaultKind::NotANumber,
                &cell.at,
                format!("`{name}` is \"{}\", not {expected}", shown(&cell.text)),
            )
            .found("not such a number")
            .expected(expected)
            .remedy("write the number, or leave the cell empty"),
        );
    }

    /// A small whole number.
    pub fn count(&self, name: &str) -> Option<u8> {
        let (column, cell) = self.cell(name, |unit| matches!(unit, Unit::Count(..)))?;
        let Unit::Count(low, high) = column.reading.unit else { return None };
        let whole = spelling::whole(&cell.text).parse::<u32>().ok();
        let fits = whole.filter(|n| (low..=high).contains(n));
        if fits.is_none() {
            let words = format!("a whole number from {low} to {high}");
            self.desk.fault(impossible(&format!("`{name}`"), &cell.text, &words, &cell.at));
        }
        fits.map(|n| n as u8)
    }

    /// True where the cell says so; an empty one is false.
    pub fn flag(&self, name: &str) -> bool {
        let Some((_, cell)) = self.cell(name, |unit| unit == Unit::Flag) else { return false };
        match cell.text.to_ascii_lowercase().as_str() {
            "true" | "yes" | "1" => true,
            "false" | "no" | "0" => false,
            _ => {
                self.unknown_word(name, cell, &["true", "false"]);
                false
            }
        }
    }

    /// One of the words of the dictionary.
    pub fn word<T: Copy>(&self, name: &str, words: &[(&'static str, T)]) -> Option<T> {
        let (_, cell) = self.cell(name, |unit| matches!(unit, Unit::Choice(_)))?;
        let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(&cell.text));
        if found.is_none() {
            let names: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            self.unknown_word(name, cell, &names);
        }
        found.map(|(_, value)| *value)
    }

    fn unknown_word(&self, name: &str, cell: &Cell, words: &[&str]) {
        let all = any_of(words.iter().copied());
        self.desk.fault(
            Fault::new(
                FaultKind::UnknownWord,
                &cell.at,
                format!("`{name}` cannot be \"{}\"", shown(&cell.text)),
            )
            .found("none of the words that may stand here")
            .expected(all.clone())
            .remedy(format!("write {all}, or leave the cell empty")),
        );
    }

    /// A name, with its place.
    pub fn name(&self, name: &str) -> Option<(&str, &At)> {
        let (_, cell) = self.cell(name, |unit| unit == Unit::Name)?;
        Some((&cell.text, &cell.at))
    }

    /// A music wire number as written, with its place.
    pub fn gauge(&self, name: &str) -> Option<(&str, &At)> {
        let (_, cell) = self.cell(name, |unit| unit == Unit::Gauge)?;
        Some((&cell.text, &cell.at))
    }
}
