//! Columns and wrapped items for a terminal.

use super::WIDTH;

/// A table: heads, then rows; each column as wide as its widest cell, figures to the right.
#[derive(Debug, Default)]
pub struct Columns {
    heads: Vec<(String, Align)>,
    rows: Vec<Vec<String>>,
}

/// To which side a column's cells are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

impl Columns {
    /// A table with these heads.
    pub fn new(heads: &[(&str, Align)]) -> Self {
        Self {
            heads: heads.iter().map(|(head, align)| ((*head).to_owned(), *align)).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<String>) {
        debug_assert_eq!(cells.len(), self.heads.len());
        self.rows.push(cells);
    }

    /// The table as text.
    pub fn text(&self) -> String {
        let widths: Vec<usize> = (0..self.heads.len())
            .map(|i| {
                let cells = self.rows.iter().map(|row| wide(&row[i]));
                cells.chain([wide(&self.heads[i].0)]).max().unwrap_or(0)
            })
            .collect();
        let heads: Vec<String> = self.heads.iter().map(|(head, _)| head.clone()).collect();
        let mut text = String::new();
        for row in std::iter::once(&heads).chain(&self.rows) {
            let cells: Vec<String> = row
                .iter()
                .zip(&self.heads)
                .zip(&widths)
                .map(|((cell, (_, align)), width)| padded(cell, *align, *width))
                .collect();
            text.push_str(cells.join("  ").trim_end());
            text.push('\n');
        }
        text
    }
}

fn padded(cell: &str, align: Align, width: usize) -> String {
    let space = " ".repeat(width.saturating_sub(wide(cell)));
    match align {
        Align::Left => format!("{cell}{space}"),
        Align::Right => format!("{space}{cell}"),
    }
}

/// Characters of a cell: all that we print are one column wide.
fn wide(cell: &str) -> usize {
    cell.chars().count()
}

/// A paragraph after a mark, wrapped with its lines indented below its first word.
pub fn item(mark: &str, text: &str) -> String {
    let indent = " ".repeat(mark.chars().count());
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let room = WIDTH - indent.len();
        if !line.is_empty() && wide(&line) + 1 + wide(word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(line);
    let mut wrapped = String::new();
    for (i, line) in lines.iter().enumerate() {
        wrapped.push_str(if i == 0 { mark } else { &indent });
        wrapped.push_str(line);
        wrapped.push('\n');
    }
    wrapped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_under_each_other() {
        let mut table = Columns::new(&[("note", Align::Left), ("N", Align::Right)]);
        table.row(vec!["A0".into(), "962".into()]);
        table.row(vec!["A#0".into(), "1021".into()]);
        assert_eq!(table.text(), "note     N\nA0     962\nA#0   1021\n");
    }

    #[test]
    fn items_wrap_below_their_first_word() {
        let text = item("! ", &"word ".repeat(40));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("  word")));
    }
}
