//! A usual upright and a usual grand, for planning what to measure before anything was measured.
//!
//! `tables/stand_in.csv`: round figures from memory. How far a figure will be known depends on how many
//! notes are read and with what tools, and hardly on the figures themselves.

use super::practice::Applies;
use super::table;
use crate::measure::{Length, Note, mm};
use serde::Deserialize;
use std::sync::LazyLock;

/// Usual figures of one note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandIn {
    /// Speaking length.
    pub length: Length,
    /// Wire or core.
    pub core: Length,
    /// Diameter over the winding, where there is one.
    pub over: Length,
}

#[derive(Debug, Deserialize)]
struct Row {
    kind: Applies,
    key: f64,
    length_mm: f64,
    core_mm: f64,
    over_mm: f64,
}

static ROWS: LazyLock<Vec<Row>> =
    LazyLock::new(|| table::rows(include_str!("../../tables/stand_in.csv")));

/// The usual string of `note`.
///
/// ```
/// use feltwire::measure::{Note, to_mm};
/// use feltwire::stock::{Applies, stand_in};
/// assert!((to_mm(stand_in(Applies::Grand, Note::C8).length) - 52.0).abs() < 1e-9);
/// ```
pub fn stand_in(kind: Applies, note: Note) -> StandIn {
    let key = f64::from(note.key());
    let rows = || ROWS.iter().filter(|row| row.kind == kind);
    let below = rows().rev().find(|row| row.key <= key);
    let above = rows().find(|row| row.key >= key).or(below);
    let (Some(below), Some(above)) = (below.or(above), above) else {
        unreachable!("the table holds both kinds from A0 to C8")
    };
    let way = if above.key > below.key { (key - below.key) / (above.key - below.key) } else { 0.0 };
    let between = |of: fn(&Row) -> f64| mm(of(below) * (of(above) / of(below)).powf(way));
    StandIn {
        length: between(|row| row.length_mm),
        core: between(|row| row.core_mm),
        over: between(|row| row.over_mm),
    }
}
