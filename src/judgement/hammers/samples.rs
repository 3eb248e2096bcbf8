//! Slips of the pen in the hammers' table: a reading that no neighbour shares, four that do not add up, a
//! section that ends elsewhere.

use super::Look;
use crate::action::Sample;
use crate::instrument::{About, HammerRow, Height};
use crate::judgement::limit::LimitKey;
use crate::measure::{Length, Measured, Note, Piece, Sentence, to_degrees, to_mm};
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

/// A head whose readings along one axis do not add up.
struct Open {
    note: Note,
    parts: [Measured<Length>; 2],
    whole: Measured<Length>,
}

impl Open {
    fn off(&self) -> f64 {
        to_mm(self.whole.value - self.parts[0].value - self.parts[1].value)
    }
}

/// `head_does_not_close`: overall height is bore and tail, and bore is moulding and felt, all along one axis.
pub(super) fn closing(look: &mut Look) {
    let whole = |row: &HammerRow| Some(([row.bore?, row.tail?], row.head_length?));
    closes(
        look,
        ["bore", "tail", "overall height"],
        whole,
        "head_length_mm is read from tail to crown",
    );
    let bore = |row: &HammerRow| Some(([row.moulding?, row.felt?], row.bore?));
    let along = "felt_mm is what is left over the tip of the moulding, along the head's axis";
    closes(look, ["moulding", "felt over it", "bore"], bore, along);
    for row in &look.instrument.hammers.rows {
        let (Some(bore), Some(moulding), None) = (row.bore, row.moulding, row.felt) else {
            continue;
        };
        if moulding.value < bore.value {
            continue;
        }
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
        look.say("head_does_not_close", About::Note(row.note), text);
    }
}

/// Heads that open by more than their limit: each by itself, or three and more together, for then it is the
/// way of measuring.
const TOGETHER: usize = 3;

fn closes(
    look: &mut Look,
    names: [&str; 3],
    read: impl Fn(&HammerRow) -> Option<([Measured<Length>; 2], Measured<Length>)>,
    how: &'static str,
) {
    let limit = look.limits.value(LimitKey::HammerCloses);
    let deviations = look.limits.value(LimitKey::HammerSampleDeviations);
    let heads = look.instrument.hammers.rows.iter().filter_map(|row| {
        let (parts, whole) = read(row)?;
        Some(Open { note: row.note, parts, whole })
    });
    let open: Vec<Open> = heads
        .filter(|head| {
            let sds = head.parts.iter().map(|part| to_mm(part.sd));
            let sd = sds.fold(to_mm(head.whole.sd), f64::hypot);
            head.off().abs() > limit.max(deviations * sd)
        })
        .collect();
    let together = open.len() >= TOGETHER;
    let worst = open.iter().max_by(|a, b| a.off().abs().total_cmp(&b.off().abs()));
    for head in &open {
        if together && worst.is_some_and(|worst| worst.note != head.note) {
            continue;
        }
        let [first, second, whole] = names;
        let mut text = if together {
            sentence![open.len(), " heads do not add up, most that of ", head.note]
        } else {
            sentence!["the head of ", head.note, " does not add up"]
        };
        text.extend(sentence![
            format!(": {first} "),
            head.parts[0].value,
            format!(" and {second} "),
            head.parts[1].value,
            " make ",
            head.parts[0].value + head.parts[1].value,
            format!(", the {whole} was read as "),
            head.whole.value,
            ": measure the three again"
        ]);
        if together {
            text.push(format!("; {how}"));
        }
        let about = if together { About::Set } else { About::Note(head.note) };
        look.say("head_does_not_close", about, text);
    }
}

/// `section_border`: heights step between neighbours inside a section, as they do at a break.
pub(super) fn borders(look: &mut Look) {
    for (below, above, step) in steps(look) {
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

/// Whether heights step between neighbours inside section `index`: then no other of its heights can be held
/// against them.
pub(super) fn steps_inside(look: &Look, index: usize) -> bool {
    steps(look).iter().any(|(below, ..)| below.section == index)
}

fn steps<'a>(look: &Look<'a>) -> Vec<(&'a Sample, &'a Sample, Length)> {
    let limit = look.limits.value(LimitKey::HammerBorder);
    let keys = look.limits.value(LimitKey::HammerBorderKeys);
    let height = |row: &HammerRow| match row.height? {
        Height::ShankParallel { shank_to_string } => Some((0, shank_to_string.value)),
        Height::Centre { centre_to_string, .. } => Some((1, centre_to_string.value)),
        Height::Keybed { .. } => None,
    };
    let pairs = look.action.samples.windows(2).filter_map(|pair| {
        let [below, above] = [&pair[0], &pair[1]];
        let [low, high] = [below, above].map(|sample| height(sample.read(look.instrument)));
        let near = f64::from(above.note.key()) - f64::from(below.note.key()) <= keys;
        let ((kind, low), (other, high)) = (low?, high?);
        let step = high - low;
        let inside = below.section == above.section && kind == other && near;
        (inside && to_mm(step).abs() > limit).then_some((below, above, step))
    });
    pairs.collect()
}
