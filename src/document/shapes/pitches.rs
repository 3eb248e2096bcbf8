//! Pull by section at three pitches, and strings at another temperature: parts of `feltwire scale --json`.

use crate::measure::{Force, to_celsius, to_newtons, to_tonnes_force};
use crate::report::{Pitches, Report, ScaleMore, SectionPitches};
use crate::scale::pitch::{Pull, Warmed};
use serde::Serialize;

/// Strings as found, at the finished pitch and pulled over it.
#[derive(Debug, Serialize)]
pub(super) struct PitchesShape {
    sections: Vec<SectionShape>,
    total: SectionShape,
}

#[derive(Debug, Serialize)]
struct SectionShape {
    section: Option<String>,
    finished: PullShape,
    found_cents: Option<f64>,
    found: Option<PullShape>,
    over_cents: Option<f64>,
    over: Option<PullShape>,
    added_kn: Option<f64>,
    added_tf: Option<f64>,
}

/// kN and tonnes-force.
#[derive(Debug, Serialize)]
struct PullShape {
    tension_kn: f64,
    tension_sd_kn: f64,
    tension_tf: f64,
    load_percent_most: Option<f64>,
    strings: usize,
    notes_unknown: usize,
}

impl PitchesShape {
    pub(super) fn of(report: &Report) -> Self {
        let Pitches { sections, total } = report.pitches();
        let shape = |pitches: &SectionPitches| SectionShape::of(report, pitches);
        Self { sections: sections.iter().map(shape).collect(), total: shape(&total) }
    }
}

impl SectionShape {
    fn of(report: &Report, pitches: &SectionPitches) -> Self {
        let added: Option<Force> = pitches
            .found
            .map(|found| pitches.finished.totals.tension.value - found.totals.tension.value);
        let name = |index: usize| report.instrument.sections[index].name.clone();
        Self {
            section: pitches.section.map(name),
            finished: PullShape::of(&pitches.finished),
            found_cents: pitches.found_cents.map(|cents| cents.0),
            found: pitches.found.as_ref().map(PullShape::of),
            over_cents: pitches.over_cents.map(|cents| cents.0),
            over: pitches.over.as_ref().map(PullShape::of),
            added_kn: added.map(|added| to_newtons(added) / 1e3),
            added_tf: added.map(to_tonnes_force),
        }
    }
}

impl PullShape {
    fn of(pull: &Pull) -> Self {
        let totals = &pull.totals;
        Self {
            tension_kn: to_newtons(totals.tension.value) / 1e3,
            tension_sd_kn: to_newtons(totals.tension.sd) / 1e3,
            tension_tf: to_tonnes_force(totals.tension.value),
            load_percent_most: pull.most_load.map(|load| 100.0 * load),
            strings: totals.strings,
            notes_unknown: totals.notes_unknown,
        }
    }
}

/// Strings tuned at one temperature and standing at another.
#[derive(Debug, Serialize)]
pub(super) struct WarmedShape {
    tuned_at_celsius: f64,
    at_celsius: f64,
    notes: Vec<WarmedNoteShape>,
}

#[derive(Debug, Serialize)]
struct WarmedNoteShape {
    note: String,
    cents: f64,
    cents_string_alone: f64,
    tension_n: f64,
}

impl WarmedShape {
    pub(super) fn of(more: &ScaleMore) -> Option<Self> {
        let (tuned, now) = more.asked.warmed?;
        let note = |warmed: &Warmed| WarmedNoteShape {
            note: warmed.note.to_string(),
            cents: warmed.together.0,
            cents_string_alone: warmed.alone.0,
            tension_n: to_newtons(warmed.tension),
        };
        Some(Self {
            tuned_at_celsius: to_celsius(tuned),
            at_celsius: to_celsius(now),
            notes: more.warmed.iter().map(note).collect(),
        })
    }
}
