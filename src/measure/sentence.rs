//! A sentence with figures in it, before anyone has chosen units or rounded.
//!
//! Every room may say something to the reader (a warning, a finding, what to measure next); only
//! `document` rounds. So a sentence keeps its figures as quantities until it is printed, and inches
//! beside millimetres, or a table cell, need nothing from the room that spoke.

use super::{
    Angle, Cents, Force, Frequency, Inharmonicity, Length, LinearMassDensity, Mass, Measured, Note,
    Pressure, Torque,
};

/// One piece of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Words, with their own spaces.
    Words(String),
    /// A note.
    Note(Note),
    /// A count of things.
    Count(usize),
    /// A count of things, "none" when there is none.
    Many(usize),
    /// A calendar year.
    Year(i32),
    /// A length.
    Length(Measured<Length>),
    /// A force.
    Force(Measured<Force>),
    /// A mass.
    Mass(Measured<Mass>),
    /// A mass per length.
    LinearMassDensity(Measured<LinearMassDensity>),
    /// An angle.
    Angle(Measured<Angle>),
    /// A torque.
    Torque(Measured<Torque>),
    /// A frequency.
    Frequency(Measured<Frequency>),
    /// A stress.
    Pressure(Measured<Pressure>),
    /// An interval.
    Cents(Measured<Cents>),
    /// An inharmonicity coefficient.
    Inharmonicity(Measured<Inharmonicity>),
    /// A share in percent, given as a fraction (0.52 is 52 %).
    Share(Measured<f64>),
    /// How many of something are to be expected: a mean, not a count.
    Expected(f64),
    /// A chance, 0 to 1, to be said in words such as "9 in 10".
    Chance(f64),
    /// A chance, and what it becomes at worst and at best under other assumptions.
    ChanceBetween {
        /// The chance.
        chance: f64,
        /// At worst.
        low: f64,
        /// At best.
        high: f64,
        /// Those assumptions, said behind worst and best.
        when: &'static str,
        /// Said in their place when worst and best read alike.
        alike: &'static str,
    },
    /// A pure number.
    Number(Measured<f64>),
    /// How many beats a second.
    Beats(f64),
}

/// Words and figures in order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sentence(pub Vec<Piece>);

impl Sentence {
    /// Words alone.
    pub fn words(words: impl Into<String>) -> Self {
        Self(vec![Piece::Words(words.into())])
    }

    /// Adds a piece at the end.
    pub fn push(&mut self, piece: impl Into<Piece>) {
        self.0.push(piece.into());
    }

    /// Adds another sentence's pieces at the end.
    pub fn extend(&mut self, other: Self) {
        self.0.extend(other.0);
    }
}

impl From<&str> for Sentence {
    fn from(words: &str) -> Self {
        Self::words(words)
    }
}

impl From<&str> for Piece {
    fn from(words: &str) -> Self {
        Self::Words(words.to_owned())
    }
}

impl From<String> for Piece {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<Note> for Piece {
    fn from(note: Note) -> Self {
        Self::Note(note)
    }
}

impl From<usize> for Piece {
    fn from(count: usize) -> Self {
        Self::Count(count)
    }
}

macro_rules! figures {
    ($($quantity:ident: $zero:expr),* $(,)?) => {$(
        impl From<Measured<$quantity>> for Piece {
            fn from(figure: Measured<$quantity>) -> Self {
                Self::$quantity(figure)
            }
        }
        impl From<$quantity> for Piece {
            fn from(figure: $quantity) -> Self {
                Self::$quantity(Measured::new(figure, $zero))
            }
        }
    )*};
}

figures! {
    Length: super::mm(0.0),
    Force: super::newtons(0.0),
    Mass: super::grams(0.0),
    Angle: super::radians(0.0),
    Torque: super::newton_metres(0.0),
    Frequency: super::hertz(0.0),
    Pressure: super::mpa(0.0),
    LinearMassDensity: super::g_per_m(0.0),
    Cents: Cents(0.0),
    Inharmonicity: Inharmonicity(0.0),
}

/// A share (0.52 is 52 %), as a piece of a sentence.
pub fn share(fraction: f64) -> Piece {
    Piece::Share(Measured::new(fraction, 0.0))
}

/// A pure number, as a piece of a sentence.
pub fn number(value: f64) -> Piece {
    Piece::Number(Measured::new(value, 0.0))
}

/// A sentence from its pieces: `sentence!["the core of ", note, " reads ", core]`.
#[macro_export]
macro_rules! sentence {
    ($($piece:expr),* $(,)?) => {
        $crate::measure::Sentence(vec![$($crate::measure::Piece::from($piece)),*])
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::mm;

    #[test]
    fn figures_stay_quantities_until_printed() {
        let said = sentence!["the core of ", Note::A4, " reads ", mm(1.02)];
        assert_eq!(said.0.len(), 4);
        assert_eq!(said.0[3], Piece::Length(Measured::new(mm(1.02), mm(0.0))));
    }
}
