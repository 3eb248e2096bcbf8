//! Side angles, gaps, holes and tails.

use super::Look;
use crate::instrument::{About, HammerRow, Kind};
use crate::judgement::limit::LimitKey;
use crate::measure::{Length, Measured, mm, share, to_degrees, to_mm};
use crate::sentence;

/// `side_angle_wrong_hand`, `side_angle_full`.
pub(super) fn side_angles(look: &mut Look) {
    let least = look.limits.value(LimitKey::HammerSideSplay);
    let full = look.limits.value(LimitKey::HammerSideShare) / 100.0;
    let hand = look.limits.value(LimitKey::HammerSideHand);
    for row in &look.instrument.hammers.rows {
        let (Some(side), Some(splay)) = (row.side_angle, row.splay) else { continue };
        let (head, string) = (to_degrees(side.value), to_degrees(splay.value));
        let to_one_side = head * string >= 0.0;
        if !to_one_side && head.abs().min(string.abs()) > hand {
            let text = sentence![
                "the head of ",
                row.note,
                " leans ",
                side,
                " against a string that leans ",
                splay,
                ": one of them is read with the wrong hand; positive is the end away from the hammer centre to the treble"
            ];
            look.say("side_angle_wrong_hand", About::Note(row.note), text);
        } else if string.abs() >= least && head / string > full {
            let text = sentence![
                "the head of ",
                row.note,
                " is turned by ",
                share(head / string),
                " of the splay of its string: usual in an overstrung bass is a third to a half, for turned in full the \
                 heads meet when they pass"
            ];
            look.say("side_angle_full", About::Note(row.note), text);
        }
    }
}

/// `gap_rest`, `gap_passing`.
pub(super) fn gaps(look: &mut Look) {
    let (rest, passing) =
        (look.length(LimitKey::HammerGapRest), look.length(LimitKey::HammerGapPassing));
    for sample in &look.action.samples {
        let Some(gaps) = sample.gaps else { continue };
        let about = About::Note(sample.note);
        if gaps.rest.value < rest {
            let text = sentence![
                "at ",
                sample.note,
                " heads of this width leave a gap of ",
                gaps.rest,
                " at rest, less than ",
                rest,
                ": order them narrower"
            ];
            look.say("gap_rest", about.clone(), text);
        }
        let Some(gap) = gaps.passing.filter(|gap| gap.value < passing) else { continue };
        let mut text = sentence![
            "at ",
            sample.note,
            " a head at its string passes its neighbour by ",
            gap,
            ", less than ",
            passing,
            ": narrower heads, less side angle"
        ];
        if let Some(tilt) = gaps.evening_tilt {
            text.push(", or a tilt of ");
            text.push(tilt);
            text.push(", which evens both sides");
        }
        look.say("gap_passing", about, text);
    }
}

fn spread(readings: &[Length]) -> Length {
    let low = readings.iter().copied().map(to_mm).fold(f64::INFINITY, f64::min);
    let high = readings.iter().copied().map(to_mm).fold(f64::NEG_INFINITY, f64::max);
    mm(high - low)
}

/// `shanks_few`, `shanks_vary`, `hole_clearance`.
pub(super) fn holes(look: &mut Look) {
    let read = |of: fn(&HammerRow) -> Option<Measured<Length>>| -> Vec<Length> {
        look.instrument.hammers.rows.iter().filter_map(of).map(|read| read.value).collect()
    };
    let (shanks, holes) = (read(|row| row.shank), read(|row| row.hole));
    let enough = look.limits.value(LimitKey::HammerShanks);
    let (least, most) =
        (look.length(LimitKey::HammerHoleLeast), look.length(LimitKey::HammerHoleMost));
    if (shanks.len() as f64) < enough {
        let text = sentence![
            "the hole is ordered against the shanks: ",
            shanks.len(),
            " measured, at least ",
            enough as usize,
            " are wanted, with a micrometer where the heads sit"
        ];
        look.say("shanks_few", About::Set, text);
    } else if spread(&shanks) > most {
        let text = sentence![
            "the shanks differ by ",
            spread(&shanks),
            ", more than the hole's whole play: measure every one and sort, or ream each hole to its shank"
        ];
        look.say("shanks_vary", About::Set, text);
    }
    if shanks.is_empty() || holes.is_empty() {
        return;
    }
    let mean = |of: &[Length]| of.iter().copied().map(to_mm).sum::<f64>() / of.len() as f64;
    let play = mm(mean(&holes) - mean(&shanks));
    // A caliper reads a hole to a few hundredths: half of the span either way is no finding.
    let slack = (most - least) * 0.5;
    if play < least - slack || play > most + slack {
        let text = sentence![
            "the old holes are ",
            play,
            " wider than the shanks; the new ones are ordered ",
            least,
            " to ",
            most,
            " wider, against the shanks and not copied from the holes"
        ];
        look.say("hole_clearance", About::Set, text);
    }
}

/// `tail_long`.
pub(super) fn tails(look: &mut Look) {
    let key = match look.instrument.kind {
        Kind::Upright => LimitKey::HammerTailUpright,
        Kind::Grand => LimitKey::HammerTailGrand,
    };
    let most = look.length(key);
    for row in &look.instrument.hammers.rows {
        let Some(tail) = row.tail.filter(|tail| tail.value > most) else { continue };
        let text = sentence![
            "the tail of the sample of ",
            row.note,
            " reaches ",
            tail,
            " below its hole, more than ",
            most,
            ": a copy may touch its neighbour or the back check"
        ];
        look.say("tail_long", About::Note(row.note), text);
    }
}
