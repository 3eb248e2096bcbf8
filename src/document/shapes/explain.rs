//! `feltwire scale --explain NOTE --json`.

use super::{MissingShape, WarningShape};
use crate::document::explain::{Step, steps};
use crate::document::words::Style;
use crate::instrument::About;
use crate::judgement::crosscheck;
use crate::measure::{Cents, Note, to_hertz, to_mm, to_newtons};
use crate::report::Report;
use crate::scale::cause::Origin;
use crate::scale::crosscheck::{Crosscheck, Twice, length_of};
use crate::scale::doubt::{Effect, Parts};
use crate::scale::draws::{EXPLAINED_DRAWS, Wanted, of_note, together};
use crate::scale::{Explanation, explain as facts};
use serde::Serialize;

/// The calculation of one note.
#[derive(Debug, Serialize)]
pub(super) struct ExplainShape {
    survey: String,
    survey_hash: String,
    pitch_hz: f64,
    note: String,
    key: u8,
    section: Option<String>,
    strings: Option<u8>,
    kind: Option<&'static str>,
    source: Option<&'static str>,
    why_not: Option<String>,
    steps: Vec<StepShape>,
    tension_n: Option<f64>,
    tension_without_stiffness_n: Option<f64>,
    inharmonicity: Option<f64>,
    inharmonicity_lo: Option<f64>,
    inharmonicity_hi: Option<f64>,
    inharmonicity_core_only: Option<f64>,
    inharmonicity_bare_ends_first_order: Option<f64>,
    drawn: Option<DrawnShape>,
    partials: Vec<PartialShape>,
    longitudinal_hz: Option<f64>,
    longitudinal_near_partial: Option<u32>,
    longitudinal_above_cents: Option<f64>,
    causes: Vec<CauseShape>,
    totals: Vec<TotalShape>,
    matters_most_tension: Option<&'static str>,
    matters_most_inharmonicity: Option<&'static str>,
    read_in_two_ways: Vec<PairShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

#[derive(Debug, Serialize)]
struct StepShape {
    group: &'static str,
    what: String,
    formula: String,
    numbers: String,
    remark: String,
    value: f64,
    sd: Option<f64>,
    unit: &'static str,
    sources: Vec<String>,
}

/// 5 and 95 % from draws of the readings, each solved anew.
#[derive(Debug, Serialize)]
struct DrawnShape {
    draws: usize,
    impossible: usize,
    tension_lo_n: f64,
    tension_hi_n: f64,
    load_percent_lo: Option<f64>,
    load_percent_hi: Option<f64>,
    inharmonicity_lo: f64,
    inharmonicity_hi: f64,
}

impl DrawnShape {
    fn of(report: &Report, told: &Explanation, draws: Option<usize>) -> Option<Self> {
        let wanted = Wanted::of_readings(draws.unwrap_or(EXPLAINED_DRAWS));
        let all = of_note(&report.instrument, &report.belief, &told.note, wanted).ok()?;
        let said = together(told.note.note, &all)?;
        Some(Self {
            draws: wanted.draws,
            impossible: said.impossible,
            tension_lo_n: to_newtons(said.tension.lo),
            tension_hi_n: to_newtons(said.tension.hi),
            load_percent_lo: said.load.map(|load| 100.0 * load.lo),
            load_percent_hi: said.load.map(|load| 100.0 * load.hi),
            inharmonicity_lo: said.inharmonicity.lo.0,
            inharmonicity_hi: said.inharmonicity.hi.0,
        })
    }
}

#[derive(Debug, Serialize)]
struct PartialShape {
    partial: usize,
    frequency_hz: f64,
    above_sounding_cents: f64,
}

/// What one standard deviation of one cause does.
#[derive(Debug, Serialize)]
struct CauseShape {
    cause: &'static str,
    origin: &'static str,
    read_mm: Option<f64>,
    read_sd_mm: Option<f64>,
    shared_share: Option<f64>,
    tension_n: f64,
    tension_percent: f64,
    load_relative_percent: Option<f64>,
    inharmonicity_percent: f64,
}

/// Causes added up, percent of each figure.
#[derive(Debug, Serialize)]
struct TotalShape {
    part: &'static str,
    tension_n: f64,
    tension_percent: f64,
    load_relative_percent: Option<f64>,
    inharmonicity_percent: f64,
}

#[derive(Debug, Serialize)]
struct PairShape {
    what: &'static str,
    unit: &'static str,
    read: f64,
    computed: f64,
    off_percent: f64,
    off_cents: Option<f64>,
    deviations: Option<f64>,
    doubt: Option<&'static str>,
    doubt_read_mm: Option<f64>,
    doubt_fitting_mm: Option<f64>,
    says: String,
}

impl ExplainShape {
    pub(super) fn of(report: &Report, note: Note, draws: Option<usize>) -> Self {
        let about = About::Note(note);
        let told = facts(&report.instrument, &report.belief, note);
        let why_not = told.as_ref().err().map(|why| Style::PLAIN.sentence(why));
        let told = told.ok();
        let told = told.as_ref();
        let entry = report.scale.note(note);
        let b = entry.and_then(|entry| entry.string.as_ref()).map(|string| string.inharmonicity);
        let near = told.and_then(|told| told.near_longitudinal);
        let section = entry.map(|entry| report.instrument.sections[entry.section].name.clone());
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            pitch_hz: to_hertz(report.instrument.pitch),
            note: note.to_string(),
            key: note.key(),
            section,
            strings: entry.and_then(|entry| entry.strings),
            kind: entry.and_then(|entry| entry.kind).map(super::kind),
            source: entry.map(|entry| super::source(entry.source)),
            why_not,
            steps: told.map_or(Vec::new(), |told| steps(told).into_iter().map(step).collect()),
            tension_n: told.map(|told| to_newtons(told.sounding.tension)),
            tension_without_stiffness_n: told.map(|told| to_newtons(told.without_stiffness)),
            inharmonicity: told.map(|told| told.sounding.inharmonicity.0),
            inharmonicity_lo: b.map(|b| b.lo.0),
            inharmonicity_hi: b.map(|b| b.hi.0),
            inharmonicity_core_only: told.map(|told| told.parts.core.0),
            inharmonicity_bare_ends_first_order: told.map(|told| told.parts.bare_ends.0),
            drawn: told.and_then(|told| DrawnShape::of(report, told, draws)),
            partials: told.map_or(Vec::new(), partials),
            longitudinal_hz: told.map(|told| to_hertz(told.sounding.longitudinal)),
            longitudinal_near_partial: near.map(|near| near.partial),
            longitudinal_above_cents: near.map(|near| near.above.0),
            causes: told.map_or(Vec::new(), |told| {
                told.effects.iter().map(|effect| cause(told, effect)).collect()
            }),
            totals: told.map_or(Vec::new(), totals),
            matters_most_tension: told
                .and_then(|told| Some(told.most(|effect| effect.tension)?.key())),
            matters_most_inharmonicity: told
                .and_then(|told| Some(told.most(|effect| effect.inharmonicity)?.key())),
            read_in_two_ways: told
                .map_or(Vec::new(), |told| told.crosschecks.iter().map(pair).collect()),
            missing: report
                .scale
                .missing
                .iter()
                .filter(|missing| missing.about == about)
                .map(MissingShape::from)
                .collect(),
            warnings: report
                .string_warnings()
                .filter(|warning| warning.about == about)
                .map(WarningShape::from)
                .collect(),
        }
    }
}

fn step(step: Step) -> StepShape {
    StepShape {
        group: step.group.key(),
        what: step.what,
        formula: step.formula,
        numbers: step.numbers,
        remark: step.remark,
        value: step.value,
        sd: (step.sd > 0.0).then_some(step.sd),
        unit: step.unit,
        sources: step.sources,
    }
}

fn partials(told: &Explanation) -> Vec<PartialShape> {
    let first = to_hertz(told.sounding.partials[0]);
    let shape = |(i, partial): (usize, &crate::measure::Frequency)| PartialShape {
        partial: i + 1,
        frequency_hz: to_hertz(*partial),
        above_sounding_cents: Cents::of_ratio(to_hertz(*partial) / ((i + 1) as f64 * first)).0,
    };
    told.sounding.partials.iter().enumerate().map(shape).collect()
}

fn cause(told: &Explanation, effect: &Effect) -> CauseShape {
    let read = length_of(effect.cause, &told.string);
    CauseShape {
        cause: effect.cause.key(),
        origin: match effect.cause.origin() {
            Origin::Reading => "reading",
            Origin::Shape => "shape",
            Origin::Material => "material",
        },
        read_mm: read.map(|read| to_mm(read.value)),
        read_sd_mm: read.map(|read| to_mm(read.sd)),
        shared_share: effect.shared.map(|(_, share)| share),
        tension_n: to_newtons(told.sounding.tension) * effect.tension,
        tension_percent: 100.0 * effect.tension,
        load_relative_percent: told.strength.is_ok().then(|| 100.0 * told.load_effect(effect)),
        inharmonicity_percent: 100.0 * effect.inharmonicity,
    }
}

type Part = (&'static str, fn(&Parts) -> f64);

fn totals(told: &Explanation) -> Vec<TotalShape> {
    let parts: [Part; 4] = [
        ("scatter", |parts| parts.scatter),
        ("shared", Parts::in_common),
        ("readings", Parts::of_readings),
        ("material", Parts::of_material),
    ];
    let doubts = &told.doubts;
    let shape = |(part, sd): Part| TotalShape {
        part,
        tension_n: to_newtons(told.sounding.tension) * sd(&doubts.tension),
        tension_percent: 100.0 * sd(&doubts.tension),
        load_relative_percent: told.strength.is_ok().then(|| 100.0 * sd(&doubts.load)),
        inharmonicity_percent: 100.0 * sd(&doubts.inharmonicity),
    };
    parts.into_iter().map(shape).collect()
}

fn pair(pair: &Crosscheck) -> PairShape {
    let (what, unit, read, computed) = match pair.twice {
        Twice::Mass { read, computed } => {
            ("mass_per_length", "g/m", 1e3 * read.value.value, 1e3 * computed.value.value)
        }
        Twice::Inharmonicity { read, computed, .. } => {
            ("inharmonicity", "", read.value.0, computed.value.0)
        }
        Twice::Pitch { read, expected } => ("f1", "Hz", to_hertz(read.value), to_hertz(expected)),
    };
    PairShape {
        what,
        unit,
        read,
        computed,
        off_percent: 100.0 * pair.ln_off.exp_m1(),
        off_cents: matches!(pair.twice, Twice::Pitch { .. }).then(|| pair.cents().0),
        deviations: pair.deviations(),
        doubt: pair.doubt.map(|suspect| suspect.cause.key()),
        doubt_read_mm: pair.doubt.map(|suspect| to_mm(suspect.read)),
        doubt_fitting_mm: pair.doubt.map(|suspect| to_mm(suspect.fitting)),
        says: Style::PLAIN.sentence(&crosscheck::says(pair)),
    }
}
