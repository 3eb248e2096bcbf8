//! Text in; instrument, or all faults, out.
//!
//! A survey is a folder: `survey.toml` and the tables it names. [`read`] takes it through a
//! [`Folder`], so that nothing here knows of disks, and either gives the whole instrument or every
//! fault at once: where it stands, what was found, what was expected and what to write instead.

mod agree;
mod body;
mod cell;
mod closure;
mod columns;
mod contradict;
mod csv;
mod desk;
mod evidence;
mod fault;
mod folder;
mod gauge;
mod hammers;
mod head;
mod heading;
mod item;
mod materials;
mod names;
mod number;
mod possible;
mod quantity;
mod received;
mod render;
mod row;
mod runs;
mod sections;
mod sheet;
mod shop;
mod source;
mod spelling;
mod string_wishes;
mod strings;
mod supply;
mod table;
mod tree;
mod wishes;
mod words;
mod workbook;

pub use fault::{Fault, FaultKind, Faults};
pub use folder::{Folder, FolderFault, MAX_FILE_BYTES, Memory, plain_name};
pub use received::{Arrived, received};
pub use source::Spot;
pub use table::{MAX_COLUMNS, MAX_ROWS};

use crate::instrument::{Instrument, TableRead, Warning};
use columns::Reader;
use desk::{Closed, Desk};
use head::Head;
use materials::Materials;
use strings::Strings;
use tree::Keys;

/// The file that makes a folder a survey.
pub const SURVEY_FILE: &str = "survey.toml";

/// A survey without faults.
#[derive(Debug, Clone)]
pub struct Survey {
    /// What it says of the instrument.
    pub instrument: Instrument,
    /// Readings that contradict each other without being impossible.
    pub warnings: Vec<Warning>,
    /// How each table was understood.
    pub tables: Vec<TableRead>,
    /// SHA-256 over every file that was read, names included, in hexadecimal digits.
    pub hash: String,
}

/// What rooms above this one know and a survey may name.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known<'k> {
    /// Names of the limits that `[limits]` may set, each in its own unit.
    pub limits: &'k [&'k str],
}

/// Reads the survey in `folder`; every fault of it when there is any.
pub fn read(folder: &dyn Folder, known: &Known) -> Result<Survey, Faults> {
    let desk = Desk::new(folder, "survey");
    let instrument = desk.text(SURVEY_FILE, None).and_then(|source| {
        let tree = tree::parse(&source, &desk);
        let root = Keys::root(&tree, &source, &desk);
        let instrument = instrument(root, known);
        desk.keep_apart_from_bad_text();
        instrument
    });
    let Closed { warnings, tables, hash } = desk.close()?;
    match instrument {
        Some(instrument) => Ok(Survey { instrument, warnings, tables, hash }),
        None => unreachable!("a survey that cannot be read has at least one fault"),
    }
}

/// Reads every part, so that every fault is found, and puts the instrument together when it is whole.
fn instrument(root: Keys, known: &Known) -> Option<Instrument> {
    let head = Head::read(&root);
    let error = head::reading_error(&root);
    let materials = Materials::read(&root);
    let (wire, gauge) = materials::wire(&root, &materials);
    let sections = sections::read(&root, &head);
    let reader = Reader { desk: root.desk, compass: head.compass, error };
    let (strings, runs, string_wishes) =
        Strings { reader, materials: &materials, gauge, sections: &sections }.read(&root);
    contradict::check(root.desk, &strings, &runs, &sections);
    let hammers = hammers::read(&root, &reader, head.kind, &sections);
    let condition = evidence::condition(&root);
    let pins = evidence::pins(&root);
    let wire_state = evidence::wire_state(&root, &sections);
    let broken = evidence::broken(&root, &head);
    let heard = evidence::heard(&root, &head, &sections);
    let usage = evidence::usage(&root);
    let climate = evidence::climate(&root);
    let money = shop::money(&root);
    let limits = shop::limits(&root, known.limits);
    let supply = supply::read(&root, head.compass, gauge);
    let shop = shop::shop(&root);
    root.finish();
    Some(Instrument {
        name: head.name?,
        kind: head.kind?,
        serial: head.serial,
        built: head.built,
        compass: head.compass,
        pitch: head.pitch,
        found: head.found,
        heritage: head.heritage,
        reading_error: error,
        wire: wire?,
        sections,
        strings,
        runs,
        string_wishes,
        hammers,
        condition,
        pins,
        wire_state,
        broken,
        heard,
        usage,
        climate,
        money,
        limits,
        supply,
        shop,
    })
}
