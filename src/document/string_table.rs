//! The order of strings as CSV: one row a line of the order, its kind first; then, for whoever adds the
//! sums up again, one row a note of plain strings.

use super::csv::{Cell, table};
use super::shapes::{core_shape, hitch};
use crate::measure::{Length, to_grams, to_metres, to_mm};
use crate::order::strings::{
    LayerLine, PinLine, PlainLine, StringOrder, Unread, Wire, WireLine, WoundLine,
};
use crate::report::Report;

const HEADS: [&str; 31] = [
    "kind",
    "number",
    "note",
    "to_note",
    "section",
    "strings",
    "spares",
    "gauge",
    "series",
    "wire_mm",
    "shape",
    "material",
    "winding_mm",
    "winding_material",
    "outer_winding_mm",
    "outer_winding_material",
    "over_mm",
    "loop",
    "back_mm",
    "winding_start_mm",
    "winding_end_mm",
    "outer_winding_start_mm",
    "outer_winding_end_mm",
    "speaking_mm",
    "front_mm",
    "total_mm",
    "wires",
    "metres",
    "mass_g",
    "coils",
    "not_read",
];

/// A row of empty cells, filled by the names of their heads.
struct Row(Vec<Cell>);

impl Row {
    fn of(kind: &str) -> Self {
        Self(vec![Cell::Empty; HEADS.len()]).with("kind", kind)
    }

    fn with(mut self, head: &str, cell: impl Into<Cell>) -> Self {
        let at = HEADS.iter().position(|name| *name == head);
        debug_assert!(at.is_some(), "no column {head}");
        if let Some(at) = at {
            self.0[at] = cell.into();
        }
        self
    }

    fn mm(self, head: &str, length: Option<Length>, places: u8) -> Self {
        self.with(head, Cell::fixed(length.map(to_mm), places))
    }

    fn count(self, head: &str, count: usize) -> Self {
        self.with(head, Cell::count(count as u64))
    }

    fn wire(self, wire: Wire, material: &str) -> Self {
        let size = wire.size;
        self.with("gauge", size.map_or(Cell::Empty, |size| size.to_string().into()))
            .with("series", size.map_or(Cell::Empty, |size| size.series().name().into()))
            .mm("wire_mm", Some(wire.diameter), 3)
            .with("material", material.to_owned())
    }
}

/// The whole order.
pub fn strings(report: &Report, order: &StringOrder) -> String {
    let section = |index: usize| report.instrument.sections[index].name.clone();
    let wound = order.wound.iter().map(|line| wound(line).with("section", section(line.section)));
    let wire = order.wire.iter().flat_map(wire);
    let pins = order.pins.iter().filter(|line| line.is_ordered()).map(pins);
    let plain = order.plain.iter().map(|line| plain(line).with("section", section(line.section)));
    let rows: Vec<Vec<Cell>> =
        wound.chain(wire).chain(pins).chain(plain).map(|row| row.0).collect();
    table(&HEADS, &rows)
}

fn wound(line: &WoundLine) -> Row {
    let unread: Vec<&str> = line.pattern_for.iter().copied().map(Unread::words).collect();
    let row = Row::of("wound")
        .count("number", line.number)
        .with("note", line.note.to_string())
        .count("strings", usize::from(line.strings))
        .count("spares", line.spares)
        .with("shape", core_shape(line.shape))
        .with("loop", line.ends.hitch.map_or(Cell::Empty, |kind| hitch(kind).into()))
        .mm("back_mm", line.ends.back.read(), 1)
        .mm("speaking_mm", Some(line.speaking), 1)
        .mm("front_mm", line.ends.front.read(), 1)
        .mm("total_mm", line.total, 1)
        .with("not_read", unread.join("; "));
    // Sizes taken from the neighbours are no order: the pattern is.
    if line.all_as_pattern() {
        return row;
    }
    let row = row.wire(line.core, &line.material.name).mm("over_mm", Some(line.over), 2);
    let layer = |row: Row, layer: &LayerLine, outer: &str| {
        row.mm(&format!("{outer}winding_mm"), Some(layer.wire), 2)
            .with(&format!("{outer}winding_material"), layer.material.name.clone())
            .mm(&format!("{outer}winding_start_mm"), layer.start, 1)
            .mm(&format!("{outer}winding_end_mm"), layer.end, 1)
    };
    match line.layers.as_slice() {
        [] => row,
        [one] => layer(row, one, ""),
        [inner, .., outer] => layer(layer(row, inner, ""), outer, "outer_"),
    }
}

/// One row a run of notes; the sums of the size stand in the first.
fn wire(line: &WireLine) -> Vec<Row> {
    let run = |(index, (first, last)): (usize, &(crate::measure::Note, crate::measure::Note))| {
        let row = Row::of("wire")
            .wire(line.wire, &line.material.name)
            .with("note", first.to_string())
            .with("to_note", last.to_string());
        if index > 0 {
            return row;
        }
        let short = if line.short_of > 0 {
            format!("back or front of {} strings: more than this", line.short_of)
        } else {
            String::new()
        };
        row.count("strings", line.strings)
            .count("wires", line.wires)
            .with("metres", Cell::fixed(Some(to_metres(line.metres)), 2))
            .with("mass_g", Cell::fixed(Some(to_grams(line.mass)), 1))
            .count("coils", line.coils)
            .with("not_read", short)
    };
    line.runs.iter().enumerate().map(run).collect()
}

fn pins(line: &PinLine) -> Row {
    let size = line.size();
    let count = line.pins.filter(|_| line.all_change());
    Row::of("pins")
        .with("section", line.region.clone())
        .with("strings", count.map_or(Cell::Empty, |count| Cell::count(count as u64)))
        .with("gauge", size.map_or(Cell::Empty, |size| size.size.clone().into()))
        .mm("wire_mm", size.map(|size| size.nominal), 2)
        .with("not_read", if line.found.is_none() { "size of the old pins" } else { "" })
}

fn plain(line: &PlainLine) -> Row {
    let ends = &line.ends;
    let unread: Vec<&str> = [("back", ends.back.known()), ("front", ends.front.known())]
        .into_iter()
        .filter_map(|(name, known)| known.is_none().then_some(name))
        .collect();
    Row::of("plain")
        .with("note", line.note.to_string())
        .count("strings", usize::from(line.strings))
        .wire(line.wire, &line.material.name)
        .with("loop", ends.hitch.map_or(Cell::Empty, |kind| hitch(kind).into()))
        .mm("back_mm", ends.back.known(), 1)
        .mm("speaking_mm", Some(line.speaking), 1)
        .mm("front_mm", ends.front.known(), 1)
        .mm("total_mm", line.one_string(), 1)
        .with("not_read", unread.join("; "))
}
