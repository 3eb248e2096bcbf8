//! Whether a step at a break is too much, and what to measure when that is not settled.

use super::limit::{Limit, LimitKey, LimitUnit, Limits};
use crate::instrument::{About, Warning};
use crate::measure::{Measured, Note, Piece, Sentence, number, share};
use crate::scale::breaks::{
    FEWEST_NOTES, Figures, HalfSizes, Inside, Jump, OffTrend, Outcome, Quantity, Reading,
    Tolerance, Yardstick,
};
use crate::sentence;

/// The grade of one figure at one break.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// A step beyond the limit is unlikely.
    Smooth,
    /// A step beyond the limit is likelier than not.
    Noticeable,
    /// A step beyond the limit is all but certain.
    Rough,
    /// The readings do not say.
    NotSettled,
    /// Too few notes for a trend on one side.
    TooFew,
}

impl Grade {
    /// The word that machines read.
    pub fn key(self) -> &'static str {
        match self {
            Self::Smooth => "smooth",
            Self::Noticeable => "noticeable",
            Self::Rough => "rough",
            Self::NotSettled => "not_settled",
            Self::TooFew => "too_few",
        }
    }

    /// The grade that `chance` of a step beyond the limit earns.
    pub fn of(chance: f64, limits: &Limits) -> Self {
        if chance < limits.value(LimitKey::BreakSmoothBelow) {
            Self::Smooth
        } else if chance > limits.value(LimitKey::BreakRoughAbove) {
            Self::Rough
        } else if chance > limits.value(LimitKey::BreakNoticeableAbove) {
            Self::Noticeable
        } else {
            Self::NotSettled
        }
    }
}

/// One figure at one break, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Graded {
    /// The figure.
    pub quantity: Quantity,
    /// The grade.
    pub grade: Grade,
    /// Chance that the step is beyond the limit; `None` with too few notes.
    pub chance: Option<f64>,
    /// The limit.
    pub limit: Limit,
    /// The step, the piano's own steps beside it, and the chance, as a sentence.
    pub says: Sentence,
    /// What would settle it or make it surer; `None` when nothing is asked for.
    pub measure: Option<Sentence>,
}

/// The limit that belongs to `quantity`.
pub fn limit_of(quantity: Quantity) -> LimitKey {
    match quantity {
        Quantity::Tension => LimitKey::BreakTension,
        Quantity::Stress => LimitKey::BreakStress,
        Quantity::Inharmonicity => LimitKey::BreakInharmonicity,
        Quantity::Load => LimitKey::BreakLoad,
        Quantity::Drift => LimitKey::BreakDrift,
        Quantity::Impedance => LimitKey::BreakImpedance,
        Quantity::MassRatio => LimitKey::BreakMassRatio,
        Quantity::StrikeFraction => LimitKey::BreakStrikeFraction,
    }
}

/// Judges a step. The limit is on the larger side over the smaller, whichever way it goes.
pub fn grade(jump: &Jump, limits: &Limits) -> Graded {
    let limit = *limits.limit(limit_of(jump.quantity));
    let (grade, chance, says) = match &jump.outcome {
        Outcome::TooFew(few) => (Grade::TooFew, None, few.why.clone()),
        Outcome::Figures(figures) => {
            let chance = figures.chance_beyond(limit.as_ratio());
            (Grade::of(chance, limits), Some(chance), step_says(jump, figures, &limit, chance))
        }
    };
    let measure = measure(jump, grade);
    Graded { quantity: jump.quantity, grade, chance, limit, says, measure }
}

fn step_says(jump: &Jump, figures: &Figures, limit: &Limit, chance: f64) -> Sentence {
    let (name, per) = (jump.quantity.name(), jump.quantity.per().words());
    let (where_at, between) =
        if next_to_each_other(jump) { (" at ", "/") } else { (" from ", " to ") };
    let way = if figures.ln < 0.0 { "down" } else { "up" };
    let size = Measured::new(figures.fraction().abs(), figures.fraction_se());
    let mut text = sentence![format!("{name} {per} steps {way} "), Piece::Share(size), where_at];
    text.extend(sentence![jump.below, between, jump.above]);
    if figures.habit.0 < figures.habit.1 {
        text.push(" beyond what the change in the number of strings brings");
    }
    text.extend(own_steps(figures));
    text.extend(inside(figures));
    text.push(". Chance that it is more than ");
    text.push(match limit.unit {
        LimitUnit::Ratio => number(limit.value),
        _ => share(limit.value / 100.0),
    });
    text.push(if limit.unit == LimitUnit::Ratio { " times: " } else { ": " });
    text.push(Piece::Chance(chance));
    text
}

/// The piano's own steps, beside which this one is to be seen.
fn own_steps(figures: &Figures) -> Sentence {
    let own = |yardstick| matches!(yardstick, Yardstick::OwnSteps { .. });
    let both = own(figures.yardstick_below) && own(figures.yardstick_above);
    let where_in = if both { "the sections" } else { "the longer section" };
    match figures.largest_own_step() {
        Some(step) => {
            sentence![format!("; nowhere inside {where_in} does it step more than "), share(step)]
        }
        None => "; the sections are too short to show steps of their own".into(),
    }
}

/// The notes inside a zone against the trends on both sides, on the average.
fn inside(figures: &Figures) -> Sentence {
    let (Some(first), Some(last)) = (figures.inside.first(), figures.inside.last()) else {
        return Sentence::default();
    };
    let mean = |of: fn(&Inside) -> f64| {
        let sum: f64 = figures.inside.iter().map(of).sum();
        (sum / figures.inside.len() as f64).exp_m1()
    };
    let against = |off: f64| {
        let way = if off < 0.0 { " under" } else { " over" };
        sentence![share(off.abs()), way]
    };
    let mut text = sentence!["; inside the zone ", first.note];
    if first.note != last.note {
        text.extend(sentence![" to ", last.note]);
    }
    text.push(if first.note == last.note { " stands " } else { " stand on the average " });
    text.extend(against(mean(|one| one.over_below)));
    text.push(" the trend from below and ");
    text.extend(against(mean(|one| one.over_above)));
    text.push(" that from above");
    text
}

fn next_to_each_other(jump: &Jump) -> bool {
    jump.below.step(1) == Some(jump.above)
}

/// How many notes are asked for at once.
const NOTES_ASKED_FOR: usize = 6;
/// Notes a side from which on a trend gains little by more of them.
const ENOUGH_NOTES: usize = 8;

fn measure(jump: &Jump, grade: Grade) -> Option<Sentence> {
    let (below, above) = match &jump.outcome {
        Outcome::Figures(figures) => (figures.notes_below.len(), figures.notes_above.len()),
        Outcome::TooFew(few) => (few.below, few.above),
    };
    let enough = if grade == Grade::TooFew { FEWEST_NOTES } else { ENOUGH_NOTES };
    let sides = [(below, &jump.unmeasured_below), (above, &jump.unmeasured_above)];
    let short: Vec<_> = sides.iter().filter(|side| side.0 < enough && !side.1.is_empty()).collect();
    let mut notes: Vec<Note> = short
        .iter()
        .flat_map(|side| side.1.iter().copied().take(NOTES_ASKED_FOR / short.len()))
        .collect();
    notes.sort_unstable();
    if !notes.is_empty() {
        return Some(measure_notes(jump.quantity, &notes));
    }
    match (&jump.outcome, grade) {
        (Outcome::Figures(figures), Grade::NotSettled) => Some(measure_better(figures)),
        _ => None,
    }
}

fn measure_notes(quantity: Quantity, notes: &[Note]) -> Sentence {
    let what = match quantity {
        Quantity::StrikeFraction => "measure strike point and length of ",
        Quantity::MassRatio => "weigh the hammers, and measure the strings, of ",
        _ => "measure length and wire (wound: core and over the winding) of ",
    };
    let mut text = sentence![what];
    for (i, note) in notes.iter().enumerate() {
        if i > 0 {
            text.push(if i + 1 == notes.len() { " and " } else { ", " });
        }
        text.push(*note);
    }
    text
}

/// All notes are measured: which part of the doubt is largest, and what makes it less.
fn measure_better(figures: &Figures) -> Sentence {
    let own = (figures.se.powi(2) - figures.se_shared.powi(2)).max(0.0).sqrt();
    if figures.se_shared > own {
        "check the tools: most of the doubt is what the micrometer itself is off, which differs between \
         wound and plain; try it on new wire of known size"
            .into()
    } else if figures.se_reading >= own {
        "read the wire and the lengths of the notes nearest to the break a second time, and write \
         down the mean"
            .into()
    } else {
        "no reading of the strings will settle it: the scale steps as much inside its sections; \
         listen there"
            .into()
    }
}

/// A step of tension in half sizes of wire, and what size would take it away.
pub fn half_sizes_say(half_sizes: &HalfSizes) -> Sentence {
    let count = Measured::new(half_sizes.count.value.abs(), half_sizes.count.sd);
    let mut text = sentence!["that is ", Piece::Number(count), " half sizes of the wire at "];
    text.push(half_sizes.note);
    if let (Some(now), Some(fitting)) = (half_sizes.now, half_sizes.fitting)
        && now != fitting
    {
        text.push(format!(
            "; {} in place of {} would take it away",
            fitting.described(),
            now.described()
        ));
    }
    text
}

/// From where on a reading is to be measured again.
pub fn tolerance(limits: &Limits) -> Tolerance {
    Tolerance {
        deviations: limits.value(LimitKey::MeasureAgainDeviations),
        length: limits.value(LimitKey::MeasureAgainLength) / 100.0,
        far_length: limits.value(LimitKey::MeasureAgainFar) / 100.0,
        half_sizes: limits.value(LimitKey::MeasureAgainHalfSizes),
        tension: limits.value(LimitKey::MeasureAgainTension) / 100.0,
    }
}

/// A warning for every reading that stands out, with the reading that would fit.
pub fn measure_again(off: &[OffTrend]) -> Vec<Warning> {
    let says = |off: &OffTrend| Warning {
        kind: "measure_again",
        about: About::Note(off.note),
        text: again(off),
    };
    off.iter().map(says).collect()
}

fn again(off: &OffTrend) -> Sentence {
    let reading = match off.reading {
        Reading::Length => "the length",
        Reading::Core => "the wire",
        Reading::Over => "over the winding",
        Reading::WindingWire => "the winding wire",
    };
    let mut text =
        sentence!["measure ", off.note, format!(" again: {reading} was read as "), off.read];
    text.push(", and its neighbours ask for ");
    match off.size {
        Some(size) => text.push(format!("about No. {}", size.described())),
        None => text.push(off.fitting),
    }
    match off.reading {
        Reading::Length => {
            let stress = Measured::new((1.0 + off.off).powi(2) - 1.0, 0.0);
            text.extend(off_by("; as read its stress is ", stress, " their trend"));
        }
        Reading::Core => text.push("; as read it is of another size than the wire on both sides"),
        Reading::Over | Reading::WindingWire => {
            let tension = Measured::new(off.off, 0.0);
            text.extend(off_by("; as read its tension is ", tension, " their trend"));
        }
    }
    text.push(". If the reading stands, is the string of the set?");
    text
}

fn off_by(before: &'static str, by: Measured<f64>, after: &'static str) -> Sentence {
    let way = if by.value < 0.0 { " under" } else { " over" };
    sentence![before, share(by.value.abs()), way, after]
}
