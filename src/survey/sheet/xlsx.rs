//! XLSX: the workbook's sheets, its shared texts, and the cells of one sheet.

use super::archive::Archive;
use super::grid::{Area, Grid, SheetCell, Value, place_of};
use super::styles::Styles;
use super::xml::{Element, Said, Stream};
use super::{SheetFault, SheetName, Wanted, styles};
use crate::survey::number::number_text;

/// Most texts that cells may share: a hundred columns of two thousand rows.
const MOST_TEXTS: usize = 250_000;

pub(super) fn read(archive: &mut Archive, wanted: Wanted) -> Result<Grid, SheetFault> {
    let root = relations(archive, "")?;
    let workbook = target(&root, "/officeDocument")
        .ok_or_else(|| SheetFault::Broken("it names no workbook".to_owned()))?;
    let links = relations(archive, &workbook)?;
    let sheets = sheets(Stream::new("the workbook", archive.part(&workbook)?))?;
    let names: Vec<SheetName> = sheets.iter().map(|(name, _)| name.clone()).collect();
    let chosen = wanted.choose(&names)?;
    let link = links.iter().find(|link| link.id == sheets[chosen].1);
    let sheet = link.filter(|link| link.kind.ends_with("/worksheet")).ok_or_else(|| {
        SheetFault::Broken(format!("the sheet {} holds no cells", names[chosen].name))
    })?;
    let texts = match target(&links, "/sharedStrings") {
        Some(part) => match archive.optional(&part)? {
            Some(part) => shared(Stream::new("the shared texts", part))?,
            None => Vec::new(),
        },
        None => Vec::new(),
    };
    let styles = match target(&links, "/styles") {
        Some(part) => match archive.optional(&part)? {
            Some(part) => styles::styles(Stream::new("the styles", part))?,
            None => Styles::default(),
        },
        None => Styles::default(),
    };
    let stream = Stream::new("the sheet", archive.part(&sheet.target)?);
    let grid = Grid { sheet: names[chosen].name.clone(), ..Grid::default() };
    Cells { stream, texts: &texts, styles: &styles, grid }.read()
}

/// A link from one part to another.
struct Link {
    id: String,
    kind: String,
    target: String,
}

fn target(links: &[Link], kind: &str) -> Option<String> {
    links.iter().find(|link| link.kind.ends_with(kind)).map(|link| link.target.clone())
}

/// The links of `part`, their targets as names of parts.
fn relations(archive: &mut Archive, part: &str) -> Result<Vec<Link>, SheetFault> {
    let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
    let own = [folder, "_rels", &format!("{name}.rels")];
    let own: Vec<&str> = own.into_iter().filter(|part| !part.is_empty()).collect();
    let mut stream = Stream::new("the list of parts", archive.part(&own.join("/"))?);
    let mut links = Vec::new();
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "Relationship" => {
                let text = |name| element.get(name).unwrap_or_default().to_owned();
                links.push(Link {
                    id: text("Id"),
                    kind: text("Type"),
                    target: resolved(folder, &text("Target")),
                });
            }
            Said::End => return Ok(links),
            _ => {}
        }
    }
}

/// A target beside `folder`, or from the root when it begins with `/`.
fn resolved(folder: &str, target: &str) -> String {
    let mut parts: Vec<&str> = match target.strip_prefix('/') {
        Some(_) => Vec::new(),
        None => folder.split('/').filter(|part| !part.is_empty()).collect(),
    };
    for part in target.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts.pop();
            }
            part => parts.push(part),
        }
    }
    parts.join("/")
}

/// The sheets of the workbook, each with the name of its link.
fn sheets(mut stream: Stream) -> Result<Vec<(SheetName, String)>, SheetFault> {
    let mut sheets = Vec::new();
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "sheet" => {
                let name = element.get("name").unwrap_or_default().to_owned();
                let hidden = matches!(element.get("state"), Some("hidden" | "veryHidden"));
                let link = element.get("id").unwrap_or_default().to_owned();
                sheets.push((SheetName { name, hidden }, link));
            }
            Said::Close(name) if name == "sheets" => return Ok(sheets),
            Said::End => return Err(stream.cut_short()),
            _ => {}
        }
    }
}

/// The texts that cells share, in order; spoken forms beside them are left out.
fn shared(mut stream: Stream) -> Result<Vec<String>, SheetFault> {
    let mut texts = Vec::new();
    loop {
        match stream.next()? {
            Said::Open(element) if element.name == "si" => {
                texts.push(stream.text_of("si", &["rPh"])?);
                if texts.len() > MOST_TEXTS {
                    return Err(SheetFault::Bomb("the shared texts".to_owned()));
                }
            }
            Said::End => return Ok(texts),
            _ => {}
        }
    }
}

/// The cells of one sheet as they come.
struct Cells<'c> {
    stream: Stream<'c>,
    texts: &'c [String],
    styles: &'c Styles,
    grid: Grid,
}

impl Cells<'_> {
    fn read(mut self) -> Result<Grid, SheetFault> {
        let (mut row, mut column) = (0_usize, 0_usize);
        let (mut rows_begun, mut hidden) = (false, false);
        loop {
            match self.stream.next()? {
                Said::Open(element) => match element.name.as_str() {
                    "col" if element.flag("hidden") => self.hidden_columns(&element),
                    "row" => {
                        let next = if rows_begun { row + 1 } else { 0 };
                        row = element.number("r").and_then(|r| r.checked_sub(1)).unwrap_or(next);
                        (rows_begun, hidden, column) = (true, element.flag("hidden"), 0);
                    }
                    "c" => {
                        let place = element.get("r").and_then(place_of);
                        let (at, here) = place.unwrap_or((row, column));
                        column = here + 1;
                        if let Some(cell) = self.cell(&element)? {
                            self.grid.put(at, here, cell)?;
                            if hidden && self.grid.hidden_rows.last() != Some(&at) {
                                self.grid.hidden_rows.push(at);
                            }
                        }
                    }
                    "mergeCell" => self.merged(&element),
                    _ => {}
                },
                Said::Close(name) if name == "worksheet" => return Ok(self.grid),
                Said::End => return Err(self.stream.cut_short()),
                _ => {}
            }
        }
    }

    fn hidden_columns(&mut self, element: &Element) {
        let end = |name| element.number(name).and_then(|n| n.checked_sub(1));
        if let (Some(first), Some(last)) = (end("min"), end("max"))
            && self.grid.hidden_columns.len() < super::super::MAX_COLUMNS
        {
            self.grid.hidden_columns.push((first, last));
        }
    }

    fn merged(&mut self, element: &Element) {
        let ends = element.get("ref").and_then(|area| area.split_once(':'));
        if let Some((first, last)) = ends.and_then(|(a, b)| Some((place_of(a)?, place_of(b)?))) {
            self.grid.merge(Area { rows: (first.0, last.0), columns: (first.1, last.1) });
        }
    }

    /// The cell that `element` opens, to its end.
    fn cell(&mut self, element: &Element) -> Result<Option<SheetCell>, SheetFault> {
        let (mut formula, mut value, mut inline) = (false, None, None);
        loop {
            match self.stream.next()? {
                Said::Open(part) => match part.name.as_str() {
                    "f" => {
                        self.stream.text_of("f", &[])?;
                        formula = true;
                    }
                    "v" => value = Some(self.stream.text_of("v", &[])?),
                    "is" => inline = Some(self.stream.text_of("is", &["rPh"])?),
                    _ => {}
                },
                Said::Close(name) if name == "c" => break,
                Said::End => return Err(self.stream.cut_short()),
                _ => {}
            }
        }
        let kind = element.get("t").unwrap_or("n");
        let value = value.filter(|value| !value.is_empty() || kind == "str");
        let value = match (kind, value, inline) {
            ("inlineStr", _, Some(text)) => Value::Text(text),
            (_, None, _) if formula => Value::NoResult,
            (_, None, _) => return Ok(None),
            ("s", Some(index), _) => {
                let text = index.trim().parse::<usize>().ok().and_then(|i| self.texts.get(i));
                Value::Text(text.cloned().ok_or_else(|| {
                    SheetFault::Broken("a cell refers to a text that is not there".to_owned())
                })?)
            }
            ("b", Some(flag), _) => Value::Flag(flag.trim() == "1"),
            ("e", Some(error), _) => Value::Error(error),
            ("d", Some(date), _) => Value::Date(date),
            ("n", Some(number), _) => match number.trim().parse::<f64>() {
                Ok(value) if value.is_finite() => {
                    let style = element.number("s").unwrap_or(0);
                    if let Some(unit) = self.styles.units.get(&style) {
                        Value::Text(styles::with_unit(value, unit))
                    } else if self.styles.dates.contains(&style) {
                        Value::Date(styles::day(value).unwrap_or_else(|| number_text(value)))
                    } else {
                        Value::Number(value)
                    }
                }
                _ => Value::Text(number),
            },
            (_, Some(text), _) => Value::Text(text),
        };
        Ok(Some(SheetCell { value, formula }))
    }
}
