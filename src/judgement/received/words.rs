//! What is said of heads that arrived.

use super::verdict::cure;
use super::{
    Cause, Compared, Cure, Effect, Head, Look, Offset, Quantity, ReceivedVerdict, Sending,
    Standing, Summary, Whom, effect,
};
use crate::judgement::limit::LimitKey;
use crate::measure::{Mass, Measured, Note, Sentence, degrees, mm, to_degrees, to_grams, to_mm};
use crate::sentence;

/// What a number of heads share, by which mistake, what it does and what puts it right.
pub(super) fn offset(look: &Look, offset: &Offset) -> Sentence {
    let quantity = offset.quantity;
    let mut said = match offset.whom {
        Whom::Set => sentence!["the whole set: "],
        Whom::Section(index) => {
            sentence![format!("the section {}: ", look.instrument.sections[index].name)]
        }
        Whom::Notes(first, last) => sentence!["from ", first, " to ", last, ": "],
    };
    let word = quantity.words();
    if offset.even {
        said.extend(sentence![
            format!("{word} {} by ", way(quantity, offset.off)),
            quantity.piece(offset.off.abs(), offset.error),
            " on the average of ",
            offset.heads
        ]);
    } else if let Some((note, off)) = offset.worst {
        said.extend(sentence![
            format!("{word} off by different amounts, most at "),
            note,
            ", by ",
            quantity.piece(off.abs(), 0.0)
        ]);
    }
    said.extend(causes(look, offset));
    said.extend(effects(look, quantity, &effect::of_offset(look, offset)));
    if look.wanted[offset.example].target(quantity).is_some_and(|target| target.doubt > 0.0) {
        said.push("; see first whether the samples it was copied from were read rightly");
    }
    said.push(match offset.cure {
        Cure::File => "; filing takes the surplus off",
        Cure::Ream => "; ream to the shanks",
        Cure::Rebore => "; the holes are to be plugged and bored again",
        Cure::Replace => "; boring cannot mend it",
    });
    said
}

fn causes(look: &Look, offset: &Offset) -> Sentence {
    let mut said = Sentence::default();
    for (index, cause) in offset.causes.iter().enumerate() {
        said.push(if index == 0 { ": as if " } else { ", or as if " });
        said.extend(cause_words(look, *cause));
    }
    said
}

fn cause_words(look: &Look, cause: Cause) -> Sentence {
    let allowance = look.action.allowance.unwrap_or(mm(0.0));
    match cause {
        Cause::AllowanceLeftOut => {
            sentence!["the allowance of ", allowance, " were left out"]
        }
        Cause::AllowanceTwice => sentence!["the allowance of ", allowance, " were added twice"],
        Cause::CopiedFromSamples => sentence!["copied from the worn samples"],
        Cause::OtherSection(index) => sentence![format!(
            "made to the figures of the section {}",
            look.instrument.sections[index].name
        )],
        Cause::WrongEnd => sentence![
            "counted from the wrong end (see first whether the heads are only numbered so)"
        ],
        Cause::Mirrored => sentence!["made for the other hand"],
        Cause::Square => sentence!["bored square, without any"],
        Cause::FullSplay => sentence!["turned by the whole splay of the strings"],
    }
}

/// Short or long, light or heavy: how a figure is off.
fn way(quantity: Quantity, off: f64) -> &'static str {
    match (quantity, off < 0.0) {
        (Quantity::Mass, true) => "too light",
        (Quantity::Mass, false) => "too heavy",
        (Quantity::Hole, true) => "too tight",
        (Quantity::Hole | Quantity::Width, false) => "too wide",
        (Quantity::Width, true) => "too narrow",
        (Quantity::Rake, true) => "off away from the hammer centre",
        (Quantity::Rake, false) => "off towards the hammer centre",
        (Quantity::SideAngle, true) => "off with its far end to the bass",
        (Quantity::SideAngle, false) => "off with its far end to the treble",
        (_, true) => "too short",
        (_, false) => "too long",
    }
}

/// What it does, in the respects that `quantity` touches.
fn effects(look: &Look, quantity: Quantity, effect: &Effect) -> Sentence {
    let mut said = Sentence::default();
    match quantity {
        Quantity::Bore | Quantity::Rake => strike(look, effect, &mut said),
        Quantity::Mass => touch(effect, &mut said),
        Quantity::SideAngle | Quantity::Width => gaps(look, effect, &mut said),
        _ => {}
    }
    said
}

fn strike(look: &Look, effect: &Effect, said: &mut Sentence) {
    if let Some(psi) = effect.obliquity {
        let (size, doubt) = (to_degrees(psi.value), to_degrees(psi.sd));
        let grade = if size.abs() <= look.limits.value(LimitKey::HammerObliquityGood) {
            "still good"
        } else if size.abs() <= look.limits.value(LimitKey::HammerObliquityMost) {
            "acceptable, not good"
        } else {
            "beyond what is acceptable"
        };
        if size.abs() <= 0.5 * doubt {
            said.extend(sentence!["; it strikes square, give or take ", degrees(doubt)]);
        } else {
            let side = if size < 0.0 { "over" } else { "under" };
            let angle = Measured::new(degrees(size.abs()), degrees(doubt));
            said.extend(sentence!["; it strikes ", angle, format!(" {side} centre, {grade}")]);
        }
    }
    if let Some(blow) = effect.blow {
        let longer = if to_mm(blow.value) < 0.0 { " shorter" } else { " longer" };
        let size = Measured::new(blow.value.abs(), blow.sd);
        said.extend(sentence!["; the blow, the rail untouched, is ", size, longer]);
    }
}

fn touch(effect: &Effect, said: &mut Sentence) {
    let size = |mass: Measured<Mass>| Measured::new(mass.value.abs(), mass.sd);
    let more = |mass: Measured<Mass>| if to_grams(mass.value) < 0.0 { " less" } else { " more" };
    if let Some(mean) = effect.mean {
        said.extend(sentence!["; the mean of down and up is ", size(mean), more(mean)]);
    }
    if let Some(reflected) = effect.reflected {
        said.extend(sentence!["; the key sets ", size(reflected), more(reflected), " in motion"]);
    }
}

/// The gap in passing, and that at rest where it is narrow.
fn gaps(look: &Look, effect: &Effect, said: &mut Sentence) {
    for (gap, limit, place) in [
        (effect.gap_rest, LimitKey::HammerGapRest, "at rest"),
        (effect.gap_passing, LimitKey::HammerGapPassing, "in passing"),
    ] {
        let Some(gap) = gap else { continue };
        let least = mm(look.limits.value(limit));
        if to_mm(gap.value) < 0.0 {
            said.push(format!("; heads meet {place}"));
        } else if gap.value < least {
            said.extend(sentence![format!("; gap {place} "), gap, ", less than ", least]);
        } else if limit == LimitKey::HammerGapPassing {
            said.extend(sentence![format!("; gap {place} "), gap, ", enough"]);
        }
    }
}

/// Heads off by themselves.
pub(super) fn singles(look: &Look, heads: &[Head]) -> Vec<(Note, Sentence)> {
    let off = |head: &Head| {
        let own: Vec<Compared> = head
            .compared
            .iter()
            .filter(|compared| compared.standing == Standing::Off)
            .copied()
            .collect();
        (!own.is_empty()).then(|| (head.note, single(look, head, &own)))
    };
    heads.iter().filter_map(off).collect()
}

fn single(look: &Look, head: &Head, off: &[Compared]) -> Sentence {
    let mut said = sentence![head.note, ": "];
    for (index, compared) in off.iter().enumerate() {
        let quantity = compared.quantity;
        if index > 0 {
            said.push("; ");
        }
        said.extend(sentence![
            format!("{} {} by ", quantity.words(), way(quantity, compared.off())),
            quantity.piece(compared.off().abs(), compared.doubt),
            " (",
            quantity.piece(compared.ordered, 0.0),
            " ordered, ",
            quantity.piece(compared.read, 0.0),
            " read)"
        ]);
    }
    let mut told: Vec<Sentence> = Vec::new();
    for compared in off {
        let said = effects(look, compared.quantity, &head.effect);
        if !told.contains(&said) {
            told.push(said);
        }
    }
    for effects in told {
        said.extend(effects);
    }
    let most = look.limits.value(LimitKey::HammerAllowance);
    let worst = off.iter().map(|one| cure(one.quantity, one.off(), false, most)).max();
    said.push(match worst {
        Some(Cure::File) => "; file it",
        Some(Cure::Ream) => "; ream it",
        _ => "; send it back",
    });
    said
}

/// Why the verdict is what it is, and what else to know.
pub(super) fn why(
    look: &Look,
    heads: &[Head],
    missing: &[Note],
    (summaries, offsets): (&[Summary], &[Offset]),
    verdict: ReceivedVerdict,
    sending: &Sending,
) -> Vec<Sentence> {
    let mut why = vec![decided(look, heads, missing, verdict, sending)];
    if !missing.is_empty() && verdict != ReceivedVerdict::Incomplete {
        let mut said = without_row(missing);
        said.push(ASK);
        why.push(said);
    }
    why.extend(doubtful(summaries));
    let again = super::read_again(heads).len();
    if again > 0 {
        why.push(sentence![
            again,
            " of those are further out than most readings err: repeat them, twice where it matters, and judge the set \
             again with what you then read (their mean with its ±, as in 57.2 ± 0.2)"
        ]);
    }
    if verdict == ReceivedVerdict::Rebore && still_good(look, offsets) {
        why.push(Sentence::words(
            "as they are they strike within what is good: whether to have them bored again or to take them so is \
             the workshop's to decide, with the maker",
        ));
    }
    let unjudged =
        look.wanted.iter().filter(|wanted| wanted.target(Quantity::Bore).is_none()).count();
    if unjudged > 0 {
        why.push(sentence![
            unjudged,
            " bores were ordered to a sample, without a figure: hold those heads against it"
        ]);
    }
    why
}

/// What to do about heads without a row.
const ASK: &str = ": ask for what did not arrive; for what did write a row, the note alone will do";

fn without_row(missing: &[Note]) -> Sentence {
    match missing {
        [one] => sentence!["the head of ", *one, " has no row"],
        many => sentence![many.len(), " heads have no row"],
    }
}

/// Readings beyond their tolerance by no more than they may be wrong.
fn doubtful(summaries: &[Summary]) -> Option<Sentence> {
    let mut said = Sentence::default();
    for summary in summaries.iter().filter(|summary| summary.counts[1] > 0) {
        let first = said.0.is_empty();
        said.push(if first {
            "beyond the tolerance, but by no more than such readings may be wrong: "
        } else {
            ", "
        });
        said.extend(sentence![
            format!("{} ", summary.quantity.words()),
            summary.counts[1],
            " of ",
            summary.heads
        ]);
    }
    if said.0.is_empty() {
        return None;
    }
    Some(said)
}

/// Whether what is to be bored again is bore and rake alone, and strikes well as it is.
fn still_good(look: &Look, offsets: &[Offset]) -> bool {
    let good = look.limits.value(LimitKey::HammerObliquityGood);
    let strikes = |offset: &Offset| {
        let psi = effect::of_offset(look, offset).obliquity;
        matches!(offset.quantity, Quantity::Bore | Quantity::Rake)
            && psi.is_some_and(|psi| to_degrees(psi.value).abs() <= good)
    };
    offsets.iter().filter(|offset| offset.cure == Cure::Rebore).all(strikes)
}

fn decided(
    look: &Look,
    heads: &[Head],
    missing: &[Note],
    verdict: ReceivedVerdict,
    sending: &Sending,
) -> Sentence {
    let of = heads.len();
    match verdict {
        ReceivedVerdict::Accept => sentence![
            "every one of ",
            of,
            " heads is within its tolerance, as far as it was read and to what its reading allows: accept; then the \
             trial on a spare shank, before an old head comes off"
        ],
        ReceivedVerdict::AcceptAfterWork => sentence![
            "accept after work here: ",
            sending.file.len(),
            " crowns to file, ",
            sending.ream.len(),
            " holes to ream; tell the maker"
        ],
        ReceivedVerdict::Incomplete => {
            let mut said = sentence!["nothing is wrong with the ", of, " heads that have a row; "];
            said.extend(without_row(missing));
            said.push(ASK);
            said
        }
        ReceivedVerdict::SendBackSome => sentence![
            "send back ",
            sending.replace.len(),
            " of ",
            of,
            " heads, with the table of the order and their labels"
        ],
        ReceivedVerdict::Rebore => sentence![
            "the holes of ",
            sending.rebore.len(),
            " of ",
            of,
            " heads are wrong and the heads will do: back to the maker, holes to be plugged and bored again to the \
             table of the order"
        ],
        ReceivedVerdict::SendBackSet => sentence![
            "send back the set: ",
            sending.replace.len(),
            " of ",
            of,
            " heads are not as ordered in what boring cannot mend"
        ],
        ReceivedVerdict::NotMeasured => sentence![
            "too few bores were read to accept a set by: read the bore of every head, of at least ",
            crate::measure::share(look.limits.value(LimitKey::ReceivedEnough) / 100.0),
            " of them"
        ],
    }
}
