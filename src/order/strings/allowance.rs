//! What a wire is cut longer than the string that it makes: coils, the hole of the pin, a hand's hold.
//!
//! One end at a tuning pin: n coils of π (pin + wire) and the part in the hole. Two strings of one wire
//! round a hitch pin have two such ends; a string with a loop of its own has one, and the loop.

use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Length, Mass, grams, mm};
use crate::stock::tuning_pins;
use std::f64::consts::PI;

/// What is added to measured lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// Coils on a tuning pin.
    pub coils: f64,
    /// In the hole of the pin.
    pub becket: Length,
    /// Held while stringing, for each wire.
    pub handling: Length,
    /// In a loop of its own.
    pub own_loop: Length,
    /// Spoilt and cut off, as a fraction of the sum.
    pub waste: f64,
    /// Mass of a coil of wire as it is bought.
    pub coil: Mass,
}

impl Allowances {
    /// Those in force.
    pub fn of(limits: &Limits) -> Self {
        let length = |key| mm(limits.value(key));
        Self {
            coils: limits.value(LimitKey::StringCoils),
            becket: length(LimitKey::StringBecket),
            handling: length(LimitKey::StringHandling),
            own_loop: length(LimitKey::StringLoop),
            waste: limits.value(LimitKey::StringWaste) / 100.0,
            coil: grams(limits.value(LimitKey::StringCoil)),
        }
    }

    /// Wire of diameter `wire` on a tuning pin of diameter `pin`, past the pin's centre.
    pub fn on_pin(&self, pin: Length, wire: Length) -> Length {
        (pin + wire) * (PI * self.coils) + self.becket
    }
}

/// The pin that coils are counted on where none was read: the thickest, so that no wire is short.
pub fn thickest_pin() -> Length {
    tuning_pins().iter().map(|pin| pin.diameter).fold(mm(0.0), |a, b| if b > a { b } else { a })
}
