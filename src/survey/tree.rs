//! `survey.toml` as a tree with places: every key asked for is remembered, so that a key nobody
//! asked for is a fault, and every fault is collected.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::source::{At, Source};
use super::words::{any_of, is_hidden, meant, shown};
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
        let message = error.message();
        let (title, expected) = message.split_once(", expected ").unwrap_or((message, ""));
        desk.fault(
            Fault::new(FaultKind::BadToml, &at, shown(title))
                .found("here")
                .expected(if expected.is_empty() { "TOML: one `key = value` a line".to_owned() } else { shown(expected) })
                .remedy("text and quantities stand in quotation marks, lists in [ ], and every mark that opens closes"),
        );
    }
    tree.into_inner()
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

    fn new(
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
        let item = self.get(key);
        if item.is_none() {
            let whole = self.name == super::SURVEY_FILE;
            let place =
                if whole { super::source::Spot::file(super::SURVEY_FILE) } else { self.at.spot() };
            self.desk.fault(
                Fault::at(FaultKind::MissingKey, place, format!("{} has no `{key}`", self.name))
                    .found(format!("no `{key}` in it"))
                    .expected(format!("a key `{key}`"))
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

    /// Reports every key that nobody asked for.
    pub fn finish(self) {
        for (key, at, _) in self.rest() {
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

/// One value of the tree.
pub(super) struct Item<'t> {
    pub name: String,
    pub key: &'t str,
    value: &'t DeValue<'t>,
    pub at: At,
    source: &'t Rc<Source>,
    pub desk: &'t Desk<'t>,
}

impl<'t> Item<'t> {
    /// A number or text as it is written, and whether it is text.
    pub fn scalar(&self) -> Option<(String, bool)> {
        match self.value {
            DeValue::String(text) => Some((text.to_string(), true)),
            DeValue::Integer(number) => Some((number.to_string(), false)),
            DeValue::Float(number) => Some((number.to_string(), false)),
            _ => None,
        }
    }

    /// Text, whatever it holds.
    pub fn text(&self, remedy: &str) -> Option<&'t str> {
        match self.value {
            DeValue::String(text) => Some(text),
            _ => self.wrong_type("text in quotation marks", remedy),
        }
    }

    /// A name: text that is neither empty nor long, without hidden characters.
    pub fn name(&self) -> Option<String> {
        const LONGEST: usize = 120;
        let text = self.text("write it in quotation marks: \"…\"")?.trim();
        let hidden = text.chars().find(|c| is_hidden(*c));
        let found = if text.is_empty() {
            "nothing but space".to_owned()
        } else if let Some(hidden) = hidden {
            format!("holds the hidden character U+{:04X}", hidden as u32)
        } else if text.chars().count() > LONGEST {
            format!("{} characters", text.chars().count())
        } else {
            return Some(text.to_owned());
        };
        self.desk.fault(
            Fault::new(FaultKind::BadName, &self.at, format!("{} cannot be printed as it is", self.name))
                .found(found)
                .expected(format!("a name of 1 to {LONGEST} visible characters on one line"))
                .remedy("write the name again by hand; hidden characters come with text copied from elsewhere"),
        );
        None
    }

    /// One of some words.
    pub fn word<T: Copy>(&self, words: &[(&'static str, T)]) -> Option<T> {
        let names = words.iter().map(|(name, _)| *name);
        let quoted: Vec<String> = names.clone().map(|name| format!("\"{name}\"")).collect();
        let all = any_of(quoted.iter().map(String::as_str));
        let text = self.text(&format!("write {all}"))?;
        let same = |name: &str| name.eq_ignore_ascii_case(text.trim());
        if let Some((_, value)) = words.iter().find(|(name, _)| same(name)) {
            return Some(*value);
        }
        let fault = Fault::new(
            FaultKind::UnknownWord,
            &self.at,
            format!("{} cannot be \"{}\"", self.name, shown(text)),
        )
        .expected(all.clone());
        self.desk.fault(match meant(text, names) {
            Some(near) => fault
                .found(format!("did you mean \"{near}\"?"))
                .remedy(format!("write \"{near}\""))
                .fix(format!("\"{near}\"")),
            None => {
                fault.found("none of the words that may stand here").remedy(format!("write {all}"))
            }
        });
        None
    }

    /// `true` or `false`.
    pub fn flag(&self) -> Option<bool> {
        match self.value {
            DeValue::Boolean(flag) => Some(*flag),
            _ => self.wrong_type("true or false", "write true or false, without quotation marks"),
        }
    }

    /// A whole number.
    pub fn whole(&self, example: &str) -> Option<i64> {
        let DeValue::Integer(number) = self.value else {
            return self.wrong_type("a whole number", &format!("write a whole number: {example}"));
        };
        let value = i64::from_str_radix(number.as_str(), number.radix()).ok();
        if value.is_none() {
            self.wrong_type::<()>(
                "a whole number of usual size",
                &format!("write a whole number: {example}"),
            );
        }
        value
    }

    /// A pure number.
    pub fn number(&self, example: &str) -> Option<f64> {
        let written = match self.value {
            DeValue::Integer(number) if number.radix() == 10 => number.as_str(),
            DeValue::Float(number) => number.as_str(),
            _ => return self.wrong_type("a number", &format!("write a number: {example}")),
        };
        let value = written.parse::<f64>().ok().filter(|value| value.is_finite());
        if value.is_none() {
            self.desk.fault(
                Fault::new(
                    FaultKind::NotFinite,
                    &self.at,
                    format!("{} is not a finite number", self.name),
                )
                .found("infinite, or no number")
                .expected("a number")
                .remedy(format!("write a number: {example}")),
            );
        }
        value
    }

    /// The values of a list.
    pub fn list(&self, remedy: &str) -> Option<Vec<Item<'t>>> {
        let DeValue::Array(list) = self.value else {
            return self.wrong_type("a list in [ ]", remedy);
        };
        let one = |value: &'t toml::Spanned<DeValue<'t>>| Item {
            name: self.name.clone(),
            key: self.key,
            value: value.get_ref(),
            at: At::new(self.source, value.span()),
            source: self.source,
            desk: self.desk,
        };
        Some(list.iter().map(one).collect())
    }

    /// The keys of a table in braces, or under a head of its own.
    pub fn keys(&self) -> Option<Keys<'t>> {
        let DeValue::Table(table) = self.value else {
            return self.wrong_type(
                "a table",
                &format!("write it under a head [{0}], or as {0} = {{ … }}", shown(self.key)),
            );
        };
        let mut keys = Keys::new(table, self.source, self.desk, 0..0, self.name.clone());
        keys.at = self.at.clone();
        Some(keys)
    }

    /// Whether it is a table in braces or under a head.
    pub fn is_table(&self) -> bool {
        matches!(self.value, DeValue::Table(_))
    }

    /// Whether it is a whole number.
    pub fn is_whole(&self) -> bool {
        matches!(self.value, DeValue::Integer(_))
    }

    /// Reports that the value is of another kind than `expected`.
    pub fn wrong_type<T>(&self, expected: &str, remedy: &str) -> Option<T> {
        let found = match self.value {
            DeValue::String(_) => "text",
            DeValue::Integer(_) => "a whole number",
            DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.desk.fault(
            Fault::new(
                FaultKind::WrongType,
                &self.at,
                format!("{} is {found}, not {expected}", self.name),
            )
            .found(found)
            .expected(expected)
            .remedy(remedy),
        );
        None
    }
}
