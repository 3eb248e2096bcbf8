//! The search with wound strings in it, against brute force: small pianos of drawn lengths, wound below
//! and plain above, with a stock small enough that every choice can be tried. The course is that of the
//! program, with its candidates; the trying, the rules and the objective are those of
//! `restring_brute_force`.

use crate::restring_brute_force::Tally;
use crate::restring_piano::{known, report};
use feltwire::measure::{Input, Note, Silent};
use feltwire::order::strings::{Make, Name, Prefer, Wires, problem};
use rand::RngExt as _;
use std::fmt::Write as _;

/// A survey of three or four wound notes and three plain ones above them.
pub fn small_piano(draw: u64) -> (String, String) {
    let mut stream = Input::new(11, "small pianos").draw(draw);
    let wound = stream.random_range(3..=4_u8);
    let first = stream.random_range(22..=30_u8);
    let key = |key: u8| Note::from_key(key).expect("on the keyboard").to_string();
    let last = first + wound + 2;
    let core = stream.random_range(17..=19);
    let thin = stream.random_range(3..=5);
    let toml = format!(
        "format = 1\n[instrument]\nname = \"Drawn {draw}\"\nkind = \"upright\"\ncompass = [\"{}\", \"{}\"]\n\
         pitch = \"440 Hz\"\n[wire]\ngauge = \"inch\"\n[[section]]\nname = \"tenor\"\nnotes = [\"{}\", \"{}\"]\n\
         [strings]\ntable = \"strings.csv\"\n[stock]\nplain = [17.5, 18, 18.5, 19]\ncore = [{}, {core}]\n\
         winding = [\"0.{thin}0 mm\", \"0.{thin}5 mm\"]\n",
        key(first),
        key(last),
        key(first),
        key(last),
        core - 1,
    );
    let mut csv =
        String::from("note,strings,length_mm,core_gauge,over_mm,bare_front_mm,bare_back_mm\n");
    for at in first..=last {
        let length =
            900.0 * 2_f64.powf((30.0 - f64::from(at)) / 24.0) * stream.random_range(0.99..1.01);
        let note = key(at);
        if at < first + wound {
            let over = 1.05 + 0.2 * f64::from(thin) + stream.random_range(-0.05..0.05);
            writeln!(csv, "{note},2,{length:.1},{core},{over:.2},15,14").expect("a string");
        } else {
            writeln!(csv, "{note},3,{length:.1},18,,,").expect("a string");
        }
    }
    (toml, csv)
}

#[test]
fn small_pianos_with_wound_strings_are_solved_as_brute_force_solves_them() {
    let mut tally = Tally::default();
    let mut wound_choices = 0;
    for draw in 0..60 {
        let (toml, csv) = small_piano(draw);
        let report = report(&toml, &csv);
        let name = [Name::Smooth, Name::Lighter, Name::WholeSizes][draw as usize % 3];
        let (mut course, makes) =
            problem(&known(&report), name, &Prefer::default(), &Silent).expect("not stopped");
        for (place, makes) in course.places.iter().zip(&makes) {
            assert_eq!(place.candidates.len(), makes.len());
            let wound = makes.iter().filter(|make| matches!(make, Make::Wound(_))).count();
            assert!(wound == 0 || place.wires == Wires::Single, "wound strings are made singly");
            wound_choices += usize::from(wound > 1);
        }
        tally.compare(&course, &format!("piano {draw}, as it is"));
        course.most_pull = None;
        tally.with_caps(course, &format!("piano {draw}"));
    }
    assert!(tally.same + tally.tied >= 100, "{} {}", tally.same, tally.tied);
    assert!(tally.capped >= 100, "{}", tally.capped);
    assert!(wound_choices >= 150, "{wound_choices}: brute force must have something to try");
}
