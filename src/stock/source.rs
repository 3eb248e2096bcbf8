//! Where a figure comes from: the status of a row and the citation behind its key.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::LazyLock;

pub(super) const TEXT: &str = include_str!("../../tables/sources.toml");

static SOURCES: LazyLock<BTreeMap<String, String>> =
    LazyLock::new(|| toml::from_str(TEXT).expect("tables/sources.toml is part of the program"));

/// How a figure came into a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Read in the source named.
    Read,
    /// Computed from what was read there.
    Derived,
    /// Taken between two neighbouring rows.
    Interpolated,
    /// From memory; no source read.
    Memory,
    /// Read, and put right against its neighbours: the row's note says how.
    Corrected,
}

impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Read => "read",
            Self::Derived => "derived",
            Self::Interpolated => "interpolated",
            Self::Memory => "from memory",
            Self::Corrected => "corrected",
        })
    }
}

/// The citation behind a source key.
///
/// ```
/// use feltwire::stock::citation;
/// assert!(citation("machinery-2012").unwrap().contains("Machinery's Handbook"));
/// assert_eq!(citation("hearsay"), None);
/// ```
pub fn citation(key: &str) -> Option<&'static str> {
    SOURCES.get(key).map(String::as_str)
}

/// The citations behind the keys of one row, which are written `one;another`.
pub fn citations(keys: &str) -> Vec<&'static str> {
    keys.split(';').filter_map(|key| citation(key.trim())).collect()
}

#[cfg(test)]
pub(super) fn keys() -> impl Iterator<Item = (&'static str, &'static str)> {
    SOURCES.iter().map(|(key, text)| (key.as_str(), text.as_str()))
}
