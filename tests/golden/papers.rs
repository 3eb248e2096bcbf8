//! The papers of every survey, on both papers: nothing leaves a page, nothing lies over another, fonts are
//! inside; and what they say, kept as text.
//!
//! `FELTWIRE_REMAKE=1 cargo test --test golden` writes what is kept anew.

use super::boxes::{Page, faults, fonts_outside, pages};
use super::surveys::{ALL, file, files, papers, report, stamp};
use feltwire::document::packet::PacketFile;
use feltwire::document::typeset::Paper;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

const PDFS: [&str; 6] = [
    "assessment.pdf",
    "hammer-order.pdf",
    "owner.pdf",
    "job-card.pdf",
    "string-order.pdf",
    "stringing-sheet.pdf",
];
/// Papers of which there is one only where strings are ordered.
const OF_STRINGS: [&str; 2] = ["string-order.pdf", "stringing-sheet.pdf"];

/// The papers of every survey as it is, on A4.
fn on_a4() -> &'static [Vec<PacketFile>] {
    static PAPERS: LazyLock<Vec<Vec<PacketFile>>> = LazyLock::new(|| {
        let of = |(_, folder)| papers(&report(&files(folder, &[])), stamp(Paper::A4, false));
        ALL.into_iter().map(of).collect()
    });
    &PAPERS
}

/// Every PDF of `papers`, its pages checked.
fn sound(papers: &[PacketFile], name: &str, size: (f64, f64)) -> Vec<(&'static str, Vec<Page>)> {
    let of = |pdf: &'static str| {
        let bytes = file(papers, pdf)?;
        let name = format!("{name}-{}", pdf.trim_end_matches(".pdf"));
        let pages = pages(bytes, &name);
        for page in &pages {
            let off = (page.size.0 - size.0).abs().max((page.size.1 - size.1).abs());
            assert!(off < 1.0, "{name}: {:?}", page.size);
        }
        assert_eq!(faults(&pages), [""; 0], "{name}");
        assert_eq!(fonts_outside(bytes, &name), [""; 0], "{name}");
        Some((pdf, pages))
    };
    PDFS.into_iter().filter_map(of).collect()
}

const A4: (f64, f64) = (595.3, 841.9);
const LETTER: (f64, f64) = (612.0, 792.0);

fn words(page: &Page) -> Vec<&str> {
    page.words.iter().map(|(word, _)| word.as_str()).collect()
}

#[test]
fn every_page_of_every_survey_holds_what_stands_on_it() {
    for (index, (name, folder)) in ALL.into_iter().enumerate() {
        holds(&on_a4()[index], &format!("{name}-A4"), A4);
        let report = report(&files(folder, &[]));
        // Letter is the shorter paper, and inches make texts longer.
        let papers = papers(&report, stamp(Paper::Letter, true));
        holds(&papers, &format!("{name}-Letter-inches"), LETTER);
    }
}

fn holds(papers: &[PacketFile], name: &str, size: (f64, f64)) {
    let documents = sound(papers, name, size);
    let strings = documents.iter().filter(|(pdf, _)| OF_STRINGS.contains(pdf)).count();
    assert_eq!(strings, if file(papers, "string-order.csv").is_some() { 2 } else { 0 }, "{name}");
    assert_eq!(documents.len(), PDFS.len() - 2 + strings, "{name}");
    for (pdf, pages) in &documents {
        let most = match *pdf {
            "assessment.pdf" => {
                // Read in a minute: everything of the first page stands on it, and nothing else.
                assert!(words(&pages[0]).contains(&"Cautions"), "{name}");
                assert!(!words(&pages[0]).contains(&"Inharm."), "{name}");
                20
            }
            "owner.pdf" => 1,
            "string-order.pdf" => 3,
            _ => 2,
        };
        assert!(pages.len() <= most, "{name}: {} pages of {pdf}", pages.len());
    }
}

#[test]
fn the_same_survey_and_date_give_the_same_bytes() {
    let report = report(&files("examples/grand", &[]));
    assert!(papers(&report, stamp(Paper::A4, false)) == on_a4()[1]);
}

/// Its name, the folder of the survey, what is changed in it.
type Case<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

/// An order of every string.
const EVERY_STRING: (&str, &str) = (
    "[strings]\n",
    "[strings]\nrestring = \"all\"\nspares = [\"A0\"]\nneeded_by = \"1 March 2027\"\n",
);

/// Names that are markup elsewhere, or long, or of other scripts; and what a survey may lack or forbid.
#[test]
fn odd_surveys_make_sound_pages_too() {
    let stopped = ("plate      = \"sound\"", "plate      = \"failed\"");
    let cases: [Case; 7] = [
        (
            "markup",
            "examples/upright",
            &[
                ("Tarn & Hollis 124", "#strong[not markup] $x^2$ _nor this_ \\\\ @nor"),
                ("Birch Lane Piano Workshop", "=1+1 <b>&amp; Пианино ♯ 鋼琴"),
                EVERY_STRING,
            ],
        ),
        (
            "long",
            "examples/upright",
            &[
                (
                    "Tarn & Hollis 124",
                    &"A name as long as a name can be, and longer still ".repeat(2),
                ),
                ("2 Birch Lane", &"the house behind the house beside the water tower ".repeat(2)),
            ],
        ),
        (
            "many",
            "examples/upright",
            &[
                EVERY_STRING,
                (
                    "notes  = [\"G5\", \"C8\"]\ncounts = { 3 = \"G5\" }",
                    "notes  = [\"G5\", \"C6\"]\n[[section]]\nname = \"the second treble, between the struts\"\n\
                 notes = [\"C#6\", \"F6\"]\n[[section]]\nname = \"third treble\"\nnotes = [\"F#6\", \"B6\"]\n\
                 [[section]]\nname = \"fourth treble\"\nnotes = [\"C7\", \"F7\"]\n[[section]]\nname = \"top\"\n\
                 notes = [\"F#7\", \"C8\"]",
                ),
            ],
        ),
        ("stopped", "examples/upright", &[stopped]),
        (
            "no-hammers",
            "examples/grand",
            &[("table            = \"hammers.csv\"", ""), EVERY_STRING],
        ),
        (
            "heritage",
            "examples/grand",
            &[("serial  = \"6114\"", "serial  = \"6114\"\nheritage = true")],
        ),
        (
            "wishes",
            "examples/upright",
            &[(
                "allowance        = \"0.5 mm\"",
                "allowance        = \"0.5 mm\"\nneeded_by = \"1 March 2027\"\nwood = \"hornbeam\"\nspares = 1\n\
                 hole_shape = \"straight\"\ncrown = \"finish-filed\"\nhung = \"loose\"\nsamples_back = true\n\
                 felt_hardness = \"medium; softer in the treble than the samples are now\"\n\
                 under_felt = \"as the samples: none in the bass, 2 mm from F3\"\nhardener = \"ask first\"\n\
                 fastening = \"glued, and wired through the moulding as the samples\"\n\
                 cut_aways = \"E5 and F#5: treble side, 1.5 mm for the strut; F3 rubs now\"\n\
                 sides = \"tapered, 10.8 mm at the crown to 9.6 mm at the tail\"\n\
                 tail_shape = \"straight, 9 mm wide, no taper\"",
            )],
        ),
    ];
    for (case, folder, changes) in cases {
        let report = report(&files(folder, changes));
        let papers = papers(&report, stamp(Paper::Letter, false));
        let documents = sound(&papers, &format!("{case}-Letter"), LETTER);
        let all: Vec<&str> =
            documents.iter().flat_map(|(_, pages)| pages).flat_map(words).collect();
        match case {
            "markup" => assert!(all.contains(&"#strong[not"), "taken for markup"),
            "stopped" => assert!(words(&documents[0].1[0]).contains(&"Stop:")),
            "no-hammers" => {
                assert_eq!(documents.len(), PDFS.len() - 1);
                assert_eq!(file(&papers, "hammer-order.csv"), None);
            }
            "wishes" => assert!(all.contains(&"Hornbeam.") && all.contains(&"spare)")),
            _ => {}
        }
        for (pdf, pages) in &documents {
            let most = match *pdf {
                "hammer-order.pdf" => 2,
                "owner.pdf" => 1,
                "string-order.pdf" => 3,
                _ => 20,
            };
            assert!(pages.len() <= most, "{case}: {} pages of {pdf}", pages.len());
        }
    }
}

fn remake() -> bool {
    std::env::var_os("FELTWIRE_REMAKE").is_some()
}

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/kept").join(name)
}

/// What pages say, line by line from the top; the foot, which names the survey's content, is left out.
fn text(pages: &[Page]) -> String {
    let mut text = String::new();
    for (number, page) in pages.iter().enumerate() {
        let _ = writeln!(text, "--- page {}", number + 1);
        let foot = page.size.1 - 50.0;
        let mut last: Option<f64> = None;
        for (word, [_, top, _, bottom]) in &page.words {
            let middle = f64::midpoint(*top, *bottom);
            if middle > foot {
                continue;
            }
            if let Some(line) = last {
                text.push(if (middle - line).abs() < 2.5 { ' ' } else { '\n' });
            }
            text.push_str(word);
            last = Some(middle);
        }
        text.push('\n');
    }
    text
}

#[test]
fn the_pages_of_the_examples_say_what_they_said() {
    for ((name, _), papers) in ALL[..2].iter().zip(on_a4()) {
        for (pdf, pages) in sound(papers, name, A4) {
            let file = format!("{name}-{}.txt", pdf.trim_end_matches(".pdf"));
            keep(&file, text(&pages).as_bytes());
        }
        keep(
            &format!("{name}-hammer-order.csv"),
            file(papers, "hammer-order.csv").expect("an order"),
        );
        if let Some(order) = file(papers, "string-order.csv") {
            keep(&format!("{name}-string-order.csv"), order);
        }
    }
}

/// Compares with what is kept, or keeps it.
fn keep(name: &str, now: &[u8]) {
    if remake() {
        std::fs::write(kept(name), now).expect("tests/golden/kept can be written");
        return;
    }
    let then = std::fs::read(kept(name)).unwrap_or_default();
    if then == now {
        return;
    }
    let (then, now) = (String::from_utf8_lossy(&then), String::from_utf8_lossy(now));
    let changed = then.lines().zip(now.lines()).find(|(a, b)| a != b);
    panic!(
        "{name} has changed, first here:\n{changed:?}\nLook at it; FELTWIRE_REMAKE=1 cargo test --test golden keeps \
         the new one."
    );
}

/// Pages that are looked at first, as small grey pictures: so that a change can be seen.
#[test]
fn first_pages_look_as_they_looked() {
    for ((name, _), papers) in ALL[..2].iter().zip(on_a4()) {
        let mut looked_at = vec![("assessment.pdf", 1), ("hammer-order.pdf", 2)];
        if file(papers, OF_STRINGS[0]).is_some() {
            looked_at.extend([(OF_STRINGS[0], 2), (OF_STRINGS[1], 1)]);
        }
        for (pdf, last) in looked_at {
            let bytes = file(papers, pdf).expect("the paper");
            for number in 1..=last {
                let picture = super::boxes::picture(bytes, number, 50);
                let file = format!("{name}-{}-{number}.png", pdf.trim_end_matches(".pdf"));
                look(&file, &picture);
            }
        }
    }
}

/// Grey levels of a PNG.
fn levels(bytes: &[u8]) -> Option<(u32, u32, Vec<u8>)> {
    let pixels = resvg::tiny_skia::Pixmap::decode_png(bytes).ok()?;
    let levels = pixels.pixels().iter().map(|pixel| pixel.red()).collect();
    Some((pixels.width(), pixels.height(), levels))
}

/// Compares with the picture kept: other versions of the rasteriser may shade an edge otherwise, so a pixel
/// counts as changed when it differs by half of black, and one in two hundred may.
fn look(name: &str, now: &[u8]) {
    if remake() {
        std::fs::write(kept(name), now).expect("tests/golden/kept can be written");
        return;
    }
    let then = std::fs::read(kept(name)).unwrap_or_else(|fault| panic!("{name}: {fault}"));
    let ((w, h, then), (w_now, h_now, now)) =
        (levels(&then).expect("a PNG"), levels(now).expect("a PNG"));
    assert_eq!((w, h), (w_now, h_now), "{name}");
    let changed = then.iter().zip(&now).filter(|(a, b)| a.abs_diff(**b) > 127).count();
    assert!(
        200 * changed <= then.len(),
        "{name}: {changed} of {} pixels have changed; look at it, then FELTWIRE_REMAKE=1 keeps the new one",
        then.len()
    );
}
