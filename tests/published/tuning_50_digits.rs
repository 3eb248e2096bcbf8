//! Tuning by ear and its beats, against the same in 50 digits: `tuning_50_digits.py`.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::{Row, rows};
use feltwire::measure::{Inharmonicity, Note, hertz, to_hertz};
use feltwire::physics::beats;
use feltwire::scale::tuning::{Interval, PARTIALS, Rules, Tones, stretch};

const TABLE: &str = include_str!("tuning_50_digits.csv");

/// As the script states them.
const RULES: Rules = Rules {
    six_three_to: 20.0,
    four_two_from: 32.0,
    four_two_to: 45.0,
    two_one_from: 57.0,
    fastest: 15.0,
};

const INTERVALS: [(&str, Interval); 7] = [
    ("third", Interval::Third),
    ("fifth", Interval::Fifth),
    ("sixth", Interval::Sixth),
    ("octave_21", Interval::Octave21),
    ("octave_42", Interval::Octave42),
    ("octave_63", Interval::Octave63),
    ("tenth", Interval::Tenth),
];

fn cell(row: &Row, column: &str) -> &'static str {
    row.iter().find(|cell| cell.0 == column).expect("a column").1
}

fn number(text: &str) -> f64 {
    text.parse().expect("a number")
}

fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}

/// Partials over the fundamental at any pitch.
fn ratios(b: f64) -> [f64; PARTIALS] {
    let f1 = hertz(1.0);
    std::array::from_fn(|i| to_hertz(beats::partial(f1, Inharmonicity(b), i as u32 + 1)))
}

fn stretch_of(row: &Inputs) -> f64 {
    let notes = rows(TABLE);
    let notes = notes.iter().map(|row| (note(cell(row, "note")), ratios(number(cell(row, "b")))));
    let tuned = stretch(&Tones::new(notes), &RULES).expect("every note is known");
    let wanted = note(row.text("note"));
    tuned.iter().find(|(note, _)| *note == wanted).expect("tuned").1.0
}

fn beats_of(row: &Inputs) -> f64 {
    let name = row.text("interval");
    let interval = INTERVALS.iter().find(|known| known.0 == name).expect("an interval").1;
    let (n, m) = interval.partials();
    let partial = |f1, b, n: usize| {
        beats::partial(hertz(row.number(f1)), Inharmonicity(row.number(b)), n as u32)
    };
    to_hertz(beats::rate(partial("low f1", "low b", n), partial("high f1", "high b", m)))
}

pub fn source() -> Source {
    let rows = rows(TABLE);
    let mut checks = Vec::new();
    for (index, row) in rows.iter().enumerate() {
        let name = cell(row, "note");
        checks.push(Check {
            locator: format!("{name}, stretch").leak(),
            inputs: vec![("note", name)].leak(),
            expected: cell(row, "stretch"),
            unit: "cents",
            class: Class::Independent,
            allowed: Allowed::Absolute(2e-11),
            reason: "64-bit logarithms of four octaves in a row, 1e-12 cents each, with a margin",
            ours: stretch_of,
        });
        for (interval, of) in INTERVALS {
            let Some(high) = rows.get(index + usize::from(of.semitones())) else { continue };
            checks.push(Check {
                locator: format!("{name}, {interval}").leak(),
                inputs: vec![
                    ("interval", interval),
                    ("low f1", cell(row, "f1_hz")),
                    ("low b", cell(row, "b")),
                    ("high f1", cell(high, "f1_hz")),
                    ("high b", cell(high, "b")),
                ]
                .leak(),
                expected: cell(row, interval),
                unit: "Hz",
                class: Class::Independent,
                allowed: Allowed::Absolute(2e-11),
                reason: "the difference of two partials of up to 1e4 Hz in 64-bit arithmetic, with a margin",
                ours: beats_of,
            });
        }
    }
    let citation = "50-digit evaluation with mpmath, tests/published/tuning_50_digits.py";
    Source::new("tuning_50_digits", citation, checks)
}
