//! `feltwire restring --json`.

use super::WarningShape;
use super::strings::{OrderLine, core_shape, order_lines};
use crate::document::words::Style;
use crate::instrument::belief::StringKind;
use crate::judgement::StringVerdict;
use crate::measure::{Sentence, to_mm, to_newtons};
use crate::order::strings::{
    Alternative, AsIf, ExtentTried, Held, HeldPart, Judged, Refused, Rescale, Staying, StringOrder,
    Stringing, Swayed, Terms, Totals, Wound,
};
use crate::report::Report;
use crate::scale::breaks::Quantity;
use serde::Serialize;

/// The alternatives of one piano.
#[derive(Debug, Serialize)]
pub(super) struct RestringShape {
    survey: String,
    survey_hash: String,
    as_if_all: Option<&'static str>,
    held: Vec<HeldShape>,
    found: FiguresShape,
    alternatives: Vec<AlternativeShape>,
    refused: Vec<RefusedShape>,
    wound_notes: Vec<ExtentShape>,
    wound_notes_held: Vec<String>,
    weights_from: &'static str,
    weights: Vec<SwayedShape>,
    lines_of: &'static str,
    lines: Vec<OrderLine>,
    warnings: Vec<WarningShape>,
}

/// One way to string the piano.
#[derive(Debug, Serialize)]
struct AlternativeShape {
    name: &'static str,
    about: &'static str,
    notes: Vec<NoteShape>,
    objective: f64,
    terms: TermsShape,
    figures: FiguresShape,
    gives_up: Vec<String>,
    also_changes: Vec<String>,
}

/// Old strings of a section that stay and are held as they were found.
#[derive(Debug, Serialize)]
struct HeldShape {
    section: String,
    strings: &'static str,
    verdict: Option<&'static str>,
}

/// The objective by its terms, percent.
#[derive(Debug, Serialize)]
struct TermsShape {
    even: f64,
    steps: f64,
    far: f64,
    sizes: f64,
}

/// What the measure of the piano says.
#[derive(Debug, Serialize)]
struct FiguresShape {
    pull_n: f64,
    pull_change_percent: f64,
    strings: usize,
    plain_sizes: usize,
    notes_changed: usize,
    tension_scatter_percent: Option<f64>,
    inharmonicity_scatter_percent: Option<f64>,
    notes_outside_load: Vec<String>,
    breaks: Vec<BreakShape>,
}

/// One break.
#[derive(Debug, Serialize)]
struct BreakShape {
    below: String,
    above: String,
    between: Vec<String>,
    tension: StepShape,
    stress: StepShape,
    inharmonicity: StepShape,
    load: StepShape,
    drift: StepShape,
    impedance: StepShape,
    thirds_off_per_s: Option<f64>,
    octaves_off_per_s: Option<f64>,
}

/// The step of one figure, treble side over bass side less 100 %.
#[derive(Debug, Serialize)]
struct StepShape {
    jump_percent: Option<f64>,
    jump_se_percent: Option<f64>,
    chance_over_limit: Option<f64>,
    grade: &'static str,
}

/// What one note gets.
#[derive(Debug, Serialize)]
#[expect(clippy::struct_excessive_bools, reason = "each is one plain answer")]
struct NoteShape {
    note: String,
    strings: u8,
    kind: &'static str,
    core_mm: f64,
    core_gauge: Option<String>,
    core_series: Option<&'static str>,
    core_shape: &'static str,
    over_mm: Option<f64>,
    wrap_mm: Option<f64>,
    under_mm: Option<f64>,
    wrap: Option<String>,
    bare_front_mm: Option<f64>,
    bare_back_mm: Option<f64>,
    bare_ends_by_rule: bool,
    length_mm: f64,
    tension_n: Option<f64>,
    load_percent: Option<f64>,
    inharmonicity: Option<f64>,
    impedance_kg_s: Option<f64>,
    stays: bool,
    changed: bool,
    approximate: bool,
    why: String,
}

/// An alternative that no choice keeps.
#[derive(Debug, Serialize)]
struct RefusedShape {
    name: &'static str,
    why: Vec<String>,
}

/// Another number of wound notes.
#[derive(Debug, Serialize)]
struct ExtentShape {
    notes: i32,
    from: String,
    to: String,
    strings: u8,
    objective: Option<f64>,
    pull_n: Option<f64>,
    tension_jump_percent: Option<f64>,
    inharmonicity_jump_percent: Option<f64>,
    load_jump_percent: Option<f64>,
    also_changes: Vec<String>,
    refused: Vec<String>,
}

/// What one weight does.
#[derive(Debug, Serialize)]
struct SwayedShape {
    weight: &'static str,
    factor: f64,
    notes_changed: Option<usize>,
    pull_n: Option<f64>,
    tension_jump_percent: Option<f64>,
    inharmonicity_jump_percent: Option<f64>,
    load_jump_percent: Option<f64>,
}

impl RestringShape {
    pub(super) fn of(report: &Report, rescale: &Rescale, order: &StringOrder) -> Self {
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            as_if_all: rescale.staying.as_if.map(|why| match why {
                AsIf::Asked => "asked",
                AsIf::NothingGoes => "nothing_goes",
            }),
            held: held(&rescale.staying),
            found: FiguresShape::of(&rescale.found_totals, rescale.found_scatter, &rescale.found),
            alternatives: rescale.alternatives.iter().map(AlternativeShape::of).collect(),
            refused: rescale.refused.iter().map(RefusedShape::of).collect(),
            wound_notes: rescale.extents.iter().map(ExtentShape::of).collect(),
            wound_notes_held: said(&rescale.extents_held),
            weights_from: rescale.swayed_from.key(),
            weights: rescale.swayed.iter().map(SwayedShape::of).collect(),
            lines_of: report.chosen().key(),
            lines: order_lines(report, order),
            warnings: report.string_warnings().map(WarningShape::from).collect(),
        }
    }
}

/// What is held; nothing where the whole piano is worked out all the same.
fn held(staying: &Staying) -> Vec<HeldShape> {
    let sections = staying.sections.iter().filter(|_| staying.as_if.is_none());
    let shape = |one: &Held| HeldShape {
        section: one.section.clone(),
        strings: match one.part {
            HeldPart::All => "all",
            HeldPart::Plain => "plain",
            HeldPart::Unchanged => "unchanged",
            HeldPart::AllBut { .. } => "all_but_beside_break",
        },
        verdict: one.verdict.map(StringVerdict::name),
    };
    sections.map(shape).collect()
}

fn said(sentences: &[Sentence]) -> Vec<String> {
    sentences.iter().map(|one| Style::PLAIN.sentence(one)).collect()
}

impl AlternativeShape {
    fn of(one: &Alternative) -> Self {
        Self {
            name: one.name.key(),
            about: one.name.about(),
            notes: one.choice.notes.iter().map(|note| NoteShape::of(one, note)).collect(),
            objective: one.terms.sum(),
            terms: TermsShape::of(&one.terms),
            figures: FiguresShape::of(&one.totals, one.scatter, &one.judged),
            gives_up: said(&one.gives_up),
            also_changes: said(&one.knock_on),
        }
    }
}

impl TermsShape {
    fn of(terms: &Terms) -> Self {
        Self { even: terms.even, steps: terms.steps, far: terms.far, sizes: terms.sizes }
    }
}

impl FiguresShape {
    fn of(totals: &Totals, scatter: [Option<f64>; 2], judged: &Judged) -> Self {
        let percent = |value: Option<f64>| value.map(|value| 100.0 * value);
        Self {
            pull_n: to_newtons(totals.pull),
            pull_change_percent: 100.0 * ((totals.pull / totals.found).value - 1.0),
            strings: totals.strings,
            plain_sizes: totals.plain_sizes,
            notes_changed: totals.changed,
            tension_scatter_percent: percent(scatter[0]),
            inharmonicity_scatter_percent: percent(scatter[1]),
            notes_outside_load: judged.outside.iter().map(ToString::to_string).collect(),
            breaks: judged.breaks.iter().map(BreakShape::of).collect(),
        }
    }
}

impl BreakShape {
    fn of(one: &crate::order::strings::JudgedBreak) -> Self {
        let step = |quantity| {
            let figures = one.step(quantity);
            let graded = one.figure(quantity).map(|(_, graded)| graded);
            StepShape {
                jump_percent: figures.map(|f| 100.0 * f.fraction()),
                jump_se_percent: figures.map(|f| 100.0 * f.fraction_se()),
                chance_over_limit: graded.and_then(|graded| graded.chance),
                grade: graded.map_or("too_few", |graded| graded.grade.key()),
            }
        };
        let heard = one.by_ear.as_ref().and_then(|heard| heard.guided.as_ref().ok());
        Self {
            below: one.place.below.to_string(),
            above: one.place.above.to_string(),
            between: one.place.reasons_in_words(),
            tension: step(Quantity::Tension),
            stress: step(Quantity::Stress),
            inharmonicity: step(Quantity::Inharmonicity),
            load: step(Quantity::Load),
            drift: step(Quantity::Drift),
            impedance: step(Quantity::Impedance),
            thirds_off_per_s: heard.map(|heard| heard.compromise.guides.rms),
            octaves_off_per_s: heard.map(|heard| heard.compromise.octaves.rms),
        }
    }
}

impl NoteShape {
    fn of(one: &Alternative, note: &Stringing) -> Self {
        let figures = one.judged.scale.note(note.note).and_then(|entry| entry.string.as_ref());
        let (wire, wound) = (note.wire(), note.wound());
        let outer = wound.and_then(|wound| wound.layers.last());
        Self {
            note: note.note.to_string(),
            strings: note.strings,
            kind: match note.kind() {
                StringKind::Plain => "plain",
                StringKind::Wound => "wound",
            },
            core_mm: to_mm(wire.diameter),
            core_gauge: wire.size.map(|size| size.to_string()),
            core_series: wire.size.map(|size| size.series().name()),
            core_shape: wound.map_or("round", |wound| core_shape(wound.shape)),
            over_mm: wound.map(|wound| to_mm(wound.over())),
            wrap_mm: outer.map(|outer| to_mm(outer.wire)),
            under_mm: wound.and_then(Wound::under).map(to_mm),
            wrap: outer.map(|outer| outer.material.name.clone()),
            bare_front_mm: outer.map(|outer| to_mm(outer.bare_front)),
            bare_back_mm: outer.map(|outer| to_mm(outer.bare_back)),
            bare_ends_by_rule: outer.is_some_and(|outer| outer.ends_by_rule),
            length_mm: to_mm(note.length.value),
            tension_n: figures.map(|figures| to_newtons(figures.tension.value)),
            load_percent: figures.and_then(|figures| figures.load).map(|load| 100.0 * load.value),
            inharmonicity: figures.map(|figures| figures.inharmonicity.value.0),
            impedance_kg_s: figures.map(|figures| figures.impedance.value),
            stays: note.stays,
            changed: note.changed,
            approximate: note.approximate,
            why: Style::PLAIN.sentence(&note.why),
        }
    }
}

impl RefusedShape {
    fn of(refused: &Refused) -> Self {
        Self { name: refused.name.key(), why: said(&refused.why) }
    }
}

impl ExtentShape {
    fn of(one: &ExtentTried) -> Self {
        let figures = one.outcome.as_ref().ok();
        let step =
            |at: usize| figures.and_then(|figures| figures.steps[at]).map(|step| 100.0 * step);
        Self {
            notes: one.extent.notes,
            from: one.extent.from.to_string(),
            to: one.extent.to.to_string(),
            strings: one.extent.strings,
            objective: figures.map(|figures| figures.objective),
            pull_n: figures.map(|figures| to_newtons(figures.pull)),
            tension_jump_percent: step(0),
            inharmonicity_jump_percent: step(1),
            load_jump_percent: step(2),
            also_changes: said(&one.knock_on),
            refused: one.outcome.as_ref().err().map_or_else(Vec::new, |why| said(why)),
        }
    }
}

impl SwayedShape {
    fn of(one: &Swayed) -> Self {
        let step = |at: usize| one.steps[at].map(|step| 100.0 * step);
        Self {
            weight: one.term.key(),
            factor: one.factor,
            notes_changed: one.notes,
            pull_n: one.pull.map(to_newtons),
            tension_jump_percent: step(0),
            inharmonicity_jump_percent: step(1),
            load_jump_percent: step(2),
        }
    }
}
