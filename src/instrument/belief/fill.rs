//! One section, note by note: what was read, and what fills the gaps.

use super::super::{About, CoreShape, Instrument, Missing, Section, StringRow, Warning, WireRun};
use super::chance::{Chances, Shares, StringShares};
use super::{Belief, BelievedNote, BelievedString, Source, StringKind, length, winding};
use crate::measure::{Compass, Length, Measured, Note, inches, mm, to_mm};
use crate::sentence;
use crate::stock::{WireSeries, WireSize};
use std::sync::Arc;

/// What was read of one note, each item by itself.
struct Read<'a> {
    note: Note,
    row: Option<&'a StringRow>,
    count: Option<u8>,
    kind: Option<StringKind>,
    core: Option<Core>,
    shape: Option<CoreShape>,
}

/// A wire: its size as read, the number where one was read, and its doubt.
#[derive(Clone)]
struct Core {
    read: Measured<Length>,
    size: Option<WireSize>,
    shares: Shares,
}

/// An item of a note after the gaps are filled.
#[derive(Clone, Copy)]
enum Filled<T> {
    /// Read at the note itself.
    Here(T),
    /// Both neighbours that were read agree, or it lies between them.
    Between(T),
    /// Only one side was read.
    Beyond(T),
    /// The neighbours differ and nothing says where the change lies.
    Differs,
    /// Read nowhere in the section.
    Nowhere,
}

impl<T> Filled<T> {
    fn value(self) -> Option<T> {
        match self {
            Self::Here(value) | Self::Between(value) | Self::Beyond(value) => Some(value),
            Self::Differs | Self::Nowhere => None,
        }
    }

    fn source(&self) -> Source {
        match self {
            Self::Here(_) => Source::Measured,
            Self::Between(_) => Source::Interpolated,
            Self::Beyond(_) => Source::Extrapolated,
            Self::Differs | Self::Nowhere => Source::Unknown,
        }
    }
}

/// Believes every note of section `index` and adds it to `belief`.
pub(super) fn section(
    instrument: &Instrument,
    index: usize,
    belief: &mut Belief,
    chances: &mut Chances,
) {
    let section = &instrument.sections[index];
    let read: Vec<Read> = section
        .notes
        .notes()
        .map(|note| Read::of(instrument, section, index, note, chances))
        .collect();
    let kinds = kinds(&read);
    let counts = agreed(&read, |r| r.count);
    let lengths = length::lengths(instrument, section.notes, chances);
    if lengths.is_none() {
        belief.missing.push(no_length(section));
    }
    let mut overs = overs(&read, &kinds, &counts, chances);
    let mut gap = Gap::default();
    for (i, here) in read.iter().enumerate() {
        let length = length_of(&read, i, lengths.as_deref());
        let known = Known { kind: kinds[i], count: counts[i], length, over: overs[i].take() };
        let note = believe(instrument, index, &read, i, &kinds, known, chances);
        if note.source == Source::Unknown && lengths.is_some() {
            gap.add(
                here.note,
                matches!(kinds[i], Filled::Differs),
                matches!(counts[i], Filled::Differs),
            );
        } else {
            gap.close(section, belief);
        }
        belief.notes.push(note);
    }
    gap.close(section, belief);
}

impl<'a> Read<'a> {
    fn of(
        instrument: &'a Instrument,
        section: &Section,
        index: usize,
        note: Note,
        chances: &mut Chances,
    ) -> Self {
        let row = instrument.string(note);
        let run = instrument.runs.iter().find(|run| run.notes.contains(note));
        let mut core =
            |read, size, place| Core { read, size, shares: chances.core(read, size, index, place) };
        let own_core = row.and_then(|row| Some((row.core?, row.size)));
        // One reading stands for the whole run.
        let of_run = run.map(|run: &WireRun| (run.core, run.size, run.notes.first));
        let core = match (own_core, of_run) {
            (Some((read, size)), _) => Some(core(read, size, format!("core {note}"))),
            (None, Some((read, size, from))) => {
                Some(core(read, size, format!("core of the run from {from}")))
            }
            (None, None) => None,
        };
        Self {
            note,
            row,
            count: row
                .and_then(|row| row.strings)
                .or_else(|| run.and_then(|run| run.strings))
                .or_else(|| count_of(section, note)),
            kind: kind_of(section, note, row),
            core,
            shape: row.and_then(|row| {
                row.shape.or_else(|| {
                    (row.core.is_some() || row.over.is_some()).then_some(CoreShape::Round)
                })
            }),
        }
    }
}

/// The string count that the section's own list gives `note`.
fn count_of(section: &Section, note: Note) -> Option<u8> {
    section.counts.iter().rfind(|count| count.from <= note).map(|count| count.strings)
}

/// Plain or wound, as far as the note itself or its section says.
fn kind_of(section: &Section, note: Note, row: Option<&StringRow>) -> Option<StringKind> {
    if row.is_some_and(|row| row.over.is_some()) {
        return Some(StringKind::Wound);
    }
    if let Some(last) = section.wound_to {
        return Some(if note <= last { StringKind::Wound } else { StringKind::Plain });
    }
    row.is_some_and(|row| row.core.is_some()).then_some(StringKind::Plain)
}

/// Kinds with gaps filled; a section where no winding was read or named is plain.
fn kinds(read: &[Read]) -> Vec<Filled<StringKind>> {
    let filled = agreed(read, |r| r.kind);
    if read.iter().all(|r| r.kind.is_none()) {
        return vec![Filled::Here(StringKind::Plain); read.len()];
    }
    filled
}

/// Each note's own reading, or what its nearest readings on both sides agree on.
fn agreed<T: Copy + PartialEq>(read: &[Read], item: impl Fn(&Read) -> Option<T>) -> Vec<Filled<T>> {
    (0..read.len())
        .map(|i| {
            if let Some(value) = item(&read[i]) {
                return Filled::Here(value);
            }
            let below = read[..i].iter().rev().find_map(&item);
            let above = read[i + 1..].iter().find_map(&item);
            match (below, above) {
                (Some(a), Some(b)) if a == b => Filled::Between(a),
                (Some(_), Some(_)) => Filled::Differs,
                (Some(value), None) | (None, Some(value)) => Filled::Beyond(value),
                (None, None) => Filled::Nowhere,
            }
        })
        .collect()
}

/// The length read at note `i`, or the section's curve there.
fn length_of(
    read: &[Read],
    i: usize,
    believed: Option<&[length::Believed]>,
) -> Filled<length::Believed> {
    let has = |r: &Read| r.row.is_some_and(|row| row.length.is_some());
    let Some(believed) = believed.map(|believed| believed[i].clone()) else {
        return Filled::Nowhere;
    };
    if has(&read[i]) {
        Filled::Here(believed)
    } else if read[..i].iter().any(has) && read[i + 1..].iter().any(has) {
        Filled::Between(believed)
    } else {
        Filled::Beyond(believed)
    }
}

/// Diameters over windings that were not read, by trend, where the section lets one be seen.
fn overs(
    read: &[Read],
    kinds: &[Filled<StringKind>],
    counts: &[Filled<u8>],
    chances: &mut Chances,
) -> Vec<Option<(Measured<Length>, Shares)>> {
    let mut overs: Vec<_> = read.iter().map(|_| None).collect();
    let unread = |i: &usize| {
        kinds[*i].value() == Some(StringKind::Wound)
            && read[*i].row.is_none_or(|row| row.over.is_none())
    };
    let unread: Vec<usize> = (0..read.len()).filter(unread).collect();
    for count in [None, Some(1), Some(2), Some(3)] {
        let of_count: Vec<usize> =
            unread.iter().copied().filter(|&i| counts[i].value() == count).collect();
        if of_count.is_empty() {
            continue;
        }
        let wanted: Vec<Note> = of_count.iter().map(|&i| read[i].note).collect();
        let believed = winding::over_by_trend(&wanted, &wound_alike(read, count), chances);
        for (i, over) in of_count.into_iter().zip(believed.into_iter().flatten()) {
            overs[i] = Some(over);
        }
    }
    overs
}

/// The wound rows that were read among strings of one count.
fn wound_alike<'a>(read: &[Read<'a>], count: Option<u8>) -> Vec<&'a StringRow> {
    read.iter()
        .filter(|r| r.count == count || r.count.is_none())
        .filter_map(|r| r.row.filter(|row| row.over.is_some()))
        .collect()
}

/// The wire of note `i` by the runs on both sides of it among strings of its kind.
fn core_of(
    read: &[Read],
    kinds: &[Filled<StringKind>],
    i: usize,
    chances: &mut Chances,
) -> Filled<Core> {
    if let Some(core) = &read[i].core {
        return Filled::Here(core.clone());
    }
    let alike = |j: &usize| kinds[*j].value() == kinds[i].value() && read[*j].core.is_some();
    let below = (0..i).rev().find(alike).and_then(|j| read[j].core.as_ref().map(|core| (j, core)));
    let above =
        (i + 1..read.len()).find(alike).and_then(|j| read[j].core.as_ref().map(|core| (j, core)));
    match (below, above) {
        (Some((_, low)), Some((_, high))) if same_size(low, high) => Filled::Between(low.clone()),
        (Some((j, low)), Some((k, high))) => {
            let (from, nearer) = if i - j <= k - i { (j, low) } else { (k, high) };
            // The change may lie at any note: in the middle of the gap either size is as likely. What
            // that is off is shared by all notes up to there, so it is taken for all of them.
            let off = (low.read.value - high.read.value).value.abs() / 2.0_f64.sqrt();
            Filled::Between(in_doubt(nearer, off, read[from].note, i > from, chances))
        }
        (Some((from, only)), None) | (None, Some((from, only))) => {
            Filled::Beyond(in_doubt(only, 0.0, read[from].note, i > from, chances))
        }
        (None, None) => Filled::Nowhere,
    }
}

/// Whether two readings are of one size: by number, or within the doubt of the micrometer.
fn same_size(a: &Core, b: &Core) -> bool {
    if let (Some(a), Some(b)) = (a.size, b.size) {
        return a == b;
    }
    let (a, b) = (a.read, b.read);
    let apart = (to_mm(a.value) - to_mm(b.value)).abs();
    apart <= 2.0 * to_mm(a.sd).hypot(to_mm(b.sd)) && apart < to_mm(half_size_at(a.value)) / 2.0
}

/// How far the next half size lies from a wire of `diameter`, by the inch series.
fn half_size_at(diameter: Length) -> Length {
    let apart = |size: WireSize| (to_mm(size.diameter()) - to_mm(diameter)).abs();
    let sizes: Vec<WireSize> = WireSeries::Inch.sizes().collect();
    let nearest = (0..sizes.len()).min_by(|&i, &j| apart(sizes[i]).total_cmp(&apart(sizes[j])));
    let step = nearest.and_then(|i| {
        let next =
            sizes.get(i + 1).or_else(|| i.checked_sub(1).and_then(|below| sizes.get(below)))?;
        Some(mm((to_mm(next.diameter()) - to_mm(sizes[i].diameter())).abs()))
    });
    // A half number is a thousandth of an inch over most of the series.
    step.unwrap_or_else(|| inches(0.001))
}

/// The same wire, doubted by `off` metres (root mean square) and never by less than one half size, and no
/// longer a size that was read. All notes that follow one reading to one side share that doubt.
fn in_doubt(core: &Core, off: f64, from: Note, above: bool, chances: &mut Chances) -> Core {
    let read = core.read.sd.value;
    let doubt = half_size_at(core.read.value).value.max(off).max(read);
    let side = if above { "above" } else { "below" };
    let change = chances.named(format!("change of size {side} {from}"));
    let mut shares = core.shares.clone();
    shares.push(change, (doubt * doubt - read * read).sqrt());
    Core { read: Measured::new(core.read.value, mm(1e3 * doubt)), size: None, shares }
}

/// What is known of a note before its wire.
struct Known {
    kind: Filled<StringKind>,
    count: Filled<u8>,
    length: Filled<length::Believed>,
    over: Option<(Measured<Length>, Shares)>,
}

fn believe(
    instrument: &Instrument,
    section: usize,
    read: &[Read],
    i: usize,
    kinds: &[Filled<StringKind>],
    known: Known,
    chances: &mut Chances,
) -> BelievedNote {
    let here = &read[i];
    let Known { kind, count, length, over } = known;
    let core = core_of(read, kinds, i, chances);
    let (of_length, of_core) = (length.source(), core.source());
    let unknown = BelievedNote {
        note: here.note,
        section,
        source: Source::Unknown,
        strings: count.value(),
        kind: kind.value(),
        string: None,
    };
    let (Some(is), Some((long, long_shares)), Some(wire)) =
        (kind.value(), length.value(), core.value())
    else {
        return unknown;
    };
    if matches!(count, Filled::Differs) {
        return unknown;
    }
    let wound = match is {
        StringKind::Plain => None,
        StringKind::Wound => {
            match wound_string(instrument, read, i, count.value(), over, chances) {
                Some(winding) => Some(winding),
                None => return unknown,
            }
        }
    };
    let Some(shape) = agreed(read, |r| r.shape)[i].value().or(Some(CoreShape::Round)) else {
        return unknown;
    };
    let sources =
        [kind.source(), of_length, of_core, wound.as_ref().map_or(Source::Measured, |w| w.1)];
    let material = here.row.and_then(|row| row.material.clone()).unwrap_or_else(|| {
        neighbour_material(read, i).unwrap_or_else(|| match is {
            StringKind::Plain => Arc::clone(&instrument.wire.plain),
            StringKind::Wound => Arc::clone(&instrument.wire.core),
        })
    });
    let weighed = here.row.and_then(|row| row.mass_per_length);
    BelievedNote {
        source: worst(&sources),
        string: Some(BelievedString {
            length: long,
            core: wire.read,
            size: wire.size,
            shape,
            material,
            winding: wound.map(|w| w.0),
            weighed,
            breaking_load: here.row.and_then(|row| row.breaking_load),
            strike: here.row.and_then(|row| row.strike),
            place: here.row.map(|row| row.place.clone()),
            shares: StringShares {
                length: long_shares,
                core: wire.shares,
                weighed: weighed.map_or_else(Shares::default, |mass| {
                    chances.alone(mass.sd.value, format!("weighed {}", here.note))
                }),
            },
        }),
        ..unknown
    }
}

/// The winding of note `i`, and where it comes from.
fn wound_string(
    instrument: &Instrument,
    read: &[Read],
    i: usize,
    count: Option<u8>,
    over: Option<(Measured<Length>, Shares)>,
    chances: &mut Chances,
) -> Option<(super::BelievedWinding, Source)> {
    if let Some(own) = read[i].row.and_then(|row| winding::of_row(instrument, row, chances)) {
        return Some((own, Source::Measured));
    }
    let alike = wound_alike(read, count);
    let (below, above) = (
        alike.iter().any(|row| row.note < read[i].note),
        alike.iter().any(|row| row.note > read[i].note),
    );
    let source = if below && above { Source::Interpolated } else { Source::Extrapolated };
    winding::by_trend(instrument, read[i].note, over?, &alike, read[i].row, chances)
        .map(|winding| (winding, source))
}

/// The material that the rows on both sides name, when they agree.
fn neighbour_material(read: &[Read], i: usize) -> Option<Arc<super::Material>> {
    if read[i].row.is_some_and(|row| row.core.is_some()) {
        return None;
    }
    let named = |r: &Read| r.row.filter(|row| row.core.is_some()).map(|row| row.material.clone());
    let below = read[..i].iter().rev().find_map(named)?;
    let above = read[i + 1..].iter().find_map(named)?;
    (below == above).then_some(below).flatten()
}

/// The least sure of several sources.
fn worst(sources: &[Source]) -> Source {
    for candidate in [Source::Unknown, Source::Extrapolated, Source::Interpolated] {
        if sources.contains(&candidate) {
            return candidate;
        }
    }
    Source::Measured
}

fn no_length(section: &Section) -> Missing {
    Missing {
        result: "tension_n",
        about: About::Section(section.name.clone()),
        why: sentence![
            "no speaking length was read in the section; read at least its first, middle and last note"
        ],
    }
}

/// Unknown notes in a row, gathered so that one gap gets one warning.
#[derive(Default)]
struct Gap {
    notes: Option<Compass>,
    kind_differs: bool,
    count_differs: bool,
}

impl Gap {
    fn add(&mut self, note: Note, kind_differs: bool, count_differs: bool) {
        let first = self.notes.map_or(note, |notes| notes.first);
        self.notes = Some(Compass { first, last: note });
        self.kind_differs |= kind_differs;
        self.count_differs |= count_differs;
    }

    fn close(&mut self, section: &Section, belief: &mut Belief) {
        let gap = std::mem::take(self);
        let Some(notes) = gap.notes else { return };
        let why = if gap.kind_differs {
            "wound on one side of the gap and plain on the other; say where the winding ends \
             (`wound_to` under the section: its last wound note), or read these notes"
        } else if gap.count_differs {
            "the string counts on the two sides of the gap differ; say where the change lies \
             (under the section, each count with its first note: counts = { 1 = \"A0\", 2 = \"G1\" }), or \
             read these notes"
        } else {
            "no wire was read near enough; read the wire of at least one of them"
        };
        let span = if notes.first == notes.last {
            sentence![notes.first, " is unknown: "]
        } else {
            sentence![notes.first, " to ", notes.last, " are unknown: "]
        };
        let mut text = span;
        text.push(why);
        belief.warnings.push(Warning {
            kind: "unknown_gap",
            about: About::Section(section.name.clone()),
            text,
        });
    }
}
