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
