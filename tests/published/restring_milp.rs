//! Wire sizes of 88 notes by integer programming (`HiGHS` by way of scipy), from
//! `tests/bench/restring_milp.py`: the choices compared note by note, and each objective added up again
//! from its choice by `Course::terms`.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use crate::hammer_table::rows;
use feltwire::measure::{Note, Silent, gpa, hertz, inches, kg_per_m3, mm};
use feltwire::order::strings::{Candidate, Course, Join, Place, Rules, Weights, Wires, best};
use feltwire::physics::string::Elastic;
use feltwire::physics::{StringSpec, core::Core, sound};

/// Wire in the script's order: halves of 0.001 in, thinnest first.
const THOUSANDTHS: std::ops::RangeInclusive<u16> = 30..=48;

/// The script's course for one of its cases.
fn course(case: &Inputs) -> Course {
    let slopes = [(29, [-0.01, 0.06, -0.04, 0.0]), (62, [0.005, 0.09, -0.03, 0.0])];
    let far = case.number("far");
    let mut places = Vec::new();
    let mut old_pull = 0.0;
    for (i, row) in rows(include_str!("../bench/restring_milp_scale.csv")).iter().enumerate() {
        let cell = |name| -> f64 {
            let text = row.iter().find(|cell| cell.0 == name).expect("a column").1;
            text.parse().expect("a number")
        };
        let note = Note::from_key(cell("key") as u8).expect("88 keys");
        let strings = cell("strings");
        let figures = |diameter: f64| -> [f64; 4] {
            let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
            let core = Core::Round { diameter: inches(diameter) };
            let spec = StringSpec::plain(mm(cell("length_mm")), core, steel);
            let sounding = sound(&spec, note.frequency(hertz(440.0))).expect("a string");
            [sounding.tension.value, sounding.inharmonicity.0, sounding.impedance.value, 1.0]
        };
        let old = figures(cell("old_in"))[0];
        old_pull += strings * old;
        let candidate = |(wire, thousandths): (usize, u16)| {
            let figures = figures(f64::from(thousandths) / 1000.0);
            Candidate {
                wire,
                ln: figures.map(f64::ln),
                far: far * 100.0 * (figures[0] / old).ln().abs(),
                step: 0.0,
                pull: strings * figures[0],
                breach: [0.0; 4],
            }
        };
        let join = match slopes.iter().find(|(above, _)| *above == i) {
            _ if i == 0 => Join::Apart,
            Some((_, slope)) => Join::Break { slope: *slope },
            None => Join::Inside,
        };
        let candidates = THOUSANDTHS.enumerate().map(candidate).collect();
        places.push(Place { join, wires: Wires::Run, candidates });
    }
    stated(case, places, old_pull)
}

/// The course of `places` by the weights and rules that a case of the table states.
pub(crate) fn stated(case: &Inputs, places: Vec<Place>, old_pull: f64) -> Course {
    let weights = |of: &str| {
        let weight = |figure| case.number(&format!("{of}_{figure}"));
        [weight("t"), weight("b"), weight("z"), 0.0]
    };
    let share = case.text("share");
    Course {
        places,
        weights: Weights {
            even: weights("even"),
            steps: weights("steps"),
            size: case.number("size"),
        },
        rules: Rules {
            fewest_in_run: case.number("fewest") as usize,
            never_thinner_down: case.text("falling") == "1",
        },
        most_pull: (!share.is_empty()).then(|| case.number("share") * old_pull),
    }
}

fn ours(case: &Inputs) -> (Course, Vec<usize>) {
    chosen(course(case))
}

/// A course with our choice.
pub(crate) fn chosen(course: Course) -> (Course, Vec<usize>) {
    let choice = best(&course, &Silent).expect("a choice").choice;
    (course, choice)
}

fn theirs(case: &Inputs) -> Vec<usize> {
    let rank =
        |cell: &str| cell.parse::<usize>().expect("a size") - usize::from(*THOUSANDTHS.start());
    case.text("choice_thousandths").split(' ').map(rank).collect()
}

/// Pull of all strings over that of the old ones, which the course's cap states as its share.
fn pull_share(case: &Inputs, course: &Course, choice: &[usize]) -> f64 {
    match course.most_pull {
        Some(most) => course.pull(choice) / most * case.number("share"),
        None => case.number("pull_share"),
    }
}

type Column = (&'static str, Option<&'static str>, fn(&Inputs) -> f64);

const COLUMNS: [Column; 4] = [
    ("notes that get another size", Some("0"), |case| {
        let (_, ours) = ours(case);
        ours.iter().zip(theirs(case)).filter(|(ours, theirs)| **ours != *theirs).count() as f64
    }),
    ("objective of our choice", None, |case| {
        let (course, choice) = ours(case);
        course.terms(&choice).sum()
    }),
    ("objective of the solver's choice", None, |case| course(case).terms(&theirs(case)).sum()),
    ("pull", Some("pull_share"), |case| {
        let (course, choice) = ours(case);
        pull_share(case, &course, &choice)
    }),
];

pub fn source() -> Source {
    let mut checks = Vec::new();
    for row in rows(include_str!("../bench/restring_milp_cases.csv")) {
        let row: &'static [(&'static str, &'static str)] = row.leak();
        let cell = |name| row.iter().find(|cell| cell.0 == name).expect("a column").1;
        for (what, expected, ours) in COLUMNS {
            checks.push(Check {
                locator: format!("{}, {what}", cell("case")).leak(),
                inputs: row,
                expected: match expected {
                    Some("0") => "0",
                    Some(name) => cell(name),
                    None => cell("objective"),
                },
                unit: "",
                class: Class::Independent,
                allowed: Allowed::Absolute(1e-9),
                reason: "a sum of a few hundred terms of some percent each, added in another order",
                ours,
            });
        }
    }
    let citation = "integer programming with HiGHS by way of scipy, tests/bench/restring_milp.py";
    Source::new("restring_milp", citation, checks)
}
