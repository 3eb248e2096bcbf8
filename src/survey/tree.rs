//! `survey.toml` as a tree with places: every key asked for is remembered, so that a key nobody
//! asked for is a fault, and every fault is collected.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::source::{At, Source};
use super::words::{meant, shown};
use std::cell::RefCell;
use std::ops::Range;
use std::rc::Rc;
use toml::de::{DeTable, DeValue};

/// Reads `source` as far as it can be taken apart; every place where it cannot is a fault.
pub(super) fn parse<'t>(source: &'t Rc<Source>, desk: &Desk) -> DeTable<'t> {
    let (tree, errors) = DeTable::parse_recoverable(source.text());
    for error in errors.into_iter().take(super::Faults::MOST + 1) {
        let end = source.text().len();
        let at = At::new(source, error.span().unwrap_or(end..end));
        desk.fault(bad_toml(error.message(), &at));
    }
    tree.into_inner()
}

/// A syntax fault in the words of someone who does not know the syntax's own.
fn bad_toml(message: &str, at: &At) -> Fault {
    let (what, _) = message.split_once(", expected ").unwrap_or((message, ""));
    let plain = [
        (
            "string values must be quoted",
            "text or a quantity without quotation marks",
            "key = \"value\"",
            "write it in quotation marks: pitch = \"440 Hz\"",
        ),
        (
            "basic string",
            "text that does not end, or holds a mark it may not",
            "a closing quotation mark on the same line",
            "close the quotation mark; write a quotation mark or a backslash within text as \\\" or \\\\",
        ),
        (
            "literal string",
            "text that does not end, or holds a mark it may not",
            "a closing quotation mark on the same line",
            "close the quotation mark",
        ),
        (
            "duplicate key",
            "a key that stands here twice",
            "each key at most once under its head",
            "take one of the two lines out",
        ),
        ("unclosed array", "a list that is not closed", "a closing ]", "close the list with ]"),
        (
            "unclosed inline table",
            "a table in braces that is not closed",
            "a closing }",
            "close it with }",
        ),
        (
            "recurs",
            "lists or tables too deep in one another",
            "at most a few levels",
            "take the inner ones out: no key of a survey needs them",
        ),
        (
            "key with no value",
            "a key without a value",
            "key = value",
            "write = and a value after the key, or take the line out",
        ),
        (
            "missing assignment",
            "a key without a value",
            "key = value",
            "write = and a value after the key, or take the line out",
        ),
    ];
    let known = plain.into_iter().find(|(part, ..)| what.contains(part));
    let (_, title, expected, remedy) = known.unwrap_or((
        "",
        "",
        "TOML: heads in [ ], and under them one key = value a line",
        "text and quantities stand in quotation marks, lists in [ ], and every mark that opens closes",
    ));
    let title = if title.is_empty() { shown(what) } else { title.to_owned() };
    Fault::new(FaultKind::BadToml, at, title).found("here").expected(expected).remedy(remedy)
}

/// One table of the tree.
pub(super) struct Keys<'t> {
    table: &'t DeTable<'t>,
    source: &'t Rc<Source>,
    pub desk: &'t Desk<'t>,
    /// The table's own place: its head, or its braces.
    pub at: At,
    /// What it is called in messages: `[instrument]`.
    pub name: String,
    asked: RefCell<Vec<&'static str>>,
}

impl<'t> Keys<'t> {
    /// The whole tree.
    pub fn root(table: &'t DeTable<'t>, source: &'t Rc<Source>, desk: &'t Desk<'t>) -> Self {
        Self::new(table, source, desk, 0..0, super::SURVEY_FILE.to_owned())
    }

    pub fn new(
        table: &'t DeTable<'t>,
        source: &'t Rc<Source>,
        desk: &'t Desk<'t>,
        span: Range<usize>,
        name: String,
    ) -> Self {
        let at = At::new(source, span);
        Self { table, source, desk, at, name, asked: RefCell::default() }
    }

    /// The value of `key`, if it is there.
    pub fn get(&self, key: &'static str) -> Option<Item<'t>> {
        self.asked.borrow_mut().push(key);
        let value = self.table.get(key)?;
        Some(self.item(key, value.get_ref(), value.span()))
    }

    fn item(&self, key: &'t str, value: &'t DeValue<'t>, span: Range<usize>) -> Item<'t> {
        let name = format!("`{}` of {}", shown(key), self.name);
        Item {
            name,
            key,
            value,
            at: At::new(self.source, span),
            source: self.source,
            desk: self.desk,
        }
    }

    /// The value of `key`, which must be there; `remedy` says what to write.
    pub fn need(&self, key: &'static str, remedy: &str) -> Option<Item<'t>> {
        self.need_as(key, &format!("`{key}`"), remedy)
    }

    /// The same for a key that is written as a head: `[instrument]`.
    pub fn need_as(&self, key: &'static str, head: &str, remedy: &str) -> Option<Item<'t>> {
        let item = self.get(key);
        if item.is_none() {
            let whole = self.name == super::SURVEY_FILE;
            let place =
                if whole { super::source::Spot::file(super::SURVEY_FILE) } else { self.at.spot() };
            self.desk.fault(
                Fault::at(FaultKind::MissingKey, place, format!("{} has no {head}", self.name))
                    .found(format!("no {head} in it"))
                    .expected(head)
                    .remedy(remedy),
            );
        }
        item
    }

    /// The table under `key`; nothing when it is absent.
    pub fn table(&self, key: &'static str) -> Option<Keys<'t>> {
        let mut keys = self.get(key)?.keys()?;
        keys.name = format!("[{}]", self.path(key));
        Some(keys)
    }

    /// The tables under `[[key]]`, in order.
    pub fn tables(&self, key: &'static str) -> Vec<Keys<'t>> {
        let Some(item) = self.get(key) else { return Vec::new() };
        let DeValue::Array(list) = item.value else {
            item.wrong_type::<()>(
                &format!("one or more tables headed [[{key}]]"),
                &format!("write the head as [[{key}]]"),
            );
            return Vec::new();
        };
        if item.too_many(list.len()) {
            return Vec::new();
        }
        let tables = list.iter().enumerate().filter_map(|(number, value)| {
            let one = self.item(key, value.get_ref(), value.span());
            let mut keys = one.keys()?;
            keys.name = format!("[[{}]] number {}", self.path(key), number + 1);
            Some(keys)
        });
        tables.collect()
    }

    /// `key` with the tables that lead to it: `strings.row`.
    fn path(&self, key: &str) -> String {
        match self.name.strip_prefix('[').and_then(|name| name.strip_suffix(']')) {
            Some(above) => format!("{above}.{key}"),
            None => key.to_owned(),
        }
    }

    /// Every key and value that was not asked for by name, as asked for now.
    pub fn rest(&self) -> Vec<(&'t str, At, Item<'t>)> {
        let asked = self.asked.borrow();
        let mut rest: Vec<_> = self
            .table
            .iter()
            .filter(|(key, _)| !asked.contains(&key.get_ref().as_ref()))
            .map(|(key, value)| {
                let name: &'t str = key.get_ref();
                (
                    key.span().start,
                    name,
                    At::new(self.source, key.span()),
                    self.item(name, value.get_ref(), value.span()),
                )
            })
            .collect();
        rest.sort_by_key(|(start, ..)| *start);
        rest.into_iter().map(|(_, name, at, item)| (name, at, item)).collect()
    }

    /// Reports every key that nobody asked for, when all that are known have been.
    pub fn finish(self) {
        self.unknown();
    }

    /// Reports every key that nobody asked for so far.
    pub fn unknown(&self) {
        for (key, at, _) in self.rest().into_iter().take(super::Faults::MOST + 1) {
            let known = self.asked.borrow();
            let fault = Fault::new(
                FaultKind::UnknownKey,
                &at,
                format!("{} has no use for a key `{}`", self.name, shown(key)),
            )
            .expected(format!("one of {}", known.join(", ")));
            self.desk.fault(match meant(key, known.iter().copied()) {
                Some(near) => fault
                    .found(format!("did you mean `{near}`?"))
                    .remedy(format!("write `{near}`, or take the line out"))
                    .fix(near),
                None => {
                    fault.found("nobody reads it").remedy("take the line out, or put a # before it")
                }
            });
        }
    }
}
