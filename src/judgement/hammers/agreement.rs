//! Samples and heights that do not go together: which of them to doubt.

use super::Look;
use crate::action::{RakeFrom, SampleStanding, SectionStanding};
use crate::instrument::About;
use crate::judgement::limit::LimitKey;
use crate::measure::{Measured, radians, to_mm};
use crate::sentence;

/// `sample_off_geometry`: one sample is off by itself; `sample_off_alone`: it has no company to say whether it or
/// the heights are wrong.
pub(super) fn samples(look: &mut Look) {
    for sample in &look.action.samples {
        let (Some(own), Some(apart)) = (sample.off_section, sample.difference) else { continue };
        let note = sample.note;
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
        let text = sentence![
            format!(
                "the samples of the section {} agree with each other, but their bores are ",
                section.name
            ),
            Measured::new(median.value.abs(), median.sd),
            format!(" {side} than the heights ask for (median of "),
            agreement.samples,
            "): the heights are used; before ordering read heights, rake and hanging distance of this section again, or \
             find out whether this part of the set was replaced"
        ];
        look.say("section_off_geometry", look.section(index), text);
    }
}

/// `height_off_line`: one height of three or more does not go with the others.
pub(super) fn heights(look: &mut Look) {
    let least = look.limits.value(LimitKey::HammerHeight);
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    for sample in &look.action.samples {
        let Some(off) = sample.height_off else { continue };
        if to_mm(off.value).abs() <= least.max(deviations * to_mm(off.sd)) {
            continue;
        }
        let text = sentence![
            "the height read at ",
            sample.note,
            " is ",
            off,
            " off what the others of its section foretell: read it again"
        ];
        look.say("height_off_line", About::Note(sample.note), text);
    }
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
