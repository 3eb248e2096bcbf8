//! The embedded tables as files: their headers and their rows.

use serde::de::DeserializeOwned;

/// One file of `tables/`, as embedded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Table {
    /// File name.
    pub name: &'static str,
    /// The whole text.
    pub text: &'static str,
}

macro_rules! tables {
    ($($name:literal),* $(,)?) => {
        /// Every table but the list of sources.
        pub const TABLES: &[Table] = &[
            $(Table { name: $name, text: include_str!(concat!("../../tables/", $name)) },)*
        ];
    };
}

tables! {
    "astm_a228.csv", "en10270_1.csv", "hammer_practice.csv", "historical_wire.csv",
    "jis_g3522.csv", "materials.toml", "music_wire_inch.csv", "music_wire_metric.csv",
    "stand_in.csv", "strike_ratio.csv", "tuning_pins.csv", "winding_wire_r20.csv", "winding_wire_steps.csv",
}

impl Table {
    /// What the header says under `key`, first mention: `title`, `source`, `edition`,
    /// `authoritative unit`, `copied by`, `rows`.
    ///
    /// ```
    /// use feltwire::stock::TABLES;
    /// for table in TABLES {
    ///     assert!(table.header("copied by").is_some(), "{}", table.name);
    /// }
    /// ```
    pub fn header(&self, key: &str) -> Option<&'static str> {
        self.text
            .lines()
            .map_while(|line| line.strip_prefix('#'))
            .find_map(|line| line.trim().strip_prefix(key)?.strip_prefix(':'))
            .map(str::trim)
    }
}

#[cfg(test)]
impl Table {
    pub(super) fn is_csv(&self) -> bool {
        self.name.strip_suffix(".csv").is_some()
    }
}

/// The rows of an embedded table.
pub(super) fn rows<R: DeserializeOwned>(text: &str) -> Vec<R> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes())
        .into_deserialize()
        .map(|row| row.expect("tables/ are part of the program, read by its tests"))
        .collect()
}

/// What stands in a cell for which the sources give nothing.
pub(super) const NO_DATA: &str = "no data found";

/// A cell that may say that there is no figure.
pub(super) fn number(cell: &str) -> Option<f64> {
    (cell != NO_DATA).then(|| cell.parse().expect("figures of tables/ are read by its tests"))
}
