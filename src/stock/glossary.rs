//! Words of the trade and of this program, with their meaning.
//!
//! `tables/glossary.toml`.

use super::Caution;
use serde::Deserialize;
use std::sync::LazyLock;

pub(super) const TEXT: &str = include_str!("../../tables/glossary.toml");

static TERMS: LazyLock<Vec<Term>> = LazyLock::new(|| {
    let file: File = toml::from_str(TEXT).expect("tables/glossary.toml is part of the program");
    file.term
});

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    term: Vec<Term>,
}

/// A word and what it means.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// As printed.
    pub term: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// In what it is written.
    pub unit: Option<String>,
    /// What it is.
    pub meaning: String,
    /// What Feltwire does with it.
    pub here: Option<String>,
    /// What can hurt.
    #[serde(default)]
    pub cautions: Vec<Caution>,
    /// Other terms.
    #[serde(default)]
    pub see: Vec<String>,
}

/// Every term, by the alphabet.
///
/// ```
/// use feltwire::stock::terms;
/// assert!(terms().iter().any(|term| term.term == "bore" && term.unit.as_deref() == Some("mm")));
/// ```
pub fn terms() -> &'static [Term] {
    &TERMS
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// No word leads to two meanings, and no reference into the void.
    #[test]
    fn every_word_has_one_meaning_and_every_reference_leads_somewhere() {
        let mut known = BTreeSet::new();
        for term in terms() {
            for name in std::iter::once(&term.term).chain(&term.also) {
                assert!(known.insert(name.to_lowercase()), "{name} twice");
            }
        }
        for term in terms() {
            for other in &term.see {
                let leads = terms().iter().any(|known| known.term == *other && known != term);
                assert!(leads, "{} refers to {other}", term.term);
            }
            assert!(term.meaning.ends_with('.'), "{}", term.term);
        }
        let names: Vec<&str> = terms().iter().map(|term| term.term.as_str()).collect();
        assert!(names.is_sorted(), "{:?}", names.windows(2).find(|pair| pair[0] > pair[1]));
    }
}
