//! The 88 notes: names, key numbers, equal temperament.

use super::{Frequency, hertz, to_hertz};
use std::fmt;

const LETTERS: [(char, i32); 7] =
    [('C', 0), ('D', 2), ('E', 4), ('F', 5), ('G', 7), ('A', 9), ('B', 11)];
const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
/// Semitones from C0 to key 0, one below A0.
const KEY_ZERO: i32 = 8;
/// Key number of A4, the note by which pitch is stated (ISO 16).
const KEY_OF_A4: i32 = 49;

/// A note of the keyboard, by its key number from the bass: A0 is 1, C8 is 88.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Note(u8);

/// Why a text is not a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoteFault {
    /// The text has not the form of a note name.
    NotANote,
    /// A note, but below A0 or above C8.
    OutsideKeyboard,
}

impl Note {
    /// A0, key 1.
    pub const A0: Self = Self(1);
    /// A4, key 49.
    pub const A4: Self = Self(49);
    /// C8, key 88.
    pub const C8: Self = Self(88);

    /// The note of key `key`, 1 to 88.
    pub fn from_key(key: u8) -> Option<Self> {
        (1..=88).contains(&key).then_some(Self(key))
    }

    /// The key number, 1 to 88 from the bass.
    pub fn key(self) -> u8 {
        self.0
    }

    /// Reads `A0`, `C#3`, `C♯3`, `Bb0`, `B♭0`; letters of either case.
    ///
    /// ```
    /// use feltwire::measure::Note;
    /// assert_eq!(Note::parse("A4").unwrap().key(), 49);
    /// assert_eq!(Note::parse("Bb0"), Note::parse("A#0"));
    /// assert!(Note::parse("H2").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, NoteFault> {
        let mut chars = text.trim().chars();
        let letter = chars.next().ok_or(NoteFault::NotANote)?.to_ascii_uppercase();
        let (_, natural) =
            LETTERS.into_iter().find(|(name, _)| *name == letter).ok_or(NoteFault::NotANote)?;
        let rest = chars.as_str();
        let (shift, octave) = match rest.chars().next() {
            Some(sign @ ('#' | '♯')) => (1, &rest[sign.len_utf8()..]),
            Some(sign @ ('b' | '♭')) => (-1, &rest[sign.len_utf8()..]),
            _ => (0, rest),
        };
        if octave.is_empty() || octave.len() > 2 || !octave.bytes().all(|b| b.is_ascii_digit()) {
            return Err(NoteFault::NotANote);
        }
        let octave: i32 = octave.parse().map_err(|_| NoteFault::NotANote)?;
        u8::try_from(12 * octave + natural + shift - KEY_ZERO)
            .ok()
            .and_then(Self::from_key)
            .ok_or(NoteFault::OutsideKeyboard)
    }

    /// The equally tempered frequency with A4 at `a4`.
    ///
    /// ```
    /// use feltwire::measure::{Note, hertz, to_hertz};
    /// let c4 = Note::parse("C4").unwrap().frequency(hertz(440.0));
    /// assert!((to_hertz(c4) - 261.6256).abs() < 5e-5);
    /// ```
    pub fn frequency(self, a4: Frequency) -> Frequency {
        hertz(to_hertz(a4) * (f64::from(i32::from(self.0) - KEY_OF_A4) / 12.0).exp2())
    }

    /// The note `semitones` higher (lower when negative), if the keyboard has it.
    pub fn step(self, semitones: i32) -> Option<Self> {
        u8::try_from(i32::from(self.0) + semitones).ok().and_then(Self::from_key)
    }

    /// Whether the key is a black one.
    pub fn is_sharp(self) -> bool {
        self.name_in_octave().len() == 2
    }

    fn name_in_octave(self) -> &'static str {
        NAMES[usize::from((i32::from(self.0) + KEY_ZERO) as u8 % 12)]
    }
}

/// ASCII sharps: `A#0`.
impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let octave = (i32::from(self.0) + KEY_ZERO) / 12;
        f.pad(&format!("{}{octave}", self.name_in_octave()))
    }
}

/// A run of notes, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Compass {
    /// Lowest note.
    pub first: Note,
    /// Highest note.
    pub last: Note,
}

impl Compass {
    /// Every note from the bass up.
    pub fn notes(self) -> impl DoubleEndedIterator<Item = Note> + Clone {
        (self.first.0..=self.last.0).map(Note)
    }

    /// Whether the run holds `note`.
    pub fn contains(self, note: Note) -> bool {
        (self.first..=self.last).contains(&note)
    }

    /// How many notes there are.
    pub fn len(self) -> usize {
        usize::from((self.last.0 + 1).saturating_sub(self.first.0))
    }

    /// Whether the run is empty (its ends the wrong way round).
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }
}

impl fmt::Display for Compass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}–{}", self.first, self.last)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_has_one_name_that_reads_back() {
        for key in 1..=88 {
            let note = Note::from_key(key).expect("88 keys");
            assert_eq!(Note::parse(&note.to_string()), Ok(note));
        }
        assert_eq!(Note::A0.to_string(), "A0");
        assert_eq!(Note::C8.to_string(), "C8");
        assert_eq!(Note::A4.to_string(), "A4");
    }

    #[test]
    fn flats_and_odd_spellings_name_the_same_key() {
        for (odd, plain) in [("Cb4", "B3"), ("E#2", "F2"), ("B♭3", "A#3"), ("c♯5", "C#5")] {
            assert_eq!(Note::parse(odd), Note::parse(plain), "{odd}");
        }
    }

    #[test]
    fn what_is_no_note_says_why() {
        assert_eq!(Note::parse("G#0"), Err(NoteFault::OutsideKeyboard));
        assert_eq!(Note::parse("C#8"), Err(NoteFault::OutsideKeyboard));
        for text in ["", "A", "A#", "4", "A-1", "A4x", "Do3", "A 4", "A999"] {
            assert_eq!(Note::parse(text), Err(NoteFault::NotANote), "{text}");
        }
    }

    #[test]
    fn sharps_are_the_black_keys() {
        let blacks = Compass { first: Note::A0, last: Note::C8 };
        assert_eq!(blacks.notes().filter(|n| n.is_sharp()).count(), 36);
    }
}
