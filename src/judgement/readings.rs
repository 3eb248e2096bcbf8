//! Readings of strings that no neighbour shares, beside those that `scale::breaks::stands_out` finds on their
//! course: what grows where it should fall, ends and strike points far from the others', and what the survey says
//! of the piano as a whole that no piano does.

use super::limit::{LimitKey, Limits};
use crate::instrument::{About, Instrument, StringRow, Warning};
use crate::measure::{
    Cents, Length, Measured, Note, Piece, Sentence, hertz, mm, share, to_hertz, to_mm,
};
use crate::scale::breaks::{OffTrend, Reading, half_size};
use crate::scale::strike;
use crate::scale::{Scale, StringKind};
use crate::sentence;

/// Warnings, `measure_again` each, for readings that contradict the others of their section. `named` are those
/// that stand out from their course already.
pub fn contradicted(
    instrument: &Instrument,
    scale: &Scale,
    named: &[OffTrend],
    limits: &Limits,
) -> Vec<Warning> {
    let mut found = Vec::new();
    for index in 0..instrument.sections.len() {
        let rows: Vec<&StringRow> = instrument
            .strings
            .iter()
            .filter(|row| instrument.section_of(row.note) == Some(index))
            .collect();
        lengths(&rows, named, limits, &mut found);
        wires(instrument, scale, index, named, limits, &mut found);
        counts(&rows, &mut found);
        kinds(&rows, &mut found);
        ends(&rows, &instrument.sections[index].name, limits, &mut found);
    }
    strikes(instrument, limits, &mut found);
    found
}

fn say(found: &mut Vec<Warning>, note: Note, text: Sentence) {
    found.push(Warning { kind: "measure_again", about: About::Note(note), text });
}

fn is_named(named: &[OffTrend], note: Note, reading: Reading) -> bool {
    named.iter().any(|off| off.note == note && off.reading == reading)
}

/// Towards the treble speaking lengths of one section and kind fall.
fn lengths(rows: &[&StringRow], named: &[OffTrend], limits: &Limits, found: &mut Vec<Warning>) {
    let most = 1.0 + limits.value(LimitKey::MeasureAgainRises) / 100.0;
    for wound in [true, false] {
        let read: Vec<(Note, Measured<Length>)> = rows
            .iter()
            .filter(|row| {
                row.over.is_some() == wound && !is_named(named, row.note, Reading::Length)
            })
            .filter_map(|row| Some((row.note, row.length?)))
            .collect();
        for pair in read.windows(2) {
            let ((low, below), (high, above)) = (pair[0], pair[1]);
            if to_mm(above.value) <= most * to_mm(below.value) {
                continue;
            }
            let text = sentence![
                "measure ",
                low,
                " and ",
                high,
                " again: the length at ",
                high,
                " was read as ",
                above,
                ", longer than the ",
                below,
                " at ",
                low,
                ", and along one bridge lengths fall towards the treble"
            ];
            say(found, high, text);
        }
    }
}

/// Towards the treble wire of one section and kind grows no thicker, in rows and runs together.
fn wires(
    instrument: &Instrument,
    scale: &Scale,
    index: usize,
    named: &[OffTrend],
    limits: &Limits,
    found: &mut Vec<Warning>,
) {
    let most = limits.value(LimitKey::MeasureAgainThicker);
    let kind = |note: Note| scale.note(note).and_then(|entry| entry.kind);
    for wanted in [StringKind::Wound, StringKind::Plain] {
        let read: Vec<(Note, Measured<Length>)> = instrument.sections[index]
            .notes
            .notes()
            .filter(|note| kind(*note) == Some(wanted))
            .filter_map(|note| Some((note, wire_at(instrument, named, note)?)))
            .collect();
        for pair in read.windows(2) {
            let ((low, below), (high, above)) = (pair[0], pair[1]);
            let Some(half) = half_size(instrument, high, above.value) else { continue };
            if to_mm(above.value - below.value) <= most * to_mm(half) {
                continue;
            }
            let what = if wanted == StringKind::Wound { "core" } else { "wire" };
            let text = sentence![
                "measure ",
                low,
                " and ",
                high,
                format!(" again: the {what} at "),
                high,
                " was read as ",
                above,
                ", thicker than the ",
                below,
                " at ",
                low,
                ", and within a section wire grows thinner towards the treble"
            ];
            say(found, high, text);
        }
    }
}

/// The wire read at `note`, or the run that begins or goes on there.
fn wire_at(instrument: &Instrument, named: &[OffTrend], note: Note) -> Option<Measured<Length>> {
    let row = instrument.string(note);
    if row.is_some_and(|row| row.replaced) || is_named(named, note, Reading::Core) {
        return None;
    }
    row.and_then(|row| row.core)
        .or_else(|| instrument.runs.iter().find(|run| run.notes.contains(note)).map(|run| run.core))
}

/// String counts never fall from bass to treble within a section.
fn counts(rows: &[&StringRow], found: &mut Vec<Warning>) {
    let read: Vec<(Note, u8)> =
        rows.iter().filter_map(|row| Some((row.note, row.strings?))).collect();
    for pair in read.windows(2) {
        let ((low, below), (high, above)) = (pair[0], pair[1]);
        if above >= below {
            continue;
        }
        let text = sentence![
            "count the strings of ",
            low,
            " and ",
            high,
            " again: ",
            Piece::Count(usize::from(below)),
            " at ",
            low,
            " and ",
            Piece::Count(usize::from(above)),
            " at ",
            high,
            ", and within a section a unison never loses strings towards the treble"
        ];
        say(found, high, text);
    }
}

/// Within a section winding ends where plain wire begins.
fn kinds(rows: &[&StringRow], found: &mut Vec<Warning>) {
    let read: Vec<(Note, bool)> = rows
        .iter()
        .filter(|row| row.core.is_some() || row.over.is_some())
        .map(|row| (row.note, row.over.is_some()))
        .collect();
    for pair in read.windows(2) {
        let ((low, below), (high, above)) = (pair[0], pair[1]);
        if below || !above {
            continue;
        }
        let text = sentence![
            "look at ",
            high,
            " again: a diameter over a winding was read there (over_mm), and the string of ",
            low,
            " below it is plain"
        ];
        say(found, high, text);
    }
}

/// A length at one end of the strings, alike along a section but for the spread of its limit.
struct EndLength {
    /// What it is called.
    name: &'static str,
    /// Its column.
    column: &'static str,
    /// How far it may be off the middle one of the others.
    limit: LimitKey,
    /// Where it stands.
    read: fn(&StringRow) -> Option<Measured<Length>>,
}

const ENDS: [EndLength; 4] = [
    EndLength {
        name: "bare end at the hammer end",
        column: "bare_front_mm",
        limit: LimitKey::MeasureAgainBare,
        read: |row| row.bare_front,
    },
    EndLength {
        name: "bare end at the bridge",
        column: "bare_back_mm",
        limit: LimitKey::MeasureAgainBare,
        read: |row| row.bare_back,
    },
    EndLength {
        name: "length from hitch loop to bridge pin",
        column: "back_mm",
        limit: LimitKey::MeasureAgainEnds,
        read: |row| row.back,
    },
    EndLength {
        name: "length from bearing to tuning pin",
        column: "front_mm",
        limit: LimitKey::MeasureAgainEnds,
        read: |row| row.front,
    },
];

/// Fewest others by whose middle an end can be judged.
const FEWEST_OTHERS: usize = 3;

fn ends(rows: &[&StringRow], section: &str, limits: &Limits, found: &mut Vec<Warning>) {
    for end in &ENDS {
        let most = limits.value(end.limit);
        let read: Vec<(Note, Measured<Length>)> =
            rows.iter().filter_map(|row| Some((row.note, (end.read)(row)?))).collect();
        if read.len() <= FEWEST_OTHERS {
            continue;
        }
        if middle(read.iter().map(|one| to_mm(one.1.value)).collect()) <= 0.0 {
            found.push(nothing(end, section));
            continue;
        }
        for (at, (note, length)) in read.iter().enumerate() {
            let others = (0..read.len()).filter(|other| *other != at);
            let middle = middle(others.map(|other| to_mm(read[other].1.value)).collect());
            let ratio = to_mm(length.value) / middle;
            if (1.0 / most..=most).contains(&ratio) {
                continue;
            }
            let text = sentence![
                "measure ",
                *note,
                format!(" again: its {} ({}) was read as ", end.name, end.column),
                length.value,
                ", and the middle one of the others of its section is ",
                mm(middle)
            ];
            say(found, *note, text);
        }
    }
}

/// Most of a section's ends read as nothing: perhaps they were not read.
fn nothing(end: &EndLength, section: &str) -> Warning {
    let text = sentence![
        format!("most strings of the section {section} have a {} ({}) of ", end.name, end.column),
        mm(0.0),
        ": leave the cell empty where it was not measured"
    ];
    Warning { kind: "measure_again", about: About::Section(section.to_owned()), text }
}

fn middle(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    f64::midpoint(values[(values.len() - 1) / 2], values[values.len() / 2])
}

/// Strike points off the others of their section, or where no piano strikes.
fn strikes(instrument: &Instrument, limits: &Limits, found: &mut Vec<Warning>) {
    let deviations = limits.value(LimitKey::MeasureAgainDeviations);
    let most = (1.0 + limits.value(LimitKey::MeasureAgainStrike) / 100.0).ln();
    let range = [LimitKey::StrikeLeast, LimitKey::StrikeMost].map(|key| limits.value(key) / 100.0);
    // A wrong one draws the curve of its neighbours: the furthest of a section alone is named by it.
    let mut furthest: Vec<(usize, strike::StrikeOff)> = Vec::new();
    for off in strike::beside_others(instrument) {
        let far = (off.read / off.foretold).ln().abs();
        let Some(section) = instrument.section_of(off.note) else { continue };
        if far <= most || off.deviations <= deviations {
            continue;
        }
        match furthest.iter_mut().find(|one| one.0 == section) {
            Some(one) if one.1.deviations >= off.deviations => {}
            Some(one) => one.1 = off,
            None => furthest.push((section, off)),
        }
    }
    for row in &instrument.strings {
        let (Some(strike), Some(length)) = (row.strike, row.length) else { continue };
        let read = to_mm(strike.value) / to_mm(length.value);
        let by_others =
            furthest.iter().find(|one| one.1.note == row.note).map(|one| one.1.foretold);
        if by_others.is_none() && (range[0]..=range[1]).contains(&read) {
            continue;
        }
        let mut text = sentence![
            "measure ",
            row.note,
            " again: the strike point (strike_mm) was read as ",
            strike.value,
            ", at ",
            share(read),
            " of the length; "
        ];
        if let Some(foretold) = by_others {
            text.push("the others of its section ask for ");
            text.push(share(foretold));
        } else {
            text.push("pianos strike between ");
            text.push(share(range[0]));
            text.push(" and ");
            text.push(share(range[1]));
        }
        text.push(". It is read from the hammer end");
        say(found, row.note, text);
    }
}

/// What the survey says of the piano as a whole and no piano does: `pitch_unusual`, `found_unusual`,
/// `reading_error_wide`.
pub fn unusual(instrument: &Instrument, limits: &Limits) -> Vec<Warning> {
    let mut found = Vec::new();
    let pitch = to_hertz(instrument.pitch);
    let (least, most) = (limits.value(LimitKey::PitchLeast), limits.value(LimitKey::PitchMost));
    if !(least..=most).contains(&pitch) {
        let text = sentence![
            "A4 is to stand at ",
            instrument.pitch,
            " when the work is done, and no usual pitch lies outside ",
            hertz(least),
            " to ",
            hertz(most),
            ": every tension follows from it, so look at `pitch` of [instrument]"
        ];
        found.push(Warning { kind: "pitch_unusual", about: About::Set, text });
    }
    if let Some(cents) = instrument.found {
        found.extend(found_far(cents, "the piano", About::Set, limits));
    }
    for section in &instrument.sections {
        let Some(cents) = section.found else { continue };
        let about = About::Section(section.name.clone());
        found.extend(found_far(cents, &format!("the section {}", section.name), about, limits));
    }
    found.extend(wide_errors(instrument, limits));
    found
}

fn found_far(cents: Cents, what: &str, about: About, limits: &Limits) -> Option<Warning> {
    let flat = -limits.value(LimitKey::FoundFlat);
    let sharp = limits.value(LimitKey::FoundSharp);
    if (flat..=sharp).contains(&cents.0) {
        return None;
    }
    let way = if cents.0 < 0.0 { "flat" } else { "sharp" };
    let text = sentence![
        format!("by its survey {what} was found "),
        Cents(cents.0.abs()),
        format!(
            " {way}: see that `found` names the note that was heard, and the sign of its offset; how much the strings \
             are to be raised follows from it"
        )
    ];
    Some(Warning { kind: "found_unusual", about, text })
}

fn wide_errors(instrument: &Instrument, limits: &Limits) -> Vec<Warning> {
    let most = limits.value(LimitKey::ReadingErrorWide);
    let (said, usual) = (instrument.reading_error, crate::instrument::ReadingError::default());
    let at = mm(1000.0);
    let tools = [
        ("length", said.length.of(at), usual.length.of(at)),
        ("core", said.core, usual.core),
        ("over", said.over, usual.over),
        ("centre", said.centre, usual.centre),
        ("bore", said.bore, usual.bore),
    ];
    let wide = tools.into_iter().filter(|(_, said, usual)| to_mm(*said) > most * to_mm(*usual));
    wide.map(|(name, said, usual)| {
        let text = sentence![
            format!("`{name}` of [reading_error] says that the tool errs by "),
            said,
            "; usual is ",
            usual,
            ": it is one standard deviation of a single reading, not the size of what is read"
        ];
        Warning { kind: "reading_error_wide", about: About::Set, text }
    })
    .collect()
}
