//! The order of strings, for string maker and wire merchant, and the sheet for the bench.

use super::order_facts::ship_to;
use super::sheet::{Column, Fact, Sheet};
use super::{capital, full, instrument_line, pitch, said};
use crate::document::shapes::{core_shape, hitch};
use crate::document::stamp::Stamp;
use crate::document::string_words::{
    Cells, bench, bench_cautions, copied_all_the_same, each_wire, notes_of, pins as pin_words,
    wire_name,
};
use crate::document::words::{Style, cell, list};
use crate::instrument::{CoreShape, Material};
use crate::measure::{Measured, Sentence, grams, mm, to_grams, to_inches, to_metres, to_mm};
use crate::order::strings::{SectionShare, StringOrder, Unread, WireLine, WoundLine, runs_of};
use crate::report::Report;
use crate::stock;
use serde::Serialize;

/// What the template of the string order reads.
#[derive(Debug, Clone, Serialize)]
pub struct StringOrderPages {
    instrument: String,
    job: Vec<Fact>,
    settle: Vec<String>,
    sections: Sheet,
    wound: Option<Sheet>,
    making: Vec<Fact>,
    remarks: Vec<String>,
    enclose: Vec<String>,
    wire: Option<Sheet>,
    wire_remarks: Vec<String>,
    pins: Vec<Fact>,
    receiving: Vec<String>,
}

/// What the template of the stringing sheet reads.
#[derive(Debug, Clone, Serialize)]
pub struct StringingSheet {
    instrument: String,
    job: Vec<Fact>,
    settle: Vec<String>,
    cautions: Vec<String>,
    strings: Sheet,
}

/// The pages of `order`.
pub fn string_order(report: &Report, order: &StringOrder, stamp: Stamp) -> StringOrderPages {
    let style = super::style(stamp);
    StringOrderPages {
        instrument: instrument_line(report),
        job: job(report, order, style),
        settle: settle(report, order, style),
        sections: sections(order, style),
        wound: (!order.wound.is_empty()).then(|| wound(order, style)),
        making: making(report, order, style),
        remarks: remarks(order, style),
        enclose: sentences(&order.enclose, style),
        wire: (!order.wire.is_empty()).then(|| wire(order, style)),
        wire_remarks: wire_remarks(order, style),
        pins: pins(order, style),
        receiving: sentences(&order.receiving, style),
    }
}

/// The sheet for the bench.
pub fn stringing_sheet(report: &Report, order: &StringOrder, stamp: Stamp) -> StringingSheet {
    let style = super::style(stamp);
    StringingSheet {
        instrument: instrument_line(report),
        job: vec![
            Fact::new("Strung as", said(style, &order.scale)),
            Fact::new("To stand at", full(&format!("A4 = {}", pitch(report)))),
            Fact::new("Tuning pins", pin_sizes(order, style)),
            Fact::new(
                "Cut",
                full(&format!(
                    "{} coils and {} in the hole of each pin; {} of each wire to hold, cut off afterwards",
                    cell(Some(order.allowances.coils), 0),
                    style.length_fixed(order.allowances.becket, 0),
                    style.length_fixed(order.allowances.handling, 0)
                )),
            ),
        ],
        settle: settle(report, order, style),
        cautions: bench_cautions(report.instrument.kind).into_iter().map(str::to_owned).collect(),
        strings: bench_sheet(report, order, style),
    }
}

fn settle(report: &Report, order: &StringOrder, style: Style) -> Vec<String> {
    let copied = copied_all_the_same(report, order).map(|words| full(&words));
    copied.into_iter().chain(sentences(&order.settle, style)).collect()
}

fn sentences(all: &[Sentence], style: Style) -> Vec<String> {
    all.iter().map(|sentence| said(style, sentence)).collect()
}

fn job(report: &Report, order: &StringOrder, style: Style) -> Vec<Fact> {
    let contact = order.shop.contact.clone();
    vec![
        Fact::new("Ship to", ship_to(&order.shop)),
        Fact::new("Contact", contact.unwrap_or_else(|| "as on our letter".to_owned())),
        Fact::new(
            "Needed by",
            order.needed_by.clone().unwrap_or_else(|| "to be agreed".to_owned()),
        ),
        Fact::new("Strung as", said(style, &order.scale)),
        Fact::new("To stand at", full(&format!("A4 = {}", pitch(report)))),
        Fact::new("In all", in_all(order)),
    ]
}

/// How much of each there is.
fn in_all(order: &StringOrder) -> String {
    let wound: usize = order.wound.iter().map(|line| usize::from(line.strings)).sum();
    let spares: usize = order.wound.iter().map(|line| line.spares).sum();
    let plain: usize = order.wire.iter().map(|size| size.strings).sum();
    let plural = |count: usize, one: &str, more: &str| {
        (count > 0).then(|| format!("{count} {}", if count == 1 { one } else { more }))
    };
    let said: Vec<String> = [
        plural(wound, "wound string", "wound strings"),
        plural(spares, "spare", "spares"),
        plural(plain, "plain string", "plain strings"),
        plural(order.wire.len(), "size of wire", "sizes of wire"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if said.is_empty() { "no strings.".to_owned() } else { full(&list(&said)) }
}

fn sections(order: &StringOrder, style: Style) -> Sheet {
    let columns = vec![
        Column::left("Section"),
        Column::left("Notes"),
        Column::right("Wound").unit("strings"),
        Column::right("Plain").unit("strings"),
        Column::wide("Why these").share(2),
        Column::wide("Advice").share(2),
    ];
    let count = |count: usize| if count == 0 { "–".to_owned() } else { count.to_string() };
    let row = |share: &SectionShare| {
        vec![
            capital(&share.name),
            style.notes(share.notes),
            count(share.wound),
            count(share.plain),
            capital(&style.sentence(&share.why)),
            share.verdict.map_or_else(|| "none".to_owned(), |verdict| capital(verdict.words())),
        ]
    };
    Sheet::new(columns, order.sections.iter().map(row).collect())
}

/// What holds for all wound strings.
fn making(report: &Report, order: &StringOrder, style: Style) -> Vec<Fact> {
    let Some(first) = order.wound.first() else { return Vec::new() };
    let compass = report.instrument.compass;
    let cores = names(order.wound.iter().map(|line| material(&line.material)));
    let windings = names(
        order.wound.iter().flat_map(|line| &line.layers).map(|layer| material(&layer.material)),
    );
    let hex = order.wound.iter().any(|line| line.shape == CoreShape::Hex);
    let shape = if hex { "as in the table" } else { core_shape(first.shape) };
    vec![
        Fact::new("Core", full(&format!("{cores}; {shape}"))),
        Fact::new("Winding", full(&format!("{windings}; tight, turn on turn"))),
        Fact::new(
            "Marking",
            full(&format!(
                "each string tagged with number and note, strings of one note alike; 1 is {}, {} is {}",
                style.note(compass.first),
                compass.len(),
                style.note(compass.last)
            )),
        ),
        Fact::new("Old strings", "Come back with the new ones, tags on."),
    ]
}

/// What a wire is of, as one reads it.
fn material(material: &Material) -> String {
    let known = if material.own { None } else { stock::material(&material.name) };
    known.map_or_else(|| material.name.clone(), |row| row.about.clone())
}

/// Names, each once.
fn names(all: impl Iterator<Item = String>) -> String {
    list(&super::once(all))
}

fn wound(order: &StringOrder, style: Style) -> Sheet {
    let hex = order.wound.iter().any(|line| line.shape == CoreShape::Hex);
    let materials = order.wound.iter().flat_map(|line| &line.layers).map(|l| &l.material.name);
    let mixed = super::once(materials.cloned()).len() > 1;
    let mut columns = vec![
        Column::right("No."),
        Column::left("Note"),
        Column::right("Strings"),
        Column::right("Core").unit("mm"),
        Column::left("Core").unit("No."),
    ];
    if hex {
        columns.push(Column::left("Core").unit("shape"));
    }
    columns.push(Column::right("Winding").unit("wire, mm"));
    if mixed {
        columns.push(Column::left("Winding").unit("of"));
    }
    columns.extend([
        Column::right("Over").unit("mm"),
        Column::left("Loop"),
        Column::right("Bridge pin").unit("mm from loop"),
        Column::right("Winding from").unit("mm from loop"),
        Column::right("Winding to").unit("mm from loop"),
        Column::right("End of tail").unit("mm from loop"),
    ]);
    let row = |line: &WoundLine| wound_row(line, hex, mixed, style);
    let starts = order.wound.windows(2).enumerate();
    let starts = starts.filter(|(_, pair)| pair[0].section != pair[1].section);
    Sheet::new(columns, order.wound.iter().map(row).collect())
        .starting(starts.map(|(index, _)| index + 1).collect())
        .noted(wound_note(order, style))
}

fn wound_row(line: &WoundLine, hex: bool, mixed: bool, style: Style) -> Vec<String> {
    let cells = Cells::of(line, style);
    let number = line.core.size.filter(|_| !line.all_as_pattern());
    let mut row = vec![
        line.number.to_string(),
        style.note(line.note),
        cells.strings,
        cells.core,
        number.map_or_else(|| "–".to_owned(), |size| size.to_string()),
    ];
    if hex {
        row.push(core_shape(line.shape).to_owned());
    }
    row.push(cells.winding);
    if mixed {
        row.push(names(line.layers.iter().map(|layer| layer.material.name.clone())));
    }
    row.extend([
        cells.over,
        line.ends.hitch.map_or("pattern", hitch).to_owned(),
        cells.back,
        cells.start,
        cells.end,
        cells.total,
    ]);
    row
}

fn wound_note(order: &StringOrder, style: Style) -> String {
    let tolerances = &order.tolerances;
    let length = |length| style.length(Measured::new(length, mm(0.0)));
    let mut said = format!(
        "Core and winding wire ± {}, over the winding ± {}, start and end of the winding ± {}, tail at least as \
         long. Lengths on the straight string, from the inside of the loop; the bridge pin is the one where the \
         speaking length ends. Of two layers the inner comes first; strings of one note alike, \
         for the longest of them.",
        length(tolerances.wire),
        length(tolerances.over),
        length(tolerances.winding)
    );
    if order.wound.iter().any(WoundLine::needs_pattern) {
        said.push_str(" “pattern”: not measured, as on the old string enclosed; “pin +”, “bearing −”: from the mark of bridge pin or bearing on it.");
    }
    said
}

/// What is to be said of single lines.
fn remarks(order: &StringOrder, style: Style) -> Vec<String> {
    let mut all = Vec::new();
    let series: Vec<String> = super::once(
        order.wound.iter().filter_map(|l| l.core.size).map(|size| size.series().to_string()),
    );
    if !series.is_empty() {
        all.push(format!("Numbers of cores are of the {} series of music wire.", list(&series)));
    }
    if order.wound.iter().any(|line| line.ends_by_rule) {
        all.push(
            "Bare ends follow the new scale where the old winding does not fit it; the table holds."
                .to_owned(),
        );
    }
    all.extend(patterns(order, style));
    all
}

/// What each pattern is for: notes of which the same was not measured together.
fn patterns(order: &StringOrder, style: Style) -> Vec<String> {
    let with = || order.wound.iter().filter(|line| line.needs_pattern());
    let mut kinds: Vec<&[Unread]> = Vec::new();
    for line in with() {
        if !kinds.contains(&line.pattern_for.as_slice()) {
            kinds.push(&line.pattern_for);
        }
    }
    let said = |kind: &[Unread]| {
        let notes = with().filter(|line| line.pattern_for == kind).map(|line| line.note);
        let what: Vec<String> = kind.iter().map(|what| what.words().to_owned()).collect();
        format!("{}: pattern for {}.", notes_of(&runs_of(notes), style), list(&what))
    };
    kinds.into_iter().map(said).collect()
}

fn wire(order: &StringOrder, style: Style) -> Sheet {
    let mut columns = vec![Column::left("Wire").unit("No."), Column::right("Diameter").unit("mm")];
    if style.inches {
        columns.push(Column::right("Diameter").unit("in"));
    }
    columns.extend([
        Column::wide("Notes"),
        Column::right("Strings"),
        Column::right("Wires"),
        Column::right("Length").unit("m"),
        Column::right("Mass").unit("g"),
        Column::right("Coils"),
    ]);
    let rows = order.wire.iter().map(|line| wire_row(line, style)).collect();
    let short = order.wire.iter().any(|line| line.short_of > 0);
    let short = if short {
        " “>”, “≥”: more than this, by lengths that were not measured; settle them before ordering."
    } else {
        ""
    };
    Sheet::new(columns, rows).noted(format!(
        "{} % for waste included. Coils of {}.{short}",
        cell(Some(100.0 * order.allowances.waste), 0),
        style.mass(Measured::new(order.allowances.coil, grams(0.0)))
    ))
}

fn wire_row(line: &WireLine, style: Style) -> Vec<String> {
    let more = if line.short_of > 0 { "> " } else { "" };
    let mut row = vec![wire_name(line.wire), cell(Some(to_mm(line.wire.diameter)), 3)];
    if style.inches {
        row.push(cell(Some(to_inches(line.wire.diameter)), 4));
    }
    row.extend([
        notes_of(&line.runs, style),
        line.strings.to_string(),
        line.wires.to_string(),
        format!("{more}{}", cell(Some(to_metres(line.metres)), 1)),
        format!("{more}{}", cell(Some(to_grams(line.mass)), 0)),
        format!("{}{}", if line.short_of > 0 { "≥ " } else { "" }, line.coils),
    ]);
    row
}

fn wire_remarks(order: &StringOrder, style: Style) -> Vec<String> {
    let materials = capital(&names(order.wire.iter().map(|line| material(&line.material))));
    let metres: f64 = order.wire.iter().map(|line| to_metres(line.metres)).sum();
    let mass: f64 = order.wire.iter().map(|line| to_grams(line.mass)).sum();
    let more = if order.wire.iter().any(|line| line.short_of > 0) { "more than " } else { "" };
    vec![
        format!(
            "{materials}, each coil marked with its size; in all {more}{} m, {more}{} g.",
            cell(Some(metres), 0),
            cell(Some(mass), 0)
        ),
        each_wire(&order.allowances, style),
    ]
    .into_iter()
    .chain(pins_unread(order, style))
    .collect()
}

/// Pins that nobody measured: coils are counted so that no wire is short.
fn pins_unread(order: &StringOrder, style: Style) -> Option<String> {
    let unread = order.pins.is_empty() || order.pins.iter().any(|line| line.pin().is_none());
    let thickest =
        order.plain.iter().map(|line| line.pin).reduce(|a, b| if b > a { b } else { a })?;
    unread.then(|| {
        format!(
            "Not every pin was measured or is settled: coils are counted on pins of up to {}.",
            style.length_fixed(thickest, 2)
        )
    })
}

fn pins(order: &StringOrder, style: Style) -> Vec<Fact> {
    let ordered = order.pins.iter().filter(|line| line.is_ordered());
    ordered.map(|line| Fact::new(&capital(&line.region), full(&pin_words(line, style)))).collect()
}

/// Which pins strings go on, for the bench.
fn pin_sizes(order: &StringOrder, style: Style) -> String {
    if order.pins.is_empty() {
        return "Not measured: coils are counted on the thickest made.".to_owned();
    }
    let each: Vec<String> = order
        .pins
        .iter()
        .map(|line| match (line.size().filter(|_| line.all_change()), line.found) {
            (Some(size), _) => {
                format!(
                    "{}: new, {} ({})",
                    line.region,
                    size.size,
                    style.length_fixed(size.nominal, 2)
                )
            }
            (None, Some(found)) => {
                format!("{}: as they are, {}", line.region, style.length_fixed(found, 2))
            }
            (None, None) => format!("{}: not measured", line.region),
        })
        .collect();
    full(&each.join("; "))
}

fn bench_sheet(report: &Report, order: &StringOrder, style: Style) -> Sheet {
    let columns = vec![
        Column::left("☐"),
        Column::left("Note"),
        Column::right("Strings"),
        Column::left("Wire"),
        Column::right("mm"),
        Column::right("Was").unit("mm"),
        Column::right("Speaking").unit("mm"),
        Column::left("Loop"),
        Column::wide("Cut, straight"),
    ];
    let rows: Vec<Vec<String>> = bench(report, order, style)
        .into_iter()
        .map(|row| std::iter::once("☐".to_owned()).chain(row).collect())
        .collect();
    Sheet::new(columns, rows).noted(
        "Wire: number and series; of a wound string the tag, and beside it the diameter over the winding, new and \
         old. “for two”: round the hitch pin, both strings of this note; “with”: the second string is of the note \
         named. * speaking length not read at this note: cut a little longer.",
    )
}
