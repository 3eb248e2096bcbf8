//! Every break with every figure that is followed across it, measured and graded.

use crate::action::Action;
use crate::instrument::belief::Belief;
use crate::instrument::{Heard, Instrument};
use crate::judgement::BreakGrades;
use crate::judgement::breaks::{Graded, grade};
use crate::judgement::by_ear::rules;
use crate::judgement::limit::Limits;
use crate::measure::Note;
use crate::scale::breaks::{
    BreakPlace, HalfSizes, Jump, OffTrend, Outcome, Point, Quantity, Series, half_sizes, jump,
};
use crate::scale::tuning::{ByEar, Tuning, by_ear};
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
    /// What a tuner will hear there.
    pub by_ear: ByEar,
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

/// What the breaks are worked out from.
pub(super) struct Known<'a> {
    pub instrument: &'a Instrument,
    pub belief: &'a Belief,
    pub scale: &'a Scale,
    pub action: &'a Action,
    pub tuning: &'a Tuning,
    pub limits: &'a Limits,
}

impl Known<'_> {
    /// Every figure that is followed along the compass, in the order of [`Quantity::ALL`]. Readings
    /// that stand out are left out.
    pub fn series(&self, off: &[OffTrend]) -> Vec<Series> {
        let leave_out: Vec<Note> = off.iter().map(|off| off.note).collect();
        let mut series = Series::of_scale(self.instrument, self.belief, self.scale, &leave_out);
        series.push(mass_ratio(self.scale, self.action, &leave_out));
        series.sort_by_key(|one| Quantity::ALL.iter().position(|q| *q == one.quantity()));
        series
    }

    /// Every break of the piano, from the bass.
    pub fn breaks(&self, places: Vec<BreakPlace>, series: &[Series]) -> Vec<BreakReport> {
        places.into_iter().map(|place| self.at(place, series)).collect()
    }

    fn at(&self, place: BreakPlace, series: &[Series]) -> BreakReport {
        let figures: Vec<(Jump, Graded)> = series
            .iter()
            .map(|one| {
                let jump = jump(&place, one);
                let graded = grade(&jump, self.limits);
                (jump, graded)
            })
            .collect();
        BreakReport {
            half_sizes: half_sizes_at(self.instrument, self.scale, &place, &figures),
            heard: heard(self.instrument, &place),
            by_ear: by_ear(self.tuning, self.scale, &place, &rules(self.limits)),
            figures,
            place,
        }
    }
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

/// What the survey says was heard between the outer notes of a place, or anywhere inside it: the worst.
fn heard(instrument: &Instrument, place: &BreakPlace) -> Option<Heard> {
    instrument
        .heard
        .iter()
        .filter(|heard| place.below <= heard.below && heard.above <= place.above)
        .map(|heard| heard.heard)
        .max_by_key(|heard| match heard {
            Heard::Even => 0,
            Heard::Slight => 1,
            Heard::Plain => 2,
        })
}
