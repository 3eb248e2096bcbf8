//! The whole calculation of one note, as facts: what was believed, what the equations took, what came
//! out beside the simpler formulas, and which doubt matters most.

use super::cause::Cause;
use super::compute::{doubts, near_longitudinal};
use super::crosscheck::{Crosscheck, crosschecks_of};
use super::doubt::{Doubts, Effect, effects};
use super::spec::spec_of;
use super::strength::{Bearing, breaking_load};
use super::{NearPartial, StrengthBasis};
use crate::instrument::belief::{Belief, BelievedNote, BelievedString};
use crate::instrument::{Instrument, Place};
use crate::measure::{
    Area, Force, Frequency, Length, LinearMassDensity, Note, Pressure, SecondMoment, Sentence,
    newtons,
};
use crate::physics::winding::layer_mass;
use crate::physics::{Impossible, Sounding, StringSpec, sensitivities, sound, temperature, wound};
use crate::sentence;

/// One layer of winding with what it weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerFacts {
    /// Diameter of its wire.
    pub wire: Length,
    /// Sum of the wires under it.
    pub below: Length,
    /// Mass per length, where it is.
    pub mass: LinearMassDensity,
    /// Half the distance of the bounds that a hexagonal core leaves.
    pub half_spread: LinearMassDensity,
}

/// The calculation of one string of one note.
#[derive(Debug, Clone)]
pub struct Explanation {
    /// The note, its section, strings, kind and source.
    pub note: BelievedNote,
    /// The string believed.
    pub string: BelievedString,
    /// Where it was written.
    pub place: Option<Place>,
    /// The finished pitch, of A4.
    pub pitch: Frequency,
    /// Equally tempered fundamental at the finished pitch.
    pub frequency: Frequency,
    /// What the equations took.
    pub spec: StringSpec,
    /// Area and second moment of the core.
    pub area: Area,
    /// The same.
    pub second_moment: SecondMoment,
    /// Mass per length of the core alone.
    pub core_mass: LinearMassDensity,
    /// The layers of winding, from the core outwards.
    pub layers: Vec<LayerFacts>,
    /// Mass per length computed from the diameters, whether or not the string was weighed.
    pub computed_mass: LinearMassDensity,
    /// What came out.
    pub sounding: Sounding,
    /// 4 L² f1² mu: no stiffness, wound from end to end.
    pub without_stiffness: Force,
    /// B of the core alone and what bare ends add, to first order.
    pub parts: wound::Explanation,
    /// Tensile strength and breaking load with their basis, or why there is none.
    pub strength: Result<Strength, Sentence>,
    bearing: Option<Bearing>,
    /// The transverse partial nearest to the longitudinal mode.
    pub near_longitudinal: Option<NearPartial>,
    /// Drift, cents for a strain of 1e-5.
    pub drift_cents: f64,
    /// What one standard deviation of each cause does, the largest on the tension first.
    pub effects: Vec<Effect>,
    /// The same added up.
    pub doubts: Doubts,
    /// The readings of this note set against what is computed.
    pub crosschecks: Vec<Crosscheck>,
}

/// On what the load rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Of the material, where the load itself was not tested.
    pub tensile: Option<Pressure>,
    /// At which straight wire breaks.
    pub load: Force,
    /// Whose number it is.
    pub basis: StrengthBasis,
}

impl Explanation {
    /// Relative change of the load for one standard deviation of a cause; 0 without a breaking load.
    pub fn load_effect(&self, effect: &Effect) -> f64 {
        self.bearing.map_or(0.0, |bearing| bearing.effect(effect))
    }

    /// The reading whose doubt matters most to `figure` of the effects; `None` when all are exact.
    pub fn most(&self, figure: impl Fn(&Effect) -> f64) -> Option<Cause> {
        self.effects
            .iter()
            .filter(|effect| effect.cause.material().is_none() && figure(effect) != 0.0)
            .max_by(|a, b| figure(a).abs().total_cmp(&figure(b).abs()))
            .map(|effect| effect.cause)
    }
}

/// The calculation of `note`; `Err` says why there is none.
pub fn explain(
    instrument: &Instrument,
    belief: &Belief,
    note: Note,
) -> Result<Explanation, Sentence> {
    let believed = belief.notes.iter().find(|entry| entry.note == note);
    let Some(believed) = believed else {
        return Err(sentence![note, " lies outside the compass of this instrument"]);
    };
    let Some(string) = &believed.string else {
        return Err(sentence![
            "too little was read of ",
            note,
            " and its neighbours to compute it: read its length and its wire"
        ]);
    };
    explained(instrument, believed, string).map_err(|why| why.said())
}

fn explained(
    instrument: &Instrument,
    believed: &BelievedNote,
    string: &BelievedString,
) -> Result<Explanation, Impossible> {
    let frequency = believed.note.frequency(instrument.pitch);
    let spec = spec_of(string, instrument.wire.ends)?;
    let sounding = sound(&spec, frequency)?;
    let slopes = sensitivities(&spec, frequency)?;
    let bearing = breaking_load(instrument, string, &spec);
    let mut effects = effects(string, &spec, &slopes)?;
    let doubts = doubts(&effects, bearing.as_ref().ok());
    effects.sort_by(|a, b| b.tension.abs().total_cmp(&a.tension.abs()));
    let unweighed = StringSpec { weighed: None, ..spec.clone() };
    let length = spec.length.value;
    let pull = 4.0 * (length * frequency.value).powi(2) * sounding.mass_per_length.value;
    Ok(Explanation {
        note: believed.clone(),
        string: string.clone(),
        place: string.place.clone(),
        pitch: instrument.pitch,
        frequency,
        area: spec.core.area(),
        second_moment: spec.core.second_moment(),
        core_mass: spec.core.area() * spec.steel.density,
        layers: layers(&spec),
        computed_mass: unweighed.mass_per_length()?.0,
        without_stiffness: newtons(pull),
        parts: wound::explain(&spec, sounding.tension)?,
        bearing: bearing.as_ref().ok().copied(),
        strength: bearing.map(|bearing| Strength {
            tensile: bearing.tensile,
            load: bearing.load,
            basis: bearing.basis,
        }),
        near_longitudinal: near_longitudinal(&spec, &sounding),
        drift_cents: temperature::drift(
            sounding.stress,
            spec.steel.youngs_modulus,
            super::DRIFT_STRAIN,
        )
        .0,
        crosschecks: crosschecks_of(instrument, believed, string),
        sounding,
        effects,
        doubts,
        spec,
    })
}

fn layers(spec: &StringSpec) -> Vec<LayerFacts> {
    let mut below = crate::measure::mm(0.0);
    let mut layers = Vec::with_capacity(spec.layers.len());
    for layer in &spec.layers {
        let mass = layer_mass(spec.core, below, layer.wire, layer.density);
        layers.push(LayerFacts {
            wire: layer.wire,
            below,
            mass: mass.value,
            half_spread: mass.half_spread,
        });
        below += layer.wire;
    }
    layers
}
