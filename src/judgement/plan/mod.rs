//! Which notes to measure, before anything was measured: the fewest that give each figure its target ±.
//!
//! The plan comes from the same model that later judges the readings. Usual strings and hammers stand in
//! for those of the piano ([`stock::stand_in`](crate::stock::stand_in)), with a bridge that wanders as
//! bridges do; `scale` and `action` say how far each figure would be known if only the planned notes were
//! read with the tools of the survey. A note that need not be read is one whose tension (bore) is then known
//! to the limit `plan_tension` (`plan_bore`), or, where the tools give no better, to `plan_reading` times
//! what reading it would give.
//!
//! Section by section: its ends, the notes beside a break or the end of the winding and, of hammers, its
//! middle are read in any case; then the note that is known worst is added until all are known well enough; then every
//! added note that the others make needless is taken out again. What comes is least in the sense that no
//! note of it can be spared. Wire is not planned note by note: it is written down in runs, where it changes.

mod stand_in;

use super::hammers::agreement;
use super::limit::{LimitKey, Limits};
use crate::action;
use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::measure::{Compass, Note, to_mm, to_newtons};
use crate::scale;
use stand_in::StandInPiano;
use std::collections::BTreeSet;

/// How deep a survey goes, by the time it takes at the piano.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// Half an hour, action in: stop or go.
    Look,
    /// An hour and a half: verdicts, load, breaks with a wide ±.
    Decide,
    /// Three to four hours, action out: orders.
    Order,
}

/// How well the figures will be known that were planned for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The note that is known worst.
    pub worst: Note,
    /// One standard deviation of its figure, in the unit of the target.
    pub sd: f64,
    /// What was aimed at.
    pub target: f64,
}

/// What to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How deep.
    pub depth: Depth,
    /// Notes whose strings are measured, from the bass.
    pub strings: Vec<Note>,
    /// Notes whose hammers are measured, from the bass.
    pub hammers: Vec<Note>,
    /// Tension, percent of it.
    pub tension: Option<Known>,
    /// Bore, mm.
    pub bore: Option<Known>,
}

/// The plan for `instrument`, of which kind, compass and sections are known.
pub fn plan(instrument: &Instrument, depth: Depth, limits: &Limits) -> Plan {
    let piano = StandInPiano::of(instrument);
    let mut plan =
        Plan { depth, strings: Vec::new(), hammers: Vec::new(), tension: None, bore: None };
    if depth == Depth::Look {
        plan.strings = look(instrument);
        return plan;
    }
    for index in 0..instrument.sections.len() {
        let search = Search {
            fixed: fixed(instrument, index, depth),
            all: instrument.sections[index].notes,
            target: limits.value(LimitKey::PlanTension),
            slack: limits.value(LimitKey::PlanReading),
            doubts: &|read| tensions(&piano.with_strings(index, read)),
        };
        let (notes, known) = search.run();
        plan.strings.extend(notes);
        plan.tension = worse(plan.tension, known);
    }
    if depth == Depth::Order {
        for index in 0..instrument.sections.len() {
            let search = Search {
                fixed: ends_and_middle(instrument.sections[index].notes),
                all: instrument.sections[index].notes,
                target: limits.value(LimitKey::PlanBore),
                slack: limits.value(LimitKey::PlanReading),
                doubts: &|read| bores(&piano.with_hammers(index, read), limits),
            };
            let (notes, known) = search.run();
            plan.hammers.extend(notes);
            plan.bore = worse(plan.bore, known);
        }
        fill(&mut plan.hammers, instrument, limits.value(LimitKey::HammerSamples) as usize);
    }
    plan
}

/// Length and wire at the top and at the first plain note say what load to expect.
fn look(instrument: &Instrument) -> Vec<Note> {
    let wound = instrument.sections.iter().filter_map(|section| section.wound_to).max();
    let first_plain = wound.and_then(|note| note.step(1)).unwrap_or(instrument.compass.first);
    BTreeSet::from([first_plain, instrument.compass.last]).into_iter().collect()
}

fn ends(notes: Compass) -> BTreeSet<Note> {
    BTreeSet::from([notes.first, notes.last])
}

/// What shows a bend between the ends, whatever the model believes of it.
fn ends_and_middle(notes: Compass) -> BTreeSet<Note> {
    let mut all = ends(notes);
    all.extend(notes.notes().nth(notes.len() / 2));
    all
}

/// Notes of section `index` that are read in any case.
fn fixed(instrument: &Instrument, index: usize, depth: Depth) -> BTreeSet<Note> {
    /// So many either side of a break show what it does against the steps of its own section.
    const BESIDE_A_BREAK: u8 = 3;
    let section = &instrument.sections[index];
    let mut notes = ends(section.notes);
    if index > 0 {
        notes.extend(section.notes.notes().take(usize::from(BESIDE_A_BREAK)));
    }
    if index + 1 < instrument.sections.len() {
        notes.extend(section.notes.notes().rev().take(usize::from(BESIDE_A_BREAK)));
    }
    if let Some(last) = section.wound_to {
        // Lengths often bend or step where the winding ends: it is looked at like a break.
        let reach = i32::from(BESIDE_A_BREAK);
        let beside = 1 - reach..=reach;
        notes.extend(beside.filter_map(|step| last.step(step)));
        if depth == Depth::Order {
            // Wound strings are ordered one by one.
            notes.extend(section.notes.notes().filter(|note| *note <= last));
        }
    }
    notes.retain(|note| section.notes.contains(*note));
    notes
}

fn worse(a: Option<Known>, b: Option<Known>) -> Option<Known> {
    let over = |known: &Known| known.sd / known.target;
    a.into_iter().chain(b).max_by(|a, b| over(a).total_cmp(&over(b)))
}

/// Hammers in the middle of the widest gaps, until there are as many as a maker needs.
fn fill(hammers: &mut Vec<Note>, instrument: &Instrument, least: usize) {
    let mut notes: BTreeSet<Note> = hammers.iter().copied().collect();
    while notes.len() < least.min(instrument.compass.len()) {
        let list: Vec<Note> = notes.iter().copied().collect();
        let widest = list.windows(2).max_by_key(|pair| pair[1].key() - pair[0].key());
        let Some(middle) = widest.and_then(|pair| {
            Note::from_key(pair[0].key().midpoint(pair[1].key()))
                .filter(|note| !notes.contains(note))
        }) else {
            break;
        };
        notes.insert(middle);
    }
    *hammers = notes.into_iter().collect();
}

/// Doubts of one figure, by note.
type Doubts = Vec<(Note, f64)>;

/// The search in one section.
struct Search<'s> {
    fixed: BTreeSet<Note>,
    all: Compass,
    target: f64,
    slack: f64,
    doubts: &'s dyn Fn(&BTreeSet<Note>) -> Doubts,
}

impl Search<'_> {
    fn run(self) -> (BTreeSet<Note>, Option<Known>) {
        let read: Doubts = (self.doubts)(&self.all.notes().collect());
        let goal = |note: Note| {
            let read = read.iter().find(|(other, _)| *other == note).map_or(0.0, |(_, sd)| *sd);
            self.target.max(self.slack * read)
        };
        // The note furthest beyond its goal; a note of which nothing is known is beyond any.
        let worst = |notes: &BTreeSet<Note>| {
            let doubts = (self.doubts)(notes);
            let over = |note: Note| {
                let sd = doubts.iter().find(|(other, _)| *other == note).map(|(_, sd)| *sd);
                (note, sd.unwrap_or(f64::INFINITY), sd.map_or(f64::INFINITY, |sd| sd / goal(note)))
            };
            let open = self.all.notes().filter(|note| !notes.contains(note)).map(over);
            open.max_by(|a, b| a.2.total_cmp(&b.2))
        };
        let mut notes = self.fixed.clone();
        while let Some((note, _, over)) = worst(&notes) {
            if over <= 1.0 {
                break;
            }
            notes.insert(note);
        }
        let added: Vec<Note> = notes.difference(&self.fixed).copied().collect();
        for note in added {
            let mut fewer = notes.clone();
            fewer.remove(&note);
            if worst(&fewer).is_some_and(|(_, _, over)| over <= 1.0) {
                notes = fewer;
            }
        }
        let known = worst(&notes)
            .map(|(worst, sd, _)| Known { worst, sd, target: goal(worst) })
            .filter(|known| known.sd.is_finite());
        (notes, known)
    }
}

/// Percent.
fn tensions(instrument: &Instrument) -> Doubts {
    let scale = scale::compute(instrument, &Belief::of(instrument));
    let doubt = |entry: &scale::NoteStrings| {
        let tension = entry.string.as_ref()?.tension;
        Some((entry.note, 100.0 * to_newtons(tension.sd) / to_newtons(tension.value)))
    };
    scale.notes.iter().filter_map(doubt).collect()
}

/// Millimetres.
fn bores(instrument: &Instrument, limits: &Limits) -> Doubts {
    let scale = scale::compute(instrument, &Belief::of(instrument));
    let action = action::compute(instrument, &scale, &agreement(limits));
    let doubt =
        |entry: &action::NoteHammer| entry.bore.map(|bore| (entry.note, to_mm(bore.square.sd)));
    action.notes.iter().filter_map(doubt).collect()
}
