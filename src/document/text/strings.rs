//! `feltwire strings`: the order of strings, wire and pins; or the sheet for the bench.

use super::columns::{Align, Columns, item};
use super::head;
use crate::document::shapes::{core_shape, hitch};
use crate::document::string_words::{self, Cells, each_wire, notes_of, share_words, wire_name};
use crate::document::words::{Style, cell};
use crate::measure::{to_grams, to_metres, to_mm};
use crate::order::strings::{PinLine, StringOrder, WireLine, WoundLine};
use crate::report::Report;

/// The order: for the string maker, for the wire merchant, pins; what to settle first.
pub fn strings(report: &Report, order: &StringOrder) -> String {
    let style = Style::PLAIN;
    let mut text = head(report);
    text.push_str(&item("", &format!("Strung as: {}.", style.sentence(&order.scale))));
    for share in &order.sections {
        let why = style.sentence(&share.why);
        let many = share_words(share);
        text.push_str(&item("", &format!("{}: {many}{why}.", share.name)));
    }
    if order.is_empty() {
        text.push_str("\nNothing is ordered.\n");
    }
    text.push_str(&wound(order));
    text.push_str(&wire(order));
    text.push_str(&pins(order));
    let copied = string_words::copied_all_the_same(report, order);
    if copied.is_some() || !order.settle.is_empty() {
        text.push('\n');
    }
    if let Some(copied) = copied {
        text.push_str(&item("! ", &copied));
    }
    for said in &order.settle {
        text.push_str(&item("! ", &style.sentence(said)));
    }
    if !order.enclose.is_empty() {
        text.push_str("\nGoes with the order of wound strings\n");
        for said in &order.enclose {
            text.push_str(&item("  - ", &style.sentence(said)));
        }
    }
    text
}

fn wound(order: &StringOrder) -> String {
    if order.wound.is_empty() {
        return String::new();
    }
    let mut table = Columns::new(&[
        ("no.", Align::Right),
        ("note", Align::Left),
        ("strings", Align::Left),
        ("core mm", Align::Right),
        ("shape", Align::Left),
        ("winding mm", Align::Right),
        ("over mm", Align::Right),
        ("loop", Align::Left),
        ("to pin", Align::Right),
        ("start", Align::Right),
        ("end", Align::Right),
        ("in all", Align::Right),
    ]);
    for line in &order.wound {
        table.row(wound_row(line));
    }
    format!(
        "\nWound strings: lengths from the loop\n{}{}\n",
        table.text(),
        item("", "“pattern”: not read; the old string goes with the order, labelled.").trim_end()
    )
}

fn wound_row(line: &WoundLine) -> Vec<String> {
    let cells = Cells::of(line, Style::PLAIN);
    vec![
        line.number.to_string(),
        line.note.to_string(),
        cells.strings,
        cells.core,
        core_shape(line.shape).to_owned(),
        cells.winding.replace(" + ", "+"),
        cells.over,
        line.ends.hitch.map_or("pattern", hitch).to_owned(),
        cells.back,
        cells.start,
        cells.end,
        cells.total,
    ]
}

fn wire(order: &StringOrder) -> String {
    if order.wire.is_empty() {
        return String::new();
    }
    let mut table = Columns::new(&[
        ("wire", Align::Left),
        ("mm", Align::Right),
        ("notes", Align::Left),
        ("strings", Align::Right),
        ("wires", Align::Right),
        ("metres", Align::Right),
        ("g", Align::Right),
        ("coils", Align::Right),
    ]);
    for line in &order.wire {
        table.row(wire_row(line));
    }
    let coil = Style::PLAIN
        .mass(crate::measure::Measured::new(order.allowances.coil, crate::measure::grams(0.0)));
    let waste = cell(Some(100.0 * order.allowances.waste), 0);
    format!(
        "\nPlain wire: {waste} % for waste included, coils of {coil}\n{}{}\n",
        table.text(),
        item("", &each_wire(&order.allowances, Style::PLAIN)).trim_end()
    )
}

fn wire_row(line: &WireLine) -> Vec<String> {
    let at_least = if line.short_of > 0 { ">" } else { "" };
    vec![
        wire_name(line.wire),
        cell(Some(to_mm(line.wire.diameter)), 3),
        notes_of(&line.runs, Style::PLAIN),
        line.strings.to_string(),
        line.wires.to_string(),
        format!("{at_least}{}", cell(Some(to_metres(line.metres)), 1)),
        format!("{at_least}{}", cell(Some(to_grams(line.mass)), 0)),
        format!("{}{}", if line.short_of > 0 { "≥" } else { "" }, line.coils),
    ]
}

fn pins(order: &StringOrder) -> String {
    if !order.orders_pins() {
        let why = if order.pins.is_empty() { "none was measured" } else { "none is to go" };
        return format!("\nNo tuning pin is ordered: {why}.\n");
    }
    let mut text = "\nTuning pins\n".to_owned();
    for line in order.pins.iter().filter(|line| line.is_ordered()) {
        text.push_str(&item("  ", &pin_words(line)));
    }
    text
}

fn pin_words(line: &PinLine) -> String {
    format!("{}: {}", line.region, string_words::pins(line, Style::PLAIN))
}

/// The sheet for the bench: every wire as it is cut, every wound string by its tag.
pub fn stringing(report: &Report, order: &StringOrder) -> String {
    let mut text = head(report);
    text.push_str(&item("", &format!("Strung as: {}.", Style::PLAIN.sentence(&order.scale))));
    text.push('\n');
    if order.is_empty() {
        text.push_str("Nothing is strung.\n");
        return text;
    }
    let mut table = Columns::new(&[
        ("note", Align::Left),
        ("strings", Align::Right),
        ("wire", Align::Left),
        ("mm", Align::Right),
        ("was mm", Align::Right),
        ("speaking mm", Align::Right),
        ("loop", Align::Left),
        ("cut", Align::Left),
    ]);
    for row in string_words::bench(report, order, Style::PLAIN) {
        table.row(row);
    }
    text.push_str(&table.text());
    text.push_str("* length not read at this note: cut a little longer\n\n");
    for said in string_words::bench_cautions(report.instrument.kind) {
        text.push_str(&item("! ", said));
    }
    text
}
