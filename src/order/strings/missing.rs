//! What of an order could not be had, and which reading would give it.

use super::ends::Beyond;
use super::wire::PlainLine;
use super::wound::{Unread, WoundLine};
use crate::instrument::{About, Instrument, Missing};
use crate::measure::Sentence;
use crate::sentence;

/// Of wound strings note by note, of plain ones section by section.
pub(super) fn missing(
    instrument: &Instrument,
    wound: &[WoundLine],
    plain: &[PlainLine],
) -> Vec<Missing> {
    let mut all: Vec<Missing> = wound.iter().flat_map(of_wound).collect();
    for (index, section) in instrument.sections.iter().enumerate() {
        let lines = || plain.iter().filter(move |line| line.section == index);
        let mut add = |result, unread: bool, what: &str| {
            if unread {
                let why: Sentence = sentence![format!(
                    "{what} was not read at two plain strings of the section: read it at its ends"
                )];
                all.push(Missing { result, about: About::Section(section.name.clone()), why });
            }
        };
        let not_read = |part: Beyond| part == Beyond::NotRead;
        let back = lines().any(|line| not_read(line.ends.back));
        let front = lines().any(|line| not_read(line.ends.front));
        add("back_mm", back, "hitch loop to bridge pin");
        add("front_mm", front, "bearing to tuning pin");
    }
    all
}

fn of_wound(line: &WoundLine) -> impl Iterator<Item = Missing> + use<> {
    let unread: Vec<&str> = line.pattern_for.iter().copied().map(Unread::words).collect();
    let why = sentence![format!(
        "not read: {}; read it, or send the old string as a pattern",
        unread.join(", ")
    )];
    let place = line.layers.iter().any(|layer| layer.start.is_none() || layer.end.is_none());
    let results = [("layers", place), ("total_mm", line.total.is_none())];
    let about = About::Note(line.note);
    results.into_iter().filter(|(_, open)| *open).map(move |(result, _)| Missing {
        result,
        about: about.clone(),
        why: why.clone(),
    })
}
