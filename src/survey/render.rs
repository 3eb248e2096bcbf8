//! Faults as text for a terminal.

use super::fault::{Fault, Faults};
use super::source::Spot;
use super::words::shown;
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Patch, Renderer, Snippet};

/// Columns of a terminal that the text is made for.
const WIDTH: usize = 100;
/// Columns that a cut source line may take beyond the width asked for.
const MARGIN: usize = 4;

impl Faults {
    /// The faults as text, one after the other and their number at the end, in 100 columns where
    /// names allow it; with terminal colours when `colour`.
    ///
    /// Nothing in a survey can add colours or control characters of its own.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() }
            .term_width(WIDTH - MARGIN)
            .decor_style(DecorStyle::Ascii);
        let mut out = String::new();
        for fault in &self.list {
            for line in renderer.render(&groups(fault)).lines().filter(|line| !is_bare_mark(line)) {
                out.push_str(line);
                out.push('\n');
            }
            out.push('\n');
        }
        out.push_str(&self.total());
        out.push('\n');
        out
    }

    /// How many faults there are, in words.
    fn total(&self) -> String {
        let of = self.of;
        match (self.count(), self.beyond) {
            (1, 0) => format!("1 fault in the {of}; nothing was computed."),
            (n, 0) => format!("{n} faults in the {of}; nothing was computed."),
            (n, more) => format!("{n} faults shown and {more} more; nothing was computed."),
        }
    }
}

/// The renderer's mark of another place in a file, left without a place where the address of a cell
/// stands above it.
fn is_bare_mark(line: &str) -> bool {
    let mut rest = line;
    let mut bare = String::new();
    while let Some(escape) = rest.find('\u{1b}') {
        bare.push_str(&rest[..escape]);
        rest = rest[escape..].split_once('m').map_or("", |(_, after)| after);
    }
    bare.push_str(rest);
    bare.trim() == ":::"
}

fn groups(fault: &Fault) -> Vec<Group<'_>> {
    let title = wrap(&fault.title, WIDTH - "error[]: ".len() - fault.kind.id().len());
    let title = Level::ERROR.primary_title(title).id(fault.kind.id());
    let mut first = title.elements(place(&fault.spot, &fault.found));
    let fix = fault.fix.as_deref().zip(fault.spot.excerpt.as_ref());
    let help = if fix.is_none() { fault.remedy.as_str() } else { "" };
    for (name, text) in [("expected", fault.expected.as_str()), ("help", help)] {
        if !text.is_empty() {
            let lines = wrap(text, WIDTH - name.len() - 12);
            first = first.element(Level::HELP.with_name(Some(name)).message(lines));
        }
    }
    if !fault.more.is_empty() {
        let name = "also";
        let lines = wrap(&elsewhere(&fault.more), WIDTH - name.len() - 12);
        first = first.element(Level::NOTE.with_name(Some(name)).message(lines));
    }
    let mut groups = vec![first];
    if let Some((spot, what)) = &fault.also {
        let title = Level::NOTE.with_name(Some("see also")).secondary_title(what.as_str());
        groups.push(title.elements(place(spot, "")));
    }
    if let Some((fix, excerpt)) = fix {
        let patched = Snippet::source(excerpt.text.as_str())
            .line_start(fault.spot.line)
            .patch(Patch::new(excerpt.mark.clone(), fix));
        groups.push(Level::HELP.secondary_title(wrap(&fault.remedy, WIDTH - 8)).element(patched));
    }
    groups
}

/// Further cells with one fault, and what stands in each.
fn elsewhere(more: &[Spot]) -> String {
    let cell = |spot: &Spot| {
        let cell = spot.cell.as_deref().unwrap_or_default();
        match spot.text() {
            "" => cell.to_owned(),
            text => format!("{cell} ({})", shown(text)),
        }
    };
    let cells: Vec<String> = more.iter().map(cell).collect();
    format!("the same in {} more cells: {}", more.len(), cells.join(", "))
}

/// The line and what is marked in it, or the file alone where there is no line to show.
fn place<'a>(spot: &'a Spot, found: &str) -> Vec<Element<'a>> {
    if let Some(address) = spot.address() {
        let label = if found.is_empty() { "here" } else { found };
        let mut elements = vec![Element::from(Origin::path(address))];
        match &spot.excerpt {
            Some(excerpt) => {
                let mark =
                    AnnotationKind::Primary.span(excerpt.mark.clone()).label(label.to_owned());
                let row = Snippet::source(excerpt.text.as_str());
                elements.push(row.line_start(spot.line).annotation(mark).into());
            }
            None => {
                elements
                    .push(Level::NOTE.with_name(Some("found")).message(label.to_owned()).into());
            }
        }
        return elements;
    }
    let label = match &spot.cell {
        Some(cell) if found.is_empty() => format!("cell {cell}"),
        Some(cell) => format!("cell {cell}: {found}"),
        None => found.to_owned(),
    };
    let origin = Origin::path(spot.file.as_str()).line(spot.line).char_column(spot.column);
    let Some(excerpt) = &spot.excerpt else {
        let mut elements = vec![Element::from(origin)];
        if !label.is_empty() {
            elements.push(Level::NOTE.with_name(Some("found")).message(label).into());
        }
        return elements;
    };
    let mark = AnnotationKind::Primary.span(excerpt.mark.clone());
    let mark = if label.is_empty() { mark } else { mark.label(label) };
    let snippet = Snippet::source(excerpt.text.as_str()).line_start(spot.line).annotation(mark);
    if excerpt.whole {
        return vec![snippet.path(spot.file.as_str()).into()];
    }
    // The column within the part of a long line would mislead.
    vec![origin.into(), snippet.into()]
}

/// Breaks `text` between words so that no line is longer than `width` characters.
fn wrap(text: &str, width: usize) -> String {
    let mut out = String::new();
    for (number, paragraph) in text.split('\n').enumerate() {
        if number > 0 {
            out.push('\n');
        }
        let mut used = 0;
        for word in paragraph.split(' ') {
            let length = word.chars().count();
            if used > 0 && used + 1 + length > width {
                out.push('\n');
                used = 0;
            } else if used > 0 {
                out.push(' ');
                used += 1;
            }
            out.push_str(word);
            used += length;
        }
    }
    out
}
