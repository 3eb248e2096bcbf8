//! What filing does to heads as ordered, and which rakes their bores allow.

use crate::action::Action;
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Angle, Length, Note, degrees, mm};
use crate::physics::hammer::geometry::Head;
use crate::physics::hammer::inverse::RakeBand;

/// What filing does to the heads of one section, reckoned in its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filing {
    /// Index of the section.
    pub section: usize,
    /// The note in its middle.
    pub note: Note,
    /// By how much a millimetre off the crown turns the strike, towards over centre.
    pub per_mm: Angle,
    /// Felt that the head as ordered may lose, allowance included, before it strikes over centre by more than is
    /// good.
    pub room: Length,
    /// The rakes at which its bore as ordered strikes within what is good, either way.
    pub rakes: Option<RakeBand>,
}

/// Every section whose bores and hanging distance are known, from the bass.
pub fn filing(action: &Action, limits: &Limits) -> Vec<Filing> {
    let good = degrees(limits.value(LimitKey::HammerObliquityGood));
    (0..action.sections.len()).filter_map(|section| one(action, section, good)).collect()
}

fn one(action: &Action, section: usize, good: Angle) -> Option<Filing> {
    let notes = action.sections[section].notes;
    let note = notes.notes().nth(notes.len() / 2)?;
    let entry = action.note(note)?;
    let (station, ordered) = (entry.station?, entry.bore_ordered?.value);
    // The string flattens a crown: what meets it is taken as a tip.
    let tip = mm(0.0);
    let head = Head::new(ordered, entry.rake, tip).ok()?;
    let least = station.bore_at(entry.rake - good, entry.rake, tip).ok()?;
    Some(Filing {
        section,
        note,
        per_mm: station.contact_slopes(&head).ok()?.obliquity.per_mm_of_bore,
        room: ordered - least,
        rakes: station.rake_band(ordered, tip, good).ok(),
    })
}
