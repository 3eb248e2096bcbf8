//! `feltwire new`: an empty survey, its tables, and the sheet to measure by.

use super::args;
use super::exit::Failure;
use super::packet::Packet;
use super::terminal;
use feltwire::document::blank::{self, Blank};
use feltwire::document::packet::PacketFile;
use feltwire::document::pages::{measuring, measuring_drawings};
use feltwire::document::typeset::{self, Origin, Template};
use feltwire::document::{Date, text};
use feltwire::instrument::Instrument;
use feltwire::judgement::limit::Limits;
use feltwire::judgement::plan::{Plan, plan};
use feltwire::measure::{Compass, Note};
use feltwire::survey::{self, Known, Memory};
use std::fs;
use std::path::Path;

/// Makes the folder, whole or not at all.
pub fn new(args: &args::New) -> Result<(), Failure> {
    let date = args.date.unwrap_or_else(terminal::today);
    let blank = blank_of(args)?;
    refuse_what_is_there(&args.folder)?;
    let folder = Packet::open(&args.folder, None, false)?;
    let instrument = empty(&blank)?;
    let plan = plan(&instrument, blank.depth, &Limits::default());
    let files = files(&blank, &plan, &instrument, date, args)?;
    folder.finish(&files)?;
    let shown = args.folder.display().to_string();
    terminal::print(&text::new_survey(&shown, &blank, &plan))
}

fn blank_of(args: &args::New) -> Result<Blank, Failure> {
    let compass = args.compass;
    let sections = if args.section.is_empty() { usual(compass) } else { args.section.clone() };
    let mut next = Some(compass.first);
    for (name, notes) in &sections {
        if Some(notes.first) != next {
            let from = next.map_or("the end of the compass".to_owned(), |note| note.to_string());
            return Err(Failure::CommandLine(format!(
                "the section {name} begins at {}, where {from} is next; name the sections from {} to {} without a gap",
                notes.first, compass.first, compass.last
            )));
        }
        next = notes.last.step(1);
    }
    match sections.last() {
        Some((_, notes)) if notes.last == compass.last => {}
        _ => {
            return Err(Failure::CommandLine(format!(
                "the last section does not end at {}, where the compass ends",
                compass.last
            )));
        }
    }
    let wound_to = args.wound_to.unwrap_or(sections[0].1.last);
    if !compass.contains(wound_to) {
        return Err(Failure::CommandLine(format!(
            "{wound_to} is not on this instrument, which goes from {} to {}",
            compass.first, compass.last
        )));
    }
    let name = args.name.clone().unwrap_or_else(|| {
        let folder = args.folder.file_name().map(|name| name.to_string_lossy().into_owned());
        folder.unwrap_or_else(|| "piano".to_owned())
    });
    Ok(Blank { name, kind: args.kind, compass, sections, wound_to, depth: args.depth })
}

/// Sections of a usual piano, to be corrected: bass to E3, tenor to B4, treble.
fn usual(compass: Compass) -> Vec<(String, Compass)> {
    let note = |key| Note::from_key(key).unwrap_or(Note::C8);
    let whole = [("bass", 1, 32), ("tenor", 33, 51), ("treble", 52, 88)];
    let cut = whole.into_iter().filter_map(|(name, first, last)| {
        let first = note(first).max(compass.first);
        let last = note(last).min(compass.last);
        (first <= last).then(|| (name.to_owned(), Compass { first, last }))
    });
    cut.collect()
}

/// A folder that holds anything is left alone.
fn refuse_what_is_there(folder: &Path) -> Result<(), Failure> {
    let busy = match fs::read_dir(folder) {
        Ok(mut entries) => entries.next().is_some(),
        Err(_) => folder.exists(),
    };
    if busy {
        return Err(Failure::io("make a survey in", folder, &"something is there already")
            .with_remedy("name a new folder; what is there is never touched"));
    }
    Ok(())
}

/// The survey that will be written, read as any other: what we write is free of faults.
fn empty(blank: &Blank) -> Result<Instrument, Failure> {
    let text = blank::survey_toml(blank);
    let head: String = text.lines().filter(|line| !line.contains(blank::WORKBOOK)).fold(
        String::new(),
        |mut all, line| {
            all.push_str(line);
            all.push('\n');
            all
        },
    );
    let folder = Memory::new([(survey::SURVEY_FILE, head.as_bytes())]);
    let read = survey::read(&folder, &Known::default());
    read.map(|survey| survey.instrument).map_err(|faults| {
        Failure::CommandLine(format!("such a survey would be at fault:\n{}", faults.render(false)))
    })
}

fn files(
    blank: &Blank,
    plan: &Plan,
    instrument: &Instrument,
    date: Date,
    args: &args::New,
) -> Result<Vec<PacketFile>, Failure> {
    let bug = |fault: &dyn std::fmt::Display| Failure::Bug(fault.to_string());
    let file = |name: &str, bytes: Vec<u8>| PacketFile { name: name.to_owned(), bytes };
    let mut files = vec![file(survey::SURVEY_FILE, blank::survey_toml(blank).into_bytes())];
    for (_, name, table) in blank::TABLES {
        files.push(file(name, blank::table_csv(table, blank, plan).into_bytes()));
    }
    let workbook = blank::workbook(blank, plan, date).map_err(|fault| bug(&fault))?;
    files.push(file(blank::WORKBOOK, workbook));
    let data = measuring(blank, plan, &instrument.reading_error);
    let drawings = measuring_drawings(blank.kind);
    let origin = Origin {
        address: Vec::new(),
        logo: None,
        survey: blank.name.clone(),
        content_hash: "not yet measured".to_owned(),
        shop: None,
        date,
    };
    let sheet = typeset::pdf(Template::MeasuringSheet, &data, &drawings, &origin, args.paper)
        .map_err(|fault| bug(&fault))?;
    files.push(file("measuring-sheet.pdf", sheet));
    Ok(files)
}
