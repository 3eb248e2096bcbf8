//! What may be off, thing by thing, and how far each believed figure answers to it.
//!
//! One reading may stand behind many notes: a run's wire, a length that lies between two readings, a
//! tape that is off everywhere. So the doubt of a figure is kept as shares of named, independent
//! chances, each of one standard deviation; what two figures have in common is the chances that both
//! name. The squares of a figure's shares add up to the square of its standard deviation.

use super::super::{Instrument, ReadingError, Tool};
use crate::measure::{Length, Measured, Note};
use crate::stock::WireSize;
use std::collections::BTreeMap;

/// What is off at all notes alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shared {
    /// The tape along the strings.
    Tape,
    /// The micrometer on wire and cores.
    Micrometer,
    /// The micrometer over windings.
    OverWinding,
    /// Bare ends that nobody read: one winder's are alike.
    BareEnds,
    /// How one winder's wire lies on hexagonal cores.
    HexWinding,
}

impl Shared {
    /// How many there are.
    pub const COUNT: usize = 5;
    /// Every one.
    pub const ALL: [Self; Self::COUNT] =
        [Self::Tape, Self::Micrometer, Self::OverWinding, Self::BareEnds, Self::HexWinding];

    fn name(self) -> &'static str {
        match self {
            Self::Tape => "tape",
            Self::Micrometer => "micrometer",
            Self::OverWinding => "micrometer over windings",
            Self::BareEnds => "bare ends",
            Self::HexWinding => "hexagonal windings",
        }
    }
}

impl From<Tool> for Shared {
    fn from(tool: Tool) -> Self {
        match tool {
            Tool::Tape => Self::Tape,
            Tool::Micrometer => Self::Micrometer,
            Tool::OverWinding => Self::OverWinding,
        }
    }
}

/// How far a figure moves with one chance of one standard deviation; in the figure's SI unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Place of the chance in [`Belief::chances`](super::Belief::chances).
    pub chance: usize,
    /// How far the figure moves, with its sign.
    pub moves: f64,
}

/// The doubt of one figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shares(Vec<Share>);

impl Shares {
    /// Each chance and how far the figure moves with it; no chance twice.
    pub fn iter(&self) -> impl Iterator<Item = Share> + '_ {
        self.0.iter().copied()
    }

    /// One standard deviation.
    pub fn sd(&self) -> f64 {
        self.0.iter().map(|share| share.moves.powi(2)).sum::<f64>().sqrt()
    }

    /// What all notes have in common of it, and how far the figure moves with that.
    pub fn shared(&self) -> Option<(Shared, f64)> {
        let share = self.0.iter().find(|share| share.chance < Shared::COUNT)?;
        Some((Shared::ALL[share.chance], share.moves))
    }

    pub(super) fn push(&mut self, chance: usize, moves: f64) {
        if moves != 0.0 {
            self.0.push(Share { chance, moves });
        }
    }

    /// The same without what moves it by less than a ten-thousandth of all.
    #[must_use]
    pub(super) fn without_crumbs(mut self) -> Self {
        let least = 1e-4 * self.sd();
        self.0.retain(|share| share.moves.abs() > least);
        self
    }

    /// The same, moved `factor` times as far.
    #[must_use]
    pub(super) fn times(mut self, factor: f64) -> Self {
        self.0.iter_mut().for_each(|share| share.moves *= factor);
        self
    }
}

/// What does not move the figure is left out.
impl FromIterator<(usize, f64)> for Shares {
    fn from_iter<I: IntoIterator<Item = (usize, f64)>>(shares: I) -> Self {
        let mut all = Self::default();
        shares.into_iter().for_each(|(chance, moves)| all.push(chance, moves));
        all
    }
}

/// The doubts of one string's figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StringShares {
    /// Of the speaking length.
    pub length: Shares,
    /// Of wire or core.
    pub core: Shares,
    /// Of the mass that was weighed.
    pub weighed: Shares,
}

/// The doubts of one winding's figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WindingShares {
    /// Of the diameter over it.
    pub over: Shares,
    /// Of the winding wire.
    pub wire: Shares,
    /// Of the diameter over the inner layer.
    pub under: Shares,
    /// Of the bare end at the hammer; where it is assumed, of its logarithm.
    pub bare_front: Shares,
    /// Of the bare end at the bridge; where it is assumed, of its logarithm.
    pub bare_back: Shares,
}

/// The chances named so far.
#[derive(Debug, Clone)]
pub(super) struct Chances<'a> {
    errors: &'a ReadingError,
    names: Vec<String>,
    places: BTreeMap<String, usize>,
}

impl<'a> Chances<'a> {
    pub fn new(instrument: &'a Instrument) -> Self {
        let names: Vec<String> = Shared::ALL.iter().map(|shared| shared.name().into()).collect();
        let places = names.iter().cloned().zip(0..).collect();
        Self { errors: &instrument.reading_error, names, places }
    }

    /// Their names, each once.
    pub fn names(self) -> Vec<String> {
        self.names
    }

    /// The chance `name`, the same one whenever it is asked for.
    pub fn named(&mut self, name: String) -> usize {
        if let Some(place) = self.places.get(&name) {
            return *place;
        }
        self.places.insert(name.clone(), self.names.len());
        self.names.push(name);
        self.names.len() - 1
    }

    /// What `tool` is off alike at all readings of about `value`, in a reading of `sd`; and the rest.
    pub fn split(&self, tool: Tool, read: Measured<Length>) -> (f64, f64) {
        let sd = read.sd.value;
        let alike = self.errors.shared(tool, read.value).value.min(sd);
        (alike, (sd * sd - alike * alike).max(0.0).sqrt())
    }

    /// The doubt of a length that was read with `tool` at `place`.
    pub fn read(&mut self, tool: Tool, read: Measured<Length>, place: String) -> Shares {
        let (alike, own) = self.split(tool, read);
        let mut shares = Shares::default();
        shares.push(Shared::from(tool) as usize, alike);
        shares.push(self.named(place), own);
        shares
    }

    /// The doubt of something that no tool reads alike at all notes.
    pub fn alone(&mut self, sd: f64, place: String) -> Shares {
        let mut shares = Shares::default();
        shares.push(self.named(place), sd);
        shares
    }

    /// The doubt of a wire that was read, at `place`, with a micrometer or as `size`: wire of one number
    /// comes off one coil, and was put to no micrometer.
    pub fn core(
        &mut self,
        core: Measured<Length>,
        size: Option<WireSize>,
        section: usize,
        place: String,
    ) -> Shares {
        match size.filter(|size| size.diameter() == core.value) {
            Some(size) => {
                self.alone(core.sd.value, format!("wire {} in section {section}", size.described()))
            }
            None => self.read(Tool::Micrometer, core, place),
        }
    }

    /// The doubt of the logarithm of a bare end that nobody read.
    pub fn assumed_end(&mut self, sd: f64, note: Note, end: &str) -> Shares {
        let alike = ReadingError::SHARE_OF_TOOL;
        let mut shares = Shares::default();
        shares.push(Shared::BareEnds as usize, sd * alike);
        let own = self.named(format!("bare {end} {note}"));
        shares.push(own, sd * (1.0 - alike * alike).sqrt());
        shares
    }
}
