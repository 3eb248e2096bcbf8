//! The step of one figure at one break: straight lines in the logarithm on both sides, carried to
//! the middle.
//!
//! `J = (line above at the middle) - (line below at the middle)`, in the logarithm of the figure.
//! Its variance is the sum over the two sides of what each side's yardstick gives (half the mean
//! square of the side's own steps), at least what the scatter of the readings alone would give,
//! plus the part of the tools' shared error that the two sides do not have in common.
//!
//! Per unison, a change of the string count by itself is no step: from "the unison goes on as it was"
//! to "each string goes on as it was" everything is habit, and only what lies beyond is counted.

use super::line::{dot, squares};
use super::yardstick::{Side, Yardstick};
use super::{Bias, BreakPlace, FEWEST_NOTES, Point, Quantity, Series};
use crate::measure::{Compass, Note, Sentence};
use crate::sentence;
use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// What is known of one figure at one break.
#[derive(Debug, Clone, PartialEq)]
pub struct Jump {
    /// The figure.
    pub quantity: Quantity,
    /// Outer note below.
    pub below: Note,
    /// Outer note above.
    pub above: Note,
    /// The step, or why there is none.
    pub outcome: Outcome,
    /// Notes of the run below, nearest to the break first, that would make the step surer if they
    /// were measured.
    pub unmeasured_below: Vec<Note>,
    /// The same above.
    pub unmeasured_above: Vec<Note>,
}

/// The step, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The step.
    Figures(Box<Figures>),
    /// Too few notes on one side or both.
    TooFew(TooFew),
}

/// Too few notes to draw a trend.
#[derive(Debug, Clone, PartialEq)]
pub struct TooFew {
    /// Usable notes below.
    pub below: usize,
    /// Usable notes above.
    pub above: usize,
    /// Why, and what would help.
    pub why: Sentence,
}

/// A step with its error.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Treble side over bass side, as a logarithm, beyond what the string count explains.
    pub ln: f64,
    /// The same with everything.
    pub ln_whole: f64,
    /// What a change of the string count may do, from and to, in the logarithm; both zero without one.
    pub habit: (f64, f64),
    /// One standard deviation of either.
    pub se: f64,
    /// The part of it that the scatter of the readings makes.
    pub se_reading: f64,
    /// The part of it that the tools make on one side and not on the other.
    pub se_shared: f64,
    /// The line from below at the middle of the break: logarithm of the figure.
    pub level_below: f64,
    /// The line from above.
    pub level_above: f64,
    /// Slope of the line below, in the logarithm per key.
    pub slope_below: f64,
    /// Slope of the line above.
    pub slope_above: f64,
    /// One standard deviation of either level, but for what the tools share.
    pub level_se: (f64, f64),
    /// One standard deviation of either slope.
    pub slope_se: (f64, f64),
    /// Slope above less slope below, in the logarithm per key.
    pub slope_change: f64,
    /// Its standard deviation.
    pub slope_change_se: f64,
    /// The yardstick below.
    pub yardstick_below: Yardstick,
    /// The yardstick above.
    pub yardstick_above: Yardstick,
    /// Notes that the line below is drawn through, nearest first.
    pub notes_below: Vec<Note>,
    /// Notes that the line above is drawn through, nearest first.
    pub notes_above: Vec<Note>,
    /// Notes inside a zone against both lines.
    pub inside: Vec<Inside>,
    /// Of an ordinary t-test on the two lines. For comparison only: wire sizes make it call 5 to 16
    /// of 100 breaks a step where there is none.
    pub p_value: f64,
}

/// A note inside a zone, as a logarithm against the two lines carried to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    /// The note.
    pub note: Note,
    /// Over the line from below.
    pub over_below: f64,
    /// Over the line from above.
    pub over_above: f64,
}

impl Figures {
    /// The step as a fraction: treble side over bass side, less 1.
    pub fn fraction(&self) -> f64 {
        self.ln.exp_m1()
    }

    /// Its standard deviation.
    pub fn fraction_se(&self) -> f64 {
        self.ln.exp() * self.se
    }

    /// The largest step that the recipe finds inside the two runs, as a fraction; `None` when both
    /// are too short to tell.
    pub fn largest_own_step(&self) -> Option<f64> {
        [self.yardstick_below, self.yardstick_above]
            .iter()
            .filter_map(|yardstick| match yardstick {
                Yardstick::OwnSteps { largest, .. } => Some(largest.exp_m1()),
                Yardstick::WidenedLeastSquares => None,
            })
            .reduce(f64::max)
    }

    /// The chance that one side stands more than `ratio` (above 1) over the other, beyond habit.
    pub fn chance_beyond(&self, ratio: f64) -> f64 {
        let limit = ratio.ln();
        let over = self.ln_whole - (self.habit.1 + limit);
        let under = (self.habit.0 - limit) - self.ln_whole;
        (below(over, self.se) + below(under, self.se)).clamp(0.0, 1.0)
    }
}

/// Chance that a value of error `se` lies below `x`, taken around zero.
fn below(x: f64, se: f64) -> f64 {
    if se > 0.0 {
        Normal::standard().cdf(x / se)
    } else if x > 0.0 {
        1.0
    } else {
        0.0
    }
}

/// The step of `series` at `place`.
pub fn jump(place: &BreakPlace, series: &Series) -> Jump {
    let below: Vec<Point> =
        series.between(place.run_below.first, place.run_below.last).iter().rev().copied().collect();
    let above: Vec<Point> = series.between(place.run_above.first, place.run_above.last).to_vec();
    let outcome = match (Fitted::new(place, below.clone()), Fitted::new(place, above.clone())) {
        (Some(low), Some(high)) => Outcome::Figures(Box::new(figures(place, series, &low, &high))),
        _ => Outcome::TooFew(too_few(place, series.quantity(), below.len(), above.len())),
    };
    Jump {
        quantity: series.quantity(),
        below: place.below,
        above: place.above,
        outcome,
        unmeasured_below: unmeasured(place.run_below.notes().rev(), &below),
        unmeasured_above: unmeasured(place.run_above.notes(), &above),
    }
}

/// One side with its points, from the break outwards.
struct Fitted {
    x: Vec<f64>,
    y: Vec<f64>,
    points: Vec<Point>,
    side: Side,
}

impl Fitted {
    fn new(place: &BreakPlace, points: Vec<Point>) -> Option<Self> {
        let x: Vec<f64> = points.iter().map(Point::key).collect();
        let y: Vec<f64> = points.iter().map(|p| p.ln_value).collect();
        let side = Side::new(&x, &y, place.middle(), place.width())?;
        Some(Self { x, y, points, side })
    }

    fn used(&self) -> &[Point] {
        &self.points[..self.side.used]
    }

    fn level(&self) -> f64 {
        dot(&self.side.line.value, &self.y[..self.side.used])
    }

    fn slope(&self) -> f64 {
        dot(&self.side.line.slope, &self.y[..self.side.used])
    }

    /// Variance of the level from the scatter of the readings.
    fn reading(&self) -> f64 {
        let each = self.used().iter().zip(&self.side.line.value);
        each.map(|(point, weight)| (weight * point.sd).powi(2)).sum()
    }

    fn level_se(&self) -> f64 {
        self.side.variance.max(self.reading()).sqrt()
    }

    /// How one standard deviation of each bias moves the level.
    fn shared(&self) -> [f64; Bias::COUNT] {
        let mut moved = [0.0; Bias::COUNT];
        for (point, weight) in self.used().iter().zip(&self.side.line.value) {
            for (sum, effect) in moved.iter_mut().zip(point.shared) {
                *sum += weight * effect;
            }
        }
        moved
    }

    fn residual_squares(&self) -> f64 {
        let used = self.side.used;
        self.side.line.residual_squares(&self.x[..used], &self.y[..used])
    }

    fn notes(&self) -> Vec<Note> {
        self.used().iter().map(|point| point.note).collect()
    }
}

fn figures(place: &BreakPlace, series: &Series, low: &Fitted, high: &Fitted) -> Figures {
    let whole = high.level() - low.level();
    let habit = habit(place, series.quantity());
    let reading = low.reading() + high.reading();
    let shared: f64 =
        low.shared().iter().zip(high.shared()).map(|(low, high)| (high - low).powi(2)).sum();
    let own = low.side.variance + high.side.variance;
    Figures {
        ln: (whole - habit.1).max(0.0) + (whole - habit.0).min(0.0),
        ln_whole: whole,
        habit,
        se: (own.max(reading) + shared).sqrt(),
        se_reading: reading.sqrt(),
        se_shared: shared.sqrt(),
        level_below: low.level(),
        level_above: high.level(),
        slope_below: low.slope(),
        slope_above: high.slope(),
        level_se: (low.level_se(), high.level_se()),
        slope_se: (low.side.slope_variance.sqrt(), high.side.slope_variance.sqrt()),
        slope_change: high.slope() - low.slope(),
        slope_change_se: (low.side.slope_variance + high.side.slope_variance).sqrt(),
        yardstick_below: low.side.yardstick,
        yardstick_above: high.side.yardstick,
        notes_below: low.notes(),
        notes_above: high.notes(),
        inside: inside(place, series, low, high),
        p_value: p_value(whole, low, high),
    }
}

/// What a change of the string count may do to `quantity`, in the logarithm.
fn habit(place: &BreakPlace, quantity: Quantity) -> (f64, f64) {
    let each_string_kept = match place.counts {
        Some((below, above)) if below > 0 && above > 0 => {
            quantity.count_power() * (f64::from(above) / f64::from(below)).ln()
        }
        _ => 0.0,
    };
    (each_string_kept.min(0.0), each_string_kept.max(0.0))
}

fn inside(place: &BreakPlace, series: &Series, low: &Fitted, high: &Fitted) -> Vec<Inside> {
    let carried =
        |fitted: &Fitted, to: f64| fitted.level() + fitted.slope() * (to - place.middle());
    let within = |point: &&Point| place.below < point.note && point.note < place.above;
    series
        .points()
        .iter()
        .filter(within)
        .map(|point| Inside {
            note: point.note,
            over_below: point.ln_value - carried(low, point.key()),
            over_above: point.ln_value - carried(high, point.key()),
        })
        .collect()
}

/// The ordinary two-sided t-test of the step, the two sides sharing one scatter.
fn p_value(step: f64, low: &Fitted, high: &Fitted) -> f64 {
    let freedom = (low.side.used + high.side.used) as f64 - 4.0;
    let scatter = (low.residual_squares() + high.residual_squares()) / freedom;
    let weights = squares(&low.side.line.value) + squares(&high.side.line.value);
    let t = step.abs() / (scatter * weights).sqrt();
    match StudentsT::new(0.0, 1.0, freedom) {
        Ok(student) if t.is_finite() => 2.0 * student.sf(t),
        // No scatter at all: any step is certain, none is none.
        _ => f64::from(u8::from(step == 0.0)),
    }
}

/// Notes of a run, from the break outwards, without a point, as far as a line reaches.
fn unmeasured(run: impl Iterator<Item = Note>, points: &[Point]) -> Vec<Note> {
    let without = |note: &Note| points.iter().all(|point| point.note != *note);
    run.take(super::yardstick::MOST_NOTES).filter(without).collect()
}

fn too_few(place: &BreakPlace, quantity: Quantity, below: usize, above: usize) -> TooFew {
    let mut why = sentence![
        format!("no step of {} {} is given between ", quantity.name(), quantity.per().words()),
        place.below,
        " and ",
        place.above,
    ];
    let sides = [(below, place.run_below, "below"), (above, place.run_above, "above")];
    for (have, run, side) in sides.into_iter().filter(|side| side.0 < FEWEST_NOTES) {
        why.extend(lacking(have, run, side));
    }
    TooFew { below, above, why }
}

/// What one side lacks: notes, or readings of them.
fn lacking(have: usize, run: Compass, side: &str) -> Sentence {
    let plural = |n: usize| if n == 1 { " note" } else { " notes" };
    if run.len() < FEWEST_NOTES {
        return sentence![
            format!("; {side} lie only "),
            run.len(),
            plural(run.len()),
            " before the compass ends or the make changes again, too few for a trend whatever is \
             measured",
        ];
    }
    sentence![
        format!("; {side}, of "),
        run.first,
        " to ",
        run.last,
        ", ",
        have,
        plural(have),
        " can be used, and a trend needs ",
        FEWEST_NOTES,
        ": what is filled in between readings carries no reading of its own",
    ]
}
