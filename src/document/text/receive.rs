//! `feltwire hammers --sheet receive`: what to check when the heads arrive.

use super::columns::{Align, Columns, item};
use super::head;
use crate::document::words::{Style, cell, list};
use crate::judgement::received::{Quantity, Wanted};
use crate::measure::{Measured, Note, to_degrees, to_grams, to_mm};
use crate::order::hammers::{Check, HammerOrder, SectionOrder, Tolerance};
use crate::report::Report;

/// The list with its tolerances, the figures ordered, and how to have the readings judged.
pub fn receive(report: &Report) -> String {
    let mut text = head(report);
    let (Some(order), Some(wanted)) = (&report.hammer_order, report.heads_wanted()) else {
        text.push_str(
            "Nothing was ordered: name a hammers table in survey.toml, [hammers] table.\n",
        );
        return text;
    };
    text.push_str("\nWhen the heads arrive, before an old head comes off\n");
    text.push_str(&item("", &Style::PLAIN.sentence(&order.allowance_words)));
    let ends = ends(order);
    for (number, check) in order.receiving.iter().enumerate() {
        text.push_str(&item(&format!("{:>3}. ", number + 1), &line(check, &ends)));
    }
    text.push_str("\nBores ordered, mm\n");
    text.push_str(&bores(&wanted));
    text.push_str("\nThe rest, at the ends of sections\n");
    text.push_str(&rest(order, &wanted, &ends));
    text.push('\n');
    text.push_str(&item(
        "",
        "To have it judged, write a row for every head that arrived, with what was read of it; a head without \
         a row counts as missing. Heads of the columns: note, bore_mm, rake_deg, side_angle_deg, head_mass_g, \
         width_mm, tail_mm, moulding_mm, head_length_mm, hole_mm; angles with their sign, as above. Then: \
         feltwire hammers SURVEY --received FILE.csv",
    ));
    text
}

fn ends(order: &HammerOrder) -> Vec<Note> {
    order.sections.iter().flat_map(|section| [section.first, section.last]).collect()
}

fn line(check: &Check, ends: &[Note]) -> String {
    let where_ = if check.notes.is_empty() {
        "every head".to_owned()
    } else if check.notes == ends {
        "both ends of every section".to_owned()
    } else {
        list(&check.notes.iter().map(ToString::to_string).collect::<Vec<_>>())
    };
    let what = Style::PLAIN.sentence(&check.what);
    match check.tolerance {
        Tolerance::Count(count) => format!("{what}: {count} exactly"),
        Tolerance::Seen => format!("{what} ({}; {where_})", check.tool),
        other => format!("{what}: {} ({}; {where_})", tolerance(other), check.tool),
    }
}

fn tolerance(tolerance: Tolerance) -> String {
    let number = |value: f64| Style::PLAIN.number(Measured::new(value, 0.0));
    match tolerance {
        Tolerance::Length(length) => format!("± {} mm", number(to_mm(length))),
        Tolerance::Between(least, most) => {
            format!("{} to {} mm", cell(Some(to_mm(least)), 2), cell(Some(to_mm(most)), 2))
        }
        Tolerance::Angle(angle) => format!("± {}°", number(to_degrees(angle))),
        Tolerance::Mass(mass) => format!("± {} g", number(to_grams(mass))),
        Tolerance::Count(count) => format!("{count} exactly"),
        Tolerance::Seen => "looked at".to_owned(),
    }
}

/// Notes side by side on a terminal.
const ABREAST: usize = 7;

/// Every head with its bore, down the columns.
fn bores(wanted: &[Wanted]) -> String {
    let heads: Vec<(&str, Align)> =
        (0..ABREAST).flat_map(|_| [("", Align::Left), ("bore", Align::Right)]).collect();
    let mut table = Columns::new(&heads);
    let deep = wanted.len().div_ceil(ABREAST);
    for line in 0..deep {
        let row = (0..ABREAST).flat_map(|column| match wanted.get(column * deep + line) {
            Some(wanted) => {
                let bore = wanted.target(Quantity::Bore).map(|target| target.value);
                let said = bore.map_or_else(|| "sample".to_owned(), |bore| cell(Some(bore), 1));
                [wanted.note.to_string(), said]
            }
            None => [String::new(), String::new()],
        });
        table.row(row.collect());
    }
    table.text()
}

fn rest(order: &HammerOrder, wanted: &[Wanted], ends: &[Note]) -> String {
    let columns = [
        (Quantity::Rake, "rake °", 1),
        (Quantity::SideAngle, "side °", 1),
        (Quantity::Mass, "mass g", 1),
        (Quantity::Width, "width mm", 1),
        (Quantity::Tail, "tail", 1),
        (Quantity::Moulding, "tip", 1),
        (Quantity::Height, "height", 1),
        (Quantity::Hole, "hole", 2),
    ];
    let heads: Vec<(&str, Align)> = [("note", Align::Left)]
        .into_iter()
        .chain(columns.iter().map(|(_, head, _)| (*head, Align::Right)))
        .collect();
    let mut table = Columns::new(&heads);
    for wanted in wanted.iter().filter(|wanted| ends.contains(&wanted.note)) {
        let figures = columns.iter().map(|(quantity, _, places)| {
            let value = wanted.target(*quantity).map(|target| target.value);
            let side = *quantity == Quantity::SideAngle;
            cell(value.map(|value| if side { half(value) } else { value }), *places)
        });
        table.row([wanted.note.to_string()].into_iter().chain(figures).collect());
    }
    let sections = order.sections.iter().map(|section| item("", &leaning(section)));
    table.text() + &sections.collect::<String>()
}

/// To the half degree, as an order writes side angles.
fn half(degrees: f64) -> f64 {
    (2.0 * degrees).round() / 2.0
}

/// Which way the heads of a section lean, in words.
fn leaning(section: &SectionOrder) -> String {
    let mut ways: Vec<(&str, Vec<String>)> = Vec::new();
    for (note, side) in &section.side {
        let Some(side) = side.value() else { continue };
        let square = half(to_degrees(side.angle.value)) == 0.0;
        let way = if square { "hole square to the face" } else { side.way };
        match ways.iter_mut().find(|(known, _)| *known == way) {
            Some((_, notes)) => notes.push(note.to_string()),
            None => ways.push((way, vec![note.to_string()])),
        }
    }
    let sides = ways.iter().map(|(way, notes)| format!("{} {way}", list(notes)));
    let all: Vec<String> = [section.rake.way.to_owned()].into_iter().chain(sides).collect();
    format!("{}: {}.", section.name, all.join("; "))
}
