//! What every target holds a survey to: it gives results or faults, never a panic, and no number that is
//! no number. A folder of files is one input: a line `=== name` before each file.

use feltwire::document::{shapes, text};
use feltwire::instrument::TableRead;
use feltwire::judgement::Asked;
use feltwire::measure::Silent;
use feltwire::report::{self, Choices, Report, ScaleMore, Wanted};
use feltwire::survey::{Faults, Known, Memory, read};

/// Before the name of a file.
const MARK: &[u8] = b"=== ";

/// The folder that `bytes` hold.
pub fn unpacked(bytes: &[u8]) -> Memory {
    let mut folder = Memory::default();
    let mut name: Option<String> = None;
    let mut content = Vec::new();
    for line in bytes.split_inclusive(|byte| *byte == b'\n') {
        if let Some(next) = line.strip_prefix(MARK) {
            if let Some(name) = name.take() {
                folder.0.insert(name, std::mem::take(&mut content));
            }
            name = Some(String::from_utf8_lossy(next).trim().to_owned());
        } else {
            content.extend_from_slice(line);
        }
    }
    if let Some(name) = name {
        folder.0.insert(name, content);
    }
    folder
}

/// Reads the folder, works out everything from it, and prints all of it.
pub fn try_folder(folder: &Memory) {
    let survey = match read(folder, &Known::default()) {
        Ok(survey) => survey,
        Err(faults) => return look_at(&faults),
    };
    // Few re-runs: the fuzzer wants many surveys, not sure odds.
    let tables = survey.tables;
    let asked = Asked { year: Some(2026), draws: 8, ..Asked::default() };
    let choices = Choices { asked };
    let built = report::build(survey.instrument, survey.warnings, survey.hash, &choices, &Silent);
    print(&built.expect("nobody stops it"), &tables);
}

/// Faults are said in words that a terminal can show.
pub fn look_at(faults: &Faults) {
    assert!(!faults.list.is_empty(), "a refusal without a fault");
    let said = faults.render(false);
    assert!(!said.chars().any(|c| c.is_control() && c != '\n'), "{said:?}");
}

/// Every command's text and JSON; the JSON itself refuses a number that is no number.
fn print(report: &Report, tables: &[TableRead]) {
    let more = ScaleMore::default();
    let texts = [
        text::check(report, tables),
        text::scale(report, &more),
        text::breaks(report, true),
        text::decide(report),
        text::hammers(report),
        text::receive(report),
    ];
    for said in &texts {
        assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
    }
    for wanted in [Wanted::All, Wanted::Advised] {
        let order = report.string_order(wanted, &Silent).expect("nobody stops it");
        let _ = (text::strings(report, &order), text::stringing(report, &order));
        let _ = shapes::strings(report, &order);
    }
    let _ = (shapes::check(report, tables), shapes::scale(report, &more));
    let _ = (shapes::breaks(report), shapes::decide(report), shapes::hammers(report));
    let _ = shapes::receive(report);
    for note in report.instrument.compass.notes() {
        let _ = (
            text::explain_note(report, note, Some(20)),
            shapes::explain_note(report, note, Some(20)),
        );
    }
}
