//! The calculation of one note: its parts add up, and what was read twice accuses the right reading.
//! Expected values are pencil work from the closed form; nothing is copied from our own output.

use crate::strings_survey::{computed, instrument};
use feltwire::instrument::Warning;
use feltwire::judgement::crosscheck::warnings;
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Note, to_hertz, to_mm, to_newtons};
use feltwire::scale::cause::{Cause, Origin};
use feltwire::scale::crosscheck::crosschecks;
use feltwire::scale::explain;
use std::f64::consts::PI;

fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}

/// B of a plain steel wire of the default material at a pitch: pi³ E d⁴/(64 T L²).
fn plain_b(length: f64, d: f64, f: f64) -> f64 {
    let stiffness = 202e9 * PI * d.powi(4) / 64.0;
    let mass = 7850.0 * PI / 4.0 * d * d;
    let tension = 4.0 * (length * f).powi(2) * mass - PI * PI * stiffness / (length * length);
    PI * PI * stiffness / (tension * length * length)
}

fn warned(rows: &str) -> Vec<Warning> {
    let instrument = instrument("", rows);
    let (belief, _) = computed(&instrument);
    warnings(&crosschecks(&instrument, &belief), &Limits::default())
}

#[test]
fn a_recorded_inharmonicity_accuses_the_wire_that_was_read_wrong() {
    let f = 261.6;
    let recorded = plain_b(0.62, 1.0e-3, f);
    let row = |core: f64| {
        format!("note,length_mm,core_mm,f1_hz,inharmonicity\nC4,620,{core},{f},{recorded:.6}\n")
    };
    assert!(warned(&row(1.0)).is_empty());
    // 0.05 mm too thick: B as read is 10 % above the recorded one.
    let found = warned(&row(1.05));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].kind, "inharmonicity_disagrees");
    let accused = instrument("", &row(1.06));
    let (belief, _) = computed(&accused);
    let pairs = crosschecks(&accused, &belief);
    let suspect = pairs.iter().find_map(|pair| pair.doubt).expect("a suspect");
    assert_eq!(suspect.cause, Cause::Core);
    // B goes as d², which the first-order answer follows within half the square of the change, 0.2 %.
    assert!((to_mm(suspect.fitting) - 1.0).abs() < 0.003, "{}", to_mm(suspect.fitting));
}

#[test]
fn a_recorded_pitch_of_another_note_is_noticed() {
    let of = |f1: f64| warned(&format!("note,length_mm,core_mm,f1_hz\nC4,620,1.0,{f1}\n"));
    assert!(of(261.0).is_empty());
    assert_eq!(of(523.3)[0].kind, "pitch_disagrees");
    assert_eq!(of(130.8)[0].kind, "pitch_disagrees");
}

/// Weighed against diameters: 0.9 mm of steel weighs 7850 π/4 0.9² = 4.994 g/m.
#[test]
fn a_weighed_string_accuses_the_wire() {
    let of = |mass: f64| {
        warned(&format!("note,length_mm,core_mm,mass_per_length_g_m\nC5,324,0.90,{mass}\n"))
    };
    assert!(of(4.994).is_empty());
    assert!(of(5.05).is_empty(), "1.1 % is what the micrometer leaves open");
    assert_eq!(of(5.20)[0].kind, "weighed_disagrees");
}

const WOUND: &str = "note,strings,length_mm,core_mm,over_mm,core_shape,under_mm,bare_front_mm,bare_back_mm\n\
     A0,1,1200,1.45,6.4,round,3.6,22,20\n\
     C2,1,1050,1.20,3.0,hex,,18,17\n\
     F2,2,1000,1.10,2.2,round,,,\n\
     C4,3,620,1.00,,,,,\n\
     C8,3,51,0.79,,,,,\n";

/// The parts of the ± add in squares to the ± printed, and each cause stands in one of them.
#[test]
fn effects_add_up_to_the_doubt_that_is_printed() {
    let instrument = instrument("", WOUND);
    let (belief, scale) = computed(&instrument);
    for name in ["A0", "C2", "F2", "C4", "C8"] {
        let told = explain(&instrument, &belief, note(name)).expect(name);
        let string = scale.note(note(name)).and_then(|n| n.string.as_ref()).expect(name);
        let square = |origin: fn(Origin) -> bool| {
            let of = told.effects.iter().filter(|effect| origin(effect.cause.origin()));
            of.map(|effect| effect.tension.powi(2)).sum::<f64>()
        };
        let tension = to_newtons(string.tension.value);
        let read = tension * square(|origin| origin != Origin::Material).sqrt();
        // Two readings of one tool share its bias with their signs: then squares need not add.
        let same = (to_newtons(string.tension.sd) - read).abs() / read;
        assert!(same < 0.1, "{name}: {same}");
        let parts = told.doubts.tension;
        let whole = parts.scatter.hypot(parts.in_common());
        assert!((whole * tension / to_newtons(string.tension.sd) - 1.0).abs() < 1e-12, "{name}");
        assert!(
            (parts.of_material() - square(|origin| origin == Origin::Material).sqrt()).abs()
                < 1e-12
        );
        assert_eq!(told.sounding.tension, string.tension.value);
        assert_eq!(told.sounding.inharmonicity, string.inharmonicity.value);
    }
    let hex = explain(&instrument, &belief, note("C2")).expect("C2");
    assert!(hex.effects.iter().any(|effect| effect.cause == Cause::HexWinding));
    // One micrometer reads over all windings of A0: what it is off cancels in the outer layer.
    let a0 = explain(&instrument, &belief, note("A0")).expect("A0");
    assert_eq!(a0.most(|effect| effect.tension), Some(Cause::Over));
}

/// A plain string's longitudinal mode is sqrt(E/rho)/(2L), whatever its tension; its nearest partial is
/// the one that the closed form `f_n = n f0 sqrt(1 + B n²)` says.
#[test]
fn the_longitudinal_mode_lies_between_the_partials_that_the_closed_form_gives() {
    let instrument = instrument("", WOUND);
    let (belief, _) = computed(&instrument);
    for (name, length, d) in [("C4", 0.620, 1.0e-3), ("C8", 0.051, 0.79e-3)] {
        let told = explain(&instrument, &belief, note(name)).expect(name);
        let longitudinal = (202e9_f64 / 7850.0).sqrt() / (2.0 * length);
        assert!((to_hertz(told.sounding.longitudinal) / longitudinal - 1.0).abs() < 1e-12);
        let f1 = to_hertz(told.frequency);
        let b = plain_b(length, d, f1);
        let partial = |n: f64| n * f1 * ((1.0 + b * n * n) / (1.0 + b)).sqrt();
        let cents = |n: u32| 1200.0 * (longitudinal / partial(f64::from(n))).log2();
        let nearest = (1..60).min_by(|a, b| cents(*a).abs().total_cmp(&cents(*b).abs()));
        let near = told.near_longitudinal.expect("within reach");
        assert_eq!(Some(near.partial), nearest, "{name}");
        assert!((near.above.0 - cents(near.partial)).abs() < 1e-6, "{name}");
    }
    // A wound string: no partial lies nearer than the one named.
    let told = explain(&instrument, &belief, note("C2")).expect("C2");
    let near = told.near_longitudinal.expect("within reach");
    let longitudinal = told.sounding.longitudinal;
    for partial in told.sounding.partials {
        let cents = 1200.0 * (longitudinal / partial).value.log2();
        assert!(cents.abs() >= near.above.0.abs() - 1e-6, "{cents}");
    }
}

/// Stated biases: wires read alike, nothing else in doubt. The pull of all strings then errs by
/// sum of 2 T bias/d (T = 4 L² f² rho pi/4 d²), for the bias is one; scatter adds in squares.
#[test]
fn what_all_notes_share_adds_up_and_scatter_adds_in_squares() {
    let rows = "note,strings,length_mm,core_mm\nC4,3,620,1.00\nC5,3,324,0.94\nC6,3,181,0.85\n";
    let sd = |errors: &str| {
        let instrument = instrument(&format!("[reading_error]\nlength = \"0 mm\"\n{errors}"), rows);
        let (_, scale) = computed(&instrument);
        let strings = scale.notes.iter().filter_map(|n| Some((n.string.as_ref()?, n.strings?)));
        let of_each: Vec<f64> = strings
            .filter(|(string, _)| to_mm(string.length.sd) < 1e-9)
            .map(|(string, count)| {
                // Stiffness: d ln T/d ln d = 2 - 2 B and a little.
                let b = string.inharmonicity.value.0;
                f64::from(count) * to_newtons(string.tension.value) * (2.0 - 2.0 * b) * 0.005
                    / to_mm(string.core.value)
            })
            .collect();
        (of_each, scale)
    };
    let (each, biased) = sd("core = \"0 mm\"\ncore_bias = \"0.005 mm\"");
    assert_eq!(each.len(), 3);
    let interpolated: f64 = biased.notes.iter().filter(|n| n.string.is_some()).count() as f64;
    assert!(interpolated >= 3.0);
    let measured = |scale: &feltwire::scale::Scale| {
        let of = scale.notes.iter().filter(|n| n.source == feltwire::scale::Source::Measured);
        of.map(|n| {
            let string = n.string.as_ref().expect("measured");
            let parts = string.doubts.tension;
            let pull = f64::from(n.strings.expect("counted")) * to_newtons(string.tension.value);
            (pull * parts.scatter, pull * parts.shared.iter().sum::<f64>())
        })
        .collect::<Vec<_>>()
    };
    for ((scatter, shared), each) in measured(&biased).into_iter().zip(&each) {
        assert!(scatter < 1e-9 && (shared / each - 1.0).abs() < 1e-3, "{scatter} {shared} {each}");
    }
    let (_, scattered) = sd("core = \"0.005 mm\"\ncore_bias = \"0 mm\"");
    for ((scatter, shared), each) in measured(&scattered).into_iter().zip(&each) {
        assert!(shared.abs() < 1e-9 && (scatter / each - 1.0).abs() < 1e-3, "{scatter} {shared}");
    }
    // Not parted by the survey: half of the stated error is taken as shared, none is lost.
    let (_, unparted) = sd("core = \"0.005 mm\"");
    for ((scatter, shared), each) in measured(&unparted).into_iter().zip(&each) {
        assert!(
            (shared / each - 0.5).abs() < 1e-3 && (scatter.hypot(shared) / each - 1.0).abs() < 1e-3
        );
    }
}
