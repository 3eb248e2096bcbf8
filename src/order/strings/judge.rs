//! A choice by the measure that is used on the piano as found: it is not what the search optimises.

use super::alternative::Known;
use super::choice::Choice;
use crate::instrument::Instrument;
use crate::instrument::belief::{Belief, StringKind};
use crate::judgement::breaks::{Grade, Graded, grade};
use crate::judgement::{by_ear as rules_by_ear, load_limits};
use crate::measure::Note;
use crate::scale::breaks::{
    BreakPlace, Figures, Jump, Outcome, Quantity, Reason, Series, find, jump, roughness,
};
use crate::scale::tuning::{self, ByEar, by_ear};
use crate::scale::{Scale, compute, pull};
use crate::stock::StrengthSeries;

/// The strings as they are or would be, and their breaks.
#[derive(Debug, Clone)]
pub struct Judged {
    /// What is, or would be, believed of every string.
    pub belief: Belief,
    /// The strings.
    pub scale: Scale,
    /// Every figure that is followed along the compass, but for the hammers'.
    pub series: Vec<Series>,
    /// The breaks, from the bass.
    pub breaks: Vec<JudgedBreak>,
    /// Notes outside a limit of load.
    pub outside: Vec<Note>,
}

/// A break with every figure that is followed across it.
#[derive(Debug, Clone)]
pub struct JudgedBreak {
    /// Where, and why there.
    pub place: BreakPlace,
    /// Every figure, graded.
    pub figures: Vec<(Jump, Graded)>,
    /// What the tuner will hear there; `None` where it was not asked for.
    pub by_ear: Option<ByEar>,
}

impl JudgedBreak {
    /// One figure.
    pub fn figure(&self, quantity: Quantity) -> Option<&(Jump, Graded)> {
        self.figures.iter().find(|(jump, _)| jump.quantity == quantity)
    }

    /// The step of one figure; `None` with too few notes.
    pub fn step(&self, quantity: Quantity) -> Option<&Figures> {
        match &self.figure(quantity)?.0.outcome {
            Outcome::Figures(figures) => Some(figures),
            Outcome::TooFew(_) => None,
        }
    }

    /// Whether any figure is surely, or more likely than not, beyond its limit, or not settled.
    pub fn is_not_smooth(&self) -> bool {
        let not_smooth = [Grade::Rough, Grade::Noticeable, Grade::NotSettled];
        self.figures.iter().any(|(_, graded)| not_smooth.contains(&graded.grade))
    }
}

impl Judged {
    /// Where wound strings end and plain wire begins: the lowest such place.
    pub fn wound_to_plain(&self) -> Option<&JudgedBreak> {
        self.breaks
            .iter()
            .find(|one| one.place.reasons().any(|reason| *reason == Reason::WoundToPlain))
    }

    /// Scatter of one note about a smooth course, over all runs; as a logarithm.
    pub fn scatter(&self, known: &Known, quantity: Quantity) -> Option<f64> {
        let places: Vec<BreakPlace> = self.breaks.iter().map(|one| one.place.clone()).collect();
        let series = self.series.iter().find(|series| series.quantity() == quantity)?;
        let runs = roughness(known.instrument.compass, &places, series);
        let notes: usize = runs.iter().map(|run| run.notes).sum();
        let squares: f64 = runs.iter().map(|run| run.notes as f64 * run.scatter.powi(2)).sum();
        (notes > 0).then(|| (squares / notes as f64).sqrt())
    }
}

/// The piano as found, by the same measure.
pub(super) fn as_found(known: &Known) -> Judged {
    measure(known, known.instrument, known.belief.clone(), known.scale.clone(), true)
}

/// Strings the piano with `choice`; notes that it leaves out stay as they are.
pub fn judge(known: &Known, choice: &Choice) -> Judged {
    judged(known, choice, true)
}

/// The same, and with what the tuner will hear only where `heard`.
pub(super) fn judged(known: &Known, choice: &Choice, heard: bool) -> Judged {
    let new = |note: Note| choice.note(note).filter(|chosen| !chosen.stays);
    let mut belief = known.belief.clone();
    for entry in &mut belief.notes {
        let (Some(chosen), Some(old)) = (new(entry.note), entry.string.as_ref()) else {
            continue;
        };
        entry.string = Some(chosen.believed(old));
        entry.strings = Some(chosen.strings);
        entry.kind = Some(chosen.kind());
    }
    let instrument = strung_anew(known.instrument, |note| new(note).is_some());
    let mut scale = compute(&instrument, &belief);
    // What stays is of its own wire, of whatever strength that is.
    for entry in scale.notes.iter_mut().filter(|entry| new(entry.note).is_none()) {
        if let Some(old) = known.scale.note(entry.note) {
            *entry = old.clone();
        }
    }
    scale.totals = pull(&scale.notes, |_| 1.0);
    measure(known, &instrument, belief, scale, heard)
}

fn measure(
    known: &Known,
    instrument: &Instrument,
    belief: Belief,
    scale: Scale,
    heard: bool,
) -> Judged {
    let doubtful: Vec<Note> = known.off.iter().map(|off| off.note).collect();
    let series = Series::of_scale(instrument, &belief, &scale, &doubtful);
    let places = find(instrument, &belief, &scale);
    let rules = rules_by_ear::rules(known.limits);
    let tuning =
        heard.then(|| tuning::compute(instrument, &belief, &scale, &places, &doubtful, &rules));
    let breaks = places
        .into_iter()
        .map(|place| {
            let figures = series.iter().map(|one| {
                let jump = jump(&place, one);
                let graded = grade(&jump, known.limits);
                (jump, graded)
            });
            JudgedBreak {
                figures: figures.collect(),
                by_ear: tuning.as_ref().map(|tuning| by_ear(tuning, &scale, &place, &rules)),
                place,
            }
        })
        .collect();
    let outside = outside(known, &scale);
    Judged { belief, scale, series, breaks, outside }
}

/// Notes whose load is outside the limits for their kind.
fn outside(known: &Known, scale: &Scale) -> Vec<Note> {
    let is_outside = |kind: Option<StringKind>, note: Note, load: f64| {
        let (low, high) = load_limits(note, kind, known.limits);
        !(low..=high).contains(&(100.0 * load))
    };
    scale
        .notes
        .iter()
        .filter(|entry| {
            let load = entry.string.as_ref().and_then(|string| string.load);
            load.is_some_and(|load| is_outside(entry.kind, entry.note, load.value))
        })
        .map(|entry| entry.note)
        .collect()
}

/// The readings without those of strings that come off; new wire is held to a series of new wire.
pub(super) fn strung_anew(instrument: &Instrument, comes_off: impl Fn(Note) -> bool) -> Instrument {
    let mut instrument = instrument.clone();
    if let StrengthSeries::Historical(_) = instrument.wire.strength {
        instrument.wire.strength = StrengthSeries::default();
    }
    for row in instrument.strings.iter_mut().filter(|row| comes_off(row.note)) {
        row.replaced = false;
        row.mass_per_length = None;
        row.breaking_load = None;
        row.f1 = None;
        row.inharmonicity = None;
    }
    instrument
}
