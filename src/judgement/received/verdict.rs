//! What to do with a set that arrived.

use super::{Cause, Compared, Head, Look, Offset, Quantity, Standing, Whom};
use crate::judgement::limit::LimitKey;
use crate::measure::Note;

/// The verdict on a set that arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReceivedVerdict {
    /// It may be hung.
    Accept,
    /// It may be hung after work on some heads here.
    AcceptAfterWork,
    /// Heads are missing, and nothing else is wrong.
    Incomplete,
    /// Some heads go back.
    SendBackSome,
    /// The holes go back: bored again, the heads will do.
    Rebore,
    /// All of it goes back.
    SendBackSet,
    /// Too little was read to say.
    NotMeasured,
}

impl ReceivedVerdict {
    /// Its name for machines.
    pub fn name(self) -> &'static str {
        match self {
            Self::Accept => "accept",
            Self::AcceptAfterWork => "accept_after_work",
            Self::Incomplete => "incomplete",
            Self::SendBackSome => "send_back_some",
            Self::Rebore => "rebore",
            Self::SendBackSet => "send_back_set",
            Self::NotMeasured => "not_measured",
        }
    }
}

/// What puts a head right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cure {
    /// Felt filed off the crown, here.
    File,
    /// The hole reamed, here.
    Ream,
    /// The hole plugged and bored again, by the maker.
    Rebore,
    /// Another head.
    Replace,
}

impl Cure {
    /// Its name for machines.
    pub fn name(self) -> &'static str {
        match self {
            Self::File => "file",
            Self::Ream => "ream",
            Self::Rebore => "rebore",
            Self::Replace => "replace",
        }
    }
}

/// What each head needs; a head stands in one list, that of its worst need.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sending {
    /// Heads that go back and are replaced.
    pub replace: Vec<Note>,
    /// Heads whose holes are bored again.
    pub rebore: Vec<Note>,
    /// Heads whose crown is filed here.
    pub file: Vec<Note>,
    /// Heads whose hole is reamed here.
    pub ream: Vec<Note>,
}

/// What puts right a figure that is `off`, of one head or of many; at most `most_filed` mm of felt are filed off.
pub(super) fn cure(quantity: Quantity, off: f64, many: bool, most_filed: f64) -> Cure {
    match quantity {
        Quantity::Bore if off > 0.0 && off <= most_filed => Cure::File,
        Quantity::Hole if off < 0.0 => Cure::Ream,
        _ if quantity.is_bored() && many => Cure::Rebore,
        _ => Cure::Replace,
    }
}

/// What puts many heads right: what belongs to other heads is no surplus to file.
pub(super) fn cure_of(quantity: Quantity, off: f64, causes: &[Cause], most_filed: f64) -> Cure {
    let others = |cause: &Cause| {
        matches!(cause, Cause::OtherSection(_) | Cause::WrongEnd | Cause::CopiedFromSamples)
    };
    if quantity.is_bored() && causes.iter().any(others) {
        return Cure::Rebore;
    }
    cure(quantity, off, true, most_filed)
}

fn in_group(offset: &Offset, head: &Head) -> bool {
    match offset.whom {
        Whom::Set => true,
        Whom::Section(section) => head.section == section,
        Whom::Notes(first, last) => first <= head.note && head.note <= last,
    }
}

/// The worst that a head needs.
fn need(look: &Look, head: &Head, offsets: &[Offset]) -> Option<Cure> {
    let shared = offsets.iter().filter(|offset| in_group(offset, head)).map(|offset| offset.cure);
    let single = |compared: &&Compared| compared.standing == Standing::Off;
    let most_filed = look.limits.value(LimitKey::HammerAllowance);
    let own = head
        .compared
        .iter()
        .filter(single)
        .map(|compared| cure(compared.quantity, compared.off(), false, most_filed));
    shared.chain(own).max()
}

pub(super) fn weigh(
    look: &Look,
    heads: &[Head],
    missing: &[Note],
    offsets: &[Offset],
) -> (ReceivedVerdict, Sending) {
    let mut sending = Sending::default();
    for head in heads {
        let list = match need(look, head, offsets) {
            Some(Cure::Replace) => &mut sending.replace,
            Some(Cure::Rebore) => &mut sending.rebore,
            Some(Cure::File) => &mut sending.file,
            Some(Cure::Ream) => &mut sending.ream,
            None => continue,
        };
        list.push(head.note);
    }
    (verdict(look, heads, missing, &sending), sending)
}

fn verdict(look: &Look, heads: &[Head], missing: &[Note], sending: &Sending) -> ReceivedVerdict {
    let share = look.limits.value(LimitKey::ReceivedSetShare) / 100.0;
    let back = sending.replace.len() as f64;
    if !sending.replace.is_empty() && back >= share * heads.len() as f64 {
        ReceivedVerdict::SendBackSet
    } else if !sending.rebore.is_empty() {
        ReceivedVerdict::Rebore
    } else if !sending.replace.is_empty() {
        ReceivedVerdict::SendBackSome
    } else if !enough(look, heads) {
        ReceivedVerdict::NotMeasured
    } else if !missing.is_empty() {
        ReceivedVerdict::Incomplete
    } else if !sending.file.is_empty() || !sending.ream.is_empty() {
        ReceivedVerdict::AcceptAfterWork
    } else {
        ReceivedVerdict::Accept
    }
}

/// Whether the bore of enough of the heads that arrived was read, of those whose bore was ordered.
fn enough(look: &Look, heads: &[Head]) -> bool {
    let bored = |note: Note| {
        look.wanted
            .iter()
            .any(|wanted| wanted.note == note && wanted.target(Quantity::Bore).is_some())
    };
    let ordered = heads.iter().filter(|head| bored(head.note)).count() as f64;
    let read = heads
        .iter()
        .filter(|head| head.compared.iter().any(|one| one.quantity == Quantity::Bore))
        .count() as f64;
    let share = look.limits.value(LimitKey::ReceivedEnough) / 100.0;
    read > 0.0 && read >= share * ordered
}
