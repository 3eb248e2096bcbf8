//! What is missing before a verdict, and the one reading or trial worth taking next.

use super::facts::SectionFacts;
use super::fatigue;
use super::finding::FindingKind;
use super::outcome::{HammerJudgement, MeasureNext, PinJudgement, SectionJudgement};
use super::verdict::{HammerVerdict, StringVerdict};
use crate::instrument::{About, Instrument};
use crate::measure::Sentence;
use crate::sentence;

/// What is missing before a verdict, in the order of the work.
pub(crate) fn measure_next(
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
                "torque wrench, tightening: read ",
                pin.more_readings,
                format!(" more pins in the region {}", pin.region)
            ],
            readings: Some(pin.more_readings),
        });
    }
    if instrument.pins.is_empty() {
        let what = "torque wrench, tightening: read eight pins in each region of the block".into();
        next.push(MeasureNext {
            kind: FindingKind::Pins,
            about: About::Set,
            what,
            readings: Some(8),
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
            what:
                "caliper: string marks and felt left of eight hammers, both ends of each section; \
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
        add(
            FindingKind::Rust,
            sentence![format!(
                "lamp and mirror: rust at coils, bearing, bridge and hitch pins of the {}",
                facts.name
            )],
        );
    }
    if facts.raise.is_none() {
        add(
            FindingKind::Pitch,
            sentence![format!(
                "fork or tuning device: the pitch of the {} as it stands",
                facts.name
            )],
        );
    }
    if facts.loads.is_empty() {
        add(
            FindingKind::Load,
            sentence![format!(
                "tape and micrometer: length and wire of the first, middle and last note of the {}",
                facts.name
            )],
        );
    }
    if facts.wound && facts.tone.heard() == 0 {
        add(
            FindingKind::Tone,
            sentence![format!(
                "ear: every second wound string of the {}, clear, dull or dead",
                facts.name
            )],
        );
    }
    if section.verdict == StringVerdict::KeepTreatWindings {
        add(
            FindingKind::Tone,
            "trial: twist one dull wound string and listen; change one and compare".into(),
        );
    }
    next
}
