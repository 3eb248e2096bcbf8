//! How long the strings of a whole piano take:
//! `cargo bench --no-default-features --features parallel --bench scale`, and beside it the same work in
//! `scale_scipy.py`.
//!
//! The piano is the example upright: 88 notes, 32 of them wound, five of those twice.

use divan::{Bencher, black_box};
use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::measure::Silent;
use feltwire::physics::warm::Warm;
use feltwire::physics::{StringSpec, sensitivities, sound};
use feltwire::scale::compute;
use feltwire::scale::draws::{Wanted, draw};
use feltwire::scale::spec::spec_of;
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn main() {
    divan::main();
}

fn upright() -> (Instrument, Belief) {
    let files = [
        ("survey.toml", include_str!("../../examples/upright/survey.toml")),
        ("strings.csv", include_str!("../../examples/upright/strings.csv")),
        ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
    ];
    let memory = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let instrument = read(&memory, &Known::default()).expect("no faults").instrument;
    let belief = Belief::of(&instrument);
    (instrument, belief)
}

/// The example's F2: one layer, bare ends 19 and 16 mm.
fn wound() -> (StringSpec, feltwire::measure::Frequency) {
    let (instrument, belief) = upright();
    let note = belief.notes.iter().find(|n| n.note.to_string() == "F2").expect("F2");
    let spec =
        spec_of(note.string.as_ref().expect("read"), instrument.wire.ends).expect("possible");
    (spec, note.note.frequency(instrument.pitch))
}

#[divan::bench]
fn one_wound_string(bencher: Bencher) {
    let (spec, pitch) = wound();
    bencher.bench(|| sound(black_box(&spec), black_box(pitch)));
}

#[divan::bench]
fn slopes_of_one_wound_string(bencher: Bencher) {
    let (spec, pitch) = wound();
    bencher.bench(|| sensitivities(black_box(&spec), black_box(pitch)));
}

#[divan::bench]
fn one_wound_string_from_a_like_one(bencher: Bencher) {
    let (spec, pitch) = wound();
    let warm = Warm::new(&spec, pitch).expect("possible");
    let mut like = spec.clone();
    like.layers[0].wire *= 1.02;
    like.layers[0].bare_front *= 1.3;
    like.length *= 1.001;
    bencher.bench(|| warm.sound(black_box(&like)));
}

/// Every note with exact modes and its ±: the target is 5 ms.
#[divan::bench]
fn scale_of_88_notes(bencher: Bencher) {
    let (instrument, belief) = upright();
    bencher.bench(|| compute(black_box(&instrument), black_box(&belief)));
}

/// What is believed of every string, from the readings.
#[divan::bench]
fn belief_of_88_notes(bencher: Bencher) {
    let (instrument, _) = upright();
    bencher.bench(|| Belief::of(black_box(&instrument)));
}

/// The same where nobody read a bare end: B over a lattice of pairs for each wound string.
#[divan::bench]
fn scale_of_88_notes_with_no_bare_end_read(bencher: Bencher) {
    let (mut instrument, _) = upright();
    for row in &mut instrument.strings {
        (row.bare_front, row.bare_back) = (None, None);
    }
    let belief = Belief::of(&instrument);
    bencher.bench(|| compute(black_box(&instrument), black_box(&belief)));
}

/// The whole scale from 10 000 draws of all readings: the target is 2 s on two cores, which
/// `--features parallel` takes.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn ten_thousand_draws(bencher: Bencher) {
    let (instrument, belief) = upright();
    let scale = compute(&instrument, &belief);
    let wanted = Wanted::of_readings(10_000);
    bencher.bench(|| draw(black_box(&instrument), &belief, &scale, wanted, &Silent));
}
