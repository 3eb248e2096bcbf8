//! The heads that are drawn: one each for bass, tenor and treble, with the numbers of the order.

use crate::document::drawing::{DrawingFault, Head, HeadDrawing, svg};
use crate::document::words::{Style, cell};
use crate::measure::{Angle, Compass, Length, Measured, Note, degrees, mm, to_degrees, to_mm};
use crate::order::hammers::{HammerOrder, HeadSizes, NoteOrder, SectionOrder};
use crate::report::Report;

/// The drawing of an order, and what of it could not be drawn.
pub(super) struct Heads {
    /// SVG; `None` when no head can be drawn.
    pub svg: Option<String>,
    /// Why a section's head is not drawn, one line a section.
    pub missing: Vec<String>,
}

/// Draws up to three heads of `order`: of the first, the middle and the last section that can be drawn.
pub(super) fn draw(report: &Report, order: &HammerOrder) -> Heads {
    let kind = report.instrument.kind;
    let (mut heads, mut missing) = (Vec::new(), Vec::new());
    for section in &order.sections {
        let Some(head) = head(order, section) else { continue };
        // Readings that no head can have are the survey's: they are told, and the others drawn.
        match svg(&HeadDrawing { kind, heads: vec![head.clone()] }) {
            Ok(_) => heads.push(head),
            Err(fault) => missing.push(not_drawn(section, &fault)),
        }
    }
    if heads.is_empty() {
        missing.push("No head is drawn: none is known well enough.".to_owned());
    }
    Heads { svg: svg(&HeadDrawing { kind, heads: three(heads) }).ok(), missing }
}

fn not_drawn(section: &SectionOrder, fault: &DrawingFault) -> String {
    format!("The head of the section {} cannot be drawn: {fault}.", section.name)
}

/// The first, the middle and the last.
fn three(heads: Vec<Head>) -> Vec<Head> {
    let (middle, last) = (heads.len() / 2, heads.len().saturating_sub(1));
    let chosen = |index: &usize| [0, middle, last].contains(index);
    heads.into_iter().enumerate().filter(|(at, _)| chosen(at)).map(|(_, head)| head).collect()
}

/// The head of the note nearest to a section's middle of which most is known.
fn head(order: &HammerOrder, section: &SectionOrder) -> Option<Head> {
    let notes = Compass { first: section.first, last: section.last };
    let middle = f64::midpoint(f64::from(section.first.key()), f64::from(section.last.key()));
    let known = |entry: &&NoteOrder| notes.contains(entry.note) && entry.bore.value().is_some();
    let sizes = |note: Note| order.head.sizes.iter().find(|sizes| sizes.note == note);
    let apart = |note: Note| (f64::from(note.key()) - middle).abs();
    let entry = order.notes.iter().filter(known).min_by(|a, b| {
        let sampled = |entry: &NoteOrder| sizes(entry.note).is_none();
        sampled(a).cmp(&sampled(b)).then(apart(a.note).total_cmp(&apart(b.note)))
    })?;
    let bore = tenth(entry.bore.value()?.value);
    let own = sizes(entry.note);
    let size = |read: fn(&HeadSizes) -> Option<Length>| own.and_then(read).map(tenth);
    let tail = size(|sizes| sizes.tail.value().map(|length| length.value));
    let hole = order.head.hole.hole.value();
    Some(Head {
        title: format!(
            "{}, drawn for {}",
            super::capital(&section.name),
            Style::PAGE.note(entry.note)
        ),
        notes,
        bore,
        moulding: size(|sizes| sizes.moulding.value().map(|length| length.value)),
        overall: tail.map(|tail| bore + tail),
        tail,
        width: size(|sizes| sizes.width.value().map(|length| length.value)),
        depth: None,
        crown_radius: size(|sizes| sizes.crown_radius.value().map(|length| length.value)),
        hole: hole.map(|(least, most)| (*least + *most) / 2.0),
        hole_kind: order.head.hole.kind.value().copied(),
        shank: order.head.hole.shank.value().map(|shank| shank.value),
        rake: Some(entry.rake),
        side_angle: entry.side.value().map(|side| half_degree(side.value)),
        sample: nearest(order, section, entry.note),
    })
}

/// The enclosed sample of the section that is nearest to `note`.
fn nearest(order: &HammerOrder, section: &SectionOrder, note: Note) -> Option<Note> {
    let notes = Compass { first: section.first, last: section.last };
    let enclosed = order.samples.enclosed.iter().map(|sample| sample.note);
    enclosed
        .filter(|sample| notes.contains(*sample))
        .min_by_key(|sample| sample.key().abs_diff(note.key()))
}

/// As printed: sums of lengths then add up on paper.
pub(super) fn tenth(length: Length) -> Length {
    mm((10.0 * to_mm(length)).round() / 10.0)
}

/// A side angle as ordered: what a bevel can be set to.
pub(super) fn half_degree(angle: Angle) -> Angle {
    degrees((2.0 * to_degrees(angle)).round() / 2.0)
}

/// A side angle as ordered in digits, without its sense: `5.5`, `0`.
pub(super) fn half_degree_words(angle: Measured<Angle>) -> String {
    let degrees = to_degrees(half_degree(angle.value)).abs();
    cell(Some(degrees), u8::from(degrees != 0.0))
}
