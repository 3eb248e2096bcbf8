//! Surveys of strings for tests: written as text and read as a door reads them.

use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::scale::{Scale, compute};
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names; a survey that names none does not read it.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

/// A survey of one section from A0 to C8, `head` being more of survey.toml and `rows` the table of its
/// strings.
pub fn instrument(head: &str, rows: &str) -> Instrument {
    let toml = format!(
        "format = 1\n[instrument]\nname = \"x\"\nkind = \"grand\"\n{head}\n[[section]]\nname = \"all\"\n\
         notes = [\"A0\", \"C8\"]\n[strings]\ntable = \"strings.csv\"\n"
    );
    of_files(&[("survey.toml", &toml), ("strings.csv", rows)])
}

/// A survey from all of its files.
pub fn of_files(files: &[(&str, &str)]) -> Instrument {
    let memory = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    read(&memory, &Known::default()).unwrap_or_else(|faults| panic!("{faults:?}")).instrument
}

/// What is believed of it, and its strings.
pub fn computed(instrument: &Instrument) -> (Belief, Scale) {
    let belief = Belief::of(instrument);
    let scale = compute(instrument, &belief);
    (belief, scale)
}
