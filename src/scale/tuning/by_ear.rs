//! What a tuner hears at a break: thirds that will not run evenly, octaves that are clean one way or the
//! other.
//!
//! Taken are the twelve thirds about the break (four wholly below it, those across it, four wholly
//! above), with every note in them free to be moved. Where thirds beat too fast to be followed, the tenths
//! whose higher notes lie about the break stand in for them. The yardstick is the piano itself: the same
//! recipe at the places nearest to the break inside its two runs of like notes, beats brought
//! to the pitch of the break, and the median taken (an octave below a break its echo is among them).

use super::compromise::{Row, System};
use super::{Interval, Rules, Tuning};
use crate::measure::{Cents, Compass, Measured, Note, Sentence};
use crate::scale::breaks::BreakPlace;
use crate::scale::{Scale, Source};
use crate::sentence;

/// Thirds wholly below and wholly above, and tenths that end there.
const BESIDE_THIRDS: i32 = 4;
const BESIDE_TENTHS: i32 = 6;
/// Fewest of them that show a course on either side.
const FEWEST_BESIDE: usize = 3;
/// Most places inside each run that serve as yardstick: those nearest to the break.
const PLACES: usize = 12;
/// Octaves on either side whose mean width is given; fewest that make one.
const OCTAVES: usize = 6;
const FEWEST_OCTAVES: usize = 3;

/// What a tuner hears at one break.
#[derive(Debug, Clone, PartialEq)]
pub struct ByEar {
    /// By how much a 6:3 octave is wider than a 4:2 one, and a 4:2 than a 2:1.
    pub widths: [Widths; 2],
    /// Thirds and octaves; a sentence when too little is known or too fast to be heard.
    pub guided: Result<Guided, Sentence>,
}

/// By how much the octave by one pair of partials is wider than that by another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Widths {
    /// The wider one by name and the other.
    pub of: (Interval, Interval),
    /// Octaves wholly below the break, the nearest ones: mean and its standard error.
    pub below: Option<Measured<Cents>>,
    /// Octaves across it.
    pub across: Option<Measured<Cents>>,
    /// Octaves wholly above.
    pub above: Option<Measured<Cents>>,
}

/// Thirds (or tenths) and octaves at a break.
#[derive(Debug, Clone, PartialEq)]
pub struct Guided {
    /// Thirds or tenths.
    pub guide: Interval,
    /// Each of them, from the bass, octaves being clean.
    pub course: Vec<GuideRate>,
    /// What is left of unevenness when the octaves are kept clean.
    pub octaves_clean: Left,
    /// How the octaves beat when thirds (or tenths) are kept even.
    pub guides_even: Left,
    /// The least squares of both.
    pub compromise: Left,
    /// Every note that the compromise moves, with by how much.
    pub moved: Vec<(Note, Cents)>,
    /// The same inside the sections; `None` when both are too short.
    pub inside: Option<Inside>,
    /// Notes that take part, and how many of them were measured.
    pub notes: (usize, usize),
    /// Bare ends of some of them were assumed.
    pub ends_assumed: bool,
}

/// One third or tenth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuideRate {
    /// Its lower note.
    pub low: Note,
    /// Beats a second.
    pub rate: f64,
    /// How much of that is off the even course.
    pub off: f64,
}

/// Beats left over, a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Thirds or tenths off their course.
    pub guides: Off,
    /// Octaves off clean.
    pub octaves: Off,
}

/// Beats that are too many or too few, a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// Root mean square.
    pub rms: f64,
    /// The lower note of the interval that is furthest off, and by how much.
    pub worst: (Note, f64),
}

/// The medians of the same figures at places inside the sections: root mean squares of beats a second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inside {
    /// How many places.
    pub places: usize,
    /// Thirds off their course, octaves clean.
    pub octaves_clean: f64,
    /// Octaves off clean, thirds even.
    pub guides_even: f64,
    /// Thirds and octaves in the compromise.
    pub compromise: (f64, f64),
}

/// What a tuner hears at `place`.
pub fn by_ear(tuning: &Tuning, scale: &Scale, place: &BreakPlace, rules: &Rules) -> ByEar {
    let pairs =
        [(Interval::Octave63, Interval::Octave42), (Interval::Octave42, Interval::Octave21)];
    ByEar {
        widths: pairs.map(|of| widths(tuning, place, of)),
        guided: guided(tuning, scale, place, rules),
    }
}

fn guided(
    tuning: &Tuning,
    scale: &Scale,
    place: &BreakPlace,
    rules: &Rules,
) -> Result<Guided, Sentence> {
    tuning.temperament.as_ref().map_err(Sentence::clone)?;
    let at = Place::of(place);
    let mut speeds = Vec::new();
    for guide in [Interval::Third, Interval::Tenth] {
        let window = at.window(guide);
        let system = window.system(tuning, rules, guide);
        enough(&system, guide, place)?;
        let speed = mean(system.guides.iter().map(|row| row.at));
        if speed <= rules.fastest {
            let solved = Solved::of(&system).ok_or_else(|| {
                sentence!["too few octaves lead to the notes beside the break to judge it by ear"]
            })?;
            return Ok(figures(tuning, scale, (place, rules), guide, &system, &solved));
        }
        speeds.push(speed);
    }
    let mut why = sentence!["thirds beat there "];
    why.push(crate::measure::Piece::Beats(speeds[0]));
    why.push(" times a second and tenths ");
    why.push(crate::measure::Piece::Beats(speeds[1]));
    why.push(": faster than can be followed, and octaves alone are tuned by");
    Err(why)
}

fn enough(system: &System, guide: Interval, place: &BreakPlace) -> Result<(), Sentence> {
    let (below, above) = (place.below.key(), place.above.key());
    let count = |beside: &dyn Fn(u8, u8) -> bool| {
        let ends = |row: &&Row| beside(row.low, row.low + guide.semitones());
        system.guides.iter().filter(ends).count()
    };
    let under = count(&|_, high| high <= below);
    let across = count(&|low, high| low <= below && high >= above);
    let over = match guide {
        Interval::Tenth => count(&|_, high| high >= above),
        _ => count(&|low, _| low >= above),
    };
    let (side, few) = if under < FEWEST_BESIDE {
        ("below", under)
    } else if over < FEWEST_BESIDE {
        ("above", over)
    } else if across == 0 {
        ("across", across)
    } else {
        return Ok(());
    };
    let count = match few {
        0 => "no".to_owned(),
        _ => format!("only {few}"),
    };
    let (name, verb) = match (guide, few) {
        (Interval::Tenth, 1) => ("tenth", "is"),
        (Interval::Tenth, _) => ("tenths", "are"),
        (_, 1) => ("third", "is"),
        _ => ("thirds", "are"),
    };
    Err(sentence![format!(
        "{count} {name} {side} this break {verb} known: too few to tell whether they run evenly"
    )])
}

/// Outer notes of a place, by key.
#[derive(Debug, Clone, Copy)]
struct Place {
    below: i32,
    above: i32,
}

/// The lower notes of the thirds or tenths about a place, and the notes that may be moved, by key.
struct Window {
    lows: (i32, i32),
    moved: (i32, i32),
}

impl Place {
    fn of(place: &BreakPlace) -> Self {
        Self { below: i32::from(place.below.key()), above: i32::from(place.above.key()) }
    }

    fn window(self, guide: Interval) -> Window {
        let span = i32::from(guide.semitones());
        let Self { below, above } = self;
        if guide == Interval::Tenth {
            let moved = (below - BESIDE_TENTHS + 1, above + BESIDE_TENTHS - 1);
            return Window { lows: (moved.0 - span, moved.1 - span), moved };
        }
        let lows = (below - span - BESIDE_THIRDS + 1, above + BESIDE_THIRDS - 1);
        Window { lows, moved: (lows.0, lows.1 + span) }
    }
}

impl Window {
    fn system(&self, tuning: &Tuning, rules: &Rules, guide: Interval) -> System {
        let keys = |(first, last): (i32, i32)| (first.max(1)..=last.min(88)).map(|key| key as u8);
        System::new(tuning, rules, guide, keys(self.lows), keys(self.moved))
    }

    fn size(&self) -> usize {
        usize::try_from(self.lows.1 - self.lows.0 + 1).unwrap_or(0)
    }
}

/// The three ways to tune, each with what it leaves.
struct Solved {
    clean: (Vec<f64>, Vec<f64>),
    even: (Vec<f64>, Vec<f64>),
    compromise: (Vec<f64>, Vec<f64>),
    cents: Vec<f64>,
}

impl Solved {
    fn of(system: &System) -> Option<Self> {
        let left = |x: &[f64]| (System::left(&system.guides, x), System::left(&system.octaves, x));
        let cents = system.compromise()?;
        Some(Self {
            clean: left(&system.octaves_clean()?),
            even: left(&system.guides_even()?),
            compromise: left(&cents),
            cents,
        })
    }
}

fn figures(
    tuning: &Tuning,
    scale: &Scale,
    (place, rules): (&BreakPlace, &Rules),
    guide: Interval,
    system: &System,
    solved: &Solved,
) -> Guided {
    let left = |(guides, octaves): &(Vec<f64>, Vec<f64>)| Left {
        guides: off(&system.guides, guides),
        octaves: off(&system.octaves, octaves),
    };
    let note = |key: u8| Note::from_key(key).unwrap_or(place.below);
    let course = system.guides.iter().zip(&solved.clean.0).map(|(row, off)| GuideRate {
        low: note(row.low),
        rate: row.at / row.scale,
        off: off / row.scale,
    });
    let takes_part = |key: &u8| {
        let of = |row: &Row| row.low == *key || row.low + guide.semitones() == *key;
        system.guides.iter().any(of)
    };
    let notes: Vec<_> =
        (1..=88).filter(takes_part).filter_map(|key| scale.note(note(key))).collect();
    let measured = notes.iter().filter(|entry| entry.source == Source::Measured).count();
    Guided {
        guide,
        course: course.collect(),
        octaves_clean: left(&solved.clean),
        guides_even: left(&solved.even),
        compromise: left(&solved.compromise),
        moved: system
            .moved
            .iter()
            .zip(&solved.cents)
            .map(|(key, cents)| (note(*key), Cents(*cents)))
            .collect(),
        inside: inside(tuning, rules, guide, place),
        notes: (notes.len(), measured),
        ends_assumed: notes
            .iter()
            .any(|entry| entry.string.as_ref().is_some_and(|string| string.bare_ends_assumed)),
    }
}

/// Beats left over, each interval's own (not brought to another pitch) where the worst is named.
fn off(rows: &[Row], left: &[f64]) -> Off {
    let worst = rows.iter().zip(left).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let (low, by) = worst.map_or((49, 0.0), |(row, by)| (row.low, by / row.scale));
    Off { rms: rms(left), worst: (Note::from_key(low).unwrap_or(Note::A4), by) }
}

fn rms(values: &[f64]) -> f64 {
    mean(values.iter().map(|value| value * value)).sqrt()
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

/// The same recipe at the places nearest to the break inside its two runs.
fn inside(tuning: &Tuning, rules: &Rules, guide: Interval, place: &BreakPlace) -> Option<Inside> {
    let at = Place::of(place);
    let width = at.above - at.below;
    let fits = |run: Compass, below: i32| {
        let window = Place { below, above: below + width }.window(guide);
        window.moved.0 >= i32::from(run.first.key()) && window.moved.1 <= i32::from(run.last.key())
    };
    let under = (1..at.below).rev().filter(|below| fits(place.run_below, *below)).take(PLACES);
    let over = (at.above..88).filter(|below| fits(place.run_above, *below)).take(PLACES);
    let mut found: [Vec<f64>; 4] = Default::default();
    for below in under.chain(over) {
        let window = Place { below, above: below + width }.window(guide);
        let system = window.system(tuning, rules, guide);
        if system.guides.len() < window.size() {
            continue;
        }
        let Some(solved) = Solved::of(&system) else { continue };
        let to_the_break = (f64::from(at.below - below) / 12.0).exp2();
        let all = [&solved.clean.0, &solved.even.1, &solved.compromise.0, &solved.compromise.1];
        for (found, left) in found.iter_mut().zip(all) {
            found.push(to_the_break * rms(left));
        }
    }
    let places = found[0].len();
    let [clean, even, guides, octaves] = found.map(median);
    Some(Inside {
        places,
        octaves_clean: clean?,
        guides_even: even?,
        compromise: (guides?, octaves?),
    })
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    let upper = *values.get(middle)?;
    Some(if values.len() % 2 == 1 { upper } else { f64::midpoint(values[middle - 1], upper) })
}

fn widths(tuning: &Tuning, place: &BreakPlace, of: (Interval, Interval)) -> Widths {
    let (below, above) = (place.below.key(), place.above.key());
    let difference = |low: u8| {
        let width = |kind: Interval| {
            let (n, m) = kind.partials();
            let ratio = tuning.tones.ratios(low)?[n - 1] / tuning.tones.ratios(low + 12)?[m - 1];
            Some(Cents::of_ratio(ratio).0)
        };
        Some(width(of.0)? - width(of.1)?)
    };
    let nearest = |lows: &mut dyn Iterator<Item = u8>, most: usize| {
        let values: Vec<f64> = lows.filter_map(difference).take(most).collect();
        mean_with_error(&values)
    };
    Widths {
        of,
        below: nearest(
            &mut (place.run_below.first.key()..=below.saturating_sub(12)).rev(),
            OCTAVES,
        ),
        across: nearest(&mut (above.saturating_sub(12).max(1)..=below), 12),
        above: nearest(&mut (above..=place.run_above.last.key().saturating_sub(12)), OCTAVES),
    }
}

fn mean_with_error(values: &[f64]) -> Option<Measured<Cents>> {
    if values.len() < FEWEST_OCTAVES {
        return None;
    }
    let (n, mean) = (values.len() as f64, mean(values.iter().copied()));
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    Some(Measured::new(Cents(mean), Cents((squares / (n * (n - 1.0))).sqrt())))
}
