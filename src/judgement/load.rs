//! Load at the finished pitch: smooth along the section, held against the limits both ways.

use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{Limit, LimitKey, LimitUnit, Limits};
use crate::instrument::{About, Heard, Instrument};
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Measured, Note, Piece, Sentence, share};
use crate::scale::{NoteStrings, StringKind};
use crate::sentence;
use statrs::function::erf::erfc;

/// Load of one note's strings on the smooth curve of its section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SmoothLoad {
    pub note: Note,
    /// Strings of the unison.
    pub strings: usize,
    pub wound: bool,
    /// Tension over the series' minimum, as a fraction.
    pub load: f64,
    /// One standard deviation.
    pub sd: f64,
}

/// Scatter of one note's load about the smooth curve, beyond its reading: wire and windings come in
/// sizes. Relative, one standard deviation.
const SIZE_SCATTER_PLAIN: f64 = 0.01;
const SIZE_SCATTER_WOUND: f64 = 0.04;

/// What is believed of ln(load) along a section before it is read.
const PRIOR: Prior = Prior { slope: 0.0, slope_sd: 0.05, roughness: 0.005, roughness_factor: 3.0 };

/// The loads of a section's notes, smoothed: plain and wound strings apart.
pub(crate) fn smooth(notes: &[&NoteStrings]) -> Vec<SmoothLoad> {
    let mut all: Vec<SmoothLoad> = [StringKind::Wound, StringKind::Plain]
        .into_iter()
        .flat_map(|kind| smooth_kind(notes, kind))
        .collect();
    all.sort_by_key(|load| load.note);
    all
}

fn smooth_kind(notes: &[&NoteStrings], kind: StringKind) -> Vec<SmoothLoad> {
    let of_kind: Vec<_> = notes
        .iter()
        .filter(|note| note.kind == Some(kind))
        .filter_map(|note| Some((note, note.string.as_ref()?.load?)))
        .filter(|(_, load)| load.value.is_finite() && load.value > 0.0)
        .collect();
    let wound = kind == StringKind::Wound;
    let scatter = if wound { SIZE_SCATTER_WOUND } else { SIZE_SCATTER_PLAIN };
    let relative = |load: &Measured<f64>| (load.sd / load.value).max(0.0);
    let at = |note: &NoteStrings| f64::from(note.note.key());
    let points = of_kind
        .iter()
        .map(|(note, load)| Point {
            at: at(note),
            value: load.value.ln(),
            sd: relative(load).hypot(scatter),
        })
        .collect();
    let Some(trend) = Trend::through(points, PRIOR) else { return Vec::new() };
    let places: Vec<f64> = of_kind.iter().map(|(note, _)| at(note)).collect();
    // Half the variance of a reading is the tool's own and does not average out along the section.
    let shared = of_kind.iter().map(|(_, load)| relative(load).powi(2)).sum::<f64>()
        / of_kind.len() as f64
        / 2.0;
    of_kind
        .iter()
        .zip(trend.at(&places))
        .map(|((note, _), on)| {
            let load = on.value.exp();
            SmoothLoad {
                note: note.note,
                strings: usize::from(note.strings.unwrap_or(1)),
                wound,
                load,
                sd: load * (on.sd.powi(2) + shared).sqrt(),
            }
        })
        .collect()
}

/// The limits that hold for one string.
#[derive(Debug, Clone, Copy)]
struct Band {
    act_low: LimitKey,
    good_low: LimitKey,
    good_high: LimitKey,
    act_high: LimitKey,
}

impl Band {
    fn of(string: &SmoothLoad, limits: &Limits) -> Self {
        Self::at(string.note, string.wound, limits)
    }

    fn at(note: Note, wound: bool, limits: &Limits) -> Self {
        use LimitKey as K;
        if wound {
            return Self {
                act_low: K::WoundActLow,
                good_low: K::WoundGoodLow,
                good_high: K::WoundGoodHigh,
                act_high: K::WoundActHigh,
            };
        }
        let top = f64::from(note.key()) >= limits.value(K::TopOctaveFrom);
        let (good_high, act_high) =
            if top { (K::TopGoodHigh, K::TopActHigh) } else { (K::PlainGoodHigh, K::PlainActHigh) };
        Self { act_low: K::PlainActLow, good_low: K::PlainGoodLow, good_high, act_high }
    }
}

/// The loads below and above which the string of `note` is at fault, percent.
pub fn load_limits(note: Note, kind: Option<StringKind>, limits: &Limits) -> (f64, f64) {
    let band = Band::at(note, kind == Some(StringKind::Wound), limits);
    (limits.value(band.act_low), limits.value(band.act_high))
}

/// Loads of a section against the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum LoadState {
    /// Within the good band.
    Good,
    /// Outside it, inside the limits.
    Watch,
    /// Slack at the end beside a break.
    SlackEnd,
    /// Slack over most of the section.
    SlackThroughout,
    /// Above the limit.
    Over,
    /// Beyond the elastic limit.
    Yields,
}

/// How the loads of a section stand at `factor` times the tension of the finished pitch.
pub(crate) fn state(loads: &[SmoothLoad], factor: f64, limits: &Limits) -> LoadState {
    let mut worst = LoadState::Good;
    let mut slack = 0;
    for string in loads {
        let band = Band::of(string, limits);
        let load = 100.0 * string.load * factor;
        let value = |key| limits.value(key);
        slack += usize::from(load < value(band.act_low));
        let here = if load > value(LimitKey::ElasticLimit) && load > value(band.act_high) {
            LoadState::Yields
        } else if load > value(band.act_high) {
            LoadState::Over
        } else if load > value(band.good_high) || load < value(band.good_low) {
            LoadState::Watch
        } else {
            LoadState::Good
        };
        worst = worst.max(here);
    }
    if worst >= LoadState::Over || slack == 0 {
        return worst;
    }
    if 100.0 * slack as f64 > limits.value(LimitKey::SlackShare) * loads.len() as f64 {
        LoadState::SlackThroughout
    } else {
        LoadState::SlackEnd
    }
}

/// The greatest smoothed load of the section, percent.
pub(crate) fn greatest(loads: &[SmoothLoad]) -> Option<f64> {
    loads.iter().map(|string| 100.0 * string.load).reduce(f64::max)
}

/// Relative doubt of the level of a section's loads, one standard deviation.
pub(crate) fn doubt(loads: &[SmoothLoad]) -> f64 {
    let sum: f64 = loads.iter().map(|string| string.sd / string.load).sum();
    if loads.is_empty() { 0.0 } else { sum / loads.len() as f64 }
}

/// What was heard at the breaks that bound or lie in section `index`, the worst of it.
pub(crate) fn heard(instrument: &Instrument, index: usize) -> Option<Heard> {
    let notes = instrument.sections[index].notes;
    instrument
        .heard
        .iter()
        .filter(|at| notes.contains(at.below) || notes.contains(at.above))
        .map(|at| at.heard)
        .max_by_key(|heard| match heard {
            Heard::Even => 0,
            Heard::Slight => 1,
            Heard::Plain => 2,
        })
}

/// The finding on a section's loads; `decides` when the verdict rests on it.
pub(crate) fn finding(
    facts: &SectionFacts,
    state: LoadState,
    decides: bool,
    limits: &Limits,
) -> Option<Finding> {
    let about = About::Section(facts.name.clone());
    let over = beyond(&facts.loads, limits, true);
    let slack = beyond(&facts.loads, limits, false);
    let slack_state = matches!(state, LoadState::SlackEnd | LoadState::SlackThroughout);
    let nearer_slack =
        matches!(state, LoadState::Good | LoadState::Watch) && slack.least > over.least;
    let shown = if slack_state || nearer_slack { &slack } else { &over };
    let worst = shown.worst?;
    let weighs = match state {
        _ if decides => Weighs::Decides,
        LoadState::Good => Weighs::Keeps,
        LoadState::Watch => Weighs::Watch,
        _ => Weighs::Restrings,
    };
    let percent = 100.0 * worst.load;
    let sd = 100.0 * worst.sd;
    let value = Figure::new(percent, LimitUnit::Percent).between(percent - sd, percent + sd);
    let finding = Finding::new(FindingKind::Load, about, weighs, words(facts, state, shown, worst))
        .value(value)
        .limit(&shown.limit);
    Some(finding.step(expected(&over, "above")).step(expected(&slack, "below")))
}

/// Strings beyond a limit on one side.
struct Beyond {
    /// The string nearest to, or furthest beyond, its limit.
    worst: Option<SmoothLoad>,
    /// Its limit.
    limit: Limit,
    /// Expected number of strings beyond.
    expected: f64,
    /// Notes whose smoothed load lies beyond.
    named: Vec<Note>,
    /// How far the worst lies beyond its limit, as a fraction; below zero inside it.
    least: f64,
}

fn beyond(loads: &[SmoothLoad], limits: &Limits, high: bool) -> Beyond {
    let key = |string: &SmoothLoad| {
        let band = Band::of(string, limits);
        if high { band.act_high } else { band.act_low }
    };
    let excess = |string: &SmoothLoad| {
        let over = string.load - limits.value(key(string)) / 100.0;
        if high { over } else { -over }
    };
    let worst = loads.iter().max_by(|a, b| excess(a).total_cmp(&excess(b))).copied();
    let chance = |string: &SmoothLoad| {
        let z = excess(string) / string.sd.max(f64::MIN_POSITIVE);
        0.5 * erfc(-z / std::f64::consts::SQRT_2)
    };
    Beyond {
        worst,
        limit: *limits.limit(worst.as_ref().map_or(LimitKey::PlainActHigh, key)),
        expected: loads.iter().map(|string| string.strings as f64 * chance(string)).sum(),
        named: loads.iter().filter(|s| excess(s) > 0.0).map(|s| s.note).collect(),
        least: worst.as_ref().map_or(f64::NEG_INFINITY, excess),
    }
}

fn words(facts: &SectionFacts, state: LoadState, shown: &Beyond, worst: SmoothLoad) -> Sentence {
    let percent = Piece::Share(Measured::new(worst.load, worst.sd));
    let kind = if worst.wound { "wound core" } else { "string" };
    let limit = share(shown.limit.value / 100.0);
    let mut said = match state {
        LoadState::Good => sentence![
            format!("the loads of the {} are good: the {kind} nearest its limit, ", facts.name),
            worst.note,
            ", bears by the course of its neighbours ",
            percent,
            " of its breaking load at the finished pitch (limit ",
            limit,
            ")"
        ],
        LoadState::Watch => sentence![
            format!(
                "the {} is outside the usual loads but inside the limits: the {kind} nearest its limit, ",
                facts.name
            ),
            worst.note,
            ", bears by the course of its neighbours ",
            percent,
            " at the finished pitch (limit ",
            limit,
            ")"
        ],
        LoadState::SlackEnd | LoadState::SlackThroughout => sentence![
            format!("strings of the {} are slack: the slackest, ", facts.name),
            worst.note,
            ", bears by the course of its neighbours only ",
            percent,
            " at the finished pitch (limit ",
            limit,
            ")"
        ],
        LoadState::Over | LoadState::Yields => sentence![
            format!("strings of the {} are loaded beyond the limit: ", facts.name),
            worst.note,
            " would bear by the course of its neighbours ",
            percent,
            " of its breaking load at the finished pitch (limit ",
            limit,
            ")"
        ],
    };
    if shown.named.len() == 1 {
        said.push("; beyond it lies one note");
    } else if let (Some(first), Some(last)) = (shown.named.first(), shown.named.last()) {
        said.extend(sentence![
            "; beyond it lie ",
            shown.named.len(),
            " notes, ",
            *first,
            " to ",
            *last
        ]);
    }
    said
}

fn expected(beyond: &Beyond, side: &str) -> Sentence {
    sentence![
        "strings expected ",
        format!("{side} the limit `{}` and its like, given the readings: ", beyond.limit.name),
        Piece::Expected(beyond.expected),
        format!(" (limit: {})", beyond.limit.source.text())
    ]
}
