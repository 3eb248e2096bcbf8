//! The assessment, for the rebuilder.

use super::sheet::{Column, Part, Sheet};
use super::verdicts::{self, Verdict};
use super::{
    assumptions, breaks, cautions, full, in_one_breath, instrument_line, once, pitch, raise, said,
    scale,
};
use crate::document::plots::Which;
use crate::document::shapes::about;
use crate::document::stamp::Stamp;
use crate::document::words::Style;
use crate::judgement::hammers::BOXED;
use crate::judgement::{Finding, FindingKind, Weighs};
use crate::measure::{Cents, Measured};
use crate::report::Report;
use serde::Serialize;

/// A step longer than this, in bytes, is not told twice.
const LONG: usize = 120;

/// What the template of the assessment reads.
#[derive(Debug, Clone, Serialize)]
pub struct Assessment {
    instrument: String,
    pitch: String,
    stops: Vec<String>,
    strings: Vec<Verdict>,
    pins: Option<Sheet>,
    hammers: Vec<Verdict>,
    condition: Vec<String>,
    not_looked_at: Vec<String>,
    measure_next: Vec<String>,
    cautions: Vec<String>,
    parts: Vec<Part>,
    figures: Vec<Drawn>,
    closing: Vec<Part>,
}

/// A plot by the name of its file, and what it shows for those who cannot see it.
#[derive(Debug, Clone, Serialize)]
struct Drawn {
    file: String,
    title: String,
    about: String,
}

/// Everything on the pages of the assessment; `drawn` are the plots handed to the typesetter with it.
pub fn assessment(report: &Report, stamp: Stamp, drawn: &[Which]) -> Assessment {
    let style = super::style(stamp);
    let mut parts = vec![scale::part(report, style), breaks::part(report, style)];
    parts.extend(super::by_ear::part(report, style));
    parts.extend(super::action::part(report, style));
    parts.extend(raise::parts(report, style));
    parts.push(findings(report, style));
    let figures = drawn.iter().map(|which| {
        let figure = which.figure(report);
        Drawn { file: format!("{}.svg", which.name()), title: figure.title, about: figure.about }
    });
    Assessment {
        instrument: instrument_line(report),
        pitch: as_found(report, style),
        stops: report.judgement.stops.iter().map(|stop| said(style, &stop.why)).collect(),
        strings: verdicts::strings(report, style),
        pins: verdicts::pins(report, style),
        hammers: vec![verdicts::hammers(report, style)],
        condition: verdicts::parts(report, style),
        not_looked_at: verdicts::not_looked_at(report),
        measure_next: verdicts::measure_next(report, style),
        cautions: cautions::cautions(report, style),
        parts,
        figures: figures.collect(),
        closing: closing(report, style),
    }
}

/// Where it is to stand and where it stood, section by section where they differ.
fn as_found(report: &Report, style: Style) -> String {
    let instrument = &report.instrument;
    let found: Vec<Option<Cents>> =
        (0..instrument.sections.len()).map(|index| instrument.found_in(index)).collect();
    let words = |cents: Cents| {
        let size = style.cents(Measured::new(Cents(cents.0.abs()), Cents(0.0)));
        match cents.0 {
            0.0 => "at pitch".to_owned(),
            c if c < 0.0 => format!("{size} flat"),
            _ => format!("{size} sharp"),
        }
    };
    let same = found.windows(2).all(|pair| pair[0] == pair[1]);
    let stood = match found.first() {
        Some(Some(cents)) if same => format!("found {}", words(*cents)),
        Some(None) if same => "its pitch as found was not read".to_owned(),
        _ => {
            let each = instrument.sections.iter().zip(&found).map(|(section, cents)| {
                let cents = cents.map_or_else(|| "not read".to_owned(), words);
                format!("{} {cents}", section.name)
            });
            format!("found: {}", each.collect::<Vec<_>>().join(", "))
        }
    };
    full(&format!("to stand at A4 = {}; {stood}", pitch(report)))
}

/// Every finding with what it does, its limit and the steps that lead to it.
fn findings(report: &Report, style: Style) -> Part {
    let judgement = &report.judgement;
    let mut told = Vec::new();
    let mut sheets = Vec::new();
    for section in &judgement.sections {
        let rows = section.findings.iter().map(|finding| {
            // A region's torques stand under the pins, once.
            let pins = finding.kind == FindingKind::Pins && !judgement.pins.is_empty();
            let words = if pins {
                format!("{} What was read stands under Pins, below.", said(style, &finding.why))
            } else {
                in_full(finding, &mut told, style)
            };
            row(finding.kind.name(), finding.weighs, words)
        });
        sheets.push(sheet(&super::capital(&section.name), "Finding", rows.collect()));
    }
    let pins = judgement.pins.iter().map(|pins| {
        let words = in_full(&pins.finding, &mut told, style);
        row(&pins.region, pins.finding.weighs, words)
    });
    sheets.push(sheet("Pins", "Region", pins.collect()));
    for (title, findings) in
        [("Hammers", &judgement.hammers.findings), ("Instrument", &judgement.findings)]
    {
        let rows = findings.iter().map(|finding| {
            row(finding.kind.name(), finding.weighs, in_full(finding, &mut told, style))
        });
        sheets.push(sheet(title, "Finding", rows.collect()));
    }
    Part::new("Findings in full").sheets(sheets.into_iter().flatten())
}

fn row(what: &str, it: Weighs, words: String) -> Vec<String> {
    vec![super::capital(what), weighs(it).to_owned(), words]
}

/// Findings of one matter; `None` when there are none.
fn sheet(title: &str, first: &str, rows: Vec<Vec<String>>) -> Option<Sheet> {
    let columns = vec![
        Column::left(first).share(6),
        Column::left("What it does").share(8),
        Column::left("In words, with what leads to it").share(32),
    ];
    (!rows.is_empty()).then(|| Sheet::new(columns, rows).titled(title))
}

fn weighs(weighs: Weighs) -> &'static str {
    match weighs {
        Weighs::Stops => "stops the work",
        Weighs::Decides => "decides",
        Weighs::Restrings => "speaks for new",
        Weighs::Watch => "is watched",
        Weighs::Keeps => "speaks for keeping",
    }
}

/// A finding with its limit and the steps that lead to it; a long step that was `told` before is only
/// named again.
fn in_full(finding: &Finding, told: &mut Vec<String>, style: Style) -> String {
    let mut sentences = vec![said(style, &finding.why)];
    if let Some(limit) = &finding.limit {
        sentences.push(full(&format!(
            "limit: {} – {} ({})",
            verdicts::limit_value(limit, style),
            limit.about,
            limit.source.text()
        )));
    }
    for step in &finding.chain {
        let step = said(style, step);
        let named = step.split([',', ';']).next().unwrap_or_default();
        if step.len() > LONG && named.len() < step.len() && told.contains(&step) {
            sentences.push(format!("{named}, and so on as above."));
        } else {
            sentences.push(step.clone());
            told.push(step);
        }
    }
    once(sentences).join(" ")
}

/// What could not be worked out, remarks on the readings, assumptions, and what is not judged.
fn closing(report: &Report, style: Style) -> Vec<Part> {
    let named = |name: String, text: String| {
        if name.is_empty() || text.contains(&name) { text } else { format!("{name}: {text}") }
    };
    let missing = once(report.missing().map(|missing| {
        let (_, name) = about(&missing.about);
        full(&named(name, style.sentence(&missing.why)))
    }));
    // Readings to take again stand on the first page, boxed warnings beside the hammers.
    let said_before = |kind: &str| kind == "measure_again" || BOXED.contains(&kind);
    let remarks = once(in_one_breath(
        report,
        report.warnings().filter(|warning| !said_before(warning.kind)),
        style,
    ));
    let mut parts = Vec::new();
    if !missing.is_empty() {
        parts.push(Part::new("What could not be worked out, and why").points(missing));
    }
    if !remarks.is_empty() {
        parts.push(Part::new("Remarks on the readings and what follows from them").points(remarks));
    }
    parts.push(Part::new("Assumptions").points(assumptions::assumptions(report, style)));
    parts.push(Part::new("What Feltwire does not judge").points(assumptions::not_judged()));
    parts
}
