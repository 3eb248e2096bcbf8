//! CSV tables that a spreadsheet opens without being tricked into running a cell.
//!
//! A cell of text that begins with `=`, `+`, `-`, `@`, a tab or a carriage return would be taken as a
//! formula; it gets a leading apostrophe. Our own numbers begin with a minus sign now and then and are
//! written as they are.

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// Words, ours or the survey's.
    Text(String),
    /// A number that we have formatted: digits, a decimal point, an ASCII minus.
    Number(String),
    /// Nothing: not known.
    Empty,
}

impl Cell {
    /// A number with so many `places`, or nothing.
    pub fn fixed(value: Option<f64>, places: u8) -> Self {
        value.map_or(Self::Empty, |v| Self::Number(super::words::ascii_fixed(v, places)))
    }

    /// A whole number.
    pub fn count(value: impl Into<u64>) -> Self {
        Self::Number(value.into().to_string())
    }

    fn written(&self) -> String {
        match self {
            Self::Text(text) if text.starts_with(['=', '+', '-', '@', '\t', '\r']) => {
                format!("'{text}")
            }
            Self::Text(text) | Self::Number(text) => text.clone(),
            Self::Empty => String::new(),
        }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

/// A table as CSV (RFC 4180, UTF-8, line ends `\r\n`): its heads, then its rows;
/// nothing when there is no head.
///
/// ```
/// use feltwire::document::csv::{Cell, table};
/// let text = table(&["note", "bore_mm"], &[vec!["A0".into(), Cell::fixed(Some(56.7), 1)]]);
/// assert_eq!(text, "note,bore_mm\r\nA0,56.7\r\n");
/// ```
pub fn table(heads: &[&str], rows: &[Vec<Cell>]) -> String {
    let mut text = String::new();
    if heads.is_empty() {
        return text;
    }
    line(&mut text, heads.iter().map(|head| Cell::from(*head).written()));
    for row in rows {
        line(&mut text, row.iter().map(Cell::written));
    }
    text
}

fn line(text: &mut String, cells: impl Iterator<Item = String>) {
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            text.push(',');
        }
        if cell.contains(['"', ',', '\r', '\n']) {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(&cell);
        }
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_that_could_run_is_made_words() {
        // RFC 4180 for the quoting, read back by another's reader.
        let cells = ["=1+1", "+1", "-1", "@a", "\tb", "plain", "a \"b\", c\nd", ""];
        let rows = vec![
            cells.iter().map(|cell| Cell::from(*cell)).collect(),
            vec![Cell::fixed(Some(-1.26), 1), Cell::fixed(None, 1), Cell::count(3_u8)],
        ];
        let text = table(&["x"], &rows);
        let mut reader = ::csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
        let read: Vec<_> = reader.records().map(|row| row.expect("well formed")).collect();
        let expected = ["'=1+1", "'+1", "'-1", "'@a", "'\tb", "plain", "a \"b\", c\nd", ""];
        assert_eq!(read[0].iter().collect::<Vec<_>>(), expected);
        assert_eq!(read[1].iter().collect::<Vec<_>>(), ["-1.3", "", "3"]);
    }
}
