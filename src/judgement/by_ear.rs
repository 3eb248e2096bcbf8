//! What a tuner will hear at a break, in sentences; and the rules of tuning by ear from the limits.

use super::limit::{LimitKey, Limits};
use crate::measure::{Note, Piece, Sentence};
use crate::scale::breaks::BreakPlace;
use crate::scale::tuning::{ByEar, Guided, Inside, Interval, Left, Off, Rules, Widths};
use crate::sentence;

/// By which partials octaves are tuned where, and how fast a beat is followed.
pub fn rules(limits: &Limits) -> Rules {
    Rules {
        six_three_to: limits.value(LimitKey::OctavesSixThreeTo),
        four_two_from: limits.value(LimitKey::OctavesFourTwoFrom),
        four_two_to: limits.value(LimitKey::OctavesFourTwoTo),
        two_one_from: limits.value(LimitKey::OctavesTwoOneFrom),
        fastest: limits.value(LimitKey::BeatsFollowed),
    }
}

/// What the tuner will hear at `place`, one sentence a matter.
pub fn says(heard: &ByEar, place: &BreakPlace, rules: &Rules) -> Vec<Sentence> {
    let mut said = match &heard.guided {
        Ok(guided) => {
            let mut said = vec![octaves_clean(guided), guides_even(guided), compromise(guided)];
            said.extend(not_sure(guided));
            said
        }
        Err(why) => vec![why.clone()],
    };
    said.extend(widths(widths_heard(heard, place, rules)));
    said
}

/// The widths by the partials that octaves at `place` are tuned by.
pub fn widths_heard<'a>(heard: &'a ByEar, place: &BreakPlace, rules: &Rules) -> &'a Widths {
    // The middle one of the octaves across the break.
    let across = f64::from(place.below.key()) - 6.0;
    &heard.widths[usize::from(across > rules.four_two_to)]
}

fn beats(rate: f64) -> Piece {
    Piece::Beats(rate.abs())
}

fn octaves_clean(guided: &Guided) -> Sentence {
    let name = guided.guide.plural();
    let mut text = sentence![format!("octaves kept clean: {name} ")];
    if let (Some(first), Some(last)) = (guided.course.first(), guided.course.last()) {
        text.extend(sentence!["beat ", beats(first.rate), " times a second above ", first.low]);
        text.extend(sentence![", ", beats(last.rate), " above ", last.low, ", and "]);
    }
    text.extend(sentence!["run off an even course by ", beats(guided.octaves_clean.guides.rms)]);
    if let Some(inside) = &guided.inside {
        text.extend(inside_is(inside.octaves_clean));
    }
    text.extend(worst_guide(guided));
    text.extend(not_quicker_says(guided));
    text
}

/// Where thirds do not quicken as they rise, by the lower note.
pub fn not_quicker(guided: &Guided) -> Vec<Note> {
    let course = guided.course.windows(2);
    let slower = course
        .filter(|pair| pair[0].low.step(1) == Some(pair[1].low) && pair[1].rate <= pair[0].rate);
    slower.map(|pair| pair[1].low).collect()
}

fn not_quicker_says(guided: &Guided) -> Sentence {
    let slower = not_quicker(guided);
    let mut text = Sentence::default();
    for (i, note) in slower.iter().enumerate() {
        text.push(match i {
            0 => "; going up, they do not quicken at ",
            _ if i + 1 == slower.len() => " and ",
            _ => ", ",
        });
        text.push(*note);
    }
    text
}

fn inside_is(figure: f64) -> Sentence {
    sentence![" (inside the sections ", beats(figure), ")"]
}

/// The third that is furthest off, and what it does.
fn worst_guide(guided: &Guided) -> Sentence {
    let Off { worst: (low, by), .. } = guided.octaves_clean.guides;
    let Some(rate) = guided.course.iter().find(|one| one.low == low).map(|one| one.rate) else {
        return Sentence::default();
    };
    let mut text = sentence!["; the furthest, ", low];
    if let Some(high) = low.step(i32::from(guided.guide.semitones())) {
        text.extend(sentence!["–", high]);
    }
    let way = if by < 0.0 { " too slow" } else { " too fast" };
    text.extend(sentence![", beats ", Piece::Beats(rate), ", ", beats(by), way]);
    text
}

fn guides_even(guided: &Guided) -> Sentence {
    let name = guided.guide.plural();
    let mut text = sentence![format!("{name} kept even: octaves beat ")];
    text.push(beats(guided.guides_even.octaves.rms));
    text.push(" times a second");
    if let Some(inside) = &guided.inside {
        text.extend(inside_is(inside.guides_even));
    }
    let (low, by) = guided.guides_even.octaves.worst;
    text.extend(sentence!["; the furthest, ", low]);
    if let Some(high) = low.step(12) {
        text.extend(sentence!["–", high]);
    }
    let way = if by < 0.0 { ", narrow" } else { ", wide" };
    text.extend(sentence![", ", beats(by), way]);
    text
}

fn compromise(guided: &Guided) -> Sentence {
    let name = guided.guide.plural();
    let Left { guides, octaves } = guided.compromise;
    let mut text = sentence![format!("best compromise: {name} off by ")];
    text.extend(sentence![beats(guides.rms), " and octaves by ", beats(octaves.rms)]);
    text.push(" beats a second");
    match &guided.inside {
        Some(Inside { places, compromise: (guides, octaves), .. }) => {
            text.extend(sentence![
                " (inside the sections ",
                beats(*guides),
                " and ",
                beats(*octaves),
                ": the middle one of ",
                *places,
                if *places == 1 { " place)" } else { " places)" }
            ]);
        }
        None => text.push(" (the sections are too short to compare with)"),
    }
    text
}

/// What takes from the trust in these figures.
fn not_sure(guided: &Guided) -> Option<Sentence> {
    let (notes, measured) = guided.notes;
    let mut text = Sentence::default();
    if measured < notes {
        text.extend(sentence![
            "only ",
            measured,
            " of the ",
            notes,
            " notes in this were measured; between readings a scale looks evener than it is"
        ]);
    }
    if guided.ends_assumed {
        if !text.0.is_empty() {
            text.push("; ");
        }
        text.push(
            "bare ends of windings were assumed: their inharmonicity, and what follows from it here, may be \
             off by up to a third",
        );
    }
    (!text.0.is_empty()).then_some(text)
}

fn widths(widths: &Widths) -> Option<Sentence> {
    let name = |interval: Interval| match interval {
        Interval::Octave63 => "6:3",
        Interval::Octave42 => "4:2",
        _ => "2:1",
    };
    let mut text = sentence![format!(
        "octaves by {} are wider than by {} by ",
        name(widths.of.0),
        name(widths.of.1)
    )];
    let mut given = 0;
    for (width, place) in [
        (widths.below, " below the break"),
        (widths.across, " across it"),
        (widths.above, " above it"),
    ] {
        let Some(width) = width else { continue };
        if given > 0 {
            text.push(", ");
        }
        text.extend(sentence![width, place]);
        given += 1;
    }
    (given > 0).then_some(text)
}
