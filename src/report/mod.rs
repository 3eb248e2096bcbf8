//! One call from instrument to everything that a door shows.
//!
//! A chain of pure functions, each taking the results it needs, so that a page can repeat only what
//! an edit touches.

mod breaks;
mod pitches;
mod restring;
mod strings;

pub use crate::order::strings::{Name, Prefer, Wanted};
pub use breaks::BreakReport;
pub use pitches::{Pitches, ScaleAsked, ScaleMore, SectionPitches};

use crate::action::{self, Action};
use crate::instrument::belief::Belief;
use crate::instrument::{HammerRow, Instrument, Missing, Warning};
use crate::judgement::breaks::{measure_again, tolerance};
use crate::judgement::crosscheck;
use crate::judgement::limit::Limits;
use crate::judgement::received::{self, Received};
use crate::judgement::{self, Asked, BreakGrades, Judgement, by_ear, hammers, readings};
use crate::measure::{Note, Stopped, Watch};
use crate::order::hammers::{HammerOrder, hammers as order_hammers, wanted as heads_ordered};
use crate::scale::breaks::{BreakPlace, OffTrend, Roughness, Series, find, roughness, stands_out};
use crate::scale::crosscheck::crosschecks;
use crate::scale::tuning::{self, Tuning};
use crate::scale::{self, Scale};

/// Everything worked out for one survey.
#[derive(Debug, Clone)]
pub struct Report {
    /// What was read.
    pub instrument: Instrument,
    /// What the reader of the survey had to say.
    pub survey_warnings: Vec<Warning>,
    /// SHA-256 over the survey's files, hexadecimal: names the readings that these results rest on.
    pub survey_hash: String,
    /// What is believed of every string.
    pub belief: Belief,
    /// The strings.
    pub scale: Scale,
    /// Readings off the course of their neighbours.
    pub off_trend: Vec<OffTrend>,
    /// The same as warnings, and readings that say one thing twice and differ.
    pub measure_again: Vec<Warning>,
    /// The tuning foretold.
    pub tuning: Tuning,
    /// Every figure that is followed along the compass.
    pub series: Vec<Series>,
    /// The breaks, from the bass.
    pub breaks: Vec<BreakReport>,
    /// The limits in force.
    pub limits: Limits,
    /// What is recommended.
    pub judgement: Judgement,
    /// The hammers.
    pub action: Action,
    /// What would spoil a hammer order.
    pub hammer_warnings: Vec<Warning>,
    /// The hammer order; `None` when the survey holds no hammer at all.
    pub hammer_order: Option<HammerOrder>,
}

/// What a door asks beside the survey.
#[derive(Debug, Clone, Copy, Default)]
pub struct Choices {
    /// What the judgement is told: this year, and how often it is re-run.
    pub asked: Asked,
}

/// Works out everything for `instrument`.
pub fn build(
    instrument: Instrument,
    mut survey_warnings: Vec<Warning>,
    survey_hash: String,
    choices: &Choices,
    watch: &dyn Watch,
) -> Result<Report, Stopped> {
    watch.check()?;
    let belief = Belief::of(&instrument);
    let scale = scale::compute(&instrument, &belief);
    let limits = Limits::with(&instrument.limits);
    let action = action::compute(&instrument, &scale, &hammers::agreement(&limits));
    let places = find(&instrument, &belief, &scale);
    let off_trend = stands_out(&instrument, &belief, &scale, &places, tolerance(&limits));
    let doubtful: Vec<Note> = off_trend.iter().map(|off| off.note).collect();
    let rules = by_ear::rules(&limits);
    let tuning = tuning::compute(&instrument, &belief, &scale, &places, &doubtful, &rules);
    let known = breaks::Known {
        instrument: &instrument,
        belief: &belief,
        scale: &scale,
        action: &action,
        tuning: &tuning,
        limits: &limits,
    };
    let series = known.series(&off_trend);
    let breaks = known.breaks(places, &series);
    let grades: Vec<BreakGrades> = breaks.iter().map(BreakReport::grades).collect();
    let judgement =
        judgement::decide(&instrument, &scale, &grades, &limits, &choices.asked, watch)?;
    let to_go: Vec<usize> = judgement
        .sections
        .iter()
        .enumerate()
        .filter(|(_, section)| section.verdict.strings_come_off())
        .map(|(index, _)| index)
        .collect();
    let hammer_warnings = hammers::warnings(&instrument, &action, &limits, &to_go);
    let hammer_order = (!instrument.hammers.rows.is_empty())
        .then(|| order_hammers(&instrument, &scale, &action, &limits));
    let mut again = measure_again(&off_trend);
    again.extend(readings::contradicted(&instrument, &scale, &off_trend, &limits));
    survey_warnings.extend(readings::unusual(&instrument, &limits));
    again.extend(crosscheck::warnings(&crosschecks(&instrument, &belief), &limits));
    Ok(Report {
        instrument,
        survey_warnings,
        survey_hash,
        belief,
        scale,
        measure_again: again,
        off_trend,
        tuning,
        series,
        breaks,
        limits,
        judgement,
        action,
        hammer_warnings,
        hammer_order,
    })
}

impl Report {
    /// How rough every figure runs between breaks, figure by figure from the bass.
    pub fn roughness(&self) -> Vec<Roughness> {
        let places: Vec<BreakPlace> = self.breaks.iter().map(|found| found.place.clone()).collect();
        let of = |one| roughness(self.instrument.compass, &places, one);
        self.series.iter().flat_map(of).collect()
    }

    /// What was ordered of every head, in figures; `None` when there is no order.
    pub fn heads_wanted(&self) -> Option<Vec<received::Wanted>> {
        Some(heads_ordered(&self.instrument, self.hammer_order.as_ref()?))
    }

    /// Judges heads that arrived against the hammer order; `None` when there is no order.
    /// `warnings` are what the reader of their table had to say.
    pub fn receive(&self, heads: &[HammerRow], warnings: Vec<Warning>) -> Option<Received> {
        let wanted = self.heads_wanted()?;
        let received =
            received::judge(&self.instrument, &self.action, &wanted, heads, &self.limits);
        Some(Received { warnings, ..received })
    }

    /// Warnings about the survey and its strings.
    pub fn string_warnings(&self) -> impl Iterator<Item = &Warning> {
        self.survey_warnings.iter().chain(&self.scale.warnings).chain(&self.measure_again)
    }

    /// Every warning, each once.
    pub fn warnings(&self) -> impl Iterator<Item = &Warning> {
        self.string_warnings().chain(self.limits.warnings()).chain(self.all_hammer_warnings())
    }

    /// Warnings about hammers: their readings, and what would spoil an order.
    pub fn all_hammer_warnings(&self) -> impl Iterator<Item = &Warning> {
        self.action.warnings.iter().chain(&self.hammer_warnings)
    }

    /// Everything that could not be had.
    pub fn missing(&self) -> impl Iterator<Item = &Missing> {
        self.scale.missing.iter().chain(&self.tuning.missing).chain(&self.action.missing)
    }
}
