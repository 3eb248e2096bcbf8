//! What an order of strings says: why these strings, what to settle first, what to enclose, what to
//! check on arrival.

use super::Choice;
use super::going::{Wanted, Why, verdict};
use super::order::{OrderFrom, StringOrder};
use super::pins::PinLine;
use super::wound::WoundLine;
use crate::instrument::Restring;
use crate::instrument::belief::Source;
use crate::judgement::limit::LimitKey;
use crate::judgement::{PinVerdict, StringVerdict};
use crate::measure::{Length, Note, Sentence, mm, to_mm};
use crate::sentence;

/// Why a section is ordered as it is.
pub(super) fn share(
    from: &OrderFrom,
    choice: &Choice,
    order: &StringOrder,
    index: usize,
) -> Sentence {
    let of_section = || order.going.iter().filter(move |going| going.section == index);
    let whole = of_section().find(|going| !going.is_single());
    let singles: usize =
        of_section().filter(|g| g.is_single()).map(|g| usize::from(g.strings)).sum();
    let mut said = match whole.and_then(|going| going.why.first()) {
        Some(Why::All) => sentence!["every string was asked for"],
        Some(Why::Survey) => sentence!["the survey asks for the section"],
        Some(Why::Verdict(verdict)) => match verdict {
            StringVerdict::RestringSame | StringVerdict::RestringNewScale => {
                sentence!["every string, as advised"]
            }
            StringVerdict::ReplaceWoundSame | StringVerdict::ReplaceWoundStock => {
                sentence!["the wound strings, as advised; the plain ones stay"]
            }
            _ => sentence!["the notes whose sizes change, as advised"],
        },
        _ if singles > 0 => Sentence::default(),
        _ => return stays(from, choice, index),
    };
    if singles > 0 {
        if !said.0.is_empty() {
            said.push("; ");
        }
        said.extend(sentence![
            singles,
            if singles == 1 { " single string" } else { " single strings" }
        ]);
    }
    said
}

/// Why nothing of a section is ordered.
fn stays(from: &OrderFrom, choice: &Choice, index: usize) -> Sentence {
    use StringVerdict as V;
    match verdict(from.judgement, index) {
        Some(V::Keep | V::KeepLowerPitch | V::KeepTreatWindings) => sentence!["its strings stay"],
        Some(V::ReplaceNamed) => sentence!["single strings, once they are named"],
        Some(V::RescaleBreak)
            if !choice.notes.iter().any(|note| note.section == index && note.changed) =>
        {
            sentence!["sizes at the break, once they are chosen"]
        }
        Some(V::Stop) => sentence!["nothing, until what stops the work is put right"],
        Some(V::Document) => sentence!["nothing: left as found"],
        Some(V::NotWorthIt) => sentence!["nothing: not worth it"],
        Some(V::NotMeasured) | None => sentence!["nothing yet: not enough was measured"],
        Some(_) => sentence!["nothing of it is known well enough"],
    }
}

/// What must be settled before the order goes out.
pub(super) fn settle(from: &OrderFrom, order: &StringOrder) -> Vec<Sentence> {
    let mut all = Vec::new();
    all.extend(from.judgement.stops.iter().map(|stop| stop.why.clone()));
    for (index, section) in from.instrument.sections.iter().enumerate() {
        let name = &section.name;
        let whole = order.going.iter().any(|going| going.section == index && going.whole);
        match verdict(from.judgement, index) {
            Some(StringVerdict::ReplaceNamed)
                if !order.going.iter().any(|going| going.section == index) =>
            {
                all.push(sentence![format!(
                    "the {name}: single strings are to be replaced; name them in the survey: [strings] replace = [\"…\"]"
                )]);
            }
            Some(StringVerdict::RescaleBreak) if !whole => {
                all.push(sentence![format!(
                    "the {name}: new sizes at the break are advised; `feltwire restring` compares them, and [rescale] choose = \"…\" in the survey takes one"
                )]);
            }
            Some(
                advice @ (StringVerdict::Stop
                | StringVerdict::Document
                | StringVerdict::NotWorthIt
                | StringVerdict::NotMeasured),
            ) if whole => {
                all.push(sentence![format!(
                    "the {name} is ordered because it was asked for; the advice is: {}",
                    advice.words()
                )]);
            }
            _ => {}
        }
    }
    all.extend(broken(order));
    all.extend(unknown(from, order));
    all.extend(off(from, order));
    all.extend(lengths(order));
    all.extend(order.pins.iter().filter_map(pin_size));
    all
}

/// Strings ordered because they broke: they may be on again.
fn broken(order: &StringOrder) -> Option<Sentence> {
    let is_broken = |why: &Why| matches!(why, Why::Broken { .. });
    let notes: Vec<Note> =
        order.going.iter().filter(|g| g.why.iter().any(is_broken)).map(|g| g.note).collect();
    let mut said =
        listed("strings known to have broken and not marked as replaced are ordered: ", &notes)?;
    said.push("; where one is on again, write replaced = true in its row and take it out");
    Some(said)
}

/// Notes that should be ordered and of which nothing is known.
fn unknown(from: &OrderFrom, order: &StringOrder) -> Option<Sentence> {
    let asked = |section: usize| {
        order.wanted == Wanted::All
            || match &from.instrument.string_wishes.restring {
                Restring::Advised => false,
                Restring::All => true,
                Restring::Sections(named) => named.contains(&section),
            }
            || verdict(from.judgement, section).is_some_and(StringVerdict::strings_come_off)
    };
    let unknown = from.belief.notes.iter().filter(|entry| {
        asked(entry.section)
            && (entry.source == Source::Unknown
                || entry.strings.is_none()
                || entry.string.is_none())
    });
    let notes: Vec<Note> = unknown.map(|entry| entry.note).collect();
    let mut said = runs("too little was read to order the strings of ", &notes)?;
    said.push(": read their wire and count, or send the old ones as patterns");
    Some(said)
}

/// Wires of an unchanged scale that no size comes near.
fn off(from: &OrderFrom, order: &StringOrder) -> Option<Sentence> {
    let most = from.limits.value(LimitKey::OrderCoreOff);
    let read = |note: Note| Some(to_mm(from.instrument.string(note)?.core?.value));
    let far = |note: Note, ordered: Length| {
        read(note).is_some_and(|read| (to_mm(ordered) - read).abs() > most)
    };
    let wound = order.wound.iter().filter(|line| !line.changed && !line.all_as_pattern());
    let wound = wound.filter(|line| far(line.note, line.core.diameter)).map(|line| line.note);
    let plain = order.plain.iter().filter(|line| !line.changed);
    let plain = plain.filter(|line| far(line.note, line.wire.diameter)).map(|line| line.note);
    let notes: Vec<Note> = wound.chain(plain).collect();
    let mut said = listed("no size in stock comes near the wire read at ", &notes)?;
    said.extend(sentence![
        ": the nearest is ordered, off by more than ",
        mm(most),
        "; ask for the size read, or for another supply"
    ]);
    Some(said)
}

/// Plain strings whose ends were not read: the metres are too few.
fn lengths(order: &StringOrder) -> Option<Sentence> {
    let short: Vec<Note> =
        order.plain.iter().filter(|line| !line.is_complete()).map(|line| line.note).collect();
    let strings: usize = order.wire.iter().map(|size| size.short_of).sum();
    let mut said = runs("plain strings of ", &short)?;
    said.extend(sentence![
        ": how far they run from bearing to tuning pin and from bridge pin to hitch pin was not read, and no length was put in its place. The metres of ",
        strings,
        if strings == 1 { " string" } else { " strings" },
        " hold the rest alone: read both at the ends of each section, and the sums are right"
    ]);
    Some(said)
}

/// A size of pins that is not known.
fn pin_size(line: &PinLine) -> Option<Sentence> {
    let said = match line.verdict {
        PinVerdict::NextSize if line.found.is_none() => {
            "measure the pins of it before new ones are ordered"
        }
        PinVerdict::NextSize if line.next.is_none() => {
            "no next size is left; settle the size with the block maker"
        }
        PinVerdict::NewBlock => "the pins are chosen with the new block and its drilling",
        _ => return None,
    };
    Some(sentence![format!("pins of the region {}: {said}", line.region)])
}

/// What goes with the order to the maker of wound strings.
pub(super) fn enclose(order: &StringOrder) -> Vec<Sentence> {
    if order.wound.is_empty() {
        return Vec::new();
    }
    let mut all = Vec::new();
    let patterns: Vec<Note> =
        order.wound.iter().filter(|line| line.needs_pattern()).map(|line| line.note).collect();
    if let Some(mut said) = runs("send the old strings as patterns, labelled: ", &patterns) {
        said.push("; where the list says “pattern”, the old string is the measure, and no figure stands in its place");
        all.push(said);
    }
    let ends = loops(&order.wound);
    let ends = listed("for the loop and the sense of winding, one old string of each end: ", &ends);
    if let Some(mut said) = ends {
        said.push("; all lengths are those of the list");
        all.push(said);
    }
    if !patterns.is_empty() {
        all.push(sentence![
            "before an old string comes off, mark on it with tape where it lies on the bridge pin and on the bearing: windings are placed by these marks"
        ]);
    }
    all.push(sentence![
        "each old string uncut, loop and coil left on, a tag with number and note tied to the loop; rolled in rings no tighter than it hung, not bent"
    ]);
    all
}

/// First and last wound note of each section that needs no pattern anyway.
fn loops(lines: &[WoundLine]) -> Vec<Note> {
    let mut ends: Vec<Note> = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let first = index == 0 || lines[index - 1].section != line.section;
        let last = lines.get(index + 1).is_none_or(|next| next.section != line.section);
        if (first || last) && !line.needs_pattern() {
            ends.push(line.note);
        }
    }
    ends
}

/// What is checked when the strings and the wire come.
pub(super) fn receiving(order: &StringOrder) -> Vec<Sentence> {
    let mut all = Vec::new();
    if !order.wound.is_empty() {
        all.push(sentence![
            "wound strings: count and tags against the list; core and over the winding by micrometer on every string, ",
            "within ± ", order.tolerances.wire, " and ± ", order.tolerances.over,
            "; start and end of the winding by tape from the loop, within ± ", order.tolerances.winding
        ]);
        all.push(sentence![
            "each laid beside its old one, loop on loop, before the old one is cut or thrown away; winding tight (it does not turn by hand) and swaged or held at both ends as on the old"
        ]);
    }
    if !order.wire.is_empty() {
        all.push(sentence![
            "wire: each coil by micrometer at three places, within ± ",
            order.tolerances.wire,
            "; no rust, no kink; label kept with the coil"
        ]);
    }
    all
}

/// Notes as runs from first to last.
pub fn runs_of(notes: impl IntoIterator<Item = Note>) -> Vec<(Note, Note)> {
    let mut runs: Vec<(Note, Note)> = Vec::new();
    for note in notes {
        match runs.last_mut() {
            Some((_, last)) if last.step(1) == Some(note) => *last = note,
            _ => runs.push((note, note)),
        }
    }
    runs
}

/// Notes in words, runs from first to last.
fn runs(before: &'static str, notes: &[Note]) -> Option<Sentence> {
    let runs = runs_of(notes.iter().copied());
    let mut said = sentence![before];
    for (index, (first, last)) in runs.iter().enumerate() {
        if index > 0 {
            said.push(if index + 1 == runs.len() { " and " } else { ", " });
        }
        said.push(*first);
        if last != first {
            said.push(" to ");
            said.push(*last);
        }
    }
    (!runs.is_empty()).then_some(said)
}

/// Notes in words, one by one.
fn listed(before: &'static str, notes: &[Note]) -> Option<Sentence> {
    let mut said = sentence![before];
    for (index, note) in notes.iter().enumerate() {
        if index > 0 {
            said.push(if index + 1 == notes.len() { " and " } else { ", " });
        }
        said.push(*note);
    }
    (!notes.is_empty()).then_some(said)
}
