//! Samples and heights that do not go together: which of them to doubt.

use super::Look;
use crate::action::{RakeFrom, Sample, SampleStanding, SectionHammers, SectionStanding};
use crate::instrument::About;
use crate::judgement::limit::LimitKey;
use crate::measure::{Measured, Note, radians, to_mm, to_radians};
use crate::sentence;

/// `sample_off_geometry`: one sample is off by itself; `sample_off_alone`: it has no company to say whether it or
/// the heights are wrong.
pub(super) fn samples(look: &mut Look) {
    for sample in &look.action.samples {
        let (Some(own), Some(apart)) = (sample.off_section, sample.difference) else { continue };
        let note = sample.note;
        // Across a border that is misplaced, sound samples look wrong: the border is named.
        if super::samples::steps_inside(look, sample.section) {
            continue;
        }
        // A height that is wrong by itself makes its own sample look wrong.
        if wrong_height(look, sample.section) == Some(note) {
            continue;
        }
        match sample.standing {
            SampleStanding::Off => {
                let side = if to_mm(own.value) < 0.0 { "shorter" } else { "longer" };
                let text = sentence![
                    "the bore of the sample of ",
                    note,
                    ", its worn felt added back, is ",
                    Measured::new(own.value.abs(), own.sd),
                    format!(
                        " {side} than its neighbours' of the section are against their heights: it is left out; measure it \
                             again, and see whether it belongs to the set"
                    )
                ];
                look.say("sample_off_geometry", About::Note(note), text);
            }
            SampleStanding::OffAlone => {
                let text = sentence![
                    "the only sample of its section, ",
                    note,
                    ", is off the heights by ",
                    apart,
                    ": one sample cannot say whether it or the heights are wrong; the heights are used; measure both \
                     again and take a second sample"
                ];
                look.say("sample_off_alone", About::Note(note), text);
            }
            _ => {}
        }
    }
}

/// `section_off_geometry`: the samples of a section agree with each other and not with the heights.
pub(super) fn sections(look: &mut Look) {
    for (index, section) in look.action.sections.iter().enumerate() {
        let agreement = section.agreement;
        let (SectionStanding::Off, Some(median)) = (agreement.standing, agreement.median) else {
            continue;
        };
        let side = if to_mm(median.value) < 0.0 { "shorter" } else { "longer" };
        let mut text = sentence![
            format!(
                "the samples of the section {} agree with each other, but their bores are ",
                section.name
            ),
            Measured::new(median.value.abs(), median.sd),
            format!(" {side} than the heights ask for (median of "),
            agreement.samples,
            "): the heights are used; "
        ];
        if super::samples::steps_inside(look, index) {
            text.push("its heights step inside it: see first whether the section ends there");
        } else if let Some(note) = wrong_height(look, index) {
            text.push("the height read at ");
            text.push(note);
            text.push(" does it: read it again before ordering");
        } else if rake_turned(section) {
            text.push("with the rake of ");
            text.push(section.rake.angle);
            text.push(
                " turned they would agree: see which way the crowns lean (positive: towards the hammer centre) and \
                 correct the sign of rake_deg",
            );
        } else {
            text.push(
                "before ordering read heights, rake and hanging distance of this section again, or find out whether \
                 this part of the set was replaced",
            );
        }
        look.say("section_off_geometry", look.section(index), text);
    }
}

/// Whether the samples would agree with the heights if their rake leaned the other way: the bore at a rake has
/// the hanging distance times its sine in it, so that a turned sign moves it by twice that.
fn rake_turned(section: &SectionHammers) -> bool {
    let (Some(median), Some(hanging)) = (section.agreement.median, section.hanging) else {
        return false;
    };
    let turned = -2.0 * to_mm(hanging.value) * to_radians(section.rake.angle).sin();
    let left = to_mm(median.value) - turned;
    section.rake.from == RakeFrom::Section
        && section.agreement.unseen.is_some_and(|unseen| left.abs() <= to_mm(unseen))
}

/// `height_off_line`: one height of three or more does not go with the others. Of few heights each accuses the
/// others; where the samples' bores tell which of them it is, that one alone is named.
pub(super) fn heights(look: &mut Look) {
    for sample in &look.action.samples {
        let Some(off) = sample.height_off.filter(|off| stands_off(look, off)) else { continue };
        if super::samples::steps_inside(look, sample.section) {
            continue;
        }
        let wrong = wrong_height(look, sample.section);
        if wrong.is_some_and(|note| note != sample.note) {
            continue;
        }
        let mut text = sentence![
            "the height read at ",
            sample.note,
            " is ",
            off,
            " off what the others of its section foretell"
        ];
        if wrong.is_some() {
            text.push(", and off its own sample's bore, which goes with the others");
        }
        text.push(": read it again");
        look.say("height_off_line", About::Note(sample.note), text);
    }
}

fn stands_off(look: &Look, off: &Measured<crate::measure::Length>) -> bool {
    let least = look.limits.value(LimitKey::HammerHeight);
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    to_mm(off.value).abs() > least.max(deviations * to_mm(off.sd))
}

/// The one note of section `index` whose height is off both the other heights and its own sample's bore.
fn wrong_height(look: &Look, index: usize) -> Option<Note> {
    // A sample's bore less the bore that its own height alone asks for: alike all over a set.
    let apart = |sample: &Sample| {
        let (bore, height) = (sample.bore_new?, sample.height_bore?);
        let sd = to_mm(bore.sd).hypot(to_mm(height.sd));
        Some((to_mm(bore.value) - to_mm(height.value), sd))
    };
    let samples = &look.action.samples;
    let mut all: Vec<f64> = samples.iter().filter_map(apart).map(|apart| apart.0).collect();
    all.sort_by(f64::total_cmp);
    let usual = *all.get(all.len() / 2)?;
    let least = look.limits.value(LimitKey::HammerSample);
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    let own = || samples.iter().filter(|sample| sample.section == index);
    if own().filter_map(apart).count() < 3 {
        return None;
    }
    // The wrong height is as far off its own sample as it is off the other heights.
    let mut wrong = own().filter(|sample| {
        let (Some(off), Some((own, sd))) = (sample.height_off, apart(sample)) else { return false };
        let beyond = usual - own;
        let enough = least.max(deviations * sd);
        stands_off(look, &off)
            && beyond.abs() > enough
            && (beyond - to_mm(off.value)).abs() <= enough.max(to_mm(off.value).abs() / 4.0)
    });
    let one = wrong.next()?;
    wrong.next().is_none().then_some(one.note)
}

/// `rake_forgotten`: no rake was read, and the samples' bores are beyond the heights all alike: by as much as a
/// rake would make them.
pub(super) fn rake_forgotten(look: &mut Look) {
    let action = look.action;
    if action.sections.iter().any(|section| section.rake.from != RakeFrom::NoneRead) {
        return;
    }
    let off = action
        .sections
        .iter()
        .filter(|section| section.agreement.standing == SectionStanding::Off)
        .find_map(|section| Some((section.agreement.median?, section.hanging?)));
    let Some((median, hanging)) = off else { return };
    let sine = to_mm(median.value) / to_mm(hanging.value);
    if !(0.0..1.0).contains(&sine) {
        return;
    }
    let text = sentence![
        "no rake was read, and the samples' bores are ",
        median,
        " longer than heads square to the shank would need: a rake of ",
        radians(sine.asin()),
        " would make them so; read rake_deg of the samples"
    ];
    look.say("rake_forgotten", About::Set, text);
}
