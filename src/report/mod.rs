//! One call from instrument to everything that a door shows.
//!
//! A chain of pure functions, each taking the results it needs, so that a page can repeat only what
//! an edit touches.

use crate::instrument::belief::Belief;
use crate::instrument::{Instrument, Missing, Warning};
use crate::measure::{Stopped, Watch};
use crate::scale::{self, Scale};

/// Everything worked out for one survey.
#[derive(Debug, Clone)]
pub struct Report {
    /// What was read.
    pub instrument: Instrument,
    /// What the reader of the survey had to say.
    pub survey_warnings: Vec<Warning>,
    /// SHA-256 over the survey's files, hexadecimal: names the readings that these results rest on.
    pub survey_hash: String,
    /// The strings.
    pub scale: Scale,
}

/// Works out everything for `instrument`.
pub fn build(
    instrument: Instrument,
    survey_warnings: Vec<Warning>,
    survey_hash: String,
    watch: &dyn Watch,
) -> Result<Report, Stopped> {
    watch.check()?;
    let belief = Belief::of(&instrument);
    let scale = scale::compute(&instrument, &belief);
    Ok(Report { instrument, survey_warnings, survey_hash, scale })
}

impl Report {
    /// Warnings about the survey and its strings.
    pub fn string_warnings(&self) -> impl Iterator<Item = &Warning> {
        self.survey_warnings.iter().chain(&self.scale.warnings)
    }

    /// Every warning, each once.
    pub fn warnings(&self) -> impl Iterator<Item = &Warning> {
        self.string_warnings()
    }

    /// Everything that could not be had.
    pub fn missing(&self) -> impl Iterator<Item = &Missing> {
        self.scale.missing.iter()
    }
}
