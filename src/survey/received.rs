//! A table of heads that arrived: the columns of the hammers table, one row a head.

use super::columns::Reader;
use super::desk::{Closed, Desk};
use super::fault::Faults;
use super::folder::{Memory, plain_name};
use super::hammers::heads;
use super::table;
use crate::instrument::reading::Table;
use crate::instrument::{HammerRow, Instrument, LengthError, ReadingError, Warning};
use crate::measure::{grams, mm};

/// Heads that arrived, as read.
#[derive(Debug, Clone)]
pub struct Arrived {
    /// Their rows, by note. A reading carries the uncertainty stated in its cell and no other: what the tools of
    /// a survey read, they read of worn heads.
    pub heads: Vec<HammerRow>,
    /// Readings that contradict each other without being impossible.
    pub warnings: Vec<Warning>,
    /// SHA-256 over the table, its name included, in hexadecimal digits.
    pub hash: String,
}

/// Tools that read without error: what a cell states is all there is.
fn unstated() -> ReadingError {
    let exact = mm(0.0);
    ReadingError {
        length: LengthError { fixed: exact, share: 0.0 },
        core: exact,
        over: exact,
        centre: exact,
        bore: exact,
        mass: grams(0.0),
        rake: None,
        length_bias: None,
        core_bias: None,
        over_bias: None,
    }
}

/// Reads the table in `bytes`, a file called `name`, of heads for `instrument`; every fault of it when there is any.
///
/// The file need not lie in the survey's folder, and its name is only shown.
pub fn received(name: &str, bytes: &[u8], instrument: &Instrument) -> Result<Arrived, Faults> {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let name = if plain_name(file) { file } else { unprintable(file) };
    let folder = Memory::new([(name, bytes)]);
    let desk = Desk::new(&folder, "table");
    let reader = Reader { desk: &desk, compass: instrument.compass, error: unstated() };
    let cells = table::of_file(name, Table::Hammers, &desk, None);
    let rows = cells.map(|cells| reader.rows(cells, Table::Hammers, &["note"]));
    let heads = heads(rows.unwrap_or_default(), &reader, Some(instrument.kind));
    let Closed { warnings, hash, .. } = desk.close()?;
    Ok(Arrived { heads, warnings, hash })
}

/// What a file is called whose own name cannot be printed.
fn unprintable(file: &str) -> &'static str {
    let ending = file.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    match ending.as_str() {
        "tsv" => "received.tsv",
        "xlsx" => "received.xlsx",
        "ods" => "received.ods",
        "csv" | "txt" => "received.csv",
        _ => "received",
    }
}
