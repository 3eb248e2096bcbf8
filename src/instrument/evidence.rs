//! Evidence of condition and use; what was not looked at is said so and never assumed good.

use super::Place;
use crate::measure::{Frequency, Length, Note, ThermodynamicTemperature, Torque};

/// State of one part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum State {
    /// Looked at and found sound.
    Sound,
    /// Looked at; not trusted.
    Doubtful,
    /// Looked at; failed.
    Failed,
    /// Not looked at.
    #[default]
    NotLookedAt,
}

/// Condition of the parts that carry load and tone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Condition {
    /// Iron frame: struts, bolts, hitch shoulder.
    pub plate: State,
    /// Pin block.
    pub block: State,
    /// Back frame.
    pub frame: State,
    /// Pressure bar or agraffes.
    pub bearing: State,
    /// Bridges.
    pub bridges: State,
    /// Soundboard.
    pub soundboard: State,
}

impl Condition {
    /// Every part with its trade name and state.
    pub fn parts(&self) -> [(&'static str, State); 6] {
        [
            ("plate", self.plate),
            ("pin block", self.block),
            ("back frame", self.frame),
            ("pressure bar or agraffes", self.bearing),
            ("bridges", self.bridges),
            ("soundboard", self.soundboard),
        ]
    }
}

/// Tuning pins of one region of the block.
#[derive(Debug, Clone, PartialEq)]
pub struct PinRegion {
    /// What the rebuilder calls the region.
    pub region: String,
    /// Breakaway torques, tightening.
    pub torques: Vec<Torque>,
    /// Diameter of the pins now in the block.
    pub pin: Option<Length>,
    /// Where it is written.
    pub place: Place,
}

/// Rust grades: 0 none, 1 tarnish, 2 light rust, 3 pitting; `None` not looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rust {
    /// At coils, bends and bearings.
    pub coils: Option<u8>,
    /// On the speaking length.
    pub length: Option<u8>,
    /// At the bridge.
    pub bridge: Option<u8>,
}

/// Tone of a wound string by ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Clear.
    Clear,
    /// Dull.
    Dull,
    /// Dead.
    Dead,
}

/// Rust, tone and history of the wire of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct WireState {
    /// Index of the section.
    pub section: usize,
    /// Rust grades.
    pub rust: Rust,
    /// Tone of strings listened to, one entry a string.
    pub tone: Vec<Tone>,
    /// The pitch it last stood at, where known.
    pub last_at_pitch: Option<Frequency>,
    /// Where it is written.
    pub place: Place,
}

/// Where on the string it broke.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BrokeWhere {
    /// At the tuning-pin coil.
    Coil,
    /// At the bearing or agraffe.
    Bearing,
    /// At the bridge pin.
    Bridge,
    /// At the hitch pin.
    Hitch,
    /// In the speaking length.
    Length,
}

/// What was done when it broke.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BrokeWhen {
    /// Being tuned.
    Tuning,
    /// Being played.
    Playing,
}

/// A string known to have broken.
#[derive(Debug, Clone, PartialEq)]
pub struct Broken {
    /// Its note.
    pub note: Note,
    /// Where.
    pub at: Option<BrokeWhere>,
    /// When.
    pub when: Option<BrokeWhen>,
    /// In which year.
    pub year: Option<i32>,
    /// Where it is written.
    pub place: Place,
}

/// What was heard at a break.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heard {
    /// Nothing: it runs even.
    Even,
    /// A slight change.
    Slight,
    /// A plain change.
    Plain,
}

/// What was heard between two neighbouring notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeardBreak {
    /// The note below the break.
    pub below: Note,
    /// The note above it.
    pub above: Note,
    /// What was heard.
    pub heard: Heard,
}

/// Where the piano is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UseKind {
    /// At home.
    Home,
    /// For teaching.
    Teaching,
    /// On stage.
    Concert,
}

/// What the piano is for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Usage {
    /// Where it is used.
    pub kind: Option<UseKind>,
    /// Years of guarantee asked for.
    pub guarantee_years: Option<f64>,
    /// It must match other instruments, so a lower pitch is no way out.
    pub must_match: bool,
}

/// The room when the readings were taken.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Climate {
    /// Temperature.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Relative humidity, as a fraction.
    pub humidity: Option<f64>,
}

/// Prices, in one currency that the survey names.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Money {
    /// Currency, as written.
    pub currency: String,
    /// What the restored instrument will fetch.
    pub value_restored: Option<f64>,
    /// Price of a full restringing.
    pub restring: Option<f64>,
    /// Price of a set of wound strings, fitted.
    pub wound_set: Option<f64>,
    /// Price of a set of hammers, fitted.
    pub hammers: Option<f64>,
    /// Price of one visit to replace a broken string.
    pub visit: Option<f64>,
}

/// A limit set by the survey in place of ours, in the limit's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitOverride {
    /// Name of the limit.
    pub name: String,
    /// Its value.
    pub value: f64,
}

/// The workshop whose papers these are.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shop {
    /// Name.
    pub name: Option<String>,
    /// Address, as lines.
    pub address: Vec<String>,
    /// Telephone or mail.
    pub contact: Option<String>,
    /// PNG logo.
    pub logo: Option<Vec<u8>>,
}
