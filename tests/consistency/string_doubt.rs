//! Doubts that several notes have in common, against the survey read again and again with one reading
//! moved at a time, and against bare ends drawn at random.

use crate::strings_survey::{computed, instrument, of_files};
use feltwire::instrument::Instrument;
use feltwire::measure::{Input, Measured, Note, hertz, mm, to_mm, to_newtons};
use feltwire::physics::{StringSpec, sound};
use feltwire::scale::spec::spec_of;
use rand_distr::{Distribution, StandardNormal};

fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}

fn total(instrument: &Instrument) -> Measured<f64> {
    let totals = computed(instrument).1.totals;
    assert_eq!(totals.notes_unknown, 0);
    Measured::new(to_newtons(totals.tension.value), to_newtons(totals.tension.sd))
}

/// How the total moves with one reading moved by its own `sd`.
fn slope(instrument: &Instrument, sd: f64, mut by: impl FnMut(&mut Instrument, f64)) -> f64 {
    let mut at = |step: f64| {
        let mut other = instrument.clone();
        by(&mut other, step * sd);
        total(&other).value
    };
    (at(0.1) - at(-0.1)) / 0.2
}

/// Scatter alone: nothing is off at all readings alike.
const NO_BIAS: &str = "[reading_error]\nlength_bias = \"0 mm\"\ncore_bias = \"0 mm\"\n";

/// Every length read, the wire read once a run: one reading stands for a whole run.
#[test]
fn wire_read_once_a_run_moves_all_of_its_strings_together() {
    let lengths: Vec<String> = (1..=88)
        .map(|key| {
            let note = Note::from_key(key).expect("a key");
            format!("{note},3,{:.1}\n", 2000.0 * (-0.042 * f64::from(key)).exp())
        })
        .collect();
    let toml = format!(
        "format = 1\n[instrument]\nname = \"x\"\nkind = \"grand\"\n{NO_BIAS}[[section]]\nname = \"all\"\n\
         notes = [\"A0\", \"C8\"]\nwound_to = \"none\"\n[strings]\ntable = \"strings.csv\"\nruns = \"runs.csv\"\n"
    )
    .replace("wound_to = \"none\"\n", "");
    let instrument = of_files(&[
        ("survey.toml", &toml),
        ("strings.csv", &format!("note,strings,length_mm\n{}", lengths.concat())),
        ("runs.csv", "from,to,strings,core_mm\nA0,C3,3,1.2\nC#3,C5,3,1.0\nC#5,C8,3,0.8\n"),
    ]);
    let mut square = 0.0;
    for (i, row) in instrument.strings.iter().enumerate() {
        let sd = to_mm(row.length.expect("read").sd);
        let moved = |other: &mut Instrument, by: f64| {
            let read = other.strings[i].length.as_mut().expect("read");
            read.value = mm(to_mm(read.value) + by);
        };
        square += slope(&instrument, sd, moved).powi(2);
    }
    for i in 0..3 {
        let sd = to_mm(instrument.runs[i].core.sd);
        let moved = |other: &mut Instrument, by: f64| {
            let read = &mut other.runs[i].core;
            read.value = mm(to_mm(read.value) + by);
        };
        square += slope(&instrument, sd, moved).powi(2);
    }
    let said = total(&instrument);
    // Central differences of a tenth of a deviation: off by a hundredth of the curvature, below 1e-3.
    assert!((said.sd / square.sqrt() - 1.0).abs() < 2e-3, "{} {}", said.sd, square.sqrt());
}

/// Lengths and wire read at every sixth note: all notes between lean on the same few readings.
#[test]
fn few_readings_leave_the_total_at_least_as_doubtful_as_they_are() {
    let rows: Vec<String> = (0..=14)
        .map(|i| {
            let note = Note::from_key(4 + 6 * i).expect("a key");
            let length = 2000.0 * (-0.042 * f64::from(note.key())).exp();
            format!("{note},3,{length:.1},1.0\n")
        })
        .collect();
    let instrument =
        instrument(NO_BIAS, &format!("note,strings,length_mm,core_mm\n{}", rows.concat()));
    let mut square = 0.0;
    for i in 0..instrument.strings.len() {
        let row = &instrument.strings[i];
        let (length, core) = (row.length.expect("read"), row.core.expect("read"));
        square += slope(&instrument, to_mm(length.sd), |other, by| {
            let read = other.strings[i].length.as_mut().expect("read");
            read.value = mm(to_mm(read.value) + by);
        })
        .powi(2);
        // Neighbours of one size stay of one size when one of them is read a little larger.
        square += slope(&instrument, to_mm(core.sd), |other, by| {
            let read = other.strings[i].core.as_mut().expect("read");
            read.value = mm(to_mm(read.value) + by);
        })
        .powi(2);
    }
    let said = total(&instrument);
    assert!(said.sd > 0.995 * square.sqrt(), "{} {}", said.sd, square.sqrt());
    // What lies between the readings adds to it, but along a smooth bridge not much.
    assert!(said.sd < 2.0 * square.sqrt(), "{} {}", said.sd, square.sqrt());
}

/// A tape that is off by 1 % is off by 1 % between the readings too, however many there are.
#[test]
fn what_the_tape_is_off_does_not_average_out_between_readings() {
    let rows: Vec<String> = (0..=43)
        .map(|i| {
            let note = Note::from_key(1 + 2 * i).expect("a key");
            let length = 2000.0 * (-0.042 * f64::from(note.key())).exp();
            format!("{note},3,{length:.1},1.0\n")
        })
        .collect();
    let head = "[reading_error]\nlength = \"0 mm + 0.1 %\"\nlength_bias = \"0 mm + 1 %\"\n";
    let instrument =
        instrument(head, &format!("note,strings,length_mm,core_mm\n{}", rows.concat()));
    let (belief, _) = computed(&instrument);
    for name in ["A#0", "C3", "C#4", "F5", "B7"] {
        let string = belief.notes.iter().find(|n| n.note == note(name)).expect(name);
        let length = string.string.as_ref().expect("between readings").length;
        let relative = (length.sd / length.value).value;
        assert!(relative > 0.01, "{name}: {relative}");
        assert!(relative < 0.0105, "{name}: {relative}");
    }
}

/// 5 and 95 % of B where nobody read the bare ends, against ends drawn as they are believed (median
/// 20 mm, factor 1.45, correlated as 0.25 for one winder made both) and readings drawn with them, each
/// string solved in full.
#[test]
fn quantiles_of_inharmonicity_are_those_of_drawn_bare_ends() {
    const DRAWS: usize = 4000;
    let rows = "note,strings,length_mm,core_mm,over_mm,bare_front_mm\n\
        A0,1,1200,1.45,6.4,\nE1,1,1100,1.2,4.4,\nC2,2,600,1.1,3.0,\nF2,2,950,1.1,2.2,18\nA2,2,420,1.0,2.2,\n";
    let instrument = instrument("", rows);
    let (belief, scale) = computed(&instrument);
    for name in ["A0", "E1", "C2", "F2", "A2"] {
        let believed = belief.notes.iter().find(|n| n.note == note(name)).expect(name);
        let string = believed.string.as_ref().expect("read");
        let pitch = believed.note.frequency(hertz(440.0));
        let figure = scale.note(note(name)).and_then(|n| n.string.as_ref()).expect(name);
        let mut stream = Input::new(7, name).draw(0);
        let mut normal = || -> f64 { StandardNormal.sample(&mut stream) };
        let mut drawn: Vec<f64> = (0..DRAWS)
            .filter_map(|_| {
                let mut other = string.clone();
                let off = |read: Measured<feltwire::measure::Length>, z: f64| {
                    mm(to_mm(read.value) + z * to_mm(read.sd))
                };
                other.length.value = off(string.length, normal());
                other.core.value = off(string.core, normal());
                let winding = other.winding.as_mut()?;
                let winder = normal();
                let assumed = |z: f64| mm(20.0 * 1.45_f64.powf(0.5 * winder + 0.75_f64.sqrt() * z));
                winding.over.value = off(winding.over, normal());
                for end in [&mut winding.bare_front, &mut winding.bare_back] {
                    end.length.value =
                        if end.assumed { assumed(normal()) } else { off(end.length, normal()) };
                }
                let spec: StringSpec = spec_of(&other, instrument.wire.ends).ok()?;
                sound(&spec, pitch).ok().map(|sounding| sounding.inharmonicity.0)
            })
            .collect();
        drawn.sort_by(f64::total_cmp);
        let at = |share: f64| drawn[(share * drawn.len() as f64) as usize];
        for (what, said, seen, near) in [
            ("lo", figure.inharmonicity.lo.0, at(0.05), (at(0.043), at(0.057))),
            ("hi", figure.inharmonicity.hi.0, at(0.95), (at(0.943), at(0.957))),
        ] {
            // Two standard errors of a share of 5 % in 4000 draws, and 0.4 % for the lattice.
            let fine = said > near.0 * 0.996 && said < near.1 * 1.004;
            assert!(fine, "{name} {what}: said {said:.4e}, drawn {seen:.4e} ({near:?})");
        }
    }
}
