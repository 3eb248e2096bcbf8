//! The load at which straight wire of a string's core breaks, and on what that rests.

use super::StrengthBasis;
use super::doubt::Effect;
use crate::instrument::belief::BelievedString;
use crate::instrument::{Instrument, TensileStrength};
use crate::measure::{Force, Length, Pressure, Sentence};
use crate::physics::{StringSpec, strength};
use crate::sentence;
use crate::stock::StrengthSeries;

/// A breaking load with what its doubt hangs on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bearing {
    /// The breaking load.
    pub load: Force,
    /// On what it rests.
    pub basis: StrengthBasis,
    /// Tensile strength; `None` where the load itself was tested.
    pub tensile: Option<Pressure>,
    /// Of a tested load, one standard deviation over it.
    pub relative_sd: f64,
    /// How the strength falls with the diameter: d ln strength/d ln d, a pure number.
    slope: f64,
}

impl Bearing {
    /// Relative change of tension over breaking load for one cause.
    pub fn effect(&self, effect: &Effect) -> f64 {
        if self.basis == StrengthBasis::Tested {
            return effect.tension;
        }
        // The breaking load of a size rests on the same core reading as the tension.
        let core = (effect.tension - effect.stress) / 2.0;
        effect.stress - self.slope * core
    }
}

/// The load at which straight wire of this core breaks; `Err` says why no number can be given.
pub(crate) fn breaking_load(
    instrument: &Instrument,
    string: &BelievedString,
    spec: &StringSpec,
) -> Result<Bearing, Sentence> {
    if let Some(tested) = string.breaking_load {
        return Ok(Bearing {
            load: tested.value,
            basis: StrengthBasis::Tested,
            tensile: None,
            relative_sd: (tested.sd / tested.value).value,
            slope: 0.0,
        });
    }
    let (tensile, basis, slope) = match &string.material.tensile {
        TensileStrength::Stated(strength) => (*strength, StrengthBasis::OwnMaterial, 0.0),
        TensileStrength::Unsettled(why) => {
            return Err(sentence![
                why.clone(),
                "; have a sample tested and give its breaking load"
            ]);
        }
        TensileStrength::Series => {
            let series = instrument.wire.strength;
            let diameter = spec.core.equal_area_diameter();
            let row = series.strength(diameter).ok_or_else(|| {
                sentence![
                    "the strength series ",
                    series.name().into_owned(),
                    " holds no wire of ",
                    diameter
                ]
            })?;
            let relative = (string.core.sd / string.core.value).value;
            let slope = slope(series, diameter, relative);
            (row.min, StrengthBasis::SeriesMinimum(series), slope)
        }
    };
    let load = strength::breaking_load(tensile, spec.core);
    Ok(Bearing { load, basis, tensile: Some(tensile), relative_sd: 0.0, slope })
}

/// d ln strength/d ln d across one standard deviation of the diameter to both sides.
fn slope(series: StrengthSeries, diameter: Length, relative: f64) -> f64 {
    let at = |factor: f64| series.strength(diameter * factor).map(|row| row.min.value.ln());
    let (thin, thick) = (1.0 - relative, 1.0 + relative);
    match (at(thin), at(thick)) {
        (Some(low), Some(high)) if relative > 0.0 => (high - low) / (thick / thin).ln(),
        _ => 0.0,
    }
}
