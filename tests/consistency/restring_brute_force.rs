//! The search for wire sizes against brute force: every choice of small random scales is tried, by rules and an
//! objective written here from their definition, and the best of them must be the one that the search finds.

use feltwire::measure::{Input, Silent};
use feltwire::order::strings::{
    Best, Bound, Candidate, Course, FIGURES, Join, NoChoice, Place, Refusal, Relaxation, Rules,
    Weights, Wires, best,
};
use rand::RngExt as _;

/// The order of adding must not decide: a few dozen terms of some tens of percent.
const SUMS: f64 = 1e-9;

/// The objective, from its definition: written without a look at how the library adds it.
pub fn objective(course: &Course, choice: &[usize]) -> f64 {
    let at = |i: usize| &course.places[i].candidates[choice[i]];
    let weights = course.weights;
    let mut sum = 0.0;
    for i in 0..choice.len() {
        sum += at(i).far + at(i).step;
    }
    for i in 1..choice.len() {
        if at(i).wire != at(i - 1).wire && together(course, i) {
            sum += weights.size;
        }
        for q in 0..FIGURES {
            let first = 100.0 * (at(i).ln[q] - at(i - 1).ln[q]);
            if let Join::Break { slope } = course.places[i].join {
                sum += weights.steps[q] * (first - 100.0 * slope[q]).abs();
            }
            let inside = course.places[i].join == Join::Inside;
            if i + 1 < choice.len() && inside && course.places[i + 1].join == Join::Inside {
                let second = 100.0 * (at(i + 1).ln[q] - at(i).ln[q]) - first;
                sum += weights.even[q] * second.abs();
            }
        }
    }
    sum
}

/// Whether place `i` is in one stretch of runs with the place below it.
fn together(course: &Course, i: usize) -> bool {
    course.places[i].wires == Wires::Run && course.places[i - 1].wires != Wires::Single
}

/// The wires of a choice, stretch by stretch; strings made singly are left out.
fn stretches(course: &Course, choice: &[usize]) -> Vec<Vec<usize>> {
    let mut stretches: Vec<Vec<usize>> = Vec::new();
    for (i, place) in course.places.iter().enumerate() {
        let wire = place.candidates[choice[i]].wire;
        if place.wires == Wires::Single {
            continue;
        }
        match stretches.last_mut() {
            Some(stretch) if i > 0 && together(course, i) => stretch.push(wire),
            _ => stretches.push(vec![wire]),
        }
    }
    stretches
}

/// Whether a choice keeps every rule and limit.
pub fn keeps(course: &Course, choice: &[usize]) -> bool {
    let stretches = stretches(course, choice);
    let runs = stretches.iter().all(|wires| {
        let fewest = course.rules.fewest_in_run.min(wires.len());
        wires.chunk_by(|a, b| a == b).all(|run| run.len() >= fewest)
    });
    let falls = |wires: &Vec<usize>| wires.windows(2).all(|w| w[0] >= w[1]);
    let order = !course.rules.never_thinner_down || stretches.iter().all(falls);
    let bounds = choice
        .iter()
        .zip(&course.places)
        .all(|(c, place)| place.candidates[*c].breach.iter().all(|breach| *breach == 0.0));
    let pull: f64 =
        choice.iter().zip(&course.places).map(|(c, place)| place.candidates[*c].pull).sum();
    runs && order && bounds && course.most_pull.is_none_or(|most| pull <= most * (1.0 + 1e-10))
}

/// Every choice, least objective first.
fn every_choice(course: &Course) -> Vec<(f64, Vec<usize>)> {
    let mut choices: Vec<Vec<usize>> = vec![Vec::new()];
    for place in &course.places {
        choices = choices
            .into_iter()
            .flat_map(|choice| {
                (0..place.candidates.len()).map(move |c| {
                    let mut longer = choice.clone();
                    longer.push(c);
                    longer
                })
            })
            .collect();
    }
    let mut kept: Vec<(f64, Vec<usize>)> = choices
        .into_iter()
        .filter(|choice| keeps(course, choice))
        .map(|choice| (objective(course, &choice), choice))
        .collect();
    kept.sort_by(|a, b| a.0.total_cmp(&b.0));
    kept
}

/// A course of random numbers: nothing in it but what the search is told.
fn random_course(draw: u64) -> Course {
    let mut stream = Input::new(7, "random courses").draw(draw);
    let places = stream.random_range(3..=6);
    let wires = stream.random_range(2..=4);
    let figures = |stream: &mut feltwire::measure::Stream, most: f64| -> [f64; FIGURES] {
        std::array::from_fn(|_| stream.random_range(-most..most))
    };
    let places = (0..places)
        .map(|i| Place {
            join: match stream.random_range(0..6) {
                _ if i == 0 => Join::Apart,
                0 => Join::Apart,
                1 => Join::Break { slope: figures(&mut stream, 0.05) },
                _ => Join::Inside,
            },
            // Every other course has strings made singly and runs that begin anew.
            wires: match stream.random_range(0..6) {
                0 if draw % 2 == 1 => Wires::Single,
                1 if draw % 2 == 1 => Wires::Anew,
                _ => Wires::Run,
            },
            candidates: (0..wires)
                .flat_map(|wire| std::iter::repeat_n(wire, 1 + usize::from(draw % 3 == 2)))
                .map(|wire| {
                    let mut breach = [0.0; 4];
                    if stream.random_bool(0.1) {
                        breach[stream.random_range(0..4)] = stream.random_range(0.1..5.0);
                    }
                    Candidate {
                        wire,
                        ln: figures(&mut stream, 0.3),
                        far: stream.random_range(0.0..10.0),
                        step: stream.random_range(0.0..3.0),
                        pull: stream.random_range(600.0..900.0),
                        breach,
                    }
                })
                .collect(),
        })
        .collect();
    let weight = |stream: &mut feltwire::measure::Stream| -> [f64; FIGURES] {
        std::array::from_fn(|_| stream.random_range(0.0..1.0))
    };
    Course {
        places,
        weights: Weights {
            even: weight(&mut stream),
            steps: weight(&mut stream),
            size: stream.random_range(0.0..5.0),
        },
        rules: Rules {
            fewest_in_run: stream.random_range(1..=4),
            never_thinner_down: stream.random_bool(0.5),
        },
        most_pull: None,
    }
}

/// A scale of plain wire: lengths near those of pianos, sizes of the trade, figures by the textbook.
fn random_scale(draw: u64) -> Course {
    let mut stream = Input::new(7, "random scales").draw(draw);
    let notes = stream.random_range(4..=6_usize);
    let key = stream.random_range(25..=80_i32);
    // Every half size from No. 13 to 20½ lies 0.001 in apart (Machinery's Handbook, 2012).
    let thinnest = stream.random_range(31..=42_i32);
    let sizes = stream.random_range(3..=4_i32);
    let (density, modulus) = (7850.0, 202e9);
    let mut length = 0.051 * 2_f64.powf(f64::from(88 - key) / 12.0 * 0.93);
    let old = stream.random_range(0..sizes);
    let mut places = Vec::new();
    for i in 0..notes {
        let frequency = 440.0 * 2_f64.powf((f64::from(key) + i as f64 - 49.0) / 12.0);
        length *= 2_f64.powf(-0.93 / 12.0) * stream.random_range(0.99..1.01);
        let figures = |size: i32| -> (f64, [f64; FIGURES]) {
            let d = f64::from(thinnest + size) * 25.4e-6;
            let mass = density * std::f64::consts::PI / 4.0 * d * d;
            let bending = modulus * std::f64::consts::PI / 64.0 * d.powi(4);
            let stiff = std::f64::consts::PI.powi(2) * bending / (length * length);
            let tension = 4.0 * (length * frequency).powi(2) * mass - stiff;
            (tension, [tension, stiff / tension, (tension * mass).sqrt(), 1.0].map(f64::ln))
        };
        let target = figures(old).0;
        let count = stream.random_range(1..=3_u8);
        let slope = [-0.02, 0.08, -0.03, 0.0];
        places.push(Place {
            join: if i == 0 {
                Join::Apart
            } else if stream.random_bool(0.2) {
                Join::Break { slope }
            } else {
                Join::Inside
            },
            wires: Wires::Run,
            candidates: (0..sizes)
                .map(|size| {
                    let (tension, ln) = figures(size);
                    Candidate {
                        wire: usize::try_from(size).expect("a rank"),
                        ln,
                        far: 20.0 * (tension / target).ln().abs() * f64::from(count),
                        step: 0.0,
                        pull: f64::from(count) * tension,
                        breach: [0.0; 4],
                    }
                })
                .collect(),
        });
    }
    Course {
        places,
        weights: Weights {
            even: [1.0, stream.random_range(0.2..1.0), stream.random_range(0.2..1.0), 0.0],
            steps: [2.0, 1.0, 1.0, 0.0],
            size: stream.random_range(0.0..3.0),
        },
        rules: Rules {
            fewest_in_run: stream.random_range(1..=3),
            never_thinner_down: stream.random_bool(0.7),
        },
        most_pull: None,
    }
}

/// How a search compared with brute force.
#[derive(Default)]
pub struct Tally {
    pub same: usize,
    pub tied: usize,
    pub capped: usize,
    pub impossible: usize,
}

impl Tally {
    pub fn compare(&mut self, course: &Course, what: &str) {
        let every = every_choice(course);
        match best(course, &Silent) {
            Ok(Best { choice, .. }) => {
                assert!(keeps(course, &choice), "{what}: {choice:?} breaks a rule");
                let (least, first) = &every[0];
                let here = objective(course, &choice);
                let ours = course.terms(&choice).sum();
                assert!((here - ours).abs() < SUMS, "{what}: added up {ours}, by hand {here}");
                assert!((here - least).abs() < SUMS, "{what}: {here}, brute force {least}");
                if choice == *first {
                    self.same += 1;
                } else {
                    // Another choice of the same objective, to the rounding of the sum.
                    let tied =
                        every.iter().any(|(sum, other)| *other == choice && sum - least < SUMS);
                    assert!(tied, "{what}: {choice:?} is not among the best");
                    self.tied += 1;
                }
            }
            Err(NoChoice::Impossible(refusal)) => {
                assert!(every.is_empty(), "{what}: refused, but {:?} is possible", every[0]);
                check_refusal(course, &refusal, what);
                self.impossible += 1;
            }
            Err(NoChoice::Stopped) => panic!("nobody stopped it"),
        }
    }

    /// Once without a cap, then with one that cuts off the best choice, and with one that nothing keeps.
    pub fn with_caps(&mut self, mut course: Course, what: &str) {
        self.compare(&course, what);
        let every = every_choice(&course);
        let Some((_, first)) = every.first() else { return };
        let pull = course.pull(first);
        let least =
            every.iter().map(|(_, choice)| course.pull(choice)).fold(f64::INFINITY, f64::min);
        for share in [0.9, 0.5, 0.1, 0.0] {
            course.most_pull = Some(least + share * (pull - least));
            self.compare(&course, &format!("{what}, cap at {share}"));
            self.capped += 1;
        }
        course.most_pull = Some(0.99 * least);
        self.compare(&course, &format!("{what}, cap below all"));
    }
}

/// Each single relaxation must help, and a smaller one must not: by brute force.
fn check_refusal(course: &Course, refusal: &Refusal, what: &str) {
    assert!(
        !refusal.alone.is_empty() || !refusal.together.is_empty(),
        "{what}: no way out is named"
    );
    for relaxation in &refusal.alone {
        let relaxed = relaxed(course, std::slice::from_ref(relaxation), 0.0);
        assert!(!every_choice(&relaxed).is_empty(), "{what}: {relaxation:?} does not help");
        if let Relaxation::Bound { .. } | Relaxation::Pull { .. } = relaxation {
            let less = self::relaxed(course, std::slice::from_ref(relaxation), 1e-6);
            assert!(every_choice(&less).is_empty(), "{what}: less than {relaxation:?} helps");
        }
        if let Relaxation::Run { fewest } = relaxation {
            let longer = Relaxation::Run { fewest: fewest + 1 };
            let longer = self::relaxed(course, std::slice::from_ref(&longer), 0.0);
            assert!(every_choice(&longer).is_empty(), "{what}: longer runs than {fewest} help");
        }
    }
    if refusal.alone.is_empty() {
        let relaxed = relaxed(course, &refusal.together, 0.0);
        assert!(!every_choice(&relaxed).is_empty(), "{what}: {:?}", refusal.together);
    }
}

/// `course` with limits relaxed by what is named, less a share `short` of it.
fn relaxed(course: &Course, relaxations: &[Relaxation], short: f64) -> Course {
    let mut course = course.clone();
    for relaxation in relaxations {
        match relaxation {
            Relaxation::Bound { bound, by, .. } => {
                let index = Bound::ALL.iter().position(|b| b == bound).expect("a bound");
                for place in &mut course.places {
                    for candidate in &mut place.candidates {
                        if candidate.breach[index] <= by * (1.0 - short) {
                            candidate.breach[index] = 0.0;
                        }
                    }
                }
            }
            Relaxation::Run { fewest } => course.rules.fewest_in_run = *fewest,
            Relaxation::Order => course.rules.never_thinner_down = false,
            Relaxation::Pull { pull, .. } => course.most_pull = Some(pull * (1.0 - short)),
        }
    }
    course
}

#[test]
fn random_courses_are_solved_as_brute_force_solves_them() {
    let mut tally = Tally::default();
    for draw in 0..120 {
        tally.with_caps(random_course(draw), &format!("course {draw}"));
    }
    assert!(tally.same >= 300 && tally.capped >= 200, "{} {}", tally.same, tally.capped);
    assert!(tally.impossible >= 60, "{}", tally.impossible);
    // Random numbers do not tie.
    assert_eq!(tally.tied, 0);
}

#[test]
fn random_scales_are_solved_as_brute_force_solves_them() {
    let mut tally = Tally::default();
    for draw in 0..80 {
        tally.with_caps(random_scale(draw), &format!("scale {draw}"));
    }
    assert!(tally.same + tally.tied >= 300 && tally.capped >= 300, "{}", tally.same);
    assert!(tally.impossible >= 80, "{}", tally.impossible);
}

/// When the target is a scale that stock holds and nothing else counts, that scale comes back.
#[test]
fn a_scale_that_is_its_own_target_comes_back() {
    for draw in 0..60 {
        let mut course = random_scale(draw);
        let mut stream = Input::new(7, "copies").draw(draw);
        let sizes = course.places[0].candidates.len();
        let old: Vec<usize> = course.places.iter().map(|_| stream.random_range(0..sizes)).collect();
        course.weights = Weights { even: [0.0; FIGURES], steps: [0.0; FIGURES], size: 0.0 };
        course.rules = Rules { fewest_in_run: 1, never_thinner_down: false };
        for (place, old) in course.places.iter_mut().zip(&old) {
            let target = place.candidates[*old].ln[0];
            for candidate in &mut place.candidates {
                candidate.far = 100.0 * (candidate.ln[0] - target).abs();
            }
        }
        course.most_pull = Some(course.pull(&old));
        let found = best(&course, &Silent).expect("the old scale is possible");
        assert_eq!(found.choice, old);
        assert_eq!(course.terms(&found.choice).sum().to_bits(), 0.0_f64.to_bits());
    }
}

#[test]
fn an_empty_course_has_an_empty_choice() {
    let course = Course {
        places: Vec::new(),
        weights: Weights { even: [1.0; FIGURES], steps: [1.0; FIGURES], size: 1.0 },
        rules: Rules { fewest_in_run: 3, never_thinner_down: true },
        most_pull: Some(0.0),
    };
    assert_eq!(best(&course, &Silent).expect("nothing to choose").choice, Vec::<usize>::new());
}

#[test]
fn a_note_without_any_candidate_is_named() {
    let mut course = random_scale(3);
    course.places[2].candidates.clear();
    let Err(NoChoice::Impossible(refusal)) = best(&course, &Silent) else {
        panic!("nothing can be had for that note")
    };
    assert_eq!(refusal.nothing_for, [2]);
}
