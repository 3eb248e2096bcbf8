//! Tables of a hammer order: sections, every note, heads at the samples, samples.

use super::full;
use super::heads::{half_degree, half_degree_words, tenth};
use super::order_facts::{asked, turned};
use super::sheet::{Column, Sheet};
use crate::document::words::{Style, cell};
use crate::instrument::Kind;
use crate::measure::{Angle, Length, Measured, to_degrees, to_grams, to_inches, to_mm};
use crate::order::hammers::{
    Asked, HammerOrder, HeadSizes, NoteOrder, SampleOrder, SectionOrder, Turned,
};
use std::fmt::Write as _;

/// Section by section; rake and tilt where they are not the same for all, or not known of any.
pub(super) fn sections(order: &HammerOrder, style: Style) -> Sheet {
    let rakes = order.sections.windows(2).any(|pair| pair[0].rake != pair[1].rake);
    let tilts = order.sections.iter().any(|section| section.tilt.value().is_some());
    // A long name is broken, a short one takes what it needs.
    let name = Column::left("Section");
    let long = order.sections.iter().any(|section| section.name.chars().count() > 16);
    let mut columns = vec![
        if long { name.share(2) } else { name },
        Column::left("Notes"),
        Column::right("Heads"),
        Column::right("Bore").unit("mm, first / middle / last"),
    ];
    if rakes {
        columns.push(Column::left("Rake").share(2));
    }
    columns.push(Column::left("Side angle, first to last").share(3));
    if tilts {
        columns.push(Column::left("Tilt about the shank").share(3));
    }
    let row = |section: &SectionOrder| {
        let bores = section.bores.iter().map(|(_, bore)| to(&asked(bore, style, bore_words)));
        let mut cells = vec![
            super::capital(&section.name),
            format!("{} to {}", style.note(section.first), style.note(section.last)),
            heads(section),
            one_or_all(&bores.collect::<Vec<_>>()),
        ];
        if rakes {
            cells.push(turned(&section.rake));
        }
        cells.push(side(section, style));
        if tilts {
            cells.push(to(&asked(&section.tilt, style, turned)));
        }
        cells
    };
    Sheet::new(columns, order.sections.iter().map(row).collect())
}

/// What is said of all alike, once; else each in its turn.
fn one_or_all(words: &[String]) -> String {
    match words.split_first() {
        Some((first, rest)) if rest.iter().all(|word| word == first) => first.clone(),
        _ => words.join(" / "),
    }
}

/// How many heads, and spares where some are asked for.
fn heads(section: &SectionOrder) -> String {
    match section.spares.value() {
        Some(spares) if *spares > 0 => format!("{} and {spares} spare", section.count),
        _ => section.count.to_string(),
    }
}

/// What else is to be said of the sections.
pub(super) fn section_remarks(order: &HammerOrder, style: Style) -> Vec<String> {
    let of = |section: &SectionOrder| {
        let own = section.per_note.then(|| {
            format!(
                "{}: bored note by note, for one bore will not do from end to end.",
                super::capital(&section.name)
            )
        });
        let name = super::capital(&section.name);
        let more: Vec<String> = section
            .remarks
            .iter()
            .map(|remark| full(&format!("{name}: {}", style.sentence(remark))))
            .collect();
        own.into_iter().chain(more)
    };
    order.sections.iter().flat_map(of).collect()
}

fn bore_words(bore: &Measured<Length>) -> String {
    cell(Some(to_mm(bore.value)), 1)
}

fn side_turned(turned: &Turned) -> String {
    match half_degree_words(turned.angle).as_str() {
        "0" => "0°, square".to_owned(),
        angle => format!("{angle}°, {}", turned.way),
    }
}

/// The side angle of a section from its first note to its last, in words.
fn side(section: &SectionOrder, style: Style) -> String {
    if let [(_, Asked::Value(first)), (_, Asked::Value(last))] = &section.side[..] {
        let (a, b) = (half_degree_words(first.angle), half_degree_words(last.angle));
        let (a_none, b_none) = (a == "0", b == "0");
        if a == b && (a_none || first.way == last.way) {
            return side_turned(first);
        }
        if first.way == last.way || b_none || a_none {
            let way = if a_none { last.way } else { first.way };
            let runs = if rises(&a, &b) { "rising" } else { "falling" };
            return format!("{a}° {runs} to {b}°, {way}");
        }
    }
    let said = |side: &Asked<Turned>| to(&asked(side, style, side_turned));
    match &section.side[..] {
        [(_, first), (_, last)] if said(first) == said(last) => said(first),
        ends => {
            let ends =
                ends.iter().map(|(note, side)| format!("{}: {}", style.note(*note), said(side)));
            ends.collect::<Vec<_>>().join("; ")
        }
    }
}

fn rises(from: &str, to: &str) -> bool {
    let value = |text: &str| text.parse::<f64>().unwrap_or(0.0);
    value(to) > value(from)
}

/// Every note, and where each section begins.
pub(super) fn notes(order: &HammerOrder, style: Style) -> Sheet {
    let mut columns =
        vec![Column::right("No."), Column::left("Note"), Column::right("Bore").unit("mm")];
    if style.inches {
        columns.push(Column::right("Bore").unit("in"));
    }
    columns.extend([Column::left("Side").unit("angle °"), Column::right("Mass").unit("g")]);
    let row = |entry: &NoteOrder| {
        let mut cells = vec![
            entry.number.to_string(),
            style.note(entry.note),
            to(&asked(&entry.bore, style, bore_words)),
        ];
        if style.inches {
            let inches = |bore: &Measured<Length>| cell(Some(to_inches(tenth(bore.value))), 3);
            cells.push(to(&asked(&entry.bore, style, inches)));
        }
        cells.push(to(&asked(&entry.side, style, |side| {
            let sense = sense(side.value);
            format!("{} {sense}", half_degree_words(*side)).trim_end().to_owned()
        })));
        cells.push(to(&asked(&entry.mass, style, |mass| cell(Some(to_grams(mass.value)), 1))));
        cells
    };
    let starts = order.notes.windows(2).enumerate();
    let starts = starts.filter(|(_, pair)| pair[0].section != pair[1].section);
    Sheet::new(columns, order.notes.iter().map(row).collect())
        .starting(starts.map(|(index, _)| index + 1).collect())
        .noted(notes_note(order, style))
}

/// An item said in few letters, for narrow columns: `to C2`, `ask us`.
fn to(item: &str) -> String {
    item.replace("to sample ", "to\u{a0}").replace("not measured: ask us", "ask us")
}

/// `left` or `right` as ordered; nothing when it is square.
pub(super) fn sense(angle: Angle) -> &'static str {
    let angle = to_degrees(half_degree(angle));
    match angle.partial_cmp(&0.0) {
        Some(std::cmp::Ordering::Greater) => "right",
        Some(std::cmp::Ordering::Less) => "left",
        _ => "",
    }
}

fn notes_note(order: &HammerOrder, style: Style) -> String {
    let tolerances = &order.tolerances;
    let number = |value: f64| style.number(Measured::new(value, 0.0));
    let end = far_end(order.job.kind);
    let mut said = format!(
        "Bore ± {} mm, rake and side angle ± {}°, mass ± {} g; each runs evenly within its section, bore and \
         angles not across a break. Side angle: {end} of the head to the left (bass) or right (treble), seen \
         from the player.",
        number(to_mm(tolerances.bore)),
        number(to_degrees(tolerances.angle)),
        number(to_grams(tolerances.mass))
    );
    let open = |entry: &NoteOrder| {
        entry.bore.value().is_none() || entry.side.value().is_none() || entry.mass.value().is_none()
    };
    if order.notes.iter().any(open) {
        said.push_str(
            " “to A0” is: not measured, make to sample A0, a bore with the worn felt added back; “ask us”: not \
             measured, and no sample shows it.",
        );
    }
    said
}

/// The end of the head that lies away from the hammer centre.
pub(super) fn far_end(kind: Kind) -> &'static str {
    match kind {
        Kind::Upright => "upper end",
        Kind::Grand => "rear end",
    }
}

/// Sizes of the heads where they were read; `None` without samples.
pub(super) fn sizes(order: &HammerOrder, style: Style) -> Option<Sheet> {
    if order.head.sizes.is_empty() {
        return None;
    }
    let tolerances = &order.tolerances;
    let off = |length: Length| format!("mm ± {}", style.number(Measured::new(to_mm(length), 0.0)));
    let columns = vec![
        Column::left("Head"),
        Column::right("Width").unit(&off(tolerances.width)),
        Column::right("To tip").unit(&off(tolerances.tail)),
        Column::right("Tail").unit(&off(tolerances.tail)),
        Column::right("Overall").unit(&off(tolerances.tail)),
        Column::right("Felt"),
        Column::right("Radius"),
    ];
    let row = |sizes: &HeadSizes| {
        let known = order.notes.iter().find(|entry| entry.note == sizes.note);
        let bore = known.and_then(|entry| entry.bore.value()).map(|bore| tenth(bore.value));
        let length = |item: &Asked<Measured<Length>>| {
            to(&asked(item, style, |length| cell(Some(to_mm(tenth(length.value))), 1)))
        };
        let sum = |item: &Asked<Measured<Length>>, other: &Asked<Measured<Length>>, sign: f64| {
            let whole = item.value().and(bore).zip(other.value());
            whole.map_or_else(
                || length(item),
                |(bore, other)| cell(Some(to_mm(bore) + sign * to_mm(tenth(other.value))), 1),
            )
        };
        vec![
            style.note(sizes.note),
            length(&sizes.width),
            length(&sizes.moulding),
            length(&sizes.tail),
            sum(&sizes.height, &sizes.tail, 1.0),
            sum(&sizes.felt, &sizes.moulding, -1.0),
            length(&sizes.crown_radius),
        ]
    };
    Some(Sheet::new(columns, order.head.sizes.iter().map(row).collect()).noted(
        "Even from one to the next. Width at the crown; hole axis to moulding tip and to tail end; overall: bore \
         and tail; felt at the crown: bore less moulding; radius of the crown.",
    ))
}

/// Samples with what was read of each; `None` without any.
pub(super) fn samples(order: &HammerOrder, style: Style) -> Option<Sheet> {
    if order.samples.enclosed.is_empty() {
        return None;
    }
    let columns = vec![
        Column::left("Sample"),
        Column::right("Bore").unit("worn"),
        Column::right("Lost").unit("felt"),
        Column::right("Mass").unit("g"),
        Column::right("Height"),
        Column::right("Rake").unit("°"),
        Column::left("Side").unit("°"),
        Column::right("Hole"),
        Column::right("Shank"),
    ];
    let row = |sample: &SampleOrder| {
        let read = &sample.read;
        let length = |length: Option<Measured<Length>>, places| {
            cell(length.map(|length| to_mm(length.value)), places)
        };
        vec![
            style.note(sample.note),
            length(read.bore, 1),
            length(sample.lost, 1),
            cell(read.mass.map(|mass| to_grams(mass.head().value)), 2),
            length(read.head_length, 1),
            cell(read.rake.map(|rake| to_degrees(rake.value)), 1),
            read.side_angle.map_or_else(
                || "–".to_owned(),
                |side| {
                    format!("{} {}", half_degree_words(side), sense(side.value))
                        .trim_end()
                        .to_owned()
                },
            ),
            length(read.hole, 2),
            length(read.shank, 2),
        ]
    };
    Some(
        Sheet::new(columns, order.samples.enclosed.iter().map(row).collect())
            .noted("Worn as they are; mm where nothing else is said. –: not read."),
    )
}

/// Mass targets in one line, and the heaviest heads that keep the touch.
pub(super) fn masses(order: &HammerOrder, style: Style) -> String {
    let known: Vec<String> = order
        .masses
        .iter()
        .filter_map(|target| {
            let mass = cell(Some(to_grams(target.mass.value()?.value)), 1);
            Some(format!("{} {mass}", style.note(target.note)))
        })
        .collect();
    if known.is_empty() {
        return "Masses: make to the samples; too few were weighed for targets.".to_owned();
    }
    let off = style.number(Measured::new(to_grams(order.tolerances.mass), 0.0));
    let mut said = format!("Mass targets in grams: {}; ± {off} g, even between.", known.join(", "));
    let heaviest: Vec<String> = order
        .masses
        .iter()
        .filter_map(|target| {
            let heaviest = cell(Some(to_grams(target.heaviest?)), 1);
            Some(format!("{} {heaviest}", style.note(target.note)))
        })
        .collect();
    if !heaviest.is_empty() {
        let _ = write!(said, " Heaviest that keeps the touch: {}.", heaviest.join(", "));
    }
    said
}
