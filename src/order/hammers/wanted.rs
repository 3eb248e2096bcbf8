//! What was ordered of every head, as figures to hold an arrived one against, and what each would be under the
//! mistakes that makers make.

use super::{Asked, HammerOrder, HeadSizes, NoteOrder};
use crate::instrument::{HammerRow, Instrument};
use crate::judgement::received::{Cause, Quantity, Target, Wanted};
use crate::measure::{Length, Measured, Note, degrees, to_degrees, to_grams, to_mm};
use crate::physics::hammer::sideways::face_angles;

/// Place along the keys, value, doubt.
type Known = (f64, f64, f64);

/// One entry for each head ordered, spares aside.
pub fn wanted(instrument: &Instrument, order: &HammerOrder) -> Vec<Wanted> {
    order
        .notes
        .iter()
        .map(|entry| Wanted {
            note: entry.note,
            section: entry.section,
            targets: Of { instrument, order, entry }.targets(),
        })
        .collect()
}

/// One head of an order.
struct Of<'a> {
    instrument: &'a Instrument,
    order: &'a HammerOrder,
    entry: &'a NoteOrder,
}

/// What a quantity of one entry of the order is, where a figure stands there.
type Read = fn(&NoteOrder) -> Option<f64>;

/// A size of the heads sampled.
type Size = fn(&HeadSizes) -> &Asked<Measured<Length>>;

fn bore(entry: &NoteOrder) -> Option<f64> {
    entry.bore.value().map(|bore| to_mm(bore.value))
}

#[expect(
    clippy::unnecessary_wraps,
    reason = "one of those of which a figure may not stand in the order"
)]
fn rake(entry: &NoteOrder) -> Option<f64> {
    Some(to_degrees(entry.rake))
}

fn side(entry: &NoteOrder) -> Option<f64> {
    entry.side.value().map(|side| to_degrees(side.value))
}

fn mass(entry: &NoteOrder) -> Option<f64> {
    entry.mass.value().map(|mass| to_grams(mass.value))
}

impl Of<'_> {
    fn targets(&self) -> Vec<Target> {
        let ordered = [
            self.exact(Quantity::Bore, bore, self.bores()),
            self.exact(Quantity::Rake, rake, self.leaning(rake, None)),
            self.exact(Quantity::SideAngle, side, self.leaning(side, self.full_splay())),
            self.exact(Quantity::Mass, mass, self.displaced(mass)),
        ];
        let sizes: [(Quantity, Size); 3] = [
            (Quantity::Width, |sizes| &sizes.width),
            (Quantity::Tail, |sizes| &sizes.tail),
            (Quantity::Moulding, |sizes| &sizes.moulding),
        ];
        let sizes = sizes.into_iter().map(|(quantity, of)| self.size(quantity, of));
        let others = [self.height(), self.hole()];
        ordered.into_iter().chain(sizes).chain(others).flatten().collect()
    }

    /// Bore and tail together, as the order adds them up; the bore is as ordered, the tail is the sample's.
    fn height(&self) -> Option<Target> {
        let tail = self.size(Quantity::Tail, |sizes| &sizes.tail)?;
        let value = bore(self.entry)? + tail.value;
        Some(Target { quantity: Quantity::Height, value, ..tail })
    }

    /// A figure of the order's own table.
    fn exact(&self, quantity: Quantity, of: Read, otherwise: Vec<(Cause, f64)>) -> Option<Target> {
        Some(Target { quantity, value: of(self.entry)?, doubt: 0.0, otherwise })
    }

    /// A size read at samples of the section; it runs evenly between them and is not known beyond.
    fn size(&self, quantity: Quantity, of: Size) -> Option<Target> {
        let sizes = self.order.head.sizes.iter();
        let known = sizes.filter(|sizes| self.same_section(sizes.note)).filter_map(|sizes| {
            let size = of(sizes).value()?;
            Some((key(sizes.note), to_mm(size.value), to_mm(size.sd)))
        });
        let (value, doubt) = between(&known.collect::<Vec<_>>(), key(self.entry.note))?;
        let otherwise = Vec::new();
        Some(Target { quantity, value, doubt, otherwise })
    }

    fn hole(&self) -> Option<Target> {
        let hole = &self.order.head.hole;
        let (least, most) = hole.hole.value()?;
        let shanks: Vec<f64> = hole.shanks.iter().map(|(_, shank)| to_mm(shank.value)).collect();
        let count = shanks.len().max(1) as f64;
        let mean = shanks.iter().sum::<f64>() / count;
        let spread = shanks.iter().map(|shank| (shank - mean).powi(2)).sum::<f64>() / count;
        Some(Target {
            quantity: Quantity::Hole,
            value: f64::midpoint(to_mm(*least), to_mm(*most)),
            doubt: spread.sqrt(),
            otherwise: Vec::new(),
        })
    }

    fn same_section(&self, note: Note) -> bool {
        self.instrument.section_of(note) == Some(self.entry.section)
    }

    fn bores(&self) -> Vec<(Cause, f64)> {
        let mut otherwise = Vec::new();
        let allowance = to_mm(self.order.allowance);
        if let Some(bore) = bore(self.entry).filter(|_| allowance > 0.0) {
            otherwise.push((Cause::AllowanceLeftOut, bore - allowance));
            otherwise.push((Cause::AllowanceTwice, bore + allowance));
        }
        let samples = self.order.samples.enclosed.iter().map(|sample| &sample.read);
        if let Some((worn, _)) =
            self.along_rows(samples, |row| row.bore.map(|bore| to_mm(bore.value)))
        {
            otherwise.push((Cause::CopiedFromSamples, worn));
        }
        otherwise.extend(self.displaced(bore));
        otherwise
    }

    /// What the figure would be leaning the other way, not at all, or as `more`.
    fn leaning(&self, of: Read, more: Option<(Cause, f64)>) -> Vec<(Cause, f64)> {
        let own = of(self.entry).into_iter();
        own.flat_map(|angle| [(Cause::Mirrored, -angle), (Cause::Square, 0.0)])
            .chain(more)
            .chain(self.displaced(of))
            .collect()
    }

    fn full_splay(&self) -> Option<(Cause, f64)> {
        let rows = self.instrument.hammers.rows.iter();
        let splay = |row: &HammerRow| row.splay.map(|splay| to_degrees(splay.value));
        let (splay, _) = self.along_rows(rows, splay)?;
        let face = face_angles(degrees(splay), self.entry.rake).ok()?;
        Some((Cause::FullSplay, to_degrees(face.side)))
    }

    /// What is ordered elsewhere: for the section from its other end, and for each other section at the place as
    /// far along it.
    fn displaced(&self, of: Read) -> Vec<(Cause, f64)> {
        let sections = 0..self.order.sections.len();
        let notes = |section: usize| -> Vec<&NoteOrder> {
            self.order.notes.iter().filter(|entry| entry.section == section).collect()
        };
        let own = notes(self.entry.section);
        let Some(at) = own.iter().position(|entry| entry.note == self.entry.note) else {
            return Vec::new();
        };
        let share = at as f64 / (own.len().max(2) - 1) as f64;
        let mirrored = own.get(own.len() - 1 - at).and_then(|entry| of(entry));
        let others = sections.filter(|section| *section != self.entry.section);
        let elsewhere = others.filter_map(|section| {
            let known = notes(section);
            let place = share * (known.len().max(1) - 1) as f64;
            let figures: Option<Vec<Known>> = known
                .iter()
                .enumerate()
                .map(|(index, entry)| Some((index as f64, of(entry)?, 0.0)))
                .collect();
            let (value, _) = between(&figures?, place)?;
            Some((Cause::OtherSection(section), value))
        });
        mirrored.map(|value| (Cause::WrongEnd, value)).into_iter().chain(elsewhere).collect()
    }

    /// What was read of the section's rows, at this note; beyond the outermost row, as there.
    fn along_rows<'r>(
        &self,
        rows: impl Iterator<Item = &'r HammerRow>,
        of: impl Fn(&HammerRow) -> Option<f64>,
    ) -> Option<(f64, f64)> {
        let known: Vec<Known> = rows
            .filter(|row| self.same_section(row.note))
            .filter_map(|row| Some((key(row.note), of(row)?, 0.0)))
            .collect();
        let (first, last) = (known.first()?.0, known.last()?.0);
        between(&known, key(self.entry.note).clamp(first, last))
    }
}

fn key(note: Note) -> f64 {
    f64::from(note.key())
}

/// Straight between the two neighbours of `at` in `known`, which runs along the keys; nothing beyond its ends.
fn between(known: &[Known], at: f64) -> Option<(f64, f64)> {
    let right = known.iter().position(|(place, ..)| *place >= at)?;
    let (place, value, doubt) = known[right];
    let Some(left) = right.checked_sub(1).filter(|_| place > at) else {
        return (place <= at).then_some((value, doubt));
    };
    let (from, first, of_first) = known[left];
    let share = (at - from) / (place - from);
    Some((first + share * (value - first), of_first.max(doubt)))
}
