//! The text of one cell: its quantity in the unit of its column, and how it is spoken of.

use super::columns::Column;
use super::fault::{Fault, FaultKind};
use super::quantity::quantity_fault;
use super::table::Cell;
use super::words::shown;
use crate::instrument::reading::Unit;
use crate::measure::text::{self, QuantityFault, Written};
use crate::measure::{mm, to_inches};

/// What a reading is, and what is possible in the unit of its column.
pub(super) fn range_words(column: &Column) -> String {
    let (reading, (low, high)) = (column.reading, column.reading.range.unwrap_or_default());
    let range = if column.unit == "cm" {
        format!("{} to {} cm", low / 10.0, high / 10.0)
    } else if column.unit == "in" {
        format!("{:.3} to {:.3} in", to_inches(mm(low)), to_inches(mm(high)))
    } else {
        format!("{low} to {high} {}", unit_word(reading.unit))
    };
    format!("{}: {range}", reading.sense).trim_end().to_owned()
}

/// A number as written, with the unit of its column when it has none of its own.
pub(super) fn with_unit(text: &str, unit: &str) -> String {
    let bare = text::split_number(text).is_some_and(|(_, rest)| rest.is_empty());
    if bare && !unit.is_empty() { format!("{text} {unit}") } else { text.to_owned() }
}

/// How the quantity parser spells the unit of a column.
pub(super) fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetres => "mm",
        Unit::Grams => "g",
        Unit::GramsPerMetre => "g/m",
        Unit::Newtons => "N",
        Unit::Hertz => "Hz",
        Unit::Degrees => "°",
        _ => "",
    }
}

/// The fault of a cell that is not the reading of its column.
pub(super) fn no_reading(column: &Column, cell: &Cell, fault: &QuantityFault) -> Fault {
    let (name, unit) = (format!("`{}`", column.label()), unit_word(column.reading.unit));
    let made = quantity_fault(&name, &cell.text, fault, &cell.at, &format!("\"980 {unit}\""));
    if column.unit.is_empty() {
        return made;
    }
    let made = made.remedy(
        "write the number alone, with a decimal point; leave the cell empty when it was not read",
    );
    if made.kind == FaultKind::DecimalComma && made.found == "a comma and a point" {
        return made.remedy("write the number without a mark between the thousands: 1205.5");
    }
    if let QuantityFault::UnknownUnit { found, .. } = fault
        && found
            .trim_start_matches(['/', '⁄', '-', '\'', ' '])
            .starts_with(|c: char| c.is_ascii_digit())
    {
        return more_than_one(column, cell);
    }
    let made = if column.reading.name == "over" {
        made.remedy("write the number alone, with a decimal point; an empty cell says that the string is plain")
    } else {
        made
    };
    let digits = cell.text.replace(['O', 'o'], "0").replace(['l', 'I'], "1");
    let meant = text::split_number(&digits).is_some_and(|(_, rest)| rest.is_empty());
    if meant && digits != cell.text {
        return made.found("a letter among the digits").fix(digits);
    }
    match (made.kind, cell.text.matches(',').count()) {
        (FaultKind::DecimalComma, 1) if !cell.text.contains('.') => {
            made.fix(cell.text.replace(',', "."))
        }
        (FaultKind::WrongUnit | FaultKind::UnknownUnit, _) => made,
        _ => made.expected(number_words(column)),
    }
}

/// What belongs into a cell of the column.
fn number_words(column: &Column) -> String {
    let unit = if column.unit == "in" { "inches" } else { column.unit };
    format!("a number in {unit}, as the head of the column says")
}

/// The fault of two numbers in one cell, or of a fraction that may be read in two ways.
fn more_than_one(column: &Column, cell: &Cell) -> Fault {
    let title =
        format!("`{}` is \"{}\", which is not one number", column.label(), shown(&cell.text));
    Fault::new(FaultKind::NotANumber, &cell.at, title)
        .found("more than one number, or a fraction that may be read in two ways")
        .expected(number_words(column))
        .remedy(
            "write one number: 1205.5 without a space between the thousands, 33.5 or 33 1/2 with one before \
             the fraction; feet and inches as inches",
        )
}

/// A cell's quantity: with its own unit, or in the unit of its column.
pub(super) fn in_unit<Q: Written>(
    text: &str,
    unit: &str,
) -> Result<text::Reading<Q>, QuantityFault> {
    match text::parse::<Q>(text) {
        Err(QuantityFault::NoUnit { .. }) if !unit.is_empty() => {
            let (value, spread) = text::split_uncertainty(text);
            let spread = spread.map_or(String::new(), |spread| format!(" ± {spread}"));
            text::parse::<Q>(&format!("{value} {unit}{spread}"))
        }
        other => other,
    }
}
