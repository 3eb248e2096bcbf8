//! F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107: treble asymptote of B over many
//! instruments, against B measured on one by H.-M. Lehtonen et al., J. Acoust. Soc. Am. 122 (2007) 1787,
//! table I, and against H. Fletcher's C8 of 1964; and the stretch of ordinary instruments against that of
//! the two pianos of `examples/`.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Note, Silent, hertz};
use feltwire::physics::typical;
use feltwire::report::{self, Choices, Report};
use feltwire::survey::{Known, Memory, read};
use std::sync::LazyLock;

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn treble(row: &Inputs) -> f64 {
    typical::treble(Note::parse(row.text("note")).expect("a note").frequency(hertz(440.0))).0
}

const UPRIGHT: &[(&str, &str)] = &[
    ("survey.toml", include_str!("../../examples/upright/survey.toml")),
    ("strings.csv", include_str!("../../examples/upright/strings.csv")),
    ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
];
const GRAND: &[(&str, &str)] = &[
    ("survey.toml", include_str!("../../examples/grand/survey.toml")),
    ("strings.csv", include_str!("../../examples/grand/strings.csv")),
    ("runs.csv", include_str!("../../examples/grand/runs.csv")),
    ("hammers.csv", include_str!("../../examples/grand/hammers.csv")),
];

fn report(files: &[(&str, &str)]) -> Report {
    let memory = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let survey = read(&memory, &Known::default()).unwrap_or_else(|faults| panic!("{faults:?}"));
    report::build(survey.instrument, Vec::new(), survey.hash, &Choices::default(), &Silent)
        .expect("nobody stops it")
}

fn stretch(row: &Inputs) -> f64 {
    static PIANOS: LazyLock<[Report; 2]> = LazyLock::new(|| [report(UPRIGHT), report(GRAND)]);
    let piano = &PIANOS[usize::from(row.text("piano") == "examples/grand")];
    let note = Note::parse(row.text("note")).expect("a note");
    piano.tuning.note(note).expect("tuned").stretch.0
}

const ENDS: &str = "`about`, over many instruments: half of it either way";
const MIDDLE: &str = "stated so: within 5 cents in the middle";

/// Ends of the compass, and the two octaves in its middle.
pub fn stretches() -> Source {
    let row = |piano: &'static str, note: &'static str, expected, cents, reason| Check {
        locator: format!("stretch of {note}, {piano}").leak(),
        inputs: vec![("piano", piano), ("note", note)].leak(),
        expected,
        unit: "cents",
        class: Class::Measured,
        allowed: Allowed::Absolute(cents),
        reason,
        ours: stretch,
    };
    let mut checks = Vec::new();
    for piano in ["examples/upright", "examples/grand"] {
        checks.push(row(piano, "A0", "-30", 15.0, ENDS));
        if piano == "examples/upright" {
            // The grand ends at A7.
            checks.push(row(piano, "C8", "30", 15.0, ENDS));
        }
        for note in ["F3", "A3", "C4", "F4", "C5", "F5"] {
            checks.push(row(piano, note, "0", 5.0, MIDDLE));
        }
    }
    let citation = "F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107: within 5 cents in the \
                    middle, about -30 at A0 and +30 at C8 on ordinary instruments";
    Source::new("rigaud_2013_stretch", citation, checks)
}

const BAND: &str = "many instruments against one: they agree within 12 % up to C5";
const HIGH: &str = "near the top instruments differ and the asymptote is a band";

pub fn source() -> Source {
    let row = |locator, inputs, expected, share, reason| Check {
        locator,
        inputs,
        expected,
        unit: "",
        class: Class::Measured,
        allowed: Allowed::Share(share),
        reason,
        ours: treble,
    };
    let checks = vec![
        row("C2, Lehtonen et al.", &[("note", "C2")], "3.8e-5", 0.12, BAND),
        row("C4, Lehtonen et al.", &[("note", "C4")], "3.3e-4", 0.12, BAND),
        row("C6, Lehtonen et al.", &[("note", "C6")], "2.3e-3", 0.40, HIGH),
        row("C8, Fletcher", &[("note", "C8")], "0.0244", 0.30, HIGH),
    ];
    let citation = "F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107, and H.-M. Lehtonen \
                    et al., J. Acoust. Soc. Am. 122 (2007) 1787";
    Source::new("rigaud_2013", citation, checks)
}
