//! Scale: steps at a break that no new wire of the same size can mend.

use super::breaks::{Grade, Graded};
use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use crate::instrument::About;
use crate::measure::{Compass, Note, Piece, Sentence, share};
use crate::scale::breaks::Quantity;
use crate::sentence;

/// One break with its figures graded.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakGrades {
    /// The note below it.
    pub below: Note,
    /// The note above it.
    pub above: Note,
    /// Its figures.
    pub grades: Vec<Graded>,
}

/// The roughest break of a section with these notes, of those at its lower end or inside it: a step
/// of tension or load beyond its limit. What stiffness alone does there belongs to the change from
/// wound to plain.
pub(crate) fn rough(breaks: &[BreakGrades], notes: Compass) -> Option<(&BreakGrades, &Graded)> {
    breaks
        .iter()
        .filter(|at| notes.contains(at.above))
        .flat_map(|at| at.grades.iter().map(move |graded| (at, graded)))
        .filter(|(_, graded)| matches!(graded.quantity, Quantity::Tension | Quantity::Load))
        .filter(|(_, graded)| graded.grade == Grade::Rough)
        .max_by(|a, b| a.1.chance.unwrap_or_default().total_cmp(&b.1.chance.unwrap_or_default()))
}

/// The finding on a rough break, heard `plainly` or not; none without one.
pub(crate) fn finding(
    facts: &SectionFacts,
    breaks: &[BreakGrades],
    notes: Compass,
    plainly: bool,
    limits: &Limits,
) -> Option<Finding> {
    let (at, graded) = rough(breaks, notes)?;
    let finding = Finding::new(
        FindingKind::Scale,
        About::Break(at.below, at.above),
        Weighs::Decides,
        words(facts, at, graded, plainly),
    )
    .limit(limits.limit(LimitKey::BreakRoughAbove))
    .step(graded.says.clone());
    Some(match graded.chance {
        Some(chance) => finding.value(Figure::new(chance, LimitUnit::Chance)),
        None => finding,
    })
}

fn words(facts: &SectionFacts, at: &BreakGrades, graded: &Graded, plainly: bool) -> Sentence {
    let figure = if graded.quantity == Quantity::Load { "load" } else { "tension" };
    let mut said = sentence![
        format!("the {figure} of a string steps at the break "),
        at.below,
        "/",
        at.above,
        " by more than ",
        share(graded.limit.value / 100.0)
    ];
    if let Some(chance) = graded.chance {
        said.extend(sentence![" (chance ", Piece::Chance(chance), ")"]);
    }
    said.push(if plainly { ", and it is plainly heard" } else { "" });
    said.push(format!("; new wire of the same sizes in the {} would not mend it", facts.name));
    if graded.quantity == Quantity::Load {
        said.push(
            ", and new sizes may even out tension and stiffness there, but hardly the load of plain wire, \
             which hangs on its length",
        );
    }
    said
}
