//! Another number of wound notes at the foot of the plain wire, or of strings to them; and what else
//! that changes at the piano.

use super::offer::NoteOffers;
use super::setup::Strung;
use super::staying::{Fate, Staying};
use crate::instrument::belief::StringKind;
use crate::measure::{Note, Sentence};
use crate::sentence;

/// Another number of wound notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Extent {
    /// Notes wound beyond those found; negative: notes found wound that get plain wire.
    pub notes: i32,
    /// Strings of each of these notes.
    pub strings: u8,
    /// First and last of the notes that change.
    pub from: Note,
    /// See `from`.
    pub to: Note,
}

/// Index of the lowest plain note that has a wound one below it.
pub(super) fn foot(offers: &[NoteOffers]) -> Option<usize> {
    (1..offers.len())
        .find(|&i| offers[i].kind == StringKind::Plain && offers[i - 1].kind == StringKind::Wound)
}

/// Places that may change their kind when up to `most` notes are wound, or unwound; none of those
/// whose strings stay.
pub(super) fn window(
    offers: &[NoteOffers],
    foot: usize,
    most: usize,
    staying: &Staying,
) -> std::ops::Range<usize> {
    let of_section = |i: &usize| {
        offers[*i].section == offers[foot].section && staying.fate(offers[*i].note) != Fate::Stays
    };
    let below = (0..foot).rev().take(most).take_while(of_section).count();
    let plain = |i: &usize| of_section(i) && offers[*i].kind == StringKind::Plain;
    let above = (foot..offers.len()).take(most).take_while(plain).count();
    foot - below..foot + above
}

/// Which other numbers of wound notes are not tried, for the strings there stay.
pub(super) fn held(offers: &[NoteOffers], foot: usize, staying: &Staying) -> Vec<Sentence> {
    let stays = |i: usize| staying.fate(offers[i].note) == Fate::Stays;
    let one_section = offers[foot].section == offers[foot - 1].section;
    let mut said = Vec::new();
    if stays(foot) {
        said.push(sentence![
            "no more notes can be wound: ",
            offers[foot].note,
            ", where plain wire begins, keeps its old strings"
        ]);
    }
    if one_section && stays(foot - 1) {
        said.push(sentence![
            "no fewer notes can be wound: ",
            offers[foot - 1].note,
            ", the highest of them, keeps its old strings"
        ]);
    }
    said
}

/// Every other number of wound notes, each with the strings that its notes could have: no fewer than
/// the wound note below them, no more than the pins that are there.
pub(super) fn extents(
    offers: &[NoteOffers],
    foot: usize,
    window: &std::ops::Range<usize>,
) -> Vec<(Extent, Vec<Strung>)> {
    let as_found = || offers.iter().map(|note| (note.kind, note.strings)).collect::<Vec<Strung>>();
    let mut all = Vec::new();
    for from in window.start..foot {
        let mut strung = as_found();
        for place in &mut strung[from..foot] {
            place.0 = StringKind::Plain;
        }
        let extent = Extent {
            notes: -i32::try_from(foot - from).unwrap_or(i32::MAX),
            strings: offers[from].strings,
            from: offers[from].note,
            to: offers[foot - 1].note,
        };
        all.push((extent, strung));
    }
    for to in foot..window.end {
        let most = offers[foot..=to].iter().map(|note| note.strings).min().unwrap_or(1);
        for strings in offers[foot - 1].strings.min(most)..=most {
            let mut strung = as_found();
            for place in &mut strung[foot..=to] {
                *place = (StringKind::Wound, strings);
            }
            let extent = Extent {
                notes: i32::try_from(to + 1 - foot).unwrap_or(i32::MAX),
                strings,
                from: offers[foot].note,
                to: offers[to].note,
            };
            all.push((extent, strung));
        }
    }
    all
}

/// What else changes at the piano when it is strung as `strung`.
pub(super) fn knock_on(offers: &[NoteOffers], strung: &[Strung]) -> Vec<Sentence> {
    let changed = |kind: StringKind| -> Vec<(&NoteOffers, u8)> {
        offers
            .iter()
            .zip(strung)
            .filter(|(note, now)| note.kind != now.0 && now.0 == kind)
            .map(|(note, now)| (note, now.1))
            .collect()
    };
    let mut said = wound_now(&changed(StringKind::Wound));
    said.extend(plain_now(&changed(StringKind::Plain)));
    said
}

/// First and last note, as said.
fn run(notes: &[(&NoteOffers, u8)]) -> Sentence {
    match notes {
        [] => Sentence::default(),
        [only] => sentence![only.0.note],
        [first, .., last] => sentence![first.0.note, " to ", last.0.note],
    }
}

fn wound_now(notes: &[(&NoteOffers, u8)]) -> Vec<Sentence> {
    if notes.is_empty() {
        return Vec::new();
    }
    let strings: usize = notes.iter().map(|note| usize::from(note.1)).sum();
    let before: usize = notes.iter().map(|note| usize::from(note.0.strings)).sum();
    let idle = before - strings;
    let mut said = Vec::new();
    let with_run = |words: &str| {
        let mut text = run(notes);
        text.push(words.to_owned());
        text
    };
    if idle > 0 {
        said.push(sentence![
            idle, " tuning pins stand idle, and ", idle,
            " agraffe holes or grooves of the bearing: decide which, and leave the pins in the block",
        ]);
        said.push(sentence![
            2 * idle,
            " bridge pins stand idle: the strings that stay take the pair of pins nearest to their \
             hammer's middle; see that none rubs on an idle pin",
        ]);
        said.push(with_run(
            ": the heads strike fewer strings; they are spaced and their crowns fitted anew",
        ));
    }
    said.push(sentence![
        strings,
        " hitch pins are needed, one for each loop; plain wire in pairs used about ",
        before.div_ceil(2),
        ": count those that are there before ordering",
    ]);
    said.push(with_run(
        ": damper felts for wound strings in place of those for plain wire, of the new number of strings",
    ));
    said.push(with_run(
        ": look whether agraffe holes, bridge notches and the pins' side draft take the thicker string, \
         and measure the downbearing again: the winding must end before the bridge pins",
    ));
    said
}

fn plain_now(notes: &[(&NoteOffers, u8)]) -> Vec<Sentence> {
    if notes.is_empty() {
        return Vec::new();
    }
    let with_run = |words: &str| {
        let mut text = run(notes);
        text.push(words.to_owned());
        text
    };
    vec![
        with_run(
            ": plain wire on the pins that are there; hitch pins stand idle where one wire makes two strings",
        ),
        with_run(": damper felts for plain wire in place of those for wound strings"),
        with_run(
            ": measure the downbearing again, and look at the hammers: plain wire there is brighter",
        ),
    ]
}
