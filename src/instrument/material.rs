//! Materials as used by this instrument, and what the tools read.

use crate::measure::{
    Angle, Length, Mass, MassDensity, Measured, Pressure, TemperatureCoefficient, degrees, grams,
    mm, to_mm,
};
use crate::stock;
use std::sync::Arc;

/// A material, from the tables or the survey's own.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Its name in the tables or the survey.
    pub name: String,
    /// Density, with the spread between lots.
    pub density: Measured<MassDensity>,
    /// Young's modulus; a material without one may only be a winding.
    pub youngs_modulus: Option<Measured<Pressure>>,
    /// Thermal expansion.
    pub expansion: Option<TemperatureCoefficient>,
    /// Where its tensile strength comes from.
    pub tensile: TensileStrength,
    /// Whether the survey defined it.
    pub own: bool,
}

/// Where the tensile strength of a wire comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum TensileStrength {
    /// The series that the survey names, by diameter.
    Series,
    /// The survey gives one.
    Stated(Pressure),
    /// No defensible number; in words, why and what to do.
    Unsettled(String),
}

impl From<&stock::Material> for Material {
    fn from(row: &stock::Material) -> Self {
        Self {
            name: row.name.clone(),
            density: row.density.measured(),
            youngs_modulus: row.youngs_modulus.as_ref().map(stock::Property::measured),
            expansion: row.expansion.as_ref().map(|alpha| alpha.value),
            tensile: match &row.tensile {
                stock::Tensile::Series => TensileStrength::Series,
                stock::Tensile::Stated(strength) => TensileStrength::Stated(*strength),
                stock::Tensile::Unsettled(why) => TensileStrength::Unsettled(why.clone()),
            },
            own: false,
        }
    }
}

pub use crate::physics::string::Ends;

/// Materials of the set unless a row says otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// Plain wire.
    pub plain: Arc<Material>,
    /// Core of wound strings.
    pub core: Arc<Material>,
    /// Winding.
    pub wrap: Arc<Material>,
    /// Terminations.
    pub ends: Ends,
    /// Name of the strength series by diameter (`stock::StrengthSeries`).
    pub strength: stock::StrengthSeries,
}

/// A length error: a fixed part and a share of the reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthError {
    /// Whatever the length.
    pub fixed: Length,
    /// Share of the reading, as a fraction.
    pub share: f64,
}

impl LengthError {
    /// One standard deviation of a reading of `length`.
    pub fn of(&self, length: Length) -> Length {
        mm(to_mm(self.fixed) + self.share * to_mm(length).abs())
    }
}

/// One standard deviation of what each tool reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadingError {
    /// Tape along the string: one reading about what the tape reads on the average.
    pub length: LengthError,
    /// Micrometer on plain wire and bare core.
    pub core: Length,
    /// Micrometer over a winding.
    pub over: Length,
    /// Hammer geometry.
    pub centre: Length,
    /// Bore of a sample.
    pub bore: Length,
    /// Scale.
    pub mass: Mass,
    /// Rake of a sample; `None` when the rake of samples is taken as exact.
    pub rake: Option<Angle>,
    /// What the tape is off at all notes alike, beside `length`; `None` when nobody has tried it.
    pub length_bias: Option<LengthError>,
    /// What the micrometer is off on all wire alike, beside `core`.
    pub core_bias: Option<Length>,
    /// What it is off over all windings alike, beside `over`.
    pub over_bias: Option<Length>,
}

/// A tool that may be off at all notes alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tool {
    /// Tape along the strings.
    Tape,
    /// Micrometer on plain wire and cores.
    Micrometer,
    /// Micrometer over windings.
    OverWinding,
}

impl Default for ReadingError {
    fn default() -> Self {
        Self {
            length: LengthError { fixed: mm(0.2), share: 0.001 },
            core: mm(0.005),
            over: mm(0.03),
            centre: mm(0.3),
            bore: mm(0.3),
            mass: grams(0.05),
            rake: None,
            length_bias: None,
            core_bias: None,
            over_bias: None,
        }
    }
}

impl ReadingError {
    /// Half a degree: what a bevel against a head can be read to, where rake error is asked for
    /// without a figure.
    pub fn usual_rake() -> Angle {
        degrees(0.5)
    }

    /// Part of a stated error, as a standard deviation, that a tool makes at every reading alike,
    /// where the survey does not say (proposal, no source); the rest is scatter. It changes the doubt
    /// of no single figure, only of sums, steps and trends.
    pub const SHARE_OF_TOOL: f64 = 0.5;

    /// One standard deviation of a length read with the tape, its scatter and what the tape is off.
    pub fn of_length(&self, length: Length) -> Length {
        both(self.length.of(length), self.length_bias.map(|bias| bias.of(length)))
    }

    /// One standard deviation of a wire or core.
    pub fn of_core(&self) -> Length {
        both(self.core, self.core_bias)
    }

    /// One standard deviation of a diameter over a winding.
    pub fn of_over(&self) -> Length {
        both(self.over, self.over_bias)
    }

    /// What `tool` is off alike at every reading of about `value`: as stated, or else its usual share
    /// of the stated error.
    pub fn shared(&self, tool: Tool, value: Length) -> Length {
        let (stated, error) = match tool {
            Tool::Tape => (self.length_bias.map(|bias| bias.of(value)), self.length.of(value)),
            Tool::Micrometer => (self.core_bias, self.core),
            Tool::OverWinding => (self.over_bias, self.over),
        };
        stated.unwrap_or(error * Self::SHARE_OF_TOOL)
    }
}

/// Two independent parts of one error.
fn both(scatter: Length, bias: Option<Length>) -> Length {
    bias.map_or(scatter, |bias| mm(to_mm(scatter).hypot(to_mm(bias))))
}
