//! What `feltwire new` made, and what comes next.

use super::columns::item;
use crate::document::blank::{Blank, WORKBOOK};
use crate::document::words::ascii_fixed;
use crate::judgement::plan::{Depth, Known, Plan};

/// What was written to `folder`, why so few notes, and what comes next.
pub fn new_survey(folder: &str, blank: &Blank, plan: &Plan) -> String {
    let mut text = item(
        "",
        &format!(
            "Made {folder}: survey.toml, {WORKBOOK} (or strings.csv, runs.csv, hammers.csv) and measuring-sheet.pdf."
        ),
    );
    let sections: Vec<String> =
        blank.sections.iter().map(|(name, notes)| format!("{name} {notes}")).collect();
    text.push_str(&item(
        "",
        &format!("Sections: {}; wound to {}.", sections.join(", "), blank.wound_to),
    ));
    let known = |known: Option<Known>, what: &str, unit: &str, places: u8| {
        known.map_or(String::new(), |known| {
            format!(
                "; every other {what} will be known to ±{} {unit} or better",
                ascii_fixed(known.sd, places)
            )
        })
    };
    let strings = format!(
        "Measure the strings of {} notes{}.",
        plan.strings.len(),
        known(plan.tension, "tension", "%", 1)
    );
    text.push_str(&item("", &strings));
    if plan.depth == Depth::Order {
        let hammers =
            format!("Measure {} hammers{}.", plan.hammers.len(), known(plan.bore, "bore", "mm", 2));
        text.push_str(&item("", &hammers));
    }
    text.push_str(&item(
        "",
        &format!(
            "Next: print measuring-sheet.pdf, measure, type the readings into {WORKBOOK}, and see what they \
             allow with `feltwire check {folder}`."
        ),
    ));
    text
}
