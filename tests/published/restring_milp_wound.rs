//! Strings of 88 notes, 29 of them wound, by integer programming (`HiGHS` by way of scipy), from
//! `tests/bench/restring_milp_wound.py`: the choices compared note by note, and each objective added up
//! again from its choice by `Course::terms`.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::rows;
use crate::restring_milp::{chosen, stated};
use feltwire::measure::{Note, gpa, hertz, inches, kg_per_m3, mm};
use feltwire::order::strings::{Candidate, Course, Join, Place, Wires};
use feltwire::physics::string::Elastic;
use feltwire::physics::winding::layer_mass;
use feltwire::physics::{StringSpec, core::Core, sound};

const SCALE: &str = include_str!("../bench/restring_milp_wound_scale.csv");
const CASES: &str = include_str!("../bench/restring_milp_wound_cases.csv");
/// Index of the first plain note.
const BREAK: usize = 29;

fn cell(row: &[(&'static str, &'static str)], name: &str) -> &'static str {
    row.iter().find(|cell| cell.0 == name).expect("a column").1
}

/// Core in thousandths of an inch, and the winding in hundredths of a millimetre where there is one.
fn string(written: &str) -> (u16, Option<u16>) {
    let number = |text: &str| text.parse().expect("a size");
    match written.split_once('+') {
        Some((core, winding)) => (number(core), Some(number(winding))),
        None => (number(written), None),
    }
}

/// Tension, inharmonicity and impedance of a uniform string between pinned ends.
fn figures(row: &[(&'static str, &'static str)], written: &str) -> [f64; 4] {
    let (core, winding) = string(written);
    let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
    let core = Core::Round { diameter: inches(f64::from(core) / 1000.0) };
    let length = mm(cell(row, "length_mm").parse().expect("a length"));
    let mut spec = StringSpec::plain(length, core, steel);
    // Wound from end to end: a uniform string of that mass, stiff as its core.
    spec.weighed = winding.map(|winding| {
        let wire = mm(f64::from(winding) / 100.0);
        core.area() * steel.density + layer_mass(core, mm(0.0), wire, kg_per_m3(8900.0)).value
    });
    let key: u8 = cell(row, "key").parse().expect("a key");
    let note = Note::from_key(key).expect("88 keys");
    let sounding = sound(&spec, note.frequency(hertz(440.0))).expect("a string");
    [sounding.tension.value, sounding.inharmonicity.0, sounding.impedance.value, 1.0]
}

/// The script's course for one of its cases.
fn course(case: &Inputs) -> Course {
    let slopes = [(BREAK, [-0.01, 0.06, -0.04, 0.0]), (62, [0.005, 0.09, -0.03, 0.0])];
    let far = case.number("far");
    let mut places = Vec::new();
    let mut old_pull = 0.0;
    for (i, row) in rows(SCALE).iter().enumerate() {
        let strings: f64 = cell(row, "strings").parse().expect("a count");
        let old = figures(row, cell(row, "old"))[0];
        old_pull += strings * old;
        let candidates = cell(row, "options").split(' ').map(|option| {
            let figures = figures(row, option);
            Candidate {
                wire: usize::from(string(option).0),
                ln: figures.map(f64::ln),
                far: far * 100.0 * (figures[0] / old).ln().abs(),
                step: 0.0,
                pull: strings * figures[0],
                breach: [0.0; 4],
            }
        });
        let join = match slopes.iter().find(|(above, _)| *above == i) {
            _ if i == 0 => Join::Apart,
            Some((_, slope)) => Join::Break { slope: *slope },
            None => Join::Inside,
        };
        let wires = if i < BREAK { Wires::Single } else { Wires::Run };
        places.push(Place { join, wires, candidates: candidates.collect() });
    }
    stated(case, places, old_pull)
}

fn ours(case: &Inputs) -> (Course, Vec<usize>) {
    chosen(course(case))
}

/// The solver's choice, as indices into the strings of each note.
fn theirs(case: &Inputs) -> Vec<usize> {
    let chosen = case.text("choice").split(' ');
    let at = |(row, chosen): (&Vec<(&'static str, &'static str)>, &str)| {
        let mut options = cell(row, "options").split(' ');
        options.position(|option| option == chosen).expect("one of the strings")
    };
    rows(SCALE).iter().zip(chosen).map(at).collect()
}

type Column = (&'static str, Option<&'static str>, fn(&Inputs) -> f64);

const COLUMNS: [Column; 3] = [
    ("notes that get another string", Some("0"), |case| {
        let (_, ours) = ours(case);
        ours.iter().zip(theirs(case)).filter(|(ours, theirs)| **ours != *theirs).count() as f64
    }),
    ("objective of our choice", None, |case| {
        let (course, choice) = ours(case);
        course.terms(&choice).sum()
    }),
    ("objective of the solver's choice", None, |case| course(case).terms(&theirs(case)).sum()),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for row in rows(CASES) {
        let row: &'static [(&'static str, &'static str)] = row.leak();
        for (what, expected, ours) in COLUMNS {
            checks.push(Check {
                locator: format!("{}, {what}", cell(row, "case")).leak(),
                inputs: row,
                expected: expected.unwrap_or_else(|| cell(row, "objective")),
                unit: "",
                class: Class::Independent,
                allowed: Allowed::Absolute(1e-9),
                reason: "a sum of a few hundred terms of some percent each, added in another order",
                ours,
            });
        }
    }
    let citation =
        "integer programming with HiGHS by way of scipy, tests/bench/restring_milp_wound.py";
    Source::new("restring_milp_wound", citation, checks)
}
