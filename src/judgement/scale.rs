//! Scale: steps at a break that no new wire of the same size can mend.

use super::breaks::{Grade, Graded};
use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::LimitUnit;
use crate::instrument::About;
use crate::measure::{Compass, Note};
use crate::scale::breaks::Quantity;

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

/// The finding on a rough break; none without one.
pub(crate) fn finding(
    facts: &SectionFacts,
    breaks: &[BreakGrades],
    notes: Compass,
) -> Option<Finding> {
    let (at, graded) = rough(breaks, notes)?;
    let mut why = graded.says.clone();
    why.push(format!("; new wire of the same sizes would not mend it in the {}", facts.name));
    let finding =
        Finding::new(FindingKind::Scale, About::Break(at.below, at.above), Weighs::Decides, why)
            .limit(&graded.limit);
    Some(match graded.chance {
        Some(chance) => finding.value(Figure::new(chance, LimitUnit::Chance)),
        None => finding,
    })
}
