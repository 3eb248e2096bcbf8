//! What stays on of the old strings while the rest is chosen: what the verdicts and the survey leave.
//!
//! What stays is held exactly as it is found. It is not chosen, not judged against a limit and not
//! bought; it counts in the steps at its border, in the evenness of its neighbours and in the pull of
//! all. Verdicts look at the piano as found alone, so nothing here hangs on what is chosen.

use super::going::{Found, Ground, Wanted, fate};
use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::judgement::limit::Limits;
use crate::judgement::{Judgement, StringVerdict};
use crate::measure::Note;

/// What becomes of a note's old strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Fate {
    /// They come off, whatever is chosen.
    #[default]
    Goes,
    /// They come off where another string than their copy is chosen; else they stay.
    IfChanged,
    /// They stay.
    Stays,
}

/// Why the whole piano is worked out all the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AsIf {
    /// It was asked for.
    Asked,
    /// By the verdicts nothing goes.
    NothingGoes,
}

/// Which strings of a section stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldPart {
    /// All.
    All,
    /// The plain ones.
    Plain,
    /// Those whose size does not change.
    Unchanged,
    /// All but those beside a break, from the first to the last, whose size changes.
    AllBut {
        /// The lowest that may change.
        first: Note,
        /// The highest.
        last: Note,
    },
}

/// Old strings of a section that stay, and by which verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Name of the section.
    pub section: String,
    /// Which of its strings.
    pub part: HeldPart,
    /// The verdict on them; `None` where there is none.
    pub verdict: Option<StringVerdict>,
}

/// What stays on of the old strings. The default: nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Staying {
    /// Notes of which not all goes.
    fates: Vec<(Note, Fate)>,
    /// The same section by section, from the bass.
    pub sections: Vec<Held>,
    /// Why nothing is held although something stays.
    pub as_if: Option<AsIf>,
}

impl Staying {
    /// What the verdicts and the survey leave when so much is `wanted`.
    pub fn by(
        instrument: &Instrument,
        belief: &Belief,
        judgement: &Judgement,
        limits: &Limits,
        wanted: Wanted,
    ) -> Self {
        let mut staying = Self::default();
        let ground = Ground { instrument, judgement, limits };
        for entry in &belief.notes {
            let found = Found { note: entry.note, section: entry.section, kind: entry.kind };
            staying.fates.push((entry.note, fate(ground, found, wanted).0));
        }
        for (index, section) in instrument.sections.iter().enumerate() {
            let of = |fate: Fate| -> Vec<Note> {
                let fates = belief.notes.iter().zip(&staying.fates);
                let of = fates.filter(|(entry, one)| entry.section == index && one.1 == fate);
                of.map(|(entry, _)| entry.note).collect()
            };
            let (open, stays) = (of(Fate::IfChanged), of(Fate::Stays));
            let part = match (of(Fate::Goes).as_slice(), open.as_slice(), stays.as_slice()) {
                (_, [], []) => continue,
                ([], [], _) => HeldPart::All,
                (_, [], _) => HeldPart::Plain,
                (_, _, []) => HeldPart::Unchanged,
                (_, [first, ..], _) => {
                    HeldPart::AllBut { first: *first, last: open[open.len() - 1] }
                }
            };
            let verdict = judgement.sections.get(index).map(|judged| judged.verdict);
            staying.sections.push(Held { section: section.name.clone(), part, verdict });
        }
        staying
    }

    /// What stays of these notes; every other goes.
    pub fn of_notes(fates: impl IntoIterator<Item = (Note, Fate)>) -> Self {
        Self { fates: fates.into_iter().collect(), ..Self::default() }
    }

    /// The same where something goes; else the whole piano, as if every string went.
    #[must_use]
    pub fn or_all(self) -> Self {
        if self.nothing_goes() { self.as_if(AsIf::NothingGoes) } else { self }
    }

    /// The whole piano, as if every string went.
    #[must_use]
    pub fn as_if(mut self, why: AsIf) -> Self {
        self.as_if = (!self.sections.is_empty()).then_some(why);
        self.fates.clear();
        self
    }

    /// What becomes of the old strings of `note`.
    pub fn fate(&self, note: Note) -> Fate {
        self.fates.iter().find(|one| one.0 == note).map_or(Fate::Goes, |one| one.1)
    }

    /// Names of the sections of which every string is held.
    pub fn stay_whole(&self) -> Vec<&str> {
        let held = self.sections.iter().filter(|one| self.holds() && one.part == HeldPart::All);
        held.map(|one| one.section.as_str()).collect()
    }

    /// Every string stays.
    pub fn nothing_goes(&self) -> bool {
        !self.fates.is_empty() && self.fates.iter().all(|one| one.1 == Fate::Stays)
    }

    /// Anything is held.
    pub fn holds(&self) -> bool {
        self.fates.iter().any(|one| one.1 != Fate::Goes)
    }
}
