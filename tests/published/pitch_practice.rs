//! Facts of the trade about pitch: common practice, no source.
//!
//! The offset goes in as a rebuilder writes it in a survey.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::instrument::Instrument;
use feltwire::measure::{Note, to_hertz};
use feltwire::physics::pitch;
use feltwire::survey::{Known, Memory, read};

const FLAT: &[(&str, &str)] = &[("pitch", "440 Hz"), ("note", "A4"), ("offset", "-10 beats")];

/// A piano of which nothing is known but its pitch as found.
fn found(row: &Inputs) -> Instrument {
    let survey = format!(
        "format = 1\n[instrument]\nname = \"any\"\nkind = \"upright\"\ncompass = [\"A0\", \"C8\"]\n\
         pitch = \"{}\"\nfound = {{ note = \"{}\", offset = \"{}\" }}\n\
         [[section]]\nname = \"all\"\nnotes = [\"A0\", \"C8\"]\n",
        row.text("pitch"),
        row.text("note"),
        row.text("offset")
    );
    let folder = Memory::new([("survey.toml", survey.as_bytes())]);
    let read = read(&folder, &Known::default());
    read.unwrap_or_else(|faults| panic!("{faults:?}")).instrument
}

fn cents(row: &Inputs) -> f64 {
    found(row).found.expect("read").0
}

fn check(
    locator: &'static str,
    expected: &'static str,
    unit: &'static str,
    ours: fn(&Inputs) -> f64,
) -> Check {
    Check {
        locator,
        inputs: FLAT,
        expected,
        unit,
        class: Class::Practice,
        allowed: Allowed::LastDigit,
        reason: "said to that digit",
        ours,
    }
}

pub fn source() -> Source {
    let hertz = |row: &Inputs| {
        let piano = found(row);
        to_hertz(Note::A4.frequency(piano.pitch)) * piano.found.expect("read").ratio()
    };
    let tension_low =
        |row: &Inputs| 100.0 * (1.0 - pitch::tension_ratio(found(row).found.expect("read")));
    Source::new(
        "pitch_practice",
        "common practice, no source",
        vec![
            check("ten beats flat at A4", "430", "Hz", hertz),
            check("ten beats flat at A4", "-39.8", "cents", cents),
            check("ten beats flat at A4, tension low by", "4.5", "%", tension_low),
        ],
    )
}
