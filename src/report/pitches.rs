//! What `feltwire scale` may be asked beside the strings at the finished pitch.

use super::Report;
use crate::judgement::PassKind;
use crate::measure::{Cents, Stopped, ThermodynamicTemperature, Watch};
use crate::scale::draws::{Draws, Wanted, draw};
use crate::scale::pitch::{Pull, Warmed, pull_at, warmed};

/// What is asked of the strings beside their figures.
#[derive(Debug, Clone, Copy, Default)]
pub struct ScaleAsked {
    /// 5 and 95 % from so many draws, not to first order.
    pub draws: Option<usize>,
    /// Tuned at the first temperature, standing at the second.
    pub warmed: Option<(ThermodynamicTemperature, ThermodynamicTemperature)>,
}

/// The answers.
#[derive(Debug, Clone, Default)]
pub struct ScaleMore {
    /// What was asked.
    pub asked: ScaleAsked,
    /// The strings drawn.
    pub draws: Option<Draws>,
    /// The strings at another temperature, from the bass.
    pub warmed: Vec<Warmed>,
}

/// Strings as found, at the finished pitch and pulled over it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pitches {
    /// Section by section, from the bass.
    pub sections: Vec<SectionPitches>,
    /// All of them: as found where every section's pitch was found; over pitch with the sections that
    /// are not pulled over standing at the finished pitch.
    pub total: SectionPitches,
}

/// The strings of one section, or of all, at three pitches.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionPitches {
    /// The section; `None` of all together.
    pub section: Option<usize>,
    /// At the finished pitch.
    pub finished: Pull,
    /// How far above the finished pitch it was found.
    pub found_cents: Option<Cents>,
    /// The strings there.
    pub found: Option<Pull>,
    /// How far above the finished pitch it is pulled in the raise.
    pub over_cents: Option<Cents>,
    /// The strings there.
    pub over: Option<Pull>,
}

impl Report {
    /// What is asked beside the strings at the finished pitch.
    pub fn scale_more(&self, asked: ScaleAsked, watch: &dyn Watch) -> Result<ScaleMore, Stopped> {
        let (instrument, belief, scale) = (&self.instrument, &self.belief, &self.scale);
        let draws = asked
            .draws
            .map(|draws| draw(instrument, belief, scale, Wanted::of_readings(draws), watch))
            .transpose()?;
        let warmed = asked
            .warmed
            .map_or_else(Vec::new, |(tuned, now)| warmed(instrument, belief, scale, tuned, now));
        Ok(ScaleMore { asked, draws, warmed })
    }

    /// The strings as found, at the finished pitch, and at the most that the raise pulls them.
    pub fn pitches(&self) -> Pitches {
        let sections = 0..self.instrument.sections.len();
        let found: Vec<Option<Cents>> =
            sections.clone().map(|index| self.instrument.found_in(index)).collect();
        let over: Vec<Option<Cents>> = sections.clone().map(|index| self.over_in(index)).collect();
        let at = |of: &[usize], above: &dyn Fn(usize) -> Option<Cents>| {
            let among = |section: usize| of.contains(&section).then(|| above(section)).flatten();
            pull_at(&self.scale, |entry| among(entry.section))
        };
        let one = |section: Option<usize>, of: &[usize]| SectionPitches {
            section,
            finished: at(of, &|_| Some(Cents(0.0))),
            found_cents: section.and_then(|index| found[index]),
            found: of.iter().all(|&i| found[i].is_some()).then(|| at(of, &|i| found[i])),
            over_cents: section.and_then(|index| over[index]),
            over: of
                .iter()
                .any(|&i| over[i].is_some())
                .then(|| at(of, &|i| over[i].or(Some(Cents(0.0))))),
        };
        let all: Vec<usize> = sections.clone().collect();
        Pitches {
            sections: sections.map(|index| one(Some(index), &[index])).collect(),
            total: one(None, &all),
        }
    }

    /// The highest that the raise pulls a section, from the finished pitch.
    fn over_in(&self, index: usize) -> Option<Cents> {
        let plan = self.judgement.raise.as_ref()?;
        let name = &self.instrument.sections[index].name;
        let over = plan.passes.iter().filter(|pass| pass.kind == PassKind::Over);
        let cents = over.flat_map(|pass| &pass.sections).find(|(section, _)| section == name)?.1;
        Some(Cents(plan.below.0 + cents.0))
    }
}
