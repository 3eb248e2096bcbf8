//! Tuning pins to be bought, region by region, as the verdict on the pins says.

use crate::instrument::Instrument;
use crate::judgement::limit::{LimitKey, Limits};
use crate::judgement::regions::regions_of;
use crate::judgement::{Judgement, PinVerdict};
use crate::measure::{Length, to_newton_metres};
use crate::scale::Scale;
use crate::stock::{TuningPin, nearest_tuning_pin, tuning_pins};

/// The pins of one region.
#[derive(Debug, Clone, PartialEq)]
pub struct PinLine {
    /// What the rebuilder calls the region.
    pub region: String,
    /// Indices of the sections whose pins it holds; empty where that is not certain.
    pub sections: Vec<usize>,
    /// The verdict on them.
    pub verdict: PinVerdict,
    /// Diameter of the pins now in the block, as read.
    pub found: Option<Length>,
    /// The size nearest to it.
    pub found_size: Option<&'static TuningPin>,
    /// The next whole size; `None` where the pins were not read or none is left.
    pub next: Option<&'static TuningPin>,
    /// How many pins there are in the region; `None` where strings were not counted.
    pub pins: Option<usize>,
    /// Pins read.
    pub read: usize,
    /// Loose ones among them.
    pub loose: usize,
}

impl PinLine {
    /// The size to be bought, where the verdict settles it.
    pub fn size(&self) -> Option<&'static TuningPin> {
        match self.verdict {
            PinVerdict::NextSize | PinVerdict::Single => self.next,
            _ => None,
        }
    }

    /// Whether pins are bought for the whole region.
    pub fn all_change(&self) -> bool {
        matches!(self.verdict, PinVerdict::NextSize | PinVerdict::NewBlock)
    }

    /// Whether any pin is bought.
    pub fn is_ordered(&self) -> bool {
        self.all_change() || self.verdict == PinVerdict::Single
    }

    /// Diameter of the pin that a string of the region goes on, where known.
    pub fn pin(&self) -> Option<Length> {
        match self.verdict {
            PinVerdict::NextSize | PinVerdict::Single => {
                self.next.map(|size| size.diameter).or(self.found)
            }
            PinVerdict::NewBlock => None,
            _ => self.found,
        }
    }
}

/// Every region as surveyed.
pub fn pins(
    instrument: &Instrument,
    scale: &Scale,
    judgement: &Judgement,
    limits: &Limits,
) -> Vec<PinLine> {
    let names: Vec<&str> = instrument.pins.iter().map(|region| region.region.as_str()).collect();
    let serves = |region: usize| -> Vec<usize> {
        let all = 0..instrument.sections.len();
        all.filter(|section| regions_of(&names, instrument, *section) == [region]).collect()
    };
    let certain = (0..instrument.sections.len())
        .all(|section| regions_of(&names, instrument, section).len() == 1);
    let line = |(index, region): (usize, &crate::instrument::PinRegion)| {
        let verdict = judgement
            .pins
            .iter()
            .find(|pins| pins.region == region.region)
            .map_or(PinVerdict::NotMeasured, |pins| pins.verdict);
        let sections = if certain { serves(index) } else { Vec::new() };
        let found_size = region.pin.and_then(nearest_tuning_pin);
        let loose = limits.value(LimitKey::PinLoose);
        PinLine {
            region: region.region.clone(),
            pins: strings_of(scale, &sections),
            sections,
            verdict,
            found: region.pin,
            found_size,
            next: found_size.and_then(next_whole),
            read: region.torques.len(),
            loose: region.torques.iter().filter(|t| to_newton_metres(**t) < loose).count(),
        }
    };
    instrument.pins.iter().enumerate().map(line).collect()
}

/// The next size of the trade: half sizes are left to those who ask for them.
fn next_whole(size: &TuningPin) -> Option<&'static TuningPin> {
    tuning_pins().iter().find(|pin| pin.diameter > size.diameter && !pin.size.contains('.'))
}

/// Strings of some sections: one pin each; `None` where some note was not counted.
fn strings_of(scale: &Scale, sections: &[usize]) -> Option<usize> {
    if sections.is_empty() {
        return None;
    }
    let notes = scale.notes.iter().filter(|note| sections.contains(&note.section));
    notes.map(|note| note.strings.map(usize::from)).sum()
}
