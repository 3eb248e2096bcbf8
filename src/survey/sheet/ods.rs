//! ODS: the tables of `content.xml`, one of which is kept.
//!
//! Repeated rows and cells are written once with a count; a count is only followed where the cell is
//! filled, so that a sheet formatted to its last row costs nothing.

use super::archive::Archive;
use super::grid::{Area, Grid, SheetCell, Value};
use super::xml::{Element, Said, Stream};
use super::{SheetFault, SheetName, Wanted, styles};
use crate::measure::text;
use crate::survey::{MAX_COLUMNS, MAX_ROWS};
use std::collections::BTreeSet;

/// A filled cell may be repeated this often in a row before it is no table any more.
const MOST_REPEATS: usize = MAX_COLUMNS + 1;

pub(super) fn read(archive: &mut Archive, wanted: Wanted) -> Result<Grid, SheetFault> {
    if let Some(part) = archive.optional("META-INF/manifest.xml")? {
        locked(Stream::new("the manifest", part))?;
    }
    let names = names(Stream::new("the content", archive.part("content.xml")?))?;
    let chosen = wanted.choose(&names)?;
    let mut stream = Stream::new("the content", archive.part("content.xml")?);
    let mut seen = 0;
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "table" => {
                if seen == chosen {
                    let grid = Grid { sheet: names[chosen].name.clone(), ..Grid::default() };
                    return Rows { stream, grid, row: 0 }.read();
                }
                seen += 1;
                skip_table(&mut stream)?;
            }
            Said::End => return Err(stream.cut_short()),
            _ => {}
        }
    }
}

fn locked(mut stream: Stream) -> Result<(), SheetFault> {
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "encryption-data" => {
                return Err(SheetFault::NotThisFormat("locked by a password"));
            }
            Said::End => return Ok(()),
            _ => {}
        }
    }
}

/// The tables in order; hidden where their style says that they are not displayed.
fn names(mut stream: Stream) -> Result<Vec<SheetName>, SheetFault> {
    let (mut undisplayed, mut style, mut names) = (BTreeSet::new(), String::new(), Vec::new());
    loop {
        match stream.next()? {
            Said::Open(element) => match element.name.as_str() {
                "style" => element.get("name").unwrap_or_default().clone_into(&mut style),
                "table-properties" if element.get("display") == Some("false") => {
                    undisplayed.insert(style.clone());
                }
                "table" => {
                    let name = element.get("name").unwrap_or_default().to_owned();
                    let hidden = element.get("style-name").is_some_and(|s| undisplayed.contains(s));
                    names.push(SheetName { name, hidden });
                    skip_table(&mut stream)?;
                }
                _ => {}
            },
            Said::End => return Ok(names),
            _ => {}
        }
    }
}

/// To the end of the table in which the stream stands; tables within a cell count.
fn skip_table(stream: &mut Stream) -> Result<(), SheetFault> {
    let mut depth = 0_usize;
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "table" => depth += 1,
            Said::Close(name) if name == "table" => match depth.checked_sub(1) {
                Some(less) => depth = less,
                None => return Ok(()),
            },
            Said::End => return Err(stream.cut_short()),
            _ => {}
        }
    }
}

/// The unit that is shown behind a number.
fn unit(shown: &str) -> Option<&str> {
    let end = shown.rfind(|c: char| c.is_numeric())?;
    let unit = shown[end..].trim_start_matches(char::is_numeric).trim();
    (unit == styles::PERCENT || text::is_unit(unit)).then_some(unit)
}

struct Rows<'r> {
    stream: Stream<'r>,
    grid: Grid,
    row: usize,
}

impl Rows<'_> {
    fn read(mut self) -> Result<Grid, SheetFault> {
        let mut columns = 0;
        loop {
            match self.stream.next()? {
                Said::Open(element) if element.name == "table-column" => {
                    let repeated = element.number("number-columns-repeated").unwrap_or(1);
                    if matches!(element.get("visibility"), Some("collapse" | "filter"))
                        && self.grid.hidden_columns.len() < MAX_COLUMNS
                    {
                        let last = columns + repeated.saturating_sub(1);
                        self.grid.hidden_columns.push((columns, last));
                    }
                    columns = columns.saturating_add(repeated);
                }
                Said::Open(element) if element.name == "table-row" => self.one(&element)?,
                // Drawings over the sheet, whatever they hold.
                Said::Open(element) if element.name == "shapes" => {
                    self.stream.text_of("shapes", &[])?;
                }
                Said::Close(name) if name == "table" => return Ok(self.grid),
                Said::End => return Err(self.stream.cut_short()),
                _ => {}
            }
        }
    }

    /// One row, as often as it is repeated.
    fn one(&mut self, element: &Element) -> Result<(), SheetFault> {
        let repeated = element.number("number-rows-repeated").unwrap_or(1).max(1);
        let hidden = matches!(element.get("visibility"), Some("collapse" | "filter"));
        let (mut column, mut cells) = (0_usize, Vec::new());
        loop {
            match self.stream.next()? {
                Said::Open(cell)
                    if matches!(cell.name.as_str(), "table-cell" | "covered-table-cell") =>
                {
                    let repeats = cell.number("number-columns-repeated").unwrap_or(1).max(1);
                    let covered = cell.name == "covered-table-cell";
                    let content = self.content(&cell)?;
                    self.spans(&cell, column);
                    if let Some(content) = content.filter(|_| !covered) {
                        for i in 0..repeats.min(MOST_REPEATS) {
                            cells.push((column.saturating_add(i), content.clone()));
                        }
                    }
                    column = column.saturating_add(repeats);
                }
                Said::Close(name) if name == "table-row" => break,
                Said::End => return Err(self.stream.cut_short()),
                _ => {}
            }
        }
        if !cells.is_empty() {
            for copy in 0..repeated.min(MAX_ROWS + 100) {
                for (column, cell) in &cells {
                    self.grid.put(self.row.saturating_add(copy), *column, cell.clone())?;
                }
                if hidden {
                    self.grid.hidden_rows.push(self.row + copy);
                }
            }
        }
        self.row = self.row.saturating_add(repeated);
        Ok(())
    }

    fn spans(&mut self, cell: &Element, column: usize) {
        let across = cell.number("number-columns-spanned").unwrap_or(1).max(1);
        let down = cell.number("number-rows-spanned").unwrap_or(1).max(1);
        self.grid.merge(Area {
            rows: (self.row, self.row.saturating_add(down - 1)),
            columns: (column, column.saturating_add(across - 1)),
        });
    }

    /// What the cell that `element` opens holds, to its end.
    fn content(&mut self, element: &Element) -> Result<Option<SheetCell>, SheetFault> {
        let (shown, paragraphs) = self.paragraphs(&element.name)?;
        let formula = element.get("formula").is_some();
        let number = || element.get("value").and_then(|v| v.trim().parse::<f64>().ok());
        let kind = element.get("value-type");
        let error = formula && (shown.starts_with('#') || shown.starts_with("Err:"));
        let value = match kind {
            _ if error => Value::Error(shown),
            Some("float" | "percentage" | "currency") => match number() {
                Some(value) if value.is_finite() => match unit(&shown) {
                    Some(unit) => Value::Text(styles::with_unit(value, unit)),
                    None => Value::Number(value),
                },
                _ => Value::Text(shown),
            },
            Some("date") => Value::Date(element.get("date-value").map_or(shown, str::to_owned)),
            Some("time") => Value::Date(element.get("time-value").map_or(shown, str::to_owned)),
            Some("boolean") => Value::Flag(element.get("boolean-value") == Some("true")),
            Some(_) => Value::Text(element.get("string-value").map_or(shown, str::to_owned)),
            // A formula that gives nothing has an empty paragraph; one that was never worked out has none.
            None if formula && paragraphs == 0 => Value::NoResult,
            None if formula && shown.is_empty() => Value::Text(shown),
            None if shown.is_empty() => return Ok(None),
            None => Value::Text(shown),
        };
        Ok(Some(SheetCell { value, formula }))
    }

    /// The words of a cell, its remarks left out, and in how many paragraphs they stand.
    fn paragraphs(&mut self, cell: &str) -> Result<(String, usize), SheetFault> {
        let (mut text, mut paragraphs, mut remarks) = (String::new(), 0, 0_usize);
        loop {
            match self.stream.next()? {
                Said::Open(element) => match element.name.as_str() {
                    "annotation" | "shapes" | "table" => remarks += 1,
                    _ if remarks > 0 => {}
                    "p" => {
                        if paragraphs > 0 {
                            text.push('\n');
                        }
                        paragraphs += 1;
                    }
                    "s" => {
                        let spaces = element.number("c").unwrap_or(1).min(100);
                        text.push_str(&" ".repeat(spaces));
                    }
                    "tab" => text.push(' '),
                    "line-break" => text.push('\n'),
                    _ => {}
                },
                Said::Close(name) if name == cell && remarks == 0 => {
                    return Ok((text, paragraphs));
                }
                Said::Close(name) if matches!(name.as_str(), "annotation" | "shapes" | "table") => {
                    remarks = remarks.saturating_sub(1);
                }
                Said::Text(more) if remarks == 0 && paragraphs > 0 => text.push_str(&more),
                Said::End => return Err(self.stream.cut_short()),
                _ => {}
            }
        }
    }
}
