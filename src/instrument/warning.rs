//! Warnings: what the reader should know about a figure, each said once, in a sentence.

use crate::measure::{Note, Sentence};

/// What a warning is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum About {
    /// One note.
    Note(Note),
    /// A section, by name.
    Section(String),
    /// The break above this note.
    Break(Note, Note),
    /// The whole set.
    Set,
}

/// A warning: what kind it is, what about, and what it says.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// Its kind: a short name that machines may rely on, `measure_again`, `load_above_100` …
    pub kind: &'static str,
    /// What it is about.
    pub about: About,
    /// What it says, and what it does to the figures.
    pub text: Sentence,
}

/// A result that could not be had, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// The key of the result.
    pub result: &'static str,
    /// What about.
    pub about: About,
    /// Why, and what reading would give it.
    pub why: Sentence,
}
