//! Every break with every figure that is followed across it, measured and graded.

use crate::action::Action;
use crate::instrument::belief::Belief;
use crate::instrument::{Heard, Instrument};
use crate::judgement::BreakGrades;
use crate::judgement::breaks::{Graded, grade};
use crate::judgement::limit::Limits;
use crate::measure::Note;
use crate::scale::breaks::{
    BreakPlace, HalfSizes, Jump, OffTrend, Outcome, Point, Quantity, Series, half_sizes, jump,
};
use crate::scale::{Scale, Source};

/// One break or break zone.
#[derive(Debug, Clone)]
pub struct BreakReport {
    /// Where, and why there.
    pub place: BreakPlace,
    /// Every figure, in the order of [`Quantity::ALL`].
    pub figures: Vec<(Jump, Graded)>,
    /// The step of tension in sizes of wire.
    pub half_sizes: Option<HalfSizes>,
    /// What was heard there.
    pub heard: Option<Heard>,
}

impl BreakReport {
    /// Its grades alone, for the judgement.
    pub(super) fn grades(&self) -> BreakGrades {
        BreakGrades {
            below: self.place.below,
            above: self.place.above,
            grades: self.figures.iter().map(|(_, graded)| graded.clone()).collect(),
        }
    }

    /// One figure.
    pub fn figure(&self, quantity: Quantity) -> Option<&(Jump, Graded)> {
        self.figures.iter().find(|(jump, _)| jump.quantity == quantity)
    }
}

/// Every break of the piano, from the bass. Readings that stand out are left out of the trends.
pub(super) fn all(
    instrument: &Instrument,
    belief: &Belief,
    scale: &Scale,
    action: &Action,
    places: Vec<BreakPlace>,
    off: &[OffTrend],
    limits: &Limits,
) -> Vec<BreakReport> {
    let leave_out: Vec<Note> = off.iter().map(|off| off.note).collect();
    let mut series = Series::of_scale(instrument, belief, scale, &leave_out);
    series.push(mass_ratio(scale, action, &leave_out));
    series.sort_by_key(|one| Quantity::ALL.iter().position(|q| *q == one.quantity()));
    places
        .into_iter()
        .map(|place| {
            let figures: Vec<(Jump, Graded)> = series
                .iter()
                .map(|one| {
                    let jump = jump(&place, one);
                    let graded = grade(&jump, limits);
                    (jump, graded)
                })
                .collect();
            BreakReport {
                half_sizes: half_sizes_at(instrument, scale, &place, &figures),
                heard: heard(instrument, &place),
                figures,
                place,
            }
        })
        .collect()
}

/// The step of tension in half sizes, where both tension and stress have a figure.
fn half_sizes_at(
    instrument: &Instrument,
    scale: &Scale,
    place: &BreakPlace,
    figures: &[(Jump, Graded)],
) -> Option<HalfSizes> {
    let of = |quantity| {
        let (jump, _) = figures.iter().find(|(jump, _)| jump.quantity == quantity)?;
        match &jump.outcome {
            Outcome::Figures(figures) => Some(figures.as_ref()),
            Outcome::TooFew(_) => None,
        }
    };
    half_sizes(instrument, scale, place, of(Quantity::Tension)?, of(Quantity::Stress)?)
}

/// Hammer mass over string mass, as the heads are ordered, where the strings were measured: what is
/// filled in between readings carries no reading of its own.
fn mass_ratio(scale: &Scale, action: &Action, leave_out: &[Note]) -> Series {
    let measured = |note: Note| scale.note(note).is_some_and(|n| n.source == Source::Measured);
    let points = action
        .notes
        .iter()
        .filter(|entry| measured(entry.note) && !leave_out.contains(&entry.note))
        .filter_map(|entry| {
            let ratio = entry.mass_ratio?;
            Point::new(entry.note, ratio.value, ratio.sd / ratio.value)
        })
        .collect();
    Series::new(Quantity::MassRatio, points)
}

/// What the survey says was heard between the outer notes of a place, or anywhere inside it.
fn heard(instrument: &Instrument, place: &BreakPlace) -> Option<Heard> {
    instrument
        .heard
        .iter()
        .find(|heard| place.below <= heard.below && heard.above <= place.above)
        .map(|heard| heard.heard)
}
