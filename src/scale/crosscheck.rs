//! Readings that say the same thing twice: a weighed string against its diameters, a recorded
//! inharmonicity against length and wire, a recorded pitch against where its section was found.
//!
//! Facts only: how far the two are apart, in their own doubt, and which reading would have to change
//! least to close them. Whether that is worth a warning is said in `judgement`.

use super::cause::{Cause, Origin};
use super::doubt::{Effect, effects};
use super::spec::spec_of;
use crate::instrument::belief::{Belief, BelievedNote, BelievedString};
use crate::instrument::{Instrument, StringRow};
use crate::measure::{
    Cents, Frequency, Inharmonicity, Length, LinearMassDensity, Measured, Note, mm,
};
use crate::physics::{Impossible, StringSpec, sensitivities, sound};

/// What was read in two ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Twice {
    /// Mass per length: weighed, and from the diameters.
    Mass {
        /// Weighed.
        read: Measured<LinearMassDensity>,
        /// From core and winding.
        computed: Measured<LinearMassDensity>,
    },
    /// Inharmonicity: from the recording, and from length and wire.
    Inharmonicity {
        /// From the recording.
        read: Measured<Inharmonicity>,
        /// From length and wire.
        computed: Measured<Inharmonicity>,
        /// The pitch at which it is computed: as recorded, else as found, else the finished pitch.
        at: Frequency,
    },
    /// The fundamental: from the recording, and where the survey says that the section stood.
    Pitch {
        /// From the recording.
        read: Measured<Frequency>,
        /// Where it was to be expected.
        expected: Frequency,
    },
}

/// One such pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crosscheck {
    /// The note.
    pub note: Note,
    /// What was read twice.
    pub twice: Twice,
    /// Read over computed, as a logarithm (of a pitch: cents times ln 2/1200).
    pub ln_off: f64,
    /// One standard deviation of it, readings and materials together; `None` where none is known.
    pub sd: Option<f64>,
    /// The reading to doubt first.
    pub doubt: Option<Suspect>,
}

/// A reading, and what it would have to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suspect {
    /// Which.
    pub cause: Cause,
    /// Whether of a wound string.
    pub wound: bool,
    /// What was read (of bare ends that nobody read: assumed).
    pub read: Length,
    /// What would close the two.
    pub fitting: Length,
    /// How many of its own standard deviations that is.
    pub deviations: f64,
}

impl Crosscheck {
    /// How far apart the two are, in standard deviations; `None` where no doubt is known.
    pub fn deviations(&self) -> Option<f64> {
        self.sd.filter(|sd| *sd > 0.0).map(|sd| self.ln_off.abs() / sd)
    }

    /// The same as an interval: of pitches what it says, of others a mere measure.
    pub fn cents(&self) -> Cents {
        Cents::of_ratio(self.ln_off.exp())
    }
}

/// Every pair of the survey, by note.
pub fn crosschecks(instrument: &Instrument, belief: &Belief) -> Vec<Crosscheck> {
    belief
        .notes
        .iter()
        .filter_map(|note| Some(crosschecks_of(instrument, note, note.string.as_ref()?)))
        .flatten()
        .collect()
}

/// The pairs of one note.
pub(super) fn crosschecks_of(
    instrument: &Instrument,
    believed: &BelievedNote,
    string: &BelievedString,
) -> Vec<Crosscheck> {
    let Some(row) = instrument.string(believed.note) else { return Vec::new() };
    // A string that cannot be computed is refused elsewhere, by its own name.
    [
        mass(instrument, row, string).ok().flatten(),
        inharmonicity(instrument, believed, row, string).ok().flatten(),
        pitch(instrument, believed, row),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn mass(
    instrument: &Instrument,
    row: &StringRow,
    string: &BelievedString,
) -> Result<Option<Crosscheck>, Impossible> {
    let Some(read) = row.mass_per_length else { return Ok(None) };
    let (string, spec, effects) = unweighed(instrument, row.note, string)?;
    let value = spec.mass_per_length()?.0;
    let sd = total(&effects, |effect| effect.mass);
    let ln_off = (read.value / value).value.ln();
    Ok(Some(Crosscheck {
        note: row.note,
        twice: Twice::Mass { read, computed: Measured::new(value, value * sd) },
        ln_off,
        sd: Some(sd.hypot((read.sd / read.value).value)),
        doubt: suspect(&string, &effects, |effect| effect.mass, ln_off),
    }))
}

fn inharmonicity(
    instrument: &Instrument,
    believed: &BelievedNote,
    row: &StringRow,
    string: &BelievedString,
) -> Result<Option<Crosscheck>, Impossible> {
    let Some(read) = row.inharmonicity.filter(|read| read.value.0 > 0.0) else { return Ok(None) };
    let at = row.f1.map_or_else(|| expected(instrument, believed), |f1| f1.value);
    let spec = spec_of(string, instrument.wire.ends)?;
    let computed = sound(&spec, at)?.inharmonicity.0;
    let slopes = sensitivities(&spec, at)?;
    let effects = effects(string, &spec, &slopes)?;
    let sd = total(&effects, |effect| effect.inharmonicity);
    let ln_off = (read.value.0 / computed).ln();
    Ok(Some(Crosscheck {
        note: row.note,
        twice: Twice::Inharmonicity {
            read,
            computed: Measured::new(Inharmonicity(computed), Inharmonicity(computed * sd)),
            at,
        },
        ln_off,
        sd: Some(sd.hypot(read.sd.0 / read.value.0)),
        doubt: suspect(string, &effects, |effect| effect.inharmonicity, ln_off),
    }))
}

fn pitch(instrument: &Instrument, believed: &BelievedNote, row: &StringRow) -> Option<Crosscheck> {
    let read = row.f1?;
    let expected = expected(instrument, believed);
    Some(Crosscheck {
        note: row.note,
        twice: Twice::Pitch { read, expected },
        ln_off: (read.value / expected).value.ln(),
        sd: None,
        doubt: None,
    })
}

/// Where a string of the note was to be expected when the survey was made.
fn expected(instrument: &Instrument, believed: &BelievedNote) -> Frequency {
    let finished = believed.note.frequency(instrument.pitch);
    instrument.found_in(believed.section).map_or(finished, |found| finished * found.ratio())
}

/// The string as if it had not been weighed.
fn unweighed(
    instrument: &Instrument,
    note: Note,
    string: &BelievedString,
) -> Result<(BelievedString, StringSpec, Vec<Effect>), Impossible> {
    let string = BelievedString { weighed: None, ..string.clone() };
    let spec = spec_of(&string, instrument.wire.ends)?;
    let slopes = sensitivities(&spec, note.frequency(instrument.pitch))?;
    let effects = effects(&string, &spec, &slopes)?;
    Ok((string, spec, effects))
}

fn total(effects: &[Effect], figure: impl Fn(&Effect) -> f64) -> f64 {
    effects.iter().map(|effect| figure(effect).powi(2)).sum::<f64>().sqrt()
}

/// The reading of a length that would have to move by the fewest of its own standard deviations.
fn suspect(
    string: &BelievedString,
    effects: &[Effect],
    figure: impl Fn(&Effect) -> f64,
    ln_off: f64,
) -> Option<Suspect> {
    let readings = effects.iter().filter(|effect| effect.cause.origin() == Origin::Reading);
    let worst = readings.max_by(|a, b| figure(a).abs().total_cmp(&figure(b).abs()))?;
    let effect = figure(worst);
    let read = length_of(worst.cause, string)?;
    let deviations = ln_off / effect;
    let fitting = read.value.value + deviations * read.sd.value;
    (effect != 0.0 && fitting > 0.0).then(|| Suspect {
        cause: worst.cause,
        wound: string.winding.is_some(),
        read: read.value,
        fitting: mm(1e3 * fitting),
        deviations: deviations.abs(),
    })
}

/// The reading behind a cause, where it is one of a length.
pub fn length_of(cause: Cause, string: &BelievedString) -> Option<Measured<Length>> {
    let winding = string.winding.as_ref();
    match cause {
        Cause::Length => Some(string.length),
        Cause::Core => Some(string.core),
        Cause::Over => winding.map(|w| w.over),
        Cause::WindingWire => winding.and_then(|w| w.wire),
        Cause::Under => winding.and_then(|w| w.under),
        Cause::BareFront => winding.map(|w| w.bare_front.length),
        Cause::BareBack => winding.map(|w| w.bare_back.length),
        _ => None,
    }
}
