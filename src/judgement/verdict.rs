//! Verdicts, and how findings are weighed into one for a section's strings.

use super::facts::{SectionFacts, WireAge};
use super::fatigue::FatigueState;
use super::finding::FindingKind;
use super::limit::{LimitKey, Limits};
use super::load::{self, LoadState};
use super::rust::{self, RustState};
use super::tone::ToneState;
use crate::instrument::Heard;
use crate::measure::{Cents, Force, Frequency};

macro_rules! verdicts {
    ($(#[$about:meta])* $kind:ident { $($variant:ident, $name:literal, $doc:literal;)* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $kind { $(#[doc = $doc] $variant,)* }

        impl $kind {
            /// Every verdict of this kind.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// Its name, which machines rely on.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }
        }
    };
}

verdicts! {
    /// On the strings of one section.
    StringVerdict {
        Keep, "keep", "Keep.";
        KeepLowerPitch, "keep_lower_pitch", "Keep at a lower pitch.";
        KeepTreatWindings, "keep_treat_windings", "Keep; clean or twist dull wound strings, which lasts for a time.";
        ReplaceNamed, "replace_named", "Replace single strings.";
        ReplaceWoundSame, "replace_wound_same", "Replace the wound set, same scale.";
        ReplaceWoundStock, "replace_wound_stock", "Replace the wound set from stock sizes.";
        RescaleBreak, "rescale_break", "New sizes at the break only.";
        RestringSame, "restring_same", "Restring as it was.";
        RestringNewScale, "restring_new_scale", "Restring to a new scale.";
        Document, "document", "Leave as found and document.";
        NotWorthIt, "not_worth_it", "Costs more than the instrument will fetch.";
        Stop, "stop", "Nothing before something else is put right.";
        NotMeasured, "not_measured", "Not enough measured.";
    }
}

verdicts! {
    /// On the pins of one region.
    PinVerdict {
        Leave, "leave", "Leave.";
        Single, "single", "Tap, or replace singly by the next size.";
        Treat, "treat", "Treat the holes in place; not reversible.";
        NextSize, "next_size", "The next size throughout; the strings come off.";
        NewBlock, "new_block", "A new block.";
        NotMeasured, "not_measured", "Not enough measured.";
    }
}

verdicts! {
    /// On the hammers.
    HammerVerdict {
        Needle, "needle", "Clean and needle.";
        Reshape, "reshape", "Reshape.";
        Some, "some", "Reface or replace a few.";
        Set, "set", "Replace the set.";
        NotMeasured, "not_measured", "Not enough measured.";
    }
}

impl PinVerdict {
    /// The worse of two; not enough measured lies between what leaves the strings on and what does not.
    pub(crate) fn worse(self, other: Self) -> Self {
        let badness = |verdict: Self| match verdict {
            Self::Leave => 0,
            Self::Single => 1,
            Self::Treat => 2,
            Self::NotMeasured => 3,
            Self::NextSize => 4,
            Self::NewBlock => 5,
        };
        if badness(other) > badness(self) { other } else { self }
    }
}

impl StringVerdict {
    /// In the words of the trade.
    pub fn words(self) -> &'static str {
        use StringVerdict as V;
        match self {
            V::Keep => "keep",
            V::KeepLowerPitch => "keep at a lower pitch",
            V::KeepTreatWindings => "keep, clean or twist the dull wound strings",
            V::ReplaceNamed => "replace single strings",
            V::ReplaceWoundSame => "replace the wound set, same scale",
            V::ReplaceWoundStock => "replace the wound set from stock sizes",
            V::RescaleBreak => "new sizes at the break only",
            V::RestringSame => "restring as it was",
            V::RestringNewScale => "restring to a new scale",
            V::Document => "leave as found and document",
            V::NotWorthIt => "not worth it against the instrument",
            V::Stop => "stop",
            V::NotMeasured => "not enough measured",
        }
    }

    /// Whether the section's old strings come off.
    pub fn strings_come_off(self) -> bool {
        use StringVerdict as V;
        matches!(
            self,
            V::ReplaceWoundSame | V::ReplaceWoundStock | V::RestringSame | V::RestringNewScale
        )
    }

    /// Whether its strings stay on (all, or all but named ones) and may be pulled up.
    pub fn may_be_raised(self) -> bool {
        use StringVerdict as V;
        matches!(
            self,
            V::Keep | V::KeepLowerPitch | V::KeepTreatWindings | V::ReplaceNamed | V::RescaleBreak
        )
    }

    /// How far from keep: the greater decides where several speak; `None` for verdicts that are no
    /// step on that way.
    pub fn away_from_keep(self) -> Option<u8> {
        use StringVerdict as V;
        Some(match self {
            V::Keep => 0,
            V::KeepTreatWindings => 1,
            V::KeepLowerPitch => 2,
            V::ReplaceNamed => 3,
            V::RescaleBreak => 4,
            V::ReplaceWoundStock => 5,
            V::ReplaceWoundSame => 6,
            V::RestringSame => 7,
            V::RestringNewScale => 8,
            V::Document => 9,
            V::NotWorthIt => 10,
            V::Stop => 11,
            V::NotMeasured => return None,
        })
    }
}

/// A lower pitch at which a section's strings may stay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowerPitch {
    /// Where A4 then stands.
    pub a4: Frequency,
    /// How far that is from the finished pitch (negative).
    pub below: Cents,
    /// Whether that is where the section stands now.
    pub as_found: bool,
    /// Greatest load of the section there, a fraction.
    pub load: Option<f64>,
    /// Pull of the section's strings there.
    pub tension: Option<Force>,
    /// Chance that none breaks on the way there.
    pub none_breaks: Option<f64>,
}

/// What holds for the whole instrument.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each is one plain answer of the survey")]
pub(crate) struct Setting<'a> {
    pub limits: &'a Limits,
    pub stop: Option<FindingKind>,
    pub block_failed: bool,
    pub bridges_failed: bool,
    pub heritage: bool,
    pub guarantee: bool,
    /// The pitch is not to be bargained with.
    pub pitch_fixed: bool,
    pub restring_too_dear: bool,
    pub wound_too_dear: bool,
    pub wound_from_stock: bool,
    /// Lower pitches that may be named, cents (negative).
    pub lower: Vec<f64>,
}

/// What of one section may differ from re-run to re-run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drawn {
    /// All its loads times this.
    pub level: f64,
    pub raise: Option<f64>,
    /// Rust grade at coils and bends.
    pub coils: Option<u8>,
    pub pins: PinVerdict,
    /// So many pins are loose that nothing may be pulled up where nothing may be changed.
    pub pins_hold_too_little: bool,
    pub tone: Option<ToneState>,
}

/// What of one section stays.
pub(crate) struct Fixed<'a> {
    pub facts: &'a SectionFacts,
    pub fatigue: FatigueState,
    /// What was heard at its breaks, the worst of it.
    pub heard: Option<Heard>,
    /// The break at its lower end, or inside it, steps more than a scale should.
    pub rough_break: bool,
    pub none_breaks: Odds<'a>,
}

/// Chance that none of a section breaks: as drawn, pulled to so many cents of the finished pitch.
pub(crate) type Odds<'a> = &'a dyn Fn(&Drawn, f64) -> f64;

/// A verdict and what decided it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Decision {
    pub verdict: StringVerdict,
    pub by: FindingKind,
    /// Cents of the lower pitch advised, whatever the verdict.
    pub lower: Option<f64>,
}

/// Weighs one section.
pub(crate) fn weigh(setting: &Setting, fixed: &Fixed, drawn: &Drawn) -> Decision {
    let alone = |verdict, by| Decision { verdict, by, lower: None };
    if let Some(stop) = setting.stop {
        return alone(StringVerdict::Stop, stop);
    }
    if matches!(fixed.facts.age, WireAge::NoNumber(_)) {
        return alone(StringVerdict::Document, FindingKind::Wire);
    }
    if let Some(missing) = too_little(setting, fixed, drawn) {
        return alone(StringVerdict::NotMeasured, missing);
    }
    let called = new_scale(setting, fixed, drawn, called_for(setting, fixed, drawn, 0.0));
    let strings = if setting.heritage { reversible(setting, fixed, drawn, called) } else { called };
    let off = strings.verdict.strings_come_off();
    if setting.bridges_failed && (off || is_raised(setting, drawn.raise)) {
        return alone(StringVerdict::Stop, FindingKind::Bridges);
    }
    priced(setting, strings)
}

/// The look that is missing before the strings may be judged at all, if one is.
fn too_little(setting: &Setting, fixed: &Fixed, drawn: &Drawn) -> Option<FindingKind> {
    if drawn.pins == PinVerdict::NotMeasured {
        return Some(FindingKind::Pins);
    }
    let guarantee = setting.guarantee;
    let coils = drawn.coils;
    match rust::state(fixed.facts, coils, drawn.raise, drawn.level, guarantee, setting.limits) {
        RustState::NotLookedAt => return Some(FindingKind::Rust),
        RustState::HangsOnPitch => return Some(FindingKind::Pitch),
        _ => {}
    }
    (fixed.facts.loads.is_empty() && is_raised(setting, drawn.raise)).then_some(FindingKind::Load)
}

/// What is called for with the section brought to `cents` of the finished pitch: the verdict furthest
/// from keep among all that speak.
fn called_for(setting: &Setting, fixed: &Fixed, drawn: &Drawn, cents: f64) -> Decision {
    let limits = setting.limits;
    let raise = drawn.raise.map(|raise| raise + cents);
    let raised = is_raised(setting, raise);
    let by = rests_on(setting, raise);
    let mut called = Decision { verdict: StringVerdict::Keep, by, lower: None };
    let mut call = |verdict: StringVerdict, by| {
        if verdict.away_from_keep() > called.verdict.away_from_keep() {
            called = Decision { verdict, by, lower: called.lower };
        }
    };
    if setting.block_failed {
        call(StringVerdict::RestringSame, FindingKind::Block);
    }
    if matches!(drawn.pins, PinVerdict::NextSize | PinVerdict::NewBlock)
        || (setting.heritage && drawn.pins_hold_too_little)
    {
        call(StringVerdict::RestringSame, FindingKind::Pins);
    }
    if fixed.fatigue == FatigueState::Tired {
        call(StringVerdict::RestringSame, FindingKind::Fatigue);
    }
    let factor = drawn.level * tension_factor(cents);
    let rust = rust::state(fixed.facts, drawn.coils, raise, factor, setting.guarantee, limits);
    if matches!(rust, RustState::Decides(_)) {
        call(StringVerdict::RestringSame, FindingKind::Rust);
    }
    match drawn.tone {
        Some(ToneState::SetGone) => call(wound_set(setting), FindingKind::Tone),
        Some(ToneState::SingleDead) => call(StringVerdict::ReplaceNamed, FindingKind::Tone),
        Some(ToneState::Treat) => call(StringVerdict::KeepTreatWindings, FindingKind::Tone),
        Some(ToneState::Even) | None => {}
    }
    let state = load::state(&fixed.facts.loads, factor, limits);
    match state {
        _ if fixed.heard == Some(Heard::Even) => {}
        LoadState::SlackThroughout => call(StringVerdict::RestringNewScale, FindingKind::Load),
        LoadState::SlackEnd => call(StringVerdict::RescaleBreak, FindingKind::Load),
        _ => {}
    }
    if fixed.rough_break && fixed.heard == Some(Heard::Plain) {
        call(StringVerdict::RescaleBreak, FindingKind::Scale);
    }
    let overloaded = (state == LoadState::Over && raised) || state == LoadState::Yields;
    let breaks =
        raised && (fixed.none_breaks)(drawn, cents) < limits.value(LimitKey::NoneBreaksLeast);
    if overloaded || breaks {
        let by = if overloaded { FindingKind::Load } else { FindingKind::Breakage };
        // At the finished pitch a lower one may be named; at a lower one there is no lower still.
        let lower = if cents < 0.0 { None } else { lower_pitch(setting, fixed, drawn) };
        match lower {
            Some(lower) => {
                call(StringVerdict::KeepLowerPitch, by);
                called.lower = Some(lower);
            }
            None if overloaded => call(StringVerdict::RestringNewScale, by),
            None => call(StringVerdict::RestringSame, by),
        }
    }
    called
}

/// Whether the strings are to be pulled up by more than a tuning; not known counts as yes.
fn is_raised(setting: &Setting, raise: Option<f64>) -> bool {
    raise.is_none_or(|raise| raise > setting.limits.value(LimitKey::RaiseSmall))
}

/// On what a verdict of keep rests.
fn rests_on(setting: &Setting, raise: Option<f64>) -> FindingKind {
    if is_raised(setting, raise) { FindingKind::Breakage } else { FindingKind::Load }
}

fn wound_set(setting: &Setting) -> StringVerdict {
    if setting.wound_from_stock {
        StringVerdict::ReplaceWoundStock
    } else {
        StringVerdict::ReplaceWoundSame
    }
}

/// Tension at `cents` of a pitch over tension at it.
pub(crate) fn tension_factor(cents: f64) -> f64 {
    crate::physics::pitch::tension_ratio(Cents(cents))
}

/// The highest of the lower pitches at which neither load nor breakage speaks against the strings.
fn lower_pitch(setting: &Setting, fixed: &Fixed, drawn: &Drawn) -> Option<f64> {
    if setting.pitch_fixed && !setting.heritage {
        return None;
    }
    candidates(setting, drawn).into_iter().find(|cents| {
        let factor = drawn.level * tension_factor(*cents);
        // Where it stands, nothing is pulled.
        let pulled = drawn.raise.is_none_or(|raise| raise + cents > 0.0);
        load::state(&fixed.facts.loads, factor, setting.limits) < LoadState::Over
            && (!pulled
                || (fixed.none_breaks)(drawn, *cents)
                    >= setting.limits.value(LimitKey::NoneBreaksWatch))
    })
}

/// Lower pitches that may be named, highest first: the usual ones and where the section stands.
fn candidates(setting: &Setting, drawn: &Drawn) -> Vec<f64> {
    let mut all = setting.lower.clone();
    all.extend(drawn.raise.filter(|raise| *raise > 0.0).map(|raise| -raise));
    all.sort_by(|a, b| b.total_cmp(a));
    all
}

/// Where strings come off anyway and the old loads or a break are at fault, the scale is made new.
fn new_scale(setting: &Setting, fixed: &Fixed, drawn: &Drawn, called: Decision) -> Decision {
    let state = load::state(&fixed.facts.loads, drawn.level, setting.limits);
    let at_fault = state > LoadState::Watch || fixed.rough_break;
    if called.verdict.strings_come_off() && at_fault {
        return Decision { verdict: StringVerdict::RestringNewScale, ..called };
    }
    called
}

/// Only what can be undone: keep, a lower pitch, or leave as found and document.
fn reversible(setting: &Setting, fixed: &Fixed, drawn: &Drawn, called: Decision) -> Decision {
    use StringVerdict as V;
    match called.verdict {
        V::Keep | V::KeepLowerPitch => return called,
        V::KeepTreatWindings | V::ReplaceNamed | V::RescaleBreak => {
            return Decision { verdict: V::Keep, by: rests_on(setting, drawn.raise), lower: None };
        }
        _ => {}
    }
    let helps = candidates(setting, drawn)
        .into_iter()
        .find(|cents| called_for(setting, fixed, drawn, *cents).verdict == StringVerdict::Keep);
    match helps {
        Some(lower) => {
            Decision { verdict: StringVerdict::KeepLowerPitch, by: called.by, lower: Some(lower) }
        }
        None => Decision { verdict: StringVerdict::Document, by: called.by, lower: None },
    }
}

/// Not worth it, where the price says so.
fn priced(setting: &Setting, called: Decision) -> Decision {
    use StringVerdict as V;
    let dear = match called.verdict {
        V::RestringSame | V::RestringNewScale => setting.restring_too_dear,
        V::ReplaceWoundSame | V::ReplaceWoundStock => setting.wound_too_dear,
        _ => false,
    };
    if dear {
        return Decision { verdict: V::NotWorthIt, by: FindingKind::Money, lower: None };
    }
    called
}
