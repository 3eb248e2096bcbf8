//! What goes wrong with a hammer order, each mistake a warning of its own with its number.
//!
//! Kinds are stable: machines may rely on them. Those of [`BOXED`] are printed in a box, for whoever passes
//! over them orders a set that does not fit.

mod agreement;
mod bore;
mod filing;
mod mass;
mod samples;
mod sideways;

pub use filing::{Filing, filing};

use super::limit::{LimitKey, Limits};
use crate::action::{Action, Agreement};
use crate::instrument::{About, Instrument, Warning};
use crate::measure::{Angle, Length, Mass, Sentence, degrees, grams, mm};

/// Warnings to be printed in a box.
pub const BOXED: &[&str] =
    &["heights_on_strings_to_go", "counted_from_wrong_end", "section_off_geometry"];

/// How far samples and heights may lie apart and still be used together, by the limits in force.
///
/// ```
/// use feltwire::judgement::{hammers, limit::Limits};
/// use feltwire::measure::to_mm;
/// let agreement = hammers::agreement(&Limits::default());
/// assert!((to_mm(agreement.sample) - 1.5).abs() < 1e-12);
/// ```
pub fn agreement(limits: &Limits) -> Agreement {
    Agreement {
        sample: mm(limits.value(LimitKey::HammerSample)),
        sample_deviations: limits.value(LimitKey::HammerSampleDeviations),
        section: mm(limits.value(LimitKey::HammerSection)),
        section_errors: limits.value(LimitKey::HammerSectionErrors),
    }
}

/// Everything that a warning looks at.
struct Look<'a> {
    instrument: &'a Instrument,
    action: &'a Action,
    limits: &'a Limits,
    found: Vec<Warning>,
}

impl Look<'_> {
    fn say(&mut self, kind: &'static str, about: About, text: Sentence) {
        self.found.push(Warning { kind, about, text });
    }

    fn section(&self, index: usize) -> About {
        About::Section(self.action.sections[index].name.clone())
    }

    fn length(&self, key: LimitKey) -> Length {
        mm(self.limits.value(key))
    }

    fn angle(&self, key: LimitKey) -> Angle {
        degrees(self.limits.value(key))
    }

    fn mass(&self, key: LimitKey) -> Mass {
        grams(self.limits.value(key))
    }
}

/// Every mistake found in the readings and in the order that follows from them. `to_go` are the indices of the
/// sections whose strings will be renewed, empty when none will or nobody has decided.
pub fn warnings(
    instrument: &Instrument,
    action: &Action,
    limits: &Limits,
    to_go: &[usize],
) -> Vec<Warning> {
    if instrument.hammers.rows.is_empty() {
        return Vec::new();
    }
    let mut look = Look { instrument, action, limits, found: Vec::new() };
    agreement::samples(&mut look);
    agreement::sections(&mut look);
    agreement::heights(&mut look);
    agreement::rake_forgotten(&mut look);
    samples::off_the_others(&mut look);
    samples::closing(&mut look);
    samples::borders(&mut look);
    bore::heights_on(&mut look, to_go);
    bore::allowance(&mut look);
    bore::worn_samples(&mut look);
    bore::plain_height(&mut look);
    bore::along_sections(&mut look);
    bore::steps(&mut look);
    bore::obliquity(&mut look);
    sideways::side_angles(&mut look);
    sideways::gaps(&mut look);
    sideways::holes(&mut look);
    sideways::tails(&mut look);
    mass::wrong_end(&mut look);
    mass::samples(&mut look);
    mass::steps(&mut look);
    mass::touch(&mut look);
    look.found
}
