//! Cautions, those that apply to this instrument and this work.

use crate::document::words::Style;
use crate::instrument::Kind;
use crate::judgement::{HammerVerdict, PinVerdict, StringVerdict};
use crate::report::Report;

/// Cautions for the first page; the last says who decides.
pub(super) fn cautions(report: &Report, style: Style) -> Vec<String> {
    let mut all = vec![strings(report, style)];
    if report.instrument.kind == Kind::Upright {
        all.push(
            "An upright tips: two people, casters blocked, never on its back without a tilter made for it."
                .to_owned(),
        );
    }
    if keys_are_weighed(report) {
        all.push(
            "Key weights may be lead, which is toxic: no dry sanding, filing or blowing; gloves, wipe wet, wash \
             hands; treat the waste as lead."
                .to_owned(),
        );
    }
    if felt_is_worked(report) {
        all.push(
            "Old felt may hold moth proofing or mould, and filing it makes fine dust: mask and extraction, no \
             blowing out."
                .to_owned(),
        );
    }
    if solvents_are_used(report) {
        all.push(
            "Cleaners, solvents and pin treatments: fresh air, no flame, gloves; by the maker’s safety sheet."
                .to_owned(),
        );
    }
    all.push("Local rules and a qualified technician decide.".to_owned());
    all
}

/// Strings are under load whatever is done.
fn strings(report: &Report, style: Style) -> String {
    let totals = &report.scale.totals;
    let pull = if totals.strings == 0 {
        "Strings are under load".to_owned()
    } else {
        format!("The strings pull {}", style.force(totals.tension))
    };
    let sections = &report.judgement.sections;
    let stopped = sections.iter().any(|section| section.verdict == StringVerdict::Stop);
    let off = sections.iter().any(|section| section.verdict.strings_come_off());
    let rest = if stopped {
        "nothing is pulled up or let down until what stops the work is put right"
    } else if off {
        "eye and face protection, nobody in line with a string; let tension down evenly over the whole compass, \
         for the frame can crack when one part bears alone"
    } else {
        "eye and face protection, nobody in line with a string; bring the whole compass up evenly"
    };
    format!("{pull}: {rest}.")
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
