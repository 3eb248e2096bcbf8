//! Pins by region of the block, and which region serves which section.

use super::pins::PinCount;
use super::verdict::PinVerdict;
use crate::instrument::Instrument;

/// Pins by region, and which region serves which section.
pub(crate) struct Regions<'a> {
    pub counts: &'a [PinCount],
    pub verdicts: &'a [PinVerdict],
}

impl Regions<'_> {
    /// The regions that hold a section's pins: of the same name; else, where there are as many
    /// regions as sections, the one in its place; else all that no section is named after.
    pub fn of(&self, instrument: &Instrument, index: usize) -> Vec<usize> {
        let names: Vec<&str> = self.counts.iter().map(|count| count.region.as_str()).collect();
        regions_of(&names, instrument, index)
    }

    /// The worst verdict on the regions of a section.
    pub fn worst(&self, of: &[usize]) -> PinVerdict {
        of.iter()
            .map(|region| self.verdicts[*region])
            .reduce(PinVerdict::worse)
            .unwrap_or(PinVerdict::NotMeasured)
    }
}

/// The same of regions by their names.
pub(crate) fn regions_of(names: &[&str], instrument: &Instrument, index: usize) -> Vec<usize> {
    let same = |region: &str, name: &str| region.trim().eq_ignore_ascii_case(name.trim());
    let named = |name: &str| names.iter().position(|region| same(region, name));
    let sections = &instrument.sections;
    if let Some(region) = sections.get(index).and_then(|section| named(&section.name)) {
        return vec![region];
    }
    if names.len() == sections.len() {
        return vec![index];
    }
    let free: Vec<usize> = (0..names.len())
        .filter(|region| !sections.iter().any(|section| same(names[*region], &section.name)))
        .collect();
    if free.is_empty() { (0..names.len()).collect() } else { free }
}
