//! Strings at other pitches and temperatures, against full solutions at that pitch and pencil work.

use crate::strings_survey::{computed, instrument};
use feltwire::measure::{Cents, celsius, to_newtons, to_tonnes_force};
use feltwire::physics::sound;
use feltwire::scale::pitch::{pull_at, warmed};
use feltwire::scale::spec::spec_of;

const ROWS: &str = "note,strings,length_mm,core_mm,over_mm,bare_front_mm,bare_back_mm,core_shape\n\
     A0,1,1200,1.45,6.4,22,20,round\nG1,1,1080,1.3,4.4,18,18,hex\nC2,2,600,1.20,3.0,28,27,round\n\
     F2,2,1000,1.10,2.2,20,20,round\nC4,3,620,1.00,,,,\nC6,3,175,0.875,,,,\nC8,3,51,0.79,,,,\n";

/// 60 cents down to 30 up: the tension of a string solved anew at that pitch.
#[test]
fn the_tension_at_another_pitch_is_that_of_a_full_solution() {
    let instrument = instrument("", ROWS);
    let (belief, scale) = computed(&instrument);
    let mut checked = 0;
    for row in &instrument.strings {
        let believed = belief.notes.iter().find(|n| n.note == row.note).expect("a note");
        let spec = spec_of(believed.string.as_ref().expect("read"), instrument.wire.ends);
        let spec = spec.expect("a string");
        let entry = scale.note(row.note).expect("a note");
        for cents in [-100.0, -60.0, -32.0, -5.0, 8.0, 30.0] {
            let said = entry.string.as_ref().expect("read").tension_at(Cents(cents));
            let full = sound(&spec, entry.frequency * Cents(cents).ratio()).expect("a string");
            let off = (said / full.tension).value - 1.0;
            // Plain: rounding. Wound: the square of what the change of pitch does to the mode.
            let allowed = if row.over.is_some() { 2e-6 } else { 1e-12 };
            assert!(off.abs() < allowed, "{} {cents}: {off}", row.note);
            checked += 1;
        }
    }
    assert_eq!(checked, 42);
}

/// 1 % of tension is 8.61 cents (1200/2 · log2 1.01), and a pull of all strings at -46 cents is that of
/// each by itself.
#[test]
fn a_section_pulls_what_its_strings_pull() {
    let instrument = instrument("", ROWS);
    let (_, scale) = computed(&instrument);
    let below = Cents(-46.0);
    let all = pull_at(&scale, |_| Some(below));
    let sum: f64 = scale
        .notes
        .iter()
        .filter_map(|n| {
            Some(f64::from(n.strings?) * to_newtons(n.string.as_ref()?.tension_at(below)))
        })
        .sum();
    assert!((to_newtons(all.totals.tension.value) / sum - 1.0).abs() < 1e-12);
    // 9806.65 N to the tonne-force.
    assert!((to_tonnes_force(all.totals.tension.value) * 9806.65 / sum - 1.0).abs() < 1e-12);
    let unknown = all.totals.notes_unknown;
    assert_eq!(unknown, scale.totals.notes_unknown);
    let finished = pull_at(&scale, |_| Some(Cents(0.0)));
    assert_eq!(finished.totals, scale.totals);
    let drop = 1.0 - (all.totals.tension.value / scale.totals.tension.value).value;
    assert!((drop - (1.0 - (-46.0_f64 / 600.0).exp2())).abs() < 5e-4, "{drop}");
    let none = pull_at(&scale, |_| None);
    assert_eq!((none.totals.strings, none.most_load), (0, None));
}

/// Pencil: -(600/ln 2) ((E/S) (11.5e-6 - 10.8e-6) + 2.5e-4) cents a kelvin with the plate, and with 11.5e-6
/// alone; at `700 MPa` and `202 GPa` -0.39 and -3.09.
#[test]
fn a_warmer_room_lowers_the_strings_as_pencil_says() {
    let instrument = instrument("", ROWS);
    let (belief, scale) = computed(&instrument);
    let warm = warmed(&instrument, &belief, &scale, celsius(19.0), celsius(22.0));
    assert_eq!(warm.len(), scale.notes.iter().filter(|n| n.string.is_some()).count());
    for one in &warm {
        let entry = scale.note(one.note).and_then(|n| n.string.as_ref()).expect("known");
        let ratio = 202e9 / entry.stress.value.value;
        let scale = -600.0 / std::f64::consts::LN_2 * 3.0;
        let together = scale * (ratio * (11.5e-6 - 10.8e-6) + 2.5e-4);
        let alone = scale * (ratio * 11.5e-6 + 2.5e-4);
        assert!((one.together.0 - together).abs() < 1e-9, "{}: {}", one.note, one.together.0);
        assert!((one.alone.0 - alone).abs() < 1e-9, "{}: {}", one.note, one.alone.0);
        // Cents of tension are twice those of pitch, but for the stiffness.
        let tension = (one.tension / entry.tension.value).value.ln();
        let flexible = 2.0 * one.together.0 / 1200.0 * std::f64::consts::LN_2;
        assert!((tension / flexible - 1.0).abs() < 0.05, "{}", one.note);
    }
}
