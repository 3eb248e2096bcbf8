//! Figures of a full compass, from the strings of the example upright and simple formulas: what is
//! tested is the drawing.

use feltwire::document::plot::{
    Axis, Break, Figure, Key, Line, Mark, PlotFault, Point, Sample, Scale, Section, Series, Shape,
    Tone, Zone, svg,
};
use feltwire::document::png::{png, text_boxes};
use feltwire::measure::{Compass, Note, hertz, to_hertz};

const STRINGS: &str = include_str!("../../examples/upright/strings.csv");

struct Row {
    note: Note,
    length: Option<f64>,
    core: f64,
    over: Option<f64>,
}

fn rows() -> Vec<Row> {
    let cell = |cells: &[&str], at: usize| cells[at].parse::<f64>().ok();
    STRINGS
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect::<Vec<_>>())
        .map(|cells| Row {
            note: Note::parse(cells[0]).expect("a note"),
            length: cell(&cells, 2),
            core: cell(&cells, 3).expect("a core"),
            over: cell(&cells, 4),
        })
        .collect()
}

/// Steel core with a copper winding filling π/4 of its space, ideal string: enough for a picture.
fn pull(row: &Row) -> Option<f64> {
    let quarter = std::f64::consts::FRAC_PI_4;
    let steel = quarter * row.core.powi(2) * 7850e-6;
    let copper =
        row.over.map_or(0.0, |over| quarter.powi(2) * (over.powi(2) - row.core.powi(2)) * 8930e-6);
    let f = to_hertz(row.note.frequency(hertz(440.0)));
    row.length.map(|length| 4.0 * (f * length * 1e-3).powi(2) * (steel + copper))
}

fn inharmonicity(row: &Row) -> Option<f64> {
    let (length, tension) = (row.length? * 1e-3, pull(row)?);
    Some(
        std::f64::consts::PI.powi(3) * 202e9 * (row.core * 1e-3).powi(4)
            / (64.0 * tension * length.powi(2)),
    )
}

fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}

fn section(name: &str, first: &str, last: &str) -> Section {
    Section { name: name.to_owned(), notes: Compass { first: note(first), last: note(last) } }
}

fn frame(title: &str, quantity: &str, unit: &str, scale: Scale) -> Figure {
    Figure {
        title: title.to_owned(),
        subtitle: "Tarn & Hollis 124, at A4 = 440 Hz; one string of each unison".to_owned(),
        about: title.to_owned(),
        compass: Compass { first: Note::A0, last: Note::C8 },
        sections: vec![
            section("bass", "A0", "C#3"),
            section("tenor", "D3", "F#5"),
            section("treble", "G5", "C8"),
        ],
        breaks: vec![Break { below: note("E3"), label: "wound to plain".to_owned() }],
        axis: Axis {
            quantity: quantity.to_owned(),
            unit: unit.to_owned(),
            scale,
            range: None,
            from_zero: false,
        },
        zones: Vec::new(),
        series: Vec::new(),
        key: Vec::new(),
    }
}

fn series(name: &str, tone: Tone, value: impl Fn(&Row) -> Option<f64>, doubt: f64) -> Series {
    let points = rows()
        .iter()
        .enumerate()
        .map(|(index, row)| {
            let value = value(row);
            let (plain, wound) = if tone == Tone::Ink {
                (Shape::Circle, Shape::Square)
            } else {
                (Shape::Diamond, Shape::Triangle)
            };
            let mark = Mark {
                shape: if row.over.is_some() { wound } else { plain },
                filled: index % 7 != 3,
            };
            Point {
                note: row.note,
                value,
                band: value.map(|v| (v * (1.0 - doubt), v * (1.0 + doubt))),
                mark: Some(mark),
            }
        })
        .collect();
    Series {
        name: name.to_owned(),
        tone,
        line: if tone == Tone::Ink { Line::Solid } else { Line::Dashed },
        across_breaks: false,
        points,
    }
}

fn key(tone: Tone, whose: &str) -> Vec<Key> {
    let (plain, wound) = if tone == Tone::Ink {
        (Shape::Circle, Shape::Square)
    } else {
        (Shape::Diamond, Shape::Triangle)
    };
    let entry = |shape, filled, text: String| Key {
        sample: Sample::Mark(Mark { shape, filled }, tone),
        text,
    };
    vec![
        entry(wound, true, format!("wound{whose}")),
        entry(plain, true, format!("plain{whose}")),
        entry(plain, false, format!("from neighbours{whose}")),
    ]
}

/// Many short sections with long names, few notes, bars for doubt.
fn bore() -> Figure {
    let mut narrow = frame("Bore of each hammer", "Bore, shank axis to crown", "mm", Scale::Linear);
    narrow.sections = vec![
        section("bass, single strings", "A0", "F1"),
        section("bass, pairs", "F#1", "E2"),
        section("low tenor", "F2", "A#2"),
        section("tenor above the strut", "B2", "F4"),
        section("treble", "F#4", "F6"),
        section("high treble", "F#6", "C8"),
    ];
    narrow.breaks.clear();
    let bores = [
        ("A0", 56.7),
        ("C#3", 57.8),
        ("D3", 63.8),
        ("C4", 64.1),
        ("E4", 64.2),
        ("F#5", 64.2),
        ("C8", 63.2),
    ];
    narrow.series = vec![Series {
        name: "samples".to_owned(),
        tone: Tone::Ink,
        line: Line::None,
        across_breaks: true,
        points: bores
            .map(|(name, bore)| Point {
                note: note(name),
                value: Some(bore),
                band: Some((bore - 0.3, bore + 0.3)),
                mark: Some(Mark { shape: Shape::Circle, filled: true }),
            })
            .to_vec(),
    }];
    narrow
}

/// Names as long and as many as a survey may hold, and marked-up ones.
fn hostile(from: &Figure) -> Figure {
    let mut hostile = from.clone();
    hostile.title = "</text><script>alert('x')</script> & a title that goes on and on ".repeat(3);
    hostile.subtitle = "long ".repeat(60);
    hostile.sections = (1..=88)
        .filter_map(Note::from_key)
        .map(|n| Section {
            name: format!("{n} ") + &"name ".repeat(30),
            notes: Compass { first: n, last: n },
        })
        .collect();
    hostile.breaks[0].label = "label ".repeat(40);
    hostile.zones = vec![Zone { from: Some(700.0), to: Some(701.0), label: "zone ".repeat(50) }];
    hostile.series[0].name = "curve ".repeat(50);
    hostile.key[0].text = "key ".repeat(80);
    hostile
}

pub fn all() -> Vec<(&'static str, Figure)> {
    let mut tension = frame(
        "Tension of each string, as found and as proposed",
        "Tension of one string",
        "N",
        Scale::Linear,
    );
    tension.series = vec![
        series("as found", Tone::Ink, pull, 0.02),
        series("proposed", Tone::Accent, |row| pull(row).map(|t| 0.4 * t + 0.6 * 760.0), 0.01),
    ];
    tension.key = [key(Tone::Ink, ", found"), key(Tone::Accent, ", proposed")].concat();
    tension
        .key
        .push(Key {
            sample: Sample::Band(Tone::Ink), text: "± one standard deviation".to_owned()
        });

    let mut load = frame(
        "Load on the wire, in percent of its breaking load",
        "Tension over breaking load",
        "%",
        Scale::Linear,
    );
    load.axis.from_zero = true;
    load.series = vec![series(
        "as found",
        Tone::Ink,
        |row| pull(row).map(|t| t / (row.core.powf(1.75) * 17.2)),
        0.03,
    )];
    load.key = key(Tone::Ink, "");
    load.zones = vec![
        Zone {
            from: Some(70.0),
            to: None,
            label: "above 70 %: little left for pitch raising".to_owned(),
        },
        Zone { from: None, to: Some(20.0), label: "below 20 %: slack, dull tone".to_owned() },
    ];

    let mut b = frame(
        "Inharmonicity of each string",
        "Inharmonicity coefficient B",
        "",
        Scale::Logarithmic,
    );
    b.series = vec![
        series("as found", Tone::Ink, inharmonicity, 0.06),
        series("proposed", Tone::Accent, |row| inharmonicity(row).map(|b| 0.75 * b), 0.03),
    ];
    b.key = key(Tone::Ink, "");

    let mut clipped = load.clone();
    clipped.title.clear();
    clipped
        .title
        .push_str("A short axis: values beyond it are arrowheads, not a line along the edge");
    clipped.axis.range = Some((30.0, 55.0));
    clipped.zones.clear();

    let hostile = hostile(&tension);
    vec![
        ("hostile", hostile),
        ("tension", tension),
        ("load", load),
        ("inharmonicity", b),
        ("clipped", clipped),
        ("bore", bore()),
    ]
}

#[test]
fn no_text_of_a_figure_lies_over_another_or_leaves_it() {
    for (name, figure) in all() {
        let svg = svg(&figure).expect(name);
        super::leave(&format!("{name}.svg"), svg.as_bytes());
        super::leave(&format!("{name}.png"), &png(&svg, 1600).expect(name));
        let boxes = text_boxes(&svg).expect("readable SVG");
        assert!(boxes.texts.len() > 15, "{name}: {} texts", boxes.texts.len());
        assert_eq!(boxes.faults(), [""; 0], "{name}");
    }
}

#[test]
fn pixels_and_bytes_are_the_same_every_time() {
    let figure = &all()[1].1;
    let once = svg(figure).expect("draws");
    assert_eq!(once, svg(figure).expect("draws"));
    assert_eq!(png(&once, 400).expect("draws"), png(&once, 400).expect("draws"));
}

#[test]
fn what_makes_no_picture_is_refused_by_name() {
    let mut figure = all().remove(1).1;
    figure.series[1].points[3].value = Some(f64::NAN);
    assert_eq!(svg(&figure), Err(PlotFault::NotANumber { of: "proposed".to_owned() }));
    figure.series[1].points[3].value = Some(0.0);
    figure.axis.scale = Scale::Logarithmic;
    assert_eq!(svg(&figure), Err(PlotFault::NotAboveZero { of: "proposed".to_owned() }));
    figure.series.clear();
    assert_eq!(svg(&figure), Err(PlotFault::Empty));
}
