//! The intervals by which a piano is tuned, each with the partials that nearly meet in it.

/// An interval that a tuner listens to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Interval {
    /// Major third, 5:4.
    Third,
    /// Fifth, 3:2.
    Fifth,
    /// Major sixth, 5:3.
    Sixth,
    /// Octave by partials 2 and 1.
    Octave21,
    /// Octave by partials 4 and 2.
    Octave42,
    /// Octave by partials 6 and 3.
    Octave63,
    /// Major tenth, 5:2.
    Tenth,
}

impl Interval {
    /// Every interval, from the narrowest.
    pub const ALL: [Self; 7] = [
        Self::Third,
        Self::Fifth,
        Self::Sixth,
        Self::Octave21,
        Self::Octave42,
        Self::Octave63,
        Self::Tenth,
    ];

    /// How many keys the higher note lies above the lower.
    pub fn semitones(self) -> u8 {
        match self {
            Self::Third => 4,
            Self::Fifth => 7,
            Self::Sixth => 9,
            Self::Octave21 | Self::Octave42 | Self::Octave63 => 12,
            Self::Tenth => 16,
        }
    }

    /// The partial of the lower note and that of the higher note which nearly meet.
    pub fn partials(self) -> (usize, usize) {
        match self {
            Self::Third => (5, 4),
            Self::Fifth => (3, 2),
            Self::Sixth => (5, 3),
            Self::Octave21 => (2, 1),
            Self::Octave42 => (4, 2),
            Self::Octave63 => (6, 3),
            Self::Tenth => (5, 2),
        }
    }

    /// Its name, as of several.
    pub fn plural(self) -> &'static str {
        match self {
            Self::Third => "thirds",
            Self::Fifth => "fifths",
            Self::Sixth => "sixths",
            Self::Octave21 => "2:1 octaves",
            Self::Octave42 => "4:2 octaves",
            Self::Octave63 => "6:3 octaves",
            Self::Tenth => "tenths",
        }
    }
}
