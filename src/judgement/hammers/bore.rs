//! What the bore was read on, what is in it, and where one bore will not do.

use super::Look;
use crate::instrument::{About, Height, HeightsOn};
use crate::judgement::limit::LimitKey;
use crate::measure::{Length, Measured, Note, Sentence, mm, to_degrees, to_mm, to_radians};
use crate::sentence;

/// `heights_on_strings_to_go`, `heights_on_old_strings`, `heights_not_said`, `let_strings_settle`.
pub(super) fn heights_on(look: &mut Look, to_go: &[usize]) {
    if look.action.sections.iter().all(|section| section.heights == 0) {
        return;
    }
    let on = look.action.heights_on;
    if on == HeightsOn::NewStrings {
        let mut text = sentence![
            "the heights were read on new strings: before boring, see at one note of each section that they have not moved \
             since, for bearing and bridge settle under new strings"
        ];
        text.extend(per_millimetre(look));
        look.say("let_strings_settle", About::Set, text);
        return;
    }
    for &index in to_go {
        let Some(section) = look.action.sections.get(index) else { continue };
        let mut text = sentence![format!(
            "the heights of the section {} were read on strings that are to go: new strings change the height by as much as \
             bearing, bridge and winding do; restring first, read the heights again, then order",
            section.name
        )];
        text.extend(per_millimetre(look));
        look.say("heights_on_strings_to_go", look.section(index), text);
    }
    if on == HeightsOn::NotSaid {
        let mut text = sentence![
            "the survey does not say on which strings the heights were read (heights_measured): the bores hold only for those"
        ];
        text.extend(per_millimetre(look));
        look.say("heights_not_said", About::Set, text);
    } else if to_go.is_empty() {
        let mut text = sentence![
            "the heights were read on the old strings: the bores hold as long as these stay on; after restringing read the \
             heights again"
        ];
        text.extend(per_millimetre(look));
        look.say("heights_on_old_strings", About::Set, text);
    }
}

/// What a height that has moved does, where the hanging distance is known.
fn per_millimetre(look: &Look) -> Sentence {
    let hanging = look.action.sections.iter().find_map(|section| section.hanging);
    hanging.map_or_else(Sentence::default, |hanging| {
        let turned = crate::measure::radians(1.0 / to_mm(hanging.value));
        sentence!["; each ", mm(1.0), " of height turns the strike by ", turned]
    })
}

/// `allowance_stated`: once, so that nobody adds it again; `allowance_large`.
pub(super) fn allowance(look: &mut Look) {
    let Some(allowance) = look.action.allowance.filter(|allowance| to_mm(*allowance) > 0.0) else {
        return;
    };
    let text = sentence![
        "every bore ordered includes ",
        allowance,
        " of felt for later filing: neither the workshop nor the maker adds it again"
    ];
    look.say("allowance_stated", About::Set, text);
    let most = look.length(LimitKey::HammerAllowance);
    if allowance > most {
        let text = sentence![
            "an allowance of ",
            allowance,
            " is more than the usual ",
            most,
            " at most: until they are filed the heads strike under centre"
        ];
        look.say("allowance_large", About::Set, text);
    }
}

/// `bore_from_worn_samples`: what copying the sample most worn would do.
pub(super) fn worn_samples(look: &mut Look) {
    let worst = look
        .action
        .samples
        .iter()
        .filter_map(|sample| Some((sample.note, sample.wear?.lost)))
        .max_by(|a, b| to_mm(a.1.value).total_cmp(&to_mm(b.1.value)));
    let Some((note, lost)) = worst.filter(|(_, lost)| to_mm(lost.value) > 0.0) else { return };
    let mut text = sentence![
        "bores are not to be copied from the samples: ",
        note,
        " has lost ",
        lost,
        " of felt"
    ];
    let hanging = look.action.note(note).and_then(|entry| entry.bore).and_then(|_| {
        let index = look.instrument.section_of(note)?;
        look.action.sections[index].hanging
    });
    if let Some(hanging) = hanging {
        let turned = |by: Length| crate::measure::radians(to_mm(by) / to_mm(hanging.value));
        text.push(", and a copy would strike ");
        text.push(Measured::new(turned(lost.value), turned(lost.sd)));
        text.push(" over centre");
    }
    look.say("bore_from_worn_samples", About::Set, text);
}

/// `plain_height_is_not_bore`: strings that rise, or a butt that is offset, and what a bore by the plain height
/// would be off.
pub(super) fn plain_height(look: &mut Look) {
    let least = look.length(LimitKey::HammerSection);
    let rows = look.instrument.hammers.rows.iter();
    let off = rows.filter_map(|row| {
        let square = look.action.note(row.note)?.bore?.square;
        let plain = match row.height? {
            Height::ShankParallel { .. } => return None,
            Height::Centre { centre_to_string, .. } => centre_to_string.value,
            Height::Keybed { string_height, centre_height, .. } => {
                string_height.value - centre_height.value
            }
        };
        Some((row.note, Measured::new(plain - square.value, square.sd)))
    });
    let worst = off.max_by(|a, b| to_mm(a.1.value).abs().total_cmp(&to_mm(b.1.value).abs()));
    let Some((note, off)) = worst.filter(|(_, off)| off.value.abs() > least) else { return };
    let text = sentence![
        "the plain height of the strings over the hammer centre is not the bore: at ",
        note,
        " it is off by ",
        off,
        ", for the strings rise or the shank is offset or the head is raked"
    ];
    look.say("plain_height_is_not_bore", About::Set, text);
}

/// The bore at both ends of a section.
fn ends(look: &Look, index: usize) -> Option<[(Note, Measured<Length>); 2]> {
    let notes = look.action.sections[index].notes;
    let at = |note: Note| Some((note, look.action.note(note)?.bore_ordered?));
    Some([at(notes.first)?, at(notes.last)?])
}

/// `bore_varies_in_section`, `bore_carried_on`, `bore_doubtful`.
pub(super) fn along_sections(look: &mut Look) {
    for index in 0..look.action.sections.len() {
        let Some([first, last]) = ends(look, index) else { continue };
        let name = look.action.sections[index].name.clone();
        let apart = last.1.value - first.1.value;
        let spread = look.length(LimitKey::HammerBoreSpread);
        if apart.abs() > spread {
            let text = sentence![
                format!("one bore will not do for the section {name}: from "),
                first.0,
                " to ",
                last.0,
                " it changes by ",
                apart,
                "; it is ordered note by note, or tapered"
            ];
            look.say("bore_varies_in_section", look.section(index), text);
        }
        carried_on(look, index, &name);
        doubtful(look, index, &name);
    }
}

fn carried_on(look: &mut Look, index: usize, name: &str) {
    let most = look.limits.value(LimitKey::HammerBeyond);
    let furthest = look
        .action
        .notes_of(index)
        .filter_map(|entry| Some((entry.note, entry.bore?.keys_beyond)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((note, keys)) = furthest.filter(|(_, keys)| *keys > most) else { return };
    let text = sentence![
        format!("in the section {name} the bore is carried on "),
        keys as usize,
        " keys beyond the last reading, to ",
        note,
        ": read a height there"
    ];
    look.say("bore_carried_on", look.section(index), text);
}

fn doubtful(look: &mut Look, index: usize, name: &str) {
    let most = look.length(LimitKey::HammerBoreDoubt);
    let worst = look
        .action
        .notes_of(index)
        .filter_map(|entry| Some((entry.note, entry.bore?.square)))
        .max_by(|a, b| to_mm(a.1.sd).total_cmp(&to_mm(b.1.sd)));
    let Some((note, bore)) = worst.filter(|(_, bore)| bore.sd > most) else { return };
    let text = sentence![
        format!(
            "the bores of the section {name} are not known well enough to be ordered throughout: "
        ),
        note,
        " is ",
        bore,
        "; read heights at the section's first, middle and last note"
    ];
    look.say("bore_doubtful", look.section(index), text);
}

/// `bore_steps_at_break`: so that no bore is run across a break.
pub(super) fn steps(look: &mut Look) {
    let least = look.length(LimitKey::HammerBoreStep);
    for index in 1..look.action.sections.len() {
        let (Some([_, below]), Some([above, _])) = (ends(look, index - 1), ends(look, index))
        else {
            continue;
        };
        let step = above.1.value - below.1.value;
        if step.abs() <= least {
            continue;
        }
        let sd = mm(to_mm(above.1.sd).hypot(to_mm(below.1.sd)));
        let text = sentence![
            "from ",
            below.0,
            " to ",
            above.0,
            " the bore steps by ",
            Measured::new(step, sd),
            ": no bore runs across this break"
        ];
        look.say("bore_steps_at_break", About::Break(below.0, above.0), text);
    }
}

/// `obliquity_acceptable`, `obliquity_large`: of the heads as ordered, two standard deviations of doubt
/// not counted.
pub(super) fn obliquity(look: &mut Look) {
    let good = look.angle(LimitKey::HammerObliquityGood);
    let most = look.angle(LimitKey::HammerObliquityMost);
    let worst = look
        .action
        .notes
        .iter()
        .filter_map(|entry| Some((entry.note, entry.obliquity?)))
        .max_by(|a, b| to_degrees(a.1.value).abs().total_cmp(&to_degrees(b.1.value).abs()));
    let Some((note, angle)) = worst else { return };
    let size = to_radians(angle.value).abs();
    if size <= to_radians(good) {
        return;
    }
    let large = size > to_radians(most);
    let kind = if large { "obliquity_large" } else { "obliquity_acceptable" };
    let rest = if large {
        ": change bore or rake before ordering"
    } else {
        ": acceptable, not good; less allowance brings it back"
    };
    let text = sentence!["the head ordered for ", note, " will strike oblique by ", angle, rest];
    look.say(kind, About::Note(note), text);
}
