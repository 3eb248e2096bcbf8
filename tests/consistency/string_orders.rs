//! Orders of strings: every sum added up again from the note table by another way, and never a figure
//! where nothing was read.

use feltwire::instrument::Loop;
use feltwire::instrument::belief::StringKind;
use feltwire::judgement::Asked;
use feltwire::measure::{Note, Silent, to_grams, to_metres, to_mm};
use feltwire::order::strings::{Beyond, Going, Name, StringOrder, Unread, Why, cuts};
use feltwire::report::{Choices, Report, Wanted, build};
use feltwire::survey::{Known, Memory, read};
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// The files of a survey of `examples/`, changed by `edit`.
fn files(name: &str, edit: impl Fn(&str, String) -> String) -> Memory {
    let folder = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut files = Memory::default();
    for entry in std::fs::read_dir(&folder).expect("a folder of this project") {
        let entry = entry.expect("an entry");
        let name = entry.file_name().into_string().expect("a plain name");
        let bytes = std::fs::read(entry.path()).expect("a readable file");
        // A logo is no text.
        let bytes = match String::from_utf8(bytes) {
            Ok(text) => edit(&name, text).into_bytes(),
            Err(picture) => picture.into_bytes(),
        };
        files.0.insert(name, bytes);
    }
    files
}

fn report(files: &Memory) -> Report {
    let survey = read(files, &Known::default()).unwrap_or_else(|f| panic!("{}", f.render(false)));
    // Re-runs say how firm a verdict is, not which.
    let choices = Choices { asked: Asked { draws: 0, year: Some(2026), ..Asked::default() } };
    build(survey.instrument, survey.warnings, survey.hash, &choices, &Silent).expect("not stopped")
}

fn order(report: &Report, wanted: Wanted) -> StringOrder {
    report.string_order(wanted, &Silent).expect("not stopped")
}

/// The order of the old scale, whatever the survey chooses.
fn order_of_the_copy(report: &Report, wanted: Wanted) -> StringOrder {
    report.string_order_as(Name::Copy, wanted, &Silent).expect("not stopped")
}

fn as_it_is(name: &str) -> Report {
    report(&files(name, |_, text| text))
}

/// `strings.csv` with the cells of column `head` as `cell` gives them for each note.
fn with_cells(csv: &str, head: &str, cell: impl Fn(&str) -> Option<String>) -> String {
    let mut lines = csv.lines();
    let heads: Vec<&str> = lines.next().expect("heads").split(',').collect();
    let at = heads.iter().position(|h| *h == head);
    let mut text = heads.join(",") + if at.is_none() { "," } else { "" };
    if at.is_none() {
        text += head;
    }
    for line in lines {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        let put = cell(&cells[0]);
        match (at, put) {
            (Some(at), Some(put)) => cells[at] = put,
            (None, put) => cells.push(put.unwrap_or_default()),
            (Some(_), None) => {}
        }
        text += "\n";
        text += &cells.join(",");
    }
    text + "\n"
}

fn key(note: &str) -> f64 {
    f64::from(Note::parse(note).expect("a note").key())
}

/// The upright with back and front of every string read: a straight course, so that what is expected
/// needs no table.
fn upright_with_ends() -> Memory {
    files("upright", |name, text| {
        if name != "strings.csv" {
            return text;
        }
        let back = with_cells(&text, "back_mm", |note| Some(format!("{}", 140.0 - key(note))));
        with_cells(&back, "front_mm", |note| Some(format!("{}", 90.0 + 0.5 * key(note))))
    })
}

/// Back and front, mm, of the plain strings of a key.
type Beyonds = fn(f64) -> (f64, f64);

/// Adds up metres, mass, wires and strings of plain wire from speaking lengths and counts alone.
fn added_up(
    report: &Report,
    order: &StringOrder,
    ends: Beyonds,
) -> BTreeMap<String, (f64, f64, usize, usize)> {
    // Runs of one wire inside a section: strings in a row.
    let mut runs: Vec<(usize, f64, String, usize, f64, bool)> = Vec::new();
    for line in &order.plain {
        let entry = report.scale.note(line.note).expect("a note");
        let string = entry.string.as_ref().expect("a string");
        let strings = usize::from(entry.strings.expect("counted"));
        let d = to_mm(line.wire.diameter);
        let key = f64::from(line.note.key());
        let (back, front) = ends(key);
        let one =
            to_mm(string.length.value) + back + front + 3.0 * PI * (to_mm(line.pin) + d) + 6.0;
        let name = format!("{d:.4}");
        let double = line.ends.hitch == Some(Loop::Double);
        match runs.last_mut() {
            Some((section, _, last, sum, length, true))
                if double && *section == line.section && *last == name =>
            {
                *sum += strings;
                *length += one * strings as f64;
            }
            _ => runs.push((line.section, d, name, strings, one * strings as f64, double)),
        }
    }
    let mut sums: BTreeMap<String, (f64, f64, usize, usize)> = BTreeMap::new();
    for (_, d, name, strings, length, double) in runs {
        let (wires, own) =
            if double { (strings.div_ceil(2), strings % 2) } else { (strings, strings) };
        let length = 1.05e-3 * (length + 100.0 * (wires + own) as f64);
        let mass = 7850.0 * PI / 4.0 * (d * 1e-3).powi(2) * length * 1e3;
        let sum = sums.entry(name).or_default();
        *sum = (sum.0 + length, sum.1 + mass, sum.2 + wires, sum.3 + strings);
    }
    sums
}

#[track_caller]
fn near(ours: f64, theirs: f64, what: &str) {
    assert!((ours - theirs).abs() <= 1e-9 * theirs.abs().max(1.0), "{what}: {ours} for {theirs}");
}

fn agrees(report: &Report, order: &StringOrder, ends: Beyonds) {
    let theirs = added_up(report, order, ends);
    assert_eq!(order.wire.len(), theirs.len());
    for size in &order.wire {
        let name = format!("{:.4}", to_mm(size.wire.diameter));
        let (metres, mass, wires, strings) = theirs[&name];
        near(to_metres(size.metres), metres, &name);
        near(to_grams(size.mass), mass, &name);
        assert_eq!((size.wires, size.strings), (wires, strings), "{name}");
        // A coil too few leaves the job standing; one too many is a coil too many.
        let coils = size.coils as f64;
        assert!(mass <= 500.0 * coils && mass > 500.0 * (coils - 1.0), "{name}: {coils}");
    }
    // What is cut at the bench is what is bought, before waste.
    let cut = cuts(&order.plain, &order.allowances);
    if let Some(sum) =
        cut.iter().map(|cut| Some(f64::from(cut.count) * to_mm(cut.length?))).sum::<Option<f64>>()
    {
        let net: f64 = order.wire.iter().map(|size| to_mm(size.net)).sum();
        near(net, sum, "cut");
    }
    let wires: usize = cut.iter().map(|cut| usize::from(cut.count)).sum();
    assert_eq!(wires, order.wire.iter().map(|size| size.wires).sum::<usize>());
}

/// Back and front of the plain strings of the grand: not read, so the sums hold nothing in their place.
fn not_read(_: f64) -> (f64, f64) {
    (0.0, 0.0)
}

/// Those put into every row of the upright.
fn straight(key: f64) -> (f64, f64) {
    (140.0 - key, 90.0 + 0.5 * key)
}

/// Those of the upright as it is, read at F3 (key 33) and F#5 (58), G5 (59) and C8 (88): 96 and 118,
/// 71 and 139; 68 and 104, 42 and 126.
fn of_the_upright(key: f64) -> (f64, f64) {
    if key < 58.5 {
        let part = (key - 33.0) / 25.0;
        (96.0 - 25.0 * part, 118.0 + 21.0 * part)
    } else {
        let part = (key - 59.0) / 29.0;
        (68.0 - 26.0 * part, 104.0 + 22.0 * part)
    }
}

#[test]
fn metres_mass_and_counts_add_up_again_from_the_note_table() {
    let cases: [(Memory, Beyonds); 3] = [
        (files("grand", |_, t| t), not_read),
        (files("upright", |_, t| t), of_the_upright),
        (upright_with_ends(), straight),
    ];
    for (files, ends) in cases {
        let report = report(&files);
        let order = order(&report, Wanted::All);
        agrees(&report, &order, ends);
        // Every string that is known is ordered once.
        let wound: usize = order.wound.iter().map(|line| usize::from(line.strings)).sum();
        let plain: usize = order.wire.iter().map(|size| size.strings).sum();
        assert_eq!(wound + plain, report.scale.totals.strings);
        let of_kind = |kind| {
            let notes = report.scale.notes.iter().filter(|note| note.kind == Some(kind));
            notes.map(|note| usize::from(note.strings.unwrap_or(0))).sum::<usize>()
        };
        assert_eq!((wound, plain), (of_kind(StringKind::Wound), of_kind(StringKind::Plain)));
        let shares: usize = order.sections.iter().map(|share| share.wound + share.plain).sum();
        assert_eq!(shares, wound + plain);
    }
}

/// Tenor of the upright: 26 notes of three from F3 to F#5; each run of one size has one wire for two
/// strings, and a loop of its own where the number is odd. By hand: F3 to G3 are 9 strings, 5 wires.
#[test]
fn strings_share_wires_across_notes_of_one_size() {
    let report = report(&upright_with_ends());
    let order = order_of_the_copy(&report, Wanted::All);
    let line = |name: &str| {
        let note = Note::parse(name).expect("a note");
        order.plain.iter().find(|line| line.note == note).expect("a plain note")
    };
    let said = |name: &str| {
        let l = line(name);
        (l.shares_down, l.pairs, l.shares_up, l.own)
    };
    assert_eq!(said("F3"), (false, 1, true, 0));
    assert_eq!(said("F#3"), (true, 1, false, 0));
    assert_eq!(said("G3"), (false, 1, false, 1));
    // Nothing is shared across the break at F#5/G5, whatever the size.
    assert!(!line("F#5").shares_up && !line("G5").shares_down);
    let total: usize = order.plain.iter().map(|l| usize::from(2 * l.pairs + l.own)).sum();
    let shared: usize = order.plain.iter().map(|l| 2 * usize::from(l.shares_up)).sum();
    assert_eq!(total + shared, 168, "every string is on some wire");
}

/// A0 of the upright by hand: back 116, bare back 20, length 1152.5, bare front 21.5, front 103; pins of
/// 7.00 mm, core No. 24 (0.055 in = 1.397 mm): start 136, end 1247, tail 116 + 1152.5 + 103 +
/// 3 π (7.00 + 1.397) + 6 + 100 = 1556.6 mm.
#[test]
fn a_wound_string_is_measured_from_its_loop() {
    let order = order_of_the_copy(&as_it_is("upright"), Wanted::All);
    let a0 = &order.wound[0];
    assert_eq!((a0.note, a0.number, a0.strings), (Note::A0, 1, 1));
    assert!(!a0.needs_pattern());
    for layer in &a0.layers {
        near(to_mm(layer.start.expect("read")), 136.0, "start");
        near(to_mm(layer.end.expect("read")), 1247.0, "end");
    }
    let tail = 116.0 + 1152.5 + 103.0 + 3.0 * PI * (7.0 + 1.397) + 106.0;
    near(to_mm(a0.total.expect("read")), tail, "in all");
}

#[test]
fn where_back_front_or_bare_ends_were_not_read_the_old_string_is_the_pattern() {
    // D1, D#2, A1 and A2 of the upright have an end that was not read; D2 no length.
    let upright = order_of_the_copy(&as_it_is("upright"), Wanted::All);
    let patterns: Vec<String> = upright
        .wound
        .iter()
        .filter(|line| line.needs_pattern())
        .map(|line| line.note.to_string())
        .collect();
    assert_eq!(patterns, ["D1", "A1", "D2", "D#2", "A2"]);
    // The grand's were read of none: no figure stands in their place.
    let grand = order(&as_it_is("grand"), Wanted::All);
    assert_eq!(grand.wound.len(), 27);
    for line in &grand.wound {
        assert!(line.pattern_for.contains(&Unread::Back), "{}", line.note);
        assert_eq!(line.total, None, "{}", line.note);
        assert!(line.layers.iter().all(|layer| layer.start.is_none() && layer.end.is_none()));
    }
    let read = ["A0", "E1", "F1", "B1", "F2", "F#2", "G2", "A2", "B2"];
    for line in &grand.wound {
        let note = line.note.to_string();
        assert_eq!(line.all_as_pattern(), !read.contains(&note.as_str()), "{note}");
    }
    // And of one string alone, its back left out.
    let without = report(&files("upright", |name, text| {
        if name != "strings.csv" {
            return text;
        }
        with_cells(&text, "back_mm", |note| (note == "C2").then(String::new))
    }));
    let order = order(&without, Wanted::All);
    let c2 = order.wound.iter().find(|line| line.note.to_string() == "C2").expect("C2");
    assert_eq!(c2.pattern_for, [Unread::Back]);
    assert!(c2.total.is_none() && c2.layers[0].start.is_none() && c2.layers[0].end.is_none());
    let said = format!("{:?}", order.enclose);
    assert!(said.contains("send the old strings as patterns, labelled"), "{said}");
}

#[test]
fn metres_of_plain_wire_say_when_ends_were_not_read_and_run_evenly_between_readings() {
    let bare = report(&files("upright", |name, text| {
        if name != "strings.csv" {
            return text;
        }
        let plain = |note: &str| (key(note) > key("E3")).then(String::new);
        with_cells(&with_cells(&text, "back_mm", plain), "front_mm", plain)
    }));
    let bare = order(&bare, Wanted::All);
    assert!(bare.wire.iter().all(|size| size.short_of == size.strings));
    assert!(bare.settle.iter().any(|said| format!("{said:?}").contains("bearing to tuning pin")));
    // Read at the ends of both plain sections: even between, and complete.
    let at_ends = ["F3", "F#5", "G5", "C8"];
    let sparse = report(&files("upright", |name, text| {
        if name != "strings.csv" {
            return text;
        }
        let at = |note: &str| at_ends.contains(&note);
        let back = with_cells(&text, "back_mm", |n| at(n).then(|| format!("{}", 140.0 - key(n))));
        with_cells(&back, "front_mm", |n| at(n).then(|| format!("{}", 90.0 + 0.5 * key(n))))
    }));
    let (sparse, full) =
        (order(&sparse, Wanted::All), order(&report(&upright_with_ends()), Wanted::All));
    assert!(
        sparse.settle.iter().all(|said| !format!("{said:?}").contains("bearing to tuning pin"))
    );
    for (a, b) in sparse.wire.iter().zip(&full.wire) {
        near(to_metres(a.metres), to_metres(b.metres), "straight courses are carried exactly");
    }
    // One reading makes no course.
    let one = report(&files("upright", |name, text| {
        if name != "strings.csv" {
            return text;
        }
        with_cells(&text, "back_mm", |note| match note {
            "F3" => Some("95".to_owned()),
            note if key(note) > key("E3") => Some(String::new()),
            _ => None,
        })
    }));
    let one = order(&one, Wanted::All);
    let read = one.plain.iter().filter(|line| line.ends.back != Beyond::NotRead);
    assert_eq!(read.map(|line| line.note.to_string()).collect::<Vec<_>>(), ["F3"]);
}

#[test]
fn only_what_must_go_is_ordered_unless_all_is_asked_for() {
    // The grand: the tenor is restrung because of its pins, the rest is not measured.
    let grand = as_it_is("grand");
    let advised = order(&grand, Wanted::Advised);
    let tenor = 1;
    assert!(advised.going.iter().all(|going| going.section == tenor && going.whole));
    let strings: usize = advised.going.iter().map(|going| usize::from(going.strings)).sum();
    let of_tenor = grand.scale.notes.iter().filter(|note| note.section == tenor);
    let counted: usize = of_tenor.map(|note| usize::from(note.strings.expect("counted"))).sum();
    assert_eq!(strings, counted);
    // One pin a string, of the size after 1/0.
    let pins: Vec<_> = advised.pins.iter().filter(|line| line.is_ordered()).collect();
    assert_eq!(pins.len(), 1);
    assert_eq!((pins[0].region.as_str(), pins[0].pins), ("middle", Some(counted)));
    assert_eq!(pins[0].size().expect("a next size").size, "2/0");
    // The survey may ask for more, section by section.
    let asked = report(&files("grand", |name, text| {
        if name == "survey.toml" {
            text.replace("[strings]\n", "[strings]\nrestring = [\"treble\"]\n")
        } else {
            text
        }
    }));
    let asked = order(&asked, Wanted::Advised);
    let sections: std::collections::BTreeSet<usize> =
        asked.going.iter().map(|going| going.section).collect();
    assert_eq!(sections.into_iter().collect::<Vec<_>>(), [1, 2]);
}

#[test]
fn single_strings_are_ordered_alike_and_a_wire_of_two_is_replaced_whole() {
    let upright = order(&as_it_is("upright"), Wanted::Advised);
    assert!(!upright.going.iter().any(Going::is_single), "both broken ones are replaced");
    let change = |text: String| {
        text.replace("[strings]\n", "[strings]\nreplace = [\"A1\", \"C7\"]\nspares = [\"A1\"]\n")
            .replace("note  = \"F6\"", "note  = \"D6\"")
    };
    let changed =
        report(&files(
            "upright",
            |name, text| {
                if name == "survey.toml" { change(text) } else { text }
            },
        ));
    let order = order(&changed, Wanted::Advised);
    let single: Vec<_> = order.going.iter().filter(|going| going.is_single()).collect();
    let named: Vec<(String, Vec<Why>)> =
        single.iter().map(|going| (going.note.to_string(), going.why.clone())).collect();
    assert_eq!(
        named,
        [
            ("A1".to_owned(), vec![Why::ToReplace]),
            ("D6".to_owned(), vec![Why::Broken { year: Some(1998) }]),
            ("C7".to_owned(), vec![Why::ToReplace]),
        ]
    );
    let a1 = order.wound.iter().find(|line| line.note.to_string() == "A1").expect("A1");
    assert_eq!((a1.strings, a1.spares), (1, 1));
    let c7 = order.plain.iter().find(|line| line.note.to_string() == "C7").expect("C7");
    assert_eq!((c7.strings, c7.pairs, c7.own, c7.whole), (2, 1, 0, false));
    assert!(order.settle.iter().any(|said| format!("{said:?}").contains("replaced = true")));
}

/// Nothing under load where the work is stopped: no string is ordered by itself.
#[test]
fn what_stops_the_work_stops_the_order() {
    let stopped = report(&files("grand", |name, text| {
        if name == "survey.toml" {
            text.replace("plate      = \"sound\"", "plate      = \"failed\"")
        } else {
            text
        }
    }));
    let order = order(&stopped, Wanted::Advised);
    assert!(order.wound.is_empty() && order.plain.is_empty());
    assert!(!order.settle.is_empty());
}
