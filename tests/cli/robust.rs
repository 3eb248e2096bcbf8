//! Whatever is in the folder: an instrument or faults, never a panic, within bounds of time and text.

use crate::folder::{here, load, read};
use feltwire::document::words::Style;
use feltwire::document::{shapes, text};
use feltwire::instrument::About;
use feltwire::judgement::Asked;
use feltwire::measure::{Note, Silent};
use feltwire::report::{self, Choices, ScaleMore, Wanted};
use feltwire::survey::{FaultKind, Faults, MAX_COLUMNS, MAX_FILE_BYTES, MAX_ROWS, Memory};
use proptest::prelude::*;
use proptest::sample::Index;
use std::time::{Duration, Instant};

/// Reads the folder and, when it is at fault, looks at the text of the faults.
fn survive(folder: &Memory) {
    let Err(faults) = read(folder) else { return };
    assert!(!faults.list.is_empty() && faults.list.len() <= Faults::MOST);
    let plain = faults.render(false);
    let hidden = plain.chars().find(|c| c.is_control() && *c != '\n');
    assert_eq!(hidden, None, "a control character reaches the terminal");
    faults.render(true);
}

/// Reads the folder and, when it is sound, works out and prints everything: the JSON itself refuses a
/// figure that is no number. Whether it was sound.
fn results_or_faults(folder: &Memory) -> bool {
    let Ok(survey) = read(folder) else {
        survive(folder);
        return false;
    };
    // Few re-runs: many surveys, not sure odds.
    let asked = Asked { year: Some(2026), draws: 8, ..Asked::default() };
    let report =
        report::build(survey.instrument, survey.warnings, survey.hash, &Choices { asked }, &Silent)
            .expect("nobody stops it");
    let order = report.string_order(Wanted::All, &Silent).expect("nobody stops it");
    let more = ScaleMore::default();
    let printed = [
        shapes::check(&report, &survey.tables),
        shapes::scale(&report, &more),
        shapes::breaks(&report),
        shapes::decide(&report),
        shapes::hammers(&report),
        shapes::receive(&report),
        shapes::strings(&report, &order),
        text::check(&report, &survey.tables),
        text::scale(&report, &more),
        text::breaks(&report, true),
        text::decide(&report),
        text::hammers(&report),
        text::receive(&report),
        text::strings(&report, &order),
        text::stringing(&report, &order),
    ];
    for said in printed {
        assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
    }
    true
}

fn survey(text: &[u8]) -> Memory {
    Memory::new([("survey.toml", text), ("strings.csv", b"note,length_mm\nA4,400\n")])
}

const HEAD: &str = "format = 1\n[instrument]\nname = \"a\"\nkind = \"grand\"\n[[section]]\nname = \"a\"\n\
    notes = [\"A0\", \"C8\"]\n[strings]\ntable = \"strings.csv\"\n";

fn with_table(csv: impl Into<Vec<u8>>) -> Memory {
    let mut folder = survey(HEAD.as_bytes());
    folder.0.insert("strings.csv".to_owned(), csv.into());
    folder
}

/// The one fault of a folder, found in reasonable time.
fn only_fault(folder: &Memory) -> FaultKind {
    let start = Instant::now();
    let faults = read(folder).expect_err("a fault");
    let text = faults.render(false);
    assert!(start.elapsed() < Duration::from_mins(1), "took {:?}", start.elapsed());
    assert!(text.len() < 2000, "a long message: {} bytes", text.len());
    assert_eq!(faults.list.len(), 1, "{text}");
    faults.list[0].kind
}

/// Found by random bytes: a control character of two bytes in a table.
#[test]
fn a_two_byte_control_character_is_shown_as_a_dot() {
    survive(&with_table("\u{80}"));
    survive(&with_table("note,length_mm\nA4\u{9b}31m,400\n"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes_are_survived(toml in any::<Vec<u8>>(), csv in any::<Vec<u8>>()) {
        survive(&survey(&toml));
        survive(&with_table(csv));
    }

    #[test]
    fn random_text_is_survived(
        toml in "([a-z_]{1,8}|\\[|\\]|\\[\\[|\"|=|\\{|\\}|,|\n|\\.|[0-9]|♯|\u{202e}|\u{1b}| |#|'|\\\\){0,60}",
        csv in "(note|length_mm|core_gauge|over_in|,|;|\"|\n|\r|\t|A4|B♭3|[0-9]|½|±|-|nan|e|\u{0}|µ){0,80}",
    ) {
        survive(&survey(toml.as_bytes()));
        survive(&with_table(csv.into_bytes()));
    }

    #[test]
    fn a_survey_with_a_slip_of_the_pen_is_survived(
        grand in any::<bool>(),
        file in any::<Index>(),
        place in any::<Index>(),
        cut in 0_usize..40,
        put in prop_oneof![
            any::<Vec<u8>>().prop_map(|bytes| bytes.into_iter().take(8).collect::<Vec<_>>()),
            "(\"|,|;|\n|[0-9]{1,3}|-|\\[|\\]|=|♯|½|A4| mm| N|1e999|nan){1,3}".prop_map(String::into_bytes),
        ],
    ) {
        let mut folder = load(&here(if grand { "examples/grand" } else { "examples/upright" }));
        let names: Vec<_> = folder.0.keys().cloned().collect();
        let bytes = folder.0.get_mut(file.get(&names)).expect("a file");
        let from = place.index(bytes.len());
        let to = (from + cut).min(bytes.len());
        bytes.splice(from..to, put);
        survive(&folder);
    }

    #[test]
    fn any_value_under_any_key_is_survived(
        head in prop::sample::select(vec![
            "instrument", "reading_error", "wire", "strings", "hammers", "condition", "use", "climate",
            "money", "limits", "shop", "[material]", "[section]", "[pins]", "[wire_state]", "[broken]",
            "[break]", "[strings.row]", "[hammers.row]", "[strings.run]",
        ]),
        key in prop::sample::select(vec![
            "name", "kind", "notes", "found", "compass", "built", "pitch", "length", "core", "over", "plain",
            "table", "runs", "counts", "strung", "wound_to", "torque", "pin", "rust", "tone", "note",
            "between", "heard", "temperature", "humidity", "logo", "address", "density", "strength", "gauge",
            "core_gauge", "from", "to", "replaced", "inharmonicity", "flat_mm", "year", "section",
        ]),
        value in prop::sample::select(vec![
            "1", "-1.5", "nan", "\"\"", "\"A4\"", "\"980 mm\"", "\"± mm\"", "[]", "[[\"A0\"]]", "{}", "{ a = 1 }",
            "true", "1979-05-27", "\"440 Hz\"", "[\"A0\", \"C8\"]", "[\"C8\", \"A0\", 3]", "\"../x\"", "0x1f",
            "99999999999999999999", "{ note = \"A4\", offset = \"-1e300 Hz\" }", "\"strings.csv\"", "\"1e308 m\"",
        ]),
    ) {
        survive(&survey(format!("[{head}]\n{key} = {value}\n").as_bytes()));
        survive(&survey(format!("{HEAD}[{head}]\n{key} = {value}\n").as_bytes()));
    }
}

/// A length, angle or mass of the tables of `folder`, the `nth` of them counted round and round, times
/// `factor`.
fn misread(folder: &mut Memory, nth: usize, factor: f64) {
    let tables: Vec<String> =
        folder.0.keys().filter(|name| name.ends_with("s.csv")).cloned().collect();
    let mut cells: Vec<(String, usize, usize, f64)> = Vec::new();
    for name in tables {
        let table = String::from_utf8(folder.0[&name].clone()).expect("UTF-8");
        let heads: Vec<&str> = table.lines().next().expect("a head").split(',').collect();
        let has_unit = |column: usize| {
            heads.get(column).is_some_and(|h| ["_mm", "_deg", "_g"].iter().any(|u| h.ends_with(u)))
        };
        for (line, row) in table.lines().enumerate() {
            for (column, cell) in row.split(',').enumerate() {
                let number = cell.parse::<f64>().ok().filter(|_| has_unit(column)).ok_or(());
                cells.extend(number.ok().map(|number| (name.clone(), line, column, number)));
            }
        }
    }
    let (name, line, column, number) = cells[nth % cells.len()].clone();
    let table = String::from_utf8(folder.0[&name].clone()).expect("UTF-8");
    let mut rows: Vec<String> = table.lines().map(str::to_owned).collect();
    let mut row: Vec<String> = rows[line].split(',').map(str::to_owned).collect();
    row[column] = (number * factor).to_string();
    rows[line] = row.join(",");
    folder.0.insert(name, rows.join("\n").into_bytes());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_survey_misread_anywhere_gives_results_or_faults(
        grand in any::<bool>(),
        slips in prop::collection::vec((any::<usize>(), -2.0..2.0_f64), 1..12),
        lost in any::<Option<Index>>(),
    ) {
        let mut folder = load(&here(if grand { "examples/grand" } else { "examples/upright" }));
        for (nth, log) in slips {
            // Mostly a little off, now and then by ten.
            misread(&mut folder, nth, 10.0_f64.powf(log.powi(5) / 16.0));
        }
        if let Some(lost) = lost {
            // A line of the survey itself that nobody wrote.
            let toml = String::from_utf8(folder.0["survey.toml"].clone()).expect("UTF-8");
            let mut lines: Vec<&str> = toml.lines().collect();
            lines.remove(lost.index(lines.len()));
            folder.0.insert("survey.toml".to_owned(), lines.join("\n").into_bytes());
        }
        results_or_faults(&folder);
    }
}

/// Found by the fuzzer: three lengths near the break run up the keyboard to a tension of almost none, and the
/// logarithm of B to beyond what a number holds. Such a string is not known.
#[test]
fn a_tension_that_may_be_none_is_not_known() {
    let table = "note,strings,length_mm,core_mm\nC#3,3,712.5,1.0414\nD3,3,682.25,1.0414\n\
        D#3,3,673.1,1.0414\nC4,3,391,1.0414\n";
    let folder = with_table(table);
    assert!(results_or_faults(&folder));
    let survey = read(&folder).unwrap_or_else(|faults| panic!("{}", faults.render(false)));
    let choices = Choices::default();
    let report = report::build(survey.instrument, survey.warnings, survey.hash, &choices, &Silent);
    let scale = report.expect("nobody stops it").scale;
    let known =
        |name| scale.note(Note::parse(name).expect("a note")).expect("there").string.is_some();
    assert!(known("C4") && known("G4"));
    assert!(!known("D#6") && !known("C6"));
    // C6 was not read: it cannot be read again.
    let c6 = Note::parse("C6").expect("a note");
    let why = scale.missing.iter().find(|one| one.about == About::Note(c6)).expect("said");
    let said = Style::PLAIN.sentence(&why.why);
    assert!(said.ends_with("was not read and follows from others: read it"), "{said}");
}

/// Found by the fuzzer: lengths that run up the keyboard to thousands of kilometres, and figures longer than a line.
#[test]
fn a_figure_longer_than_a_line_is_still_explained() {
    let table = "note,strings,length_mm,core_mm\nC3,3,390,1.0414\nC#3,3,712.5,1.0414\nD3,3,364.2,1.0414\n\
        D#3,3,673.1,1.0414\n";
    let survey =
        read(&with_table(table)).unwrap_or_else(|faults| panic!("{}", faults.render(false)));
    let choices = Choices::default();
    let report = report::build(survey.instrument, survey.warnings, survey.hash, &choices, &Silent)
        .expect("nobody stops it");
    for note in report.instrument.compass.notes() {
        assert!(!text::explain_note(&report, note, Some(20)).is_empty());
    }
}

/// Found by the fuzzer: rows that end before the column of the key numbers or that of the notes.
#[test]
fn a_row_shorter_than_its_numbers_is_one_fault() {
    for csv in ["no,note,length_mm\n1\n", "note,length_mm,no\nA0,1200\n"] {
        assert_eq!(only_fault(&with_table(csv)), FaultKind::WrongCellCount, "{csv}");
    }
}

/// The property above would say nothing if hardly any survey were sound.
#[test]
fn a_survey_misread_a_little_is_still_read() {
    let mut folder = load(&here("examples/upright"));
    for nth in 0..8_usize {
        misread(&mut folder, 97 * nth, 1.003);
    }
    if let Err(faults) = read(&folder) {
        panic!("{}", faults.render(false));
    }
    assert!(results_or_faults(&folder));
}

#[test]
fn a_table_of_a_million_rows_is_one_fault() {
    assert_eq!(
        only_fault(&with_table("note,length_mm\n".to_owned() + &"A4,400\n".repeat(1_000_000))),
        FaultKind::TooManyRows
    );
}

#[test]
fn a_row_of_a_million_cells_is_one_fault() {
    assert_eq!(
        only_fault(&with_table("note".to_owned() + &",x".repeat(1_000_000))),
        FaultKind::TooManyColumns
    );
}

#[test]
fn a_cell_of_fifteen_megabytes_is_one_fault() {
    let huge = "9".repeat(15 << 20);
    assert_eq!(
        only_fault(&with_table(format!("note,length_mm\nA4,{huge}\n"))),
        FaultKind::NotFinite
    );
    assert_eq!(
        only_fault(&with_table(format!("note,length_mm\nA4,\"{huge}"))),
        FaultKind::OpenQuote
    );
}

#[test]
fn a_name_of_three_megabytes_is_one_fault() {
    let name = format!("name = \"{}\"\nkind", "9".repeat(3 << 20));
    let head = HEAD.replace("name = \"a\"\nkind", &name);
    assert_eq!(only_fault(&survey(head.as_bytes())), FaultKind::BadName);
}

#[test]
fn a_file_beyond_the_limit_is_one_fault() {
    let size = usize::try_from(MAX_FILE_BYTES).expect("a size");
    assert_eq!(only_fault(&with_table(vec![b'\n'; size + 1])), FaultKind::FileTooLarge);
    assert_eq!(only_fault(&with_table(vec![b'\n'; size])), FaultKind::EmptyTable);
    assert_eq!(only_fault(&survey(&vec![b'#'; size + 1])), FaultKind::FileTooLarge);
    assert_eq!(only_fault(&survey(&vec![b'#'; (4 << 20) + 1])), FaultKind::FileTooLarge);
}

#[test]
fn the_largest_table_is_still_read() {
    // As many rows and columns as are allowed: refused for what they say, not for their number.
    let mut csv = "note".to_owned() + &",".repeat(MAX_COLUMNS - 1);
    csv = csv.replacen(',', ",length_mm", 1);
    let row = ",".repeat(MAX_COLUMNS - 2);
    csv += &format!("\nA4,400{row}").repeat(MAX_ROWS);
    let faults = read(&with_table(csv)).expect_err("one note has all the rows");
    assert!(faults.list.iter().all(|fault| fault.kind == FaultKind::NoteTwice));
    assert_eq!(faults.list.len() + faults.beyond, MAX_ROWS - 1);
}

#[test]
fn deep_nesting_is_refused_without_a_deep_stack() {
    let deep = |open: &str, close: &str| {
        format!("{HEAD}[use]\nkind = {}{}\n", open.repeat(200_000), close.repeat(200_000))
    };
    survive(&survey(deep("[", "]").as_bytes()));
    survive(&survey(deep("{ a = ", " }").as_bytes()));
    survive(&survey(format!("{HEAD}[{}a]\n", "a.".repeat(100_000)).as_bytes()));
}

#[test]
fn a_survey_of_nothing_but_faults_ends_soon() {
    let keys: Vec<_> = (0..300_000).map(|i| format!("k{i} = 1")).collect();
    let section = |i| format!("[[section]]\nname = \"{i}\"\nnotes = [\"A0\", \"C8\"]\n");
    let sections: Vec<_> = (0..80_000).map(section).collect();
    let bad = [
        "[[section]]\nx = [\n".repeat(200_000),
        "= = =\n".repeat(600_000),
        "[[section]]\nname = 1\n".repeat(150_000),
        format!("[use]\n{}", keys.join("\n")),
        sections.concat(),
        format!("[[pins]]\ntorque = [{}]\n", "1, ".repeat(1_000_000)),
    ];
    let start = Instant::now();
    for text in bad {
        assert!(text.len() < 4 << 20);
        survive(&survey(text.as_bytes()));
    }
    // A few seconds on an idle machine; what grows with the square of the size takes minutes.
    assert!(start.elapsed() < Duration::from_mins(1), "took {:?}", start.elapsed());
}
