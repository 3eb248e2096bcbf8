//! Text with places: a file, its lines, and spans that never cut a character.

use super::sheet::letters;
use super::words::shown;
use crate::instrument::Place;
use std::ops::Range;
use std::rc::Rc;

/// One file as text.
#[derive(Debug)]
pub(super) struct Source {
    file: String,
    /// The sheet of a spreadsheet, whose rows are the lines.
    sheet: Option<String>,
    text: String,
    starts: Vec<usize>,
}

impl Source {
    pub fn new(file: &str, text: String) -> Rc<Self> {
        // Some programs end lines with a carriage return alone.
        let text = if text.contains('\n') { text } else { text.replace('\r', "\n") };
        let after_newlines =
            text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1);
        let starts = std::iter::once(0).chain(after_newlines).collect();
        Rc::new(Self { file: file.to_owned(), sheet: None, text, starts })
    }

    /// The rows of a sheet as lines.
    pub fn of_sheet(file: &str, sheet: &str, text: String) -> Rc<Self> {
        let source = Rc::into_inner(Self::new(file, text)).expect("made just now");
        Rc::new(Self { sheet: Some(shown(sheet)), ..source })
    }

    /// What it is called: the file, and the sheet of it.
    pub fn name(&self) -> String {
        match &self.sheet {
            Some(sheet) => format!("{}!{sheet}", self.file),
            None => self.file.clone(),
        }
    }

    pub fn text(&self) -> &str {
        &self.text
    }

    /// The end of a line, from 1, as a place.
    pub fn end_of_line(self: &Rc<Self>, line: usize) -> At {
        let line = line - 1;
        let end = self.starts[line] + self.line(line).len();
        At::new(self, end..end)
    }

    /// Line of a byte, from 0.
    fn line_of(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte) - 1
    }

    /// The text of a line without its end.
    fn line(&self, line: usize) -> &str {
        let end = self.starts.get(line + 1).copied().unwrap_or(self.text.len());
        self.text[self.starts[line]..end].trim_end_matches(['\n', '\r'])
    }
}

/// A place in a source: what every key, value and cell carries until a fault needs it.
#[derive(Debug, Clone)]
pub(super) struct At {
    source: Rc<Source>,
    span: Range<usize>,
    /// Column of a table, from 0.
    column: Option<usize>,
}

impl At {
    pub fn new(source: &Rc<Source>, span: Range<usize>) -> Self {
        Self { source: Rc::clone(source), span, column: None }
    }

    /// The same place as a cell of table column `column`, from 0.
    pub fn in_column(mut self, column: usize) -> Self {
        self.column = Some(column);
        self
    }

    pub fn place(&self) -> Place {
        Place { file: self.source.name(), line: self.line() }
    }

    pub fn line(&self) -> usize {
        self.source.line_of(self.span.start.min(self.source.text.len())) + 1
    }

    /// The place as a fault shows it. Here, and only here, a span is snapped to whole characters.
    pub fn spot(&self) -> Spot {
        let text = &self.source.text;
        let start = text.floor_char_boundary(self.span.start.min(text.len()));
        let line = self.source.line_of(start);
        let shown = self.source.line(line);
        let from = (start - self.source.starts[line]).min(shown.len());
        let end = text.ceil_char_boundary(self.span.end.clamp(start, text.len()));
        let to = (end - self.source.starts[line]).clamp(from, shown.len());
        Spot {
            file: self.source.file.clone(),
            sheet: self.source.sheet.clone(),
            line: line + 1,
            column: shown[..from].chars().count() + 1,
            cell: self.column.map(|column| format!("{}{}", letters(column), line + 1)),
            excerpt: Some(Excerpt::around(shown, from..to)),
        }
    }
}

/// Where a fault is, as plain data.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// File name inside the survey's folder.
    pub file: String,
    /// Sheet of a spreadsheet.
    pub sheet: Option<String>,
    /// Line, or row of a sheet, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Address of a table's cell, as spreadsheets count: `C7`.
    pub cell: Option<String>,
    /// The line itself, as far as it is shown.
    pub(super) excerpt: Option<Excerpt>,
}

impl Spot {
    /// A whole file.
    pub fn file(name: &str) -> Self {
        Self { file: name.to_owned(), sheet: None, line: 1, column: 1, cell: None, excerpt: None }
    }

    /// A cell by its address, where its row is not to be shown.
    pub(super) fn sheet_cell(file: &str, sheet: &str, cell: Option<String>) -> Self {
        Self { sheet: Some(shown(sheet)), cell, ..Self::file(file) }
    }

    /// Where a spreadsheet's own user would look: `strings.xlsx!Strings!C14`.
    pub fn address(&self) -> Option<String> {
        let sheet = self.sheet.as_ref()?;
        let cell = self.cell.as_ref().map_or(String::new(), |cell| format!("!{cell}"));
        Some(format!("{}!{sheet}{cell}", self.file))
    }

    /// The text that the fault is about.
    pub fn text(&self) -> &str {
        self.excerpt.as_ref().map_or("", |excerpt| &excerpt.text[excerpt.mark.clone()])
    }
}

/// One line of text, or the part of a long one, and the bytes in it that are meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Excerpt {
    pub text: String,
    pub mark: Range<usize>,
    /// Whether it is the whole line.
    pub whole: bool,
}

impl Excerpt {
    /// Lines up to this many bytes are shown whole.
    const WHOLE: usize = 400;
    /// Of longer lines, this many bytes before the mark and of the mark and what follows it.
    const BEFORE: usize = 60;
    const AFTER: usize = 120;

    fn around(line: &str, mark: Range<usize>) -> Self {
        let line = &printable(line);
        if line.len() <= Self::WHOLE {
            return Self { text: line.clone(), mark, whole: true };
        }
        let from = line.floor_char_boundary(mark.start.saturating_sub(Self::BEFORE));
        let to = line.ceil_char_boundary((mark.start + Self::AFTER).min(line.len()));
        let mut text = String::from(if from > 0 { "…" } else { "" });
        let shift = text.len();
        text.push_str(&line[from..to]);
        let mark = mark.start - from + shift..mark.end.min(to) - from + shift;
        if to < line.len() {
            text.push('…');
        }
        Self { text, mark, whole: false }
    }
}

/// The line with control characters of two bytes (U+0080 to U+009F), which the renderer lets through,
/// as middle dots of two bytes: no mark moves.
fn printable(line: &str) -> String {
    line.chars().map(|c| if matches!(c, '\u{80}'..='\u{9f}') { '·' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_that_cuts_a_character_is_widened_to_it() {
        let source = Source::new("a", "x♯y\r\nz".to_owned());
        let spot = At::new(&source, 2..3).spot();
        assert_eq!((spot.line, spot.column, spot.text()), (1, 2, "♯"));
        let spot = At::new(&source, 7..700).spot();
        assert_eq!((spot.line, spot.column, spot.text()), (2, 1, "z"));
    }

    #[test]
    fn a_long_line_is_shown_in_part() {
        let source = Source::new("a", "é".repeat(5000) + "here" + &"ü".repeat(5000));
        let spot = At::new(&source, 10_000..10_004).spot();
        assert_eq!((spot.column, spot.text()), (5001, "here"));
        assert!(spot.excerpt.expect("excerpt").text.len() < 200);
    }
}
