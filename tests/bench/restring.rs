//! All alternatives for the 88 notes of the upright: what each note could get, the search for each wish,
//! other numbers of wound notes, what the weights do, and each judged. At most 1 s on two cores.
//!
//! `cargo bench --bench restring` on two threads; with `--no-default-features` on one.

use divan::Bencher;
use feltwire::measure::Silent;
use feltwire::order::strings::{Course, Known, Name, Prefer, Staying, best, problem, rescale};
use feltwire::report::{self, Choices, Report};
use feltwire::survey::{self, Memory};
use std::sync::LazyLock;

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn main() {
    divan::main();
}

fn upright() -> Report {
    let files = [
        ("survey.toml", include_str!("../../examples/upright/survey.toml")),
        ("strings.csv", include_str!("../../examples/upright/strings.csv")),
        ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
    ];
    let folder = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let survey = survey::read(&folder, &survey::Known::default())
        .unwrap_or_else(|faults| panic!("{faults:?}"));
    report::build(survey.instrument, survey.warnings, survey.hash, &Choices::default(), &Silent)
        .expect("not stopped")
}

/// The whole piano: nothing of the old strings stays.
fn every_string_goes() -> &'static Staying {
    static NOTHING_STAYS: LazyLock<Staying> = LazyLock::new(Staying::default);
    &NOTHING_STAYS
}

fn known(report: &Report) -> Known<'_> {
    Known {
        instrument: &report.instrument,
        belief: &report.belief,
        scale: &report.scale,
        off: &report.off_trend,
        limits: &report.limits,
        staying: every_string_goes(),
    }
}

#[divan::bench]
fn all_alternatives(bencher: Bencher) {
    let report = upright();
    bencher.bench(|| rescale(&known(&report), &Name::ALL, &Prefer::default(), &Silent));
}

#[divan::bench]
fn the_copy_alone(bencher: Bencher) {
    let report = upright();
    bencher.bench(|| rescale(&known(&report), &[Name::Copy], &Prefer::default(), &Silent));
}

fn course(name: Name) -> Course {
    let report = upright();
    problem(&known(&report), name, &Prefer::default(), &Silent).expect("not stopped").0
}

/// One search where the cap on all pull does not bind.
#[divan::bench]
fn one_search(bencher: Bencher) {
    let course = course(Name::Smooth);
    bencher.bench(|| best(&course, &Silent));
}

/// One search where it does.
#[divan::bench]
fn one_search_with_a_cap_that_binds(bencher: Bencher) {
    let course = course(Name::Lighter);
    bencher.bench(|| best(&course, &Silent));
}
