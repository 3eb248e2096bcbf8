//! `feltwire hammers --received FILE --json`.

use super::{MissingShape, WarningShape};
use crate::document::words::Style;
use crate::judgement::limit::LimitUnit;
use crate::judgement::received::{
    Cause, Compared, Head, Offset, Quantity, Received, Standing, Summary, Whom,
};
use crate::measure::{Note, Sentence, to_degrees, to_grams, to_mm};
use crate::report::Report;
use serde::Serialize;

/// Heads that arrived, against the order.
#[derive(Debug, Serialize)]
pub(super) struct ReceivedShape {
    survey: String,
    survey_hash: String,
    table_hash: String,
    verdict: &'static str,
    why: Vec<String>,
    heads_ordered: usize,
    heads_arrived: usize,
    missing_notes: Vec<String>,
    send_back: Vec<String>,
    rebore: Vec<String>,
    file: Vec<String>,
    ream: Vec<String>,
    read_again: Vec<AgainShape>,
    quantities: Vec<SummaryShape>,
    shared: Vec<OffsetShape>,
    single: Vec<SingleShape>,
    heads: Vec<HeadShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// A reading to be repeated.
#[derive(Debug, Serialize)]
struct AgainShape {
    note: String,
    quantity: &'static str,
}

/// One respect over all heads read; figures in `unit`.
#[derive(Debug, Serialize)]
struct SummaryShape {
    quantity: &'static str,
    unit: &'static str,
    tolerance: f64,
    heads: usize,
    mean_off: f64,
    most_off: f64,
    most_off_note: String,
    within: usize,
    doubtful: usize,
    off: usize,
}

/// What the set, a section or a stretch shares; figures in `unit`.
#[derive(Debug, Serialize)]
struct OffsetShape {
    quantity: &'static str,
    unit: &'static str,
    about: &'static str,
    name: String,
    heads: usize,
    off: f64,
    off_se: f64,
    even: bool,
    causes: Vec<CauseShape>,
    cure: &'static str,
    text: String,
}

/// A mistake that explains it; `section` where it is that of another section.
#[derive(Debug, Serialize)]
struct CauseShape {
    cause: &'static str,
    section: Option<String>,
}

/// A head off by itself.
#[derive(Debug, Serialize)]
struct SingleShape {
    note: String,
    text: String,
}

/// One head that arrived.
#[derive(Debug, Serialize)]
struct HeadShape {
    note: String,
    key: u8,
    section: String,
    readings: Vec<ReadingShape>,
    obliquity_deg: Option<f64>,
    obliquity_ordered_deg: Option<f64>,
    blow_change_mm: Option<f64>,
    mean_change_g: Option<f64>,
    reflected_change_g: Option<f64>,
    gap_rest_mm: Option<f64>,
    gap_passing_mm: Option<f64>,
}

/// One reading beside what was ordered; figures in `unit`.
#[derive(Debug, Serialize)]
struct ReadingShape {
    quantity: &'static str,
    unit: &'static str,
    ordered: f64,
    read: f64,
    off: f64,
    off_sd: f64,
    tolerance: f64,
    standing: &'static str,
}

impl ReceivedShape {
    pub(super) fn of(report: &Report, received: &Received, table_hash: &str) -> Self {
        let sending = &received.sending;
        let words = |sentences: &[Sentence]| sentences.iter().map(said).collect();
        let shared = received.offsets.iter().zip(&received.said);
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            table_hash: table_hash.to_owned(),
            verdict: received.verdict.name(),
            why: words(&received.why),
            heads_ordered: received.heads.len() + received.missing.len(),
            heads_arrived: received.heads.len(),
            missing_notes: names(&received.missing),
            send_back: names(&sending.replace),
            rebore: names(&sending.rebore),
            file: names(&sending.file),
            ream: names(&sending.ream),
            read_again: received
                .read_again()
                .into_iter()
                .map(|(note, quantity)| AgainShape {
                    note: note.to_string(),
                    quantity: quantity.name(),
                })
                .collect(),
            quantities: received.summaries.iter().map(SummaryShape::of).collect(),
            shared: shared.map(|(offset, text)| OffsetShape::of(report, offset, text)).collect(),
            single: received
                .singles
                .iter()
                .map(|(note, text)| SingleShape { note: note.to_string(), text: said(text) })
                .collect(),
            heads: received.heads.iter().map(|head| HeadShape::of(report, head)).collect(),
            missing: report.action.missing.iter().map(MissingShape::from).collect(),
            warnings: received.warnings.iter().map(WarningShape::from).collect(),
        }
    }
}

fn said(sentence: &Sentence) -> String {
    Style::PLAIN.sentence(sentence)
}

fn names(notes: &[Note]) -> Vec<String> {
    notes.iter().map(ToString::to_string).collect()
}

/// The unit as in the heads of tables.
fn unit(quantity: Quantity) -> &'static str {
    match quantity.unit() {
        LimitUnit::Degrees => "deg",
        LimitUnit::Grams => "g",
        _ => "mm",
    }
}

impl SummaryShape {
    fn of(summary: &Summary) -> Self {
        let [within, doubtful, off] = summary.counts;
        Self {
            quantity: summary.quantity.name(),
            unit: unit(summary.quantity),
            tolerance: summary.tolerance,
            heads: summary.heads,
            mean_off: summary.mean,
            most_off: summary.worst.1,
            most_off_note: summary.worst.0.to_string(),
            within,
            doubtful,
            off,
        }
    }
}

impl OffsetShape {
    fn of(report: &Report, offset: &Offset, text: &Sentence) -> Self {
        let section = |index: usize| report.instrument.sections[index].name.clone();
        let (about, name) = match offset.whom {
            Whom::Set => ("set", String::new()),
            Whom::Section(index) => ("section", section(index)),
            Whom::Notes(first, last) => ("notes", format!("{first}/{last}")),
        };
        let cause = |cause: &Cause| CauseShape {
            cause: cause.name(),
            section: match cause {
                Cause::OtherSection(index) => Some(section(*index)),
                _ => None,
            },
        };
        Self {
            quantity: offset.quantity.name(),
            unit: unit(offset.quantity),
            about,
            name,
            heads: offset.heads,
            off: offset.off,
            off_se: offset.error,
            even: offset.even,
            causes: offset.causes.iter().map(cause).collect(),
            cure: offset.cure.name(),
            text: said(text),
        }
    }
}

impl HeadShape {
    fn of(report: &Report, head: &Head) -> Self {
        let effect = &head.effect;
        Self {
            note: head.note.to_string(),
            key: head.note.key(),
            section: report.instrument.sections[head.section].name.clone(),
            readings: head.compared.iter().map(ReadingShape::of).collect(),
            obliquity_deg: effect.obliquity.map(|psi| to_degrees(psi.value)),
            obliquity_ordered_deg: effect.obliquity_ordered.map(|psi| to_degrees(psi.value)),
            blow_change_mm: effect.blow.map(|of| to_mm(of.value)),
            mean_change_g: effect.mean.map(|of| to_grams(of.value)),
            reflected_change_g: effect.reflected.map(|of| to_grams(of.value)),
            gap_rest_mm: effect.gap_rest.map(|of| to_mm(of.value)),
            gap_passing_mm: effect.gap_passing.map(|of| to_mm(of.value)),
        }
    }
}

impl ReadingShape {
    fn of(compared: &Compared) -> Self {
        Self {
            quantity: compared.quantity.name(),
            unit: unit(compared.quantity),
            ordered: compared.ordered,
            read: compared.read,
            off: compared.off(),
            off_sd: compared.doubt,
            tolerance: compared.tolerance,
            standing: match compared.standing {
                Standing::Within => "within",
                Standing::Doubtful => "doubtful",
                Standing::ReadAgain => "read_again",
                Standing::Shared => "shared",
                Standing::Off => "off",
            },
        }
    }
}
