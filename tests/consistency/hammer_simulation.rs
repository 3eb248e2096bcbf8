//! Hammer orders for simulated pianos whose true bores are known.
//!
//! A piano has three sections. In each the shank-to-string distance D runs along a straight line with a little
//! sag and scatter from note to note; rake, hanging distance and shank offset are its own, the offset with a little
//! scatter from butt to butt. The old heads were
//! bored for a square strike, give or take what a maker keeps, and are worn by their own amount. Then somebody
//! measures: D (0.3 mm, one standard deviation), or height and offset apart (0.5 mm each), hanging distance, bore,
//! flat and crown radius (0.3 mm each), rake exact, at the first, middle and last note of each section.
//! Everything is drawn from streams named by piano and reading; nothing is fitted to the program.

use crate::hammer_orders::example;
use feltwire::action::{self, Action};
use feltwire::instrument::{About, HammerRow, Height, Instrument, Place, Warning, Wear};
use feltwire::judgement::hammers;
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Input, Length, Measured, Note, Stream, degrees, mm, newtons, to_mm};
use feltwire::scale::{Scale, Totals};
use rand_distr::{Distribution, Normal, Uniform};
use std::sync::OnceLock;

/// Pianos simulated for each figure.
const PIANOS: u64 = 2000;

/// How the offsets of one action's butts scatter, mm: they are turned out of one jig.
const BUTTS: f64 = 0.1;

/// How heights are read.
#[derive(Clone, Copy, PartialEq)]
enum Read {
    /// D in one, 0.3 mm.
    Together,
    /// Height and offset apart, 0.5 mm each.
    Apart,
}

/// What is wrong on purpose.
#[derive(Clone, Copy, PartialEq)]
enum Planted {
    Nothing,
    /// One sample's bore off by so much, mm.
    Sample(f64),
    /// All samples of one section off by so much.
    Section(f64),
}

struct Piano {
    instrument: Instrument,
    /// True square bore of every note, mm.
    bores: Vec<f64>,
    planted: Option<About>,
}

fn normal(stream: &mut Stream, sd: f64) -> f64 {
    Normal::new(0.0, sd).expect("a standard deviation").sample(stream)
}

fn uniform(stream: &mut Stream, low: f64, high: f64) -> f64 {
    Uniform::new(low, high).expect("low and high").sample(stream)
}

fn base() -> &'static Instrument {
    static BASE: OnceLock<Instrument> = OnceLock::new();
    BASE.get_or_init(|| {
        let mut instrument = example("upright");
        instrument.strings.clear();
        instrument.hammers.rows.clear();
        instrument.hammers.allowance = None;
        instrument
    })
}

fn read(truth: f64, sd: f64, stream: &mut Stream) -> Measured<Length> {
    Measured::new(mm(truth + normal(stream, sd)), mm(sd))
}

/// Piano number `number`.
fn piano(number: u64, how: Read, planted: Planted) -> Piano {
    let stream = |name: &str| Input::new(1926, name).draw(number);
    let mut instrument = base().clone();
    let rake = uniform(&mut stream("rake"), 0.0, 6.0);
    let offset = uniform(&mut stream("offset"), 0.0, 10.0);
    let (sin, cos) = rake.to_radians().sin_cos();
    let victim = (number % 3) as usize;
    let mut bores = Vec::new();
    let mut about = None;
    for (index, section) in instrument.sections.clone().iter().enumerate() {
        let mut truth = stream(&format!("truth {index}"));
        let mut tools = stream(&format!("tools {index}"));
        let count = section.notes.len();
        let level = if index == 0 { 52.0 } else { 58.0 } + normal(&mut truth, 2.0);
        let (slope, sag) = (normal(&mut truth, 0.03), normal(&mut truth, 0.15));
        let hanging = 136.0 + normal(&mut truth, 2.0);
        let offsets: Vec<f64> = (0..count).map(|_| offset + normal(&mut truth, BUTTS)).collect();
        let distance: Vec<f64> = (0..count)
            .map(|at| {
                let x = at as f64 / (count - 1) as f64;
                let line = level + slope * at as f64 + sag * 4.0 * x * (1.0 - x);
                line + normal(&mut truth, 0.05)
            })
            .collect();
        // Relation 1 with h = D − e.
        let square = |d: f64| d - offset + offset * cos + hanging * sin;
        bores.extend(distance.iter().map(|d| square(*d)));
        let stations = [0, count / 2, count - 1];
        let notes: Vec<Note> = section.notes.notes().collect();
        for (place, at) in stations.into_iter().enumerate() {
            let mut row = HammerRow::empty(notes[at], Place::default());
            row.height = Some(height(distance[at], offsets[at], how, &mut tools));
            row.centre_to_head = Some(read(hanging, 0.3, &mut tools));
            row.rake = Some(Measured::new(degrees(rake), degrees(0.0)));
            // A maker keeps ±0.3, two standard deviations say.
            let mut bored = square(distance[at]) + normal(&mut truth, 0.15);
            match planted {
                Planted::Sample(off) if index == victim && place == (number / 3 % 3) as usize => {
                    bored += off;
                    about = Some(About::Note(notes[at]));
                }
                Planted::Section(off) if index == victim => {
                    bored += off;
                    about = Some(About::Section(section.name.clone()));
                }
                _ => {}
            }
            let key = f64::from(notes[at].key());
            worn(&mut row, bored, 11.5 - 0.075 * key, &mut truth, &mut tools);
            instrument.hammers.rows.push(row);
        }
    }
    Piano { instrument, bores, planted: about }
}

fn height(distance: f64, offset: f64, how: Read, tools: &mut Stream) -> Height {
    match how {
        Read::Together => Height::ShankParallel { shank_to_string: read(distance, 0.3, tools) },
        Read::Apart => Height::Centre {
            centre_to_string: read(distance - offset, 0.5, tools),
            shank_offset: read(offset, 0.5, tools),
        },
    }
}

/// A crown of radius `radius` worn flat: the chord that cuts off what is lost.
fn worn(row: &mut HammerRow, bored: f64, radius: f64, truth: &mut Stream, tools: &mut Stream) {
    let lost = radius * uniform(truth, 0.03, 0.15);
    let flat = 2.0 * (radius.powi(2) - (radius - lost).powi(2)).sqrt();
    row.bore = Some(read(bored - lost, 0.3, tools));
    row.wear =
        Some(Wear::Flat { flat: read(flat, 0.3, tools), crown_radius: read(radius, 0.3, tools) });
}

fn worked(piano: &Piano) -> (Action, Vec<Warning>) {
    let none = Measured::new(newtons(0.0), newtons(0.0));
    let scale = Scale {
        notes: Vec::new(),
        totals: Totals { tension: none, tension_material: none.sd, strings: 0, notes_unknown: 88 },
        warnings: Vec::new(),
        missing: Vec::new(),
    };
    let limits = Limits::default();
    let action = action::compute(&piano.instrument, &scale, &hammers::agreement(&limits));
    let warnings = hammers::warnings(&piano.instrument, &action, &limits, &[]);
    (action, warnings)
}

fn accused(warnings: &[Warning]) -> Vec<&About> {
    const KINDS: [&str; 3] = ["sample_off_geometry", "sample_off_alone", "section_off_geometry"];
    warnings
        .iter()
        .filter(|warning| KINDS.contains(&warning.kind))
        .map(|warning| &warning.about)
        .collect()
}

/// Shares over all notes of all pianos.
#[derive(Debug, Default)]
struct Shares {
    /// Errors within 0.8 mm.
    within: f64,
    /// Errors within 0.3 mm of the next note's, inside a section.
    even: f64,
    /// Truth inside the 90 % interval printed.
    covered: f64,
    /// Mean printed standard deviation, mm.
    doubt: f64,
    /// Pianos of which at least one sound sample or section was accused.
    accused: f64,
}

fn share(yes: bool) -> f64 {
    f64::from(u8::from(yes))
}

fn shares(how: Read) -> Shares {
    let mut sum = Shares::default();
    let (mut notes, mut pairs) = (0.0, 0.0);
    for number in 0..PIANOS {
        let piano = piano(number, how, Planted::Nothing);
        let (action, warnings) = worked(&piano);
        sum.accused += share(!accused(&warnings).is_empty()) / PIANOS as f64;
        let mut before: Option<(usize, f64)> = None;
        for (entry, truth) in action.notes.iter().zip(&piano.bores) {
            let bore = entry.bore_ordered.expect("heights were read in every section");
            let (error, sd) = (to_mm(bore.value) - truth, to_mm(bore.sd));
            notes += 1.0;
            sum.doubt += sd;
            sum.within += share(error.abs() <= 0.8);
            // 90 % of a normal lies within 1.645 standard deviations.
            sum.covered += share(error.abs() <= 1.645 * sd);
            if let Some((_, last)) = before.filter(|(section, _)| *section == entry.section) {
                pairs += 1.0;
                sum.even += share((error - last).abs() <= 0.3);
            }
            before = Some((entry.section, error));
        }
    }
    for share in [&mut sum.within, &mut sum.covered, &mut sum.doubt] {
        *share /= notes;
    }
    sum.even /= pairs;
    sum
}

/// Share of pianos whose planted fault is named.
fn named(how: Read, planted: Planted) -> f64 {
    let hits = (0..PIANOS).filter(|number| {
        let piano = piano(*number, how, planted);
        let about = piano.planted.as_ref().expect("a fault was planted");
        accused(&worked(&piano).1).contains(&about)
    });
    hits.count() as f64 / PIANOS as f64
}

/// What an order from three heights a section, D read to 0.3 mm, must keep.
#[test]
fn bores_from_d_read_in_one_are_near_even_and_honest() {
    let shares = shares(Read::Together);
    assert!(shares.within >= 0.98, "{shares:?}");
    assert!(shares.even >= 0.95, "{shares:?}");
    assert!((0.88..=0.92).contains(&shares.covered), "{shares:?}");
    assert!(shares.accused <= 0.05, "{shares:?}");
}

/// Height and offset read apart, 0.5 mm each: the doubt printed is wider, and as honest; no sound sample
/// is accused more often.
#[test]
fn bores_from_height_and_offset_apart_are_as_honest_and_say_that_they_are_wider() {
    let (apart, together) = (shares(Read::Apart), shares(Read::Together));
    assert!((0.88..=0.92).contains(&apart.covered), "{apart:?}");
    // √(0.5² + 0.5²/9) over 0.3 is 1.76.
    assert!(apart.doubt > 1.6 * together.doubt, "{apart:?} {together:?}");
    assert!(apart.accused <= 0.05, "{apart:?}");
    assert!(apart.even >= 0.95, "{apart:?}");
}

#[test]
fn a_sample_three_millimetres_off_is_named() {
    for off in [3.0, -3.0] {
        let share = named(Read::Together, Planted::Sample(off));
        assert!(share >= 0.95, "{off}: {share}");
    }
}

#[test]
fn a_section_of_samples_off_by_two_millimetres_and_a_third_is_named() {
    for off in [2.3, -2.3] {
        let share = named(Read::Together, Planted::Section(off));
        assert!(share >= 0.95, "{off}: {share}");
    }
}

/// With height and offset apart the same faults are named nearly as often: butts are alike, so nine readings of the
/// offset are one of 0.17 mm, and what is left of a height is its own 0.5 mm. Measured on three seeds, 2000 pianos
/// each: samples 94.6 to 95.1 %, sections 98.9 to 99.5 %, a sound sample accused in 2.3 to 3.7 %.
#[test]
fn with_height_and_offset_apart_faults_are_named_too() {
    for (planted, least) in [
        (Planted::Sample(3.0), 0.94),
        (Planted::Sample(-3.0), 0.94),
        (Planted::Section(2.3), 0.98),
        (Planted::Section(-2.3), 0.98),
    ] {
        let share = named(Read::Apart, planted);
        assert!(share >= least, "{share}");
    }
}
