//! Figures of the tuning and of every break, from the surveys of `examples/` and from surveys that give
//! them little: no text over another, none outside, and nothing where there is nothing to show.

use feltwire::document::plot::{Figure, PlotFault, svg};
use feltwire::document::plots::Which;
use feltwire::document::png::{png, text_boxes};
use feltwire::measure::{Note, Silent};
use feltwire::report::{self, Choices, Report};
use feltwire::survey::{Known, Memory, read};
use std::fmt::Write as _;

/// The mark that the upright's survey names.
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");

fn build(files: &[(&str, &str)]) -> Report {
    let memory = Memory::new(
        files.iter().map(|(name, text)| (*name, text.as_bytes())).chain([("logo.png", LOGO)]),
    );
    let survey = read(&memory, &Known::default()).unwrap_or_else(|faults| panic!("{faults:?}"));
    report::build(survey.instrument, survey.warnings, survey.hash, &Choices::default(), &Silent)
        .expect("nobody stops it")
}

fn upright() -> Report {
    build(&[
        ("survey.toml", include_str!("../../examples/upright/survey.toml")),
        ("strings.csv", include_str!("../../examples/upright/strings.csv")),
        ("hammers.csv", include_str!("../../examples/upright/hammers.csv")),
    ])
}

fn grand() -> Report {
    build(&[
        ("survey.toml", include_str!("../../examples/grand/survey.toml")),
        ("strings.csv", include_str!("../../examples/grand/strings.csv")),
        ("runs.csv", include_str!("../../examples/grand/runs.csv")),
        ("hammers.csv", include_str!("../../examples/grand/hammers.csv")),
    ])
}

/// Six plain sections of a few notes, breaks between all of them, names as long as they may be.
fn many_breaks() -> Report {
    let names =
        ["F3", "A#3", "D#4", "G#4", "C#5", "F#5", "B5"].map(|n| Note::parse(n).expect("a note"));
    let mut text = String::from(
        "format = 1\n[instrument]\nname = \"a name that goes on & on <b> to the edge of the sheet\"\n\
         kind = \"upright\"\ncompass = [\"F3\", \"A#5\"]\n",
    );
    let mut rows = String::from("note,strings,length_mm,core_mm,material\n");
    for (i, pair) in names.windows(2).enumerate() {
        let last = pair[1].step(-1).expect("a note below");
        let name = "a section with a name of many words ".repeat(2);
        write!(text, "[[section]]\nname = \"{name}{i}\"\nnotes = [\"{}\", \"{last}\"]\n", pair[0])
            .expect("string");
        for key in pair[0].key()..=last.key() {
            let length = 960.0 * (-0.055 * (f64::from(key) - 33.0)).exp() * (1.0 + 0.03 * i as f64);
            let note = Note::from_key(key).expect("a key");
            let own = if i % 2 == 0 { "" } else { "wire of another make" };
            writeln!(rows, "{note},{},{length:.1},1.0,{own}", 2 + i % 2).expect("string");
        }
    }
    text += "[[material]]\nname = \"wire of another make\"\ndensity = \"7800 kg/m3\"\n\
             youngs_modulus = \"200 GPa\"\n[strings]\ntable = \"strings.csv\"\n";
    build(&[("survey.toml", &text), ("strings.csv", &rows)])
}

fn check(name: &str, figure: &Figure) -> bool {
    let drawing = match svg(figure) {
        Ok(drawing) => drawing,
        Err(PlotFault::Empty) => return false,
        Err(fault) => panic!("{name}: {fault}"),
    };
    super::leave(&format!("{name}.png"), &png(&drawing, 1600).expect(name));
    let boxes = text_boxes(&drawing).expect("readable SVG");
    assert!(boxes.texts.len() > 10, "{name}: {} texts", boxes.texts.len());
    assert_eq!(boxes.faults(), [""; 0], "{name}");
    true
}

#[test]
fn figures_of_tuning_and_breaks_can_be_read() {
    type Survey = (&'static str, fn() -> Report);
    let surveys: [Survey; 3] = [("upright", upright), ("grand", grand), ("many", many_breaks)];
    for (whose, report) in surveys {
        let report = report();
        let drawn = Which::of(&report)
            .filter(|which| check(&format!("{whose}-{}", which.name()), &which.figure(&report)))
            .count();
        // Too few notes were read at the breaks of the grand's bass, and no hammer of the third.
        let without = match whose {
            "grand" => 2,
            "many" => 3,
            _ => 0,
        };
        let all = Which::of(&report).count();
        assert_eq!(drawn, all - without, "{whose}");
        assert!(report.breaks.len() >= 3);
    }
}

/// One reading, in the bass: nothing to set a temperament on, no break with a trend, no picture.
#[test]
fn nothing_to_show_is_no_picture() {
    let text = "format = 1\n[instrument]\nname = \"bare\"\nkind = \"upright\"\n\
                compass = [\"A0\", \"C8\"]\n[[section]]\nname = \"bass\"\nnotes = [\"A0\", \"E3\"]\n\
                [[section]]\nname = \"tenor\"\nnotes = [\"F3\", \"C8\"]\n[strings]\ntable = \"strings.csv\"\n";
    let rows = "note,strings,length_mm,core_mm\nA0,1,1200,1.4\n";
    let report = build(&[("survey.toml", text), ("strings.csv", rows)]);
    for which in [Which::Stretch, Which::Beats, Which::SlowBeats, Which::Break(1), Which::Break(9)]
    {
        let drawn = svg(&which.figure(&report));
        assert_eq!(drawn.err(), Some(PlotFault::Empty), "{}", which.name());
    }
}
