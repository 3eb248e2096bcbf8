//! The one call: an instrument and its strings in, a judgement out.

use super::agreement::{self, Fares};
use super::facts::SectionFacts;
use super::finding::{Finding, FindingKind, Weighs};
use super::guarantee;
use super::limit::{LimitKey, Limits};
use super::next::{Seen, measure_next};
use super::outcome::{Asked, HammerJudgement, Judgement, SectionJudgement, Stop};
use super::pins::{self, PinCount, PinsBeside};
use super::raise;
use super::regions::Regions;
use super::scale::BreakGrades;
use super::sections::Judged;
use super::stops;
use super::verdict::{PinVerdict, Setting};
use super::wear;
use crate::instrument::{Instrument, State, UseKind};
use crate::measure::{Cents, Stopped, Watch, to_hertz};
use crate::scale::Scale;

/// Judges `instrument`, whose strings are `scale` and whose breaks, where they were graded, `breaks`.
///
/// # Errors
/// When `watch` stops it.
pub fn decide(
    instrument: &Instrument,
    scale: &Scale,
    breaks: &[BreakGrades],
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
    let judged =
        Judged { instrument, scale, breaks, limits, setting: &setting, regions: &regions, beside };
    let mut sections: Vec<SectionJudgement> = facts
        .iter()
        .enumerate()
        .map(|(index, facts)| judged.section(index, facts, asked))
        .collect();
    let fares = rerun(&judged, &facts, asked, watch)?;
    for (section, fares) in sections.iter_mut().zip(&fares) {
        section.agreement = fares.as_ref().map(|fares| fares.agreement);
    }
    let pins = judged.pins(&sections);
    let hammers = hammers(instrument, limits);
    let bridges_stop = sections.iter().any(|s| s.decided_by == FindingKind::Bridges);
    let findings = stops::findings(instrument.condition, bridges_stop);
    let raise = raise::plan(&judged, &facts, &sections);
    let seen = Seen { instrument, sections: &sections, pins: &pins, hammers: &hammers };
    Ok(Judgement {
        stops: stops_of(&findings),
        measure_next: measure_next(&seen, &facts, &fares),
        guarantee: guarantee::of(instrument, &facts, &sections, asked.year, limits),
        costs: guarantee::costs(instrument, &facts, raise.as_ref(), asked.year, limits),
        raise,
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

/// Re-runs of every section.
fn rerun(
    judged: &Judged,
    facts: &[SectionFacts],
    asked: &Asked,
    watch: &dyn Watch,
) -> Result<Vec<Option<Fares>>, Stopped> {
    let mut all = Vec::with_capacity(facts.len());
    for (index, of_section) in facts.iter().enumerate() {
        watch.progress("judging again", index, facts.len());
        all.push(agreement::of(judged, index, of_section, (asked.draws, asked.seed), watch)?);
    }
    watch.progress("judging again", facts.len(), facts.len());
    Ok(all)
}

fn setting<'a>(instrument: &Instrument, limits: &'a Limits) -> Setting<'a> {
    let usage = &instrument.usage;
    let money = instrument.money.as_ref();
    let value = money.and_then(|money| money.value_restored);
    let dearer = |price: Option<f64>, share: f64| matches!((price, value), (Some(price), Some(value)) if price > share * value);
    let wound = money.and_then(|money| money.wound_set);
    let stock = limits.value(LimitKey::StockShare) / 100.0;
    Setting {
        limits,
        stop: stops::of(instrument.condition),
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
