//! One figure along the compass, in the logarithm, with what the readings leave open.
//!
//! A reading is off for two reasons: scatter, new at every note, and what the tool does to all notes
//! alike (a micrometer that reads high does so everywhere). The first averages out along a line; of
//! the second only the part that the two sides of a break do not share is left in a step. So each point
//! carries both: its scatter, and by how much each [`Bias`] of one standard deviation moves it.
//!
//! Sensitivities (logarithm of the figure by the logarithm of length L and by the sizes core d and
//! over D), with m the share of the winding in the mass per length:
//! `T = 4 L² f² mu`, `mu_winding` as `D² - d²`, stress `T/d²`, `B` as `d⁴/(T L²)`, drift `1/stress`,
//! impedance `sqrt(T mu)`. For errors only: stiffness and bare ends are left out here.

use super::{Per, Quantity};
use crate::instrument::belief::{Belief, BelievedNote, Source};
use crate::instrument::{CoreShape, Instrument, ReadingError, Tool};
use crate::measure::{Length, Measured, Note, to_metres};
use crate::physics::core::Core;
use crate::scale::{NoteStrings, Scale, StringFigures};

/// What is off at all notes alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bias {
    /// The tape along the strings.
    Tape,
    /// The micrometer on plain wire and cores.
    Micrometer,
    /// The micrometer over windings.
    OverWinding,
    /// The density of the winding's metal.
    WindingMetal,
    /// The scale on which hammers are weighed.
    Scale,
    /// The readings of the strike point.
    StrikePoint,
    /// Bare ends that nobody read: one winder's are alike.
    BareEnds,
}

impl Bias {
    /// How many there are.
    pub const COUNT: usize = 7;
    /// Part of a tool's stated error, as a standard deviation, that it makes at every reading alike,
    /// where the survey does not part the two; the rest is scatter.
    pub const SHARE_OF_TOOL: f64 = ReadingError::SHARE_OF_TOOL;

    /// Parts a stated error into scatter and bias.
    pub fn part(error: f64) -> (f64, f64) {
        (error * (1.0 - Self::SHARE_OF_TOOL.powi(2)).sqrt(), error * Self::SHARE_OF_TOOL)
    }
}

/// One note's figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The note.
    pub note: Note,
    /// Natural logarithm of the figure.
    pub ln_value: f64,
    /// Scatter of the reading, in the logarithm (one standard deviation).
    pub sd: f64,
    /// By how much one standard deviation of each [`Bias`] moves it.
    pub shared: [f64; Bias::COUNT],
}

impl Point {
    /// A figure with its scatter, moved by no bias; `None` unless it is positive and finite.
    pub fn new(note: Note, value: f64, relative_sd: f64) -> Option<Self> {
        let ln_value = value.ln();
        let fine = ln_value.is_finite() && relative_sd.is_finite() && relative_sd >= 0.0;
        fine.then_some(Self { note, ln_value, sd: relative_sd, shared: [0.0; Bias::COUNT] })
    }

    /// The same, off by a tool whose stated error moves the logarithm of the figure by `effect`.
    #[must_use]
    pub fn read_with(mut self, bias: Bias, effect: f64) -> Self {
        let (scatter, shared) = Bias::part(effect);
        if effect.is_finite() {
            self.sd = self.sd.hypot(scatter);
            self.shared[bias as usize] += shared;
        }
        self
    }

    /// The same, off by `effect`, of which one standard deviation holds `share` in common.
    #[must_use]
    fn parted(mut self, bias: Bias, effect: f64, share: f64) -> Self {
        if effect.is_finite() {
            self.sd = self.sd.hypot(effect * (1.0 - share * share).max(0.0).sqrt());
            self.shared[bias as usize] += effect * share;
        }
        self
    }

    /// The same, moved by a bias alone.
    #[must_use]
    pub fn moved_by(mut self, bias: Bias, effect: f64) -> Self {
        if effect.is_finite() {
            self.shared[bias as usize] += effect;
        }
        self
    }

    /// Its place, in keys.
    pub(super) fn key(&self) -> f64 {
        f64::from(self.note.key())
    }
}

/// One figure along the compass: measured notes only, sorted, at most one point a note.
///
/// Notes that were interpolated carry no reading of their own (what fills them was drawn from the
/// very trend that a step is measured against) and stay out; so do unknown notes, strings that are
/// not of the set, and notes whose readings are in doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    quantity: Quantity,
    points: Vec<Point>,
}

impl Series {
    /// A series of `quantity` through `points`, in any order; of two at one note the first stays.
    pub fn new(quantity: Quantity, mut points: Vec<Point>) -> Self {
        points.retain(|p| p.ln_value.is_finite() && p.sd.is_finite());
        points.sort_by_key(|p| p.note);
        points.dedup_by_key(|p| p.note);
        Self { quantity, points }
    }

    /// What it is a series of.
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// Per string or per unison.
    pub fn per(&self) -> Per {
        self.quantity.per()
    }

    /// Its points, from the bass.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The points between two notes, both included.
    pub fn between(&self, first: Note, last: Note) -> &[Point] {
        let from = self.points.partition_point(|p| p.note < first);
        let to = self.points.partition_point(|p| p.note <= last);
        &self.points[from.min(to)..to]
    }

    /// Every series that follows from the strings alone (all quantities but the mass ratio), without
    /// the notes of `leave_out`.
    pub fn of_scale(
        instrument: &Instrument,
        belief: &Belief,
        scale: &Scale,
        leave_out: &[Note],
    ) -> Vec<Self> {
        let notes: Vec<Sensitive> = scale
            .notes
            .iter()
            .filter(|entry| !leave_out.contains(&entry.note))
            .filter_map(|entry| Sensitive::of(instrument, belief, entry))
            .collect();
        Quantity::ALL
            .into_iter()
            .filter(|quantity| *quantity != Quantity::MassRatio)
            .map(|quantity| {
                let points = notes.iter().filter_map(|note| note.point(quantity)).collect();
                Self::new(quantity, points)
            })
            .collect()
    }
}

/// Derivatives of the logarithm of a figure: by ln L, by core and over (1/m), by ln(winding density).
#[derive(Debug, Clone, Copy, Default)]
struct Slopes {
    length: f64,
    core: f64,
    over: f64,
    winding: f64,
}

impl Slopes {
    fn plus(self, times: f64, other: Self) -> Self {
        Self {
            length: self.length + times * other.length,
            core: self.core + times * other.core,
            over: self.over + times * other.over,
            winding: self.winding + times * other.winding,
        }
    }
}

/// A note with what its figures hang on.
struct Sensitive<'a> {
    errors: ReadingError,
    note: Note,
    measured: bool,
    count: Option<u8>,
    figures: &'a StringFigures,
    /// Of ln mu; its own scatter where the string was weighed.
    mass: Slopes,
    weighed: f64,
    winding_metal: f64,
    strike: Option<Measured<Length>>,
}

impl<'a> Sensitive<'a> {
    fn of(instrument: &Instrument, belief: &Belief, entry: &'a NoteStrings) -> Option<Self> {
        let figures = entry.string.as_ref()?;
        let row = instrument.string(entry.note);
        if row.is_some_and(|row| row.replaced) || entry.source == Source::Unknown {
            return None;
        }
        let believed = belief.notes.iter().find(|note| note.note == entry.note)?;
        let weighed = row.and_then(|row| row.mass_per_length).map(relative);
        let winding_metal = believed
            .string
            .as_ref()
            .and_then(|string| string.winding.as_ref())
            .map_or(0.0, |winding| relative(winding.material.density));
        Some(Self {
            errors: instrument.reading_error,
            note: entry.note,
            measured: entry.source == Source::Measured,
            count: entry.strings,
            figures,
            mass: if weighed.is_some() { Slopes::default() } else { mass(believed, figures) },
            weighed: weighed.unwrap_or(0.0),
            winding_metal,
            strike: row.and_then(|row| row.strike),
        })
    }

    fn point(&self, quantity: Quantity) -> Option<Point> {
        let figures = self.figures;
        // A strike point is a reading of its own: it counts wherever it was read.
        if !self.measured && quantity != Quantity::StrikeFraction {
            return None;
        }
        let value = match quantity {
            Quantity::Tension => figures.tension.value.value,
            Quantity::Stress => figures.stress.value.value,
            Quantity::Inharmonicity => figures.inharmonicity.value.0,
            Quantity::Load => figures.load?.value,
            Quantity::Drift => figures.drift,
            Quantity::Impedance => figures.impedance.value * f64::from(self.count?),
            Quantity::StrikeFraction => {
                to_metres(self.strike?.value) / to_metres(figures.length.value)
            }
            Quantity::MassRatio => return None,
        };
        let slopes = self.slopes(quantity);
        let own = if quantity == Quantity::StrikeFraction { 0.0 } else { self.weighed };
        let point = Point::new(self.note, value, own)?
            .parted(
                Bias::Tape,
                slopes.length * relative(figures.length),
                self.share(Tool::Tape, figures.length),
            )
            .parted(
                Bias::Micrometer,
                slopes.core * to_metres(figures.core.sd),
                self.share(Tool::Micrometer, figures.core),
            )
            .moved_by(Bias::WindingMetal, slopes.winding * self.winding_metal);
        Some(match (quantity, figures.over, self.strike) {
            (Quantity::StrikeFraction, _, Some(strike)) => {
                point.read_with(Bias::StrikePoint, relative(strike))
            }
            (Quantity::Inharmonicity, Some(over), _) => point
                .parted(
                    Bias::OverWinding,
                    slopes.over * to_metres(over.sd),
                    self.share(Tool::OverWinding, over),
                )
                .read_with(Bias::BareEnds, self.ends(value)),
            (_, Some(over), _) => point.parted(
                Bias::OverWinding,
                slopes.over * to_metres(over.sd),
                self.share(Tool::OverWinding, over),
            ),
            _ => point,
        })
    }

    /// Of the error of a reading, the share that its tool makes at all notes alike.
    fn share(&self, tool: Tool, read: Measured<Length>) -> f64 {
        let sd = to_metres(read.sd);
        if sd > 0.0 { (to_metres(self.errors.shared(tool, read.value)) / sd).min(1.0) } else { 0.0 }
    }

    /// How much bare ends that nobody read leave open of ln B.
    fn ends(&self, b: f64) -> f64 {
        if self.figures.bare_ends_assumed { self.figures.inharmonicity.sd / b } else { 0.0 }
    }

    fn slopes(&self, quantity: Quantity) -> Slopes {
        let along = Slopes { length: 1.0, ..Slopes::default() };
        let core = 1.0 / to_metres(self.figures.core.value);
        let size = Slopes { core, ..Slopes::default() };
        let tension = self.mass.plus(2.0, along);
        let stress = tension.plus(-2.0, size);
        match quantity {
            Quantity::Tension => tension,
            Quantity::Stress | Quantity::Load => stress,
            Quantity::Drift => Slopes::default().plus(-1.0, stress),
            Quantity::Inharmonicity => {
                Slopes::default().plus(4.0, size).plus(-1.0, tension).plus(-2.0, along)
            }
            Quantity::Impedance | Quantity::MassRatio => self.mass.plus(1.0, along),
            Quantity::StrikeFraction => Slopes::default().plus(-1.0, along),
        }
    }
}

/// Slopes of ln mu.
fn mass(believed: &BelievedNote, figures: &StringFigures) -> Slopes {
    let size = to_metres(figures.core.value);
    let plain = Slopes { core: 2.0 / size, ..Slopes::default() };
    let Some(string) = believed.string.as_ref() else { return plain };
    let Some(over) = figures.over else { return plain };
    let core = match string.shape {
        CoreShape::Round => Core::Round { diameter: figures.core.value },
        CoreShape::Hex => Core::Hex { across_flats: figures.core.value },
    };
    let bare = (core.area() * string.material.density.value).value;
    let share = 1.0 - bare / figures.mass_per_length.value.value;
    let (under, over) = (to_metres(core.across_corners()), to_metres(over.value));
    let gap = over * over - under * under;
    Slopes {
        length: 0.0,
        core: (1.0 - share) * 2.0 / size - share * 2.0 * under * under / (size * gap),
        over: share * 2.0 * over / gap,
        winding: share,
    }
}

fn relative<Q>(figure: Measured<Q>) -> f64
where
    Q: std::ops::Div<Q> + Copy,
    <Q as std::ops::Div<Q>>::Output: Into<f64>,
{
    (figure.sd / figure.value).into()
}
