//! The strings of one piano: each believed string sounded at its pitch, with its doubt.

use super::cause::Cause;
use super::doubt::{Doubts, Effect, Parts, effects, tension_shares};
use super::spec::spec_of;
use super::strength::{Bearing, breaking_load};
use super::threads::each;
use super::{
    InharmonicityFigure, NearPartial, NoteStrings, Scale, StringFigures, ends, pull, strike,
};
use crate::instrument::belief::{Belief, BelievedNote, BelievedString, Source};
use crate::instrument::{About, Instrument, Missing, Warning};
use crate::measure::{
    Cents, Force, Frequency, Inharmonicity, Length, Measured, Note, Pressure, Sentence, newtons,
};
use crate::physics::{Impossible, Sounding, StringSpec, sensitivities, sound, temperature, wound};
use crate::sentence;

/// Computes the strings of `instrument` from what is believed of them.
pub fn compute(instrument: &Instrument, belief: &Belief) -> Scale {
    let mut scale = Scale {
        notes: Vec::with_capacity(belief.notes.len()),
        totals: pull(&[], |_| 0.0),
        warnings: belief.warnings.clone(),
        missing: belief.missing.clone(),
    };
    for noted in each(&belief.notes, |believed| note(instrument, believed)) {
        scale.notes.push(noted.entry);
        scale.warnings.extend(noted.warning);
        scale.missing.extend(noted.missing);
    }
    add_strike_fractions(instrument, &mut scale);
    scale.totals = pull(&scale.notes, |_| 1.0);
    scale
}

/// A note, what the reader should know about it, and what could not be had.
struct Noted {
    entry: NoteStrings,
    warning: Option<Warning>,
    missing: Option<Missing>,
}

fn note(instrument: &Instrument, believed: &BelievedNote) -> Noted {
    let frequency = believed.note.frequency(instrument.pitch);
    let mut entry = NoteStrings {
        note: believed.note,
        section: believed.section,
        strings: believed.strings,
        kind: believed.kind,
        source: believed.source,
        frequency,
        string: None,
    };
    let (mut warning, mut missing) = (None, None);
    let lacks = |result, why| Missing { result, about: About::Note(believed.note), why };
    if let Some(string) = &believed.string {
        match figures(instrument, string, frequency) {
            Ok((figures, without_load)) => {
                if figures.load.is_some_and(|load| load.value > 1.0) {
                    warning = Some(overload(believed.note, &figures));
                }
                missing = without_load.map(|why| lacks("load_percent", why));
                entry.string = Some(figures);
            }
            Err(why) => {
                entry.source = Source::Unknown;
                missing = Some(lacks("tension_n", remedy(why, believed.source)));
            }
        }
    }
    Noted { entry, warning, missing }
}

/// The string, and why it has no breaking load where it has none.
fn figures(
    instrument: &Instrument,
    string: &BelievedString,
    pitch: Frequency,
) -> Result<(StringFigures, Option<Sentence>), Impossible> {
    let spec = spec_of(string, instrument.wire.ends)?;
    let sounding = sound(&spec, pitch)?;
    let slopes = sensitivities(&spec, pitch)?;
    let (strength, without_load) = match breaking_load(instrument, string, &spec) {
        Ok(bearing) => (Some(bearing), None),
        Err(why) => (None, Some(why)),
    };
    let effects = effects(string, &spec, &slopes)?;
    let doubts = doubts(&effects, strength.as_ref());
    // Far beyond the readings a tension may be 50 ± 200 N, and B with it anything to the power of that.
    if doubts.tension.of_readings() >= 1.0 {
        let sd = sounding.tension * doubts.tension.of_readings();
        return Err(Impossible::Undecided { tension: sounding.tension, sd });
    }
    let inharmonicity = inharmonicity(string, &spec, pitch, &sounding, &effects)?;
    let figures = StringFigures {
        length: string.length,
        core: string.core,
        over: string.winding.as_ref().map(|winding| winding.over),
        mass_per_length: with_doubt(sounding.mass_per_length, &doubts.mass),
        tension: with_doubt(sounding.tension, &doubts.tension),
        stress: with_doubt(sounding.stress, &doubts.stress),
        breaking_load: strength.as_ref().map(|bearing| bearing.load),
        strength: strength.as_ref().map(|bearing| bearing.basis),
        load: strength
            .as_ref()
            .map(|bearing| with_doubt(sounding.tension.value / bearing.load.value, &doubts.load)),
        inharmonicity,
        stiffness: stiff(&spec),
        impedance: sounding.impedance,
        partials: std::array::from_fn(|i| sounding.partials[i]),
        longitudinal: sounding.longitudinal,
        near_longitudinal: near_longitudinal(&spec, &sounding),
        drift: drift(&sounding, spec.steel.youngs_modulus),
        strike_fraction: None,
        bare_ends_assumed: string
            .winding
            .as_ref()
            .is_some_and(|w| w.bare_front.assumed || w.bare_back.assumed),
        approximate: string.winding.as_ref().is_some_and(|w| w.approximate),
        tension_shares: tension_shares(&effects, string),
        doubts,
    };
    Ok((figures, without_load))
}

fn with_doubt<Q: Copy + std::ops::Mul<f64, Output = Q>>(value: Q, parts: &Parts) -> Measured<Q> {
    Measured::new(value, value * parts.of_readings())
}

/// Every figure's doubt from the effects of its causes.
pub(super) fn doubts(effects: &[Effect], strength: Option<&Bearing>) -> Doubts {
    let load = strength.map_or_else(Parts::default, |bearing| {
        Parts::of(effects, |effect| bearing.effect(effect)).scattered(bearing.relative_sd)
    });
    Doubts {
        tension: Parts::of(effects, |effect| effect.tension),
        stress: Parts::of(effects, |effect| effect.stress),
        load,
        mass: Parts::of(effects, |effect| effect.mass),
        inharmonicity: Parts::of(effects, |effect| effect.inharmonicity),
    }
}

/// The transverse partial nearest to the first longitudinal mode; `None` where the arithmetic does not
/// reach so high.
pub(super) fn near_longitudinal(spec: &StringSpec, sounding: &Sounding) -> Option<NearPartial> {
    let (partial, frequency) =
        wound::nearest_mode(spec, sounding.tension, sounding.longitudinal).ok()?;
    let above = Cents::of_ratio((sounding.longitudinal / frequency).value);
    Some(NearPartial { partial, above })
}

/// Why, and which string to read: this one again, or this one at all.
fn remedy(why: Impossible, source: Source) -> crate::measure::Sentence {
    let mut said = why.said();
    said.push(match source {
        Source::Measured => "; read this string again",
        _ => "; this string was not read and follows from others: read it",
    });
    said
}

/// Inharmonicity with its spread; skewed where bare ends were assumed.
fn inharmonicity(
    string: &BelievedString,
    spec: &StringSpec,
    pitch: Frequency,
    sounding: &Sounding,
    effects: &[Effect],
) -> Result<InharmonicityFigure, Impossible> {
    const NINETY: f64 = 1.644_853_626_951_472_2;
    let b = sounding.inharmonicity.0;
    let assumed = |cause: Cause| {
        string.winding.as_ref().is_some_and(|winding| match cause {
            Cause::BareFront => winding.bare_front.assumed,
            Cause::BareBack => winding.bare_back.assumed,
            _ => false,
        })
    };
    let as_read: Vec<Effect> = effects.iter().filter(|e| !assumed(e.cause)).copied().collect();
    let rest = Parts::of(&as_read, |effect| effect.inharmonicity).of_readings();
    if as_read.len() == effects.len() {
        // The logarithm of B is what is symmetric: it is a product of powers of the readings.
        return Ok(InharmonicityFigure {
            value: sounding.inharmonicity,
            sd: b * rest,
            lo: Inharmonicity(b * (-NINETY * rest).exp()),
            hi: Inharmonicity(b * (NINETY * rest).exp()),
        });
    }
    let [lo, hi] = ends::ninety_percent(string, spec, pitch, rest)?;
    Ok(InharmonicityFigure {
        value: sounding.inharmonicity,
        sd: (hi - lo) / (2.0 * NINETY),
        lo: Inharmonicity(lo.max(0.0)),
        hi: Inharmonicity(hi),
    })
}

/// π² E I/L².
fn stiff(spec: &StringSpec) -> Force {
    let wave = std::f64::consts::PI / spec.length.value;
    newtons(spec.stiffness().value * wave * wave)
}

fn drift(sounding: &Sounding, youngs_modulus: Pressure) -> f64 {
    temperature::drift(sounding.stress, youngs_modulus, super::DRIFT_STRAIN).0
}

fn overload(note: Note, figures: &StringFigures) -> Warning {
    let load = figures.load.map_or(crate::measure::number(0.0), crate::measure::Piece::Share);
    Warning {
        kind: "load_above_100",
        about: About::Note(note),
        text: sentence![
            "the strings of ",
            note,
            " would stand at ",
            load,
            " of their breaking load, which no string does: measure its length and wire again"
        ],
    }
}

fn add_strike_fractions(instrument: &Instrument, scale: &mut Scale) {
    for index in 0..instrument.sections.len() {
        let members: Vec<usize> =
            (0..scale.notes.len()).filter(|&i| scale.notes[i].section == index).collect();
        let lengths: Vec<Option<Length>> = members
            .iter()
            .map(|&i| scale.notes[i].string.as_ref().map(|string| string.length.value))
            .collect();
        let fractions = strike::fractions(instrument, index, &lengths);
        for (&i, fraction) in members.iter().zip(fractions) {
            if let Some(string) = scale.notes[i].string.as_mut() {
                string.strike_fraction = fraction;
            }
        }
    }
}
