//! What the doubt of a string's figures comes from: readings, how a winding lies, materials.
//!
//! Three kinds are kept apart. A *reading* is off by a scatter of its own and by what its tool is off at
//! every note alike. A *shape* is what a hexagonal core leaves open of the winding's mass. A
//! *material* differs from lot to lot, and no reading at the piano shows it.

use crate::instrument::belief::{BelievedString, Shares};
use crate::instrument::{CoreShape, Tool};
use crate::measure::{Length, Measured};

/// One thing whose doubt reaches the tension or the inharmonicity of a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Speaking length.
    Length,
    /// Wire or core diameter.
    Core,
    /// Diameter over the winding.
    Over,
    /// Winding wire.
    WindingWire,
    /// Diameter over the inner layer.
    Under,
    /// Bare core at the hammer end.
    BareFront,
    /// Bare core at the bridge end.
    BareBack,
    /// Weighed mass per length.
    Weighed,
    /// How the winding lies on a hexagonal core.
    HexWinding,
    /// Density of wire or core.
    SteelDensity,
    /// Young's modulus of wire or core.
    Modulus,
    /// Density of the winding.
    WindingDensity,
}

/// Of what kind a cause is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Somebody read it with a tool.
    Reading,
    /// A hexagonal core leaves it open.
    Shape,
    /// It differs from lot to lot.
    Material,
}

pub use crate::instrument::belief::Shared;

/// Materials that a figure may hang on, as places of an array: wire's density, its modulus, the
/// winding's density.
pub const MATERIALS: usize = 3;

impl Cause {
    /// Every cause.
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Core,
        Self::Over,
        Self::WindingWire,
        Self::Under,
        Self::BareFront,
        Self::BareBack,
        Self::Weighed,
        Self::HexWinding,
        Self::SteelDensity,
        Self::Modulus,
        Self::WindingDensity,
    ];

    /// What it is, in words; `wound` says of which kind the string is.
    pub fn words(self, wound: bool) -> &'static str {
        match self {
            Self::Length => "the speaking length",
            Self::Core if wound => "the core",
            Self::Core => "the wire",
            Self::Over => "the diameter over the winding",
            Self::WindingWire => "the winding wire",
            Self::Under => "the diameter over the inner winding",
            Self::BareFront => "the bare end at the hammer",
            Self::BareBack => "the bare end at the bridge",
            Self::Weighed => "the weighed mass",
            Self::HexWinding => "how the winding lies on the hexagonal core",
            Self::SteelDensity if wound => "the density of the core",
            Self::SteelDensity => "the density of the wire",
            Self::Modulus if wound => "Young's modulus of the core",
            Self::Modulus => "Young's modulus of the wire",
            Self::WindingDensity => "the density of the winding",
        }
    }

    /// The word that machines read.
    pub fn key(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Core => "core",
            Self::Over => "over",
            Self::WindingWire => "wrap",
            Self::Under => "under",
            Self::BareFront => "bare_front",
            Self::BareBack => "bare_back",
            Self::Weighed => "mass_per_length",
            Self::HexWinding => "hex_winding",
            Self::SteelDensity => "wire_density",
            Self::Modulus => "youngs_modulus",
            Self::WindingDensity => "winding_density",
        }
    }

    /// Of what kind it is.
    pub fn origin(self) -> Origin {
        match self {
            Self::HexWinding => Origin::Shape,
            Self::SteelDensity | Self::Modulus | Self::WindingDensity => Origin::Material,
            _ => Origin::Reading,
        }
    }

    /// Its place among the materials.
    pub(crate) fn material(self) -> Option<usize> {
        match self {
            Self::SteelDensity => Some(0),
            Self::Modulus => Some(1),
            Self::WindingDensity => Some(2),
            _ => None,
        }
    }

    /// With what it is read, when it is read with a tool that errs alike at all notes.
    pub fn tool(self) -> Option<Tool> {
        match self {
            Self::Length | Self::BareFront | Self::BareBack => Some(Tool::Tape),
            Self::Core | Self::WindingWire => Some(Tool::Micrometer),
            Self::Over | Self::Under => Some(Tool::OverWinding),
            _ => None,
        }
    }

    /// Its standard deviation at `string`, in its SI unit; 0 where there is none. Of how a winding
    /// lies on a hexagonal core: of half the distance between the two bounds, taken as rectangular
    /// (JCGM 100:2008, 4.3.7).
    pub(crate) fn sd(self, string: &BelievedString) -> f64 {
        let winding = string.winding.as_ref();
        let length = |m: Option<Measured<Length>>| m.map_or(0.0, |m| m.sd.value);
        match self {
            Self::Length => string.length.sd.value,
            Self::Core => string.core.sd.value,
            Self::Over => length(winding.map(|w| w.over)),
            Self::WindingWire => length(winding.and_then(|w| w.wire)),
            Self::Under => length(winding.and_then(|w| w.under)),
            Self::BareFront => length(winding.map(|w| w.bare_front.length)),
            Self::BareBack => length(winding.map(|w| w.bare_back.length)),
            Self::Weighed => string.weighed.map_or(0.0, |m| m.sd.value),
            Self::HexWinding => {
                let open = string.shape == CoreShape::Hex && string.weighed.is_none();
                if open && winding.is_some() { 1.0 / 3.0_f64.sqrt() } else { 0.0 }
            }
            Self::SteelDensity => string.material.density.sd.value,
            Self::Modulus => string.material.youngs_modulus.map_or(0.0, |e| e.sd.value),
            Self::WindingDensity => winding.map_or(0.0, |w| w.material.density.sd.value),
        }
    }

    /// Of one standard deviation at `string`, the independent chances that it is made of; `None` of
    /// materials and of how a winding lies, which no chance of a reading makes.
    pub fn shares(self, string: &BelievedString) -> Option<&Shares> {
        let winding = || string.winding.as_ref().map(|winding| &winding.shares);
        match self {
            Self::Length => Some(&string.shares.length),
            Self::Core => Some(&string.shares.core),
            Self::Weighed => Some(&string.shares.weighed),
            Self::Over => Some(&winding()?.over),
            Self::WindingWire => Some(&winding()?.wire),
            Self::Under => Some(&winding()?.under),
            Self::BareFront => Some(&winding()?.bare_front),
            Self::BareBack => Some(&winding()?.bare_back),
            Self::HexWinding | Self::SteelDensity | Self::Modulus | Self::WindingDensity => None,
        }
    }

    /// Of one standard deviation, the share that all notes have in common, with what it is; the rest
    /// of the variance is scatter. Of materials `None`: they are shared by what is of one lot.
    pub(crate) fn shared(self, string: &BelievedString) -> Option<(Shared, f64)> {
        if self == Self::HexWinding {
            return Some((Shared::HexWinding, 1.0));
        }
        let shares = self.shares(string)?;
        let (what, moves) = shares.shared()?;
        Some((what, moves / shares.sd()))
    }
}
