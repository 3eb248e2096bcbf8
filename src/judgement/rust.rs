//! Rust: it never decides alone.

use super::facts::SectionFacts;
use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use super::load;
use crate::instrument::About;
use crate::measure::{Cents, Sentence, share};
use crate::sentence;

/// With what pitting at coils and bends decides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Beside {
    /// The strings are to be pulled up by so many cents.
    Raise(f64),
    /// They bear so much, as a fraction.
    Load(f64),
    /// A guarantee is asked for.
    Guarantee,
}

/// How rust weighs in a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum RustState {
    /// Coils and bends were not looked at.
    NotLookedAt,
    /// None, or tarnish.
    Little,
    /// Light rust at coils and bends, or rust on the straight or at the bridge only.
    Watch,
    /// Pitting at coils and bends, but nothing that makes it decide.
    Pitting,
    /// Pitting at coils and bends, and whether it decides hangs on the pitch as found.
    HangsOnPitch,
    /// Pitting at coils and bends, and this beside it.
    Decides(Beside),
}

/// How rust of grade `coils` at coils and bends weighs, with the strings at `factor` times their finished tension after a raise of `raise`.
pub(crate) fn state(
    facts: &SectionFacts,
    coils: Option<u8>,
    raise: Option<f64>,
    factor: f64,
    guarantee: bool,
    limits: &Limits,
) -> RustState {
    let Some(coils) = coils.map(f64::from) else { return RustState::NotLookedAt };
    if coils < limits.value(LimitKey::Pitting) {
        let elsewhere = facts.rust.length.max(facts.rust.bridge).unwrap_or(0);
        let worst = coils.max(f64::from(elsewhere));
        let watch = worst >= limits.value(LimitKey::LightRust);
        return if watch { RustState::Watch } else { RustState::Little };
    }
    if let Some(raise) = raise.filter(|raise| *raise > limits.value(LimitKey::RaiseSmall)) {
        return RustState::Decides(Beside::Raise(raise));
    }
    let greatest = load::greatest(&facts.loads).map(|load| load * factor);
    if let Some(load) = greatest.filter(|load| *load > limits.value(LimitKey::RustLoad)) {
        return RustState::Decides(Beside::Load(load / 100.0));
    }
    if guarantee {
        return RustState::Decides(Beside::Guarantee);
    }
    if raise.is_none() { RustState::HangsOnPitch } else { RustState::Pitting }
}

/// The finding on a section's rust.
pub(crate) fn finding(facts: &SectionFacts, state: RustState, limits: &Limits) -> Finding {
    let about = About::Section(facts.name.clone());
    let weighs = match state {
        RustState::NotLookedAt | RustState::HangsOnPitch | RustState::Decides(_) => Weighs::Decides,
        RustState::Little => Weighs::Keeps,
        RustState::Watch | RustState::Pitting => Weighs::Watch,
    };
    let finding = Finding::new(FindingKind::Rust, about, weighs, words(facts, state))
        .limit(limits.limit(LimitKey::Pitting))
        .step("rust at coils and bends weakens a string where it is bent; on the straight it does not decide".into());
    match facts.rust.coils {
        Some(grade) => finding.value(Figure::new(f64::from(grade), LimitUnit::Grade)),
        None => finding,
    }
}

fn words(facts: &SectionFacts, state: RustState) -> Sentence {
    let name = &facts.name;
    match state {
        RustState::NotLookedAt => {
            sentence![format!("the coils and bends of the {name} were not looked at for rust")]
        }
        RustState::Little => sentence![format!(
            "{} at the coils and bends of the {name}",
            if facts.rust.coils == Some(0) { "no rust" } else { "tarnish only" }
        )],
        RustState::Watch if facts.rust.coils.is_some_and(|grade| grade >= 2) => {
            sentence![format!("light rust at the coils and bends of the {name}")]
        }
        RustState::Watch => sentence![format!(
            "rust on the straight or at the bridge of the {name}, not at its coils: it does not decide"
        )],
        RustState::Pitting => sentence![format!(
            "pitting at the coils and bends of the {name}, but no raise, no heavy load and no guarantee: \
             the strings may stay; breakage is outside any guarantee"
        )],
        RustState::HangsOnPitch => sentence![format!(
            "pitting at the coils and bends of the {name}: whether it decides hangs on the pitch as found"
        )],
        RustState::Decides(Beside::Raise(raise)) => sentence![
            format!("pitting at the coils and bends of the {name}, and a raise of "),
            Cents(raise)
        ],
        RustState::Decides(Beside::Load(load)) => sentence![
            format!("pitting at the coils and bends of the {name}, under a load of up to "),
            share(load)
        ],
        RustState::Decides(Beside::Guarantee) => sentence![format!(
            "pitting at the coils and bends of the {name}, and a guarantee is asked for"
        )],
    }
}
