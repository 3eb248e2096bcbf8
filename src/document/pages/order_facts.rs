//! Words of a hammer order: what is known, what is made to a sample, what the maker chooses.

use super::sheet::{Column, Fact, Sheet};
use super::{full, said};
use crate::action::{Action, RakeFrom};
use crate::document::words::{Style, cell, list};
use crate::instrument::{HoleKind, Instrument, Shop};
use crate::measure::{Length, Measured, Sentence, mm, to_degrees, to_grams, to_mm};
use crate::order::hammers::{
    Asked, Check, Crown, HammerOrder, HeadOrder, Hole, Job, SectionOrder, StringsFrom, Tolerance,
    Turned,
};
use std::fmt::Write as _;

/// What an item of the order says.
pub(super) fn asked<T>(item: &Asked<T>, style: Style, value: impl Fn(&T) -> String) -> String {
    match item {
        Asked::Value(known) => value(known),
        Asked::NotMeasured { make_to_sample: Some(note) } => {
            format!("to sample {}", style.note(*note))
        }
        Asked::NotMeasured { make_to_sample: None } => "not measured: ask us".to_owned(),
        Asked::MakersChoice => "maker’s choice".to_owned(),
    }
}

/// Whom it is for, what it is, when and how it comes.
pub(super) fn job(action: &Action, order: &HammerOrder, style: Style) -> Vec<Fact> {
    let job = &order.job;
    let heights = if action.sections.iter().all(|section| section.heights == 0) {
        "no height of a string over the hammer line was read".into()
    } else {
        job.heights.clone()
    };
    vec![
        Fact::new("Ship to", ship_to(&job.shop)),
        Fact::new(
            "Contact",
            job.shop.contact.clone().unwrap_or_else(|| "as on our letter".to_owned()),
        ),
        Fact::new("Needed by", needed_by(job, style)),
        Fact::new("Heads", full(&format!("{}; {}", job.heads, style.sentence(&job.numbering)))),
        Fact::new("Strings", strings(&job.strings, style)),
        Fact::new("Heights", said(style, &heights)),
        Fact::new("Delivered", said(style, &job.hung)),
        Fact::new("Marking", said(style, &order.head.numbering)),
        Fact::new("Samples", samples(order, style)),
    ]
}

pub(super) fn ship_to(shop: &Shop) -> String {
    let lines: Vec<String> = shop.name.iter().chain(&shop.address).cloned().collect();
    if lines.is_empty() { "as on our letter".to_owned() } else { lines.join(", ") }
}

fn needed_by(job: &Job, style: Style) -> String {
    match &job.needed_by {
        Asked::Value(when) => style.sentence(when),
        _ => "to be agreed".to_owned(),
    }
}

fn strings(strings: &[StringsFrom], style: Style) -> String {
    let each: Vec<String> = strings
        .iter()
        .map(|from| {
            let word = match from.strings {
                1 => "singles",
                2 => "pairs",
                _ => "threes",
            };
            format!("{word} from {}", style.note(from.from))
        })
        .collect();
    if each.is_empty() { "not counted".to_owned() } else { full(&each.join(", ")) }
}

fn samples(order: &HammerOrder, style: Style) -> String {
    let samples = &order.samples;
    let names = |notes: &mut dyn Iterator<Item = crate::measure::Note>| -> Vec<String> {
        notes.map(|note| style.note(note)).collect()
    };
    let enclosed = names(&mut samples.enclosed.iter().map(|sample| sample.note));
    let mut said = if enclosed.is_empty() {
        "none enclosed yet".to_owned()
    } else {
        format!("{} enclosed, {}", enclosed.len(), style.sentence(&samples.label))
    };
    let _ = write!(said, "; {}", style.sentence(&order.job.samples_back));
    let wanted = names(&mut samples.wanted.iter().copied());
    if !wanted.is_empty() {
        let _ = write!(said, "; to be added: {}", list(&wanted));
    }
    full(&said)
}

/// The same for all heads, as far as it is known.
pub(super) fn all_heads(action: &Action, order: &HammerOrder, style: Style) -> Vec<Fact> {
    let head = &order.head;
    let mut facts: Vec<Fact> =
        one_rake(action, order).map(|rake| Fact::new("Rake", rake)).into_iter().collect();
    facts.extend([
        Fact::new("Shank", shank(&head.hole, style)),
        Fact::new("Hole", hole(&head.hole, style)),
        Fact::new("Hardener", said(style, &head.hardener)),
    ]);
    if let Asked::Value(crown) = &head.crown {
        facts.push(Fact::new("Crown", format!("{}.", crown_words(*crown))));
    }
    for (label, _, item) in parts(head) {
        if let Asked::Value(words) = item {
            facts.push(Fact::new(label, said(style, words)));
        }
    }
    facts
}

/// The rake, where it is one for all.
fn one_rake(action: &Action, order: &HammerOrder) -> Option<String> {
    let first = order.sections.first()?;
    let same = |section: &SectionOrder| section.rake == first.rake;
    order.sections.iter().all(same).then(|| {
        let read = action.sections.iter().any(|section| section.rake.from != RakeFrom::NoneRead);
        let none = if read { "" } else { "; none was read: ask before boring" };
        full(&format!("{}{none}", turned(&first.rake)))
    })
}

/// An angle with its way in words; square when it is none.
pub(super) fn turned(turned: &Turned) -> String {
    let degrees = cell(Some(to_degrees(turned.angle.value).abs()), 1);
    let zero = degrees == "0.0";
    if zero { format!("0°, {}", turned.way) } else { format!("{degrees}°, {}", turned.way) }
}

fn crown_words(crown: Crown) -> &'static str {
    match crown {
        Crown::AsPressed => "As pressed",
        Crown::Shaped => "Shaped",
        Crown::FinishFiled => "Shaped and filed smooth, ready to hang",
    }
}

/// Parts of a head that are words: label of what is known, name of what is not.
fn parts(head: &HeadOrder) -> [(&'static str, &'static str, &Asked<Sentence>); 8] {
    [
        ("Sides", "sides straight, tapered or coved", &head.sides),
        ("Cut away", "cut-aways beside struts and what rubs now", &head.cut_aways),
        ("Tail", "width, taper and arc of the tail", &head.tail_shape),
        ("Wood", "wood of the moulding", &head.wood),
        ("Under-felt", "under-felt", &head.under_felt),
        ("Fastening", "fastening of the felt", &head.fastening),
        ("Hole runs", "hole straight or tapered", &head.hole.straight),
        ("Hardness", "hardness of the felt", &head.hardness),
    ]
}

/// What is not known: made to which sample, or left to the maker.
pub(super) fn not_measured(order: &HammerOrder, style: Style) -> Vec<String> {
    let head = &order.head;
    let mut kinds: Vec<(String, Vec<String>)> = Vec::new();
    let mut add = |label: &str, said: String| match kinds.iter_mut().find(|(kind, _)| *kind == said)
    {
        Some((_, labels)) if labels.iter().any(|known| known == label) => {}
        Some((_, labels)) => labels.push(label.to_owned()),
        None => kinds.push((said, vec![label.to_owned()])),
    };
    let mut open = |label: &str, known: bool, said: String| {
        if !known {
            add(label, said);
        }
    };
    for (_, label, item) in parts(head) {
        open(label, item.value().is_some(), asked(item, style, |_| String::new()));
    }
    let hole = &head.hole;
    let through = hole.kind.value() == Some(&HoleKind::Through);
    open(
        "hole through or blind",
        hole.kind.value().is_some(),
        asked(&hole.kind, style, |_| String::new()),
    );
    let depth = through || hole.depth.value().is_some();
    open("depth of the hole", depth, asked(&hole.depth, style, |_| String::new()));
    let crown = asked(&head.crown, style, |_| String::new());
    open("crown as pressed or shaped", head.crown.value().is_some(), crown);
    if order.sections.iter().all(|section| section.tilt.value().is_none()) {
        let sample = order.samples.enclosed.first();
        let how =
            sample.map_or("not measured: ask us", |_| "not measured: make to the nearest sample");
        add("tilt about the shank", how.to_owned());
    }
    for section in &order.sections {
        if section.spares.value().is_none() {
            let spares = asked(&section.spares, style, ToString::to_string);
            add("spare heads", spares);
        }
    }
    let say = |(kind, labels): (String, Vec<String>)| {
        let kind = kind
            .strip_prefix("to sample ")
            .map_or(kind.clone(), |note| format!("not measured: make to sample {note}"));
        full(&format!("{kind}: {}", list(&labels)))
    };
    kinds.into_iter().map(say).collect()
}

fn shank(hole: &Hole, style: Style) -> String {
    let read: Vec<f64> = hole.shanks.iter().map(|(_, read)| to_mm(read.value)).collect();
    let least = read.iter().copied().fold(f64::INFINITY, f64::min);
    let most = read.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let size = |value: f64| style.length_fixed(mm(value), 2);
    match read.len() {
        0 => asked(&hole.shank, style, |_| String::new()),
        1 => format!("one measured, {}.", size(least)),
        count if most - least < 0.005 => format!("{count} measured, all {}.", size(least)),
        count => format!("{count} measured, {} to {}.", size(least), size(most)),
    }
}

fn hole(hole: &Hole, style: Style) -> String {
    let size = |length: Length| style.length_fixed(length, 2);
    let play = format!("shank and {} to {}", size(hole.play.0), size(hole.play.1));
    let diameter = match hole.hole.value() {
        Some((least, most)) => format!("{} to {} ({play})", size(*least), size(*most)),
        None => format!("{play}, {}", asked(&hole.hole, style, |_| String::new())),
    };
    let kind = hole.kind.value().map_or("", |kind| match kind {
        HoleKind::Through => ", through",
        HoleKind::Blind => ", blind",
    });
    let depth = hole
        .depth
        .value()
        .map_or_else(String::new, |depth| format!(", {} deep", style.length_fixed(*depth, 1)));
    full(&format!("{diameter}{kind}{depth}"))
}

/// What is checked on arrival: what, how far off, with what, where.
pub(super) fn receiving(instrument: &Instrument, order: &HammerOrder, style: Style) -> Sheet {
    let columns = vec![
        Column::wide("What"),
        Column::left("May be off by"),
        Column::left("With"),
        Column::left("Where"),
    ];
    let ends: Vec<_> = order.sections.iter().flat_map(|s| [s.first, s.last]).collect();
    let place = |check: &Check| {
        if check.notes.is_empty() {
            "every head".to_owned()
        } else if check.notes == ends && instrument.sections.len() > 1 {
            "ends of sections".to_owned()
        } else {
            list(&check.notes.iter().map(|note| style.note(*note)).collect::<Vec<_>>())
        }
    };
    let row = |check: &Check| {
        vec![
            super::capital(&style.sentence(&check.what)),
            tolerance(check.tolerance, style),
            check.tool.to_owned(),
            place(check),
        ]
    };
    let checks = order.receiving.iter();
    let rows = checks.filter(|check| !matches!(check.tolerance, Tolerance::Count(_))).map(row);
    Sheet::new(columns, std::iter::once(counts(order)).chain(rows).collect())
}

/// How many heads, section by section in one row.
fn counts(order: &HammerOrder) -> Vec<String> {
    let spare = |section: &SectionOrder| section.spares.value().copied().unwrap_or(0);
    let of_section = |section: &SectionOrder| {
        let spares = spare(section);
        let words = if spares > 0 { format!(" ({spares} spare)") } else { String::new() };
        format!("{} {}{words}", section.count + spares, section.name)
    };
    let each: Vec<String> = order.sections.iter().map(of_section).collect();
    // Many sections: their own table has the counts.
    let each = if each.len() > 4 { "as in the table of sections".to_owned() } else { list(&each) };
    let all: usize = order.sections.iter().map(|section| section.count + spare(section)).sum();
    vec![
        format!("Number of heads, each numbered from the bass: {each}"),
        format!("{all} exactly"),
        "eye".to_owned(),
        "all".to_owned(),
    ]
}

fn tolerance(tolerance: Tolerance, style: Style) -> String {
    let space = '\u{a0}';
    let number = |value: f64| style.number(Measured::new(value, 0.0));
    match tolerance {
        Tolerance::Length(length) => format!("±{space}{}{space}mm", number(to_mm(length))),
        Tolerance::Between(least, most) => {
            // In millimetres alone, as the other tolerances.
            let size = |length| cell(Some(to_mm(length)), 2);
            format!("{} to {}{space}mm", size(least), size(most))
        }
        Tolerance::Angle(angle) => format!("±{space}{}°", number(to_degrees(angle))),
        Tolerance::Mass(mass) => format!("±{space}{}{space}g", number(to_grams(mass))),
        Tolerance::Count(count) => format!("{count} exactly"),
        Tolerance::Seen => "looked at".to_owned(),
    }
}
