//! What `[strings]` asks of an order beside the readings.

use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::sections::named;
use super::tree::Keys;
use super::wishes::date;
use crate::instrument::{Restring, Section, StringWishes};
use crate::measure::{Compass, Note};

pub(super) fn read(keys: &Keys, compass: Compass, sections: &[Section]) -> StringWishes {
    let wound_above = |note: Note| {
        let section = sections.iter().find(|section| section.notes.contains(note))?;
        section.wound_to.filter(|last| note > *last)
    };
    let spares = keys.get("spares").map_or_else(Vec::new, |item| notes(&item, compass));
    let spares = spares.into_iter().filter_map(|(note, item)| {
        let Some(last) = wound_above(note) else { return Some(note) };
        item.desk.fault(
            Fault::new(
                FaultKind::WoundToDisagrees,
                &item.at,
                format!("a spare wound string of {note}, but the last wound note is {last}"),
            )
            .found("a plain string: its wire is cut from the coil")
            .expected(format!("notes up to {last}"))
            .remedy("take the note out: a coil of wire leaves spare enough"),
        );
        None
    });
    StringWishes {
        restring: keys.get("restring").map_or(Restring::Advised, |item| restring(&item, sections)),
        replace: keys
            .get("replace")
            .map_or_else(Vec::new, |item| notes(&item, compass))
            .into_iter()
            .map(|(note, _)| note)
            .collect(),
        spares: spares.collect(),
        needed_by: keys.get("needed_by").and_then(|item| date(&item)),
    }
}

/// `"advised"`, `"all"`, or the names of sections in a list.
fn restring(item: &Item, sections: &[Section]) -> Restring {
    if matches!(item.scalar(), Some((_, true))) {
        let words = [("advised", false), ("all", true)];
        let all = item.word_or("a list of sections in [ ]", &words);
        return if all == Some(true) { Restring::All } else { Restring::Advised };
    }
    let remedy = "write \"all\", or the names of sections in a list: restring = [\"bass\"]";
    let list = item.list(remedy).unwrap_or_default();
    let named: Vec<usize> = list.iter().filter_map(|item| named(item, sections)).collect();
    if named.is_empty() { Restring::Advised } else { Restring::Sections(named) }
}

fn notes<'t>(item: &Item<'t>, compass: Compass) -> Vec<(Note, Item<'t>)> {
    let remedy = "write the notes in a list: [\"G#1\", \"F6\"]; a note twice is two of its strings";
    let list = item.list(remedy).unwrap_or_default();
    list.into_iter().filter_map(|item| Some((item.note(Some(compass))?, item))).collect()
}
