//! What would turn a verdict: the smallest change of one input that changes it.

use super::facts::SectionFacts;
use super::finding::FindingKind;
use super::outcome::Turn;
use super::pins::{self, PinsBeside};
use super::sections::{Judged, stage};
use super::tone;
use super::verdict::{Decision, Drawn, PinVerdict, Setting, StringVerdict};
use crate::measure::{Cents, Sentence, share};
use crate::sentence;

/// How many changes are named.
const NAMED: usize = 3;
/// A change of pitch as large as this weighs as much as one grade of rust or one pin more.
const CENTS_PER_STEP: f64 = 10.0;
/// Changes of pitch that are tried, cents; between two of them the turn is narrowed down.
const CENTS_TRIED: [f64; 9] = [5.0, 10.0, 20.0, 35.0, 60.0, 100.0, 150.0, 220.0, 300.0];
/// Changes of all loads that are tried, as a share of themselves.
const LOADS_TRIED: [f64; 8] = [0.02, 0.05, 0.09, 0.14, 0.20, 0.30, 0.45, 0.60];
/// Halvings that narrow a turn down: to a hundredth of the step that found it.
const HALVINGS: usize = 7;
/// A change of use, guarantee or price is no reading: it is named after the readings.
const NO_READING: f64 = 1e3;

/// The smallest changes that turn the decision on section `index`.
pub(crate) fn of(
    judged: &Judged,
    index: usize,
    facts: &SectionFacts,
    decision: &Decision,
) -> Vec<Turn> {
    let search = Search { judged, index, facts, now: decision.verdict };
    let mut found: Vec<(f64, Turn)> = [
        search.pitch(),
        search.load(),
        search.rust(),
        search.pins(),
        search.tone(),
        search.guarantee(),
        search.bargain(),
        search.stop(),
    ]
    .into_iter()
    .flatten()
    .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(NAMED);
    found.into_iter().map(|(_, turn)| turn).collect()
}

/// Loads are never surer than this, relative.
const LEAST_DOUBT: f64 = 1e-3;

/// The smallest change, up or down, that turns the verdict, and the verdict that it turns to.
fn nearest(
    tried: &[f64],
    turned: impl Fn(f64) -> Option<StringVerdict>,
) -> Option<(f64, StringVerdict)> {
    let mut before = 0.0;
    for step in tried {
        let hit = [*step, -step].into_iter().find_map(|by| Some((by, turned(by)?)));
        let Some((mut out, mut becomes)) = hit else {
            before = *step;
            continue;
        };
        let mut inside = before * out.signum();
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, out);
            match turned(middle) {
                Some(verdict) => (out, becomes) = (middle, verdict),
                None => inside = middle,
            }
        }
        return Some((out, becomes));
    }
    None
}

struct Search<'a> {
    judged: &'a Judged<'a>,
    index: usize,
    facts: &'a SectionFacts,
    now: StringVerdict,
}

impl Search<'_> {
    fn read(&self) -> Drawn {
        self.judged.drawn(self.index, self.facts)
    }

    /// The other verdict that `drawn` leads to, if it is another.
    fn turned(&self, drawn: &Drawn) -> Option<StringVerdict> {
        self.turned_in(self.judged.setting, drawn)
    }

    fn turned_in(&self, setting: &Setting, drawn: &Drawn) -> Option<StringVerdict> {
        let verdict = self.judged.weigh(self.index, self.facts, setting, drawn).verdict;
        (verdict != self.now).then_some(verdict)
    }

    fn pitch(&self) -> Option<(f64, Turn)> {
        let read = self.read();
        let raise = read.raise?;
        let at = |by: f64| {
            let to = Some(raise + by).filter(|to| *to >= 0.0)?;
            self.turned(&Drawn { raise: Some(to), ..read })
        };
        let (by, becomes) = nearest(&CENTS_TRIED, at)?;
        let to = raise + by;
        let change = if by > 0.0 {
            sentence!["if it stood ", Cents(to), " flat or more"]
        } else {
            sentence!["if it stood no more than ", Cents(to), " flat"]
        };
        Some((by.abs() / CENTS_PER_STEP, Turn { kind: FindingKind::Pitch, change, becomes }))
    }

    fn load(&self) -> Option<(f64, Turn)> {
        let read = self.read();
        let greatest = super::load::greatest(&self.facts.loads)? / 100.0;
        let doubt = super::load::doubt(&self.facts.loads).max(LEAST_DOUBT);
        let at = |by: f64| self.turned(&Drawn { level: 1.0 + by, ..read });
        let (by, becomes) = nearest(&LOADS_TRIED, at)?;
        let change = sentence![
            "if its loads were ",
            share(by.abs()),
            if by > 0.0 { " higher (" } else { " lower (" },
            share(greatest * (1.0 + by)),
            " at the most loaded string)"
        ];
        Some((by.abs() / doubt, Turn { kind: FindingKind::Load, change, becomes }))
    }

    fn rust(&self) -> Option<(f64, Turn)> {
        const GRADES: [&str; 4] = ["no rust", "tarnish", "light rust", "pitting"];
        let read = self.read();
        let now = read.coils?;
        let (grade, becomes) = (0..=3u8)
            .filter(|grade| *grade != now)
            .filter_map(|grade| Some((grade, self.turned(&Drawn { coils: Some(grade), ..read })?)))
            .min_by_key(|(grade, _)| grade.abs_diff(now))?;
        let word = GRADES[usize::from(grade)];
        let change = sentence![format!("if there were {word} at coils and bends")];
        let steps = f64::from(grade.abs_diff(now));
        Some((steps, Turn { kind: FindingKind::Rust, change, becomes }))
    }

    /// More loose pins, or, where pins decide or were not read, tight ones.
    fn pins(&self) -> Option<(f64, Turn)> {
        let read = self.read();
        let found = |effort: f64, change: Sentence, becomes| {
            Some((effort, Turn { kind: FindingKind::Pins, change, becomes }))
        };
        let tight = Drawn { pins: PinVerdict::Leave, pins_hold_too_little: false, ..read };
        if read.pins_hold_too_little
            || !matches!(read.pins, PinVerdict::Leave | PinVerdict::Single | PinVerdict::Treat)
        {
            return found(1.0, "if the pins prove tight".into(), self.turned(&tight)?);
        }
        // One loose pin anywhere, and the regions no longer speak for each other.
        let beside = PinsBeside { none_loose_of: None, ..self.judged.beside };
        let regions = self.judged.regions.of(self.judged.instrument, self.index);
        regions
            .into_iter()
            .filter_map(|region| {
                let count = &self.judged.regions.counts[region];
                (1..=count.read.saturating_sub(count.loose)).find_map(|more| {
                    let mut worse = count.clone();
                    worse.loose += more;
                    let limits = self.judged.limits;
                    let drawn = Drawn {
                        pins: pins::verdict(&worse, &beside, limits),
                        pins_hold_too_little: pins::hold_too_little(&worse, limits),
                        ..read
                    };
                    let becomes = self.turned(&drawn)?;
                    let change = sentence![
                        "if ",
                        worse.loose,
                        " of the ",
                        worse.read,
                        format!(" pins read in the region {} were loose", worse.region)
                    ];
                    found(more as f64, change, becomes)
                })
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    }

    fn tone(&self) -> Option<(f64, Turn)> {
        let read = self.read();
        let count = self.facts.tone;
        let stage = stage(self.judged.instrument);
        let with = |count| Drawn { tone: tone::state(count, stage, self.judged.limits), ..read };
        let found = |effort: usize, change: Sentence, becomes| {
            (effort as f64, Turn { kind: FindingKind::Tone, change, becomes })
        };
        (1..=count.heard()).find_map(|more| {
            let worse = |dead: bool| {
                let from_clear = more.min(count.clear);
                let mut worse = count;
                worse.clear -= from_clear;
                worse.dull = worse.dull + from_clear
                    - if dead { more.min(worse.dull + from_clear) } else { 0 };
                worse.dead = count.heard() - worse.clear - worse.dull;
                worse
            };
            let mut better = count;
            let mended = more.min(count.dead);
            better.dead -= mended;
            better.dull -= (more - mended).min(better.dull);
            better.clear = count.heard() - better.dead - better.dull;
            [worse(false), worse(true), better].into_iter().find_map(|count| {
                let becomes = self.turned(&with(count))?;
                let change = sentence![
                    "if of ",
                    count.heard(),
                    " wound strings ",
                    count.dull,
                    " were dull and ",
                    count.dead,
                    " dead"
                ];
                Some(found(more, change, becomes))
            })
        })
    }

    fn guarantee(&self) -> Option<(f64, Turn)> {
        let setting = self.judged.setting;
        let other = Setting { guarantee: !setting.guarantee, ..setting.clone() };
        let becomes = self.turned_in(&other, &self.read())?;
        let change = if setting.guarantee {
            "if no guarantee were asked for"
        } else {
            "if a guarantee were asked for"
        };
        Some((NO_READING, Turn { kind: FindingKind::Rust, change: change.into(), becomes }))
    }

    /// Whether the pitch may be bargained with.
    fn bargain(&self) -> Option<(f64, Turn)> {
        let setting = self.judged.setting;
        let other = Setting { pitch_fixed: !setting.pitch_fixed, ..setting.clone() };
        let becomes = self.turned_in(&other, &self.read())?;
        let change = if setting.pitch_fixed {
            "if it need not stand at the finished pitch"
        } else {
            "if it must stand at the finished pitch"
        };
        Some((NO_READING, Turn { kind: FindingKind::Load, change: change.into(), becomes }))
    }

    /// What stops it, put right.
    fn stop(&self) -> Option<(f64, Turn)> {
        let setting = self.judged.setting;
        let kind = setting.stop.or(setting.bridges_failed.then_some(FindingKind::Bridges))?;
        let sound = Setting { stop: None, bridges_failed: false, ..setting.clone() };
        let becomes = self.turned_in(&sound, &self.read())?;
        let change = match kind {
            FindingKind::Plate => "once the plate is found sound or mended",
            FindingKind::Frame => "once the back frame is found sound or mended",
            _ => "once the bridges are mended",
        };
        let change = Sentence::words(change);
        Some((0.0, Turn { kind, change, becomes }))
    }
}
