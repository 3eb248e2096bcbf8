//! How long the long work takes. `cargo bench --no-default-features`

use divan::Bencher;
use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::judgement::limit::Limits;
use feltwire::judgement::{Asked, decide};
use feltwire::measure::Silent;
use feltwire::scale::{Scale, compute};
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn main() {
    divan::main();
}

fn upright() -> (Instrument, Scale) {
    let files = [
        ("survey.toml", include_str!("../../examples/upright/survey.toml")),
        ("strings.csv", include_str!("../../examples/upright/strings.csv")),
        ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
    ];
    let folder = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let survey = read(&folder, &Known::default());
    let instrument = survey.unwrap_or_else(|faults| panic!("{faults:?}")).instrument;
    let scale = compute(&instrument, &Belief::of(&instrument));
    (instrument, scale)
}

/// The judgement with its 2000 re-runs: at most 0.2 s.
#[divan::bench]
fn judged_2000_times(bencher: Bencher) {
    let (instrument, scale) = upright();
    let limits = Limits::with(&instrument.limits);
    let asked = Asked::default();
    bencher.bench(|| decide(&instrument, &scale, &[], &limits, &asked, &Silent));
}

/// The same with one re-run: what the re-runs cost is the difference.
#[divan::bench]
fn judged_once(bencher: Bencher) {
    let (instrument, scale) = upright();
    let limits = Limits::with(&instrument.limits);
    let asked = Asked { draws: 1, ..Asked::default() };
    bencher.bench(|| decide(&instrument, &scale, &[], &limits, &asked, &Silent));
}
