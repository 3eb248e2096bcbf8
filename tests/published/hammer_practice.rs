//! Facts of the trade about touch: common practice, no source.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Mass, Measured, grams, to_grams};
use feltwire::physics::hammer::touch::Touch;

const KEY: &[(&str, &str)] = &[("down", "52 g"), ("up", "30 g")];
const EXACT: &str = "whole grams, half sum and half difference";

fn touch(row: &Inputs) -> Touch {
    let read = |name| Measured::new(row.get::<Mass>(name), grams(0.0));
    Touch::from_weights(read("down"), read("up")).expect("a touch")
}

fn check(locator: &'static str, expected: &'static str, ours: fn(&Inputs) -> f64) -> Check {
    Check {
        locator,
        inputs: KEY,
        expected,
        unit: "g",
        class: Class::Practice,
        allowed: Allowed::Absolute(1e-9),
        reason: EXACT,
        ours,
    }
}

pub fn source() -> Source {
    Source::new(
        "hammer_practice",
        "common practice, no source",
        vec![
            check("mean", "41", |row| to_grams(touch(row).mean.value)),
            check("friction", "11", |row| to_grams(touch(row).friction.value)),
        ],
    )
}
