//! Spreadsheets as people write them. The files in `sheets/` were typed into a spreadsheet of merged
//! heads, blank rows, decimal commas and units in the head, then worked out and saved by another
//! program in each format; expected values are what was typed.

use crate::folder::{here, read};
use feltwire::instrument::{StringRow, TableRead};
use feltwire::measure::{Note, to_degrees, to_grams, to_mm};
use feltwire::survey::{FaultKind, Memory, Survey};
use proptest::prelude::*;
use proptest::sample::Index;
use std::io::{Cursor, Write as _};
use std::time::{Duration, Instant};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const HEAD: &str = "format = 1\n[instrument]\nname = \"Tarn & Hollis 124\"\nkind = \"upright\"\n\
    [wire]\ngauge = \"inch\"\n[[section]]\nname = \"all\"\nnotes = [\"A0\", \"C8\"]\n";

pub fn folder(strings: &str, hammers: Option<&str>, file: &str, bytes: Vec<u8>) -> Memory {
    let hammers = hammers.map_or(String::new(), |name| format!("[hammers]\ntable = \"{name}\"\n"));
    let text = format!("{HEAD}[strings]\ntable = \"{strings}\"\n{hammers}");
    let mut folder = Memory::default();
    folder.0.insert("survey.toml".to_owned(), text.into_bytes());
    folder.0.insert(file.to_owned(), bytes);
    folder
}

pub fn survey(folder: &Memory) -> Survey {
    read(folder).unwrap_or_else(|faults| panic!("{}", faults.render(false)))
}

fn kept(file: &str) -> Vec<u8> {
    std::fs::read(here("tests/cli/sheets").join(file)).expect("a file of this project")
}

pub fn string<'s>(survey: &'s Survey, note: &str) -> &'s StringRow {
    survey.instrument.string(Note::parse(note).expect("a note")).expect(note)
}

#[track_caller]
pub fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} for {expected}");
}

/// What was typed: A0 208,5 with a comma, Bb1 with units of its own, C#3 a formula, a note by its key
/// number in inches, wire number 18 (0.041 in) merged over three rows and a ditto mark below.
fn as_typed(survey: &Survey, merged: bool) {
    let lengths = [
        ("A0", 1208.5),
        ("A#0", 1190.2),
        ("A#1", 1012.0),
        ("C#3", 712.5),
        ("D3", 682.25),
        ("D#3", 26.5 * 25.4),
        ("C4", 390.0),
    ];
    assert_eq!(survey.instrument.strings.len(), lengths.len());
    for (note, length) in lengths {
        near(to_mm(string(survey, note).length.expect(note).value), length);
    }
    let a0 = string(survey, "A0");
    near(to_mm(a0.core.expect("core").value), 1.4);
    near(to_mm(a0.bare_front.expect("front").value), 22.0);
    near(to_mm(a0.bare_back.expect("back").value), 25.5);
    near(to_mm(a0.over.expect("over").value), 4.9);
    near(to_mm(string(survey, "A#1").bare_front.expect("front").value), 20.0);
    assert_eq!(string(survey, "C#3").over, None);
    let wired: &[&str] = if merged { &["C#3", "D3", "D#3", "C4"] } else { &["C#3", "C4"] };
    for note in wired {
        near(to_mm(string(survey, note).core.expect(note).value), 0.041 * 25.4);
    }
}

fn remarks(table: &TableRead) -> String {
    table.remarks.join("\n")
}

#[test]
fn a_spreadsheet_is_read_as_people_write_it() {
    for file in ["people.xlsx", "people.ods"] {
        let folder = folder(file, Some(file), file, kept(file));
        let survey = survey(&folder);
        as_typed(&survey, true);
        let hammer = &survey.instrument.hammers.rows[0];
        near(to_mm(hammer.bore.expect("bore").value), 58.5);
        near(to_degrees(hammer.rake.expect("rake").value), 1.5);
        near(to_grams(hammer.mass.expect("mass").head().value), 8.2);

        let strings = survey.tables.iter().find(|t| t.name.ends_with("!Strings")).expect("strings");
        assert_eq!((strings.head_line, strings.rows), (4, 7));
        let read: Vec<_> = strings.columns.iter().map(|c| c.read_as.as_str()).collect();
        let expected = [
            "note",
            "strings",
            "length_mm",
            "core_mm",
            "bare_front_mm",
            "bare_back_mm",
            "over_mm",
            "core_gauge",
            "remark",
        ];
        assert_eq!(read, expected);
        let said = remarks(strings);
        for part in [
            "row 10 was passed over: “Tenor”",
            "H11:H13 is merged: “18” stands for each of its rows",
            "C11 holds a formula; its last result was read",
            "a dash was read as an empty cell in 6 places, E11 to G12",
            "a ditto mark was read as the cell above: H14",
            "hidden rows were read as well: 13",
            "a0 as A0, A♯0 as A#0, Bb1 as A#1, 31 as D#3, c4 as C4",
        ] {
            assert!(said.contains(part), "{file}: not said: {part}\n{said}");
        }
    }
}

#[test]
fn the_same_table_is_read_from_the_csv_that_a_spreadsheet_writes() {
    let survey = survey(&folder("people.csv", None, "people.csv", kept("people.csv")));
    as_typed(&survey, false);
}

#[test]
fn a_sheet_may_be_named_and_hidden_sheets_are_not_taken_for_the_table() {
    let named = folder("people.ods!strings", None, "people.ods", kept("people.ods"));
    as_typed(&survey(&named), true);
    let hidden = folder("people.ods!Strings old", None, "people.ods", kept("people.ods"));
    let faults = read(&hidden).expect_err("1 mm is no length");
    assert_eq!(faults.list[0].kind, FaultKind::ImpossibleValue);
    assert!(faults.render(false).contains("people.ods!Strings old!B2"));
}

/// Parts of an archive, packed.
pub fn packed(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in parts {
        zip.start_file(*name, options).expect("a part");
        zip.write_all(bytes).expect("its bytes");
    }
    zip.finish().expect("an archive").into_inner()
}

const LINKS: &[u8] =
    b"<Relationships><Relationship Id='1' Type='x/officeDocument' Target='w.xml'/></Relationships>";
const BOOK: &[u8] =
    b"<workbook xmlns:r='r'><sheets><sheet name='Strings' r:id='1'/></sheets></workbook>";
const BOOK_LINKS: &[u8] =
    b"<Relationships><Relationship Id='1' Type='x/worksheet' Target='s.xml'/>\
    <Relationship Id='2' Type='x/sharedStrings' Target='t.xml'/></Relationships>";

fn workbook(sheet: &[u8], texts: &[u8]) -> Vec<u8> {
    packed(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("_rels/.rels", LINKS),
        ("w.xml", BOOK),
        ("_rels/w.xml.rels", BOOK_LINKS),
        ("s.xml", sheet),
        ("t.xml", texts),
    ])
}

/// The kinds of fault of a workbook, found in reasonable time.
fn kinds(bytes: Vec<u8>) -> Vec<FaultKind> {
    let start = Instant::now();
    let faults = read(&folder("s.xlsx", None, "s.xlsx", bytes)).expect_err("a fault");
    assert!(start.elapsed() < Duration::from_mins(1), "took {:?}", start.elapsed());
    assert!(faults.render(false).len() < 3000);
    faults.list.into_iter().map(|fault| fault.kind).collect()
}

/// 80 MiB of blanks pack into some hundred kilobytes: unpacking stops at the limit.
#[test]
fn a_part_that_unpacks_into_more_than_a_table_takes_is_refused() {
    let blanks = vec![b' '; 80 << 20];
    let bomb = workbook(&blanks, b"<sst/>");
    assert!(bomb.len() < 1 << 20);
    assert_eq!(kinds(bomb), [FaultKind::FileTooLarge]);
    let texts = [b"<sst><si><t>".as_slice(), &blanks, b"</t></si></sst>"].concat();
    assert_eq!(kinds(workbook(b"<worksheet/>", &texts)), [FaultKind::FileTooLarge]);
}

/// Entities that unfold into each other are never defined: the document type is not read.
#[test]
fn entities_do_not_unfold() {
    let texts =
        b"<!DOCTYPE a [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;'>]><sst><si><t>&b;</t></si></sst>";
    assert_eq!(kinds(workbook(b"<worksheet/>", texts)), [FaultKind::BadSpreadsheet]);
}

#[test]
fn a_million_rows_are_refused_and_a_million_empty_ones_cost_nothing() {
    let head = "<row r='1'><c r='A1' t='inlineStr'><is><t>note</t></is></c><c r='B1' t='inlineStr'><is>\
        <t>length mm</t></is></c></row>";
    let row = |r: u32| format!("<row r='{r}'><c r='A{r}'><v>49</v></c></row>");
    let filled = (2..=100_000).map(row).collect::<Vec<_>>().concat();
    let sheet = format!("<worksheet><sheetData>{head}{filled}</sheetData></worksheet>");
    assert_eq!(kinds(workbook(sheet.as_bytes(), b"<sst/>")), [FaultKind::TooManyRows]);

    let row = |r: u32| format!("<row r='{r}'><c r='A{r}' s='1'/></row>");
    let empty = (3..=300_000).map(row).collect::<Vec<_>>().concat();
    let row = "<row r='2'><c r='A2'><v>49</v></c><c r='B2'><v>402.5</v></c></row>";
    let sheet = format!("<worksheet><sheetData>{head}{row}{empty}</sheetData></worksheet>");
    let read = survey(&folder("s.xlsx", None, "s.xlsx", workbook(sheet.as_bytes(), b"<sst/>")));
    near(to_mm(string(&read, "A4").length.expect("length").value), 402.5);
}

/// One filled cell repeated to the end of the sheet, as a few bytes of ODS can say.
#[test]
fn repeated_cells_of_an_ods_are_counted_not_built() {
    let repeats = "table:number-columns-repeated='16384'";
    let content = format!(
        "<office:document-content><table:table table:name='Strings'><table:table-row \
         table:number-rows-repeated='1048576'><table:table-cell {repeats} office:value-type='float' \
         office:value='1'/></table:table-row></table:table></office:document-content>"
    );
    let ods = packed(&[("mimetype", b"x"), ("content.xml", content.as_bytes())]);
    let faults = read(&folder("s.ods", None, "s.ods", ods)).expect_err("a fault");
    assert_eq!(faults.list[0].kind, FaultKind::TooManyColumns);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever stands in the parts of a workbook: an instrument or faults, never a panic.
    #[test]
    fn random_workbooks_are_survived(
        sheet in "(<row>|</row>|<row r='[0-9]{1,9}'>|<c r='[A-Z]{1,4}[0-9]{1,8}' t='(s|n|b|e|d|str|inlineStr)' \
            s='[0-9]'>|</c>|<v>|</v>|<f/>|<is>|</is>|<t>|</t>|note|length mm|A4|4[0-9]|1e999|-|&lt;|&#1;|&x;|\
            <mergeCell ref='[A-C][1-3]:[A-C][1-9]'/>|<col min='1' max='9' hidden='1'/>|]]>|\u{202e}){0,60}",
        texts in "(<si>|</si>|<t>|</t>|<rPh>|</rPh>|note|A4|&amp;){0,20}",
        bytes in any::<Vec<u8>>(),
    ) {
        let sheet = format!("<worksheet><sheetData>{sheet}</sheetData></worksheet>");
        for bytes in [workbook(sheet.as_bytes(), texts.as_bytes()), workbook(&bytes, b"<sst/>")] {
            if let Err(faults) = read(&folder("s.xlsx", None, "s.xlsx", bytes)) {
                let plain = faults.render(false);
                prop_assert!(plain.chars().all(|c| !c.is_control() || c == '\n'));
            }
        }
    }

    /// A file that was damaged on its way.
    #[test]
    fn a_damaged_spreadsheet_is_survived(at in any::<Index>(), byte in any::<u8>(), ods in any::<bool>()) {
        let name = if ods { "people.ods" } else { "people.xlsx" };
        let mut bytes = kept(name);
        let at = at.index(bytes.len());
        bytes[at] = byte;
        if let Err(faults) = read(&folder(name, None, name, bytes)) {
            faults.render(true);
        }
    }
}
