//! The order of strings as a whole: what it holds and why, wound strings, plain wire, pins, what goes
//! with it and what must be settled first.

use super::allowance::{Allowances, thickest_pin};
use super::going::{Going, Wanted, Why, going, verdict};
use super::missing::missing;
use super::pins::{PinLine, pins};
use super::wire::{PlainLine, WireLine, by_size, plain};
use super::words;
use super::wound::{WoundLine, wound};
use super::{Choice, Stringing};
use crate::instrument::belief::Belief;
use crate::instrument::{Instrument, Missing, Shop};
use crate::judgement::limit::{LimitKey, Limits};
use crate::judgement::{Judgement, StringVerdict};
use crate::measure::{Compass, Length, Sentence, mm};
use crate::scale::Scale;

/// What an order is made from.
#[derive(Debug, Clone, Copy)]
pub struct OrderFrom<'a> {
    /// What was read.
    pub instrument: &'a Instrument,
    /// What is believed of every string.
    pub belief: &'a Belief,
    /// The strings as found.
    pub scale: &'a Scale,
    /// What is recommended.
    pub judgement: &'a Judgement,
    /// The limits in force.
    pub limits: &'a Limits,
}

/// How much of a section is ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionShare {
    /// Its name.
    pub name: String,
    /// Its notes.
    pub notes: Compass,
    /// The verdict on its strings.
    pub verdict: Option<StringVerdict>,
    /// Wound strings ordered.
    pub wound: usize,
    /// Plain strings ordered.
    pub plain: usize,
    /// Why these, and no others.
    pub why: Sentence,
}

/// What a maker is asked to keep, either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringTolerances {
    /// Core and winding wire.
    pub wire: Length,
    /// Over the winding.
    pub over: Length,
    /// Start and end of a winding.
    pub winding: Length,
}

/// The order.
#[derive(Debug, Clone, PartialEq)]
pub struct StringOrder {
    /// What the piano is strung with, as chosen.
    pub scale: Sentence,
    /// What was asked for.
    pub wanted: Wanted,
    /// Section by section.
    pub sections: Vec<SectionShare>,
    /// What is ordered, note by note.
    pub going: Vec<Going>,
    /// Wound strings.
    pub wound: Vec<WoundLine>,
    /// Plain strings, note by note.
    pub plain: Vec<PlainLine>,
    /// Plain wire by size.
    pub wire: Vec<WireLine>,
    /// Tuning pins by region.
    pub pins: Vec<PinLine>,
    /// What lengths are made longer by.
    pub allowances: Allowances,
    /// Tolerances.
    pub tolerances: StringTolerances,
    /// When they are needed, as the survey says.
    pub needed_by: Option<String>,
    /// Whom to ask, and where to send.
    pub shop: Shop,
    /// What must be settled before the order goes out.
    pub settle: Vec<Sentence>,
    /// What could not be had, and which reading would give it.
    pub missing: Vec<Missing>,
    /// What goes to the maker of wound strings with the order.
    pub enclose: Vec<Sentence>,
    /// What is checked on arrival.
    pub receiving: Vec<Sentence>,
}

impl StringOrder {
    /// Nothing is ordered.
    pub fn is_empty(&self) -> bool {
        self.wound.is_empty() && self.plain.is_empty() && !self.orders_pins()
    }

    /// Pins are ordered.
    pub fn orders_pins(&self) -> bool {
        self.pins.iter().any(PinLine::is_ordered)
    }
}

/// The order of what goes, strung as `choice` says; `scale` says in words what that is.
pub fn string_order(
    from: &OrderFrom,
    choice: &Choice,
    scale: Sentence,
    wanted: Wanted,
) -> StringOrder {
    let OrderFrom { instrument, belief, judgement, limits, .. } = *from;
    let going = going(from, choice, wanted);
    let strung: Vec<(&Going, &Stringing)> =
        going.iter().filter_map(|going| Some((going, choice.note(going.note)?))).collect();
    let allowances = Allowances::of(limits);
    let pins = pins(instrument, from.scale, judgement, limits);
    let pin = |section: usize| pin_of(&pins, section).unwrap_or_else(thickest_pin);
    let wound = wound(instrument, belief, &strung, pin, &allowances);
    let plain = plain(instrument, &strung, pin, &allowances);
    let wire = by_size(&plain, &allowances);
    let mut order = StringOrder {
        scale,
        wanted,
        sections: Vec::new(),
        wire,
        pins,
        allowances,
        tolerances: StringTolerances {
            wire: mm(limits.value(LimitKey::OrderCore)),
            over: mm(limits.value(LimitKey::OrderOver)),
            winding: mm(limits.value(LimitKey::OrderWinding)),
        },
        needed_by: instrument.string_wishes.needed_by.clone(),
        shop: instrument.shop.clone(),
        settle: Vec::new(),
        missing: missing(instrument, &wound, &plain),
        enclose: Vec::new(),
        receiving: Vec::new(),
        going,
        wound,
        plain,
    };
    order.sections = sections(from, choice, &order);
    order.settle = words::settle(from, &order);
    order.enclose = words::enclose(&order);
    order.receiving = words::receiving(&order);
    order
}

/// The pin on which strings of a section go: of its one region that is certain.
fn pin_of(pins: &[PinLine], section: usize) -> Option<Length> {
    let mut of = pins.iter().filter(|line| line.sections.contains(&section));
    match (of.next(), of.next()) {
        (Some(line), None) => line.pin(),
        // The thickest of all regions that might be meant.
        _ => pins.iter().filter_map(PinLine::pin).reduce(|a, b| if b > a { b } else { a }),
    }
}

fn sections(from: &OrderFrom, choice: &Choice, order: &StringOrder) -> Vec<SectionShare> {
    let share = |(index, section): (usize, &crate::instrument::Section)| {
        let wound = order.wound.iter().filter(|line| line.section == index);
        let plain = order.plain.iter().filter(|line| line.section == index);
        SectionShare {
            name: section.name.clone(),
            notes: section.notes,
            verdict: verdict(from.judgement, index),
            wound: wound.map(|line| usize::from(line.strings)).sum(),
            plain: plain.map(|line| usize::from(line.strings)).sum(),
            why: words::share(from, choice, order, index),
        }
    };
    from.instrument.sections.iter().enumerate().map(share).collect()
}

impl Going {
    /// Single strings alone.
    pub fn is_single(&self) -> bool {
        self.why.iter().any(|why| matches!(why, Why::ToReplace | Why::Broken { .. }))
    }
}
