//! Columns and wrapped items for a terminal.

use super::WIDTH;

/// Words are never cut shorter than this.
const LEAST: usize = 12;

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

    /// The table as text; where it is too wide its widest words are cut short, never a figure.
    pub fn text(&self) -> String {
        let mut widths: Vec<usize> = (0..self.heads.len())
            .map(|i| {
                let cells = self.rows.iter().map(|row| wide(&row[i]));
                cells.chain([wide(&self.heads[i].0)]).max().unwrap_or(0)
            })
            .collect();
        let whole = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
        let words = |(i, _): &(usize, &mut usize)| self.heads[*i].1 == Align::Left;
        if let Some((_, widest)) =
            widths.iter_mut().enumerate().filter(words).max_by_key(|(_, width)| **width)
        {
            *widest -= whole.saturating_sub(WIDTH).min(widest.saturating_sub(LEAST));
        }
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
    if wide(cell) > width {
        let kept: String = cell.chars().take(width.saturating_sub(1)).collect();
        return format!("{kept}…");
    }
    let space = " ".repeat(width - wide(cell));
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
    for word in figures_whole(text) {
        let room = WIDTH - indent.len();
        if !line.is_empty() && wide(&line) + 1 + wide(&word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
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

/// Units that stay with the figure before them.
const UNITS: [&str; 20] = [
    "mm", "m", "in", "g", "kg", "g/m", "kg/m³", "N", "kN", "Nm", "MPa", "GPa", "Hz", "%", "cent",
    "cents", "tf", "kN/m", "°C", "sd",
];

/// The words of `text`, a figure with its uncertainty, its unit and "in 100" as one word.
fn figures_whole(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([',', ';', '.', ':', ')', '?', '!']);
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        let goes_on = words.last().is_some_and(|last| {
            let figure = digit(last.chars().last());
            let within = last.ends_with(" in") || last.ends_with('±');
            bare == "±"
                || (within && digit(word.trim_start_matches('−').chars().next()))
                || (figure && UNITS.contains(&bare))
                || (bare == "m" && last.ends_with(" N"))
        });
        match words.last_mut().filter(|_| goes_on) {
            Some(last) => {
                last.push(' ');
                last.push_str(word);
            }
            None => words.push(word.to_owned()),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_stays_with_its_doubt_and_its_unit() {
        let words =
            figures_whole("it is off by −11.1 ± 0.2 mm, for 99 in 100 turn below 5.6 N m; so 3");
        let whole = [
            "it",
            "is",
            "off",
            "by",
            "−11.1 ± 0.2 mm,",
            "for",
            "99 in 100",
            "turn",
            "below",
            "5.6 N m;",
        ];
        assert_eq!(words[..10], whole);
        // A preposition after a figure that no figure follows does not hold on for ever.
        assert_eq!(figures_whole("of 1926 in the tenor"), ["of", "1926 in", "the", "tenor"]);
    }

    #[test]
    fn figures_stand_under_each_other() {
        let mut table = Columns::new(&[("note", Align::Left), ("N", Align::Right)]);
        table.row(vec!["A0".into(), "962".into()]);
        table.row(vec!["A#0".into(), "1021".into()]);
        assert_eq!(table.text(), "note     N\nA0     962\nA#0   1021\n");
    }

    #[test]
    fn a_name_is_cut_before_a_row_leaves_the_terminal() {
        let mut table = Columns::new(&[("section", Align::Left), ("N", Align::Right)]);
        table.row(vec!["name ".repeat(40), "962".into()]);
        table.row(vec!["bass".into(), "1021".into()]);
        let text = table.text();
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        assert!(text.contains("…   962\n"), "{text}");
    }

    #[test]
    fn items_wrap_below_their_first_word() {
        let text = item("! ", &"word ".repeat(40));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("  word")));
    }
}
