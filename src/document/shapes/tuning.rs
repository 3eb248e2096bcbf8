//! The tuning foretold, and what is heard at a break, inside `feltwire breaks --json`.

use crate::document::words::Style;
use crate::judgement::by_ear::{rules, says};
use crate::measure::{Cents, Measured, Note};
use crate::report::{BreakReport, Report};
use crate::scale::tuning::{Guided, Inside, Interval, Left, Off, SetBy, Tuning, Widths};
use serde::Serialize;

/// The tuning of one piano. Beats are a second, positive when the interval is wider than clean.
#[derive(Debug, Serialize)]
pub(super) struct TuningShape {
    temperament: Option<[String; 2]>,
    break_in_temperament: Option<bool>,
    octaves: Vec<OctavesShape>,
    notes: Vec<NoteShape>,
}

/// Octaves tuned alike, by their lower notes.
#[derive(Debug, Serialize)]
struct OctavesShape {
    from: String,
    to: String,
    partials: &'static str,
}

/// One note: where it stands, and the intervals above it.
#[derive(Debug, Serialize)]
struct NoteShape {
    note: String,
    stretch_cents: Option<f64>,
    set_by: Option<&'static str>,
    third_beats_s: Option<f64>,
    fifth_beats_s: Option<f64>,
    sixth_beats_s: Option<f64>,
    octave_21_beats_s: Option<f64>,
    octave_42_beats_s: Option<f64>,
    octave_63_beats_s: Option<f64>,
    tenth_beats_s: Option<f64>,
}

/// What the tuner will hear at one break.
#[derive(Debug, Serialize)]
pub(super) struct ByEarShape {
    guide: Option<&'static str>,
    octaves_clean: Option<LeftShape>,
    guide_even: Option<LeftShape>,
    compromise: Option<LeftShape>,
    inside: Option<InsideShape>,
    course: Vec<CourseShape>,
    moved: Vec<MovedShape>,
    octave_63_over_42_cents: WidthsShape,
    octave_42_over_21_cents: WidthsShape,
    notes: Option<usize>,
    notes_measured: Option<usize>,
    words: Vec<String>,
}

/// Root mean squares of what is left, and the intervals furthest off by their lower notes.
#[derive(Debug, Serialize)]
struct LeftShape {
    guide_beats_s: f64,
    guide_worst: String,
    guide_worst_beats_s: f64,
    octave_beats_s: f64,
    octave_worst: String,
    octave_worst_beats_s: f64,
}

/// The medians of the same inside the sections, brought to the pitch of the break.
#[derive(Debug, Serialize)]
struct InsideShape {
    places: usize,
    octaves_clean_guide_beats_s: f64,
    guide_even_octave_beats_s: f64,
    compromise_guide_beats_s: f64,
    compromise_octave_beats_s: f64,
}

/// One third or tenth, octaves being clean.
#[derive(Debug, Serialize)]
struct CourseShape {
    low: String,
    beats_s: f64,
    off_course_beats_s: f64,
}

/// One note in the compromise.
#[derive(Debug, Serialize)]
struct MovedShape {
    note: String,
    cents: f64,
}

/// By how much octaves by one pair of partials are wider than by another.
#[derive(Debug, Serialize)]
struct WidthsShape {
    below: Option<f64>,
    across: Option<f64>,
    above: Option<f64>,
}

impl TuningShape {
    pub(super) fn of(tuning: &Tuning) -> Self {
        let temperament = tuning.temperament.as_ref().ok();
        Self {
            temperament: temperament
                .map(|t| [t.octave.first.to_string(), t.octave.last.to_string()]),
            break_in_temperament: temperament.map(|t| t.holds_a_break),
            octaves: tuning
                .octaves
                .iter()
                .map(|region| OctavesShape {
                    from: region.lower.first.to_string(),
                    to: region.lower.last.to_string(),
                    partials: region.kind.words(),
                })
                .collect(),
            notes: tuning.notes.iter().map(|entry| NoteShape::of(tuning, entry.note)).collect(),
        }
    }
}

impl NoteShape {
    fn of(tuning: &Tuning, note: Note) -> Self {
        let tuned = tuning.note(note);
        let beats = |interval| tuning.beats(interval, note);
        Self {
            note: note.to_string(),
            stretch_cents: tuned.map(|tuned| tuned.stretch.0),
            set_by: tuned.map(|tuned| match tuned.by {
                SetBy::Fork => "fork",
                SetBy::Temperament => "temperament",
                SetBy::Octave => "octave",
                SetBy::Neighbours => "neighbours",
            }),
            third_beats_s: beats(Interval::Third),
            fifth_beats_s: beats(Interval::Fifth),
            sixth_beats_s: beats(Interval::Sixth),
            octave_21_beats_s: beats(Interval::Octave21),
            octave_42_beats_s: beats(Interval::Octave42),
            octave_63_beats_s: beats(Interval::Octave63),
            tenth_beats_s: beats(Interval::Tenth),
        }
    }
}

impl ByEarShape {
    pub(super) fn of(report: &Report, found: &BreakReport) -> Self {
        let heard = &found.by_ear;
        let guided = heard.guided.as_ref().ok();
        let left = |which: fn(&Guided) -> &Left| guided.map(|guided| LeftShape::of(which(guided)));
        let words = says(heard, &found.place, &rules(&report.limits));
        Self {
            guide: guided.map(|guided| guided.guide.plural()),
            octaves_clean: left(|guided| &guided.octaves_clean),
            guide_even: left(|guided| &guided.guides_even),
            compromise: left(|guided| &guided.compromise),
            inside: guided.and_then(|guided| guided.inside.as_ref()).map(InsideShape::of),
            course: guided.map(course).unwrap_or_default(),
            moved: guided.map(moved).unwrap_or_default(),
            octave_63_over_42_cents: WidthsShape::of(&heard.widths[0]),
            octave_42_over_21_cents: WidthsShape::of(&heard.widths[1]),
            notes: guided.map(|guided| guided.notes.0),
            notes_measured: guided.map(|guided| guided.notes.1),
            words: words.iter().map(|said| Style::PLAIN.sentence(said)).collect(),
        }
    }
}

fn course(guided: &Guided) -> Vec<CourseShape> {
    let one = |one: &crate::scale::tuning::GuideRate| CourseShape {
        low: one.low.to_string(),
        beats_s: one.rate,
        off_course_beats_s: one.off,
    };
    guided.course.iter().map(one).collect()
}

fn moved(guided: &Guided) -> Vec<MovedShape> {
    let one = |(note, cents): &(Note, Cents)| MovedShape { note: note.to_string(), cents: cents.0 };
    guided.moved.iter().map(one).collect()
}

impl LeftShape {
    fn of(left: &Left) -> Self {
        let Left { guides, octaves } = left;
        let name = |off: &Off| off.worst.0.to_string();
        Self {
            guide_beats_s: guides.rms,
            guide_worst: name(guides),
            guide_worst_beats_s: guides.worst.1,
            octave_beats_s: octaves.rms,
            octave_worst: name(octaves),
            octave_worst_beats_s: octaves.worst.1,
        }
    }
}

impl InsideShape {
    fn of(inside: &Inside) -> Self {
        Self {
            places: inside.places,
            octaves_clean_guide_beats_s: inside.octaves_clean,
            guide_even_octave_beats_s: inside.guides_even,
            compromise_guide_beats_s: inside.compromise.0,
            compromise_octave_beats_s: inside.compromise.1,
        }
    }
}

impl WidthsShape {
    fn of(widths: &Widths) -> Self {
        let cents = |width: Option<Measured<Cents>>| width.map(|width| width.value.0);
        Self {
            below: cents(widths.below),
            across: cents(widths.across),
            above: cents(widths.above),
        }
    }
}
