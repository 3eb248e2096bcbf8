//! `[stock]` and `[rescale]`: what can be bought, and what the strings should become.

use super::fault::{Fault, FaultKind};
use super::gauge::{bad_gauge, wire_number, without_series};
use super::item::Item;
use super::possible;
use super::tree::Keys;
use crate::instrument::{ALTERNATIVES, CoreShape, Supply};
use crate::measure::{Compass, Force, Note};
use crate::stock::{WindingSizes, WireFault, WireSeries, WireSize};

/// `gauge` is the series of `[wire]`, which `[stock]` may name otherwise.
pub(super) fn read(root: &Keys, compass: Compass, gauge: Option<WireSeries>) -> Supply {
    let mut supply = Supply { series: gauge, ..Supply::default() };
    if let Some(keys) = root.table("stock") {
        let series = keys.word("gauge", &WireSeries::ALL.map(|series| (series.name(), series)));
        supply.series = series.or(gauge);
        let sizes = |key| {
            let read = keys.get(key).map(|item| self::sizes(&item, supply.series));
            read.unwrap_or_default()
        };
        supply.plain = sizes("plain");
        supply.cores = sizes("core");
        supply.winding = keys.get("winding").and_then(|item| windings(&item));
        supply.shapes = keys.get("core_shapes").map_or_else(Vec::new, |item| shapes(&item));
        keys.finish();
    }
    if let Some(keys) = root.table("rescale") {
        supply.choose = keys.word("choose", &ALTERNATIVES.map(|name| (name, name)));
        supply.line = keys.get("line").map_or_else(Vec::new, |item| line(&item, compass));
        keys.finish();
    }
    supply
}

/// Music wire numbers: `[13, 13.5, "14½"]`.
fn sizes(item: &Item, series: Option<WireSeries>) -> Vec<WireSize> {
    let list = item.list("write the sizes in a list: plain = [13, 13.5, 14]").unwrap_or_default();
    let mut sizes: Vec<WireSize> = list.iter().filter_map(|item| size(item, series)).collect();
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

fn size(item: &Item, series: Option<WireSeries>) -> Option<WireSize> {
    let Some((text, _)) = item.scalar() else {
        return item.wrong_type("a music wire number", "write it like this: 15.5");
    };
    let fault = match (wire_number(&text), series) {
        (Ok(number), Some(series)) => match number.in_series(series) {
            Some(size) => return Some(size),
            None => WireFault::NotInSeries { number, series },
        },
        (Ok(number), None) => {
            item.desk.fault(without_series(number, &item.at));
            return None;
        }
        (Err(fault), _) => fault,
    };
    item.desk.fault(bad_gauge(&fault, &text, &item.at));
    None
}

fn windings(item: &Item) -> Option<WindingSizes> {
    let list = item.list("write the diameters in a list: winding = [\"0.30 mm\", \"0.35 mm\"]")?;
    let sizes: Vec<_> = list
        .iter()
        .filter_map(|item| item.quantity("0.30 mm", possible::winding_wire()))
        .map(|read| read.value)
        .collect();
    if sizes.len() == list.len() && sizes.is_empty() {
        item.desk.fault(
            Fault::new(FaultKind::MissingKey, &item.at, format!("{} is empty", item.name))
                .found("no size in it")
                .expected("at least one diameter")
                .remedy("write the diameters, or take the line out"),
        );
    }
    WindingSizes::own(sizes)
}

fn shapes(item: &Item) -> Vec<CoreShape> {
    let list = item.list("write the shapes in a list: core_shapes = [\"round\", \"hex\"]");
    let words = [("round", CoreShape::Round), ("hex", CoreShape::Hex)];
    list.unwrap_or_default().iter().filter_map(|item| item.word(&words)).collect()
}

/// `[{ note = "A0", tension = "950 N" }, { note = "C8", tension = "620 N" }]`, in any order.
fn line(item: &Item, compass: Compass) -> Vec<(Note, Force)> {
    let list =
        item.list("write the points in a list: line = [{ note = \"A0\", tension = \"950 N\" }, …]");
    let mut line: Vec<(Note, Force)> = Vec::new();
    for item in list.unwrap_or_default() {
        let Some(keys) = item.keys() else { continue };
        let note_item = keys.need("note", "write the note: note = \"A0\"");
        let note = note_item.as_ref().and_then(|item| item.note(Some(compass)));
        let tension = keys
            .need("tension", "write the tension of one string: tension = \"950 N\"")
            .and_then(|item| item.quantity("950 N", possible::tension()));
        keys.finish();
        let (Some(note), Some(tension), Some(at)) = (note, tension, note_item) else { continue };
        if line.iter().any(|other| other.0 == note) {
            at.desk.fault(
                Fault::new(
                    FaultKind::NoteTwice,
                    &at.at,
                    format!("{} names {note} twice", item.name),
                )
                .found("a second tension of the note")
                .expected("each note once")
                .remedy("take one of the two out"),
            );
            continue;
        }
        line.push((note, tension.value));
    }
    line.sort_by_key(|point| point.0);
    line
}
