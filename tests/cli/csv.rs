//! `--csv`: what stands in a list of the JSON object stands in the table, under the same keys.

use super::program::{feltwire, text};
use serde_json::Value;
use std::collections::BTreeSet;

/// Every command that prints, with the list it prints when none is named.
const COMMANDS: [(&[&str], &str); 13] = [
    (&["check", "examples/upright"], "sections"),
    (&["scale", "examples/grand"], "notes"),
    (&["scale", "examples/grand", "--draws", "100"], "notes"),
    (&["scale", "examples/grand", "--explain", "C3"], "steps"),
    (&["breaks", "examples/upright"], "breaks.quantities"),
    (&["decide", "examples/upright"], "sections"),
    (&["hammers", "examples/upright"], "hammers"),
    (&["hammers", "examples/upright", "--sheet", "receive"], "checks"),
    (&["hammers", "examples/upright", "--received", "examples/upright/received.csv"], "heads"),
    (&["restring", "examples/upright"], "alternatives"),
    (&["strings", "examples/grand"], "lines"),
    (&["limits"], "limits"),
    (&["explain"], "terms"),
];

fn printed(command: &[&str], how: &str) -> String {
    let done = feltwire(&[command, &[how]].concat());
    assert_eq!(done.status.code(), Some(0), "{command:?}: {}", text(&done.stderr));
    text(&done.stdout)
}

fn object(command: &[&str]) -> Value {
    serde_json::from_str(&printed(command, "--json")).expect("one object")
}

/// Heads and rows, read by another's reader.
fn table(csv: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let heads = reader.headers().expect("heads").iter().map(str::to_owned).collect();
    let row = |row: Result<csv::StringRecord, _>| {
        row.expect("a row as long as the heads").iter().map(str::to_owned).collect()
    };
    (heads, reader.records().map(row).collect())
}

/// The objects of a list, `breaks.quantities` being the objects within each of `breaks`.
fn objects(tree: &Value, path: &str) -> Vec<Value> {
    let (key, rest) = path.split_once('.').map_or((path, None), |(key, rest)| (key, Some(rest)));
    let inner: Vec<Value> = match &tree[key] {
        Value::Array(list) => list.clone(),
        // An object of objects of one kind: its keys are the first column.
        Value::Object(map) => map
            .iter()
            .map(|(key, value)| {
                let mut row = value.clone();
                row["figure"] = Value::String(key.clone());
                row
            })
            .collect(),
        other => panic!("{key}: {other}"),
    };
    match rest {
        None => inner,
        Some(rest) => inner.iter().flat_map(|object| objects(object, rest)).collect(),
    }
}

/// Whether a cell says what the JSON says, words of a spreadsheet's formula apart.
fn same(cell: &str, value: &Value) -> bool {
    match value {
        Value::Null => cell.is_empty(),
        Value::Bool(flag) => cell == flag.to_string(),
        Value::Number(number) => {
            let number = number.as_f64().expect("a number");
            cell.parse::<f64>().is_ok_and(|cell| (cell - number).abs() <= 1e-12 * number.abs())
        }
        Value::String(words) => cell == words || cell == format!("'{words}"),
        Value::Array(_) | Value::Object(_) => true,
    }
}

#[test]
fn each_command_prints_its_main_list_with_the_values_of_its_json() {
    for (command, list) in COMMANDS {
        let (heads, mut rows) = table(&printed(command, "--csv"));
        let objects = objects(&object(command), list);
        if let Some(column) = heads.iter().position(|head| head == "figure") {
            // The keys of an object come to this test in the order of their letters.
            let figures = rows.iter().map(|row| &row[column]).collect::<BTreeSet<_>>().len();
            rows.chunks_mut(figures).for_each(|rows| rows.sort_by_key(|row| row[column].clone()));
        }
        assert_eq!(rows.len(), objects.len(), "{command:?}");
        assert!(rows.len() >= 3, "{command:?}: {}", rows.len());
        let mut compared = 0;
        for (row, object) in rows.iter().zip(&objects) {
            for (key, value) in object.as_object().expect("an object") {
                if matches!(value, Value::Array(_) | Value::Object(_)) {
                    continue;
                }
                let column = heads.iter().position(|head| head == key);
                let column = column.unwrap_or_else(|| panic!("{command:?}: no column {key}"));
                assert!(same(&row[column], value), "{command:?} {key}: {} {value}", row[column]);
                compared += 1;
            }
        }
        assert!(compared >= 2 * rows.len(), "{command:?}: {compared}");
    }
}

#[test]
fn a_list_is_had_by_its_name_and_sums_too() {
    let (heads, rows) = table(&printed(&["scale", "examples/grand"], "--csv=whole"));
    let column = heads.iter().position(|head| head == "totals.tension_kn").expect("a sum");
    let json = object(&["scale", "examples/grand"]);
    assert!(same(&rows[0][column], &json["totals"]["tension_kn"]), "{:?}", rows[0]);
    let (heads, rows) = table(&printed(&["decide", "examples/upright"], "--csv=sections.findings"));
    assert_eq!(heads[0], "sections.name");
    assert!(rows.len() > 3, "{}", rows.len());
    let (_, rows) = table(&printed(&["explain", "bore"], "--csv"));
    assert_eq!(rows.len(), 1);
}

#[test]
fn a_list_that_is_not_there_is_answered_by_those_that_are() {
    let done = feltwire(&["decide", "examples/upright", "--csv=section"]);
    assert_eq!(done.status.code(), Some(2));
    let said = text(&done.stderr);
    assert!(said.contains("no list `section`") && said.contains("sections.findings"), "{said}");
    let done = feltwire(&["decide", "examples/upright", "--csv", "--json"]);
    assert_eq!(done.status.code(), Some(2));
}
