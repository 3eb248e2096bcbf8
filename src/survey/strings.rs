//! `[strings]`: one row per note, and what the readings of one row must agree on.

use super::columns::{Reader, Row};
use super::fault::{Fault, FaultKind};
use super::materials::{For, Materials};
use super::tree::Keys;
use super::{closure, table};
use crate::instrument::reading::Table;
use crate::instrument::{CoreShape, Loop, Section, StringRow, WireRun};
use crate::measure::{Inharmonicity, Length, Measured, Note, mm, to_mm};
use crate::stock::{WireFault, WireNumber, WireSeries, WireSize};

/// What rows are read with, beside the reader itself.
#[derive(Clone, Copy)]
pub(super) struct Strings<'d> {
    pub reader: Reader<'d>,
    pub materials: &'d Materials<'d>,
    pub gauge: Option<WireSeries>,
    pub sections: &'d [Section],
}

impl<'d> Strings<'d> {
    /// Rows and wire runs of `[strings]`.
    pub fn read(&self, root: &Keys<'d>) -> (Vec<StringRow>, Vec<WireRun>) {
        let Some(keys) = root.table("strings") else { return (Vec::new(), Vec::new()) };
        let rows = rows(&keys, &self.reader, "table", "row", Table::Strings, &["note"]);
        let runs = rows_of_runs(&keys, &self.reader);
        keys.finish();
        let mut strings: Vec<(StringRow, Row)> = Vec::new();
        for row in rows {
            let Some(read) = self.row(&row) else { continue };
            if let Some((_, first)) = strings.iter().find(|(other, _)| other.note == read.note) {
                self.reader.desk.fault(note_twice(read.note, &row, first));
            }
            strings.push((read, row));
        }
        let mut strings: Vec<_> = strings.into_iter().map(|(read, _)| read).collect();
        strings.sort_by_key(|row| row.note);
        (strings, super::runs::read(self, runs))
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
        layers(row, &read);
        ends(row, &read);
        self.kind(row, &read);
        closure::check(self.reader.desk, &read);
        Some(read)
    }

    /// The wire by diameter, by number, or by both when they agree.
    pub fn core(
        &self,
        row: &Row,
        core: &str,
        gauge: &str,
    ) -> (Option<Measured<Length>>, Option<WireSize>) {
        let read = row.length(core);
        let size = row.gauge(gauge).and_then(|(text, _)| self.size(row, gauge, text));
        let Some(size) = size else { return (read, None) };
        let nominal = size.diameter();
        match read {
            Some(read) => {
                let apart = (to_mm(read.value) - to_mm(nominal)).abs();
                if apart > AGREE_MM {
                    row.desk().fault(
                        Fault::new(
                            FaultKind::GaugeDisagrees,
                            &row.at(core),
                            format!(
                                "wire {} is {:.3} mm thick, and the reading beside it {:.3} mm",
                                size.number(),
                                to_mm(nominal),
                                to_mm(read.value)
                            ),
                        )
                        .found("the reading")
                        .expected(format!(
                            "a reading within {AGREE_MM} mm of the number, or only one of the two"
                        ))
                        .remedy("measure again and keep the reading; leave the number's cell empty")
                        .also(&row.at(gauge), "the number"),
                    );
                }
                (Some(read), Some(size))
            }
            None => (Some(Measured::new(nominal, self.reader.error.core)), Some(size)),
        }
    }

    fn size(&self, row: &Row, gauge: &str, text: &str) -> Option<WireSize> {
        let at = row.at(gauge);
        let fault = match (WireNumber::parse(text), self.gauge) {
            (Ok(number), Some(series)) => match number.in_series(series) {
                Some(size) => return Some(size),
                None => WireFault::NotInSeries { number, series },
            },
            (Ok(number), None) => {
                row.desk().fault(without_series(number, &at));
                return None;
            }
            (Err(fault), _) => fault,
        };
        row.desk().fault(
            Fault::new(FaultKind::BadGauge, &at, fault.to_string())
                .found("no such wire number")
                .expected("a music wire number, halves included: 15, 15.5 or 15½")
                .remedy(
                    "read the number again, or measure the wire and write its diameter as core_mm",
                ),
        );
        None
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

/// A wire number and a diameter beside it may be this far apart: three half sizes would show.
const AGREE_MM: f64 = 0.04;

fn without_series(number: WireNumber, at: &super::source::At) -> Fault {
    let described = WireSeries::ALL.map(|series| match number.in_series(series) {
        Some(size) => format!("{:.3} mm in the {} series", to_mm(size.diameter()), series.name()),
        None => format!("not in the {} series", series.name()),
    });
    Fault::new(FaultKind::GaugeWithoutSeries, at, format!("wire number {number} means two diameters"))
        .found(format!("{}, {}", described[0], described[1]))
        .expected("[wire] gauge = \"inch\" or \"metric\" in survey.toml")
        .remedy("measure one wire of known number with a micrometer and write the series that fits under [wire]")
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
        Some(item) => {
            table::read(&item).map_or_else(Vec::new, |cells| reader.rows(cells, table, needed))
        }
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

/// Diameters from the core outwards, and no readings of a winding on a plain string.
fn layers(row: &Row, read: &StringRow) {
    let Some(over) = read.over else {
        let winding =
            ["wrap", "under", "bare_front", "bare_back", "under_bare_front", "under_bare_back"];
        if let Some(name) = winding.into_iter().find(|name| row.has(name) && read.core.is_some()) {
            row.desk().fault(
                Fault::new(FaultKind::WindingWithoutOver, &row.at(name), format!("{} has a reading of a winding, but no diameter over it", read.note))
                    .found("speaks of a winding")
                    .expected("over_mm beside it; a string without over_mm is a plain one")
                    .remedy("measure over the winding with a micrometer and fill in over_mm, or empty this cell"),
            );
        }
        return;
    };
    let Some(core) = read.core else { return };
    let hex = read.shape == Some(CoreShape::Hex);
    let corners = if hex { core.value * (2.0 / 3.0_f64.sqrt()) } else { core.value };
    let inner = if hex { "the corners of the hexagonal core" } else { "the core" };
    if over.value <= corners {
        smaller(row, "over", "the diameter over the winding", over.value, inner, corners);
    } else if let Some(under) = read.under {
        if under.value <= corners {
            smaller(
                row,
                "under",
                "the diameter over the inner winding",
                under.value,
                inner,
                corners,
            );
        } else if under.value >= over.value {
            smaller(
                row,
                "over",
                "the diameter over the winding",
                over.value,
                "the inner winding",
                under.value,
            );
        }
    }
}

fn smaller(row: &Row, name: &str, what: &str, outer: Length, inside: &str, inner: Length) {
    row.desk().fault(
        Fault::new(
            FaultKind::OverSmallerThanCore,
            &row.at(name),
            format!(
                "{what} is {:.3} mm, no more than {inside} at {:.3} mm",
                to_mm(outer),
                to_mm(inner)
            ),
        )
        .found("too small to hold what lies under it")
        .expected(format!("more than {:.3} mm", to_mm(inner)))
        .remedy("measure again; perhaps the two were exchanged. A plain string has no over_mm"),
    );
}

/// Bare ends and strike point must find room on the string.
fn ends(row: &Row, read: &StringRow) {
    let Some(length) = read.length else { return };
    let all = [
        ("bare_front", read.bare_front, read.bare_back),
        ("under_bare_front", read.under_bare_front, read.under_bare_back),
    ];
    for (name, front, back) in all {
        let bare = [front, back].into_iter().flatten().fold(mm(0.0), |sum, end| sum + end.value);
        if bare >= length.value {
            let name =
                if front.is_some() { name.to_owned() } else { name.replace("front", "back") };
            row.desk().fault(
                Fault::new(
                    FaultKind::BareEndsTooLong,
                    &row.at(&name),
                    format!("{} has {:.1} mm of bare ends on a string of {:.1} mm", read.note, to_mm(bare), to_mm(length.value)),
                )
                .found("no room for a winding")
                .expected(format!("together less than {:.1} mm", to_mm(length.value)))
                .remedy("measure bare core only, between termination and winding, and the speaking length from termination to termination"),
            );
        }
    }
    if let Some(strike) = read.strike.filter(|strike| strike.value >= length.value) {
        row.desk().fault(
            Fault::new(
                FaultKind::StrikeBeyondString,
                &row.at("strike"),
                format!(
                    "{} is struck at {:.1} mm, beyond its {:.1} mm",
                    read.note,
                    to_mm(strike.value),
                    to_mm(length.value)
                ),
            )
            .found("beyond the end of the string")
            .expected(format!("less than {:.1} mm, usually an eighth of it", to_mm(length.value)))
            .remedy("measure from the termination at the hammer's end to where the hammer strikes"),
        );
    }
}
