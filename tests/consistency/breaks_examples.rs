//! Breaks and readings that stand out in the surveys of `examples/`, and in variations of them.

use super::breaks_survey::{Piano, note};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use feltwire::instrument::About;
use feltwire::judgement::breaks::{Grade, grade, measure_again};
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Note, to_metres, to_mm, to_newtons};
use feltwire::scale::breaks::{
    Outcome, Per, Point, Quantity, Reading, Reason, Series, half_sizes, jump, roughness,
};

const UPRIGHT: [(&str, &str); 3] = [
    ("survey.toml", include_str!("../../examples/upright/survey.toml")),
    ("strings.csv", include_str!("../../examples/upright/strings.csv")),
    ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
];

const GRAND: [(&str, &str); 4] = [
    ("survey.toml", include_str!("../../examples/grand/survey.toml")),
    ("strings.csv", include_str!("../../examples/grand/strings.csv")),
    ("runs.csv", include_str!("../../examples/grand/runs.csv")),
    ("hammers.csv", include_str!("../../examples/grand/hammers.csv")),
];

/// The upright with its strings table changed.
fn upright_with(change: impl Fn(&str) -> String) -> Piano {
    let strings = change(UPRIGHT[1].1);
    Piano::read(&[UPRIGHT[0], ("strings.csv", &strings), UPRIGHT[2]])
}

/// The table with `from` replaced by `to`, which must occur once.
fn replaced(table: &str, from: &str, to: &str) -> String {
    assert_eq!(table.matches(from).count(), 1, "`{from}` occurs once");
    table.replace(from, to)
}

#[test]
fn breaks_are_found_by_themselves_with_all_their_reasons() {
    let piano = Piano::read(&UPRIGHT);
    let named: Vec<String> = piano
        .places
        .iter()
        .map(|place| {
            let reasons: Vec<String> = place.reasons().map(Reason::words).collect();
            format!("{}/{}: {}", place.below, place.above, reasons.join(", "))
        })
        .collect();
    // As the survey lays the instrument out: a section end and, three notes on, wound to plain.
    assert_eq!(
        named,
        [
            "F#1/G1: 1 to 2 strings",
            "C#3/F3: bass to tenor, wound to plain, 2 to 3 strings",
            "F#5/G5: tenor to treble",
        ]
    );
    let zone = piano.place("C#3", "F3");
    assert!(zone.is_zone());
    assert_eq!(zone.inside().collect::<Vec<_>>(), ["D3", "D#3", "E3"].map(note));
    assert_eq!((zone.run_below.first, zone.run_above.last), (note("G1"), note("F#5")));
    let inside = piano.figures("C#3", "F3", Quantity::Tension).inside;
    assert_eq!(inside.len(), 3, "the notes inside are held against both trends");
    for one in inside {
        // Table: E3 of 818 N beside F3 of 712 N: the wound ones stand above the plain trend.
        assert!(one.over_above > 0.05 && one.over_below > 0.0, "{one:?}");
    }
}

#[test]
fn the_length_planted_in_the_upright_is_named_and_no_sound_note() {
    let piano = Piano::read(&UPRIGHT);
    assert_eq!(piano.off.len(), 1, "{:?}", piano.off);
    let off = piano.off[0];
    assert_eq!((off.note, off.reading), (note("A#4"), Reading::Length));
    // Geometric mean of its neighbours A4 (400) and B4 (358.5): 378.7; readings to 0.5 mm.
    let fits = (400.0_f64 * 358.5).sqrt();
    assert_abs_diff_eq!(to_mm(off.fitting.value), fits, epsilon = 1.0);
    assert!(to_mm(off.fitting.sd) < 2.0);
    let warnings = measure_again(&piano.off);
    assert_eq!((warnings.len(), warnings[0].kind), (1, "measure_again"));
    assert_eq!(warnings[0].about, About::Note(note("A#4")));
    assert!(Piano::read(&GRAND).off.is_empty());
}

#[test]
fn a_planted_wire_or_winding_is_named_with_what_would_fit() {
    // D#4 strung with 0.965; read as No. 20, 0.045 in.
    let piano = upright_with(|t| replaced(t, "D#4,3,553,0.965", "D#4,3,553,1.143"));
    let wire = piano.off.iter().find(|off| off.note == note("D#4")).expect("D#4 stands out");
    assert_eq!(wire.reading, Reading::Core);
    assert!((to_mm(wire.fitting.value) - 0.98).abs() < 0.03, "{wire:?}");
    // 0.038 in and 0.039 in are No. 16½ and 17 (music wire, inch series).
    let size = wire.size.expect("a real size").to_string();
    assert!(["16½", "17"].contains(&size.as_str()), "{size}");
    // E2 reads 2.31 over its winding; misread by the thickness of a card.
    let piano = upright_with(|t| replaced(t, "E2,2,998.5,1.130,2.31", "E2,2,998.5,1.130,2.71"));
    let over = piano.off.iter().find(|off| off.note == note("E2")).expect("E2 stands out");
    assert_eq!(over.reading, Reading::Over);
    assert_abs_diff_eq!(to_mm(over.fitting.value), 2.31, epsilon = 0.10);
    for other in &piano.off {
        assert!(["E2", "A#4"].map(note).contains(&other.note), "{other:?}");
    }
    // A string that the survey says is not of the set is not asked about.
    let not_of_the_set = replaced(
        UPRIGHT[1].1,
        "E2,2,998.5,1.130,2.31,,,16.5,17,,5.6,92,129,single,,",
        "E2,2,998.5,1.130,2.71,,,16.5,17,,5.6,92,129,single,true,",
    );
    let piano = Piano::read(&[UPRIGHT[0], ("strings.csv", &not_of_the_set), UPRIGHT[2]]);
    assert!(piano.off.iter().all(|off| off.note != note("E2")));
}

/// The figures against the plainest reckoning: T = 4 L² f² mu of the tables' own rows.
#[test]
fn the_step_at_the_strut_agrees_with_the_rows_beside_it() {
    let piano = Piano::read(&UPRIGHT);
    let figures = piano.figures("F#5", "G5", Quantity::Stress);
    // Stress of a plain string goes as (L f)²: lengths 261, 247 | 239, 226.5 at F5 to G#5; a line
    // through each pair carried to the middle (half a note), in the logarithm.
    let y = |length: f64, key: f64| 2.0 * (length.ln() + key * std::f64::consts::LN_2 / 12.0);
    let (f5, f_sharp5) = (y(261.0, 57.0), y(247.0, 58.0));
    let (g5, g_sharp5) = (y(239.0, 59.0), y(226.5, 60.0));
    let step = (g5 - (g_sharp5 - g5) / 2.0) - (f_sharp5 + (f_sharp5 - f5) / 2.0);
    // Two notes read to 0.5 mm: 2 * 0.15/245 each, and so 0.6 % in the pair's carried value.
    assert_abs_diff_eq!(figures.ln, step, epsilon = 0.012);
    // The same figure upside down, and once more over a strength that hardly changes with the wire.
    let drift = piano.figures("F#5", "G5", Quantity::Drift);
    assert_relative_eq!(drift.ln, -figures.ln, epsilon = 1e-9);
    assert_relative_eq!(drift.se, figures.se, epsilon = 1e-9);
    let load = piano.figures("F#5", "G5", Quantity::Load);
    assert_abs_diff_eq!(load.ln, figures.ln, epsilon = 0.005);
}

#[test]
fn a_third_string_is_no_step_of_the_unison() {
    // The treble of the upright from C6 up with two strings in place of three: nothing else changes.
    let piano = upright_with(|table| {
        let fewer = |line: &str| {
            let name = line.split(',').next().unwrap_or_default();
            match Note::parse(name) {
                Ok(note) if note.key() >= 64 => line.replacen(",3,", ",2,", 1),
                _ => line.to_owned(),
            }
        };
        table.lines().map(fewer).collect::<Vec<_>>().join("\n")
    });
    let place = piano.place("B5", "C6");
    assert_eq!(place.counts, Some((3, 2)));
    let impedance = piano.figures("B5", "C6", Quantity::Impedance);
    // 3 to 2 strings take a third of the unison's impedance away, and that is all there is.
    assert_abs_diff_eq!(impedance.ln_whole, (2.0_f64 / 3.0).ln(), epsilon = 0.05);
    assert_relative_eq!(impedance.habit.0, (2.0_f64 / 3.0).ln(), epsilon = 1e-12);
    assert!(impedance.fraction().abs() < 0.05, "{}", impedance.fraction());
    let graded = grade(&piano.jump("B5", "C6", Quantity::Impedance), &Limits::default());
    assert_eq!(graded.grade, Grade::Smooth);
    // Head mass over string mass, the heads going on evenly: up by a half, and no step either.
    let ratio = |entry: &feltwire::scale::NoteStrings| {
        let string = entry.string.as_ref()?;
        let mass = string.mass_per_length.value.value * to_metres(string.length.value);
        let head = 5e-3 * (-0.01 * f64::from(entry.note.key())).exp();
        Point::new(entry.note, head / (mass * f64::from(entry.strings?)), 0.02)
    };
    let points = piano.scale.notes.iter().filter_map(ratio).collect();
    let series = Series::new(Quantity::MassRatio, points);
    assert_eq!(series.per(), Per::Unison);
    let found = jump(place, &series);
    let Outcome::Figures(figures) = &found.outcome else { panic!("{found:?}") };
    assert_abs_diff_eq!(figures.ln_whole, 1.5_f64.ln(), epsilon = 0.06);
    assert!(figures.fraction().abs() < 0.06);
    assert_eq!(grade(&found, &Limits::default()).grade, Grade::Smooth);
}

#[test]
fn a_step_of_tension_is_counted_in_half_sizes() {
    // The treble strung a whole size thicker than the tenor leaves off: 0.002 in on every wire.
    let piano = upright_with(|table| {
        let thicker = |line: &str| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if let Ok(note) = Note::parse(&cells[0])
                && note.key() >= 59
                && let Ok(core) = cells[3].parse::<f64>()
            {
                cells[3] = format!("{:.3}", core + 0.0508);
            }
            cells.join(",")
        };
        table.lines().map(thicker).collect::<Vec<_>>().join("\n")
    });
    let tension = piano.figures("F#5", "G5", Quantity::Tension);
    let stress = piano.figures("F#5", "G5", Quantity::Stress);
    let place = piano.place("F#5", "G5");
    let halves = half_sizes(&piano.instrument, &piano.scale, place, &tension, &stress)
        .expect("plain on both sides");
    let before = Piano::read(&UPRIGHT).figures("F#5", "G5", Quantity::Tension);
    // One half size of 0.035 to 0.037 in wire is 2 ln(0.037/0.036): two of them were added to what
    // was there.
    let half = 2.0 * (37.0_f64 / 36.0).ln();
    assert_abs_diff_eq!(halves.count.value, 2.0 + before.ln / half, epsilon = 0.2);
    assert_eq!(halves.note, note("G5"));
    // The wire of G5 reads 0.890 + 0.0508 mm = 0.037 in, No. 16.
    assert_eq!(halves.now.map(|size| size.to_string()), Some("16".into()));
    let fitting = halves.fitting.expect("in the series");
    assert!(fitting.diameter() < halves.now.expect("in the series").diameter());
    let first = piano.scale.note(note("G5")).and_then(|n| n.string.as_ref()).expect("G5");
    assert!(to_newtons(first.tension.value) > 0.0);
}

#[test]
fn a_sparse_survey_says_what_to_measure_and_gives_no_number() {
    let piano = Piano::read(&GRAND);
    let jump = piano.jump("F2", "F#2", Quantity::Tension);
    let Outcome::TooFew(few) = &jump.outcome else { panic!("three wound pairs were read") };
    assert_eq!((few.below, few.above), (3, 4));
    let graded = grade(&jump, &Limits::default());
    assert_eq!((graded.grade, graded.chance), (Grade::TooFew, None));
    let asked = format!("{:?}", graded.measure.expect("something to measure"));
    // Of the pairs F1 to F2, F1, B1 and F2 were read whole; above, four were.
    for name in ["D#2", "E2", "D2"] {
        assert!(asked.contains(&format!("{:?}", note(name))), "{name}: {asked}");
    }
    assert!(!asked.contains(&format!("{:?}", note("D#3"))), "{asked}");
    // The slack first plain notes: four wound notes were read whole, and the step is plain.
    let slack = piano.figures("B2", "C3", Quantity::Tension);
    assert!(slack.fraction() < -0.2 && slack.fraction() > -0.4, "{}", slack.fraction());
    // Both sides sparse and plain: measured notes on their real keys, and a wider error than the
    // same break has with every note read.
    let sparse = piano.figures("D#5", "E5", Quantity::Tension);
    assert!(sparse.notes_below.iter().all(|note| piano.instrument.string(*note).is_some()));
    assert!(sparse.notes_below.len() < 8 && sparse.se > 0.015);
    let graded = grade(&piano.jump("D#5", "E5", Quantity::Tension), &Limits::default());
    assert!(graded.measure.is_some(), "few notes a side: more are asked for");
}

#[test]
fn roughness_is_of_wire_sizes_in_tension_and_of_the_tape_in_stress() {
    let piano = Piano::read(&UPRIGHT);
    let of = |quantity| roughness(piano.instrument.compass, &piano.places, piano.series(quantity));
    let tenor = |quantity| *of(quantity).iter().find(|r| r.run.0 == note("F3")).expect("tenor");
    let (tension, stress) = (tenor(Quantity::Tension), tenor(Quantity::Stress));
    // Wire in sizes shows in the tension and not in the stress, which is length alone.
    assert!(tension.scatter > 1.3 * tension.reading, "{tension:?}");
    assert!(stress.scatter < 1.5 * stress.reading, "{stress:?}");
}
