//! Breaks of surveys that give them little or nothing to stand on: a sentence each time, never a
//! panic or a number without ground.

use super::breaks_survey::{Piano, note};
use feltwire::judgement::breaks::{Grade, grade};
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Compass, Note};
use feltwire::scale::breaks::{Outcome, Reason, jump, roughness};
use std::fmt::Write as _;

/// Sections as name, first and last note, from the bass.
pub fn survey(sections: &[(&str, &str, &str)]) -> String {
    let first = sections.first().expect("a section").1;
    let last = sections.last().expect("a section").2;
    let mut text = format!(
        "format = 1\n[instrument]\nname = \"odd\"\nkind = \"upright\"\ncompass = [\"{first}\", \"{last}\"]\n\
         pitch = \"440 Hz\"\n[wire]\nplain = \"steel-modern\"\ncore = \"steel-modern\"\nwrap = \"copper\"\n"
    );
    for (name, from, to) in sections {
        write!(text, "[[section]]\nname = \"{name}\"\nnotes = [\"{from}\", \"{to}\"]\n")
            .expect("string");
    }
    text + "[strings]\ntable = \"strings.csv\"\n"
}

/// A row for every note that `row` gives: strings, core, over.
pub fn table(
    first: &str,
    last: &str,
    row: impl Fn(Note) -> Option<(u8, f64, Option<f64>)>,
) -> String {
    let mut text = String::from("note,strings,length_mm,core_mm,over_mm\n");
    for note in (Compass { first: note(first), last: note(last) }).notes() {
        let Some((strings, core, over)) = row(note) else { continue };
        let far = f64::from(note.key()) - 33.0;
        let length = if far < 0.0 { 860.0 - 11.0 * far } else { 930.0 * (-0.053 * far).exp() };
        let over = over.map(|over| format!("{over:.2}")).unwrap_or_default();
        writeln!(text, "{note},{strings},{length:.1},{core:.3},{over}").expect("string");
    }
    text
}

pub fn wound(note: Note, strings: u8) -> (u8, f64, Option<f64>) {
    let far = 33.0 - f64::from(note.key());
    (strings, 0.98 + 0.01 * far, Some(1.3 * (0.05 * far).exp()))
}

pub fn plain() -> (u8, f64, Option<f64>) {
    (3, 1.0, None)
}

fn piano(sections: &[(&str, &str, &str)], table: &str) -> Piano {
    Piano::read(&[("survey.toml", &survey(sections)), ("strings.csv", table)])
}

/// Every series at every break gives a step with finite figures, or says why not.
fn all_said(piano: &Piano) -> Vec<Grade> {
    let limits = Limits::default();
    let mut grades = Vec::new();
    for place in &piano.places {
        for series in &piano.series {
            let jump = jump(place, series);
            let graded = grade(&jump, &limits);
            assert!(!graded.says.0.is_empty());
            match &jump.outcome {
                Outcome::Figures(figures) => {
                    assert!(figures.ln.is_finite() && figures.se.is_finite() && figures.se > 0.0);
                    assert!((0.0..=1.0).contains(&figures.p_value), "{}", figures.p_value);
                    assert!(graded.chance.is_some_and(|chance| (0.0..=1.0).contains(&chance)));
                }
                Outcome::TooFew(few) => {
                    assert!(few.below.min(few.above) < 4 && !few.why.0.is_empty());
                    assert_eq!((graded.grade, graded.chance), (Grade::TooFew, None));
                }
            }
            grades.push(graded.grade);
        }
    }
    for series in &piano.series {
        for rough in roughness(piano.instrument.compass, &piano.places, series) {
            assert!(rough.scatter.is_finite() && rough.reading > 0.0);
        }
    }
    grades
}

#[test]
fn a_section_of_one_note_joins_its_neighbours_breaks() {
    let table = table("A1", "C5", |n| Some(if n < note("F3") { wound(n, 2) } else { plain() }));
    let piano = piano(&[("bass", "A1", "E3"), ("odd", "F3", "F3"), ("tenor", "F#3", "C5")], &table);
    let place = piano.place("E3", "F#3");
    assert_eq!(place.breaks.len(), 2, "both breaks of the one note make one zone");
    assert_eq!(place.inside().collect::<Vec<_>>(), [note("F3")]);
    let grades = all_said(&piano);
    assert!(grades.iter().any(|grade| *grade != Grade::TooFew));
}

#[test]
fn a_one_note_section_at_the_end_of_the_compass_has_no_trend() {
    let table = table("F3", "C6", |_| Some(plain()));
    let piano = piano(&[("tenor", "F3", "B5"), ("last", "C6", "C6")], &table);
    assert!(all_said(&piano).iter().all(|grade| *grade == Grade::TooFew));
    let limits = Limits::default();
    let graded = grade(&jump(&piano.places[0], &piano.series[0]), &limits);
    assert!(format!("{:?}", graded.says).contains("too few for a trend whatever is measured"));
    assert_eq!(graded.measure, None, "no reading would help");
}

#[test]
fn no_plain_section_and_one_section_alone() {
    let all_wound = table("A0", "E3", |n| Some(wound(n, if n < note("G1") { 1 } else { 2 })));
    let piano = piano(&[("bass", "A0", "E3")], &all_wound);
    let reasons: Vec<_> = piano.places.iter().flat_map(|place| place.reasons().cloned()).collect();
    assert_eq!(reasons, [Reason::Count { below: 1, above: 2 }]);
    all_said(&piano);
    let plain_only = table("F3", "C6", |_| Some(plain()));
    let piano = self::piano(&[("all", "F3", "C6")], &plain_only);
    assert!(piano.places.is_empty() && piano.off.is_empty());
    assert!(!roughness(piano.instrument.compass, &piano.places, &piano.series[0]).is_empty());
}

#[test]
fn nothing_read_on_one_side() {
    let table = table("A1", "C5", |n| (n >= note("F3")).then(plain));
    let piano = piano(&[("bass", "A1", "E3"), ("tenor", "F3", "C5")], &table);
    assert_eq!(piano.places.len(), 1);
    assert!(all_said(&piano).iter().all(|grade| *grade == Grade::TooFew));
    let graded = grade(&jump(&piano.places[0], &piano.series[0]), &Limits::default());
    // Notes nearest to the break on the side where nothing was read.
    let asked = format!("{:?}", graded.measure.expect("notes to measure"));
    assert!(asked.contains(&format!("{:?}", note("E3"))), "{asked}");
    assert!(!asked.contains(&format!("{:?}", note("F3"))), "{asked}");
}

#[test]
fn hardly_anything_read_and_breaks_two_notes_apart() {
    let one_row = table("A1", "C5", |n| (n == note("A1")).then(|| wound(n, 2)));
    let empty = piano(&[("bass", "A1", "E3"), ("tenor", "F3", "C5")], &one_row);
    assert!(all_said(&empty).iter().all(|grade| *grade == Grade::TooFew));
    let table = table("A1", "C5", |n| {
        Some(if n < note("D#3") {
            wound(n, 2)
        } else if n < note("F3") {
            wound(n, 3)
        } else {
            plain()
        })
    });
    let piano = piano(&[("bass", "A1", "E3"), ("tenor", "F3", "C5")], &table);
    assert_eq!(piano.places.len(), 1);
    let place = piano.place("D3", "F3");
    assert_eq!(place.breaks.len(), 2);
    let words: Vec<String> = place.reasons().map(Reason::words).collect();
    assert_eq!(words, ["2 to 3 strings", "bass to tenor", "wound to plain"]);
    assert!(all_said(&piano).iter().any(|grade| *grade != Grade::TooFew));
}

/// One string of other wire among its neighbours is a string not of the set, not two breaks; a run of
/// other wire is one.
#[test]
fn one_string_of_other_wire_is_no_break() {
    let own =
        "[[material]]\nname = \"other\"\ndensity = \"7800 kg/m3\"\nyoungs_modulus = \"200 GPa\"\n";
    let with_other = |from: &str, to: &str| {
        let other = Compass { first: note(from), last: note(to) };
        let rows = table("F3", "C6", |_| Some(plain()));
        let rows = rows.lines().enumerate().map(|(i, line)| {
            let name = line.split(',').next().unwrap_or_default();
            let material = match Note::parse(name) {
                _ if i == 0 => "material",
                Ok(note) if other.contains(note) => "other",
                _ => "",
            };
            format!("{line},{material}\n")
        });
        let strings: String = rows.collect();
        let text = survey(&[("all", "F3", "C6")]) + own;
        Piano::read(&[("survey.toml", &text), ("strings.csv", &strings)])
    };
    assert!(with_other("C4", "C4").places.is_empty());
    let run = with_other("C5", "C6");
    let words: Vec<String> = run.place("B4", "C5").reasons().map(Reason::words).collect();
    assert_eq!(words, ["steel-modern wire to other wire"]);
    all_said(&run);
}

/// Where the winding ends is not known: the change lies somewhere between the notes that were read.
#[test]
fn a_change_somewhere_in_a_gap_is_one_break() {
    let rows = table("A1", "C5", |n| match n {
        n if n <= note("C#3") => Some(wound(n, 3)),
        n if n >= note("F3") => Some(plain()),
        _ => None,
    });
    let piano = piano(&[("all", "A1", "C5")], &rows);
    let place = piano.place("C#3", "F3");
    assert_eq!(place.breaks.len(), 1);
    assert_eq!(place.reasons().collect::<Vec<_>>(), [&Reason::WoundToPlain]);
    assert!(all_said(&piano).iter().any(|grade| *grade != Grade::TooFew));
}
