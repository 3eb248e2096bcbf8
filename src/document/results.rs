//! The whole result as sheets of one workbook: every list of every JSON object of ours, and a first sheet
//! of what they are of and what stands in no list.

use super::lists::{self, Entry, List, WHOLE};
use super::xlsx::{Head, Made, Sheet, XlsxFault, workbook};
use super::{Date, head_words, shapes};
use crate::order::strings::StringOrder;
use crate::report::{Report, ScaleMore};

/// The workbook of every result of `report`; `order` is that of strings, where there is one.
pub fn results(
    report: &Report,
    order: Option<&StringOrder>,
    date: Date,
) -> Result<Vec<u8>, XlsxFault> {
    let objects = [
        ("strings", Some(shapes::scale(report, &ScaleMore::default()))),
        ("breaks", Some(shapes::breaks(report))),
        ("verdicts", Some(shapes::decide(report))),
        ("hammers", Some(shapes::hammers(report))),
        ("string order", order.map(|order| shapes::strings(report, order))),
        ("limits", Some(shapes::limits(&report.limits))),
    ];
    let mut sheets = vec![about(report, date)];
    for (object, json) in objects {
        for list in lists::lists(json.as_deref().unwrap_or_default(), " ") {
            if list.name == WHOLE {
                sheets[0].rows.extend(sums(object, &list));
            } else {
                add(&mut sheets, tab(object, &list.name), list);
            }
        }
    }
    sheets.retain(|sheet| !sheet.rows.is_empty());
    let title = format!("Results: {}", report.instrument.name);
    workbook(&sheets, Made { title: &title, date })
}

/// The name of the sheet of a list: that of its object for the list that the object is about.
fn tab(object: &str, list: &str) -> String {
    let list = list.replace('_', " ");
    match (object, list.as_str()) {
        (_, "notes") => object.to_owned(),
        ("string order", "missing" | "warnings") => list,
        ("string order", list) => format!("order {list}"),
        _ => list,
    }
}

/// Adds a list as a sheet; several objects carry the same warnings, which stand there once.
fn add(sheets: &mut Vec<Sheet>, name: String, list: List) {
    let Some(sheet) = sheets.iter_mut().find(|sheet| sheet.name == name) else {
        let head = |name: String| Head { about: head_words::in_words(&name), name };
        let heads = list.heads.into_iter().map(head).collect();
        sheets.push(Sheet { name, heads, rows: list.rows });
        return;
    };
    if sheet.rows.is_empty() {
        sheet.heads = list.heads.into_iter().map(|name| Head { name, about: None }).collect();
    }
    for row in list.rows {
        if !sheet.rows.contains(&row) {
            sheet.rows.push(row);
        }
    }
}

/// What the workbook is of.
fn about(report: &Report, date: Date) -> Sheet {
    let instrument = &report.instrument;
    let row = |label: &str, value: String| vec![Entry::Text(label.to_owned()), Entry::Text(value)];
    let head = |name: &str| Head { name: name.to_owned(), about: None };
    Sheet {
        name: "about".to_owned(),
        heads: vec![head("what"), head("value")],
        rows: vec![
            row("survey", instrument.name.clone()),
            row("compass", instrument.compass.to_string()),
            row("content of the survey", report.survey_hash.clone()),
            row("program", concat!("Feltwire ", env!("CARGO_PKG_VERSION")).to_owned()),
            row("date", date.in_words()),
            row("units", "the end of each head is its unit: mm, n (newton), mpa, hz, g, deg, kg_s, percent; sd is one standard deviation, lo and hi 5 and 95 %; point at a head to read it in words".to_owned()),
            row("empty cells", "not known".to_owned()),
        ],
    }
}

/// What of an object stands in no list, key by key.
fn sums<'l>(object: &'l str, whole: &'l List) -> impl Iterator<Item = Vec<Entry>> + 'l {
    let cells = whole.heads.iter().zip(whole.rows.iter().flatten());
    let told = |head: &str| matches!(head, "survey" | "survey_hash");
    cells
        .filter(move |(head, entry)| !told(head) && **entry != Entry::Empty)
        .map(move |(head, entry)| vec![Entry::Text(format!("{object}: {head}")), entry.clone()])
}
