//! Cautions, those that apply to this instrument and this work.

use crate::document::words::Style;
use crate::instrument::Kind;
use crate::judgement::{HammerVerdict, PinVerdict, StringVerdict};
use crate::report::Report;
use crate::stock::Caution;

/// Cautions for the first page; the last says who decides.
pub(super) fn cautions(report: &Report, style: Style) -> Vec<String> {
    let mut all = vec![strings(report, style)];
    let mut applies = |caution: Caution, applies: bool| {
        if applies {
            all.push(caution.words().to_owned());
        }
    };
    applies(Caution::UprightTips, report.instrument.kind == Kind::Upright);
    applies(Caution::Lead, keys_are_weighed(report));
    applies(Caution::Felt, felt_is_worked(report));
    applies(Caution::Solvents, solvents_are_used(report));
    applies(Caution::LocalRules, true);
    all
}

/// Strings are under load whatever is done.
fn strings(report: &Report, style: Style) -> String {
    let totals = &report.scale.totals;
    let pull = (totals.strings > 0)
        .then(|| format!("Together they pull {}.", style.force(totals.tension)));
    let sections = &report.judgement.sections;
    let stopped = sections.iter().any(|section| section.verdict == StringVerdict::Stop);
    let off = sections.iter().any(|section| section.verdict.strings_come_off());
    let rest = if stopped {
        "Nothing is pulled up or let down until what stops the work is put right."
    } else if off {
        Caution::LetDown.words()
    } else {
        Caution::PullUp.words()
    };
    let said = [Some(Caution::StringsUnderLoad.words()), pull.as_deref(), Some(rest)];
    said.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// New heads, or touch that was weighed, lead to the keys.
fn keys_are_weighed(report: &Report) -> bool {
    report.judgement.hammers.verdict == HammerVerdict::Set
        || report.action.samples.iter().any(|s| s.touch.is_some_and(|touch| touch.mean.is_some()))
}

/// Heads are needled, shaped or taken off.
fn felt_is_worked(report: &Report) -> bool {
    report.judgement.hammers.verdict != HammerVerdict::NotMeasured
}

/// Windings are cleaned, or holes treated.
fn solvents_are_used(report: &Report) -> bool {
    let cleaned = |verdict| verdict == StringVerdict::KeepTreatWindings;
    report.judgement.sections.iter().any(|section| cleaned(section.verdict))
        || report.judgement.pins.iter().any(|pins| pins.verdict == PinVerdict::Treat)
}
