//! What is said of alternatives: why a wire, what is given up, and why nothing can be had.

use super::alternative::{Alternative, Known};
use super::choice::{Make, Wire};
use super::course::Bound;
use super::gap::Gaps;
use super::judge::Judged;
use super::relax::{Refusal, Relaxation};
use super::wish::Name;
use crate::judgement::breaks::Grade;
use crate::measure::{Measured, Note, Piece, Sentence, mm, newtons, share, to_mm};
use crate::scale::breaks::Quantity;
use crate::sentence;

/// Why a note gets this string.
pub(super) fn why(copy: Option<&Make>, make: &Make, other_kind: bool) -> Sentence {
    let Some(copy) = copy else { return sentence!["nothing in stock is near the old string"] };
    if other_kind {
        return match make {
            Make::Plain(_) => sentence!["plain wire in place of a wound string"],
            Make::Wound(_) => sentence!["wound in place of plain wire"],
        };
    }
    match (copy, make) {
        (copy, make) if copy == make => {
            sentence!["as the old string, in the nearest size in stock"]
        }
        (Make::Plain(old), Make::Plain(new)) => {
            let thicker = if new.diameter > old.diameter { "thicker" } else { "thinner" };
            sentence![
                format!("{thicker} than the old, "),
                named(*old),
                ", for the course of the scale"
            ]
        }
        (Make::Wound(old), Make::Wound(new)) if old.core == new.core => {
            sentence!["another winding on the old core, for the course of the scale"]
        }
        (Make::Wound(old), Make::Wound(_)) => {
            sentence![
                "another core than the old, ",
                named(old.core),
                ", for the course of the scale"
            ]
        }
        _ => sentence!["another kind of string"],
    }
}

fn named(wire: Wire) -> Piece {
    match wire.size {
        Some(size) => format!("No. {size}").into(),
        None => Piece::Length(Measured::new(wire.diameter, mm(0.0))),
    }
}

/// What an alternative gives up.
pub(super) fn gives_up(
    known: &Known,
    found: &Judged,
    one: &Alternative,
    gaps: &Gaps,
) -> Vec<Sentence> {
    let mut said = Vec::new();
    if one.name == Name::Copy {
        said.push(sentence!["the breaks stay as they were found"]);
    } else if one.totals.changed > 0 {
        said.push(sentence![
            "the old scale: ",
            one.totals.changed,
            " of ",
            one.totals.open,
            if one.totals.open < one.choice.notes.len() {
                " notes that are not held"
            } else {
                " notes"
            },
            " get other strings than it had",
        ]);
    }
    let pull = (one.totals.pull / one.totals.found).value - 1.0;
    if pull < -0.005 {
        said.push(sentence![
            "pull: ", share(-pull),
            " less on bridges and soundboard (what that does to loudness and decay is not modelled)",
        ]);
    } else if pull > 0.005 {
        said.push(sentence!["rest: ", share(pull), " more pull on plate, pins and soundboard"]);
    }
    said.extend(worse_steps(found, &one.judged));
    said.extend(load_stays(&one.judged));
    let newly: Vec<Note> =
        one.judged.outside.iter().filter(|note| !found.outside.contains(note)).copied().collect();
    if let Some(first) = newly.first() {
        said.push(sentence![
            "load: ",
            newly.len(),
            if newly.len() == 1 { " note, " } else { " notes from " },
            *first,
            " on, that stood within the limits stand outside them",
        ]);
    }
    let unread = one.choice.notes.iter().filter(|note| {
        let old = known.scale.note(note.note).and_then(|n| n.string.as_ref());
        let over = old.and_then(|string| string.over).map_or(0.0, |over| to_mm(over.value));
        note.wound().is_some_and(|wound| to_mm(wound.over()) > over + 0.05)
            && !gaps.is_known(note.note)
    });
    let unread = unread.count();
    if unread > 0 {
        said.push(sentence![
            "certainty about room: ", unread,
            " strings are thicker than the old and their spacing was not read; measure it before ordering",
        ]);
    }
    said
}

/// Figures whose step at the break between wound and plain gets larger.
fn worse_steps(found: &Judged, now: &Judged) -> Vec<Sentence> {
    let (Some(before), Some(after)) = (found.wound_to_plain(), now.wound_to_plain()) else {
        return Vec::new();
    };
    let quantities = [
        Quantity::Tension,
        Quantity::Inharmonicity,
        Quantity::Load,
        Quantity::Impedance,
        Quantity::Drift,
    ];
    let mut said = Vec::new();
    for quantity in quantities {
        let (Some(old), Some(new)) = (before.step(quantity), after.step(quantity)) else {
            continue;
        };
        let grade = after.figure(quantity).map(|(_, graded)| graded.grade);
        if new.ln.abs() > old.ln.abs() + new.se.hypot(old.se) && grade != Some(Grade::Smooth) {
            said.push(sentence![
                format!("{} at the break: its step goes from ", quantity.name()),
                share(old.fraction()),
                " to ",
                share(new.fraction()),
            ]);
        }
    }
    said
}

/// A step of load that stays rough where plain wire begins: no wire takes it away.
fn load_stays(now: &Judged) -> Option<Sentence> {
    let place = now.wound_to_plain()?;
    let (_, graded) = place.figure(Quantity::Load)?;
    let step = place.step(Quantity::Load)?;
    (graded.grade == Grade::Rough).then(|| {
        sentence![
            "evenness of load: it still steps ", share(step.fraction()),
            " at the break, for the load of plain wire hangs on its length and pitch, hardly on its \
             size; only another bridge or pitch would change that",
        ]
    })
}

/// Which limit binds at which note, and the smallest relaxation that helps.
pub(super) fn refusal(refusal: &Refusal, notes: &[Note]) -> Vec<Sentence> {
    if !refusal.nothing_for.is_empty() {
        let mut text = sentence!["nothing in stock serves "];
        for (count, &place) in refusal.nothing_for.iter().enumerate() {
            if count > 0 {
                text.push(", ");
            }
            text.push(notes[place]);
        }
        text.push(
            " at a tension that is usual there; look at length and wire, or add sizes to the stock",
        );
        return vec![text];
    }
    let mut said = Vec::new();
    if refusal.alone.is_empty() {
        said.push(sentence!["no limit helps by itself; all of these together do, and no less:"]);
        said.extend(refusal.together.iter().map(|one| relaxation(one, notes)));
    } else {
        if refusal.alone.len() > 1 {
            said.push(sentence!["any one of these helps by itself:"]);
        }
        said.extend(refusal.alone.iter().map(|one| relaxation(one, notes)));
    }
    said
}

fn relaxation(relaxation: &Relaxation, notes: &[Note]) -> Sentence {
    match relaxation {
        Relaxation::Bound { bound, by, at } => {
            let (what, piece) = match bound {
                Bound::LoadLow => ("strings slacker than the limit by ", share(by / 100.0)),
                Bound::LoadHigh => ("strings loaded above the limit by ", share(by / 100.0)),
                Bound::Elastic => ("strings beyond the elastic limit by ", share(by / 100.0)),
                Bound::Gap => (
                    "a clear gap that is too small by ",
                    Piece::Length(Measured::new(mm(*by), mm(0.0))),
                ),
            };
            let unit = if *bound == Bound::Gap { "" } else { " of their breaking load" };
            let mut text = sentence![what, piece, unit];
            for (count, (place, _)) in at.iter().take(6).enumerate() {
                text.push(if count == 0 { ", at " } else { ", " });
                text.push(notes[*place]);
            }
            if at.len() > 6 {
                text.extend(sentence![" and ", at.len() - 6, " more notes"]);
            }
            text
        }
        Relaxation::Run { fewest } => {
            sentence![
                "runs of one wire of only ",
                *fewest,
                if *fewest == 1 { " note" } else { " notes" }
            ]
        }
        Relaxation::Order => sentence!["wire that gets thinner going down"],
        Relaxation::Pull { pull, cap } => sentence![
            "a total pull of ",
            newtons(*pull),
            ", which is ",
            share(pull / cap - 1.0),
            " above what is allowed",
        ],
    }
}
