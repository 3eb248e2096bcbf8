//! Pull by section at three pitches, and strings at another temperature: parts of `feltwire scale`.

use super::columns::{Align, Columns, item};
use crate::document::words::{Style, cell};
use crate::measure::{Cents, to_celsius, to_newtons, to_tonnes_force};
use crate::report::{Report, ScaleMore, SectionPitches};
use crate::scale::pitch::{Pull, Warmed};

/// What the strings of each section pull as found, at the finished pitch and over it.
pub(super) fn pitches(report: &Report) -> String {
    let pitches = report.pitches();
    let mut table = Columns::new(&[
        ("", Align::Left),
        ("found at", Align::Right),
        ("kN", Align::Right),
        ("tf", Align::Right),
        ("load %", Align::Right),
        ("finished kN", Align::Right),
        ("tf", Align::Right),
        ("load %", Align::Right),
        ("over by", Align::Right),
        ("kN", Align::Right),
        ("tf", Align::Right),
        ("load %", Align::Right),
    ]);
    for section in &pitches.sections {
        let name = section.section.map_or("", |index| &report.instrument.sections[index].name);
        table.row(row(name, section));
    }
    table.row(row("all", &pitches.total));
    let mut text =
        String::from("\nPull by section, as found, at the finished pitch, and pulled over it\n");
    text.push_str(&table.text());
    text.push_str(&item(
        "",
        "Cents from the finished pitch; kilonewtons and tonnes-force; the load is that of the string \
         that bears most, and must not be read as leave to pull: see `feltwire decide`.",
    ));
    if pitches.total.found.is_none() {
        text.push_str(&item("", "Where no pitch was found, give `found` in the survey."));
    }
    if pitches.total.over.is_some() {
        text.push_str(&item(
            "",
            "Sections that the raise does not pull over are counted at the finished pitch.",
        ));
    }
    text
}

fn row(name: &str, section: &SectionPitches) -> Vec<String> {
    let mut cells = vec![name.to_owned()];
    cells.push(cents(section.found_cents));
    cells.extend(pull(section.found.as_ref()));
    cells.extend(pull(Some(&section.finished)));
    cells.push(cents(section.over_cents));
    cells.extend(pull(section.over.as_ref()));
    cells
}

fn cents(cents: Option<Cents>) -> String {
    let said = cell(cents.map(|cents| cents.0), 0);
    if cents.is_some_and(|cents| cents.0 > 0.0) { format!("+{said}") } else { said }
}

fn pull(pull: Option<&Pull>) -> [String; 3] {
    let force = pull.map(|pull| pull.totals.tension.value);
    [
        cell(force.map(|force| to_newtons(force) / 1e3), 1),
        cell(force.map(to_tonnes_force), 2),
        cell(pull.and_then(|pull| pull.most_load).map(|load| 100.0 * load), 0),
    ]
}

/// What a change of temperature does, section by section; nothing when it was not asked.
pub(super) fn warmed(report: &Report, more: &ScaleMore) -> String {
    let Some((tuned, now)) = more.asked.warmed else { return String::new() };
    let style = Style::PLAIN;
    let degrees = |t| cell(Some(to_celsius(t)), 1);
    let mut text = format!(
        "\nTuned at {} °C and standing at {} °C, cents from where it was tuned\n",
        degrees(tuned),
        degrees(now)
    );
    let mut table = Columns::new(&[
        ("", Align::Left),
        ("first note", Align::Left),
        ("cents", Align::Right),
        ("string alone", Align::Right),
        ("last note", Align::Left),
        ("cents", Align::Right),
        ("string alone", Align::Right),
    ]);
    for section in &report.instrument.sections {
        let mut of_section =
            more.warmed.iter().filter(|warmed| section.notes.contains(warmed.note));
        let first = of_section.next();
        let last = of_section.next_back().or(first);
        let mut cells = vec![section.name.clone()];
        for warmed in [first, last] {
            let figure = |of: fn(&Warmed) -> Cents| cell(warmed.map(|w| of(w).0), 1);
            cells.push(warmed.map_or_else(|| "–".to_owned(), |w| style.note(w.note)));
            cells.push(figure(|w| w.together));
            cells.push(figure(|w| w.alone));
        }
        table.row(cells);
    }
    text.push_str(&table.text());
    text.push_str(&item(
        "",
        "String and iron plate warmed alike; beside it the string alone, as in the first minutes. Moisture \
         in the soundboard, which rules the seasons, is not in it.",
    ));
    text
}
