//! The lists that a JSON object of ours holds, as tables: one source for what a program reads as JSON or
//! CSV and what a person reads as sheets.
//!
//! A list of objects is a table; the keys of a nested object are columns of their row, named with both
//! keys; a list within a row is a table of its own that repeats what the row is about. What stands in no
//! list is the one row of the table [`WHOLE`]. Keys carry their unit, and so do heads.

use super::csv::{self, Cell};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// The table of what stands in no list: sums, and what the object is of.
pub const WHOLE: &str = "whole";

/// What stands in one place of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// Words, ours or the survey's.
    Text(String),
    /// A figure.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    /// Nothing: not known, or to be filled in.
    Empty,
}

/// A list of an object as a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct List {
    /// The keys that lead to it.
    pub name: String,
    /// Its columns.
    pub heads: Vec<String>,
    /// Its rows, each as long as the heads.
    pub rows: Vec<Vec<Entry>>,
}

/// The lists of the object `json`, that of its own keys first; keys of nested objects and lists are put
/// together with `joint` between them. An empty list has no columns and no rows.
pub(super) fn lists(json: &str, joint: &'static str) -> Vec<List> {
    let Ok(tree @ Tree::Map(_)) = serde_json::from_str::<Tree>(json) else { return Vec::new() };
    let mut unfolded = Unfolded { joint, tables: Vec::new() };
    let (mut cells, mut inner) = (Vec::new(), Vec::new());
    unfolded.flat("", tree, &mut cells, &mut inner);
    unfolded.table(WHOLE.to_owned()).row(cells);
    for (name, list) in inner {
        unfolded.add(&name, &[], list);
    }
    let words_elsewhere = |table: &Table| {
        // An empty list may be one of words, which other rows show in a column.
        table.rows.is_empty()
            && unfolded.tables.iter().any(|parent| {
                let name = if parent.name == WHOLE { "" } else { &parent.name };
                parent.heads.iter().any(|head| unfolded.joined(name, head) == table.name)
            })
    };
    let keep: Vec<bool> = unfolded.tables.iter().map(|table| !words_elsewhere(table)).collect();
    let kept = unfolded.tables.into_iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(table, _)| table.done()).collect()
}

/// One list of the object `json` as CSV: the one called `name`; else the names of those it has.
pub(super) fn as_csv(json: &str, name: &str) -> Result<String, Vec<String>> {
    let lists = lists(json, ".");
    let Some(list) = lists.iter().find(|list| list.name == name) else {
        return Err(lists.into_iter().map(|list| list.name).collect());
    };
    let heads: Vec<&str> = list.heads.iter().map(String::as_str).collect();
    let cell = |entry: &Entry| match entry {
        Entry::Text(text) => Cell::Text(text.clone()),
        Entry::Number(number) => Cell::Number(number.to_string()),
        Entry::Flag(flag) => Cell::Number(flag.to_string()),
        Entry::Empty => Cell::Empty,
    };
    let rows: Vec<Vec<Cell>> = list.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
    Ok(csv::table(&heads, &rows))
}

/// JSON with its keys in their order.
enum Tree {
    Leaf(Entry),
    List(Vec<Tree>),
    Map(Vec<(String, Tree)>),
}

/// Cells of one row, each with its head.
type Cells = Vec<(String, Entry)>;

/// The tables found so far.
struct Unfolded {
    joint: &'static str,
    tables: Vec<Table>,
}

impl Unfolded {
    /// The table of this name, which may stand there from another row's list of the same keys.
    fn table(&mut self, name: String) -> &mut Table {
        let at = self.tables.iter().position(|table| table.name == name).unwrap_or_else(|| {
            self.tables.push(Table { name, heads: Vec::new(), rows: Vec::new() });
            self.tables.len() - 1
        });
        &mut self.tables[at]
    }

    fn joined(&self, one: &str, other: &str) -> String {
        if one.is_empty() { other.to_owned() } else { format!("{one}{}{other}", self.joint) }
    }

    /// Adds the rows of `list`, and those of the lists within it; `above` is what its rows belong to.
    fn add(&mut self, name: &str, above: &[(String, Entry)], list: Vec<Tree>) {
        let mut inner: Vec<(String, Cells, Vec<Tree>)> = Vec::new();
        self.table(name.to_owned());
        for (index, tree) in list.into_iter().enumerate() {
            let mut cells = above.to_vec();
            let mut lists = Vec::new();
            match tree {
                Tree::Leaf(entry) => cells.push(("value".to_owned(), entry)),
                tree => self.flat("", tree, &mut cells, &mut lists),
            }
            let own = cells.get(above.len()).cloned();
            let own = own.unwrap_or(("row".to_owned(), Entry::Number(index as f64 + 1.0)));
            for (key, list) in lists {
                let mut belongs = above.to_vec();
                belongs.push((self.joined(name, &own.0), own.1.clone()));
                inner.push((self.joined(name, &key), belongs, list));
            }
            self.table(name.to_owned()).row(cells);
        }
        for (name, above, list) in inner {
            self.add(&name, &above, list);
        }
    }

    /// The cells of one object, keys of inner objects behind those of the outer; lists of objects aside.
    fn flat(
        &self,
        path: &str,
        tree: Tree,
        cells: &mut Cells,
        lists: &mut Vec<(String, Vec<Tree>)>,
    ) {
        match tree {
            Tree::Leaf(entry) => cells.push((path.to_owned(), entry)),
            Tree::Map(keys) if is_table(path, &keys) => {
                lists.push((path.to_owned(), keys.into_iter().map(row_of).collect()));
            }
            Tree::Map(keys) => {
                for (key, tree) in keys {
                    self.flat(&self.joined(path, &key), tree, cells, lists);
                }
            }
            Tree::List(list) if list.iter().all(|tree| matches!(tree, Tree::Map(_))) => {
                lists.push((path.to_owned(), list));
            }
            Tree::List(list) if list.iter().all(Tree::is_number) => {
                for (index, tree) in list.into_iter().enumerate() {
                    let numbered = self.joined(path, &(index + 1).to_string());
                    self.flat(&numbered, tree, cells, lists);
                }
            }
            Tree::List(list) => {
                let words: Vec<String> = list.into_iter().filter_map(Tree::words).collect();
                cells.push((path.to_owned(), Entry::Text(words.join("; "))));
            }
        }
    }
}

/// Whether the keys of an inner object name objects of one kind: they are rows, not columns.
fn is_table(path: &str, keys: &[(String, Tree)]) -> bool {
    !path.is_empty() && keys.len() > 2 && keys.iter().all(|(_, tree)| matches!(tree, Tree::Map(_)))
}

/// The row of such an object, its key in front.
fn row_of((key, tree): (String, Tree)) -> Tree {
    let mut cells = vec![("figure".to_owned(), Tree::Leaf(Entry::Text(key)))];
    if let Tree::Map(more) = tree {
        cells.extend(more);
    }
    Tree::Map(cells)
}

impl Tree {
    fn is_number(&self) -> bool {
        matches!(self, Self::Leaf(Entry::Number(_)))
    }

    fn words(self) -> Option<String> {
        match self {
            Self::Leaf(Entry::Text(text)) => Some(text),
            Self::Leaf(Entry::Number(number)) => Some(number.to_string()),
            _ => None,
        }
    }
}

/// A table whose columns are found as its rows come.
struct Table {
    name: String,
    heads: Vec<String>,
    rows: Vec<Vec<Entry>>,
}

impl Table {
    fn row(&mut self, cells: Cells) {
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

    fn done(mut self) -> List {
        for row in &mut self.rows {
            row.resize(self.heads.len(), Entry::Empty);
        }
        List { name: self.name, heads: self.heads, rows: self.rows }
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

#[cfg(test)]
mod tests {
    use super::*;

    const OBJECT: &str = r#"{"survey": "=a", "totals": {"pull_kn": 1.5, "strings": 3}, "words": ["a", "b"],
        "notes": [{"note": "A0", "at_hz": [27.5, 55.0], "why": ["x"], "sd": {"tension_n": null}},
                  {"note": "A#0", "at_hz": [29.1, 58.3], "why": [], "sd": {"tension_n": -2}}],
        "breaks": [{"below": "E3", "steps": [{"of": "tension", "rough": true}], "said": []},
                   {"below": "B4", "steps": [], "said": []}],
        "missing": []}"#;

    fn csv(name: &str) -> String {
        as_csv(OBJECT, name).unwrap_or_else(|names| panic!("{name}: {names:?}"))
    }

    #[test]
    fn every_key_of_an_object_stands_in_one_list() {
        assert_eq!(
            csv("notes"),
            "note,at_hz.1,at_hz.2,why,sd.tension_n\r\nA0,27.5,55,x,\r\nA#0,29.1,58.3,,-2\r\n"
        );
        assert_eq!(csv(WHOLE), "survey,totals.pull_kn,totals.strings,words\r\n'=a,1.5,3,a; b\r\n");
        assert_eq!(csv("breaks"), "below\r\nE3\r\nB4\r\n");
        assert_eq!(csv("breaks.steps"), "breaks.below,of,rough\r\nE3,tension,true\r\n");
    }

    #[test]
    fn an_empty_list_is_known_and_an_unknown_one_is_answered_by_those_there_are() {
        assert_eq!(csv("missing"), "");
        let names = as_csv(OBJECT, "note").expect_err("no such list");
        assert_eq!(names, [WHOLE, "notes", "breaks", "breaks.steps", "breaks.said", "missing"]);
    }
}
