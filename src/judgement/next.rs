//! What is missing before a verdict, and the one reading or trial worth taking next.

use super::agreement::{Doubt, Fares};
use super::facts::SectionFacts;
use super::fatigue;
use super::finding::FindingKind;
use super::outcome::{HammerJudgement, MeasureNext, PinJudgement, SectionJudgement};
use super::regions::regions_of;
use super::verdict::{HammerVerdict, StringVerdict};
use crate::instrument::{About, Instrument};
use crate::measure::Sentence;
use crate::sentence;

/// What has been judged so far.
pub(crate) struct Seen<'a> {
    pub instrument: &'a Instrument,
    pub sections: &'a [SectionJudgement],
    pub pins: &'a [PinJudgement],
    pub hammers: &'a HammerJudgement,
}

/// What to measure next: first what is missing before a verdict, in the order of the work, then the
/// one reading that leaves a verdict most in doubt. Empty: nothing more.
pub(crate) fn measure_next(
    seen: &Seen,
    facts: &[SectionFacts],
    fares: &[Option<Fares>],
) -> Vec<MeasureNext> {
    let Seen { instrument, sections, pins, hammers } = *seen;
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
        let what = "torque wrench, tightening: read 8 pins in each region of the block".into();
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
    next.extend(most_in_doubt(seen, facts, fares));
    let blow = facts.iter().any(|facts| {
        facts.broken.len() > 1 && fatigue::cause(&facts.broken) == fatigue::Cause::Blow
    });
    if blow || hammers.verdict == HammerVerdict::NotMeasured {
        next.push(MeasureNext {
            kind: FindingKind::Hammers,
            about: About::Set,
            what: "caliper: string marks and felt left of 8 hammers, both ends of each section; \
                   needle three of them and listen"
                .into(),
            readings: Some(8),
        });
    }
    once(next)
}

/// One line for what every section asks for, and none twice.
fn once(all: Vec<MeasureNext>) -> Vec<MeasureNext> {
    let mut kept: Vec<MeasureNext> = Vec::new();
    for next in all {
        let known = kept
            .iter()
            .any(|k| k.kind == next.kind && (k.about == next.about || k.what == next.what));
        if !known {
            kept.push(next);
        }
    }
    kept
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

/// The regions of the block that hold the pins of the section at `index`, in words.
fn region_of(seen: &Seen, index: usize) -> String {
    let names: Vec<&str> = seen.pins.iter().map(|pin| pin.region.as_str()).collect();
    let of_section: Vec<&str> =
        regions_of(&names, seen.instrument, index).into_iter().map(|at| names[at]).collect();
    match of_section[..] {
        [one] => format!("region {one}"),
        _ => format!("regions {}", of_section.join(", ")),
    }
}

/// The reading that would settle most re-runs, where a verdict is in doubt.
fn most_in_doubt(
    seen: &Seen,
    facts: &[SectionFacts],
    fares: &[Option<Fares>],
) -> Option<MeasureNext> {
    let (index, facts, (doubt, _)) = facts
        .iter()
        .zip(fares)
        .enumerate()
        .filter_map(|(i, (facts, fares))| Some((i, facts, *fares.as_ref()?.turned_by.first()?)))
        .filter(|(.., (_, turned))| *turned > 0.0)
        .max_by(|a, b| a.2.1.total_cmp(&b.2.1))?;
    let name = &facts.name;
    let (kind, what, readings) = match doubt {
        Doubt::Load => {
            let what = sentence![format!(
                "tape and micrometer: length and wire of three more notes of the {name}, each read twice"
            )];
            (FindingKind::Load, what, Some(3))
        }
        Doubt::Pitch => {
            let what = sentence![format!(
                "tuning device: the pitch of five notes of the {name} as they stand"
            )];
            (FindingKind::Pitch, what, Some(5))
        }
        Doubt::Pins => {
            let what = sentence![format!(
                "torque wrench, tightening: read 8 more pins in the {}",
                region_of(seen, index)
            )];
            (FindingKind::Pins, what, Some(8))
        }
        Doubt::Tone => {
            let what = sentence![format!(
                "trial: tune the {name} once and listen again to every wound string; change one and compare"
            )];
            (FindingKind::Tone, what, None)
        }
        Doubt::Rust => {
            let what = sentence![format!(
                "lamp and mirror: clean one coil and one bend of the {name} and look again; measure what is left"
            )];
            (FindingKind::Rust, what, None)
        }
    };
    Some(MeasureNext { kind, about: About::Section(name.clone()), what, readings })
}
