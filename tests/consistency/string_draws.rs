//! The scale drawn again and again: against first order, against full solves, and the same whatever the
//! number of threads.

use crate::strings_survey::{computed, instrument, of_files};
use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::measure::{Silent, Stopped, Watch, to_newtons};
use feltwire::physics::sound;
use feltwire::scale::draws::{Draws, Wanted, draw, of_note, together};
use feltwire::scale::{Scale, Source};

fn upright() -> Instrument {
    of_files(&[
        ("survey.toml", include_str!("../../examples/upright/survey.toml")),
        ("strings.csv", include_str!("../../examples/upright/strings.csv")),
        ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
    ])
}

fn drawn(instrument: &Instrument, belief: &Belief, scale: &Scale, draws: usize) -> Draws {
    let wanted = Wanted::of_readings(draws);
    draw(instrument, belief, scale, wanted, &Silent).expect("nobody stops it")
}

/// Every figure whose readings are given: the deviation of 10 000 draws is the first-order one.
#[test]
fn draws_spread_as_first_order_says_wherever_readings_are_given() {
    let instrument = upright();
    let (belief, scale) = computed(&instrument);
    let draws = drawn(&instrument, &belief, &scale, 10_000);
    let mut checked = 0;
    for entry in scale.notes.iter().filter(|entry| entry.source == Source::Measured) {
        let string = entry.string.as_ref().expect("read");
        let drawn = draws.note(entry.note).expect("drawn");
        assert_eq!(drawn.impossible, 0);
        let load = string.load.expect("of the series");
        let mut pairs = vec![
            ("tension", string.tension.sd.value, drawn.tension.sd.value),
            ("load", load.sd, drawn.load.expect("of the series").sd),
        ];
        if !string.bare_ends_assumed {
            pairs.push(("B", string.inharmonicity.sd, drawn.inharmonicity.sd.0));
        }
        for (what, said, seen) in pairs {
            // Four standard errors of a deviation from 10 000 draws are 2.8 %.
            assert!((seen / said - 1.0).abs() < 0.03, "{} {what}: {said} {seen}", entry.note);
            checked += 1;
        }
    }
    assert!(checked > 200, "{checked}");
    let total = draws.total.expect("all strings");
    let said = scale.totals.tension;
    assert!((total.sd.value / said.sd.value - 1.0).abs() < 0.03);
    assert!((to_newtons(total.mean) / to_newtons(said.value) - 1.0).abs() < 1e-3);
}

/// Between readings too, where notes lean on the same ones: the total of a sparse survey.
#[test]
fn the_total_of_a_sparse_survey_spreads_as_first_order_says() {
    let rows = "note,strings,length_mm,core_mm,over_mm\nA0,1,1150,1.4,6.2\nG1,1,1080,1.3,4.4\nE2,2,990,1.15,2.6\n\
        F2,2,1050,1.05,\nC4,3,620,1.0,\nC5,3,330,0.95,\nC6,3,175,0.875,\nC8,3,51,0.8,\n";
    let instrument = instrument("", rows);
    let (belief, scale) = computed(&instrument);
    let draws = drawn(&instrument, &belief, &scale, 10_000);
    let total = draws.total.expect("all strings");
    let said = scale.totals.tension.sd.value;
    // Wide enough for the squares of the doubts to show: 5 %.
    assert!((total.sd.value / said - 1.0).abs() < 0.05, "{} {said}", total.sd.value);
}

/// 200 draws of every string: from the shapes of the nominal string, and solved in full.
#[test]
fn draws_are_what_full_solutions_give() {
    let instrument = upright();
    let (belief, _) = computed(&instrument);
    let (mut strings, mut worst) = (0, [0.0_f64; 2]);
    for believed in &belief.notes {
        let pitch = believed.note.frequency(instrument.pitch);
        let draws = of_note(&instrument, &belief, believed, Wanted::of_readings(200));
        for drawn in draws.expect("a string").into_iter().map(|drawn| drawn.expect("a string")) {
            let full = sound(&drawn.spec, pitch).expect("a string");
            let off = [
                (drawn.tension / full.tension).value - 1.0,
                drawn.inharmonicity.0 / full.inharmonicity.0 - 1.0,
            ];
            worst = [0, 1].map(|i| worst[i].max(off[i].abs()));
            strings += 1;
        }
    }
    assert_eq!(strings, 88 * 200);
    // The last step of Newton's leaves the square of 1e-5 in w², and of it the slope over n² makes B.
    assert!(worst[0] < 1e-9 && worst[1] < 1e-5, "{worst:?}");
}

/// What is drawn for all notes at once, on however many threads, is what each note gives by itself.
#[test]
fn each_note_alone_is_drawn_as_it_is_among_the_others() {
    let instrument = upright();
    let (belief, scale) = computed(&instrument);
    let draws = drawn(&instrument, &belief, &scale, 300);
    for believed in &belief.notes {
        let alone = of_note(&instrument, &belief, believed, Wanted::of_readings(300));
        let alone = together(believed.note, &alone.expect("a string"));
        assert_eq!(alone.as_ref(), draws.note(believed.note));
    }
    let other = Wanted { seed: 2, ..draws.wanted };
    let other = draw(&instrument, &belief, &scale, other, &Silent).expect("nobody stops it");
    assert_ne!(other.total, draws.total);
}

#[cfg(feature = "parallel")]
#[test]
fn the_number_of_threads_changes_nothing() {
    let instrument = upright();
    let (belief, scale) = computed(&instrument);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool");
        pool.install(|| drawn(&instrument, &belief, &scale, 300))
    };
    let one = on(1);
    for threads in [2, 3, 8] {
        assert_eq!(on(threads), one, "{threads}");
    }
}

struct Impatient;

impl Watch for Impatient {
    fn progress(&self, _: &'static str, _: usize, _: usize) {}
    fn stop(&self) -> bool {
        true
    }
}

#[test]
fn draws_can_be_stopped() {
    let instrument = upright();
    let (belief, scale) = computed(&instrument);
    let stopped = draw(&instrument, &belief, &scale, Wanted::of_readings(100), &Impatient);
    assert_eq!(stopped.expect_err("stopped"), Stopped);
}
