//! Heads that arrive: the sheet for their check, and the table of what was read of them.

use crate::folder::{here, load, read};
#[cfg(all(feature = "cli", feature = "pdf"))]
use crate::program::{feltwire, text};
use feltwire::instrument::Instrument;
use feltwire::measure::{to_grams, to_mm};
use feltwire::survey::{Faults, received};
use proptest::prelude::*;

fn grand() -> Instrument {
    read(&load(&here("examples/grand"))).expect("no fault").instrument
}

fn faults(name: &str, table: &[u8]) -> Faults {
    received(name, table, &grand()).expect_err("a fault")
}

fn kinds(name: &str, table: &[u8]) -> Vec<&'static str> {
    faults(name, table).list.iter().map(|fault| fault.kind.id()).collect()
}

#[test]
fn a_table_is_read_by_the_dictionary_and_only_what_a_cell_states_is_doubt() {
    let table = "note;bore_mm;head_mass_g;width_in\nA7;44,6;4,41;0,39\nA0;57.2 ± 0.1;;\n";
    let read = received("/elsewhere/was da ist.CSV", table.as_bytes(), &grand()).expect("heads");
    let [low, high] = read.heads.as_slice() else { panic!("two heads") };
    assert_eq!((low.note.to_string().as_str(), high.note.to_string().as_str()), ("A0", "A7"));
    let bore =
        |row: &feltwire::instrument::HammerRow| row.bore.map(|b| (to_mm(b.value), to_mm(b.sd)));
    assert_eq!((bore(low), bore(high)), (Some((57.2, 0.1)), Some((44.6, 0.0))));
    let mass = high.mass.expect("weighed").head();
    assert_eq!((to_grams(mass.value), to_grams(mass.sd)), (4.41, 0.0));
    assert!((to_mm(high.width.expect("width").value) - 9.906).abs() < 1e-9);
    assert_eq!(read.hash.len(), 64);
}

#[test]
fn a_table_at_fault_says_every_fault_and_that_it_is_the_table() {
    // C8 is not on this grand, which ends at A7.
    let table = b"note,bore_mm,boor_mm,hole_mm\nA0,57.2,1,\nA0,57,,\nC8,44,,\nB1,570,,\nC2,55,,5,6\nD2,,,\"5,x\"\n";
    let said = faults("heads.csv", table);
    let found: Vec<_> = said.list.iter().map(|fault| fault.kind.id()).collect();
    for kind in [
        "unknown_column",
        "note_twice",
        "note_outside_compass",
        "impossible_value",
        "wrong_cell_count",
    ] {
        assert!(found.contains(&kind), "{kind}: {found:?}");
    }
    let text = said.render(false);
    assert!(text.contains("heads.csv:2") || text.contains("heads.csv:3"), "{text}");
    assert!(text.contains("faults in the table; nothing was computed."), "{text}");
    assert_eq!(kinds("heads.csv", b""), ["empty_table"]);
    assert_eq!(kinds("heads.csv", b"bore_mm\n57\n"), ["missing_column"]);
    assert_eq!(kinds("heads.csv", b"note,bore_mm\nA0,\xff\n"), ["not_utf8"]);
    assert_eq!(kinds("heads.doc", b"note\nA0\n"), ["unknown_table_format"]);
    assert_eq!(kinds("he\u{202e}ads\u{1b}", b"note\nA0\n"), ["unknown_table_format"]);
    let hidden = faults("he\u{202e}ads.csv", b"note\nX\n").render(false);
    assert!(hidden.contains("received.csv") && !hidden.contains('\u{202e}'), "{hidden}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_arrives_is_survived(
        name in any::<String>(),
        bytes in any::<Vec<u8>>(),
        table in "(note|bore_mm|hole_mm|rake_deg|filed|clip_g|,|;|\"|\n|A4|C#3|[0-9]{1,3}|-|±|nan|½){0,60}",
    ) {
        let grand = grand();
        for (name, bytes) in
            [(name.as_str(), bytes.as_slice()), ("h.csv", bytes.as_slice()), ("h.csv", table.as_bytes())]
        {
            if let Err(faults) = received(name, bytes, &grand) {
                let said = faults.render(false);
                prop_assert!(!said.chars().any(|c| c.is_control() && c != '\n'), "{}", said);
            }
        }
    }
}

#[cfg(all(feature = "cli", feature = "pdf"))]
mod program {
    use super::{feltwire, text};

    const RECEIVED: &str = "examples/upright/received.csv";

    fn json(args: &[&str]) -> serde_json::Value {
        let done = feltwire(args);
        assert_eq!(done.status.code(), Some(0), "{args:?}: {}", text(&done.stderr));
        serde_json::from_slice(&done.stdout).expect("JSON")
    }

    fn columns(printed: &str) {
        for line in printed.lines() {
            assert!(line.chars().count() <= 100, "{line}");
            assert!(!line.contains("NaN") && !line.contains('\x1b'), "{line}");
        }
    }

    #[test]
    fn the_sheet_names_every_measurement_with_its_tolerance_within_a_hundred_columns() {
        for survey in ["examples/upright", "examples/grand", "tests/published/woodhouse"] {
            let done = feltwire(&["hammers", survey, "--sheet", "receive"]);
            assert_eq!(done.status.code(), Some(0), "{survey}: {}", text(&done.stderr));
            let printed = text(&done.stdout);
            columns(&printed);
            // What the order asks of the maker, as the limits have it.
            for tolerance in ["± 0.3 mm", "± 0.5°", "0.08 to 0.10 mm", "± 0.2 mm", "± 0.3 g"] {
                assert!(printed.contains(tolerance), "{survey}: {tolerance}\n{printed}");
            }
            let read = json(&["hammers", survey, "--sheet", "receive", "--json"]);
            let heads = read["ordered"].as_array().expect("heads").len();
            assert_eq!(read["heads"], heads);
            assert!(read["warnings"].is_array() && read["missing"].is_array());
            let counted: f64 = read["checks"]
                .as_array()
                .expect("checks")
                .iter()
                .filter(|check| check["kind"] == "count")
                .map(|check| check["least"].as_f64().expect("a count"))
                .sum();
            assert!(counted >= heads as f64, "{survey}: {counted}");
        }
    }

    #[test]
    fn the_example_that_arrived_is_bored_without_its_allowance_and_has_one_bad_head() {
        let read = json(&["hammers", "examples/upright", "--received", RECEIVED, "--json"]);
        assert_eq!(read["verdict"], "rebore");
        assert_eq!(read["missing_notes"], serde_json::json!(["D#5"]));
        assert_eq!(read["send_back"], serde_json::json!(["E4"]));
        let shared = read["shared"].as_array().expect("a list");
        assert_eq!(shared.len(), 1, "{shared:?}");
        assert_eq!(shared[0]["about"], "set");
        assert_eq!(shared[0]["quantity"], "bore");
        assert_eq!(shared[0]["causes"][0]["cause"], "allowance_left_out");
        let off = shared[0]["off"].as_f64().expect("a number");
        assert!((off + 0.5).abs() < 0.15, "{off}");
        let done = feltwire(&["hammers", "examples/upright", "--received", RECEIVED]);
        let printed = text(&done.stdout);
        columns(&printed);
        assert!(
            printed.contains("allowance of 0.5 mm were left out") || printed.contains("left out")
        );
    }

    /// Heads exactly as ordered are accepted, from a table that lies outside the survey.
    #[test]
    fn heads_as_ordered_are_accepted_wherever_their_table_lies() {
        let folder = tempfile::tempdir().expect("a folder");
        for survey in ["examples/upright", "examples/grand"] {
            let sheet = json(&["hammers", survey, "--sheet", "receive", "--json"]);
            let names = [
                "bore_mm",
                "rake_deg",
                "side_angle_deg",
                "head_mass_g",
                "width_mm",
                "tail_mm",
                "moulding_mm",
                "head_length_mm",
                "hole_mm",
            ];
            let mut table = format!("note,{}\n", names.join(","));
            for head in sheet["ordered"].as_array().expect("heads") {
                let cell = |name| match &head[name] {
                    serde_json::Value::Null => String::new(),
                    value => value.to_string(),
                };
                let cells: Vec<String> = names.into_iter().map(cell).collect();
                for part in [head["note"].as_str().expect("a note"), ",", &cells.join(","), "\n"] {
                    table.push_str(part);
                }
            }
            let path = folder.path().join("arrived.csv");
            std::fs::write(&path, table).expect("written");
            let path = path.to_str().expect("UTF-8");
            let read = json(&["hammers", survey, "--received", path, "--json"]);
            assert_eq!(read["verdict"], "accept", "{survey}: {}", read["why"]);
            for quantity in read["quantities"].as_array().expect("a list") {
                assert_eq!(quantity["within"], quantity["heads"], "{survey}: {quantity}");
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_own_exit_code() {
        let folder = tempfile::tempdir().expect("a folder");
        let bad = folder.path().join("bad.csv");
        std::fs::write(&bad, "note,bore_mm\nH4,57\nA0,five\n").expect("written");
        let bad = bad.to_str().expect("UTF-8");
        let folder = folder.path().to_str().expect("UTF-8");
        for (args, code, says) in [
            (["--received", bad].as_slice(), 1, "2 faults in the table"),
            (&["--received", "no-such.csv"], 3, "no such file"),
            (&["--received", folder], 3, "not a plain file"),
            (&["--received", bad, "--sheet", "receive"], 2, "cannot be used with"),
            (&["--sheet", "hang"], 2, "receive"),
        ] {
            let args = [&["hammers", "examples/upright"], args].concat();
            let done = feltwire(&args);
            let said = text(&done.stderr);
            assert_eq!(done.status.code(), Some(code), "{args:?}: {said}");
            assert!(said.contains(says), "{args:?}: {said}");
            assert!(done.stdout.is_empty());
        }
    }

    #[test]
    fn without_hammers_nothing_was_ordered_that_could_arrive() {
        let folder = tempfile::tempdir().expect("a folder");
        let toml = "format = 1\n[instrument]\nname = \"a\"\nkind = \"upright\"\n[[section]]\nname = \"a\"\n\
                    notes = [\"A0\", \"C8\"]\n";
        std::fs::write(folder.path().join("survey.toml"), toml).expect("written");
        let survey = folder.path().to_str().expect("UTF-8");
        let done = feltwire(&["hammers", survey, "--received", RECEIVED]);
        assert_eq!(done.status.code(), Some(2), "{}", text(&done.stderr));
        assert!(text(&done.stderr).contains("hammers table"));
        let sheet = feltwire(&["hammers", survey, "--sheet", "receive"]);
        assert!(text(&sheet.stdout).contains("Nothing was ordered"));
        let json = json(&["hammers", survey, "--sheet", "receive", "--json"]);
        assert_eq!(json["ordered"], serde_json::json!([]));
    }
}
