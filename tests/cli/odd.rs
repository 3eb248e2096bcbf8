//! Tables as they come from other people's desks: each case was written down with what it says before it was
//! read. What can be read one way is read; what can be read two ways is refused. Expected values are what a
//! person reads in the table.

use crate::sheets::{folder, near, packed, string, survey};
use feltwire::measure::to_mm;
use feltwire::survey::{FaultKind, Memory, Survey};
use std::fmt::Write as _;

fn csv(text: &str) -> Memory {
    folder("odd.csv", None, "odd.csv", text.as_bytes().to_vec())
}

/// A sheet of a workbook: its name, what stands in its cells row by row, and merged areas. A cell that is a
/// number is written as one; `=in` and the like before it gives it a number format that shows that unit.
struct Sheet<'s>(&'s str, &'s [&'s [&'s str]], &'s [&'s str]);

fn book(sheets: &[Sheet]) -> Memory {
    let (mut names, mut links, mut parts) = (String::new(), String::new(), Vec::new());
    for (i, Sheet(name, rows, merged)) in sheets.iter().enumerate() {
        let _ = write!(names, "<sheet name='{name}' r:id='r{i}'/>");
        let _ = write!(links, "<Relationship Id='r{i}' Type='x/worksheet' Target='s{i}.xml'/>");
        let rows: String = rows
            .iter()
            .enumerate()
            .filter(|(_, cells)| !cells.is_empty())
            .map(|(r, cells)| row(r + 1, cells))
            .collect();
        let merged = merged
            .iter()
            .fold(String::new(), |all, area| all + &format!("<mergeCell ref='{area}'/>"));
        parts.push((
            format!("s{i}.xml"),
            format!("<worksheet><sheetData>{rows}</sheetData>{merged}</worksheet>"),
        ));
    }
    let link = "<Relationships><Relationship Id='1' Type='x/officeDocument' Target='w.xml'/></Relationships>";
    let styles = "<styleSheet><numFmt numFmtId='170' formatCode='0.00&quot; in&quot;'/><cellXfs><xf numFmtId='0'/>\
        <xf numFmtId='170'/></cellXfs></styleSheet>";
    let own = [
        ("[Content_Types].xml", "<Types/>".to_owned()),
        ("_rels/.rels", link.to_owned()),
        ("w.xml", format!("<workbook xmlns:r='r'><sheets>{names}</sheets></workbook>")),
        (
            "_rels/w.xml.rels",
            format!(
                "<Relationships>{links}<Relationship Id='y' Type='x/styles' Target='y.xml'/></Relationships>"
            ),
        ),
        ("y.xml", styles.to_owned()),
    ];
    let all: Vec<(&str, &[u8])> = own
        .iter()
        .map(|(name, text)| (*name, text.as_bytes()))
        .chain(parts.iter().map(|(name, text)| (name.as_str(), text.as_bytes())))
        .collect();
    folder("odd.xlsx", None, "odd.xlsx", packed(&all))
}

fn row(number: usize, cells: &[&str]) -> String {
    let cell = |(column, text): (usize, &&str)| {
        let place =
            format!("{}{number}", char::from(b'A' + u8::try_from(column).expect("a letter")));
        let (style, text) = text.strip_prefix("=in ").map_or((0, *text), |text| (1, text));
        match text.parse::<f64>() {
            Ok(value) => format!("<c r='{place}' s='{style}'><v>{value}</v></c>"),
            Err(_) if text.is_empty() => String::new(),
            Err(_) => format!("<c r='{place}' t='inlineStr'><is><t>{text}</t></is></c>"),
        }
    };
    let cells: String = cells.iter().enumerate().map(cell).collect();
    format!("<row r='{number}'>{cells}</row>")
}

/// Three strings of an upright: note, count, length, core and winding in mm.
const PLAIN: &[&[&str]] = &[
    &["note", "strings", "length_mm", "core_mm", "over_mm"],
    &["A0", "1", "1208.5", "1.4", "4.9"],
    &["A#3", "3", "602.25", "1.05", ""],
    &["C8", "3", "52", "0.775", ""],
];

#[track_caller]
fn is_plain(survey: &Survey) {
    let read = [
        ("A0", 1, 1208.5, 1.4, Some(4.9)),
        ("A#3", 3, 602.25, 1.05, None),
        ("C8", 3, 52.0, 0.775, None),
    ];
    assert_eq!(survey.instrument.strings.len(), read.len());
    for (note, count, length, core, over) in read {
        let row = string(survey, note);
        assert_eq!(row.strings, Some(count), "{note}");
        near(to_mm(row.length.expect(note).value), length);
        near(to_mm(row.core.expect(note).value), core);
        assert_eq!(row.over.is_some(), over.is_some(), "{note}");
        if let Some((row, over)) = row.over.zip(over) {
            near(to_mm(row.value), over);
        }
    }
}

#[track_caller]
fn refused(folder: &Memory) -> Vec<FaultKind> {
    let faults = crate::folder::read(folder).expect_err("a fault");
    faults.list.into_iter().map(|fault| fault.kind).collect()
}

/// `PLAIN` with its first rows in place of the head.
fn headed<'s>(head: &[&'s [&'s str]]) -> Vec<&'s [&'s str]> {
    head.iter().copied().chain(PLAIN[1..].iter().copied()).collect()
}

#[test]
fn one_table_is_read_from_every_way_to_divide_and_end_its_lines() {
    let point = |mark: &str| if mark == "," { "." } else { "," };
    let lines = |mark: &str, end: &str, trail: &str| {
        let row = |row: &&[&str]| format!("{}{trail}", row.join(mark).replace('.', point(mark)));
        PLAIN.iter().map(row).collect::<Vec<_>>().join(end) + end
    };
    for mark in [",", ";", "\t"] {
        for end in ["\n", "\r\n", "\r"] {
            for trail in ["", mark, &mark.repeat(4)] {
                is_plain(&survey(&csv(&lines(mark, end, trail))));
            }
        }
        for title in ["Tarn & Hollis, upright, 1931", "Strings; old; piano", "\u{feff}sep=;"] {
            is_plain(&survey(&csv(&format!("{title}\n\n{}", lines(mark, "\n", "")))));
        }
    }
    let spaced = lines(",", "\n", "").replace(',', ", ").replace("length_mm", "\"Length, in mm\"");
    assert_eq!(
        refused(&csv(&spaced))[0],
        FaultKind::UnknownColumn,
        "a quotation after a space is none"
    );
    is_plain(&survey(&csv(&spaced.replace("\"Length, in mm\"", "\"Length in mm\""))));
}

#[test]
fn a_fault_in_lines_that_end_in_carriage_returns_has_its_line() {
    let text = "note,strings,length_mm,core_mm\rC3,3,850,1.1\rH8,3,52,0.775\r";
    let faults = crate::folder::read(&csv(text)).expect_err("H8");
    assert!(faults.render(false).contains("odd.csv:3:1"), "{}", faults.render(false));
}

/// `#` begins a remark, but not where it is a head or stands before a number.
#[test]
fn a_number_sign_before_a_number_is_no_remark() {
    let text = "#,Wire no.,Note,Strings,Length mm\n# remeasured, after tuning\n1,#15,#40,3,600\n2,#15½,52,3,310\n";
    let read = survey(&csv(text));
    near(to_mm(string(&read, "C4").core.expect("core").value), 0.035 * 25.4);
    near(to_mm(string(&read, "C5").core.expect("core").value), 0.036 * 25.4);
    let first = survey(&csv("Wire no.,Note,Strings,Length mm\n#15,C4,3,600\n# 15,C5,3,310\n"));
    assert_eq!(first.instrument.strings.len(), 2);
}

/// A ditto mark in the last column would open a quotation that holds the next row.
#[test]
fn rows_are_not_lost_in_a_quotation() {
    let head = "note,strings,length_mm,core_mm,remark\n";
    let lost = format!("{head}C3,3,850,1.1,\"\nC4,3,600,1.05,\"\nC8,3,52,0.775,\n");
    assert_eq!(refused(&csv(&lost)), [FaultKind::OpenQuote]);
    let kept = format!("{head}C3,3,850,1.1,\"rusty,\nreplaced\"\nC8,3,52,0.775,\n");
    assert_eq!(survey(&csv(&kept)).instrument.strings.len(), 2);
}

#[test]
fn notes_and_keys_are_read_in_every_spelling_that_names_one() {
    let with = |note: &str| {
        let rows: Vec<Vec<&str>> = PLAIN
            .iter()
            .map(|row| row.iter().map(|cell| if *cell == "A#3" { note } else { *cell }).collect())
            .collect();
        let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
        book(&[Sheet("Strings", &rows, &[])])
    };
    for note in [
        "Bb3", "bb3", "a♯3", "A# 3", "B flat 3", "A#3/Bb3", "A#3 (38)", "38", "#38", "key 38",
        "No. 38",
    ] {
        is_plain(&survey(&with(note)));
    }
    for note in ["A#38", "A3#", "A#3/B3", "A#3 (37)", "Ais3", "B", "37.5", "-38", "37 A#3"] {
        assert!(!refused(&with(note)).is_empty(), "{note}");
    }
}

/// Wire 15 is 0.035 in thick, 15½ 0.036 in (ASTM A228 music wire by number).
#[test]
fn wire_numbers_are_read_with_their_marks_and_fractions() {
    let with = |wire: &str| csv(&format!("note;strings;length_mm;core_gauge\nC4;3;600;{wire}\n"));
    for (wires, inches) in [
        (["15", "#15", "No. 15", "no.15", "Nr. 15", "№ 15"], 0.035),
        (["15½", "15,5", "15 1/2", "15-1/2", "# 15½", "No. 15.5"], 0.036),
    ] {
        for wire in wires {
            let read = survey(&with(wire));
            near(to_mm(string(&read, "C4").core.expect("core").value), inches * 25.4);
        }
    }
    for wire in ["15-16", "15/16", "31/2", "15,25", "M15", "No. 15 1/4", "#", "##15"] {
        assert_eq!(refused(&with(wire)), [FaultKind::BadGauge], "{wire}");
    }
}

#[test]
fn a_fraction_that_can_be_read_two_ways_is_refused() {
    let with = |length: &str| csv(&format!("note;strings;length_in;core_mm\nC4;3;{length};1,05\n"));
    for length in ["23 1/2", "23½", "23-1/2", "23 1⁄2”", "23,5", "23.5 in", "47/2"] {
        let text = with(length);
        // 47/2 may be 4 7/2, which nobody writes, but not 4 and a part of one.
        near(to_mm(string(&survey(&text), "C4").length.expect(length).value), 23.5 * 25.4);
    }
    for length in ["231/2", "23 3/2", "23.5 1/2", "1 205", "23 1/0", "1' 11 1/2"] {
        assert_eq!(refused(&with(length)), [FaultKind::NotANumber], "{length}");
    }
}

#[test]
fn a_head_of_two_or_three_rows_is_put_together() {
    let merged: &[&[&str]] =
        &[&["Note", "Strings", "Length", "Diameters", ""], &["", "", "mm", "core mm", "over mm"]];
    let deep: &[&[&str]] = &[
        &["Note", "Unison", "Speaking length", "Diameter", ""],
        &["", "", "", "core", "over"],
        &["", "", "[mm]", "[mm]", "[mm]"],
    ];
    let units: &[&[&str]] = &[
        &["Note", "Strings per unison", "Length of string", "Core wire", "Over winding"],
        &["(name)", "(no.)", "(mm)", "(mm)", "(mm)"],
    ];
    let three = headed(deep);
    for (head, areas) in [
        (headed(merged), ["A1:A2", "B1:B2", "D1:E1"].as_slice()),
        (headed(merged), &["D1:E1"]),
        (three.clone(), &["A1:A3", "B1:B3", "C1:C2", "D1:E1"]),
        (headed(units), &[]),
    ] {
        is_plain(&survey(&book(&[Sheet("Strings", &head, areas)])));
    }
    let title: &[&[&str]] = &[&["Strings of the old piano"], &[], &["all by tape"], PLAIN[0]];
    is_plain(&survey(&book(&[Sheet("Strings", &headed(title), &["A1:E2", "A3:E3"])])));
}

#[test]
fn the_one_sheet_that_holds_the_table_is_found_and_two_are_refused() {
    let notes =
        Sheet("Read me", &[&["Measured on a wet day"], &["Note", "the pins are tight"]], &[]);
    let empty = Sheet("Sheet3", &[], &[]);
    let read = survey(&book(&[notes, Sheet("Upright", PLAIN, &[]), empty]));
    is_plain(&read);
    assert_eq!(read.tables[0].name, "odd.xlsx!Upright");
    assert!(read.tables[0].remarks.iter().any(|said| said.contains("of 3 sheets this one alone")));
    let two = book(&[Sheet("May", PLAIN, &[]), Sheet("June", PLAIN, &[])]);
    assert_eq!(refused(&two), [FaultKind::WhichSheet]);
}

/// 33.50 in is what the rebuilder sees in the cell, whatever the head says.
#[test]
fn the_unit_that_a_cell_shows_is_its_unit() {
    let rows: &[&[&str]] = &[
        &["Note", "Strings", "Length (mm)", "Core (mm)"],
        &["C3", "3", "=in 33.5", "1.1"],
        &["C4", "3", "600", "1.05"],
    ];
    let read = survey(&book(&[Sheet("Strings", rows, &[])]));
    near(to_mm(string(&read, "C3").length.expect("length").value), 33.5 * 25.4);
    near(to_mm(string(&read, "C4").length.expect("length").value), 600.0);
}

#[test]
fn a_number_beside_the_note_may_count_the_rows() {
    for head in ["No.", "#", "Nr"] {
        let text =
            format!("{head};note;strings;length_mm;core_mm\n1;C3;3;850;1,1\n2;C4;3;600;1,05\n");
        assert_eq!(survey(&csv(&text)).instrument.strings.len(), 2, "{head}");
    }
    for text in
        ["key;note;length_mm\n1;C3;850\n2;C4;600\n", "No.;note;length_mm\n28;C3;850\n41;C4;600\n"]
    {
        assert!(refused(&csv(text)).contains(&FaultKind::KeyDisagrees), "{text}");
    }
}

/// As a spreadsheet saves `=IF(B2=1,4.9,"")` in a row where it gives nothing; and a formula that no spreadsheet
/// worked out.
#[test]
fn a_formula_that_gives_nothing_is_an_empty_cell_of_an_ods() {
    let with = |over: &str| {
        let text = |text: &str| {
            format!("<t:table-cell o:value-type='string'><x:p>{text}</x:p></t:table-cell>")
        };
        let number =
            |value: &str| format!("<t:table-cell o:value-type='float' o:value='{value}'/>");
        let head: String = PLAIN[0].iter().copied().map(text).collect();
        let row =
            [text("C4"), number("3"), number("600"), number("1.05"), over.to_owned()].concat();
        let content = format!(
            "<o:document-content><t:table t:name='Strings'><t:table-row>{head}</t:table-row><t:table-row>{row}\
             </t:table-row></t:table></o:document-content>"
        );
        let ods = packed(&[("mimetype", b"x"), ("content.xml", content.as_bytes())]);
        folder("odd.ods", None, "odd.ods", ods)
    };
    let nothing = with("<t:table-cell t:formula='of:=IF(1;\"\")'><x:p/></t:table-cell>");
    assert!(string(&survey(&nothing), "C4").over.is_none());
    let unworked = with("<t:table-cell t:formula='of:=IF(1;\"\")'/>");
    assert_eq!(refused(&unworked), [FaultKind::FormulaWithoutResult]);
    let shown =
        with("<t:table-cell o:value-type='float' o:value='0.19'><x:p>0.19 in</x:p></t:table-cell>");
    near(to_mm(string(&survey(&shown), "C4").over.expect("over").value), 0.19 * 25.4);
}

#[test]
fn whole_numbers_may_have_noughts_behind_them() {
    let text = "Hammer no.;Bore (mm)\n1,00;58,5\n88,00;50\n";
    let mut odd = csv("note;strings;length_mm;core_mm\nC4;3,00;600;1,05\n");
    let survey_toml = odd.0.get_mut("survey.toml").expect("a survey");
    survey_toml.extend_from_slice(b"[hammers]\ntable = \"h.csv\"\n");
    odd.0.insert("h.csv".to_owned(), text.as_bytes().to_vec());
    let read = survey(&odd);
    assert_eq!(string(&read, "C4").strings, Some(3));
    let keys: Vec<u8> = read.instrument.hammers.rows.iter().map(|row| row.note.key()).collect();
    assert_eq!(keys, [1, 88]);
}

#[test]
fn a_short_row_beside_a_count_of_rows_is_a_fault_and_no_panic() {
    let text = "note,strings,length_mm,No.\nC3,3,850,1\nC4,3\nC5\n";
    assert!(refused(&csv(text)).contains(&FaultKind::WrongCellCount));
}

/// An empty cell over a winding says that the string is plain: no word that may mean "not measured" makes it so.
#[test]
fn words_for_nothing_are_empty_cells_where_they_can_mean_nothing_else() {
    let with = |over: &str, strike: &str| {
        csv(&format!(
            "note,strings,length_mm,core_mm,over_mm,strike_mm\nC4,3,600,1.05,{over},{strike}\n"
        ))
    };
    for over in ["", "-", "---", "−", "none", "plain", "Plain"] {
        assert!(string(&survey(&with(over, "n/a")), "C4").over.is_none(), "{over}");
    }
    for over in ["n/a", "?", "~", "x"] {
        assert_eq!(refused(&with(over, "")), [FaultKind::NotANumber], "{over}");
    }
    for strike in ["?", "~75", "x", "ca. 75"] {
        assert_eq!(refused(&with("", strike)), [FaultKind::NotANumber], "{strike}");
    }
}
