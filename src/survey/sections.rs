//! `[[section]]`: runs of notes from bass to treble, which together are the compass.

use super::desk::Desk;
use super::fault::{Fault, FaultKind};
use super::head::{Head, found};
use super::item::Item;
use super::source::At;
use super::tree::Keys;
use super::words::{any_of, meant, shown};
use crate::instrument::{CountFrom, Section, Strung};
use crate::measure::{Compass, Note};

/// The sections in the order written, as far as they can be read.
pub(super) fn read(root: &Keys, head: &Head) -> Vec<Section> {
    let tables = root.tables("section");
    if tables.is_empty() {
        root.need_as("section", "[[section]]", "write a head [[section]] for each run of notes between two breaks, with name and notes");
    }
    let whole = tables.len();
    let mut sections: Vec<(Section, At)> = Vec::new();
    for keys in tables {
        if let Some((section, at)) = one(&keys, head, &sections) {
            sections.push((section, at));
        }
        keys.finish();
    }
    if sections.len() == whole && !out_of_order(&sections, head.compass, root) {
        joined(&sections, head.compass, root);
    }
    sections.into_iter().map(|(section, _)| section).collect()
}

fn one(keys: &Keys, head: &Head, before: &[(Section, At)]) -> Option<(Section, At)> {
    let name_item = keys.need("name", "write what you call the section: name = \"bass\"");
    let name = name_item.as_ref().and_then(Item::name);
    let notes_item = keys.need("notes", "write first and last note: notes = [\"A0\", \"C#3\"]");
    let notes = notes_item.as_ref().and_then(|item| item.notes(Some(head.compass)));
    let wound_to = keys.get("wound_to").and_then(|item| wound_to(&item, notes, head.compass));
    let counts = keys.get("counts").map_or_else(Vec::new, |item| counts(&item, head.compass));
    let strung = keys.get("strung").and_then(|item| strung(&item, head.built));
    let middle = notes.filter(|notes| notes.contains(Note::A4)).map(|_| Note::A4);
    let found = keys.get("found").and_then(|item| found(&item, head.pitch, head.compass, middle));
    let (name, name_item) = (name?, name_item?);
    if let Some((_, first)) = before.iter().find(|(section, _)| section.name == name) {
        keys.desk.fault(
            Fault::new(
                FaultKind::SectionTwice,
                &name_item.at,
                format!("two sections are called \"{}\"", shown(&name)),
            )
            .found("again here")
            .expected("a name of its own for each section")
            .remedy("rename one: wire_state and the reports speak of sections by name")
            .also(first, "the first one"),
        );
    }
    let section = Section {
        name,
        notes: notes?,
        wound_to,
        counts,
        strung: strung.unwrap_or_default(),
        found,
    };
    Some((section, name_item.at))
}

fn wound_to(item: &Item, notes: Option<Compass>, compass: Compass) -> Option<Note> {
    let note = item.note(Some(compass))?;
    if notes.is_some_and(|notes| !notes.contains(note)) {
        item.desk.fault(
            Fault::new(FaultKind::WoundToOutside, &item.at, format!("the last wound note {note} lies outside its section"))
                .found("outside the section")
                .expected(notes.map_or_else(String::new, |notes| format!("a note from {} to {}", notes.first, notes.last)))
                .remedy("write the last wound note of this section, or leave the line out where it has no wound strings"),
        );
        return None;
    }
    Some(note)
}

/// First note of each string count, by note.
fn counts(item: &Item, compass: Compass) -> Vec<CountFrom> {
    let Some(keys) = item.keys() else { return Vec::new() };
    let mut counts: Vec<CountFrom> = Vec::new();
    let numbers = [("1", 1), ("2", 2), ("3", 3)];
    for (key, strings) in numbers {
        let from = keys.get(key).and_then(|item| item.note(Some(compass)));
        let Some(from) = from else { continue };
        if let Some(fewer) = counts.last().filter(|fewer| fewer.from >= from) {
            item.desk.fault(
                Fault::new(
                    FaultKind::CountsOutOfOrder,
                    &item.at,
                    format!(
                        "{strings} strings begin at {from}, not above {}, where {} begin",
                        fewer.from, fewer.strings
                    ),
                )
                .found("string counts must rise from bass to treble")
                .expected("the first note of each count, each above the one before")
                .remedy("write it like this: counts = { 1 = \"A0\", 2 = \"G1\", 3 = \"D3\" }"),
            );
            break;
        }
        counts.push(CountFrom { strings, from });
    }
    keys.finish();
    counts
}

fn strung(item: &Item, built: Option<i32>) -> Option<Strung> {
    let digits = |text: String| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if item.scalar().is_some_and(|(text, _)| digits(text)) {
        return item.year(built).map(Strung::Year);
    }
    item.word_or("a year", &[("original", Strung::Original), ("unknown", Strung::Unknown)])
}

/// Whether the sections would fill the compass in another order; one fault when so.
fn out_of_order(sections: &[(Section, At)], compass: Compass, root: &Keys) -> bool {
    let mut sorted: Vec<_> = sections.iter().collect();
    sorted.sort_by_key(|(section, _)| section.notes.first);
    let follow =
        sorted.windows(2).all(|pair| pair[0].0.notes.last.step(1) == Some(pair[1].0.notes.first));
    let ends = sorted.first().zip(sorted.last());
    let fill = ends.is_some_and(|(low, high)| {
        low.0.notes.first == compass.first && high.0.notes.last == compass.last
    });
    let moved =
        sections.iter().zip(&sorted).find(|(written, sorted)| written.0.name != sorted.0.name);
    let Some(((section, at), _)) = moved.filter(|_| follow && fill) else { return false };
    let names: Vec<_> = sorted.iter().map(|(section, _)| shown(&section.name)).collect();
    root.desk.fault(
        Fault::new(
            FaultKind::SectionOrder,
            at,
            format!("\"{}\" stands in the wrong place", shown(&section.name)),
        )
        .found("not the next section from the bass")
        .expected(format!("bass to treble: {}", names.join(", ")))
        .remedy("put the [[section]] tables in this order"),
    );
    true
}

/// The sections must follow one another and fill the compass.
fn joined(sections: &[(Section, At)], compass: Compass, root: &Keys) {
    let mut next = Some(compass.first);
    for (i, (section, at)) in sections.iter().enumerate() {
        let notes = section.notes;
        match next {
            Some(next) if notes.first == next => {}
            Some(next) if notes.first > next => {
                root.desk.fault(gap(next, notes.first.step(-1).unwrap_or(next), at));
            }
            _ => overlap(sections, i, root),
        }
        next = notes.last.step(1);
    }
    if let (Some((last, at)), Some(next)) = (sections.last(), next)
        && last.notes.last < compass.last
    {
        root.desk.fault(gap(next, compass.last, at));
    }
}

fn gap(first: Note, last: Note, at: &At) -> Fault {
    let (what, is) = if first == last {
        (first.to_string(), "belongs")
    } else {
        (format!("{first} to {last}"), "belong")
    };
    Fault::new(FaultKind::SectionGap, at, format!("{what} {is} to no section"))
        .found("beside this section")
        .expected("sections that follow one another from bass to treble and fill the compass")
        .remedy(format!("let a section reach over {what}, or correct `compass`"))
}

fn overlap(sections: &[(Section, At)], i: usize, root: &Keys) {
    let (section, at) = &sections[i];
    let Some((before, place)) = i.checked_sub(1).and_then(|before| sections.get(before)) else {
        return;
    };
    let wanted = before.notes.last.step(1).map_or_else(String::new, |note| format!(", at {note}"));
    root.desk.fault(
        Fault::new(
            FaultKind::SectionOverlap,
            at,
            format!(
                "\"{}\" begins at {}, before \"{}\" ends at {}",
                shown(&section.name),
                section.notes.first,
                shown(&before.name),
                before.notes.last
            ),
        )
        .found("begins too low, or stands in the wrong place")
        .expected("sections from bass to treble, each note in one of them")
        .remedy(format!("begin this section above the one before{wanted}, or put the two in order"))
        .also(place, "the section before it"),
    );
}

/// The index of the section that `item` names.
pub(super) fn named(item: &Item, sections: &[Section]) -> Option<usize> {
    let name = item.name()?;
    let quoted = |near: &str| format!("\"{near}\"");
    find(&name, &item.at, item.desk, sections, quoted)
}

/// The same of a name that stands before an equals sign.
pub(super) fn named_as(name: &str, at: &At, desk: &Desk, sections: &[Section]) -> Option<usize> {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    let key = |near: &str| {
        if near.chars().all(plain) { near.to_owned() } else { format!("\"{near}\"") }
    };
    find(name, at, desk, sections, key)
}

fn find(
    name: &str,
    at: &At,
    desk: &Desk,
    sections: &[Section],
    written: impl Fn(&str) -> String,
) -> Option<usize> {
    let found = sections.iter().position(|section| section.name == name);
    if found.is_none() && !sections.is_empty() {
        let names = sections.iter().map(|section| section.name.as_str());
        let quoted: Vec<_> = names.clone().map(|name| format!("\"{}\"", shown(name))).collect();
        let fault = Fault::new(
            FaultKind::UnknownSection,
            at,
            format!("no section is called \"{}\"", shown(name)),
        )
        .expected(any_of(quoted.iter().map(String::as_str)));
        desk.fault(match meant(name, names) {
            Some(near) => fault
                .found(format!("did you mean \"{}\"?", shown(near)))
                .remedy(format!("write \"{}\"", shown(near)))
                .fix(written(near)),
            None => fault
                .found("none of the [[section]] names")
                .remedy("write the name of a section as it stands under [[section]]"),
        });
    }
    found
}
