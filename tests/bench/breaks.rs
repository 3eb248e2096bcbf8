//! All breaks of 88 notes, their steps and grades, the tuning, its beats, and what is heard at each
//! break: from strings already computed. At most 20 ms.
//!
//! `cargo bench --no-default-features --bench breaks`

use divan::black_box;
use feltwire::instrument::Instrument;
use feltwire::instrument::belief::Belief;
use feltwire::judgement::breaks::{grade, tolerance};
use feltwire::judgement::by_ear::rules;
use feltwire::judgement::limit::Limits;
use feltwire::measure::Note;
use feltwire::scale::breaks::{BreakPlace, Series, find, jump, stands_out};
use feltwire::scale::tuning::{self, Interval, Rules, Tuning, by_ear};
use feltwire::scale::{Scale, compute};
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn main() {
    divan::main();
}

struct Piano {
    instrument: Instrument,
    belief: Belief,
    scale: Scale,
    limits: Limits,
    rules: Rules,
}

impl Piano {
    fn upright() -> Self {
        let files = [
            ("survey.toml", include_str!("../../examples/upright/survey.toml")),
            ("strings.csv", include_str!("../../examples/upright/strings.csv")),
            ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
        ];
        let memory = Memory::new(
            files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
        );
        let instrument = read(&memory, &Known::default()).expect("a survey").instrument;
        let belief = Belief::of(&instrument);
        let scale = compute(&instrument, &belief);
        assert!(scale.notes.len() == 88 && scale.notes.iter().all(|note| note.string.is_some()));
        let limits = Limits::default();
        Self { rules: rules(&limits), instrument, belief, scale, limits }
    }

    fn places(&self) -> Vec<BreakPlace> {
        find(&self.instrument, &self.belief, &self.scale)
    }

    fn doubtful(&self, places: &[BreakPlace]) -> Vec<Note> {
        let tolerance = tolerance(&self.limits);
        let off = stands_out(&self.instrument, &self.belief, &self.scale, places, tolerance);
        off.iter().map(|off| off.note).collect()
    }

    fn steps(&self, places: &[BreakPlace], doubtful: &[Note]) {
        for series in Series::of_scale(&self.instrument, &self.belief, &self.scale, doubtful) {
            for place in places {
                black_box(grade(&jump(place, &series), &self.limits));
            }
        }
    }

    fn tuning(&self, places: &[BreakPlace], doubtful: &[Note]) -> Tuning {
        let Self { instrument, belief, scale, rules, .. } = self;
        tuning::compute(instrument, belief, scale, places, doubtful, rules)
    }

    fn heard(&self, places: &[BreakPlace], tuning: &Tuning) {
        for note in &tuning.notes {
            for interval in Interval::ALL {
                black_box(tuning.beats(interval, note.note));
            }
        }
        for place in places {
            black_box(by_ear(tuning, &self.scale, place, &self.rules));
        }
    }
}

#[divan::bench]
fn breaks_tuning_and_beats(bencher: divan::Bencher) {
    let piano = Piano::upright();
    bencher.bench_local(|| {
        let places = piano.places();
        let doubtful = piano.doubtful(&places);
        piano.steps(&places, &doubtful);
        let tuning = piano.tuning(&places, &doubtful);
        piano.heard(&places, &tuning);
    });
}

#[divan::bench]
fn steps_alone(bencher: divan::Bencher) {
    let piano = Piano::upright();
    bencher.bench_local(|| {
        let places = piano.places();
        let doubtful = piano.doubtful(&places);
        piano.steps(&places, &doubtful);
    });
}

#[divan::bench]
fn tuning_alone(bencher: divan::Bencher) {
    let piano = Piano::upright();
    let places = piano.places();
    bencher.bench_local(|| piano.tuning(&places, &[]));
}

#[divan::bench]
fn beats_alone(bencher: divan::Bencher) {
    let piano = Piano::upright();
    let places = piano.places();
    let tuning = piano.tuning(&places, &[]);
    bencher.bench_local(|| piano.heard(&places, &tuning));
}
