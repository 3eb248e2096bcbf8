//! Tuning by ear: what must hold of it whatever the piano, and pianos that give it nothing to stand on.

use super::breaks_bad_input::{plain, survey, table, wound};
use super::breaks_survey::note;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use feltwire::document::{shapes, text};
use feltwire::instrument::belief::StringKind;
use feltwire::judgement::by_ear::rules;
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Cents, Note, Silent, hertz, to_hertz, to_newtons};
use feltwire::report::{self, Choices, Report, ScaleMore};
use feltwire::scale::Source;
use feltwire::scale::tuning::{
    Guided, Interval, OctaveKind, PARTIALS, SetBy, Tones, Tuning, stretch,
};
use feltwire::survey::{Known, Memory, read};

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

const UPRIGHT: [(&str, &str); 3] = [
    ("survey.toml", include_str!("../../examples/upright/survey.toml")),
    ("strings.csv", include_str!("../../examples/upright/strings.csv")),
    ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
];

fn build(files: &[(&str, &str)]) -> Report {
    let memory = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let limits = Limits::default();
    let names: Vec<&str> = limits.iter().map(|limit| limit.name).collect();
    let survey =
        read(&memory, &Known { limits: &names }).unwrap_or_else(|faults| panic!("{faults:?}"));
    report::build(survey.instrument, survey.warnings, survey.hash, &Choices::default(), &Silent)
        .expect("nobody stops it")
}

fn beats(tuning: &Tuning, interval: Interval, low: Note) -> f64 {
    tuning.beats(interval, low).expect("both notes are tuned")
}

/// Strings without inharmonicity stand at equal temperament, whatever octaves are tuned by.
#[test]
fn harmonic_strings_are_not_stretched() {
    let tones = Tones::new(
        (1..=88).filter_map(Note::from_key).map(|n| (n, std::array::from_fn(|i| i as f64 + 1.0))),
    );
    let stretched = stretch(&tones, &rules(&Limits::default())).expect("every note is known");
    assert_eq!(stretched.len(), 88);
    assert!(stretched.iter().all(|(_, cents)| cents.0.abs() < 1e-10));
}

#[test]
fn octaves_are_clean_by_their_own_partials_and_the_fork_stands() {
    let report = build(&UPRIGHT);
    let tuning = &report.tuning;
    let a4 = tuning.note(Note::A4).expect("the fork");
    assert_eq!((a4.stretch, a4.by), (Cents(0.0), SetBy::Fork));
    let mut clean = 0;
    for region in &tuning.octaves {
        let by = match region.kind {
            OctaveKind::SixThree => Interval::Octave63,
            OctaveKind::FourTwo => Interval::Octave42,
            OctaveKind::TwoOne => Interval::Octave21,
            OctaveKind::SixThreeToFourTwo | OctaveKind::FourTwoToTwoOne => continue,
        };
        for low in region.lower.notes() {
            let by_octave = |n| tuning.note(n).is_some_and(|tuned| tuned.by == SetBy::Octave);
            if by_octave(low) || low.step(12).is_some_and(by_octave) {
                assert_abs_diff_eq!(beats(tuning, by, low), 0.0, epsilon = 1e-6);
                clean += 1;
            }
        }
    }
    assert!(clean > 50, "{clean} octaves");
    // Between two kinds an octave is wider than clean by one and narrower by the other.
    let between = note("A#2");
    let (six, four) =
        (beats(tuning, Interval::Octave63, between), beats(tuning, Interval::Octave42, between));
    assert!(six < 0.0 && four > 0.0, "{six} {four}");
    let steps: Vec<f64> = (37..49)
        .map(|key| {
            let sounds = |key| tuning.note(Note::from_key(key).expect("a key")).expect("tuned");
            to_hertz(sounds(key + 1).frequency) / to_hertz(sounds(key).frequency)
        })
        .collect();
    for step in &steps {
        assert_relative_eq!(*step, steps[0], max_relative = 1e-12);
    }
}

/// A string at T tuned by c cents stands at ((1 + B) 2^(c/600) - B) T: exact for a plain string, B of
/// a wound one is fitted. Nothing else in the scale moves.
#[test]
fn the_stretch_has_keys_of_its_own() {
    let report = build(&UPRIGHT);
    let mut seen = 0;
    for entry in &report.scale.notes {
        let (Some(string), Some(tuned)) = (&entry.string, report.tuning.note(entry.note)) else {
            continue;
        };
        assert_eq!(entry.frequency, entry.note.frequency(hertz(440.0)));
        let b = string.inharmonicity.value.0;
        let ratio = (1.0 + b) * (tuned.stretch.0 / 600.0).exp2() - b;
        let found =
            to_newtons(tuned.tension.expect("a tension")) / to_newtons(string.tension.value);
        let allowed = if entry.kind == Some(StringKind::Plain) { 1e-9 } else { 1e-5 };
        assert_relative_eq!(found, ratio, max_relative = allowed);
        assert_relative_eq!(
            to_hertz(tuned.frequency),
            to_hertz(entry.frequency) * (tuned.stretch.0 / 1200.0).exp2(),
            max_relative = 1e-12
        );
        seen += 1;
    }
    assert_eq!(seen, 88);
    let json: serde_json::Value =
        serde_json::from_str(&shapes::scale(&report, &ScaleMore::default())).expect("an object");
    let c8 = &json["notes"][87];
    let number = |key: &str| c8[key].as_f64().expect("a number");
    assert!(number("stretch_cents") > 10.0 && number("tension_stretched_n") > number("tension_n"));
}

/// A string misread by 20 mm (A#4 of the example) does not untune its octaves.
#[test]
fn a_reading_in_doubt_takes_its_tones_from_its_neighbours() {
    let report = build(&UPRIGHT);
    assert_eq!(report.off_trend.len(), 1);
    let cents = |name| report.tuning.note(note(name)).expect("tuned").stretch.0;
    for (low, middle, high) in [("A4", "A#4", "B4"), ("A5", "A#5", "B5"), ("A6", "A#6", "B6")] {
        let off = cents(middle) - f64::midpoint(cents(low), cents(high));
        assert!(off.abs() < 0.5, "{middle}: {off}");
    }
}

const ONE_KIND: &str = "[limits]\noctaves_63_to = 0\noctaves_42_from = 0\noctaves_42_to = 100\n\
                        octaves_21_from = 101\n";

/// Two sections, the upper `shorter` times as long as the curve would have it.
fn stepped(shorter: f64, limits: &str) -> Report {
    let step = note("F3");
    let rows = table("A0", "C8", |n| Some(if n < note("E2") { wound(n, 2) } else { plain() }));
    let rows: String = rows
        .lines()
        .map(|line| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if Note::parse(&cells[0]).is_ok_and(|n| n >= step)
                && let Ok(length) = cells[2].parse::<f64>()
            {
                cells[2] = format!("{:.1}", shorter * length);
            }
            cells.join(",") + "\n"
        })
        .collect();
    let text = survey(&[("bass", "A0", "D#2"), ("low tenor", "E2", "E3"), ("tenor", "F3", "C8")]);
    build(&[("survey.toml", &(text + limits)), ("strings.csv", &rows)])
}

fn at_the_step(report: &Report) -> &Guided {
    let found = report.breaks.iter().find(|found| found.place.above == note("F3"));
    let heard = &found.expect("the break at F3").by_ear;
    heard.guided.as_ref().unwrap_or_else(|why| panic!("{why:?}"))
}

/// The tables' lengths run 860 to 871 mm below F3 and 930 mm there: 0.925 of that goes on smoothly.
/// Cut to 0.70, B goes as 1/(T L²) and T as L²: (0.925/0.70)⁴ = 3 times as much. Thirds, octaves and
/// compromise all suffer, here and not inside the sections.
#[test]
fn a_step_that_was_put_in_is_heard() {
    let (smooth, rough) = (stepped(0.925, ""), stepped(0.70, ""));
    let (smooth, rough) = (at_the_step(&smooth), at_the_step(&rough));
    let parts = |guided: &Guided, inside: bool| {
        let yardstick = guided.inside.expect("long sections");
        if inside {
            let (guides, octaves) = yardstick.compromise;
            return [yardstick.octaves_clean, yardstick.guides_even, guides, octaves];
        }
        let (guides, octaves) = (guided.compromise.guides.rms, guided.compromise.octaves.rms);
        [guided.octaves_clean.guides.rms, guided.guides_even.octaves.rms, guides, octaves]
    };
    for i in 0..4 {
        let (smooth_there, rough_there) = (parts(smooth, false)[i], parts(rough, false)[i]);
        assert!(rough_there > 2.0 * smooth_there, "{i}: {rough_there} {smooth_there}");
        assert!(rough_there > 1.5 * parts(rough, true)[i], "{i}: {rough:?}");
        assert!(smooth_there < 1.5 * parts(smooth, true)[i], "{i}: {smooth:?}");
    }
    // Each extreme keeps its own clean; the compromise gives up a part of both.
    assert!(rough.octaves_clean.octaves.rms < 1e-9 && rough.guides_even.guides.rms < 1e-9);
    assert!(rough.compromise.guides.rms < 0.7 * rough.octaves_clean.guides.rms);
    assert!(rough.compromise.octaves.rms < 0.7 * rough.guides_even.octaves.rms);
}

/// The compromise against its own definition, reckoned from frequencies: no note moved either way
/// makes the squares less.
#[test]
fn no_other_compromise_is_better() {
    let report = stepped(0.75, ONE_KIND);
    let tuning = &report.tuning;
    assert_eq!(tuning.octaves.len(), 1, "4:2 throughout");
    let guided = at_the_step(&report);
    let lows: Vec<Note> = guided.course.iter().map(|one| one.low).collect();
    assert_eq!((lows[0], lows.len()), (note("A2"), 12));
    let squares = |moved: &[(Note, Cents)]| {
        let by = |n: Note| moved.iter().find(|(m, _)| *m == n).map_or(0.0, |(_, cents)| cents.0);
        let partial = |n: Note, i: usize| {
            to_hertz(tuning.partial(n, i).expect("tuned")) * (by(n) / 1200.0).exp2()
        };
        let octaves: f64 = (1..=76)
            .filter_map(Note::from_key)
            .map(|low| (low, low.step(12).expect("an octave up")))
            .filter(|(low, high)| moved.iter().any(|(m, _)| m == low || m == high))
            .map(|(low, high)| (partial(high, 2) - partial(low, 4)).powi(2))
            .sum();
        let thirds: Vec<(f64, f64)> = lows
            .iter()
            .enumerate()
            .map(|(i, low)| {
                let away = i as f64 - 5.5;
                let high = low.step(4).expect("a third up");
                (away, (partial(high, 4) - partial(*low, 5)) / (away / 12.0).exp2())
            })
            .collect();
        octaves + off_a_parabola(&thirds)
    };
    let best = squares(&guided.moved);
    for i in 0..guided.moved.len() {
        for by in [-0.02, 0.02] {
            let mut other = guided.moved.clone();
            other[i].1.0 += by;
            assert!(squares(&other) > best, "{} by {by}", other[i].0);
        }
    }
    let thirds_left = guided.compromise.guides.rms.powi(2) * lows.len() as f64;
    assert!(0.0 < thirds_left && thirds_left < best, "{thirds_left} of {best}");
}

/// Sum of squares off the least-squares parabola, by Gram and Schmidt.
fn off_a_parabola(points: &[(f64, f64)]) -> f64 {
    let mut left: Vec<f64> = points.iter().map(|(_, y)| *y).collect();
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for power in 0..3 {
        let mut next: Vec<f64> = points.iter().map(|(x, _)| x.powi(power)).collect();
        for known in &basis {
            let along: f64 = next.iter().zip(known).map(|(a, b)| a * b).sum();
            next.iter_mut().zip(known).for_each(|(value, unit)| *value -= along * unit);
        }
        let length = next.iter().map(|value| value * value).sum::<f64>().sqrt();
        for value in &mut next {
            *value /= length;
        }
        let along: f64 = left.iter().zip(&next).map(|(a, b)| a * b).sum();
        left.iter_mut().zip(&next).for_each(|(value, unit)| *value -= along * unit);
        basis.push(next);
    }
    left.iter().map(|value| value * value).sum()
}

/// Everything is said, and every figure is one: JSON refuses what is no number.
fn all_said(report: &Report) -> String {
    assert!(shapes::scale(report, &ScaleMore::default()).contains("tension_stretched_n"));
    assert!(shapes::breaks(report).contains("by_ear"));
    let text = text::breaks(report, true);
    let titles = text.matches("What the tuner will hear at the break").count();
    assert_eq!(titles, report.breaks.len());
    text
}

#[test]
fn without_the_fork_there_is_no_tuning_but_a_sentence() {
    let rows = table("A0", "E3", |n| Some(wound(n, if n < note("G1") { 1 } else { 2 })));
    let report =
        build(&[("survey.toml", &survey(&[("bass", "A0", "E3")])), ("strings.csv", &rows)]);
    let text = all_said(&report);
    assert!(text.contains("it starts at A4"), "{text}");
    assert!(report.tuning.notes.iter().all(|entry| entry.tuned.is_none()));
    assert_eq!(report.missing().filter(|missing| missing.result == "stretch_cents").count(), 1);
    // The rest of the report is whole.
    assert!(report.scale.notes.iter().all(|entry| entry.string.is_some()));
    assert!(text.contains("tension per string steps"));
}

#[test]
fn a_section_of_one_note_and_breaks_two_notes_apart() {
    let rows = table("A1", "C6", |n| Some(if n < note("F3") { wound(n, 2) } else { plain() }));
    for sections in [
        [("bass", "A1", "E3"), ("odd", "F3", "F3"), ("tenor", "F#3", "C6")],
        [("bass", "A1", "D#3"), ("two", "E3", "F3"), ("tenor", "F#3", "C6")],
    ] {
        let report = build(&[("survey.toml", &survey(&sections)), ("strings.csv", &rows)]);
        let text = all_said(&report);
        assert!(report.breaks[0].place.is_zone());
        let guided = report.breaks[0].by_ear.guided.as_ref().expect("every note is known");
        assert!(guided.course.len() > 12 && guided.compromise.guides.rms.is_finite());
        assert!(text.contains("octaves kept clean: thirds beat"), "{text}");
    }
}

#[test]
fn a_break_at_the_end_of_the_compass_has_too_few_thirds() {
    let rows = table("F3", "C6", |_| Some(plain()));
    let sections = [("tenor", "F3", "B5"), ("last", "C6", "C6")];
    let report = build(&[("survey.toml", &survey(&sections)), ("strings.csv", &rows)]);
    let text = all_said(&report);
    assert!(text.contains("no thirds above this break are known"), "{text}");
    assert!(report.tuning.note(note("C6")).is_some());
}

/// Nothing read below: the bass has no tones, the tenor is tuned all the same.
#[test]
fn notes_unknown_are_gaps_and_the_rest_is_tuned() {
    let rows = table("A1", "C6", |n| (n >= note("F3")).then(plain));
    let sections = [("bass", "A1", "E3"), ("tenor", "F3", "C6")];
    let report = build(&[("survey.toml", &survey(&sections)), ("strings.csv", &rows)]);
    let text = all_said(&report);
    for entry in &report.tuning.notes {
        assert_eq!(entry.tuned.is_some(), entry.note >= note("F3"), "{}", entry.note);
    }
    assert!(text.contains("no thirds below this break are known"), "{text}");
    let missing: Vec<_> =
        report.tuning.missing.iter().map(|missing| format!("{:?}", missing.why)).collect();
    assert_eq!(missing.len(), 1);
    assert!(missing[0].contains(&format!("{:?}", note("A1"))), "{missing:?}");
}

/// Where the winding ends is not known between C#5 and F5: the octave above hangs on its neighbours.
#[test]
fn a_gap_is_bridged_by_neighbours_and_said() {
    let rows = table("A1", "C8", |n| match n {
        n if n <= note("C#5") => Some((3, 1.0, Some(1.4))),
        n if n >= note("F5") => Some(plain()),
        _ => None,
    });
    let report = build(&[("survey.toml", &survey(&[("all", "A1", "C8")])), ("strings.csv", &rows)]);
    all_said(&report);
    let by = |name: &str| report.tuning.note(note(name)).map(|tuned| tuned.by);
    let source = |name: &str| report.scale.note(note(name)).expect("in the compass").source;
    assert_eq!(source("D5"), Source::Unknown);
    assert_eq!(by("D5"), None);
    assert_eq!(by("D6"), Some(SetBy::Neighbours));
    assert_eq!(by("D7"), Some(SetBy::Octave));
    let (low, high) = (report.tuning.note(note("C#6")), report.tuning.note(note("F6")));
    let between = report.tuning.note(note("D#6")).expect("tuned").stretch;
    let (low, high) = (low.expect("tuned").stretch, high.expect("tuned").stretch);
    assert_abs_diff_eq!(between.0, f64::midpoint(low.0, high.0), epsilon = 1e-9);
}

#[test]
fn hardly_anything_read_is_no_fault() {
    let rows = table("A1", "C6", |n| (n == note("A1")).then(|| wound(n, 2)));
    let sections = [("bass", "A1", "E3"), ("tenor", "F3", "C6")];
    let report = build(&[("survey.toml", &survey(&sections)), ("strings.csv", &rows)]);
    assert!(all_said(&report).contains("it starts at A4"));
}

/// High in the treble neither thirds nor tenths can be followed.
#[test]
fn beats_too_fast_to_follow_are_not_judged() {
    let rows = table("F3", "C8", |_| Some(plain()));
    let sections = [("tenor", "F3", "E6"), ("treble", "F6", "C8")];
    let text = survey(&sections) + "[limits]\nbeats_followed = 10\n";
    let report = build(&[("survey.toml", &text), ("strings.csv", &rows)]);
    let text = all_said(&report);
    assert!(text.contains("faster than can be followed"), "{text}");
    assert!(text.contains("octaves by 4:2 are wider than by 2:1"), "{text}");
    assert_eq!(PARTIALS, 8);
}
