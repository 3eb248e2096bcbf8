//! The strings of one piano: each believed string sounded at its pitch, with its doubt.

use super::doubt::{Effect, effects};
use super::spec::{Cause, spec_of, with_assumed_ends};
use super::{
    InharmonicityFigure, NoteStrings, Scale, StrengthBasis, StringFigures, Totals, ends, strike,
};
use crate::instrument::belief::{Belief, BelievedNote, BelievedString, Source};
use crate::instrument::{About, Instrument, Missing, TensileStrength, Warning};
use crate::measure::{
    Force, Frequency, Inharmonicity, Length, Measured, Note, Pressure, newtons, to_newtons,
};
use crate::physics::{Impossible, Sounding, sensitivities, sound, strength, temperature};
use crate::sentence;

/// Computes the strings of `instrument` from what is believed of them.
pub fn compute(instrument: &Instrument, belief: &Belief) -> Scale {
    let mut scale = Scale {
        notes: Vec::with_capacity(belief.notes.len()),
        totals: Totals {
            tension: Measured::new(newtons(0.0), newtons(0.0)),
            strings: 0,
            notes_unknown: 0,
        },
        warnings: belief.warnings.clone(),
        missing: belief.missing.clone(),
    };
    for believed in &belief.notes {
        let entry = note(instrument, believed, &mut scale);
        scale.notes.push(entry);
    }
    add_strike_fractions(instrument, &mut scale);
    scale.totals = totals(&scale);
    scale
}

fn note(instrument: &Instrument, believed: &BelievedNote, scale: &mut Scale) -> NoteStrings {
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
    let Some(string) = &believed.string else { return entry };
    match figures(instrument, believed.note, string, frequency, scale) {
        Ok(figures) => {
            if figures.load.is_some_and(|load| load.value > 1.0) {
                scale.warnings.push(overload(believed.note, &figures));
            }
            entry.string = Some(figures);
        }
        Err(why) => {
            entry.source = Source::Unknown;
            scale.missing.push(Missing {
                result: "tension_n",
                about: About::Note(believed.note),
                why: read_again(why),
            });
        }
    }
    entry
}

fn figures(
    instrument: &Instrument,
    note: Note,
    string: &BelievedString,
    pitch: Frequency,
    scale: &mut Scale,
) -> Result<StringFigures, Impossible> {
    let ends = instrument.wire.ends;
    let spec = spec_of(string, ends)?;
    let sounding = sound(&spec, pitch)?;
    let slopes = sensitivities(&spec, pitch)?;
    let doubt = Doubt::of(string, &effects(string, &spec, &slopes)?);
    let inharmonicity = inharmonicity(string, &sounding, &doubt, |other| {
        Ok(sound(&spec_of(other, ends)?, pitch)?.inharmonicity)
    });
    let strength = breaking_load(instrument, string, &spec);
    if let Err(why) = &strength {
        scale.missing.push(Missing {
            result: "load_percent",
            about: About::Note(note),
            why: why.clone(),
        });
    }
    let strength = strength.ok();
    let tension =
        Measured::new(sounding.tension, newtons(doubt.tension * to_newtons(sounding.tension)));
    Ok(StringFigures {
        length: string.length,
        core: string.core,
        over: string.winding.as_ref().map(|winding| winding.over),
        mass_per_length: Measured::new(
            sounding.mass_per_length,
            doubt.mass * sounding.mass_per_length,
        ),
        tension,
        stress: Measured::new(sounding.stress, doubt.stress * sounding.stress),
        breaking_load: strength.map(|(load, _)| load),
        strength: strength.map(|(_, basis)| basis),
        load: strength.map(|(breaking, basis)| {
            let load = sounding.tension.value / breaking.value;
            // The breaking load of a series rests on the same core reading as the tension.
            let sd = if basis == StrengthBasis::Tested { doubt.tension } else { doubt.stress };
            Measured::new(load, load * sd)
        }),
        inharmonicity,
        impedance: sounding.impedance,
        partials: std::array::from_fn(|i| sounding.partials[i]),
        longitudinal: sounding.longitudinal,
        drift: drift(&sounding, spec.steel.youngs_modulus),
        strike_fraction: None,
        bare_ends_assumed: string
            .winding
            .as_ref()
            .is_some_and(|w| w.bare_front.assumed || w.bare_back.assumed),
        approximate: string.winding.as_ref().is_some_and(|w| w.approximate),
    })
}

fn read_again(why: Impossible) -> crate::measure::Sentence {
    let mut said = why.said();
    said.push("; read this string again");
    said
}

/// Relative standard deviations, from the readings: independent readings add in squares.
struct Doubt {
    tension: f64,
    stress: f64,
    mass: f64,
    inharmonicity: f64,
    /// Of the inharmonicity, but for bare ends that were assumed.
    inharmonicity_as_read: f64,
}

impl Doubt {
    fn of(string: &BelievedString, effects: &[Effect]) -> Self {
        let sum = |read: &dyn Fn(&Effect) -> f64| {
            effects.iter().map(|effect| read(effect).powi(2)).sum::<f64>().sqrt()
        };
        let assumed = |cause| {
            string.winding.as_ref().is_some_and(|winding| match cause {
                Cause::BareFront => winding.bare_front.assumed,
                Cause::BareBack => winding.bare_back.assumed,
                _ => false,
            })
        };
        Self {
            tension: sum(&|e| e.tension),
            stress: sum(&|e| e.stress),
            mass: sum(&|e| e.mass),
            inharmonicity: sum(&|e| e.inharmonicity),
            inharmonicity_as_read: sum(&|e| if assumed(e.cause) { 0.0 } else { e.inharmonicity }),
        }
    }
}

/// Inharmonicity with its spread; skewed where bare ends were assumed.
fn inharmonicity(
    string: &BelievedString,
    sounding: &Sounding,
    doubt: &Doubt,
    with: impl Fn(&BelievedString) -> Result<Inharmonicity, Impossible>,
) -> InharmonicityFigure {
    const NINETY: f64 = 1.644_853_626_951_472_2;
    let b = sounding.inharmonicity.0;
    let assumed = string.winding.as_ref().map_or(0, |winding| {
        usize::from(winding.bare_front.assumed) + usize::from(winding.bare_back.assumed)
    });
    let symmetric = InharmonicityFigure {
        value: sounding.inharmonicity,
        sd: b * doubt.inharmonicity,
        lo: Inharmonicity((b * (1.0 - NINETY * doubt.inharmonicity)).max(0.0)),
        hi: Inharmonicity(b * (1.0 + NINETY * doubt.inharmonicity)),
    };
    if assumed == 0 {
        return symmetric;
    }
    let at = |quantile: ends::Quantile| {
        let bare: Length = ends::assumed_end(quantile, assumed);
        with(&with_assumed_ends(string, bare)).map_or(b, |b| b.0)
    };
    let rest = b * doubt.inharmonicity_as_read;
    let lo = b - (b - at(ends::Quantile::Five)).hypot(NINETY * rest);
    let hi = b + (at(ends::Quantile::NinetyFive) - b).hypot(NINETY * rest);
    InharmonicityFigure {
        value: sounding.inharmonicity,
        sd: (hi - lo) / (2.0 * NINETY),
        lo: Inharmonicity(lo.max(0.0)),
        hi: Inharmonicity(hi),
    }
}

/// The load at which straight wire of this core breaks, and on what that rests.
fn breaking_load(
    instrument: &Instrument,
    string: &BelievedString,
    spec: &crate::physics::StringSpec,
) -> Result<(Force, StrengthBasis), crate::measure::Sentence> {
    if let Some(tested) = string.breaking_load {
        return Ok((tested.value, StrengthBasis::Tested));
    }
    let (tensile, basis): (Pressure, _) = match &string.material.tensile {
        TensileStrength::Stated(strength) => (*strength, StrengthBasis::OwnMaterial),
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
            (row.min, StrengthBasis::SeriesMinimum(series))
        }
    };
    Ok((strength::breaking_load(tensile, spec.core), basis))
}

/// The strain for which drift is stated.
const DRIFT_STRAIN: f64 = 1e-5;

fn drift(sounding: &Sounding, youngs_modulus: Pressure) -> f64 {
    temperature::drift(sounding.stress, youngs_modulus, DRIFT_STRAIN).0
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

fn totals(scale: &Scale) -> Totals {
    let mut sum = 0.0;
    let mut square = 0.0;
    let (mut strings, mut notes_unknown) = (0, 0);
    for entry in &scale.notes {
        let (Some(string), Some(count)) = (&entry.string, entry.strings) else {
            notes_unknown += 1;
            continue;
        };
        let count = usize::from(count);
        strings += count;
        sum += count as f64 * to_newtons(string.tension.value);
        // One reading stands for the unison, so its doubt counts for each of its strings.
        square += (count as f64 * to_newtons(string.tension.sd)).powi(2);
    }
    Totals { tension: Measured::new(newtons(sum), newtons(square.sqrt())), strings, notes_unknown }
}
