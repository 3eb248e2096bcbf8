//! The table of a set of heads that arrived, against the order of a whole piano.
#![no_main]

use feltwire::document::{shapes, text};
use feltwire::measure::Silent;
use feltwire::report::{self, Choices, Report};
use feltwire::survey::{self, Known, Memory};
use std::sync::OnceLock;

fn ordered() -> Report {
    let files: [(&str, &[u8]); 4] = [
        ("logo.png", include_bytes!("../../../examples/upright/logo.png")),
        ("survey.toml", include_bytes!("../../../examples/upright/survey.toml")),
        ("strings.csv", include_bytes!("../../../examples/upright/strings.csv")),
        ("hammers.csv", include_bytes!("../../../examples/upright/hammers.csv")),
    ];
    let read = survey::read(&Memory::new(files), &Known::default()).expect("a sound survey");
    let built =
        report::build(read.instrument, read.warnings, read.hash, &Choices::default(), &Silent);
    built.expect("nobody stops it")
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    static REPORT: OnceLock<Report> = OnceLock::new();
    let report = REPORT.get_or_init(ordered);
    match survey::received("received.csv", bytes, &report.instrument) {
        Ok(arrived) => {
            if let Some(judged) = report.receive(&arrived.heads, arrived.warnings) {
                let said = text::received(report, &judged);
                assert!(!said.contains("NaN"), "{said}");
                let _ = shapes::received(report, &judged, "");
            }
        }
        Err(faults) => feltwire_fuzz::look_at(&faults),
    }
});
