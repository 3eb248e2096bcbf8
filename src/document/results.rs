//! The whole result as sheets: every JSON object of ours, its lists of objects as tables.
//!
//! One source for both: what a program reads as JSON, a person reads as sheets. A list of objects becomes
//! a sheet of its own, a nested object's keys columns of their row, and a list within a row a sheet that
//! repeats what the row is about. Keys carry their unit, and so do heads.

use super::Date;
use super::shapes;
use super::xlsx::{Entry, Head, Made, Sheet, XlsxFault, workbook};
use crate::report::{Report, ScaleMore};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// The workbook of every result of `report`.
pub fn results(report: &Report, date: Date) -> Result<Vec<u8>, XlsxFault> {
    let mut sheets = vec![about(report, date)];
    let objects = [
        ("strings", shapes::scale(report, &ScaleMore::default())),
        ("breaks", shapes::breaks(report)),
        ("verdicts", shapes::decide(report)),
        ("hammers", shapes::hammers(report)),
        ("limits", shapes::limits(&report.limits)),
    ];
    for (name, json) in &objects {
        let Ok(Tree::Map(keys)) = serde_json::from_str::<Tree>(json) else { continue };
        for (key, tree) in keys {
            if let Tree::List(list) = tree {
                let name = if key == "notes" || key == *name {
                    (*name).to_owned()
                } else {
                    key.replace('_', " ")
                };
                tables(&name, &[], list, &mut sheets);
            }
        }
    }
    for sheet in &mut sheets {
        // Several objects carry the same warnings.
        let mut seen: Vec<Vec<Entry>> = Vec::new();
        sheet.rows.retain(|row| {
            let new = !seen.contains(row);
            if new {
                seen.push(row.clone());
            }
            new
        });
    }
    sheets.retain(|sheet| !sheet.rows.is_empty());
    let title = format!("Results: {}", report.instrument.name);
    workbook(&sheets, Made { title: &title, date })
}

/// What the workbook is of.
fn about(report: &Report, date: Date) -> Sheet {
    let instrument = &report.instrument;
    let row = |label: &str, value: String| vec![Entry::Text(label.to_owned()), Entry::Text(value)];
    let head = |name: &str| Head { name: name.to_owned(), about: None };
    Sheet {
        name: "about".to_owned(),
        heads: vec![head("what"), head("value")],
        rows: vec![
            row("survey", instrument.name.clone()),
            row("compass", instrument.compass.to_string()),
            row("content of the survey", report.survey_hash.clone()),
            row("program", concat!("Feltwire ", env!("CARGO_PKG_VERSION")).to_owned()),
            row("date", date.in_words()),
            row("units", "the end of each head is its unit: mm, n (newton), mpa, hz, g, deg, kg_s, percent; sd is one standard deviation, lo and hi 5 and 95 %".to_owned()),
            row("empty cells", "not known".to_owned()),
        ],
    }
}

/// JSON with its keys in their order.
enum Tree {
    Leaf(Entry),
    List(Vec<Tree>),
    Map(Vec<(String, Tree)>),
}

/// Cells of one row, each with its head.
type Cells = Vec<(String, Entry)>;

/// The table of a list of objects, and those of the lists within it; `above` is what its rows belong to.
fn tables(name: &str, above: &[(String, Entry)], list: Vec<Tree>, sheets: &mut Vec<Sheet>) {
    let mut table = Table::new(name);
    let mut inner: Vec<(String, Cells, Vec<Tree>)> = Vec::new();
    for (index, tree) in list.into_iter().enumerate() {
        let mut cells = above.to_vec();
        let mut lists = Vec::new();
        match tree {
            Tree::Leaf(entry) => cells.push(("value".to_owned(), entry)),
            tree => flat("", tree, &mut cells, &mut lists),
        }
        let own = cells.get(above.len()).cloned();
        let own = own.unwrap_or(("row".to_owned(), Entry::Number(index as f64 + 1.0)));
        for (key, list) in lists {
            let mut belongs = above.to_vec();
            belongs.push((format!("{name} {}", own.0), own.1.clone()));
            inner.push((format!("{name} {key}"), belongs, list));
        }
        table.row(cells);
    }
    match sheets.iter_mut().find(|sheet| sheet.name == name) {
        Some(sheet) => table.append_to(sheet),
        None => sheets.push(table.done()),
    }
    for (name, above, list) in inner {
        tables(&name, &above, list, sheets);
    }
}

/// The cells of one object, keys of inner objects behind those of the outer; lists of objects aside.
fn flat(
    path: &str,
    tree: Tree,
    cells: &mut Vec<(String, Entry)>,
    lists: &mut Vec<(String, Vec<Tree>)>,
) {
    let under = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path} {key}") };
    match tree {
        Tree::Leaf(entry) => cells.push((path.to_owned(), entry)),
        Tree::Map(keys) if is_table(path, &keys) => {
            let row = |(key, tree): (String, Tree)| {
                let mut cells = vec![("figure".to_owned(), Tree::Leaf(Entry::Text(key)))];
                if let Tree::Map(more) = tree {
                    cells.extend(more);
                }
                Tree::Map(cells)
            };
            lists.push((path.to_owned(), keys.into_iter().map(row).collect()));
        }
        Tree::Map(keys) => {
            for (key, tree) in keys {
                flat(&under(&key), tree, cells, lists);
            }
        }
        Tree::List(list) if list.iter().any(|tree| matches!(tree, Tree::Map(_))) => {
            lists.push((path.to_owned(), list));
        }
        Tree::List(list) => {
            let numbers = list.iter().all(|tree| matches!(tree, Tree::Leaf(Entry::Number(_))));
            if numbers && !list.is_empty() {
                for (index, tree) in list.into_iter().enumerate() {
                    flat(&format!("{path} {}", index + 1), tree, cells, lists);
                }
            } else {
                let words = list.into_iter().filter_map(|tree| match tree {
                    Tree::Leaf(Entry::Text(text)) => Some(text),
                    Tree::Leaf(Entry::Number(number)) => Some(number.to_string()),
                    _ => None,
                });
                let words = words.collect::<Vec<_>>().join("; ");
                let entry = if words.is_empty() { Entry::Empty } else { Entry::Text(words) };
                cells.push((path.to_owned(), entry));
            }
        }
    }
}

/// Whether the keys of an inner object name objects of one kind: they are rows, not columns.
fn is_table(path: &str, keys: &[(String, Tree)]) -> bool {
    let objects = || keys.iter().filter(|(_, tree)| matches!(tree, Tree::Map(_)));
    !path.is_empty() && keys.len() > 2 && objects().count() == keys.len()
}

/// A table whose columns are found as its rows come.
struct Table {
    name: String,
    heads: Vec<String>,
    rows: Vec<Vec<Entry>>,
}

impl Table {
    fn new(name: &str) -> Self {
        Self { name: name.to_owned(), heads: Vec::new(), rows: Vec::new() }
    }

    fn row(&mut self, cells: Vec<(String, Entry)>) {
        let mut row = vec![Entry::Empty; self.heads.len()];
        for (head, entry) in cells {
            let column = self.heads.iter().position(|known| *known == head).unwrap_or_else(|| {
                self.heads.push(head);
                row.push(Entry::Empty);
                self.heads.len() - 1
            });
            row[column] = entry;
        }
        self.rows.push(row);
    }

    fn done(mut self) -> Sheet {
        for row in &mut self.rows {
            row.resize(self.heads.len(), Entry::Empty);
        }
        let heads = self.heads.into_iter().map(|name| Head { name, about: None }).collect();
        Sheet { name: self.name, heads, rows: self.rows }
    }

    /// Adds its rows to a sheet of the same kind.
    fn append_to(self, sheet: &mut Sheet) {
        let mut whole = Self {
            name: sheet.name.clone(),
            heads: sheet.heads.iter().map(|head| head.name.clone()).collect(),
            rows: std::mem::take(&mut sheet.rows),
        };
        for row in self.rows {
            whole.row(self.heads.iter().cloned().zip(row).collect());
        }
        *sheet = whole.done();
    }
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(source: D) -> Result<Self, D::Error> {
        source.deserialize_any(Grown)
    }
}

struct Grown;

impl<'de> Visitor<'de> for Grown {
    type Value = Tree;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Flag(value)))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Number(value as f64)))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Number(value as f64)))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Number(value)))
    }

    fn visit_str<E>(self, value: &str) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Text(value.to_owned())))
    }

    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Leaf(Entry::Empty))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut source: A) -> Result<Tree, A::Error> {
        let mut list = Vec::new();
        while let Some(tree) = source.next_element()? {
            list.push(tree);
        }
        Ok(Tree::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut source: A) -> Result<Tree, A::Error> {
        let mut keys = Vec::new();
        while let Some(pair) = source.next_entry()? {
            keys.push(pair);
        }
        Ok(Tree::Map(keys))
    }
}
