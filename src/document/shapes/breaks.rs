//! `feltwire breaks --json`.

use super::tuning::{ByEarShape, TuningShape};
use super::{MissingShape, WarningShape};
use crate::document::words::Style;
use crate::instrument::Heard;
use crate::judgement::breaks::{Graded, half_sizes_say};
use crate::report::{BreakReport, Report};
use crate::scale::breaks::{Figures, Jump, Outcome, Per, Quantity, Roughness};
use serde::Serialize;

/// The breaks of one piano.
#[derive(Debug, Serialize)]
pub(super) struct BreaksShape {
    survey: String,
    survey_hash: String,
    breaks: Vec<BreakShape>,
    roughness: Vec<RoughnessShape>,
    tuning: TuningShape,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// How one figure runs along the notes between two breaks.
#[derive(Debug, Serialize)]
struct RoughnessShape {
    quantity: &'static str,
    first: String,
    last: String,
    notes: usize,
    scatter_percent: f64,
    reading_percent: f64,
}

/// One break or break zone.
#[derive(Debug, Serialize)]
struct BreakShape {
    below: String,
    above: String,
    between: Vec<String>,
    inside: Vec<String>,
    quantities: QuantitiesShape,
    half_sizes: Option<f64>,
    half_sizes_words: Option<String>,
    heard: Option<&'static str>,
    by_ear: ByEarShape,
}

/// Every figure at a break.
#[derive(Debug, Serialize)]
struct QuantitiesShape {
    tension: QuantityShape,
    stress: QuantityShape,
    inharmonicity: QuantityShape,
    load: QuantityShape,
    drift: QuantityShape,
    impedance: QuantityShape,
    mass_ratio: QuantityShape,
    strike_fraction: QuantityShape,
}

/// One figure at a break: treble side over bass side, less 100 %.
#[derive(Debug, Default, Serialize)]
struct QuantityShape {
    per: &'static str,
    jump_percent: Option<f64>,
    jump_se_percent: Option<f64>,
    own_steps_percent: Option<f64>,
    limit_percent: Option<f64>,
    chance_over_limit: Option<f64>,
    grade: &'static str,
    slope_change_percent_per_key: Option<f64>,
    notes_below: usize,
    notes_above: usize,
    words: String,
    measure: Option<String>,
    p_value: Option<f64>,
}

impl BreaksShape {
    pub(super) fn of(report: &Report) -> Self {
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            breaks: report.breaks.iter().map(|found| BreakShape::of(report, found)).collect(),
            roughness: report.roughness().iter().map(RoughnessShape::of).collect(),
            tuning: TuningShape::of(&report.tuning),
            missing: report.missing().map(MissingShape::from).collect(),
            warnings: report.string_warnings().map(WarningShape::from).collect(),
        }
    }
}

impl RoughnessShape {
    fn of(rough: &Roughness) -> Self {
        Self {
            quantity: rough.quantity.key(),
            first: rough.run.0.to_string(),
            last: rough.run.1.to_string(),
            notes: rough.notes,
            scatter_percent: 100.0 * rough.scatter,
            reading_percent: 100.0 * rough.reading,
        }
    }
}

impl BreakShape {
    fn of(report: &Report, found: &BreakReport) -> Self {
        let place = &found.place;
        let figure = |quantity| {
            found.figure(quantity).map_or_else(QuantityShape::default, |(jump, graded)| {
                QuantityShape::of(jump, graded)
            })
        };
        let halves = found.half_sizes.as_ref();
        Self {
            below: place.below.to_string(),
            above: place.above.to_string(),
            between: place.reasons_in_words(),
            inside: place.inside().map(|note| note.to_string()).collect(),
            quantities: QuantitiesShape {
                tension: figure(Quantity::Tension),
                stress: figure(Quantity::Stress),
                inharmonicity: figure(Quantity::Inharmonicity),
                load: figure(Quantity::Load),
                drift: figure(Quantity::Drift),
                impedance: figure(Quantity::Impedance),
                mass_ratio: figure(Quantity::MassRatio),
                strike_fraction: figure(Quantity::StrikeFraction),
            },
            half_sizes: halves.map(|halves| halves.count.value),
            half_sizes_words: halves.map(|halves| Style::PLAIN.sentence(&half_sizes_say(halves))),
            heard: found.heard.map(heard),
            by_ear: ByEarShape::of(report, found),
        }
    }
}

impl QuantityShape {
    fn of(jump: &Jump, graded: &Graded) -> Self {
        let figures = match &jump.outcome {
            Outcome::Figures(figures) => Some(figures.as_ref()),
            Outcome::TooFew(_) => None,
        };
        let counts = match &jump.outcome {
            Outcome::Figures(figures) => (figures.notes_below.len(), figures.notes_above.len()),
            Outcome::TooFew(few) => (few.below, few.above),
        };
        Self {
            per: match jump.quantity.per() {
                Per::String => "string",
                Per::Unison => "unison",
            },
            jump_percent: figures.map(|f| 100.0 * f.fraction()),
            jump_se_percent: figures.map(|f| 100.0 * f.fraction_se()),
            own_steps_percent: figures.and_then(Figures::largest_own_step).map(|step| 100.0 * step),
            limit_percent: Some(100.0 * (graded.limit.as_ratio() - 1.0)),
            chance_over_limit: graded.chance,
            grade: graded.grade.key(),
            slope_change_percent_per_key: figures.map(|f| 100.0 * f.slope_change),
            notes_below: counts.0,
            notes_above: counts.1,
            words: Style::PLAIN.sentence(&graded.says),
            measure: graded.measure.as_ref().map(|words| Style::PLAIN.sentence(words)),
            p_value: figures.map(|f| f.p_value),
        }
    }
}

/// What was heard, as one word.
pub(in crate::document) fn heard(heard: Heard) -> &'static str {
    match heard {
        Heard::Even => "even",
        Heard::Slight => "slight",
        Heard::Plain => "plain",
    }
}
