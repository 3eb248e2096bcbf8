//! The figures that are followed across a break.

/// A figure followed along the compass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Tension of one string.
    Tension,
    /// Tension over the section of its core.
    Stress,
    /// Inharmonicity of one string.
    Inharmonicity,
    /// Tension over breaking load.
    Load,
    /// Cents per strain: how far it drifts with the season.
    Drift,
    /// Mechanical impedance of all strings of the note.
    Impedance,
    /// Mass of the hammer's head over that of all strings of the note.
    MassRatio,
    /// Strike point over speaking length.
    StrikeFraction,
}

/// Whether a figure belongs to one string or to all strings of a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// One string.
    String,
    /// The unison: all strings of the note.
    Unison,
}

impl Quantity {
    /// Every quantity, in the order in which they are reported.
    pub const ALL: [Self; 8] = [
        Self::Tension,
        Self::Stress,
        Self::Inharmonicity,
        Self::Load,
        Self::Drift,
        Self::Impedance,
        Self::MassRatio,
        Self::StrikeFraction,
    ];

    /// The key that machines read.
    pub fn key(self) -> &'static str {
        match self {
            Self::Tension => "tension",
            Self::Stress => "stress",
            Self::Inharmonicity => "inharmonicity",
            Self::Load => "load",
            Self::Drift => "drift",
            Self::Impedance => "impedance",
            Self::MassRatio => "mass_ratio",
            Self::StrikeFraction => "strike_fraction",
        }
    }

    /// Its name in a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tension => "tension",
            Self::Stress => "stress",
            Self::Inharmonicity => "inharmonicity",
            Self::Load => "load",
            Self::Drift => "drift with the seasons",
            Self::Impedance => "impedance",
            Self::MassRatio => "hammer mass over string mass",
            Self::StrikeFraction => "strike fraction",
        }
    }

    /// Whether it is of one string or of the unison.
    pub fn per(self) -> Per {
        match self {
            Self::Impedance | Self::MassRatio => Per::Unison,
            _ => Per::String,
        }
    }

    /// Power of the string count in it, each string being kept as it is: one more string of a
    /// unison adds impedance, and takes from the hammer's share.
    pub fn count_power(self) -> f64 {
        match self {
            Self::Impedance => 1.0,
            Self::MassRatio => -1.0,
            _ => 0.0,
        }
    }
}

impl Per {
    /// As said behind the quantity's name.
    pub fn words(self) -> &'static str {
        match self {
            Self::String => "per string",
            Self::Unison => "per unison",
        }
    }
}
