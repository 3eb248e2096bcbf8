//! Beats of two strings sounding together, and the interval at which they stop; for predicting what a
//! tuner hears.
//!
//! Partial n of a string that *sounds* f1: `f_n = n f1 sqrt((1 + B n^2)/(1 + B))`. Where partial n of
//! the lower string nearly meets partial m of the higher one, they beat at
//! `b = f_m(high) - f_n(low)` (Hz), positive when the interval is wider than clean. It is clean, b = 0,
//! when the fundamentals stand `1200 log2(r_n(low)/r_m(high))` cents apart, `r_n = f_n/f1`.
//! f1 sounding fundamental (Hz), B inharmonicity, n and m partials.
//! Source: H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203-209 (partials); beats of upper partials:
//! H. von Helmholtz, On the Sensations of Tone, chapter X (from memory). The worked number is algebra.
//! Holds for any two partials, whatever law they follow, as long as each is one steady frequency.
//! Leaves out: what makes a string of several frequencies (bridge motion, unisons, false strings), and
//! how loud the beat is.
//!
//! ```
//! use feltwire::measure::{Inharmonicity, Note, hertz, to_hertz};
//! use feltwire::physics::beats;
//! // Equal temperament on strings without inharmonicity: F3-A3 beats 4 · 220 − 5 · 174.614 = 6.93 a second.
//! let at = |name: &str| Note::parse(name).unwrap().frequency(hertz(440.0));
//! let harmonic = Inharmonicity(0.0);
//! let low = beats::partial(at("F3"), harmonic, 5);
//! let high = beats::partial(at("A3"), harmonic, 4);
//! assert!((to_hertz(beats::rate(low, high)) - 6.93).abs() < 0.005);
//! // A clean third, 5 : 4, is 386.31 cents.
//! assert!((beats::clean(5.0, 4.0).0 - 386.31).abs() < 0.005);
//! ```

use crate::measure::{Cents, Frequency, Inharmonicity, hertz};

/// Partial `n` of a string that sounds `f1`.
pub fn partial(f1: Frequency, b: Inharmonicity, n: u32) -> Frequency {
    let n = f64::from(n);
    hertz(n * f1.value * ((1.0 + b.0 * n * n) / (1.0 + b.0)).sqrt())
}

/// How fast a partial of the lower string and one of the higher string beat: positive when the
/// interval is wider than clean.
pub fn rate(low: Frequency, high: Frequency) -> Frequency {
    high - low
}

/// The interval between two fundamentals at which a partial of the lower string, `low_ratio` times
/// its fundamental, meets a partial of the higher one, `high_ratio` times its own.
pub fn clean(low_ratio: f64, high_ratio: f64) -> Cents {
    Cents::of_ratio(low_ratio / high_ratio)
}
