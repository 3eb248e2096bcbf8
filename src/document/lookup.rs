//! What a word means: a term of the trade, a column of a survey's tables, or a limit.

use crate::instrument::reading::{self, Reading};
use crate::judgement::limit::{Limit, Limits};
use crate::stock::{self, Term};

/// Everything that goes by one name.
#[derive(Debug, Clone)]
pub struct Entry<'a> {
    /// The word, when it is one of the glossary.
    pub term: Option<&'static Term>,
    /// Columns of this name, with their unit or without.
    pub readings: Vec<&'static Reading>,
    /// The limit of this name.
    pub limit: Option<&'a Limit>,
}

/// Looks `name` up; words of several parts may be written with blanks, hyphens or underscores.
///
/// # Errors
/// The names nearest to it, when nothing goes by it.
pub fn lookup<'a>(name: &str, limits: &'a Limits) -> Result<Entry<'a>, Vec<String>> {
    let wanted = plain(name);
    let entry = Entry {
        term: stock::terms().iter().find(|term| names(term).any(|known| plain(known) == wanted)),
        readings: readings()
            .filter(|r| plain(r.name) == wanted || plain(&r.column()) == wanted)
            .collect(),
        limit: limits.iter().find(|limit| plain(limit.name) == wanted),
    };
    if entry.term.is_some() || !entry.readings.is_empty() || entry.limit.is_some() {
        return Ok(entry);
    }
    Err(nearest(&wanted, limits))
}

fn plain(name: &str) -> String {
    let letter = |c: char| if matches!(c, '_' | '-') { ' ' } else { c };
    name.trim().to_lowercase().chars().map(letter).collect()
}

fn names(term: &'static Term) -> impl Iterator<Item = &'static str> {
    std::iter::once(term.term.as_str()).chain(term.also.iter().map(String::as_str))
}

fn readings() -> impl Iterator<Item = &'static Reading> {
    let tables = [reading::Table::Strings, reading::Table::Runs, reading::Table::Hammers];
    tables.into_iter().flat_map(reading::of_table)
}

/// The three names most like `wanted`, the likest first; those that are not like it are left out, and names of a
/// letter or two, which are like everything that begins with them.
fn nearest(wanted: &str, limits: &Limits) -> Vec<String> {
    const LIKE: f64 = 0.75;
    let terms = stock::terms().iter().flat_map(names).map(str::to_owned);
    let columns = readings().map(Reading::column);
    let limits = limits.iter().map(|limit| limit.name.to_owned());
    let mut like: Vec<(f64, String)> = terms
        .chain(columns)
        .chain(limits)
        .filter(|known| known.chars().count() > 2)
        .map(|known| (strsim::jaro_winkler(wanted, &plain(&known)), known))
        .filter(|(likeness, _)| *likeness > LIKE)
        .collect();
    like.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    like.dedup_by(|a, b| a.1 == b.1);
    like.into_iter().take(3).map(|(_, known)| known).collect()
}
