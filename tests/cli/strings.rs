//! `scale` as a process: one note explained, strings read in two ways, other pitches.

use crate::program::{feltwire, text};

/// The published row whose core contradicts its own mass is found from the survey, and no other row.
#[test]
fn a_weighed_string_that_contradicts_its_core_is_flagged() {
    let done = feltwire(&["check", "tests/published/woodhouse_weighed", "--json"]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let read: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    let warnings = read["warnings"].as_array().expect("warnings");
    let weighed: Vec<_> =
        warnings.iter().filter(|warning| warning["kind"] == "weighed_disagrees").collect();
    assert_eq!(weighed.len(), 1, "{weighed:?}");
    assert_eq!(weighed[0]["name"], "C7");
    let said = weighed[0]["text"].as_str().expect("text");
    assert!(said.contains("the wire") && said.contains("0.807 mm"), "{said}");
}

#[test]
fn one_note_is_explained_with_formulas_sources_and_causes() {
    let done = feltwire(&["scale", "examples/upright", "--explain", "F2"]);
    let said = text(&done.stdout);
    for words in
        ["π² E I/(T L²)", "first order", "H. Fletcher", "Where the ± comes from", "longitudinal"]
    {
        assert!(said.contains(words), "{words}: {said}");
    }
    let done = feltwire(&["scale", "examples/upright", "--explain", "F2", "--json"]);
    let read: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    for key in
        ["tension_n", "inharmonicity_core_only", "longitudinal_hz", "longitudinal_above_cents"]
    {
        assert!(read[key].is_number(), "{key}");
    }
    assert_eq!(read["matters_most_tension"], "over");
    assert!(read["steps"].as_array().expect("steps").len() > 15);
    let unknown = feltwire(&["scale", "tests/published/woodhouse", "--explain", "A2", "--json"]);
    let read: serde_json::Value = serde_json::from_slice(&unknown.stdout).expect("JSON");
    assert!(read["why_not"].is_string() && read["tension_n"].is_null());
    for (arguments, part) in [("C9", "outside the keyboard"), ("H4", "not a note")] {
        let done = feltwire(&["scale", "examples/upright", "--explain", arguments]);
        assert_eq!(done.status.code(), Some(2));
        assert!(text(&done.stderr).contains(part), "{}", text(&done.stderr));
    }
    let done = feltwire(&["scale", "examples/grand", "--explain", "C8"]);
    assert_eq!(done.status.code(), Some(2), "the grand ends at A7");
}

/// Tension as found, finished and over; 5 and 95 % from draws; another temperature.
#[test]
fn other_pitches_draws_and_temperatures_are_said_to_machines() {
    let done =
        feltwire(&["scale", "examples/upright", "--json", "--draws", "200", "--at", "75 degF"]);
    let read: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!((&read["intervals"], &read["draws"]), (&"draws".into(), &200.into()));
    let number = |value: &serde_json::Value| value.as_f64().expect("a number");
    for note in read["notes"].as_array().expect("notes") {
        for what in ["tension", "load_percent", "inharmonicity"] {
            let unit = if what == "tension" { "_n" } else { "" };
            let [lo, value, hi] =
                ["_lo", "", "_hi"].map(|end| number(&note[format!("{what}{end}{unit}")]));
            assert!(lo < value && value < hi, "{note}");
        }
    }
    let all = &read["pitches"]["total"];
    let found = number(&all["found"]["tension_kn"]);
    let finished = number(&all["finished"]["tension_kn"]);
    let over = number(&all["over"]["tension_kn"]);
    assert!(found < finished && finished < over, "{all}");
    // 1 tonne-force is 9.80665 kN.
    assert!((number(&all["finished"]["tension_tf"]) * 9.806_65 - finished).abs() < 1e-6);
    assert!((number(&all["added_kn"]) - (finished - found)).abs() < 1e-6);
    assert!((number(&read["totals"]["tension_kn"]) - finished).abs() < 1e-6);
    // The survey's own 18 °C, and 75 °F: 5.9 K warmer.
    assert!((number(&read["warmed"]["tuned_at_celsius"]) - 18.0).abs() < 1e-9);
    let warmed = read["warmed"]["notes"].as_array().expect("notes");
    assert!(warmed.len() == 88 && warmed.iter().all(|note| number(&note["cents"]) < 0.0));
    let done = feltwire(&["scale", "examples/upright", "--json"]);
    let read: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON");
    assert_eq!(read["intervals"], "first_order");
    assert!(read["draws"].is_null() && read["warmed"].is_null());
}

#[test]
fn what_cannot_be_drawn_or_warmed_is_said() {
    for (arguments, part) in [
        (&["--draws", "5"][..], "100"),
        (&["--at", "22"][..], "22 degC"),
        (&["--at", "900 degC"][..], "60 °C"),
        (&["--tuned-at", "20 degC"][..], "--at"),
    ] {
        let done = feltwire(&[&["scale", "examples/upright"], arguments].concat());
        assert_eq!(done.status.code(), Some(2), "{arguments:?}");
        assert!(text(&done.stderr).contains(part), "{}", text(&done.stderr));
    }
    let done = feltwire(&["scale", "tests/published/woodhouse", "--at", "22 degC"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("--tuned-at"), "{}", text(&done.stderr));
}
