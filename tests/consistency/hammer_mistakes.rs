//! Every mistake that spoils a hammer order, made on purpose in a sound survey: the warning of that mistake comes,
//! and did not come before. And readings left out or wild: figures stay figures.

use crate::hammer_orders::{Worked, example, named, note, worked};
use feltwire::instrument::{
    About, HammerRow, HeadMass, Height, HeightsOn, Instrument, Warning, Wear,
};
use feltwire::judgement::hammers;
use feltwire::judgement::limit::Limits;
use feltwire::measure::{
    Input, Measured, Note, Piece, degrees, grams, mm, to_degrees, to_grams, to_mm,
};
use feltwire::order::hammers::Asked;
use rand_distr::{Distribution, Uniform};

fn row<'i>(instrument: &'i mut Instrument, name: &str) -> &'i mut HammerRow {
    let wanted = note(name);
    let mut rows = instrument.hammers.rows.iter_mut();
    rows.find(|row| row.note == wanted).expect("a row of the example")
}

/// The kinds of warning of `instrument`, those of the computation among them.
fn kinds(worked: &Worked) -> Vec<&'static str> {
    worked.action.warnings.iter().chain(&worked.warnings).map(|warning| warning.kind).collect()
}

/// A mistake: the warning, on which example, and how it is made.
type Mistake = (&'static str, &'static str, fn(&mut Instrument));

const MISTAKES: &[Mistake] = &[
    ("sample_off_geometry", "grand", |piano| {
        let bore = row(piano, "B3").bore.as_mut().expect("bore");
        bore.value += mm(4.0);
    }),
    ("sample_off_alone", "upright", |piano| {
        for name in ["A#6", "C8"] {
            row(piano, name).bore = None;
        }
        row(piano, "G5").bore.as_mut().expect("bore").value += mm(3.0);
    }),
    ("section_off_geometry", "upright", |piano| {
        for name in ["A0", "B1", "C#3"] {
            row(piano, name).bore.as_mut().expect("bore").value += mm(2.3);
        }
    }),
    ("height_off_line", "upright", |piano| {
        let read = Measured::new(mm(56.0), mm(0.3));
        row(piano, "B1").height = Some(Height::ShankParallel { shank_to_string: read });
    }),
    ("rake_forgotten", "upright", |piano| {
        piano.hammers.rows.iter_mut().for_each(|row| row.rake = None);
    }),
    ("rake_decided_zero", "upright", |piano| {
        piano.hammers.rows.iter_mut().for_each(|row| row.rake = None);
    }),
    ("rake_from_other_sections", "upright", |piano| {
        for name in ["A0", "B1", "C#3"] {
            row(piano, name).rake = None;
        }
    }),
    ("heights_not_said", "upright", |piano| piano.hammers.heights_on = HeightsOn::NotSaid),
    ("let_strings_settle", "upright", |piano| piano.hammers.heights_on = HeightsOn::NewStrings),
    ("allowance_stated", "grand", |piano| piano.hammers.allowance = Some(mm(0.5))),
    ("allowance_large", "upright", |piano| piano.hammers.allowance = Some(mm(1.5))),
    ("obliquity_acceptable", "upright", |piano| piano.hammers.allowance = Some(mm(3.0))),
    ("obliquity_large", "upright", |piano| piano.hammers.allowance = Some(mm(6.0))),
    ("bore_varies_in_section", "upright", |piano| {
        let read = Measured::new(mm(54.5), mm(0.3));
        row(piano, "C8").height = Some(Height::ShankParallel { shank_to_string: read });
    }),
    ("bore_carried_on", "upright", |piano| {
        row(piano, "C#3").height = None;
        row(piano, "C#3").bore = None;
    }),
    ("bore_doubtful", "upright", |piano| {
        piano.hammers.rows.retain(|row| row.note >= note("D3") || row.note == note("A0"));
        row(piano, "A0").bore = None;
    }),
    ("side_angle_wrong_hand", "upright", |piano| {
        row(piano, "A0").side_angle = Some(Measured::new(degrees(5.5), degrees(0.0)));
    }),
    // Small angles too, if head and string lean to opposite sides by more than a bevel errs.
    ("side_angle_wrong_hand", "upright", |piano| {
        row(piano, "E4").side_angle = Some(Measured::new(degrees(-2.5), degrees(0.0)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "E4").rake = Some(Measured::new(degrees(-2.5), degrees(0.0)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "B1").width = Some(Measured::new(mm(18.0), mm(0.3)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "E4").pitch = Some(Measured::new(mm(15.3), mm(0.3)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "C8").centre_to_head = Some(Measured::new(mm(126.3), mm(0.3)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "A0").blow = Some(Measured::new(mm(54.5), mm(0.5)));
    }),
    ("sample_off_others", "upright", |piano| {
        row(piano, "E4").hole = Some(Measured::new(mm(6.5), mm(0.0)));
    }),
    // The crown's diameter in place of its radius.
    ("sample_off_others", "upright", |piano| {
        let flat = Measured::new(mm(7.5), mm(0.3));
        for name in ["D3", "C4"] {
            let crown_radius = Measured::new(mm(9.5), mm(0.3));
            row(piano, name).wear = Some(Wear::Flat { flat, crown_radius });
        }
        let crown_radius = Measured::new(mm(18.0), mm(0.3));
        row(piano, "E4").wear = Some(Wear::Flat { flat, crown_radius });
        row(piano, "F#5").wear = None;
    }),
    // Bore and tail are the overall height; moulding and felt are the bore.
    ("head_does_not_close", "upright", |piano| {
        row(piano, "E4").head_length = Some(Measured::new(mm(83.2), mm(0.3)));
    }),
    ("head_does_not_close", "upright", |piano| {
        row(piano, "E4").felt = Some(Measured::new(mm(3.1), mm(0.3)));
    }),
    ("head_does_not_close", "upright", |piano| {
        row(piano, "E4").felt = None;
        row(piano, "E4").moulding = Some(Measured::new(mm(70.0), mm(0.3)));
    }),
    // The bass said to end at E3: its heights step by 6 mm between C#3 and D3.
    ("section_border", "upright", |piano| {
        piano.sections[0].notes.last = note("E3");
        piano.sections[0].wound_to = Some(note("E3"));
        piano.sections[1].notes.first = note("F3");
        piano.sections[1].wound_to = None;
    }),
    ("side_angle_full", "upright", |piano| {
        row(piano, "A0").side_angle = Some(Measured::new(degrees(-13.5), degrees(0.0)));
    }),
    ("gap_rest", "upright", |piano| {
        row(piano, "C8").width = Some(Measured::new(mm(12.2), mm(0.1)));
    }),
    ("gap_passing", "upright", |piano| {
        for name in ["A0", "B1", "C#3"] {
            row(piano, name).side_angle = Some(Measured::new(degrees(-14.0), degrees(0.0)));
            row(piano, name).tilt = None;
        }
    }),
    ("tail_long", "upright", |piano| {
        row(piano, "A0").tail = Some(Measured::new(mm(16.0), mm(0.1)));
    }),
    ("shanks_few", "upright", |piano| {
        piano.hammers.rows.iter_mut().skip(2).for_each(|row| row.shank = None);
    }),
    ("shanks_vary", "upright", |piano| {
        row(piano, "A0").shank = Some(Measured::new(mm(5.7), mm(0.01)));
    }),
    ("hole_clearance", "upright", |piano| {
        piano.hammers.rows.iter_mut().for_each(|row| {
            row.hole = row.shank.map(|shank| Measured::new(shank.value + mm(0.4), shank.sd));
        });
    }),
    ("counted_from_wrong_end", "upright", |piano| {
        let mut masses: Vec<_> = piano.hammers.rows.iter().map(|row| row.mass).collect();
        masses.reverse();
        piano.hammers.rows.iter_mut().zip(masses).for_each(|(row, mass)| row.mass = mass);
    }),
    ("sample_mass_off", "upright", |piano| {
        row(piano, "E4").mass = Some(HeadMass::Alone(Measured::new(grams(9.0), grams(0.05))));
    }),
    ("samples_few", "grand", |piano| {
        piano.hammers.rows.iter_mut().skip(3).for_each(|row| row.bore = None);
    }),
    ("friction_high", "upright", |piano| {
        row(piano, "A0").down = Some(Measured::new(grams(80.0), grams(0.5)));
    }),
    // A head far lighter than its set would be replaced by one as heavy as its neighbours.
    ("set_heavy", "upright", |piano| {
        row(piano, "E4").mass = Some(HeadMass::Alone(Measured::new(grams(3.0), grams(0.05))));
    }),
    ("set_light", "grand", |piano| {
        row(piano, "B3").mass = Some(HeadMass::Alone(Measured::new(grams(10.5), grams(0.05))));
    }),
];

/// Mistakes that the examples already make: they are planted, or common to every old set.
const OF_THE_EXAMPLES: [&str; 1] = ["friction_high"];

#[test]
fn every_mistake_is_named_when_it_is_made_and_not_before() {
    for (kind, name, make) in MISTAKES {
        let mut piano = example(name);
        let before = kinds(&worked(piano.clone()));
        let planted = OF_THE_EXAMPLES.contains(kind);
        assert!(planted || !before.contains(kind), "{kind} before it is made, on {name}");
        make(&mut piano);
        let after = kinds(&worked(piano));
        assert!(after.contains(kind), "{kind} on {name}: {after:?}");
    }
}

/// Felt read elsewhere than over the tip at every head is a way of measuring, and said once.
#[test]
fn heads_that_do_not_add_up_all_alike_are_named_together() {
    let mut piano = example("upright");
    for row in &mut piano.hammers.rows {
        if let Some(felt) = &mut row.felt {
            felt.value *= 0.6;
        }
    }
    let found = worked(piano);
    assert_eq!(named(&found.warnings, "head_does_not_close"), [&About::Set]);
}

/// Digits exchanged in one of three or four heights: the others foretell badly what it accuses them of, and the
/// samples' bores say which one it is.
#[test]
fn of_heights_that_accuse_each_other_the_one_off_its_own_sample_is_named() {
    let mut checked = 0;
    for (name, read) in [("A0", 15.2), ("B1", 61.5), ("C#3", 25.5), ("E4", 95.5), ("C8", 85.0)] {
        let mut piano = example("upright");
        let height = Measured::new(mm(read), mm(0.3));
        row(&mut piano, name).height = Some(Height::ShankParallel { shank_to_string: height });
        let worked = worked(piano);
        let named: Vec<&About> = worked
            .warnings
            .iter()
            .filter(|warning| warning.kind == "height_off_line")
            .map(|warning| &warning.about)
            .collect();
        assert_eq!(named, [&About::Note(note(name))], "{name} {read}");
        let blamed = |warning: &&Warning| {
            warning.kind == "sample_off_geometry" && warning.about == About::Note(note(name))
        };
        assert!(!worked.warnings.iter().any(|warning| blamed(&warning)), "{name} {read}");
        checked += 1;
    }
    assert_eq!(checked, 5);
}

/// The tenor said to begin at C#3, a note early: its heights step by 6 mm inside it, and no sound head is accused.
#[test]
fn a_border_in_the_wrong_place_accuses_no_sound_head() {
    let mut piano = example("upright");
    piano.sections[0].notes.last = note("C3");
    piano.sections[0].wound_to = Some(note("C3"));
    piano.sections[1].notes.first = note("C#3");
    let worked = worked(piano);
    assert_eq!(named(&worked.warnings, "section_border"), [&About::Note(note("D3"))]);
    assert!(named(&worked.warnings, "sample_off_geometry").is_empty());
    let off = worked.warnings.iter().find(|warning| warning.kind == "section_off_geometry");
    let said = words(&off.expect("the order is not to be made so").text);
    assert!(said.contains("see first whether the section ends there"), "{said}");
}

/// A bore goes with the hanging distance times the sine of the rake: all rakes read with the wrong sign put every
/// section off by twice that, and it is said.
#[test]
fn rakes_read_with_the_wrong_sign_throughout_are_told_by_the_bores() {
    let mut piano = example("upright");
    for row in &mut piano.hammers.rows {
        if let Some(rake) = &mut row.rake {
            rake.value = degrees(-to_degrees(rake.value));
        }
    }
    let worked = worked(piano);
    let off: Vec<String> = worked
        .warnings
        .iter()
        .filter(|warning| warning.kind == "section_off_geometry")
        .map(|warning| words(&warning.text))
        .collect();
    assert_eq!(off.len(), 3, "{off:?}");
    assert!(off.iter().all(|text| text.contains("sign of rake_deg")), "{off:?}");
}

/// The words of a sentence, its figures left out.
fn words(text: &feltwire::measure::Sentence) -> String {
    let word = |piece: &Piece| match piece {
        Piece::Words(words) => words.clone(),
        _ => String::new(),
    };
    text.0.iter().map(word).collect()
}

/// The mistakes of an order, each with its figure: lengths, angles, masses, shares or counts beside the words.
#[test]
fn every_mistake_is_named_with_its_number() {
    const WITHOUT: [&str; 1] = ["rake_decided_zero"];
    let figures = |warning: &Warning| {
        let words = |piece: &Piece| matches!(piece, Piece::Words(_) | Piece::Note(_));
        warning.text.0.iter().filter(|piece| !words(piece)).count()
    };
    for (kind, name, make) in MISTAKES {
        let mut piano = example(name);
        make(&mut piano);
        let worked = worked(piano);
        let all = worked.action.warnings.iter().chain(&worked.warnings);
        for warning in all.filter(|warning| warning.kind == *kind) {
            // Its figure is what a degree does, in words.
            let said = figures(warning) > 0 || WITHOUT.contains(kind);
            assert!(said, "{kind}: {:?}", warning.text);
        }
    }
    let worked = worked(example("upright"));
    let to_go = hammers::warnings(&worked.instrument, &worked.action, &Limits::default(), &[0]);
    for kind in ["heights_on_strings_to_go", "bore_from_worn_samples", "plain_height_is_not_bore"] {
        let found = to_go.iter().find(|warning| warning.kind == kind).expect("said");
        assert!(figures(found) > 0, "{kind}: {:?}", found.text);
    }
}

/// What every old set says of itself, and where it comes from.
#[test]
fn what_holds_of_every_old_set_is_said_once() {
    for name in ["upright", "grand"] {
        let worked = worked(example(name));
        for kind in ["heights_on_old_strings", "bore_from_worn_samples", "plain_height_is_not_bore"]
        {
            assert_eq!(named(&worked.warnings, kind).len(), 1, "{kind} on {name}");
        }
        assert!(!named(&worked.warnings, "bore_steps_at_break").is_empty(), "{name}");
    }
}

#[test]
fn strings_to_go_are_named_by_section_and_boxed() {
    let piano = worked(example("upright"));
    let limits = Limits::default();
    let warnings = hammers::warnings(&piano.instrument, &piano.action, &limits, &[0, 2]);
    let about = named(&warnings, "heights_on_strings_to_go");
    let section = |name: &str| About::Section(name.to_owned());
    assert_eq!(about, [&section("bass"), &section("treble")]);
    assert!(hammers::BOXED.contains(&"heights_on_strings_to_go"));
    assert!(named(&warnings, "heights_on_old_strings").is_empty(), "one of the two is enough");
}

/// A bore known too badly is not ordered but made to a sample; so is what was never read.
#[test]
fn what_is_not_known_well_enough_is_made_to_a_sample() {
    let mut piano = example("upright");
    for name in ["B1", "C#3"] {
        row(&mut piano, name).height = None;
        row(&mut piano, name).bore = None;
    }
    row(&mut piano, "A0").bore = None;
    let worked = worked(piano);
    let head = |name: &str| worked.order.notes.iter().find(|head| head.note == note(name));
    let nearest = Asked::NotMeasured { make_to_sample: Some(note("C#3")) };
    assert_eq!(head("C#3").expect("a head").bore, nearest);
    assert!(head("A0").expect("a head").bore.value().is_some(), "read there");
}

/// Wear taken from `row`, whatever was read of it before.
fn scaled(row: &mut HammerRow, factor: f64) {
    if let Some(Wear::Flat { flat, .. } | Wear::Outline { flat, .. }) = &mut row.wear {
        flat.value *= factor;
    }
}

/// Readings left out by lot, and some of them wild: no figure is anything but finite, nothing panics, sections
/// still add up.
#[test]
fn whatever_is_left_out_or_wild_figures_stay_finite() {
    for draw in 0..400 {
        let mut stream = Input::new(7, "holes").draw(draw);
        let mut lot = || Uniform::new(0.0, 1.0).expect("an interval").sample(&mut stream);
        let share = lot();
        let mut piano = example(if draw % 2 == 0 { "upright" } else { "grand" });
        for row in &mut piano.hammers.rows {
            let mut gone = || lot() < share;
            if gone() {
                row.height = None;
            }
            if gone() {
                row.centre_to_head = None;
            }
            if gone() {
                row.rake = None;
            }
            if gone() {
                row.bore = None;
            }
            if gone() {
                row.wear = None;
            }
            if gone() {
                row.mass = None;
            }
            if gone() {
                row.side_angle = None;
            }
            if gone() {
                row.splay = None;
            }
            if gone() {
                row.width = None;
            }
            if gone() {
                row.blow = None;
            }
            if gone() {
                row.down = None;
            }
            if gone() {
                row.filed = true;
            }
            if gone() {
                scaled(row, 3.0);
            }
            if gone() && gone() {
                row.bore = Some(Measured::new(mm(149.0), mm(0.3)));
            }
            if gone() && gone() {
                row.centre_to_head = Some(Measured::new(mm(50.0), mm(0.3)));
            }
            if gone() && gone() {
                row.rake = Some(Measured::new(degrees(-19.0), degrees(0.5)));
            }
        }
        let worked = worked(piano);
        finite(&worked);
        let heads: usize = worked.order.sections.iter().map(|section| section.count).sum();
        assert_eq!(heads, worked.instrument.compass.len());
    }
}

fn finite(worked: &Worked) {
    let told = format!("{:?} {:?} {:?}", worked.action, worked.order, worked.warnings);
    assert!(!told.contains("NaN") && !told.contains("inf"), "a figure is not finite");
    let known = |note: Note| worked.action.note(note).expect("every note has an entry");
    for entry in &worked.action.notes {
        let bore = entry.bore_ordered.map_or(60.0, |bore| to_mm(bore.value));
        assert!((0.0..400.0).contains(&bore), "{} {bore}", entry.note);
        let mass = entry.head_mass.map_or(5.0, |mass| to_grams(mass.value));
        assert!(mass > 0.0, "{} {mass}", entry.note);
        let angle = known(entry.note).obliquity.map_or(0.0, |angle| to_degrees(angle.value));
        assert!(angle.abs() < 90.0, "{} {angle}", entry.note);
    }
}
