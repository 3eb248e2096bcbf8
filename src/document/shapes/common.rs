//! What every command's object carries: warnings and what is missing.

use crate::document::words::Style;
use crate::instrument::{About, Missing, Warning};
use serde::Serialize;

/// A warning.
#[derive(Debug, Serialize)]
pub(in crate::document) struct WarningShape {
    kind: &'static str,
    about: &'static str,
    name: String,
    text: String,
}

/// A result that could not be had.
#[derive(Debug, Serialize)]
pub(in crate::document) struct MissingShape {
    result: &'static str,
    about: &'static str,
    name: String,
    why: String,
}

impl From<&Warning> for WarningShape {
    fn from(warning: &Warning) -> Self {
        let (about, name) = about(&warning.about);
        Self { kind: warning.kind, about, name, text: Style::PLAIN.sentence(&warning.text) }
    }
}

impl From<&Missing> for MissingShape {
    fn from(missing: &Missing) -> Self {
        let (about, name) = about(&missing.about);
        Self { result: missing.result, about, name, why: Style::PLAIN.sentence(&missing.why) }
    }
}

/// Kind and name of what something is about.
pub(in crate::document) fn about(about: &About) -> (&'static str, String) {
    match about {
        About::Note(note) => ("note", note.to_string()),
        About::Section(name) => ("section", name.clone()),
        About::Break(below, above) => ("break", format!("{below}/{above}")),
        About::Set => ("set", String::new()),
    }
}
