//! `[strings]`: one row per note, and what the readings of one row must agree on.

use super::columns::Reader;
use super::fault::{Fault, FaultKind};
use super::materials::{For, Materials};
use super::row::Row;
use super::tree::Keys;
use super::{agree, closure, string_wishes, table};
use crate::instrument::reading::Table;
use crate::instrument::{CoreShape, Loop, Section, StringRow, StringWishes, WireRun};
use crate::measure::{Inharmonicity, Note};
use crate::stock::WireSeries;

/// What rows are read with, beside the reader itself.
#[derive(Clone, Copy)]
pub(super) struct Strings<'d> {
    pub reader: Reader<'d>,
    pub materials: &'d Materials<'d>,
    pub gauge: Option<WireSeries>,
    pub sections: &'d [Section],
}

impl<'d> Strings<'d> {
    /// Rows and wire runs of `[strings]`, and what it asks of an order.
    pub fn read(&self, root: &Keys<'d>) -> (Vec<StringRow>, Vec<WireRun>, StringWishes) {
        let Some(keys) = root.table("strings") else {
            return (Vec::new(), Vec::new(), StringWishes::default());
        };
        let rows = rows(&keys, &self.reader, "table", "row", Table::Strings, &["note"]);
        let runs = rows_of_runs(&keys, &self.reader);
        let wishes = string_wishes::read(&keys, self.reader.compass, self.sections);
        keys.finish();
        let mut strings: Vec<(StringRow, Row)> = Vec::new();
        for row in rows {
            let Some(read) = self.row(&row) else { continue };
            if let Some((_, first)) = strings.iter().find(|(other, _)| other.note == read.note) {
                self.reader.desk.fault(note_twice(read.note, &row, first));
            }
            if row.is_ready() {
                continue;
            }
            strings.push((read, row));
        }
        let mut strings: Vec<_> = strings.into_iter().map(|(read, _)| read).collect();
        strings.sort_by_key(|row| row.note);
        (strings, super::runs::read(self, runs), wishes)
    }

    fn row(&self, row: &Row) -> Option<StringRow> {
        let note = row.note("note");
        let mut read = StringRow::empty(note.unwrap_or(Note::A0), row.place());
        read.strings = row.count("strings");
        read.length = row.length("length");
        (read.core, read.size) = self.core(row, "core", "core_gauge");
        read.shape =
            row.word("core_shape", &[("round", CoreShape::Round), ("hex", CoreShape::Hex)]);
        read.over = row.length("over");
        read.wrap_wire = row.length("wrap");
        read.under = row.length("under");
        read.wrap =
            row.name("wrap").and_then(|(name, at)| self.materials.find(name, at, For::Winding));
        read.bare_front = row.length("bare_front");
        read.bare_back = row.length("bare_back");
        read.under_bare_front = row.length("under_bare_front");
        read.under_bare_back = row.length("under_bare_back");
        read.strike = row.length("strike");
        read.material =
            row.name("material").and_then(|(name, at)| self.materials.find(name, at, For::Wire));
        read.mass_per_length = row.mass_per_length("mass_per_length");
        read.breaking_load = row.force("breaking_load");
        read.back = row.length("back");
        read.front = row.length("front");
        read.hitch = row.word(
            "loop",
            &[("single", Loop::Single), ("double", Loop::Double), ("tied", Loop::Tied)],
        );
        read.spacing = row.length("spacing");
        read.replaced = row.flag("replaced");
        read.f1 = row.frequency("f1");
        read.inharmonicity = row.pure("inharmonicity").map(|read| read.map(Inharmonicity));
        note?;
        agree::layers(row, &read);
        agree::ends(row, &read);
        self.kind(row, &read);
        closure::check(self.reader.desk, &read);
        Some(read)
    }

    /// A winding where the section says that there is none any more.
    fn kind(&self, row: &Row, read: &StringRow) {
        let section = self.sections.iter().find(|section| section.notes.contains(read.note));
        let Some(last) = section.and_then(|section| section.wound_to) else { return };
        if read.over.is_some() && read.note > last {
            row.desk().fault(
                Fault::new(
                    FaultKind::WoundToDisagrees,
                    &row.at("over"),
                    format!(
                        "{} has a winding, but the section says that the last wound note is {last}",
                        read.note
                    ),
                )
                .found("a winding above the last wound note")
                .expected(format!("no over_mm above {last}"))
                .remedy(format!(
                    "empty the cell, or write wound_to = \"{}\" for the section",
                    read.note
                )),
            );
        }
    }
}

/// Rows of a table file or of `[[strings.row]]`, whichever is there.
pub(super) fn rows<'d>(
    keys: &Keys<'d>,
    reader: &Reader<'d>,
    file: &'static str,
    inline: &'static str,
    table: Table,
    needed: &[&'static str],
) -> Vec<Row<'d>> {
    let item = keys.get(file);
    let inline = keys.tables(inline);
    if let (Some(item), Some(first)) = (&item, inline.first()) {
        reader.desk.fault(
            Fault::new(
                FaultKind::TableAndRows,
                &first.at,
                "rows stand here, and a table is named as well",
            )
            .found("the rows")
            .expected("either a table file, or rows in survey.toml")
            .remedy("move these rows into the table, or take the line that names it out")
            .also(&item.at, "the table"),
        );
        return Vec::new();
    }
    match item {
        Some(item) => table::read(&item, table)
            .map_or_else(Vec::new, |cells| reader.rows(cells, table, needed)),
        None => inline.iter().map(|keys| reader.inline(keys, table)).collect(),
    }
}

fn rows_of_runs<'d>(keys: &Keys<'d>, reader: &Reader<'d>) -> Vec<Row<'d>> {
    rows(keys, reader, "runs", "run", Table::Runs, &["from", "to"])
}

/// The fault of a second row for one note.
pub(super) fn note_twice(note: Note, row: &Row, first: &Row) -> Fault {
    Fault::new(FaultKind::NoteTwice, &row.at("note"), format!("{note} has two rows"))
        .found("again here")
        .expected("at most one row for each note")
        .remedy("take one of the two out, or correct its note")
        .also(&first.at("note"), "the first one")
}
