//! Plain wire: what each note takes, which strings share a wire, and the sums by size.
//!
//! One string takes `back + speaking length + front + coils and hole of its pin`. Of notes next to each
//! other on one wire, each two strings in turn are one wire round a hitch pin, whatever note they are of;
//! one left over at the end of such a run has a loop of its own. Each wire adds what a hand holds. The sum
//! by size, with the share for waste, gives metres, mass (metres · density · π/4 · d²) and coils.

use super::allowance::Allowances;
use super::ends::{Ends, ends};
use super::going::Going;
use super::{Make, Stringing, Wire};
use crate::instrument::belief::StringKind;
use crate::instrument::{Instrument, Loop, Material};
use crate::measure::{Length, Mass, MassDensity, Note, mm, to_mm};
use crate::physics::core::Core;
use std::sync::Arc;

/// Plain strings of one note.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is one plain fact of the note")]
pub struct PlainLine {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Strings strung.
    pub strings: u8,
    /// All strings of the note, not single ones.
    pub whole: bool,
    /// Its wire.
    pub wire: Wire,
    /// What the wire is of.
    pub material: Arc<Material>,
    /// Speaking length as believed.
    pub speaking: Length,
    /// The speaking length was not read at this note.
    pub speaking_believed: bool,
    /// Strung otherwise than it was, by choice.
    pub changed: bool,
    /// What lies beyond it.
    pub ends: Ends,
    /// Diameter of the tuning pin that coils are counted on.
    pub pin: Length,
    /// Wire on that pin.
    pub on_pin: Length,
    /// Its first string shares a wire with the last of the note below.
    pub shares_down: bool,
    /// Wires that make two of its strings.
    pub pairs: u8,
    /// Its last string shares a wire with the first of the note above.
    pub shares_up: bool,
    /// Strings with a loop of their own.
    pub own: u8,
}

impl PlainLine {
    /// Wire for one string, without what a hand holds and a loop of its own; `None` where back or
    /// front is not known.
    pub fn one_string(&self) -> Option<Length> {
        Some(self.speaking + self.ends.back.known()? + self.ends.front.known()? + self.on_pin)
    }

    /// The known part of it.
    pub fn at_least(&self) -> Length {
        let part = |part: Option<Length>| part.unwrap_or(mm(0.0));
        let beyond = part(self.ends.back.known()) + part(self.ends.front.known());
        self.speaking + beyond + self.on_pin
    }

    /// Whether back and front are known.
    pub fn is_complete(&self) -> bool {
        self.one_string().is_some()
    }
}

/// Plain wire of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct WireLine {
    /// The wire.
    pub wire: Wire,
    /// What it is of.
    pub material: Arc<Material>,
    /// Notes that take it, as runs from first to last.
    pub runs: Vec<(Note, Note)>,
    /// Strings.
    pub strings: usize,
    /// Wires, of two strings or one.
    pub wires: usize,
    /// Wires of one string with a loop of its own.
    pub own: usize,
    /// Lengths counted, without waste.
    pub net: Length,
    /// To be ordered, waste included.
    pub metres: Length,
    /// Mass of that.
    pub mass: Mass,
    /// Coils of the usual mass.
    pub coils: usize,
    /// Strings of which back or front is not known: the sums are too small by them.
    pub short_of: usize,
}

/// Mass of a `length` of round wire.
///
/// Woodhouse (Euphonics, section 12.2.1, table 1) prints 11.7 g for the three strings of C4, 639 mm of
/// 1.0 mm at 7800 kg/m³:
///
/// ```
/// use feltwire::measure::{kg_per_m3, mm, to_grams};
/// use feltwire::order::strings::wire_mass;
/// let mass = wire_mass(mm(3.0 * 639.0), mm(1.0), kg_per_m3(7800.0));
/// assert!((to_grams(mass) - 11.7).abs() < 0.05);
/// ```
pub fn wire_mass(length: Length, diameter: Length, density: MassDensity) -> Mass {
    Core::Round { diameter }.area() * length * density
}

/// What the plain strings among `going` take.
pub fn plain(
    instrument: &Instrument,
    strung: &[(&Going, &Stringing)],
    pin: impl Fn(usize) -> Length,
    allowances: &Allowances,
) -> Vec<PlainLine> {
    let line = |(going, stringing): &(&Going, &Stringing)| {
        let Make::Plain(wire) = stringing.make else { return None };
        let ends = ends(instrument, going.note, StringKind::Plain);
        let pin = pin(going.section);
        // A wire of two strings is replaced whole.
        let two = !going.whole && ends.hitch == Some(Loop::Double);
        let strings = if two { 2 * going.strings } else { going.strings };
        Some(PlainLine {
            note: going.note,
            section: going.section,
            strings,
            whole: going.whole,
            wire,
            material: Arc::clone(&stringing.material),
            speaking: stringing.length.value,
            speaking_believed: stringing.approximate,
            changed: stringing.changed,
            on_pin: allowances.on_pin(pin, wire.diameter),
            ends,
            pin,
            shares_down: false,
            pairs: 0,
            shares_up: false,
            own: 0,
        })
    };
    let mut lines: Vec<PlainLine> = strung.iter().filter_map(line).collect();
    pair_up(&mut lines);
    lines
}

/// Whether strings of `low` and `high` may be of one wire.
fn joins(low: &PlainLine, high: &PlainLine) -> bool {
    low.whole
        && high.whole
        && low.section == high.section
        && low.note.step(1) == Some(high.note)
        && low.wire == high.wire
        && low.material == high.material
        && [low, high].iter().all(|line| line.ends.hitch == Some(Loop::Double))
}

/// Finds which strings are of one wire.
fn pair_up(lines: &mut [PlainLine]) {
    let mut carried = false;
    for index in 0..lines.len() {
        let joined = lines.get(index + 1).is_some_and(|next| joins(&lines[index], next));
        let line = &mut lines[index];
        line.shares_down = carried;
        let left = line.strings - u8::from(carried);
        if line.ends.hitch == Some(Loop::Double) {
            line.pairs = left / 2;
            let odd = left % 2 == 1;
            line.shares_up = odd && joined;
            line.own = u8::from(odd && !joined);
            carried = line.shares_up;
        } else {
            line.own = left;
            carried = false;
        }
    }
}

/// Wires of one length, as they are cut at the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Note of its first string.
    pub note: Note,
    /// Note of its second string; `None` on a string with a loop of its own.
    pub other: Option<Note>,
    /// How many such wires.
    pub count: u8,
    /// Length of each; `None` where back or front is not known.
    pub length: Option<Length>,
}

/// Every wire of `lines`, by its first string from the bass.
pub fn cuts(lines: &[PlainLine], allowances: &Allowances) -> Vec<Cut> {
    let mut all = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let one = line.one_string();
        let mut add = |other: Option<Note>, count: u8, rest: Option<Length>| {
            if count > 0 {
                let length = one.zip(rest).map(|(one, rest)| one + rest + allowances.handling);
                all.push(Cut { note: line.note, other, count, length });
            }
        };
        add(Some(line.note), line.pairs, one);
        if let Some(next) = lines.get(index + 1).filter(|_| line.shares_up) {
            add(Some(next.note), 1, next.one_string());
        }
        add(None, line.own, Some(allowances.own_loop));
    }
    all
}

/// The sums by size, thickest first.
pub fn by_size(lines: &[PlainLine], allowances: &Allowances) -> Vec<WireLine> {
    let mut sizes: Vec<WireLine> = Vec::new();
    for line in lines {
        let same = |size: &WireLine| size.wire == line.wire && size.material == line.material;
        let at = sizes.iter().position(same).unwrap_or_else(|| {
            sizes.push(empty(line));
            sizes.len() - 1
        });
        add(&mut sizes[at], line, allowances);
    }
    for size in &mut sizes {
        size.metres = size.net * (1.0 + allowances.waste);
        size.mass = wire_mass(size.metres, size.wire.diameter, size.material.density.value);
        size.coils = (size.mass / allowances.coil).value.ceil() as usize;
    }
    let rank = |size: &WireLine| -to_mm(size.wire.diameter);
    sizes.sort_by(|a, b| {
        rank(a).total_cmp(&rank(b)).then_with(|| a.material.name.cmp(&b.material.name))
    });
    sizes
}

fn empty(line: &PlainLine) -> WireLine {
    WireLine {
        wire: line.wire,
        material: Arc::clone(&line.material),
        runs: Vec::new(),
        strings: 0,
        wires: 0,
        own: 0,
        net: mm(0.0),
        metres: mm(0.0),
        mass: crate::measure::grams(0.0),
        coils: 0,
        short_of: 0,
    }
}

fn add(size: &mut WireLine, line: &PlainLine, allowances: &Allowances) {
    // A wire shared with the note below was counted there.
    let wires = line.pairs + u8::from(line.shares_up) + line.own;
    size.strings += usize::from(line.strings);
    size.wires += usize::from(wires);
    size.own += usize::from(line.own);
    size.net += line.at_least() * f64::from(line.strings)
        + allowances.handling * f64::from(wires)
        + allowances.own_loop * f64::from(line.own);
    if !line.is_complete() {
        size.short_of += usize::from(line.strings);
    }
    match size.runs.last_mut() {
        Some((_, last)) if last.step(1) == Some(line.note) => *last = line.note,
        _ => size.runs.push((line.note, line.note)),
    }
}
