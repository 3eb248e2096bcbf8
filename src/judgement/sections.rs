//! The strings of one section: its findings, its verdict, the lower pitch it may stay at.

use super::facts::{NoNumber, SectionFacts, WireAge};
use super::fatigue;
use super::finding::{Finding, FindingKind, Weighs};
use super::limit::Limits;
use super::load;
use super::odds;
use super::outcome::{Asked, PinJudgement, SectionJudgement};
use super::pins::{self, PinsBeside};
use super::regions::Regions;
use super::rust;
use super::scale::{self, BreakGrades};
use super::stops;
use super::tone;
use super::turn;
use super::verdict::{
    Decision, Drawn, Fixed, LowerPitch, Odds, PinVerdict, Setting, StringVerdict, tension_factor,
    weigh,
};
use crate::instrument::{About, Heard, Instrument, UseKind};
use crate::measure::{Cents, Compass, hertz, newtons, to_hertz, to_newtons};
use crate::scale::Scale;
use crate::sentence;

/// What a section is judged with.
pub(crate) struct Judged<'a> {
    pub instrument: &'a Instrument,
    pub scale: &'a Scale,
    pub breaks: &'a [BreakGrades],
    pub limits: &'a Limits,
    pub setting: &'a Setting<'a>,
    pub regions: &'a Regions<'a>,
    pub beside: PinsBeside,
}

impl Judged<'_> {
    /// What is read of section `index`, as it stands.
    pub fn drawn(&self, index: usize, facts: &SectionFacts) -> Drawn {
        let regions = self.regions.of(self.instrument, index);
        let pins = if regions.is_empty() && self.setting.block_failed {
            PinVerdict::NewBlock
        } else {
            self.regions.worst(&regions)
        };
        Drawn {
            level: 1.0,
            raise: facts.raise,
            coils: facts.rust.coils,
            pins,
            pins_hold_too_little: regions
                .iter()
                .any(|region| pins::hold_too_little(&self.regions.counts[*region], self.limits)),
            tone: tone::state(facts.tone, stage(self.instrument), self.limits),
        }
    }

    /// What stays the same of section `index` whatever is drawn.
    pub fn fixed<'f>(&self, index: usize, facts: &'f SectionFacts, odds: Odds<'f>) -> Fixed<'f> {
        Fixed {
            facts,
            fatigue: fatigue::state(&facts.broken, self.limits),
            heard: load::heard(self.instrument, index),
            rough_break: scale::rough(self.breaks, self.notes(index)).is_some(),
            none_breaks: odds,
        }
    }

    /// Weighs section `index` as it was read, breakage computed on the spot.
    pub fn weigh(
        &self,
        index: usize,
        facts: &SectionFacts,
        setting: &Setting,
        drawn: &Drawn,
    ) -> Decision {
        let odds = |drawn: &Drawn, cents: f64| odds::none(facts, drawn, cents, self.limits);
        weigh(setting, &self.fixed(index, facts, &odds), drawn)
    }

    /// The judgement on section `index`.
    pub fn section(&self, index: usize, facts: &SectionFacts, asked: &Asked) -> SectionJudgement {
        let drawn = self.drawn(index, facts);
        let decision = self.weigh(index, facts, self.setting, &drawn);
        let mut findings = self.findings(index, facts, &drawn, &decision, asked);
        findings.sort_by_key(|finding| (finding.kind != decision.by, finding.weighs));
        let lower = decision.lower.map(|cents| self.lower_pitch(index, facts, &drawn, cents));
        SectionJudgement {
            name: facts.name.clone(),
            verdict: decision.verdict,
            decided_by: decision.by,
            agreement: None,
            lower_pitch: lower,
            findings,
            would_turn: if asked.draws == 0 {
                Vec::new()
            } else {
                turn::of(self, index, facts, &decision)
            },
        }
    }

    fn lower_pitch(
        &self,
        index: usize,
        facts: &SectionFacts,
        drawn: &Drawn,
        cents: f64,
    ) -> LowerPitch {
        let factor = tension_factor(cents);
        let pull = self.pull(index);
        LowerPitch {
            a4: hertz(to_hertz(self.instrument.pitch) * Cents(cents).ratio()),
            below: Cents(cents),
            as_found: facts.raise.is_some_and(|raise| (raise + cents).abs() < f64::EPSILON),
            load: load::greatest(&facts.loads).map(|load| load * factor / 100.0),
            tension: (pull > 0.0).then(|| newtons(pull * factor)),
            none_breaks: Some(odds::none(facts, drawn, cents, self.limits)),
        }
    }

    fn notes(&self, index: usize) -> Compass {
        self.instrument.sections[index].notes
    }

    /// Pull of all strings known of section `index` at the finished pitch, N.
    pub fn pull(&self, index: usize) -> f64 {
        let of_section = self.scale.notes.iter().filter(|note| note.section == index);
        of_section
            .filter_map(|note| {
                let string = note.string.as_ref()?;
                Some(f64::from(note.strings.unwrap_or(1)) * to_newtons(string.tension.value))
            })
            .sum()
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
        let rust =
            rust::state(facts, drawn.coils, facts.raise, 1.0, self.setting.guarantee, limits);
        all.push(rust::finding(facts, rust, limits));
        if let Some(state) = drawn.tone {
            all.push(tone::finding(facts, state, limits));
        }
        let tired = fatigue::state(&facts.broken, limits);
        all.extend(fatigue::finding(facts, tired, asked.year, limits));
        let plainly = load::heard(self.instrument, index) == Some(Heard::Plain);
        all.extend(scale::finding(facts, self.breaks, self.notes(index), plainly, limits));
        all.extend(wire(facts));
        all.extend(self.whole(index, facts, decision));
        for finding in &mut all {
            // A finding decides only when the verdict rests on it.
            if finding.weighs == Weighs::Decides && finding.kind != decision.by {
                // What nobody looked at speaks for nothing.
                let unseen = finding.kind == FindingKind::Rust && facts.rust.coils.is_none();
                finding.weighs = if unseen { Weighs::Watch } else { Weighs::Restrings };
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
                stops::findings(self.instrument.condition, true)
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
                "the pins of the {} are not settled, and without them its strings are not judged, whatever their load",
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
        let finding = Finding::new(FindingKind::Pins, about, Weighs::Decides, why);
        vec![self.with_worst_region(index, finding)]
    }

    /// A finding with figure, limit and chain of the worst of the section's regions.
    fn with_worst_region(&self, index: usize, finding: Finding) -> Finding {
        let regions = self.regions.of(self.instrument, index);
        let worst = self.regions.worst(&regions);
        let Some(region) = regions.into_iter().find(|r| self.regions.verdicts[*r] == worst) else {
            return finding;
        };
        let count = &self.regions.counts[region];
        let of_region = pins::finding(count, worst, &self.beside, self.limits);
        let mut chain = vec![of_region.why];
        chain.extend(of_region.chain);
        Finding { value: of_region.value, limit: of_region.limit, chain, ..finding }
    }

    /// The verdict if the pins were tight and the block sound, as a word.
    fn strings_alone(&self, index: usize, facts: &SectionFacts) -> &'static str {
        let drawn = Drawn {
            pins: PinVerdict::Leave,
            pins_hold_too_little: false,
            ..self.drawn(index, facts)
        };
        let setting = Setting { block_failed: false, ..self.setting.clone() };
        self.weigh(index, facts, &setting, &drawn).verdict.words()
    }

    /// The pins of each region: where strings come off, no loose pin stays.
    pub fn pins(&self, sections: &[SectionJudgement]) -> Vec<PinJudgement> {
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
                    finding: pins::finding(count, verdict, &self.beside, self.limits),
                }
            })
            .collect()
    }
}

fn wire(facts: &SectionFacts) -> Option<Finding> {
    let WireAge::NoNumber(why) = facts.age else { return None };
    let why = match why {
        NoNumber::Material => {
            sentence![format!("the wire of the {} is of iron or soft steel", facts.name)]
        }
        NoNumber::Year(year) => sentence![
            format!("the wire of the {} is of ", facts.name),
            crate::measure::Piece::Year(year)
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

/// Whether the piano is taught or performed on.
pub(crate) fn stage(instrument: &Instrument) -> bool {
    matches!(instrument.usage.kind, Some(UseKind::Concert | UseKind::Teaching))
}
