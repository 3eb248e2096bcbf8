//! A quantity or a note as text: what is read is finite, and what is refused is refused in words.
#![no_main]

use feltwire::measure::text::{Written, parse, split_number, split_uncertainty};
use feltwire::measure::{Force, Length, Note, Torque, to_mm, to_newton_metres, to_newtons};

fn try_quantity<Q: Written>(text: &str, value: impl Fn(Q) -> f64) {
    match parse::<Q>(text) {
        Ok(reading) => assert!(value(reading.value).is_finite(), "{text:?}"),
        Err(fault) => assert!(!fault.to_string().is_empty()),
    }
}

libfuzzer_sys::fuzz_target!(|text: &str| {
    try_quantity::<Length>(text, to_mm);
    try_quantity::<Force>(text, to_newtons);
    try_quantity::<Torque>(text, to_newton_metres);
    let _ = (split_uncertainty(text), split_number(text));
    if let Ok(note) = Note::parse(text) {
        assert!(Note::parse(&note.to_string()).is_ok_and(|again| again == note), "{text:?}");
    }
});
