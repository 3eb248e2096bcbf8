//! Masses that do not go with the set, and what a new set does at the key.

use super::Look;
use crate::instrument::About;
use crate::judgement::limit::LimitKey;
use crate::measure::{Piece, share, to_grams};
use crate::sentence;

/// `counted_from_wrong_end`: heads grow lighter to the treble; a set that grows heavier was numbered from the
/// wrong end.
pub(super) fn wrong_end(look: &mut Look) {
    let weighed: Vec<_> = look
        .action
        .samples
        .iter()
        .filter_map(|sample| Some((sample.note, sample.mass?.as_new)))
        .collect();
    let (Some(first), Some(last)) = (weighed.first(), weighed.last()) else { return };
    let apart = to_grams(last.1.value) - to_grams(first.1.value);
    let doubt = to_grams(last.1.sd).hypot(to_grams(first.1.sd));
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    if apart <= deviations * doubt {
        return;
    }
    let text = sentence![
        "the heads grow heavier from ",
        first.0,
        " (",
        first.1,
        ") to ",
        last.0,
        " (",
        last.1,
        "): notes are numbered from the bass, 1 is A0; were samples or sections counted from the wrong end?"
    ];
    look.say("counted_from_wrong_end", About::Set, text);
}

/// `sample_mass_off`, `samples_few`, `section_end_unsampled`.
pub(super) fn samples(look: &mut Look) {
    let most = look.limits.value(LimitKey::HammerMassOff) / 100.0;
    for sample in &look.action.samples {
        let Some(mass) = sample.mass else { continue };
        let Some(off) = mass.off_curve.filter(|off| off.abs() > most) else { continue };
        let text = sentence![
            "the head of ",
            sample.note,
            ", ",
            mass.as_new,
            " as new, is off the even curve of the set by ",
            share(off),
            ": see whether it belongs to this note and this set"
        ];
        look.say("sample_mass_off", About::Note(sample.note), text);
    }
    let enough = look.limits.value(LimitKey::HammerSamples);
    let taken = look.instrument.hammers.rows.iter().filter(|row| row.bore.is_some()).count();
    if (taken as f64) < enough {
        let text = sentence![
            "samples of which the bore was read: ",
            Piece::Many(taken),
            "; send at least ",
            enough as usize,
            ", both ends of each section among them, each labelled on shank and moulding with its note and an arrow to \
             the treble"
        ];
        look.say("samples_few", About::Set, text);
    }
}

/// `mass_ratio_steps`: hammer over string mass across a break, against the mean of the two steps beside it.
pub(super) fn steps(look: &mut Look) {
    let most = look.limits.value(LimitKey::BreakMassRatio) / 100.0;
    for index in 1..look.action.sections.len() {
        let (below, above) =
            (look.action.sections[index - 1].notes.last, look.action.sections[index].notes.first);
        let at = |note| look.action.note(note).and_then(|entry| entry.mass_ratio);
        let (Some(low), Some(high)) = (at(below), at(above)) else { continue };
        let own = [(below.step(-1), Some(below)), (Some(above), above.step(1))];
        let own: Vec<f64> = own
            .into_iter()
            .filter_map(|(from, to)| Some(at(to?)?.value / at(from?)?.value))
            .collect();
        let even = own.iter().map(|step| step.ln()).sum::<f64>() / own.len().max(1) as f64;
        let usual = even.exp();
        let step = high.value / low.value / usual - 1.0;
        let size = if step < 0.0 { 1.0 / (1.0 + step) - 1.0 } else { step };
        if size <= most {
            continue;
        }
        let text = sentence![
            "from ",
            below,
            " to ",
            above,
            " hammer mass over string mass steps by ",
            share(step),
            " beyond its even rise: the tone will step there; it is the strings that step, and heads cannot mend it"
        ];
        look.say("mass_ratio_steps", About::Break(below, above), text);
    }
}

/// `friction_high`, once, with the note where it is most.
fn friction(look: &mut Look) {
    let most = look.mass(LimitKey::HammerFriction);
    let high: Vec<_> = look
        .action
        .samples
        .iter()
        .filter_map(|sample| Some((sample.note, sample.touch?.friction?)))
        .filter(|(_, friction)| friction.value > most)
        .collect();
    let worst = high.iter().max_by(|a, b| to_grams(a.1.value).total_cmp(&to_grams(b.1.value)));
    let Some((note, friction)) = worst else { return };
    let text = sentence![
        "friction, half the difference of down and up, is more than ",
        most,
        " at ",
        high.len(),
        " of the notes weighed, most at ",
        *note,
        " with ",
        *friction,
        ": free the action before heads are judged by weight at the key"
    ];
    look.say("friction_high", About::Set, text);
}

/// `set_heavy`, `set_light`: the mean at the key.
pub(super) fn touch(look: &mut Look) {
    friction(look);
    let most = look.mass(LimitKey::HammerMean);
    for sample in &look.action.samples {
        let Some(touch) = sample.touch else { continue };
        let (Some(old), Some(new)) = (touch.mean, touch.mean_new) else { continue };
        let change = to_grams(new.value) - to_grams(old.value);
        if change.abs() <= to_grams(most) {
            continue;
        }
        let kind = if change > 0.0 { "set_heavy" } else { "set_light" };
        let mut text = sentence![
            "at ",
            sample.note,
            " the mean of down and up will go from ",
            old,
            " to ",
            new,
            ", by more than ",
            most
        ];
        if let (Some(found), Some(new)) = (touch.reflected_found, touch.reflected_new) {
            text.push("; the mass to be set in motion at the key goes from ");
            text.push(found);
            text.push(" to ");
            text.push(new);
        }
        look.say(kind, About::Note(sample.note), text);
    }
}
