//! Hammer heads with the readings of the example upright, and a grand of which little was read.

use feltwire::document::drawing::{DrawingFault, Head, HeadDrawing, side_words, svg};
use feltwire::document::png::{png, text_boxes};
use feltwire::instrument::{HoleKind, Kind};
use feltwire::measure::{Compass, Note, degrees, mm};

fn note(name: &str) -> Note {
    Note::parse(name).expect("a note")
}

fn head(
    title: &str,
    first: &str,
    last: &str,
    bore: f64,
    moulding: f64,
    width: f64,
    side: f64,
) -> Head {
    Head {
        title: title.to_owned(),
        notes: Compass { first: note(first), last: note(last) },
        bore: mm(bore),
        moulding: Some(mm(moulding)),
        overall: Some(mm(bore + 9.0)),
        tail: Some(mm(9.0)),
        width: Some(mm(width)),
        depth: None,
        crown_radius: Some(mm(if bore < 60.0 { 11.5 } else { 5.0 })),
        hole: Some(mm(5.6)),
        hole_kind: Some(HoleKind::Through),
        shank: Some(mm(5.5)),
        rake: Some(degrees(2.5)),
        side_angle: Some(degrees(side)),
        sample: Some(note(first)),
    }
}

pub fn upright() -> HeadDrawing {
    HeadDrawing {
        kind: Kind::Upright,
        heads: vec![
            head("Bass, drawn for A0", "A0", "C#3", 57.2, 41.1, 10.8, -5.5),
            head("Tenor, drawn for E4", "D3", "F#5", 64.7, 53.9, 10.3, 2.5),
            head("Treble, drawn for C8", "G5", "C8", 63.7, 59.8, 9.6, 0.0),
        ],
    }
}

fn grand() -> HeadDrawing {
    let mut bass = head("Bass, drawn for A0", "A0", "F2", 50.0, 34.0, 11.0, 12.0);
    bass.overall = None;
    bass.tail = Some(mm(26.0));
    bass.hole_kind = Some(HoleKind::Blind);
    bass.rake = Some(degrees(-4.0));
    let mut treble = head("Treble", "F#2", "A7", 47.5, 42.0, 10.0, 0.0);
    for missing in [
        &mut treble.moulding,
        &mut treble.overall,
        &mut treble.tail,
        &mut treble.width,
        &mut treble.crown_radius,
        &mut treble.hole,
        &mut treble.shank,
    ] {
        *missing = None;
    }
    treble.hole_kind = None;
    treble.rake = None;
    treble.side_angle = None;
    HeadDrawing { kind: Kind::Grand, heads: vec![bass, treble] }
}

#[test]
fn no_word_of_a_drawing_lies_over_another_or_leaves_it() {
    for (name, drawing) in [("heads-upright", upright()), ("heads-grand", grand())] {
        let svg = svg(&drawing).expect(name);
        super::leave(&format!("{name}.svg"), svg.as_bytes());
        super::leave(&format!("{name}.png"), &png(&svg, 1600).expect(name));
        let boxes = text_boxes(&svg).expect("readable SVG");
        assert_eq!(boxes.faults(), [""; 0], "{name}");
    }
}

#[test]
fn what_was_not_measured_is_said_and_never_invented() {
    let text = svg(&grand()).expect("draws");
    assert!(text.contains("make to sample "), "{text}");
    // Moulding tip, overall, tail, width, hole, rake and side angle of the treble; overall of the bass.
    let texts = text_boxes(&text).expect("readable").texts;
    let marked = ["sample", "⌀ sample", "rake sample", "rear end as sample"];
    assert_eq!(texts.iter().filter(|(words, _)| marked.contains(&words.as_str())).count(), 8);
}

#[test]
fn without_a_sample_the_maker_chooses() {
    let mut drawing = grand();
    drawing.heads[1].sample = None;
    let text = svg(&drawing).expect("draws");
    assert!(text.contains("maker’s choice") && text.contains(">maker<"), "{text}");
}

#[test]
fn the_sense_of_a_side_angle_is_said_in_words() {
    let said = side_words(Kind::Upright, degrees(-5.5));
    assert_eq!(said, "Side angle 5.5°: upper end to the left (bass), seen from the player");
    let said = side_words(Kind::Grand, degrees(3.0));
    assert_eq!(said, "Side angle 3.0°: rear end to the right (treble), seen from the player");
}

#[test]
fn heads_that_cannot_be_are_refused_by_name() {
    let mut drawing = upright();
    drawing.heads[1].overall = Some(mm(80.0));
    let title = drawing.heads[1].title.clone();
    assert_eq!(svg(&drawing), Err(DrawingFault::Contradiction { head: title.clone() }));
    drawing.heads[1].bore = mm(f64::NAN);
    assert_eq!(svg(&drawing), Err(DrawingFault::Impossible { head: title, what: "bore" }));
    drawing.heads.clear();
    assert_eq!(svg(&drawing), Err(DrawingFault::Count(0)));
}
