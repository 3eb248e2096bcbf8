//! The one call: an instrument and its strings in, a judgement out.

use super::facts::{NoNumber, SectionFacts, WireAge};
use super::fatigue;
use super::finding::{Finding, FindingKind, Weighs};
use super::limit::{LimitKey, Limits};
use super::load;
use super::odds;
use super::pins::{self, PinCount, PinsBeside};
use super::rust;
use super::stops;
use super::tone;
use super::verdict::{
    Decision, Drawn, Fixed, HammerVerdict, LowerPitch, PinVerdict, Setting, StringVerdict, weigh,
};
use super::wear;
use crate::instrument::{About, Heard, Instrument, State, UseKind};
use crate::measure::{Cents, Sentence, Stopped, Watch, hertz, newtons, to_hertz, to_newtons};
use crate::scale::Scale;
use crate::sentence;

/// What the asker adds to the survey.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// This year, for rates of breakage; `None` counts to the last breakage known.
    pub year: Option<i32>,
    /// Re-runs for the agreement.
    pub draws: usize,
    /// Their seed.
    pub seed: u64,
}

impl Default for Asked {
    fn default() -> Self {
        Self { year: None, draws: 2000, seed: 1 }
    }
}

/// What is recommended, and on what it rests.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Strings, section by section from the bass.
    pub sections: Vec<SectionJudgement>,
    /// Pins, region by region as surveyed.
    pub pins: Vec<PinJudgement>,
    /// Hammers.
    pub hammers: HammerJudgement,
    /// What must be put right before anything else.
    pub stops: Vec<Stop>,
    /// Findings on the whole instrument.
    pub findings: Vec<Finding>,
    /// Parts that nobody looked at.
    pub not_looked_at: Vec<&'static str>,
    /// What to measure or try next, most useful first; empty: nothing more.
    pub measure_next: Vec<MeasureNext>,
}

/// On the strings of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionJudgement {
    /// The section.
    pub name: String,
    /// The recommendation.
    pub verdict: StringVerdict,
    /// The finding that decided it.
    pub decided_by: FindingKind,
    /// Share of re-runs with the same verdict; `None` when nothing that was read could change it.
    pub agreement: Option<f64>,
    /// A lower pitch that is advised, or that would do.
    pub lower_pitch: Option<LowerPitch>,
    /// Findings, the deciding one first.
    pub findings: Vec<Finding>,
}

/// On the pins of one region.
#[derive(Debug, Clone, PartialEq)]
pub struct PinJudgement {
    /// The region.
    pub region: String,
    /// The recommendation.
    pub verdict: PinVerdict,
    /// Readings still needed before it can be judged; 0 when it can.
    pub more_readings: usize,
    /// The finding.
    pub finding: Finding,
}

/// On the hammers.
#[derive(Debug, Clone, PartialEq)]
pub struct HammerJudgement {
    /// The recommendation.
    pub verdict: HammerVerdict,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// A part that stops the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// Which part.
    pub kind: FindingKind,
    /// What must be done.
    pub why: Sentence,
}

/// One more reading or trial.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureNext {
    /// On which finding it bears.
    pub kind: FindingKind,
    /// Where.
    pub about: About,
    /// What to do, with which tool.
    pub what: Sentence,
    /// How many readings, where it is a matter of number.
    pub readings: Option<usize>,
}

/// Judges `instrument`, whose strings are `scale`.
///
/// # Errors
/// When `watch` stops it.
pub fn decide(
    instrument: &Instrument,
    scale: &Scale,
    limits: &Limits,
    asked: &Asked,
    watch: &dyn Watch,
) -> Result<Judgement, Stopped> {
    watch.check()?;
    let old = limits.value(LimitKey::WireOldBefore);
    let facts: Vec<SectionFacts> = (0..instrument.sections.len())
        .map(|index| SectionFacts::of(instrument, scale, index, old))
        .collect();
    let setting = setting(instrument, limits);
    let beside = beside(instrument, limits);
    let counts: Vec<PinCount> =
        instrument.pins.iter().map(|region| PinCount::of(region, limits)).collect();
    let pins: Vec<PinVerdict> =
        counts.iter().map(|count| pins::verdict(count, &beside, limits)).collect();
    let regions = Regions { counts: &counts, verdicts: &pins };
    let judged = Judged { instrument, scale, limits, setting: &setting, regions: &regions };
    let sections: Vec<SectionJudgement> = facts
        .iter()
        .enumerate()
        .map(|(index, facts)| judged.section(index, facts, asked))
        .collect();
    watch.check()?;
    let pins = judged.pins(&sections, &beside);
    let hammers = hammers(instrument, limits);
    let bridges_stop = sections.iter().any(|s| s.decided_by == FindingKind::Bridges);
    let findings = stops::findings(&instrument.condition, bridges_stop);
    Ok(Judgement {
        stops: stops_of(&findings),
        measure_next: measure_next(instrument, &sections, &pins, &hammers, &facts),
        not_looked_at: instrument
            .condition
            .parts()
            .into_iter()
            .filter(|(_, state)| *state == State::NotLookedAt)
            .map(|(name, _)| name)
            .collect(),
        sections,
        pins,
        hammers,
        findings,
    })
}

fn setting<'a>(instrument: &Instrument, limits: &'a Limits) -> Setting<'a> {
    let usage = &instrument.usage;
    let money = instrument.money.as_ref();
    let value = money.and_then(|money| money.value_restored);
    let dearer = |price: Option<f64>, share: f64| {
        matches!((price, value), (Some(price), Some(value)) if price > share * value)
    };
    let wound = money.and_then(|money| money.wound_set);
    let stock = limits.value(LimitKey::StockShare) / 100.0;
    Setting {
        limits,
        stop: stops::of(&instrument.condition),
        block_failed: instrument.condition.block == State::Failed,
        bridges_failed: instrument.condition.bridges == State::Failed,
        heritage: instrument.heritage,
        guarantee: usage.guarantee_years.is_some_and(|years| years > 0.0),
        pitch_fixed: usage.must_match || usage.kind == Some(UseKind::Concert),
        restring_too_dear: dearer(money.and_then(|money| money.restring), 1.0),
        wound_too_dear: dearer(wound, 1.0),
        wound_from_stock: dearer(wound, stock),
        lower: lower_pitches(instrument, limits),
    }
}

/// The lower pitches that may be named, cents of the finished pitch; one for two that sound alike.
fn lower_pitches(instrument: &Instrument, limits: &Limits) -> Vec<f64> {
    let old = Cents::of_ratio(limits.value(LimitKey::OldPitch) / to_hertz(instrument.pitch)).0;
    let alike = |cents: f64| (cents - old).abs() < 1.0;
    let steps = [LimitKey::LowerSlight, LimitKey::LowerQuarter, LimitKey::LowerSemitone];
    let steps = steps.map(|key| -limits.value(key)).into_iter().filter(|cents| !alike(*cents));
    steps.chain(Some(old)).filter(|cents| *cents < -1.0).collect()
}

fn stage(instrument: &Instrument) -> bool {
    matches!(instrument.usage.kind, Some(UseKind::Concert | UseKind::Teaching))
}

fn beside(instrument: &Instrument, limits: &Limits) -> PinsBeside {
    let counts = instrument.pins.iter().map(|region| PinCount::of(region, limits));
    let (loose, read) =
        counts.fold((0, 0), |(loose, read), count| (loose + count.loose, read + count.read));
    PinsBeside {
        block: instrument.condition.block,
        none_loose_of: (loose == 0).then_some(read),
        heritage: instrument.heritage,
        stage: instrument.usage.kind == Some(UseKind::Concert),
    }
}

/// Pins by region, and which region serves which section.
struct Regions<'a> {
    counts: &'a [PinCount],
    verdicts: &'a [PinVerdict],
}

impl Regions<'_> {
    /// The regions that hold a section's pins: of the same name; else, where there are as many
    /// regions as sections, the one in its place; else all that no section is named after.
    fn of(&self, instrument: &Instrument, index: usize) -> Vec<usize> {
        let same = |region: &str, name: &str| region.trim().eq_ignore_ascii_case(name.trim());
        let named = |name: &str| self.counts.iter().position(|c| same(&c.region, name));
        let sections = &instrument.sections;
        if let Some(region) = sections.get(index).and_then(|section| named(&section.name)) {
            return vec![region];
        }
        if self.counts.len() == sections.len() {
            return vec![index];
        }
        let free: Vec<usize> = (0..self.counts.len())
            .filter(|region| {
                !sections.iter().any(|section| same(&self.counts[*region].region, &section.name))
            })
            .collect();
        if free.is_empty() { (0..self.counts.len()).collect() } else { free }
    }

    /// The worst verdict on the regions of a section.
    fn worst(&self, of: &[usize]) -> PinVerdict {
        let badness = |verdict: PinVerdict| match verdict {
            PinVerdict::Leave => 0,
            PinVerdict::Single => 1,
            PinVerdict::Treat => 2,
            PinVerdict::NotMeasured => 3,
            PinVerdict::NextSize => 4,
            PinVerdict::NewBlock => 5,
        };
        of.iter()
            .map(|region| self.verdicts[*region])
            .max_by_key(|verdict| badness(*verdict))
            .unwrap_or(PinVerdict::NotMeasured)
    }
}

struct Judged<'a> {
    instrument: &'a Instrument,
    scale: &'a Scale,
    limits: &'a Limits,
    setting: &'a Setting<'a>,
    regions: &'a Regions<'a>,
}

impl Judged<'_> {
    fn drawn(&self, index: usize, facts: &SectionFacts) -> Drawn {
        let regions = self.regions.of(self.instrument, index);
        let pins = if regions.is_empty() && self.setting.block_failed {
            PinVerdict::NewBlock
        } else {
            self.regions.worst(&regions)
        };
        Drawn {
            level: 1.0,
            raise: facts.raise,
            pins,
            pins_hold_too_little: regions
                .iter()
                .any(|region| pins::hold_too_little(&self.regions.counts[*region], self.limits)),
            tone: tone::state(facts.tone, stage(self.instrument), self.limits),
        }
    }

    fn section(&self, index: usize, facts: &SectionFacts, asked: &Asked) -> SectionJudgement {
        let drawn = self.drawn(index, facts);
        let none_breaks = |drawn: &Drawn, cents: f64| {
            odds::none(facts, drawn.level, drawn.raise, cents, self.limits)
        };
        let fixed = Fixed {
            facts,
            fatigue: fatigue::state(&facts.broken, self.limits),
            heard_even: load::heard(self.instrument, index) == Some(Heard::Even),
            none_breaks: &none_breaks,
        };
        let decision = weigh(self.setting, &fixed, &drawn);
        let mut findings = self.findings(index, facts, &drawn, &decision, asked);
        findings.sort_by_key(|finding| (finding.kind != decision.by, finding.weighs));
        SectionJudgement {
            name: facts.name.clone(),
            verdict: decision.verdict,
            decided_by: decision.by,
            agreement: None,
            lower_pitch: decision
                .lower
                .map(|cents| self.lower_pitch(index, facts, &drawn, cents, &none_breaks)),
            findings,
        }
    }

    fn lower_pitch(
        &self,
        index: usize,
        facts: &SectionFacts,
        drawn: &Drawn,
        cents: f64,
        none_breaks: &dyn Fn(&Drawn, f64) -> f64,
    ) -> LowerPitch {
        let factor = super::verdict::tension_factor(cents);
        let pull: f64 = self
            .scale
            .notes
            .iter()
            .filter(|note| note.section == index)
            .filter_map(|note| {
                let string = note.string.as_ref()?;
                Some(f64::from(note.strings.unwrap_or(1)) * to_newtons(string.tension.value))
            })
            .sum();
        LowerPitch {
            a4: hertz(to_hertz(self.instrument.pitch) * Cents(cents).ratio()),
            below: Cents(cents),
            as_found: facts.raise.is_some_and(|raise| (raise + cents).abs() < f64::EPSILON),
            load: load::greatest(&facts.loads).map(|load| load * factor / 100.0),
            tension: (pull > 0.0).then(|| newtons(pull * factor)),
            none_breaks: Some(none_breaks(drawn, cents)),
        }
    }

    fn findings(
        &self,
        index: usize,
        facts: &SectionFacts,
        drawn: &Drawn,
        decision: &Decision,
        asked: &Asked,
    ) -> Vec<Finding> {
        let limits = self.limits;
        let decides = |kind| decision.by == kind;
        let mut all = Vec::new();
        let load = load::state(&facts.loads, 1.0, limits);
        all.extend(load::finding(facts, load, decides(FindingKind::Load), limits));
        all.extend(odds::finding(facts, decides(FindingKind::Breakage), limits));
        let rust = rust::state(facts, facts.raise, 1.0, self.setting.guarantee, limits);
        all.push(rust::finding(facts, rust, limits));
        if let Some(state) = drawn.tone {
            all.push(tone::finding(facts, state, limits));
        }
        let tired = fatigue::state(&facts.broken, limits);
        all.extend(fatigue::finding(facts, tired, asked.year, limits));
        all.extend(wire(facts));
        all.extend(self.whole(index, facts, decision));
        for finding in &mut all {
            // A finding decides only when the verdict rests on it.
            if finding.weighs == Weighs::Decides && finding.kind != decision.by {
                finding.weighs = Weighs::Restrings;
            }
        }
        all
    }

    /// Findings on the whole instrument that decide this section.
    fn whole(&self, index: usize, facts: &SectionFacts, decision: &Decision) -> Vec<Finding> {
        let about = About::Section(facts.name.clone());
        let new = |weighs, why| Finding::new(decision.by, about.clone(), weighs, why);
        match decision.by {
            FindingKind::Pins => self.pins_decide(index, facts, decision),
            FindingKind::Plate | FindingKind::Frame | FindingKind::Bridges | FindingKind::Block => {
                stops::findings(&self.instrument.condition, true)
                    .into_iter()
                    .filter(|finding| finding.kind == decision.by)
                    .map(|finding| Finding { about: about.clone(), ..finding })
                    .collect()
            }
            FindingKind::Pitch => vec![new(
                Weighs::Decides,
                sentence![format!("the pitch of the {} as found is not known", facts.name)],
            )],
            FindingKind::Load if facts.loads.is_empty() => vec![new(
                Weighs::Decides,
                sentence![format!(
                    "no string of the {} is known well enough for its load, and it is to be pulled up",
                    facts.name
                )],
            )],
            FindingKind::Money => vec![new(
                Weighs::Decides,
                "the work costs more than the restored instrument will fetch".into(),
            )],
            _ => Vec::new(),
        }
    }

    fn pins_decide(&self, index: usize, facts: &SectionFacts, decision: &Decision) -> Vec<Finding> {
        let about = About::Section(facts.name.clone());
        let why = match decision.verdict {
            StringVerdict::NotMeasured => sentence![format!(
                "without the pins of the {} the strings are not judged, whatever their load",
                facts.name
            )],
            StringVerdict::Document => sentence![format!(
                "the pins of the {} hold too little to pull anything up, and nothing may be changed for good",
                facts.name
            )],
            _ => sentence![format!(
                "restring the {} because of the pins; strings alone: {}",
                facts.name,
                self.strings_alone(index, facts)
            )],
        };
        vec![Finding::new(FindingKind::Pins, about, Weighs::Decides, why)]
    }

    /// The verdict if the pins were tight and the block sound, as a word.
    fn strings_alone(&self, index: usize, facts: &SectionFacts) -> &'static str {
        let drawn = Drawn {
            pins: PinVerdict::Leave,
            pins_hold_too_little: false,
            ..self.drawn(index, facts)
        };
        let none_breaks = |drawn: &Drawn, cents: f64| {
            odds::none(facts, drawn.level, drawn.raise, cents, self.limits)
        };
        let fixed = Fixed {
            facts,
            fatigue: fatigue::state(&facts.broken, self.limits),
            heard_even: load::heard(self.instrument, index) == Some(Heard::Even),
            none_breaks: &none_breaks,
        };
        let setting = Setting { block_failed: false, ..self.setting.clone() };
        weigh(&setting, &fixed, &drawn).verdict.words()
    }

    /// The pins of each region: where strings come off, no loose pin stays.
    fn pins(&self, sections: &[SectionJudgement], beside: &PinsBeside) -> Vec<PinJudgement> {
        let come_off = |region: usize| {
            (0..sections.len()).any(|index| {
                sections[index].verdict.strings_come_off()
                    && self.regions.of(self.instrument, index).contains(&region)
            })
        };
        self.regions
            .counts
            .iter()
            .zip(self.regions.verdicts)
            .enumerate()
            .map(|(index, (count, verdict))| {
                let loose = matches!(verdict, PinVerdict::Single | PinVerdict::Treat);
                let off = come_off(index) && !self.setting.heritage;
                let verdict = if loose && off { PinVerdict::NextSize } else { *verdict };
                PinJudgement {
                    region: count.region.clone(),
                    verdict,
                    more_readings: if verdict == PinVerdict::NotMeasured {
                        pins::readings_needed(count, self.limits)
                    } else {
                        0
                    },
                    finding: pins::finding(count, verdict, beside, self.limits),
                }
            })
            .collect()
    }
}

fn wire(facts: &SectionFacts) -> Option<Finding> {
    let WireAge::NoNumber(why) = facts.age else { return None };
    let why = match why {
        NoNumber::Material => sentence![format!(
            "the wire of the {} is of iron or soft steel", facts.name
        )],
        NoNumber::Year(year) => sentence![
            format!("the wire of the {} is of ", facts.name), crate::measure::Piece::Year(year)
        ],
        NoNumber::PerhapsOriginal(year) => sentence![
            format!("the wire of the {} is of unknown age, the instrument of ", facts.name),
            crate::measure::Piece::Year(year)
        ],
    };
    let mut said = why;
    said.push(
        ": there is no defensible strength for it without a tested sample; leave it as found, document \
         it, ask a conservator",
    );
    let about = About::Section(facts.name.clone());
    Some(Finding::new(FindingKind::Wire, about, Weighs::Decides, said))
}

fn hammers(instrument: &Instrument, limits: &Limits) -> HammerJudgement {
    let heads: Vec<_> = instrument.hammers.rows.iter().filter_map(wear::Head::of).collect();
    let verdict = wear::verdict(&heads, instrument.heritage, limits);
    HammerJudgement { verdict, findings: wear::findings(&heads, verdict, limits) }
}

fn stops_of(findings: &[Finding]) -> Vec<Stop> {
    findings
        .iter()
        .filter(|finding| finding.weighs == Weighs::Stops)
        .map(|finding| Stop { kind: finding.kind, why: finding.why.clone() })
        .collect()
}

/// What is missing before a verdict, in the order of the work.
fn measure_next(
    instrument: &Instrument,
    sections: &[SectionJudgement],
    pins: &[PinJudgement],
    hammers: &HammerJudgement,
    facts: &[SectionFacts],
) -> Vec<MeasureNext> {
    if sections.iter().all(|section| section.verdict == StringVerdict::Stop) {
        return Vec::new();
    }
    let mut next = Vec::new();
    for pin in pins.iter().filter(|pin| pin.more_readings > 0) {
        next.push(MeasureNext {
            kind: FindingKind::Pins,
            about: About::Section(pin.region.clone()),
            what: sentence![
                "torque wrench, tightening: read ", pin.more_readings,
                format!(" more pins in the region {}", pin.region)
            ],
            readings: Some(pin.more_readings),
        });
    }
    if instrument.pins.is_empty() {
        let what = "torque wrench, tightening: read eight pins in each region of the block".into();
        next.push(MeasureNext {
            kind: FindingKind::Pins, about: About::Set, what, readings: Some(8),
        });
    }
    for (section, facts) in sections.iter().zip(facts) {
        next.extend(next_in_section(section, facts));
    }
    let blow = facts.iter().any(|facts| {
        facts.broken.len() > 1 && fatigue::cause(&facts.broken) == fatigue::Cause::Blow
    });
    if blow || hammers.verdict == HammerVerdict::NotMeasured {
        next.push(MeasureNext {
            kind: FindingKind::Hammers,
            about: About::Set,
            what: "caliper: string marks and felt left of eight hammers, both ends of each section; \
                   needle three of them and listen"
                .into(),
            readings: Some(8),
        });
    }
    next
}

fn next_in_section(section: &SectionJudgement, facts: &SectionFacts) -> Vec<MeasureNext> {
    let about = || About::Section(section.name.clone());
    let mut next = Vec::new();
    let mut add = |kind, what: Sentence| {
        next.push(MeasureNext { kind, about: about(), what, readings: None });
    };
    if section.verdict == StringVerdict::Document {
        if section.decided_by == FindingKind::Wire {
            add(FindingKind::Wire, "have a sample of the wire tested to breaking".into());
        }
        return next;
    }
    if facts.rust.coils.is_none() {
        add(FindingKind::Rust, sentence![format!(
            "lamp and mirror: rust at coils, bearing, bridge and hitch pins of the {}", facts.name
        )]);
    }
    if facts.raise.is_none() {
        add(FindingKind::Pitch, sentence![format!(
            "fork or tuning device: the pitch of the {} as it stands", facts.name
        )]);
    }
    if facts.loads.is_empty() {
        add(FindingKind::Load, sentence![format!(
            "tape and micrometer: length and wire of the first, middle and last note of the {}", facts.name
        )]);
    }
    if facts.wound && facts.tone.heard() == 0 {
        add(FindingKind::Tone, sentence![format!(
            "ear: every second wound string of the {}, clear, dull or dead", facts.name
        )]);
    }
    if section.verdict == StringVerdict::KeepTreatWindings {
        add(FindingKind::Tone, "trial: twist one dull wound string and listen; change one and compare".into());
    }
    next
}
