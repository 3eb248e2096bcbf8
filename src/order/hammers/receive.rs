//! What is checked when the heads arrive, before an old one comes off.

use super::{SectionOrder, Tolerances};
use crate::action::Action;
use crate::instrument::{Hardener, Instrument};
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Angle, Length, Mass, Note, Sentence, mm, to_mm};
use crate::sentence;

/// How far a reading may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// Either way.
    Length(Length),
    /// At least and at most.
    Between(Length, Length),
    /// Either way.
    Angle(Angle),
    /// Either way.
    Mass(Mass),
    /// Exactly so many.
    Count(usize),
    /// Looked at.
    Seen,
}

/// One thing to check.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Its name for machines.
    pub kind: &'static str,
    /// What is checked.
    pub what: Sentence,
    /// With what.
    pub tool: &'static str,
    /// How far it may be off.
    pub tolerance: Tolerance,
    /// Where; empty is every head.
    pub notes: Vec<Note>,
}

/// The list, in the order of the work.
pub(super) fn checks(
    instrument: &Instrument,
    action: &Action,
    sections: &[SectionOrder],
    (tolerances, limits): (&Tolerances, &Limits),
) -> Vec<Check> {
    let hardener = match instrument.hammers.wishes.hardener {
        Some(Hardener::Allowed) => "hardener only where the maker says",
        _ => "no hardener",
    };
    let ends: Vec<Note> =
        sections.iter().flat_map(|section| [section.first, section.last]).collect();
    let spares = |section: &SectionOrder| section.spares.value().copied().unwrap_or(0);
    let heads = sections.iter().map(|section| section.count + spares(section)).sum();
    let check = |kind, what: Sentence, tool, tolerance, notes: &[Note]| Check {
        kind,
        what,
        tool,
        tolerance,
        notes: notes.to_vec(),
    };
    let hole = Tolerance::Between(
        mm(limits.value(LimitKey::HammerHoleLeast)),
        mm(limits.value(LimitKey::HammerHoleMost)),
    );
    let mut bore = sentence!["bore, hole axis to crown, against the table"];
    if let Some(allowance) = action.allowance.filter(|allowance| to_mm(*allowance) > 0.0) {
        bore.extend(sentence![", the ", allowance, " of allowance included"]);
    }
    bore.push("; the change from each head to the next is to be even");
    let by_section = sections.iter().map(|section| {
        let mut what = sentence![
            format!("number of heads of the section {}, from ", section.name),
            section.first,
            " to ",
            section.last
        ];
        if spares(section) > 0 {
            what.extend(sentence![", spares among them: ", spares(section)]);
        }
        check("count", what, "eye", Tolerance::Count(section.count + spares(section)), &[])
    });
    let mut list: Vec<Check> = by_section.collect();
    list.extend([
        check("count_all", sentence!["number of heads, each numbered from the bass"], "eye", Tolerance::Count(heads), &[]),
        check("bore", bore, "caliper, a pin in the hole", Tolerance::Length(tolerances.bore), &[]),
        check("rake", sentence!["rake, and that it leans the way the drawing shows"], "bevel", Tolerance::Angle(tolerances.angle), &ends),
        check("side_angle", sentence!["side angle, and that it leans the way the drawing shows"], "bevel", Tolerance::Angle(tolerances.angle), &ends),
        check("hole", sentence!["hole less shank, on the instrument's own shanks"], "pin gauges, micrometer", hole, &ends),
        check("width", sentence!["width at the crown"], "caliper", Tolerance::Length(tolerances.width), &ends),
        check("tail", sentence!["tail, moulding tip and overall height"], "caliper", Tolerance::Length(tolerances.tail), &ends),
        check("mass", sentence!["mass of the head, and that it falls evenly to the treble"], "scale to 0.05 g", Tolerance::Mass(tolerances.mass), &ends),
        check("felt", sentence!["felt tight on the moulding, crown without folds, ", hardener], "eye, needle", Tolerance::Seen, &[]),
        check(
            "trial",
            sentence!["before an old head comes off: one new head of each section on a spare shank; crown on its string, shank at its angle, gaps to both neighbours at rest and in passing"],
            "eye, feeler",
            Tolerance::Seen,
            &ends,
        ),
    ]);
    list
}
