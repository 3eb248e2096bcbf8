//! A choice by the measure that is used on the piano as found: it is not what the search optimises.

use super::alternative::Known;
use super::choice::Choice;
use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::judgement::breaks::{Graded, grade};
use crate::scale::breaks::{BreakPlace, Jump, Quantity, Series, find, jump};
use crate::scale::{Scale, compute};

/// The strings as they would be, and their breaks.
#[derive(Debug, Clone)]
pub struct Judged {
    /// What would be believed of every string.
    pub belief: Belief,
    /// The strings.
    pub scale: Scale,
    /// Every figure that is followed along the compass, but for the hammers'.
    pub series: Vec<Series>,
    /// The breaks, from the bass.
    pub breaks: Vec<JudgedBreak>,
}

/// A break with every figure that is followed across it.
#[derive(Debug, Clone)]
pub struct JudgedBreak {
    /// Where, and why there.
    pub place: BreakPlace,
    /// Every figure, graded.
    pub figures: Vec<(Jump, Graded)>,
}

impl JudgedBreak {
    /// One figure.
    pub fn figure(&self, quantity: Quantity) -> Option<&(Jump, Graded)> {
        self.figures.iter().find(|(jump, _)| jump.quantity == quantity)
    }
}

/// Strings the piano with `choice`; notes that it leaves out stay as they are.
pub fn judge(known: &Known, choice: &Choice) -> Judged {
    let mut belief = known.belief.clone();
    for entry in &mut belief.notes {
        let (Some(chosen), Some(old)) = (choice.note(entry.note), entry.string.as_ref()) else {
            continue;
        };
        entry.string = Some(chosen.believed(old));
        entry.strings = Some(chosen.strings);
        entry.kind = Some(chosen.kind());
    }
    let instrument = strung_anew(known.instrument, choice);
    let scale = compute(&instrument, &belief);
    let series = Series::of_scale(&instrument, &belief, &scale, known.doubtful);
    let breaks = find(&instrument, &belief, &scale)
        .into_iter()
        .map(|place| {
            let figures = series.iter().map(|one| {
                let jump = jump(&place, one);
                let graded = grade(&jump, known.limits);
                (jump, graded)
            });
            JudgedBreak { figures: figures.collect(), place }
        })
        .collect();
    Judged { belief, scale, series, breaks }
}

/// The readings without those of strings that have come off.
fn strung_anew(instrument: &Instrument, choice: &Choice) -> Instrument {
    let mut instrument = instrument.clone();
    for row in instrument.strings.iter_mut().filter(|row| choice.note(row.note).is_some()) {
        row.replaced = false;
        row.mass_per_length = None;
        row.breaking_load = None;
        row.f1 = None;
        row.inharmonicity = None;
    }
    instrument
}
