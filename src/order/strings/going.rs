//! Which strings are ordered, and why: what the verdicts say must go, what the survey asks for, what
//! broke and was not replaced.

use super::order::OrderFrom;
use super::staying::Fate;
use super::{Choice, Stringing};
use crate::instrument::belief::StringKind;
use crate::instrument::{About, Instrument, Restring};
use crate::judgement::limit::{LimitKey, Limits};
use crate::judgement::{FindingKind, Judgement, SectionJudgement, StringVerdict};
use crate::measure::Note;

/// How much is to be ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Wanted {
    /// What the verdicts and the survey say.
    #[default]
    Advised,
    /// Every string of the piano.
    All,
}

/// Why strings are ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The verdict on their section.
    Verdict(StringVerdict),
    /// The survey asks for the section.
    Survey,
    /// Every string was asked for.
    All,
    /// The survey asks for this string.
    ToReplace,
    /// It broke, and nothing says that it was replaced.
    Broken {
        /// In which year, where known.
        year: Option<i32>,
    },
}

/// Strings of one note that are ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Going {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// How many of its strings, and whether that is all of them.
    pub strings: u8,
    /// All strings of the note, not single ones.
    pub whole: bool,
    /// Why; several reasons for single strings.
    pub why: Vec<Why>,
}

/// What is ordered with `choice`, note by note from the bass.
pub fn going(from: &OrderFrom, choice: &Choice, wanted: Wanted) -> Vec<Going> {
    let of = |stringing: &Stringing| {
        let whole = whole(from, stringing, wanted);
        let note = stringing.note;
        if let Some(why) = whole {
            let strings = stringing.strings;
            let section = stringing.section;
            return Some(Going { note, section, strings, whole: true, why: vec![why] });
        }
        let why = single(from.instrument, from.judgement, stringing);
        let strings = stringing.strings.min(u8::try_from(why.len()).unwrap_or(u8::MAX));
        let section = stringing.section;
        let whole = strings == stringing.strings;
        (strings > 0).then_some(Going { note, section, strings, whole, why })
    };
    choice.notes.iter().filter_map(of).collect()
}

/// Why all strings of a note go, when they do.
fn whole(from: &OrderFrom, stringing: &Stringing, wanted: Wanted) -> Option<Why> {
    let section = stringing.section;
    // What the verdict says is said of the strings found.
    let found = from.belief.notes.iter().find(|entry| entry.note == stringing.note);
    let kind = found.and_then(|entry| entry.kind);
    let ground =
        Ground { instrument: from.instrument, judgement: from.judgement, limits: from.limits };
    match fate(ground, Found { note: stringing.note, section, kind }, wanted) {
        (Fate::Goes, why) => why,
        (Fate::IfChanged, why) => why.filter(|_| stringing.changed),
        (Fate::Stays, _) => None,
    }
}

/// By what the fate of a note's old strings is decided.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub instrument: &'a Instrument,
    pub judgement: &'a Judgement,
    pub limits: &'a Limits,
}

/// A note as found.
#[derive(Clone, Copy)]
pub(super) struct Found {
    pub note: Note,
    pub section: usize,
    pub kind: Option<StringKind>,
}

/// What becomes of the old strings of a note, and why where they may go.
pub(super) fn fate(ground: Ground, found: Found, wanted: Wanted) -> (Fate, Option<Why>) {
    let Ground { instrument, judgement, .. } = ground;
    let Found { section, kind, .. } = found;
    if wanted == Wanted::All {
        return (Fate::Goes, Some(Why::All));
    }
    let verdict = verdict(judgement, section);
    let goes = verdict.is_some_and(|verdict| match verdict {
        StringVerdict::RestringSame | StringVerdict::RestringNewScale => true,
        StringVerdict::ReplaceWoundSame | StringVerdict::ReplaceWoundStock => {
            kind == Some(StringKind::Wound)
        }
        _ => false,
    });
    let asked = match &instrument.string_wishes.restring {
        Restring::Advised => false,
        Restring::All => true,
        Restring::Sections(named) => named.contains(&section),
    };
    match verdict {
        Some(verdict) if goes => (Fate::Goes, Some(Why::Verdict(verdict))),
        _ if asked => (Fate::Goes, Some(Why::Survey)),
        Some(verdict @ StringVerdict::RescaleBreak) => {
            (Fate::IfChanged, Some(Why::Verdict(verdict)))
        }
        // A break has two sides: where a section asks for new sizes there, strings across it may change too.
        Some(verdict) if beside_rescaled(ground, found) && may_change(verdict) => {
            (Fate::IfChanged, Some(Why::Verdict(StringVerdict::RescaleBreak)))
        }
        _ => (Fate::Stays, None),
    }
}

/// Whether strings that stay by `verdict` may be changed all the same for a break beside them.
fn may_change(verdict: StringVerdict) -> bool {
    use StringVerdict as V;
    matches!(
        verdict,
        V::Keep
            | V::KeepTreatWindings
            | V::ReplaceNamed
            | V::ReplaceWoundSame
            | V::ReplaceWoundStock
    )
}

/// Whether a note lies beside a break that another section's verdict gives new sizes.
fn beside_rescaled(ground: Ground, found: Found) -> bool {
    let Ground { instrument, judgement, limits } = ground;
    judgement.sections.iter().enumerate().any(|(index, section)| {
        let rescaled = section.verdict == StringVerdict::RescaleBreak && index != found.section;
        let place = rescaled.then(|| rescaled_break(instrument, section, index)).flatten();
        place.is_some_and(|place| is_beside(found.note, place, limits))
    })
}

/// Whether `note` lies beside the break between these notes, or in it: fewer keys off than is strung anew where the
/// break alone is.
pub(super) fn is_beside(note: Note, (below, above): (Note, Note), limits: &Limits) -> bool {
    let reach = limits.value(LimitKey::RestringBeside);
    let [note, below, above] = [note, below, above].map(|note| f64::from(note.key()));
    below - reach < note && note < above + reach
}

/// The break that the verdict on section `index` gives new sizes: the one that its finding is about, else that at
/// its lower end.
fn rescaled_break(
    instrument: &Instrument,
    section: &SectionJudgement,
    index: usize,
) -> Option<(Note, Note)> {
    let named = section.findings.iter().find_map(|finding| match finding.about {
        About::Break(below, above) if finding.kind == FindingKind::Scale => Some((below, above)),
        _ => None,
    });
    let border = || {
        let below = instrument.sections.get(index.checked_sub(1)?)?.notes.last;
        Some((below, instrument.sections.get(index)?.notes.first))
    };
    named.or_else(border)
}

/// Why single strings of a note go: one reason a string.
fn single(instrument: &Instrument, judgement: &Judgement, stringing: &Stringing) -> Vec<Why> {
    let note = stringing.note;
    let wishes = instrument.string_wishes.replace.iter();
    let mut why: Vec<Why> = wishes.filter(|n| **n == note).map(|_| Why::ToReplace).collect();
    let replaced = instrument.string(note).is_some_and(|row| row.replaced);
    let stays = matches!(
        verdict(judgement, stringing.section),
        Some(StringVerdict::Document | StringVerdict::Stop | StringVerdict::NotWorthIt)
    );
    if why.is_empty() && !replaced && !stays && !instrument.heritage {
        let broken = instrument.broken.iter().filter(|broken| broken.note == note);
        why.extend(broken.map(|broken| Why::Broken { year: broken.year }));
    }
    why
}

/// The verdict on section `index`.
pub(super) fn verdict(judgement: &Judgement, index: usize) -> Option<StringVerdict> {
    judgement.sections.get(index).map(|section| section.verdict)
}
