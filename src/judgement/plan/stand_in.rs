//! Usual strings and hammers for the sections of a survey in which nothing was read yet.

use crate::instrument::belief::ALONG_A_BRIDGE;
use crate::instrument::{
    HammerRow, Height, Instrument, Kind, Place, ReadingError, StringRow, Wear, WireRun,
};
use crate::measure::Input;
use crate::measure::{Compass, Length, Measured, Note, degrees, mm, to_mm};
use crate::stock::{Applies, StandIn, stand_in};
use rand_distr::{Distribution, StandardNormal};
use std::collections::BTreeSet;

/// Wire is written down in runs of so many notes.
const RUN: usize = 5;

pub(super) struct StandInPiano<'a> {
    instrument: &'a Instrument,
    /// Factor of each note's length: how its bridge wanders.
    wander: Vec<f64>,
}

impl<'a> StandInPiano<'a> {
    pub fn of(instrument: &'a Instrument) -> Self {
        // The slope of ln L wanders by the belief's own roughness, drawn once and for all.
        let mut stream = Input::new(0, "bridge of a stand-in").draw(0);
        let (mut slope, mut level) = (0.0, 0.0_f64);
        let wander = instrument.compass.notes().map(|_| {
            let step: f64 = StandardNormal.sample(&mut stream);
            slope += ALONG_A_BRIDGE.roughness * step;
            level += slope;
            level
        });
        let mut wander: Vec<f64> = wander.collect();
        // About the usual lengths, not away from them: less its own straight line.
        let last = wander.len().max(2) - 1;
        let total = wander.last().copied().unwrap_or_default();
        for (index, level) in wander.iter_mut().enumerate() {
            *level = (*level - total * index as f64 / last as f64).exp();
        }
        Self { instrument, wander }
    }

    /// Section `index` alone, with the strings of `read` and the wire of all written down.
    pub fn with_strings(&self, index: usize, read: &BTreeSet<Note>) -> Instrument {
        let mut piano = self.section(index);
        let section = &self.instrument.sections[index];
        piano.strings = read.iter().map(|note| self.string(index, *note)).collect();
        let plain = |note: &Note| section.wound_to.is_none_or(|last| *note > last);
        let plain: Vec<Note> = section.notes.notes().filter(plain).collect();
        piano.runs = plain.chunks(RUN).map(|run| self.run(run)).collect();
        piano
    }

    /// Section `index` alone, with the hammers of `read` over all its strings.
    pub fn with_hammers(&self, index: usize, read: &BTreeSet<Note>) -> Instrument {
        let mut piano = self.with_strings(index, read);
        piano.hammers.rows = read.iter().map(|note| self.hammer(*note)).collect();
        piano
    }

    fn section(&self, index: usize) -> Instrument {
        Instrument {
            sections: vec![self.instrument.sections[index].clone()],
            strings: Vec::new(),
            runs: Vec::new(),
            ..self.instrument.clone()
        }
    }

    fn error(&self) -> &ReadingError {
        &self.instrument.reading_error
    }

    fn usual(&self, note: Note) -> StandIn {
        let kind = match self.instrument.kind {
            Kind::Upright => Applies::Upright,
            Kind::Grand => Applies::Grand,
        };
        stand_in(kind, note)
    }

    fn string(&self, index: usize, note: Note) -> StringRow {
        let usual = self.usual(note);
        let at = usize::from(note.key() - self.instrument.compass.first.key());
        let wander = self.wander.get(at).copied().unwrap_or(1.0);
        let length = mm(to_mm(usual.length) * wander);
        let wound = self.instrument.sections[index].wound_to.is_some_and(|last| note <= last);
        let mut row = StringRow::empty(note, Place::default());
        row.strings = Some(if wound { 2 } else { 3 });
        row.length = Some(Measured::new(length, self.error().length.of(length)));
        if wound {
            row.core = Some(Measured::new(usual.core, self.error().core));
            row.over = Some(Measured::new(usual.over, self.error().over));
            let bare = Measured::new(mm(20.0), self.error().length.of(mm(20.0)));
            (row.bare_front, row.bare_back) = (Some(bare), Some(bare));
        }
        row
    }

    fn run(&self, notes: &[Note]) -> WireRun {
        let (first, last) = (notes[0], notes[notes.len() - 1]);
        WireRun {
            notes: Compass { first, last },
            strings: Some(3),
            core: Measured::new(self.usual(first).core, self.error().core),
            size: None,
            place: Place::default(),
        }
    }

    /// A head that stands square to its string, half a millimetre of felt gone.
    fn hammer(&self, note: Note) -> HammerRow {
        let read = |value: f64, sd: Length| Measured::new(mm(value), sd);
        let (centre, bore) = (self.error().centre, self.error().bore);
        let mut row = HammerRow::empty(note, Place::default());
        // Read with the tool's own scatter: heights that lie on a line would be believed too well.
        let mut stream = Input::new(0, "height of a stand-in").draw(u64::from(note.key()));
        let scatter: f64 = StandardNormal.sample(&mut stream);
        let height = 57.0 + scatter * to_mm(centre);
        row.height = Some(Height::ShankParallel { shank_to_string: read(height, centre) });
        row.centre_to_head = Some(read(130.0, centre));
        row.rake = Some(Measured::new(degrees(0.0), ReadingError::usual_rake()));
        row.bore = Some(read(height - 0.5, bore));
        row.wear = Some(Wear::Lost(read(0.5, bore)));
        row
    }
}
