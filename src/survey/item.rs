//! One value of `survey.toml`, and what it may be read as.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::source::{At, Source};
use super::table::MAX_ROWS;
use super::tree::Keys;
use super::words::{any_of, is_hidden, meant, shown};
use std::rc::Rc;
use toml::de::DeValue;

/// One value of the tree.
pub(super) struct Item<'t> {
    pub name: String,
    pub key: &'t str,
    pub value: &'t DeValue<'t>,
    pub at: At,
    pub source: &'t Rc<Source>,
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
        self.word_or("", words)
    }

    /// One of some words, where `other` things than words may stand as well.
    pub fn word_or<T: Copy>(&self, other: &str, words: &[(&'static str, T)]) -> Option<T> {
        let names = words.iter().map(|(name, _)| *name);
        let quoted: Vec<String> = names.clone().map(|name| format!("\"{name}\"")).collect();
        let other = Some(other).filter(|other| !other.is_empty());
        let all = any_of(other.into_iter().chain(quoted.iter().map(String::as_str)));
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
            return self.wrong_type("a whole number", &unquoted(self.value, example));
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
            _ => return self.wrong_type("a number", &unquoted(self.value, example)),
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
        if self.too_many(list.len()) {
            return None;
        }
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

    /// Whether a list is longer than anything in a piano; a fault when so.
    pub fn too_many(&self, length: usize) -> bool {
        let too_many = length > MAX_ROWS;
        if too_many {
            let title = format!("{} has {length} entries", self.name);
            self.desk.fault(
                Fault::new(FaultKind::TooManyRows, &self.at, title)
                    .found("too many of them")
                    .expected(format!("at most {MAX_ROWS}"))
                    .remedy("a piano has 88 notes: keep what was measured"),
            );
        }
        too_many
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

/// How to write a number that stands in quotation marks, or something else in its place.
fn unquoted(value: &DeValue, example: &str) -> String {
    match value {
        DeValue::String(text) if text.parse::<f64>().is_ok() => {
            format!("write it without quotation marks: {}", shown(text))
        }
        _ => format!("write a number: {example}"),
    }
}
