//! `feltwire scale --explain NOTE`: the calculation of one note, step by step.

use super::columns::{Align, Columns, item};
use super::{WIDTH, head, warnings};
use crate::document::explain::{Group, Step, digits, steps};
use crate::document::figures::{Rounded, fixed, power_of_ten};
use crate::document::shapes;
use crate::document::words::{Style, cell};
use crate::instrument::About;
use crate::judgement::crosscheck;
use crate::measure::{
    Cents, Length, MassDensity, Measured, Note, to_gpa, to_hertz, to_kg_per_m3, to_mm, to_newtons,
};
use crate::report::Report;
use crate::scale::cause::{Cause, Origin};
use crate::scale::crosscheck::length_of;
use crate::scale::doubt::{Doubts, Effect, Parts};
use crate::scale::draws::{EXPLAINED_DRAWS, Wanted, of_note, together};
use crate::scale::{Explanation, StringFigures, explain as facts};
use std::fmt::Write as _;

/// The whole calculation of `note`, or why there is none.
///
/// Its figures are drawn `draws` times from the readings, or some thousand times where that is not said.
pub fn explain_note(report: &Report, note: Note, draws: Option<usize>) -> String {
    let mut text = head(report);
    match facts(&report.instrument, &report.belief, note) {
        Ok(told) => text.push_str(&calculation(report, &told, draws)),
        Err(why) => text.push_str(&item("", &format!("\n{}.", Style::PLAIN.sentence(&why)))),
    }
    let about = |warning: &&crate::instrument::Warning| warning.about == About::Note(note);
    text.push_str(&warnings(report.string_warnings().filter(about)));
    text
}

fn calculation(report: &Report, told: &Explanation, draws: Option<usize>) -> String {
    let mut text = format!("\n{}", item("", &title(report, told)));
    let steps = steps(told);
    let mut sources = Sources::default();
    for group in Group::ALL {
        let of_group: Vec<&Step> = steps.iter().filter(|step| step.group == group).collect();
        if of_group.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{}", group.head());
        for step in of_group {
            text.push_str(&lines(step, &mut sources));
        }
        if group == Group::Load
            && let Err(why) = &told.strength
        {
            text.push_str(&item("  ", &Style::PLAIN.sentence(why)));
        }
    }
    let figures = report.scale.note(told.note.note).and_then(|entry| entry.string.as_ref());
    text.push_str(&partials(told));
    text.push_str(&doubt(told, figures));
    text.push_str(&drawn(report, told, draws));
    text.push_str(&pairs(report, told));
    text.push_str(&sources.list());
    text
}

fn title(report: &Report, told: &Explanation) -> String {
    let note = &told.note;
    let section = &report.instrument.sections[note.section].name;
    let kind = note.kind.map_or("", shapes::kind);
    let strings = note.strings.map_or(String::new(), |count| match count {
        1 => ", 1 string".to_owned(),
        _ => format!(", {count} strings"),
    });
    let place = told.place.as_ref().map_or(String::new(), |place| match place.line {
        0 => format!(" ({})", place.file),
        line => format!(" ({}, line {line})", place.file),
    });
    format!("{}, {section}, {kind}{strings}, {}{place}", note.note, shapes::source(note.source))
}

/// The sources in the order in which they are first named.
#[derive(Default)]
struct Sources(Vec<String>);

impl Sources {
    /// Short ones as they are, the others by their numbers.
    fn named(&mut self, sources: &[String]) -> String {
        let named: Vec<String> = sources.iter().map(|source| self.one(source)).collect();
        named.join(", ")
    }

    fn one(&mut self, source: &String) -> String {
        const SHORT: usize = 30;
        if source.chars().count() <= SHORT {
            return source.clone();
        }
        let known = self.0.iter().position(|other| other == source);
        let place = known.unwrap_or_else(|| {
            self.0.push(source.clone());
            self.0.len() - 1
        });
        (place + 1).to_string()
    }

    fn list(&self) -> String {
        let lines = self.0.iter().enumerate();
        let lines: String =
            lines.map(|(i, source)| item(&format!("  [{}] ", i + 1), source)).collect();
        if lines.is_empty() { lines } else { format!("\nSources\n{lines}") }
    }
}

/// A step: what and result on one line, formula with its numbers and source below.
fn lines(step: &Step, sources: &mut Sources) -> String {
    let result = step.result();
    // What no piano holds may be longer than a line.
    let room = WIDTH.saturating_sub(4 + result.chars().count());
    let what: String = step.what.chars().take(room).collect();
    let space = WIDTH.saturating_sub(2 + what.chars().count() + result.chars().count());
    let space = " ".repeat(space.max(1));
    let mut text = format!("  {what}{space}{result}\n");
    let mut below = step.formula.clone();
    if !step.numbers.is_empty() {
        let _ = write!(below, " = {}", step.numbers);
    }
    if !step.remark.is_empty() {
        let _ = write!(below, "{}{}", if below.is_empty() { "" } else { ", " }, step.remark);
    }
    if !step.sources.is_empty() {
        let _ = write!(
            below,
            "{}[{}]",
            if below.is_empty() { "" } else { "  " },
            sources.named(&step.sources)
        );
    }
    if !below.is_empty() {
        text.push_str(&item("      ", &below));
    }
    text
}

fn partials(told: &Explanation) -> String {
    let mut text = String::from("\nPartials\n");
    let mut table = Columns::new(&[
        ("  n", Align::Right),
        ("Hz", Align::Right),
        ("cents over n·f1", Align::Right),
    ]);
    let first = to_hertz(told.sounding.partials[0]);
    for (i, partial) in told.sounding.partials.iter().take(8).enumerate() {
        let n = i + 1;
        let hertz = to_hertz(*partial);
        let over = Cents::of_ratio(hertz / (n as f64 * first)).0;
        table.row(vec![format!("{n:3}"), fixed(hertz, 2), cell(Some(over), 2)]);
    }
    text.push_str(&table.text());
    text
}

/// What each doubt does to tension, load and B; the largest on the tension first.
fn doubt(told: &Explanation, figures: Option<&StringFigures>) -> String {
    let mut text = String::from("\nWhere the ± comes from (one standard deviation of each)\n");
    let right = Align::Right;
    let mut table = Columns::new(&[
        ("  cause", Align::Left),
        ("read", Align::Left),
        ("shared", right),
        ("T %", right),
        ("T N", right),
        ("load %", right),
        ("B %", right),
    ]);
    let tension = told.sounding.tension.value;
    for effect in &told.effects {
        let shared = match effect.cause.origin() {
            Origin::Material => "one lot".to_owned(),
            _ => effect.shared.map_or("–".to_owned(), |(_, share)| {
                format!("{} %", Rounded::fixed(100.0 * share, 0).value())
            }),
        };
        let load = told.strength.as_ref().ok().map(|_| 100.0 * told.load_effect(effect));
        table.row(vec![
            format!("  {}", effect.cause.words(told.string.winding.is_some())),
            read(told, effect),
            shared,
            signed(100.0 * effect.tension),
            signed(tension * effect.tension),
            load.map_or("–".to_owned(), signed),
            signed(100.0 * effect.inharmonicity),
        ]);
    }
    for (what, part) in PARTS {
        table.row(total(what, part, told));
    }
    text.push_str(&table.text());
    text.push_str(&what_matters(told));
    if let Some(figures) = figures {
        let b = &figures.inharmonicity;
        let _ = writeln!(
            text,
            "  B lies between {} and {} in 90 of 100 cases by the readings.",
            power_of_ten(b.lo.0, 0.0, ' '),
            power_of_ten(b.hi.0, 0.0, ' ')
        );
    }
    text
}

/// The same from draws, each of them solved anew.
fn drawn(report: &Report, told: &Explanation, draws: Option<usize>) -> String {
    let draws = Wanted::of_readings(draws.unwrap_or(EXPLAINED_DRAWS));
    let all = of_note(&report.instrument, &report.belief, &told.note, draws);
    let Some(said) = all.ok().and_then(|all| together(told.note.note, &all)) else {
        return String::new();
    };
    let load = said.load.map_or_else(String::new, |load| {
        format!(", the load {} to {} %", fixed(100.0 * load.lo, 1), fixed(100.0 * load.hi, 1))
    });
    let (pull, b) = (said.tension, said.inharmonicity);
    let text = format!(
        "By {} draws of the readings, each solved anew, in 90 of 100 the tension is {} to {} N{load}, B \
         {} to {}.",
        draws.draws,
        fixed(to_newtons(pull.lo), 0),
        fixed(to_newtons(pull.hi), 0),
        power_of_ten(b.lo.0, 0.0, ' '),
        power_of_ten(b.hi.0, 0.0, ' ')
    );
    item("  ", &text)
}

type Part = (&'static str, fn(&Parts) -> f64);

const PARTS: [Part; 4] = [
    ("  scatter of the readings", |parts| parts.scatter),
    ("  shared by all notes", Parts::in_common),
    ("  readings together: the ± printed", Parts::of_readings),
    ("  materials", Parts::of_material),
];

fn total(what: &str, part: fn(&Parts) -> f64, told: &Explanation) -> Vec<String> {
    let Doubts { tension, load, inharmonicity, .. } = &told.doubts;
    let newtons = told.sounding.tension.value * part(tension);
    vec![
        what.to_owned(),
        String::new(),
        String::new(),
        unsigned(100.0 * part(tension)),
        unsigned(newtons),
        if told.strength.is_ok() { unsigned(100.0 * part(load)) } else { "–".to_owned() },
        unsigned(100.0 * part(inharmonicity)),
    ]
}

fn signed(value: f64) -> String {
    let sign = if value > 0.0 { "+" } else { "" };
    format!("{sign}{}", fixed(value, 2))
}

fn unsigned(value: f64) -> String {
    fixed(value, 2)
}

/// The reading behind an effect, with its ±.
fn read(told: &Explanation, effect: &Effect) -> String {
    let length = |read: Measured<Length>| {
        format!("{} mm", Rounded::new(to_mm(read.value), to_mm(read.sd)).text(' '))
    };
    if let Some(read) = length_of(effect.cause, &told.string) {
        return length(read);
    }
    match effect.cause {
        Cause::Weighed => told
            .string
            .weighed
            .map_or(String::new(), |weighed| Style::PLAIN.mass_per_length(weighed)),
        Cause::HexWinding => {
            let spread: f64 = told.layers.iter().map(|layer| layer.half_spread.value).sum();
            format!("± {} g/m at most", digits(1e3 * spread))
        }
        Cause::SteelDensity => density(told.string.material.density),
        Cause::Modulus => told.string.material.youngs_modulus.map_or(String::new(), |modulus| {
            let (value, sd) = (to_gpa(modulus.value), to_gpa(modulus.sd));
            format!("{} GPa", Rounded::new(value, sd).text(' '))
        }),
        Cause::WindingDensity => {
            let winding = told.string.winding.as_ref();
            winding.map_or(String::new(), |winding| density(winding.material.density))
        }
        _ => String::new(),
    }
}

fn density(density: Measured<MassDensity>) -> String {
    let (value, sd) = (to_kg_per_m3(density.value), to_kg_per_m3(density.sd));
    format!("{} kg/m³", Rounded::new(value, sd).text(' '))
}

/// Which reading to make better first.
fn what_matters(told: &Explanation) -> String {
    let wound = told.string.winding.is_some();
    let tension = told.most(|effect| effect.tension);
    let b = told.most(|effect| effect.inharmonicity);
    let said = match (tension, b) {
        (Some(tension), Some(b)) if tension == b => {
            format!("Most of it, for tension and inharmonicity alike, is {}.", tension.words(wound))
        }
        (Some(tension), Some(b)) => format!(
            "Most of the tension's is {}; most of the inharmonicity's {}.",
            tension.words(wound),
            b.words(wound)
        ),
        _ => "The readings are stated without doubt.".to_owned(),
    };
    item("  ", &said)
}

fn pairs(report: &Report, told: &Explanation) -> String {
    if told.crosschecks.is_empty() {
        return String::new();
    }
    let mut text = String::from("\nRead in two ways\n");
    for pair in &told.crosschecks {
        let mut said = Style::PLAIN.sentence(&crosscheck::says(pair));
        if let Some(deviations) = pair.deviations() {
            let _ = write!(said, ", {} standard deviations", fixed(deviations, 1));
        }
        if crosscheck::stands_out(pair, &report.limits) {
            said.push_str(&Style::PLAIN.sentence(&crosscheck::advice(pair)));
        }
        text.push_str(&item("  ", &said));
    }
    text
}
