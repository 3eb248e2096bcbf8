//! The hammer order, for the maker: pages and table.

use super::heads::{Heads, draw, half_degree};
use super::order_tables::{far_end, sense};
use super::sheet::{Fact, Sheet};
use super::{full, in_one_breath, instrument_line, order_facts, order_tables, said};
use crate::document::csv::{Cell, table};
use crate::document::stamp::Stamp;
use crate::document::verdicts;
use crate::document::words::{Style, list};
use crate::judgement::HammerVerdict;
use crate::judgement::hammers::BOXED;
use crate::measure::{to_degrees, to_grams, to_mm};
use crate::order::hammers::{Asked, HammerOrder, NoteOrder};
use crate::report::Report;
use serde::Serialize;

/// What the template of the hammer order reads.
#[derive(Debug, Clone, Serialize)]
pub struct HammerOrderPages {
    instrument: String,
    job: Vec<Fact>,
    warnings: Vec<String>,
    not_advised: Option<String>,
    copy_line: String,
    allowance: String,
    drawing: Option<Drawn>,
    sections: Sheet,
    remarks: Vec<String>,
    note_blocks: usize,
    notes: Sheet,
    heads: Option<Sheet>,
    masses: String,
    all_heads: Vec<Fact>,
    not_measured: Vec<String>,
    samples: Option<Sheet>,
    samples_remarks: Vec<String>,
    acceptance: Sheet,
}

#[derive(Debug, Clone, Serialize)]
struct Drawn {
    file: &'static str,
    about: &'static str,
}

/// The file name of the drawing that the pages ask for.
pub const DRAWING: &str = "heads.svg";

/// The pages of the order of `report`, and the drawing handed to the typesetter with them; `None` when
/// the survey holds no hammer.
pub fn hammer_order(report: &Report, stamp: Stamp) -> Option<(HammerOrderPages, Option<String>)> {
    let order = report.hammer_order.as_ref()?;
    let style = super::style(stamp);
    let Heads { svg, missing } = draw(report, order);
    let drawing = svg.as_ref().map(|_| Drawn {
        file: DRAWING,
        about: "Heads of this order: side view, front view and plan, with their sizes",
    });
    let mut remarks = order_tables::section_remarks(order, style);
    remarks.extend(missing);
    let pages = HammerOrderPages {
        instrument: instrument_line(report),
        job: order_facts::job(&report.action, order, style),
        warnings: warnings(report, order, style),
        not_advised: not_advised(report),
        copy_line: style.sentence(&order.copy),
        allowance: allowance(order, style),
        drawing,
        sections: order_tables::sections(order, style),
        remarks,
        note_blocks: if style.inches { 3 } else { 4 },
        notes: order_tables::notes(order, style),
        heads: order_tables::sizes(order, style),
        masses: order_tables::masses(order, style),
        all_heads: order_facts::all_heads(&report.action, order, style),
        not_measured: order_facts::not_measured(order, style),
        samples: order_tables::samples(order, style),
        samples_remarks: samples_remarks(order, style),
        acceptance: order_facts::receiving(&report.instrument, order, style),
    };
    Some((pages, svg))
}

/// That nobody advises a new set, where nobody does.
fn not_advised(report: &Report) -> Option<String> {
    let advised = report.judgement.hammers.verdict;
    (!matches!(advised, HammerVerdict::Set | HammerVerdict::Some)).then(|| {
        full(&format!(
            "no new set is advised so far ({}): send this only if one is wanted all the same",
            verdicts::hammers(advised)
        ))
    })
}

/// What must be settled before the order is sent.
fn warnings(report: &Report, order: &HammerOrder, style: Style) -> Vec<String> {
    let settle = report.hammer_warnings.iter().filter(|w| BOXED.contains(&w.kind));
    let mut boxed = in_one_breath(report, settle, style);
    let unknown = order.notes.iter().filter(|entry| entry.bore.value().is_none()).count();
    let all = order.notes.len();
    if unknown > 0 {
        let which = if unknown == all {
            format!("None of the {all} bores is known")
        } else {
            format!("{unknown} of the {all} bores are not known")
        };
        boxed.push(format!(
            "{which}: read the height of the strings over the hammer line before this order is sent."
        ));
    }
    boxed
}

/// That felt is included or not; with no bore known there is nothing that could hold any.
fn allowance(order: &HammerOrder, style: Style) -> String {
    if order.notes.iter().any(|entry| entry.bore.value().is_some()) {
        said(style, &order.allowance_words)
    } else {
        "Bores are not known yet.".to_owned()
    }
}

/// What to keep in mind with single samples, and which were measured and stay here.
fn samples_remarks(order: &HammerOrder, style: Style) -> Vec<String> {
    let mut alike: Vec<(String, Vec<String>)> = Vec::new();
    for sample in &order.samples.enclosed {
        let Some(remark) = &sample.remark else { continue };
        let (remark, note) = (style.sentence(remark), style.note(sample.note));
        match alike.iter_mut().find(|(known, _)| *known == remark) {
            Some((_, notes)) => notes.push(note),
            None => alike.push((remark, vec![note])),
        }
    }
    let of = |(remark, notes): (String, Vec<String>)| {
        let samples = if notes.len() == 1 { "sample" } else { "samples" };
        full(&format!("{samples} {}: {remark}", list(&notes)))
    };
    let mut remarks: Vec<String> = alike.into_iter().map(of).collect();
    let kept: Vec<String> = order.samples.kept_back.iter().map(|note| style.note(*note)).collect();
    if !kept.is_empty() {
        remarks.push(full(&format!(
            "measured, but not sent, off the others or more than a maker needs: {}",
            list(&kept)
        )));
    }
    remarks
}

/// Every head as CSV, one row a note.
pub fn hammer_order_csv(report: &Report) -> Option<String> {
    const HEADS: [&str; 14] = [
        "number",
        "note",
        "section",
        "bore_mm",
        "allowance_included_mm",
        "bore_tolerance_mm",
        "rake_deg",
        "rake_to",
        "side_angle_deg",
        "side_angle_to",
        "angle_tolerance_deg",
        "mass_g",
        "mass_tolerance_g",
        "not_measured",
    ];
    let order = report.hammer_order.as_ref()?;
    let rows: Vec<Vec<Cell>> =
        order.notes.iter().map(|entry| csv_row(report, order, entry)).collect();
    Some(table(&HEADS, &rows))
}

fn csv_row(report: &Report, order: &HammerOrder, entry: &NoteOrder) -> Vec<Cell> {
    let tolerances = &order.tolerances;
    let side = entry.side.value().map(|side| side.value);
    let way = side.map(|angle| match sense(angle) {
        "" => "square".to_owned(),
        way => format!("{} to the {way}, seen from the player", far_end(order.job.kind)),
    });
    vec![
        Cell::count(entry.number as u64),
        entry.note.to_string().into(),
        report.instrument.sections[entry.section].name.clone().into(),
        Cell::fixed(entry.bore.value().map(|bore| to_mm(bore.value)), 1),
        Cell::fixed(Some(to_mm(order.allowance)), 2),
        Cell::fixed(Some(to_mm(tolerances.bore)), 1),
        Cell::fixed(Some(to_degrees(entry.rake).abs()), 1),
        order.sections.get(entry.section).map_or(Cell::Empty, |section| section.rake.way.into()),
        Cell::fixed(side.map(|angle| to_degrees(half_degree(angle)).abs()), 1),
        way.map_or(Cell::Empty, Cell::from),
        Cell::fixed(Some(to_degrees(tolerances.angle)), 1),
        Cell::fixed(entry.mass.value().map(|mass| to_grams(mass.value)), 1),
        Cell::fixed(Some(to_grams(tolerances.mass)), 1),
        needed(entry).into(),
    ]
}

/// What of a head is not known, and where the maker finds it.
fn needed(entry: &NoteOrder) -> String {
    let open = |what: &str, missing: Option<String>| missing.map(|how| format!("{what}: {how}"));
    [
        open("bore", how(&entry.bore)),
        open("side angle", how(&entry.side)),
        open("mass", how(&entry.mass)),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join("; ")
}

fn how<T>(item: &Asked<T>) -> Option<String> {
    item.value().is_none().then(|| order_facts::asked(item, Style::PLAIN, |_| String::new()))
}
