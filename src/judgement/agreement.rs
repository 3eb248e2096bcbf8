//! Agreement: the judgement run again over what is believed given the readings.
//!
//! Each re-run draws the level of each section's smoothed loads (half its variance shared by all
//! sections, the tool's own), pitch as found, the share of loose pins of each region (Beta, k + ½ and
//! n − k + ½: Jeffreys' prior), tone heard and rust seen one step wrong now and then. Never reading noise on
//! top of noisy readings: the loads are those already smoothed. Only what a verdict needs is computed
//! again: the strings' modes are not.
//!
//! The share of re-runs with the same verdict says how it fares when the readings are doubted; it is
//! no chance of being right.

use super::facts::{SectionFacts, ToneCount};
use super::limit::LimitKey;
use super::load;
use super::odds;
use super::pins;
use super::sections::{Judged, stage};
use super::tone;
use super::verdict::{Drawn, PinVerdict, StringVerdict, weigh};
use crate::measure::{Input, Stopped, Stream, Watch};
use rand_distr::{Beta, Distribution, StandardNormal, StandardUniform};
use std::cell::RefCell;
use std::collections::HashMap;

/// What may be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Doubt {
    Load,
    Pitch,
    Pins,
    Tone,
    Rust,
}

impl Doubt {
    pub const ALL: [Self; 5] = [Self::Load, Self::Pitch, Self::Pins, Self::Tone, Self::Rust];

    fn name(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Pitch => "pitch",
            Self::Pins => "pins",
            Self::Tone => "tone",
            Self::Rust => "rust",
        }
    }
}

/// How a section's verdict fares.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fares {
    /// Share of re-runs with the same verdict.
    pub agreement: f64,
    /// Share of re-runs that turn when one input alone is doubted, the worst first.
    pub turned_by: Vec<(Doubt, f64)>,
}

/// Re-runs the verdict on section `index`; `None` where there was not enough to judge.
pub(crate) fn of(
    judged: &Judged,
    index: usize,
    facts: &SectionFacts,
    (draws, seed): (usize, u64),
    watch: &dyn Watch,
) -> Result<Option<Fares>, Stopped> {
    let read = judged.drawn(index, facts);
    let now = judged.weigh(index, facts, judged.setting, &read).verdict;
    if now == StringVerdict::NotMeasured || draws == 0 {
        return Ok(None);
    }
    let table = OddsTable { judged, facts, cells: RefCell::default() };
    let odds = |drawn: &Drawn, cents: f64| table.none(drawn, cents);
    let fixed = judged.fixed(index, facts, &odds);
    let rerun = Rerun::new(judged, index, facts, seed);
    let turned = |doubts: &[Doubt], draws: usize| -> Result<f64, Stopped> {
        let mut turned = 0;
        for draw in 0..draws {
            if draw % CHECK_EVERY == 0 {
                watch.check()?;
            }
            let drawn = rerun.draw(&read, draw as u64, doubts);
            turned += usize::from(weigh(judged.setting, &fixed, &drawn).verdict != now);
        }
        Ok(turned as f64 / draws as f64)
    };
    let agreement = 1.0 - turned(&Doubt::ALL, draws)?;
    let mut turned_by = Vec::new();
    if agreement < judged.limits.value(LimitKey::AgreementEnough) {
        for doubt in Doubt::ALL {
            turned_by.push((doubt, turned(&[doubt], draws.div_ceil(ALONE))?));
        }
        turned_by.sort_by(|a, b| b.1.total_cmp(&a.1));
    }
    Ok(Some(Fares { agreement, turned_by }))
}

/// One input alone is doubted in so many times fewer re-runs.
const ALONE: usize = 4;
/// Re-runs between two looks at whether to stop.
const CHECK_EVERY: usize = 64;

/// The inputs of one section under one seed.
struct Rerun<'a> {
    judged: &'a Judged<'a>,
    facts: &'a SectionFacts,
    regions: Vec<usize>,
    level_sd: f64,
    tool: Input,
    of_section: Vec<Input>,
    of_region: Vec<Input>,
}

impl<'a> Rerun<'a> {
    fn new(judged: &'a Judged<'a>, index: usize, facts: &'a SectionFacts, seed: u64) -> Self {
        let regions = judged.regions.of(judged.instrument, index);
        let named = |what: &str, name: &str| Input::new(seed, &format!("judgement {what} {name}"));
        Self {
            judged,
            facts,
            level_sd: load::doubt(&facts.loads),
            tool: named("tool", ""),
            of_section: Doubt::ALL.map(|doubt| named(doubt.name(), &facts.name)).to_vec(),
            of_region: regions
                .iter()
                .map(|region| named("region", &judged.regions.counts[*region].region))
                .collect(),
            regions,
        }
    }

    fn stream(&self, doubt: Doubt, draw: u64) -> Stream {
        self.of_section[doubt as usize].draw(draw)
    }

    /// What is believed, drawn once, of the inputs in `doubts`; the others as read.
    fn draw(&self, read: &Drawn, draw: u64, doubts: &[Doubt]) -> Drawn {
        let mut drawn = *read;
        for doubt in doubts {
            match doubt {
                Doubt::Load => drawn.level = self.level(draw),
                Doubt::Pitch => drawn.raise = read.raise.map(|raise| raise + self.pitch(draw)),
                Doubt::Pins => self.pins(&mut drawn, draw),
                Doubt::Tone => drawn.tone = self.tone(draw),
                Doubt::Rust => drawn.coils = read.coils.map(|grade| self.rust(grade, draw)),
            }
        }
        drawn
    }

    fn level(&self, draw: u64) -> f64 {
        let tool: f64 = StandardNormal.sample(&mut self.tool.draw(draw));
        let own: f64 = StandardNormal.sample(&mut self.stream(Doubt::Load, draw));
        let z = (tool + own) * std::f64::consts::FRAC_1_SQRT_2;
        (1.0 + self.level_sd * z).max(f64::MIN_POSITIVE)
    }

    fn pitch(&self, draw: u64) -> f64 {
        let z: f64 = StandardNormal.sample(&mut self.stream(Doubt::Pitch, draw));
        z * self.judged.limits.value(LimitKey::PitchReading)
    }

    fn pins(&self, drawn: &mut Drawn, draw: u64) {
        let limits = self.judged.limits;
        let settled = !matches!(drawn.pins, PinVerdict::NotMeasured);
        if !settled || self.regions.is_empty() || self.judged.setting.block_failed {
            return;
        }
        let half = limits.value(LimitKey::PinsHalf) / 100.0;
        let mut worst = PinVerdict::Leave;
        drawn.pins_hold_too_little = false;
        for (region, input) in self.regions.iter().zip(&self.of_region) {
            let count = &self.judged.regions.counts[*region];
            let mut stream = input.draw(draw);
            let loose = share(count.loose, count.read, &mut stream);
            // Of the loose ones, those that will not hold.
            let gone = loose * share(count.gone, count.loose, &mut stream);
            let verdict = pins::by_share(loose, gone, count.pin, &self.judged.beside, limits);
            worst = worst.worse(verdict);
            drawn.pins_hold_too_little |= loose > half;
        }
        drawn.pins = worst;
    }

    fn tone(&self, draw: u64) -> Option<tone::ToneState> {
        let count = self.facts.tone;
        let error = self.judged.limits.value(LimitKey::EarError);
        let mut stream = self.stream(Doubt::Tone, draw);
        let mut heard = ToneCount::default();
        let of = [(0, count.clear), (1, count.dull), (2, count.dead)];
        for (tone, strings) in of {
            for _ in 0..strings {
                match step(tone, 2, error, &mut stream) {
                    0 => heard.clear += 1,
                    1 => heard.dull += 1,
                    _ => heard.dead += 1,
                }
            }
        }
        tone::state(heard, stage(self.judged.instrument), self.judged.limits)
    }

    fn rust(&self, grade: u8, draw: u64) -> u8 {
        let error = self.judged.limits.value(LimitKey::EyeError);
        step(grade, 3, error, &mut self.stream(Doubt::Rust, draw))
    }
}

/// A grade that is one step wrong, either way, with chance `error`.
fn step(grade: u8, most: u8, error: f64, stream: &mut Stream) -> u8 {
    let u: f64 = StandardUniform.sample(stream);
    if u < error / 2.0 {
        grade.saturating_sub(1)
    } else if u < error {
        (grade + 1).min(most)
    } else {
        grade
    }
}

/// A share of which `of` of `read` were seen.
fn share(of: usize, read: usize, stream: &mut Stream) -> f64 {
    let (of, rest) = (of as f64 + 0.5, (read - of.min(read)) as f64 + 0.5);
    Beta::new(of, rest).map_or(0.0, |beta| beta.sample(stream))
}

/// Chance that none breaks, looked up between levels of load instead of computed each time.
struct OddsTable<'a> {
    judged: &'a Judged<'a>,
    facts: &'a SectionFacts,
    cells: RefCell<HashMap<Cell, Vec<f64>>>,
}

/// Rust grade, and the bits of the cents pulled to.
type Cell = (Option<u8>, u64);

/// Levels in the table, from this many standard deviations below to as many above.
const LEVELS: usize = 17;
const REACH: f64 = 4.0;

impl OddsTable<'_> {
    fn none(&self, drawn: &Drawn, cents: f64) -> f64 {
        let sd = load::doubt(&self.facts.loads).max(f64::EPSILON);
        let mut cells = self.cells.borrow_mut();
        let row = cells.entry((drawn.coils, cents.to_bits())).or_insert_with(|| {
            let at = |index: usize| {
                let z = REACH * (2.0 * index as f64 / (LEVELS - 1) as f64 - 1.0);
                // The pitch as read: a cent or two more or less of a raise changes little.
                let drawn = Drawn { level: 1.0 + z * sd, raise: self.facts.raise, ..*drawn };
                odds::none(self.facts, &drawn, cents, self.judged.limits)
            };
            (0..LEVELS).map(at).collect()
        });
        let place = f64::midpoint((drawn.level - 1.0) / sd / REACH, 1.0) * (LEVELS - 1) as f64;
        let place = place.clamp(0.0, (LEVELS - 1) as f64);
        let below = (place as usize).min(LEVELS - 2);
        let along = place - below as f64;
        row[below] * (1.0 - along) + row[below + 1] * along
    }
}
