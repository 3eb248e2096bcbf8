//! Which partials an octave is tuned by, along the compass.
//!
//! In the bass the ear goes by partials 6 and 3, in the middle by 4 and 2, in the treble by 2 and 1
//! (common practice, no source): lower partials of a bass string are weak, higher ones of a treble
//! string cannot be heard. Between two of these regions the width glides from one to the other, so
//! that the rule itself puts no step into the tuning: share w of one kind and 1 - w of the next, in
//! the width in cents.

use super::Tones;
use super::interval::Interval;
use crate::measure::{Cents, Compass, Note};
use crate::physics::beats;

/// Where octaves are tuned by which partials, by their lower note; and how fast a beat is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Lowest to this key: 6:3.
    pub six_three_to: f64,
    /// From this key on: 4:2.
    pub four_two_from: f64,
    /// Up to this key: 4:2.
    pub four_two_to: f64,
    /// From this key on: 2:1.
    pub two_one_from: f64,
    /// Faster beats than this, a second, are not followed one by one.
    pub fastest: f64,
}

/// By what an octave is tuned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OctaveKind {
    /// Partials 6 and 3.
    SixThree,
    /// Between 6:3 and 4:2.
    SixThreeToFourTwo,
    /// Partials 4 and 2.
    FourTwo,
    /// Between 4:2 and 2:1.
    FourTwoToTwoOne,
    /// Partials 2 and 1.
    TwoOne,
}

impl OctaveKind {
    /// In words: `6:3`, `between 6:3 and 4:2`.
    pub fn words(self) -> &'static str {
        match self {
            Self::SixThree => "6:3",
            Self::SixThreeToFourTwo => "between 6:3 and 4:2",
            Self::FourTwo => "4:2",
            Self::FourTwoToTwoOne => "between 4:2 and 2:1",
            Self::TwoOne => "2:1",
        }
    }
}

/// Octaves tuned alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OctaveRegion {
    /// Their lower notes.
    pub lower: Compass,
    /// By what they are tuned.
    pub kind: OctaveKind,
}

/// The kinds of octave that are mixed.
pub(super) const KINDS: [Interval; 3] =
    [Interval::Octave63, Interval::Octave42, Interval::Octave21];

impl Rules {
    /// Shares of 6:3, 4:2 and 2:1 in the octave above the key `lower`; they add up to 1.
    pub(super) fn shares(&self, lower: u8) -> [f64; 3] {
        let key = f64::from(lower);
        let four = glide(key, self.six_three_to, self.four_two_from);
        let two = glide(key, self.four_two_to, self.two_one_from);
        [(1.0 - four) * (1.0 - two), four * (1.0 - two), two]
    }

    /// By what the octave above `lower` is tuned.
    pub fn kind(&self, lower: Note) -> OctaveKind {
        match self.shares(lower.key()) {
            [six, _, two] if six >= 1.0 && two <= 0.0 => OctaveKind::SixThree,
            [_, four, _] if four >= 1.0 => OctaveKind::FourTwo,
            [.., two] if two >= 1.0 => OctaveKind::TwoOne,
            [six, ..] if six > 0.0 => OctaveKind::SixThreeToFourTwo,
            _ => OctaveKind::FourTwoToTwoOne,
        }
    }

    /// The regions of a compass, from the bass.
    pub(super) fn regions(&self, compass: Compass) -> Vec<OctaveRegion> {
        let mut regions: Vec<OctaveRegion> = Vec::new();
        let lowers = compass.notes().filter(|n| n.step(12).is_some_and(|up| compass.contains(up)));
        for note in lowers {
            let kind = self.kind(note);
            match regions.last_mut() {
                Some(region) if region.kind == kind => region.lower.last = note,
                _ => {
                    regions.push(OctaveRegion { lower: Compass { first: note, last: note }, kind });
                }
            }
        }
        regions
    }
}

/// 0 up to `from`, 1 from `to` on, straight between.
fn glide(key: f64, from: f64, to: f64) -> f64 {
    if key <= from {
        0.0
    } else if key >= to {
        1.0
    } else {
        (key - from) / (to - from)
    }
}

/// The width of the octave above the key `lower` when it is tuned as the rules say.
pub(super) fn width(tones: &Tones, rules: &Rules, lower: u8) -> Option<Cents> {
    let (low, high) = (tones.ratios(lower)?, tones.ratios(lower + 12)?);
    let widths = KINDS.iter().zip(rules.shares(lower)).map(|(kind, share)| {
        let (n, m) = kind.partials();
        share * beats::clean(low[n - 1], high[m - 1]).0
    });
    Some(Cents(widths.sum()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const RULES: Rules = Rules {
        six_three_to: 20.0,
        four_two_from: 32.0,
        four_two_to: 45.0,
        two_one_from: 57.0,
        fastest: 15.0,
    };

    #[test]
    fn shares_add_up_whatever_the_borders() {
        let odd = Rules { six_three_to: 60.0, four_two_from: 10.0, two_one_from: 3.0, ..RULES };
        for rules in [RULES, odd] {
            for key in 0..=88 {
                let shares = rules.shares(key);
                assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{key}: {shares:?}");
                assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)));
            }
        }
    }

    #[test]
    fn the_regions_of_a_piano_follow_each_other() {
        let regions = RULES.regions(Compass { first: Note::A0, last: Note::C8 });
        let said: Vec<String> =
            regions.iter().map(|r| format!("{} {}", r.lower, r.kind.words())).collect();
        assert_eq!(
            said,
            [
                "A0–E2 6:3",
                "F2–D#3 between 6:3 and 4:2",
                "E3–F4 4:2",
                "F#4–E5 between 4:2 and 2:1",
                "F5–C7 2:1",
            ]
        );
    }
}
