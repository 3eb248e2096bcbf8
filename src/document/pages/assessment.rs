//! The assessment, for the rebuilder.

use super::sheet::{Column, Part, Sheet};
use super::verdicts::{self, Verdict};
use super::{
    assumptions, breaks, cautions, full, instrument_line, once, pitch, raise, said, scale,
};
use crate::document::packet::Stamp;
use crate::document::plots::Which;
use crate::document::shapes::about;
use crate::document::words::Style;
use crate::judgement::hammers::BOXED;
use crate::judgement::{Finding, Weighs};
use crate::measure::{Cents, Measured};
use crate::report::Report;
use serde::Serialize;

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
    about: String,
}

/// Everything on the pages of the assessment; `drawn` are the plots handed to the typesetter with it.
pub fn assessment(report: &Report, stamp: Stamp, drawn: &[Which]) -> Assessment {
    let style = super::style(stamp);
    let mut parts = vec![scale::part(report, style), breaks::part(report, style)];
    parts.extend(breaks::by_ear(report, style));
    parts.extend(super::action::part(report, style));
    parts.extend(raise::parts(report, style));
    parts.push(findings(report, style));
    let figures = drawn.iter().map(|which| Drawn {
        file: format!("{}.svg", which.name()),
        about: which.figure(report).about,
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
    let sheet = |title: String, findings: &mut dyn Iterator<Item = &Finding>| {
        let columns =
            vec![Column::left("Finding"), Column::wide("In words, with what leads to it")];
        let row = |finding: &Finding| {
            let what = format!("{}: {}", finding.kind.name(), weighs(finding.weighs));
            vec![super::capital(&what), in_full(finding, style)]
        };
        let rows: Vec<_> = findings.map(row).collect();
        (!rows.is_empty()).then(|| Sheet::new(columns, rows).titled(title))
    };
    let mut sheets = Vec::new();
    for section in &judgement.sections {
        sheets.push(sheet(super::capital(&section.name), &mut section.findings.iter()));
    }
    sheets.push(sheet("Pins".to_owned(), &mut judgement.pins.iter().map(|pins| &pins.finding)));
    sheets.push(sheet("Hammers".to_owned(), &mut judgement.hammers.findings.iter()));
    sheets.push(sheet("Instrument".to_owned(), &mut judgement.findings.iter()));
    Part::new("Findings in full").sheets(sheets.into_iter().flatten())
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

fn in_full(finding: &Finding, style: Style) -> String {
    let mut sentences = vec![said(style, &finding.why)];
    if let Some(limit) = &finding.limit {
        sentences.push(full(&format!(
            "limit: {} – {} ({})",
            verdicts::limit_value(limit, style),
            limit.about,
            limit.source.text()
        )));
    }
    sentences.extend(finding.chain.iter().map(|step| said(style, step)));
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
    let remarks = once(
        report
            .warnings()
            .filter(|warning| !said_before(warning.kind))
            .map(|warning| said(style, &warning.text)),
    );
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
