//! Surveys of this project, as they are and changed in one thing, with their reports and packets.

use feltwire::document::Date;
use feltwire::document::packet::{PacketFile, packet};
use feltwire::document::stamp::Stamp;
use feltwire::document::typeset::Paper;
use feltwire::judgement::Asked;
use feltwire::measure::Silent;
use feltwire::report::{Choices, Report, build};
use feltwire::survey::{Known, Memory, read};
use std::path::Path;

/// The surveys by name and folder.
pub const ALL: [(&str, &str); 3] = [
    ("upright", "examples/upright"),
    ("grand", "examples/grand"),
    ("woodhouse", "tests/published/woodhouse"),
];

/// The files of a survey, each `(find, put)` in its survey.toml replaced.
pub fn files(folder: &str, changes: &[(&str, &str)]) -> Memory {
    let mut files = Memory::default();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    for entry in std::fs::read_dir(&folder).expect("a folder of this project") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        files.0.insert(name, std::fs::read(&path).expect("a readable file"));
    }
    let toml = files.0.get_mut("survey.toml").expect("a survey");
    let mut text = String::from_utf8(std::mem::take(toml)).expect("UTF-8");
    for (find, put) in changes {
        assert!(text.contains(find), "{}: `{find}`", folder.display());
        text = text.replace(find, put);
    }
    *toml = text.into_bytes();
    files
}

/// The report on a survey.
pub fn report(files: &Memory) -> Report {
    let survey =
        read(files, &Known::default()).unwrap_or_else(|faults| panic!("{}", faults.render(false)));
    // Two hundred re-runs are enough for a picture.
    let choices = Choices { asked: Asked { year: Some(2026), draws: 200, ..Asked::default() } };
    build(survey.instrument, survey.warnings, survey.hash, &choices, &Silent).expect("not stopped")
}

/// How papers are made.
pub fn stamp(paper: Paper, also_inches: bool) -> Stamp {
    Stamp { date: Date::new(2026, 11, 25).expect("a day"), paper, also_inches }
}

/// The packet of a survey.
pub fn papers(report: &Report, stamp: Stamp) -> Vec<PacketFile> {
    packet(report, &stamp, &Silent).unwrap_or_else(|fault| panic!("{fault}"))
}

/// The bytes of one file of a packet.
pub fn file<'a>(papers: &'a [PacketFile], name: &str) -> Option<&'a [u8]> {
    papers.iter().find(|file| file.name == name).map(|file| file.bytes.as_slice())
}
