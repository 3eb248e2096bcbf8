//! Slips of the pen in the hammers' table: a reading that no neighbour shares, four that do not add up, a
//! section that ends elsewhere.

use super::Look;
use crate::instrument::{About, HammerRow, Height};
use crate::judgement::limit::LimitKey;
use crate::measure::{Length, Measured, Piece, Sentence, to_degrees, to_mm};
use crate::sentence;

/// A reading that is much alike on all heads of a section.
struct Alike {
    /// What it is called.
    name: &'static str,
    /// From where on it is off.
    limit: LimitKey,
    /// Its reading in the unit of its limit, and as it is printed.
    read: fn(&HammerRow) -> Option<(f64, Piece)>,
    /// Whether its sign has a meaning that is easily turned.
    signed: bool,
}

fn length(read: Option<Measured<Length>>) -> Option<(f64, Piece)> {
    read.map(|read| (to_mm(read.value), Piece::from(read.value)))
}

fn alike(
    name: &'static str,
    limit: LimitKey,
    read: fn(&HammerRow) -> Option<(f64, Piece)>,
) -> Alike {
    Alike { name, limit, read, signed: false }
}

fn all() -> [Alike; 8] {
    [
        Alike {
            name: "rake",
            limit: LimitKey::HammerOffRake,
            read: |row| row.rake.map(|read| (to_degrees(read.value), Piece::from(read.value))),
            signed: true,
        },
        alike("width", LimitKey::HammerOffWidth, |row| length(row.width)),
        alike("pitch", LimitKey::HammerOffPitch, |row| length(row.pitch)),
        alike("distance from centre pin to head", LimitKey::HammerOffHanging, |row| {
            length(row.centre_to_head)
        }),
        alike("blow", LimitKey::HammerOffBlow, |row| length(row.blow)),
        alike("tail", LimitKey::HammerOffTail, |row| length(row.tail)),
        alike("hole", LimitKey::HammerOffHole, |row| length(row.hole)),
        alike("crown radius", LimitKey::HammerOffCrown, |row| {
            length(row.wear.and_then(|wear| match wear {
                crate::instrument::Wear::Flat { crown_radius, .. } => Some(crown_radius),
                _ => None,
            }))
        }),
    ]
}

/// `sample_off_others`: two or more heads of a section read alike, and one does not.
pub(super) fn off_the_others(look: &mut Look) {
    for what in all() {
        let limit = look.limits.value(what.limit);
        for index in 0..look.action.sections.len() {
            let read: Vec<_> = look
                .action
                .samples
                .iter()
                .filter(|sample| sample.section == index)
                .filter_map(|sample| {
                    Some((sample.note, (what.read)(sample.read(look.instrument))?))
                })
                .collect();
            let Some((at, low, high)) = off(&read, |one| one.1.0, limit) else { continue };
            let (note, (value, said)) = read[at].clone();
            let mut text = sentence![
                format!("the {} of ", what.name),
                note,
                " was read as ",
                said,
                ", those of the others of its section as "
            ];
            text.extend(between(read[low].1.1.clone(), read[high].1.1.clone()));
            text.push(": read it again");
            if what.signed
                && (-value >= read[low].1.0 - limit)
                && (-value <= read[high].1.0 + limit)
            {
                text.push(
                    ", and see that its sign is not turned (positive tips the crown towards the hammer centre)",
                );
            }
            look.say("sample_off_others", About::Note(note), text);
        }
    }
}

fn between(low: Piece, high: Piece) -> Sentence {
    if low == high { sentence![low] } else { sentence![low, " to ", high] }
}

/// The one reading of three or more that lies further than `limit` beyond all others, which lie within `limit`
/// of each other; with the least and the greatest of those.
fn off<T>(read: &[T], value: impl Fn(&T) -> f64, limit: f64) -> Option<(usize, usize, usize)> {
    let mut order: Vec<usize> = (0..read.len()).collect();
    order.sort_by(|a, b| value(&read[*a]).total_cmp(&value(&read[*b])));
    let apart = |a: usize, b: usize| value(&read[b]) - value(&read[a]);
    let [first, second, .., before, last] = order.as_slice() else {
        return three(&order, apart, limit);
    };
    [(*first, *second, *last), (*last, *first, *before)].into_iter().find(|(one, low, high)| {
        apart(*low, *high) <= limit && (apart(*one, *low) > limit || apart(*high, *one) > limit)
    })
}

fn three(
    order: &[usize],
    apart: impl Fn(usize, usize) -> f64,
    limit: f64,
) -> Option<(usize, usize, usize)> {
    let [low, middle, high] = *order else { return None };
    if apart(middle, high) <= limit && apart(low, middle) > limit {
        return Some((low, middle, high));
    }
    (apart(low, middle) <= limit && apart(middle, high) > limit).then_some((high, low, middle))
}

/// `head_does_not_close`: overall height is bore and tail, and bore is moulding and felt, all along one axis.
pub(super) fn closing(look: &mut Look) {
    let limit = look.limits.value(LimitKey::HammerCloses);
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    let far = |whole: Measured<Length>, parts: [Measured<Length>; 2]| {
        let off = to_mm(whole.value - parts[0].value - parts[1].value);
        let sd = parts.iter().map(|part| to_mm(part.sd)).fold(to_mm(whole.sd), f64::hypot);
        off.abs() > limit.max(deviations * sd)
    };
    for row in &look.instrument.hammers.rows {
        let about = || About::Note(row.note);
        if let (Some(bore), Some(tail), Some(whole)) = (row.bore, row.tail, row.head_length)
            && far(whole, [bore, tail])
        {
            let text = sentence![
                "the head of ",
                row.note,
                " does not add up: bore ",
                bore.value,
                " and tail ",
                tail.value,
                " make ",
                bore.value + tail.value,
                ", the overall height was read as ",
                whole.value,
                ": measure the three again"
            ];
            look.say("head_does_not_close", about(), text);
        }
        let (Some(bore), Some(moulding)) = (row.bore, row.moulding) else { continue };
        if let Some(felt) = row.felt
            && far(bore, [moulding, felt])
        {
            let text = sentence![
                "the head of ",
                row.note,
                " does not add up: moulding ",
                moulding.value,
                " and felt over it ",
                felt.value,
                " make ",
                moulding.value + felt.value,
                ", the bore was read as ",
                bore.value,
                ": measure the three again"
            ];
            look.say("head_does_not_close", about(), text);
        } else if row.felt.is_none() && moulding.value >= bore.value {
            let text = sentence![
                "the moulding of ",
                row.note,
                " would end ",
                moulding.value - bore.value,
                " beyond the crown: bore ",
                bore.value,
                ", moulding ",
                moulding.value,
                ": measure both again"
            ];
            look.say("head_does_not_close", about(), text);
        }
    }
}

/// `section_border`: heights step between neighbours inside a section, as they do at a break.
pub(super) fn borders(look: &mut Look) {
    let limit = look.limits.value(LimitKey::HammerBorder);
    let keys = look.limits.value(LimitKey::HammerBorderKeys);
    let height = |row: &HammerRow| match row.height? {
        Height::ShankParallel { shank_to_string } => Some((0, shank_to_string.value)),
        Height::Centre { centre_to_string, .. } => Some((1, centre_to_string.value)),
        Height::Keybed { .. } => None,
    };
    let samples: Vec<_> = look.action.samples.iter().collect();
    for pair in samples.windows(2) {
        let [below, above] = [pair[0], pair[1]];
        let rows = [below, above].map(|sample| sample.read(look.instrument));
        let (Some(low), Some(high)) = (height(rows[0]), height(rows[1])) else { continue };
        let near = f64::from(above.note.key()) - f64::from(below.note.key()) <= keys;
        let step = high.1 - low.1;
        if below.section != above.section || low.0 != high.0 || !near || to_mm(step).abs() <= limit
        {
            continue;
        }
        let name = &look.action.sections[below.section].name;
        let text = sentence![
            "from ",
            below.note,
            " to ",
            above.note,
            " the height of the strings steps by ",
            step,
            format!(
                " inside the section {name}: if a strut or the change of bridge lies between them, end the section \
                 there (`notes` of [[section]]); else read both again"
            )
        ];
        look.say("section_border", About::Note(above.note), text);
    }
}
