//! One section, note by note: what was read, and what fills the gaps.

use super::super::{About, CoreShape, Instrument, Missing, Section, StringRow, Warning, WireRun};
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
    core: Option<(Measured<Length>, Option<WireSize>)>,
    shape: Option<CoreShape>,
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

impl<T: Copy> Filled<T> {
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
pub(super) fn section(instrument: &Instrument, index: usize, belief: &mut Belief) {
    let section = &instrument.sections[index];
    let read: Vec<Read> =
        section.notes.notes().map(|note| Read::of(instrument, section, note)).collect();
    let kinds = kinds(&read);
    let counts = agreed(&read, |r| r.count);
    let lengths = length::lengths(instrument, section.notes);
    if lengths.is_none() {
        belief.missing.push(no_length(section));
    }
    let mut gap = Gap::default();
    for (i, here) in read.iter().enumerate() {
        let length = length_of(&read, i, lengths.as_deref());
        let note = believe(instrument, index, &read, i, &kinds, counts[i], length);
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
    fn of(instrument: &'a Instrument, section: &Section, note: Note) -> Self {
        let row = instrument.string(note);
        let run = instrument.runs.iter().find(|run| run.notes.contains(note));
        let own_core = row.and_then(|row| row.core.map(|core| (core, row.size)));
        Self {
            note,
            row,
            count: row
                .and_then(|row| row.strings)
                .or_else(|| run.and_then(|run| run.strings))
                .or_else(|| count_of(section, note)),
            kind: kind_of(section, note, row),
            core: own_core.or_else(|| run.map(|run: &WireRun| (run.core, run.size))),
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
    curve: Option<&[Measured<Length>]>,
) -> Filled<Measured<Length>> {
    let has = |r: &Read| r.row.and_then(|row| row.length);
    match (has(&read[i]), curve) {
        (Some(length), _) => Filled::Here(length),
        (None, None) => Filled::Nowhere,
        (None, Some(curve)) => {
            let between = read[..i].iter().any(|r| has(r).is_some())
                && read[i + 1..].iter().any(|r| has(r).is_some());
            if between { Filled::Between(curve[i]) } else { Filled::Beyond(curve[i]) }
        }
    }
}

/// The wire of note `i` by the runs on both sides of it among strings of its kind.
fn core_of(read: &[Read], kinds: &[Filled<StringKind>], i: usize) -> Filled<Core> {
    if let Some(core) = read[i].core {
        return Filled::Here(core);
    }
    let alike = |j: &usize| kinds[*j].value() == kinds[i].value() && read[*j].core.is_some();
    let below = (0..i).rev().find(alike).and_then(|j| read[j].core.map(|core| (j, core)));
    let above = (i + 1..read.len()).find(alike).and_then(|j| read[j].core.map(|core| (j, core)));
    match (below, above) {
        (Some((_, low)), Some((_, high))) if same_size(low, high) => Filled::Between(low),
        (Some((j, low)), Some((k, high))) => {
            let nearer = if i - j <= k - i { low } else { high };
            Filled::Between(by_a_half_size(nearer))
        }
        (Some((_, only)), None) | (None, Some((_, only))) => Filled::Beyond(by_a_half_size(only)),
        (None, None) => Filled::Nowhere,
    }
}

type Core = (Measured<Length>, Option<WireSize>);

/// Whether two readings are of one size: by number, or within the doubt of the micrometer.
fn same_size(a: Core, b: Core) -> bool {
    if let (Some(a), Some(b)) = (a.1, b.1) {
        return a == b;
    }
    let apart = (to_mm(a.0.value) - to_mm(b.0.value)).abs();
    apart <= 2.0 * to_mm(a.0.sd).hypot(to_mm(b.0.sd))
        && apart < to_mm(half_size_at(a.0.value)) / 2.0
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

/// The same wire, doubted by one half size, and no longer a size that was read.
fn by_a_half_size(core: Core) -> Core {
    let doubt = half_size_at(core.0.value);
    (Measured::new(core.0.value, doubt), None)
}

fn believe(
    instrument: &Instrument,
    section: usize,
    read: &[Read],
    i: usize,
    kinds: &[Filled<StringKind>],
    count: Filled<u8>,
    length: Filled<Measured<Length>>,
) -> BelievedNote {
    let (here, kind) = (&read[i], kinds[i]);
    let core = core_of(read, kinds, i);
    let unknown = BelievedNote {
        note: here.note,
        section,
        source: Source::Unknown,
        strings: count.value(),
        kind: kind.value(),
        string: None,
    };
    let (Some(is), Some(long), Some((wire, size))) = (kind.value(), length.value(), core.value())
    else {
        return unknown;
    };
    if matches!(count, Filled::Differs) {
        return unknown;
    }
    let wound = match is {
        StringKind::Plain => None,
        StringKind::Wound => match wound_string(instrument, read, i, count.value()) {
            Some(winding) => Some(winding),
            None => return unknown,
        },
    };
    let Some(shape) = agreed(read, |r| r.shape)[i].value().or(Some(CoreShape::Round)) else {
        return unknown;
    };
    let sources = [
        kind.source(),
        length.source(),
        core.source(),
        wound.as_ref().map_or(Source::Measured, |w| w.1),
    ];
    let material = here.row.and_then(|row| row.material.clone()).unwrap_or_else(|| {
        neighbour_material(read, i).unwrap_or_else(|| match is {
            StringKind::Plain => Arc::clone(&instrument.wire.plain),
            StringKind::Wound => Arc::clone(&instrument.wire.core),
        })
    });
    BelievedNote {
        source: worst(&sources),
        string: Some(BelievedString {
            length: long,
            core: wire,
            size,
            shape,
            material,
            winding: wound.map(|w| w.0),
            weighed: here.row.and_then(|row| row.mass_per_length),
            breaking_load: here.row.and_then(|row| row.breaking_load),
            strike: here.row.and_then(|row| row.strike),
            place: here.row.map(|row| row.place.clone()),
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
) -> Option<(super::BelievedWinding, Source)> {
    if let Some(own) = read[i].row.and_then(|row| winding::of_row(instrument, row)) {
        return Some((own, Source::Measured));
    }
    let alike: Vec<&StringRow> = read
        .iter()
        .filter(|r| r.count == count || r.count.is_none())
        .filter_map(|r| r.row.filter(|row| row.over.is_some()))
        .collect();
    let (below, above) = (
        alike.iter().any(|row| row.note < read[i].note),
        alike.iter().any(|row| row.note > read[i].note),
    );
    let source = if below && above { Source::Interpolated } else { Source::Extrapolated };
    winding::by_trend(instrument, read[i].note, &alike, read[i].row)
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
             (`wound_to`), or read these notes"
        } else if gap.count_differs {
            "the string counts on the two sides of the gap differ; say where the change lies \
             (`counts`), or read these notes"
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
