//! What a terminal shows: plain text, at most 100 columns wide.

mod breaks;
mod check;
mod columns;
mod decide;
mod explain;
mod glossary;
mod hammers;
mod limits;
mod new_survey;
mod packet;
mod pitches;
mod receive;
mod received;
mod restring;
mod scale;
mod strings;

pub use breaks::breaks;
pub use check::check;
pub use decide::{decide, explain};
pub use explain::explain_note;
pub use glossary::{entry, glossary};
pub use hammers::hammers;
pub use limits::limits;
pub use new_survey::new_survey;
pub use packet::packet;
pub use receive::receive;
pub use received::received;
pub use restring::{restring, restring_notes};
pub use scale::scale;
pub use strings::{stringing, strings};

use crate::document::words::Style;
use crate::instrument::Warning;
use crate::report::Report;
use crate::scale::StrengthBasis;

/// Width of everything printed.
pub const WIDTH: usize = 100;

/// On what a breaking load rests, in words.
pub fn basis(basis: StrengthBasis) -> String {
    match basis {
        StrengthBasis::SeriesMinimum(series) => format!("minimum of {}", series.title()),
        StrengthBasis::OwnMaterial => "strength stated in the survey".to_owned(),
        StrengthBasis::Tested => "a tested sample".to_owned(),
    }
}

/// The first lines of every answer: which instrument, at what pitch.
fn head(report: &Report) -> String {
    let instrument = &report.instrument;
    let kind = match instrument.kind {
        crate::instrument::Kind::Upright => "upright",
        crate::instrument::Kind::Grand => "grand",
    };
    let built = instrument.built.map_or(String::new(), |year| format!(", built {year}"));
    let serial =
        instrument.serial.as_ref().map_or(String::new(), |serial| format!(", no. {serial}"));
    let pitch = Style::PLAIN
        .frequency(crate::measure::Measured::new(instrument.pitch, crate::measure::hertz(0.0)));
    let text = format!(
        "{} ({kind}, {}–{}{built}{serial}), A4 at {pitch}",
        instrument.name, instrument.compass.first, instrument.compass.last
    );
    columns::item("", &text)
}

/// Warnings as a list, wrapped.
fn warnings<'a>(warnings: impl Iterator<Item = &'a Warning>) -> String {
    let lines: Vec<String> = warnings
        .map(|warning| columns::item("! ", &Style::PLAIN.sentence(&warning.text)))
        .collect();
    if lines.is_empty() { String::new() } else { format!("\n{}", lines.concat()) }
}
