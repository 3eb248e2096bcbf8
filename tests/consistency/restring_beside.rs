//! Alternatives beside old strings that stay: what is held is held as it was found, what is chosen is the
//! best beside it, and what is chosen is what is bought.

use crate::restring_brute_force::{Tally, keeps, objective};
use crate::restring_piano::{known, report, without_the_slip};
use crate::restring_wound::small_piano;
use feltwire::document::{shapes, text};
use feltwire::instrument::LimitOverride;
use feltwire::judgement::StringVerdict;
use feltwire::judgement::limit::Limits;
use feltwire::measure::{Input, Note, Silent, to_newtons};
use feltwire::order::strings::{
    Alternative, AsIf, Candidate, Course, Fate, HeldPart, Judged, Known, Name, Prefer, Rescale,
    Staying, problem, rescale,
};
use feltwire::report::{Report, Wanted};
use feltwire::scale::breaks::Quantity;
use feltwire::scale::{Scale, StringKind};
use rand::RngExt as _;
use std::collections::BTreeSet;

const TOML: &str = include_str!("../../examples/upright/survey.toml");
const CSV: &str = include_str!("../../examples/upright/strings.csv");
/// Sections of the upright.
const SECTIONS: [&str; 3] = ["bass", "tenor", "treble"];

/// Logarithms of tension, inharmonicity, impedance and load of one string of `note`.
fn figures(scale: &Scale, note: Note) -> [f64; 4] {
    let string = scale.note(note).and_then(|entry| entry.string.as_ref()).expect("a string");
    let load = string.load.map_or(1.0, |load| load.value);
    let b = string.inharmonicity.value.0;
    [to_newtons(string.tension.value), b, string.impedance.value, load].map(f64::ln)
}

/// The upright with these verdicts on its strings.
fn judged(toml: &str, csv: &str, verdicts: [StringVerdict; 3]) -> Report {
    let mut report = report(toml, csv);
    for (section, verdict) in report.judgement.sections.iter_mut().zip(verdicts) {
        section.verdict = verdict;
    }
    report
}

/// Only the tenor gets new sizes, as the upright's own verdicts have it.
fn tenor_alone(csv: &str) -> Report {
    let report = report(TOML, csv);
    let verdicts: Vec<_> = report.judgement.sections.iter().map(|one| one.verdict).collect();
    let [bass, tenor, treble] =
        [StringVerdict::KeepTreatWindings, StringVerdict::RescaleBreak, StringVerdict::Keep];
    assert_eq!(verdicts, [bass, tenor, treble]);
    report
}

/// Whether strings of `note` may go: all of the tenor, and those of the bass that lie beside the break C#3/F3, as
/// many keys off as the limit `restring_beside` says (10).
fn may_go(note: Note) -> bool {
    let at = |name| Note::parse(name).expect("a note");
    (at("E2")..=at("F#5")).contains(&note)
}

/// How many they are.
const MAY_GO: usize = 39;

fn worked(report: &Report, wanted: Wanted) -> Rescale {
    report.rescale(&Name::ALL, &Prefer::default(), wanted, &Silent).expect("not stopped")
}

#[test]
fn no_alternative_touches_strings_that_stay() {
    let report = tenor_alone(CSV);
    let worked = worked(&report, Wanted::Advised);
    assert_eq!(worked.alternatives.len(), 6, "{:?}", worked.refused);
    for one in &worked.alternatives {
        assert_eq!(one.choice.notes.len(), 88);
        let mut held = 0;
        for entry in &one.choice.notes {
            if !may_go(entry.note) {
                assert!(entry.stays && !entry.changed, "{:?}: {}", one.name, entry.note);
            }
            if entry.stays {
                let now = figures(&one.judged.scale, entry.note);
                let found = figures(&report.scale, entry.note);
                // The very same string: not a digit may part.
                for (now, found) in now.into_iter().zip(found) {
                    assert!((now - found).abs() < 1e-12, "{:?}: {}", one.name, entry.note);
                }
                held += 1;
            }
        }
        assert!((88 - MAY_GO..=88).contains(&held), "{:?}: {held}", one.name);
        assert_eq!(one.totals.open, MAY_GO);
        assert_eq!(one.totals.changed, 88 - held, "what is not changed stays, and costs nothing");
        let sizes: BTreeSet<u64> = one
            .choice
            .notes
            .iter()
            .filter(|entry| !entry.stays && entry.kind() == StringKind::Plain)
            .map(|entry| entry.wire().diameter.value.to_bits())
            .collect();
        assert_eq!(one.totals.plain_sizes, sizes.len(), "sizes to buy");
    }
    let copy = &worked.alternatives[0];
    assert_eq!((copy.name, copy.totals.changed, copy.totals.plain_sizes), (Name::Copy, 0, 0));
}

/// The course of an alternative beside what stays, and what was chosen of it.
fn course_of(report: &Report, staying: &Staying, one: &Alternative) -> (Course, Vec<usize>) {
    let known = Known { staying, ..known(report) };
    let (course, makes) =
        problem(&known, one.name, &Prefer::default(), &Silent).expect("not stopped");
    let chosen = one.choice.notes.iter().zip(&makes).map(|(entry, makes)| {
        // The old string stands last among what a note may have.
        let last = makes.len() - 1;
        if entry.stays { Some(last) } else { makes.iter().position(|make| *make == entry.make) }
    });
    let chosen: Vec<usize> = chosen.map(|at| at.expect("among what it could get")).collect();
    (course, chosen)
}

/// The objective from the strings as they would be, with what stays in it; and no change of one note or
/// of two neighbours betters it.
#[test]
fn the_best_beside_old_strings_adds_up_and_cannot_be_bettered_nearby() {
    let report = tenor_alone(&without_the_slip());
    let staying = report.staying(Wanted::Advised);
    let worked = worked(&report, Wanted::Advised);
    let mut tried = 0;
    for name in [Name::Smooth, Name::Lighter, Name::WholeSizes, Name::BreakOnly] {
        let one = worked.alternatives.iter().find(|one| one.name == name).expect("possible");
        let (mut course, choice) = course_of(&report, &staying, one);
        for (place, (at, entry)) in
            course.places.iter_mut().zip(choice.iter().zip(&one.choice.notes))
        {
            let now = figures(&one.judged.scale, entry.note);
            for (course, scale) in place.candidates[*at].ln.into_iter().zip(now) {
                // Two ways to compute one new string; of an old one there is but one.
                let off = if entry.stays { 1e-12 } else { 1e-9 };
                assert!((course - scale).abs() < off, "{name:?}: {}", entry.note);
            }
            if entry.stays {
                place.candidates[*at].ln = now;
            }
        }
        let least = objective(&course, &choice);
        assert!((least - one.terms.sum()).abs() < 1e-9 * least, "{name:?}: {least}");
        assert!(keeps(&course, &choice), "{name:?}");
        for i in 0..choice.len() - 1 {
            for a in 0..course.places[i].candidates.len() {
                for b in 0..course.places[i + 1].candidates.len() {
                    let mut other = choice.clone();
                    (other[i], other[i + 1]) = (a, b);
                    if other != choice && keeps(&course, &other) {
                        let sum = objective(&course, &other);
                        assert!(sum > least - 1e-9, "{name:?} at place {i}: {sum} < {least}");
                        tried += 1;
                    }
                }
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

/// Whether a candidate is the string of `note` as found.
fn is_old(candidate: &Candidate, scale: &Scale, note: Note) -> bool {
    let found = figures(scale, note);
    candidate.ln.into_iter().zip(found).all(|(ln, found)| (ln - found).abs() < 1e-12)
        && candidate.breach.iter().all(|breach| *breach == 0.0)
}

#[test]
fn small_pianos_with_strings_that_stay_are_solved_as_brute_force_solves_them() {
    let mut tally = Tally::default();
    let (mut held, mut may_stay) = (0, 0);
    for draw in 0..90 {
        let (toml, csv) = small_piano(draw);
        let report = report(&toml, &csv);
        let mut stream = Input::new(13, "what stays").draw(draw);
        let fates: Vec<(Note, Fate)> = report
            .scale
            .notes
            .iter()
            .map(|entry| match stream.random_range(0..3) {
                0 => (entry.note, Fate::Stays),
                1 => (entry.note, Fate::IfChanged),
                _ => (entry.note, Fate::Goes),
            })
            .collect();
        let staying = Staying::of_notes(fates.clone());
        let name = [Name::Smooth, Name::Lighter, Name::WholeSizes][draw as usize % 3];
        let known = Known { staying: &staying, ..known(&report) };
        let (mut course, _) =
            problem(&known, name, &Prefer::default(), &Silent).expect("not stopped");
        assert_eq!(course.places.len(), fates.len());
        for (place, (note, fate)) in course.places.iter().zip(&fates) {
            let old = place.candidates.iter().filter(|one| is_old(one, &report.scale, *note));
            let old = old.count();
            match fate {
                Fate::Stays => assert_eq!((place.candidates.len(), old), (1, 1), "{note}"),
                Fate::IfChanged => assert!(old >= 1, "{note} may keep its strings"),
                Fate::Goes => {}
            }
            held += usize::from(*fate == Fate::Stays);
            may_stay += usize::from(*fate == Fate::IfChanged);
        }
        check_cap(&report, &course, &fates, name);
        tally.compare(&course, &format!("piano {draw}, as it is"));
        course.most_pull = None;
        tally.with_caps(course, &format!("piano {draw}"));
    }
    assert!(held >= 150 && may_stay >= 150, "{held} {may_stay}");
    assert!(tally.same + tally.tied >= 200, "{} {}", tally.same, tally.tied);
    assert!(tally.capped >= 100, "{}", tally.capped);
}

/// 2 % more than all as found at most; or 5 % less at least, of what may go.
fn check_cap(report: &Report, course: &Course, fates: &[(Note, Fate)], name: Name) {
    let pull = |open: bool| -> f64 {
        let notes = fates.iter().filter(|(_, fate)| (*fate != Fate::Stays) == open);
        let pull = notes.map(|(note, _)| {
            let entry = report.scale.note(*note).expect("a note");
            let tension = entry.string.as_ref().expect("a string").tension.value;
            f64::from(entry.strings.expect("counted")) * to_newtons(tension)
        });
        pull.sum()
    };
    let most = match name {
        Name::Lighter => pull(false) + 0.95 * pull(true),
        _ => 1.02 * (pull(false) + pull(true)),
    };
    let ours = course.most_pull.expect("a cap");
    assert!((ours - most).abs() < 1e-9 * most, "{name:?}: {ours} for {most}");
}

#[test]
fn every_note_that_changes_is_bought_and_no_other_of_the_break() {
    let report = tenor_alone(CSV);
    let worked = worked(&report, Wanted::Advised);
    let mut bought = 0;
    for one in &worked.alternatives {
        let order = report.string_order_as(one.name, Wanted::Advised, &Silent);
        let order = order.expect("not stopped");
        let changed = one.choice.notes.iter().filter(|entry| entry.changed);
        let changed: Vec<Note> = changed.map(|entry| entry.note).collect();
        let going: Vec<Note> = order.going.iter().map(|going| going.note).collect();
        assert_eq!(changed, going, "{:?}", one.name);
        assert!(order.going.iter().all(|going| going.whole && may_go(going.note)));
        for line in &order.plain {
            let chosen = one.choice.note(line.note).expect("a note");
            assert_eq!(chosen.wire(), line.wire, "{:?}: {}", one.name, line.note);
        }
        bought += going.len();
    }
    assert!(bought >= 20, "{bought}");
}

/// Beside what stays, too, new sizes make the break smoother than it was found, in tension and in inharmonicity, and
/// the piano pulls no more than 2 % above what was found.
#[test]
fn the_break_gets_smoother_beside_what_stays() {
    let worked = worked(&tenor_alone(&without_the_slip()), Wanted::Advised);
    let step = |judged: &Judged, quantity| {
        let place = judged.wound_to_plain().expect("wound below, plain above");
        place.step(quantity).expect("notes enough").ln.abs()
    };
    for name in [Name::Smooth, Name::Lighter, Name::WholeSizes, Name::BreakOnly] {
        let one = worked.alternatives.iter().find(|one| one.name == name).expect("possible");
        for quantity in [Quantity::Tension, Quantity::Inharmonicity] {
            let (found, now) = (step(&worked.found, quantity), step(&one.judged, quantity));
            assert!(now < found, "{name:?}, {quantity:?}: {now} is no smoother than {found}");
        }
        assert!((one.totals.pull / one.totals.found).value <= 1.02, "{name:?}");
    }
}

/// A break has two sides only where both may be touched: what is kept as a document, or not settled, stays.
#[test]
fn what_is_documented_or_not_settled_is_not_changed_for_a_break_beside_it() {
    use StringVerdict as V;
    for (verdict, changes) in [
        (V::Keep, true),
        (V::KeepTreatWindings, true),
        (V::ReplaceNamed, true),
        (V::Document, false),
        (V::NotMeasured, false),
        (V::KeepLowerPitch, false),
    ] {
        let report = judged(TOML, CSV, [verdict, V::RescaleBreak, V::Keep]);
        let staying = report.staying(Wanted::Advised);
        let below = Note::parse("C#3").expect("a note");
        let fate = if changes { Fate::IfChanged } else { Fate::Stays };
        assert_eq!(staying.fate(below), fate, "{verdict:?}");
        assert_eq!(staying.fate(Note::A0), Fate::Stays, "{verdict:?}");
    }
}

/// A reach beyond the keyboard is the whole keyboard.
#[test]
fn a_reach_beyond_the_keyboard_opens_all_of_it() {
    let mut report = tenor_alone(CSV);
    let reach = LimitOverride { name: "restring_beside".to_owned(), value: 240.0 };
    report.limits = Limits::with(&[reach]);
    let staying = report.staying(Wanted::Advised);
    for note in report.instrument.compass.notes() {
        assert_eq!(staying.fate(note), Fate::IfChanged, "{note}");
    }
    let names = [Name::BreakOnly];
    let worked = report.rescale(&names, &Prefer::default(), Wanted::Advised, &Silent);
    assert_eq!(worked.expect("not stopped").alternatives.len(), 1);
}

/// A single string of a section that stays is like its mates, whatever is chosen elsewhere.
#[test]
fn a_single_string_that_is_replaced_where_the_rest_stays_is_a_copy() {
    let toml = TOML.replace("[strings]\n", "[strings]\nreplace = [\"A1\", \"C7\", \"D7\"]\n");
    assert_ne!(toml, TOML);
    let report = report(&toml, CSV);
    let order = |name| report.string_order_as(name, Wanted::Advised, &Silent).expect("not stopped");
    let (copy, smooth) = (order(Name::Copy), order(Name::Smooth));
    let note = |text: &str| Note::parse(text).expect("a note");
    for single in ["C7", "D7"].map(note) {
        let of = |lines: &[feltwire::order::strings::PlainLine]| {
            lines.iter().find(|line| line.note == single).expect("ordered").wire
        };
        let (ours, old) = (of(&smooth.plain), of(&copy.plain));
        assert!(ours.size.is_some(), "{single}: a size that can be bought");
        assert_eq!(ours, old, "{single}");
    }
    let wound = smooth.wound.iter().find(|line| line.note == note("A1")).expect("ordered");
    assert!(!wound.changed);
}

#[test]
fn where_all_is_kept_the_whole_piano_is_worked_out_and_that_is_said() {
    let report = judged(TOML, CSV, [StringVerdict::Keep; 3]);
    let kept = worked(&report, Wanted::Advised);
    assert_eq!(kept.staying.as_if, Some(AsIf::NothingGoes));
    same(&kept, &worked(&report, Wanted::All));
    let said = text::restring(&report, &kept);
    assert!(said.contains("As if every string went"), "{said}");
    assert!(said.contains("bass, tenor and treble (keep)"), "{said}");
    let order = report.string_order(Wanted::Advised, &Silent).expect("not stopped");
    assert!(order.going.is_empty());
    let json = shapes::restring(&report, &kept, &order);
    assert!(json.contains("\"as_if_all\": \"nothing_goes\""));
    // The same where the work is stopped or nothing is settled.
    for verdict in [StringVerdict::Stop, StringVerdict::NotMeasured] {
        let report = judged(TOML, CSV, [verdict; 3]);
        assert_eq!(worked(&report, Wanted::Advised).staying.as_if, Some(AsIf::NothingGoes));
    }
}

/// Two workings of one piano, alternative by alternative.
fn same(ours: &Rescale, theirs: &Rescale) {
    assert_eq!(ours.alternatives.len(), theirs.alternatives.len());
    for (ours, theirs) in ours.alternatives.iter().zip(&theirs.alternatives) {
        assert_eq!(ours.name, theirs.name);
        assert_eq!(ours.choice, theirs.choice, "{:?}", ours.name);
        assert_eq!((ours.terms, ours.totals), (theirs.terms, theirs.totals), "{:?}", ours.name);
    }
    assert_eq!(ours.found_totals, theirs.found_totals);
    assert_eq!((&ours.extents, &ours.swayed), (&theirs.extents, &theirs.swayed));
}

#[test]
fn at_wish_the_whole_piano_is_worked_out_and_that_is_said() {
    let report = tenor_alone(CSV);
    let all = worked(&report, Wanted::All);
    let whole = rescale(&known(&report), &Name::ALL, &Prefer::default(), &Silent);
    same(&all, &whole.expect("not stopped"));
    assert_eq!(all.staying.as_if, Some(AsIf::Asked));
    assert!(text::restring(&report, &all).contains("As if every string went (--all)"));
    // Where every string goes by itself there is nothing to say.
    let report = judged(TOML, CSV, [StringVerdict::RestringNewScale; 3]);
    let worked = worked(&report, Wanted::Advised);
    same(&worked, &all);
    assert_eq!(worked.staying.as_if, None);
    let said = text::restring(&report, &worked);
    assert!(!said.contains("As if") && !said.contains("old strings stay"), "{said}");
}

#[test]
fn what_is_held_is_said_by_section_and_verdict() {
    let report = tenor_alone(CSV);
    let worked = worked(&report, Wanted::Advised);
    let parts: Vec<(&str, HeldPart)> =
        worked.staying.sections.iter().map(|one| (one.section.as_str(), one.part)).collect();
    let at = |name| Note::parse(name).expect("a note");
    let beside = HeldPart::AllBut { first: at("E2"), last: at("C#3") };
    let wanted = [beside, HeldPart::Unchanged, HeldPart::All];
    assert_eq!(parts, SECTIONS.into_iter().zip(wanted).collect::<Vec<_>>());
    let order = report.string_order(Wanted::Advised, &Silent).expect("not stopped");
    let json = shapes::restring(&report, &worked, &order);
    assert!(json.contains("\"as_if_all\": null"));
    let held = "\"section\": \"treble\",\n      \"strings\": \"all\",\n      \"verdict\": \"keep\"";
    assert!(json.contains(held), "{json}");
}

/// Of a section whose wound set is replaced, the plain strings stay, and none of them can be wound.
#[test]
fn where_only_the_wound_strings_go_the_plain_ones_are_held() {
    use StringVerdict as V;
    let report = judged(TOML, CSV, [V::ReplaceWoundSame, V::ReplaceWoundStock, V::Keep]);
    let worked = worked(&report, Wanted::Advised);
    let parts: Vec<HeldPart> = worked.staying.sections.iter().map(|one| one.part).collect();
    assert_eq!(parts, [HeldPart::Plain, HeldPart::All]);
    for one in &worked.alternatives {
        for entry in &one.choice.notes {
            let found = report.scale.note(entry.note).and_then(|note| note.kind);
            assert_eq!(entry.stays, found == Some(StringKind::Plain), "{}", entry.note);
        }
        let order = report.string_order_as(one.name, Wanted::Advised, &Silent);
        let going: Vec<Note> =
            order.expect("not stopped").going.iter().map(|going| going.note).collect();
        let new = one.choice.notes.iter().filter(|entry| !entry.stays);
        assert_eq!(going, new.map(|entry| entry.note).collect::<Vec<_>>(), "{:?}", one.name);
    }
    assert!(worked.extents.iter().all(|one| one.extent.notes < 0));
    assert_eq!(worked.extents_held.len(), 1);
}

#[test]
fn where_the_strings_beside_the_foot_stay_no_other_number_can_be_wound() {
    use StringVerdict as V;
    let report = judged(TOML, CSV, [V::RestringSame, V::Keep, V::Keep]);
    let worked = worked(&report, Wanted::Advised);
    assert!(worked.extents.is_empty());
    assert!(worked.alternatives.iter().all(|one| one.name != Name::WindFurther));
    let said = text::restring(&report, &worked);
    for words in ["no more notes can be wound: F3", "no fewer notes can be wound: E3"] {
        assert!(said.contains(words), "{said}");
    }
}

/// Notes of which nothing is known are passed over, held or not.
#[test]
fn a_note_without_a_string_is_no_hindrance() {
    let mut report = tenor_alone(CSV);
    for unknown in ["C3", "F4"].map(|note| Note::parse(note).expect("a note")) {
        let believed = report.belief.notes.iter_mut().find(|entry| entry.note == unknown);
        believed.expect("of the compass").string = None;
        let computed = report.scale.notes.iter_mut().find(|entry| entry.note == unknown);
        computed.expect("of the compass").string = None;
    }
    let worked = worked(&report, Wanted::Advised);
    assert_eq!(worked.alternatives.len(), 6, "{:?}", worked.refused);
    for one in &worked.alternatives {
        assert_eq!(one.choice.notes.len(), 86);
        // Both may go.
        assert_eq!(one.totals.open, MAY_GO - 2);
        assert!(one.choice.notes.iter().all(|entry| may_go(entry.note) || entry.stays));
    }
}
