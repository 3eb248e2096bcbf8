//! `feltwire new` and `feltwire table`: what they make, what they leave alone.

use crate::program::{feltwire, root, text};
use std::io::{Cursor, Read as _};
use std::path::Path;
use zip::ZipArchive;

const FILES: [&str; 6] = [
    "hammers.csv",
    "measuring-sheet.pdf",
    "readings.xlsx",
    "runs.csv",
    "strings.csv",
    "survey.toml",
];

fn made(folder: &Path, kind: &str, depth: &str) -> String {
    let folder = folder.to_str().expect("UTF-8");
    let args = ["new", folder, "--kind", kind, "--depth", depth, "--date", "2026-11-25"];
    let done = feltwire(&args);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    text(&done.stdout)
}

#[test]
fn an_empty_survey_is_whole_free_of_faults_and_the_same_bytes_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    for kind in ["upright", "grand"] {
        for depth in ["look", "decide", "order"] {
            let at =
                |name: &str| folder.path().join(format!("{name}-{kind}-{depth}")).join("piano");
            let (one, two) = (at("one"), at("two"));
            for piano in [&one, &two] {
                std::fs::create_dir(piano.parent().expect("a parent")).expect("made");
                let said = made(piano, kind, depth);
                assert!(
                    said.lines().all(|line| line.chars().count() <= 100 || line.contains('/')),
                    "{said}"
                );
            }
            let mut names: Vec<String> = std::fs::read_dir(&one)
                .expect("made")
                .map(|entry| entry.expect("an entry").file_name().into_string().expect("UTF-8"))
                .collect();
            names.sort();
            assert_eq!(names, FILES);
            for name in FILES {
                let read = |folder: &Path| std::fs::read(folder.join(name)).expect(name);
                assert_eq!(read(&one), read(&two), "{name} of {kind}, {depth}");
            }
            let check = feltwire(&["check", one.to_str().expect("UTF-8")]);
            assert_eq!(check.status.code(), Some(0), "{}", text(&check.stderr));
            assert!(text(&check.stdout).contains("No faults."));
        }
    }
}

/// Every line of the new survey that waits behind a # is one that the program reads, and what it says is right.
#[test]
fn every_line_of_a_new_survey_may_be_taken_into_use() {
    let folder = tempfile::tempdir().expect("a folder");
    let sections: [&[&str]; 2] = [
        &[],
        &[
            "--section",
            "bass=A0-C#3",
            "--section",
            "tenor=D3-F#5",
            "--section",
            "treble=G5-C8",
            "--wound-to",
            "F3",
        ],
    ];
    for (number, own) in sections.into_iter().enumerate() {
        for depth in ["look", "decide", "order"] {
            let piano = folder.path().join(format!("{number}-{depth}"));
            let path = piano.to_str().expect("UTF-8");
            let mut args = vec!["new", path, "--kind", "upright", "--depth", depth];
            args.extend(own);
            let done = feltwire(&args);
            assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
            let toml = piano.join("survey.toml");
            let survey = std::fs::read_to_string(&toml).expect("made");
            let mut taken = 0;
            let used: Vec<&str> = survey
                .lines()
                .map(|line| match line.strip_prefix("# ") {
                    Some(rest) if rest.starts_with('[') || rest.contains(" = ") => {
                        taken += 1;
                        rest
                    }
                    _ => line,
                })
                .collect();
            assert!(taken > 25, "{taken}");
            std::fs::write(&toml, used.join("\n").replace("region = \"bass\"", "region = \"all\""))
                .expect("written");
            let check = feltwire(&["check", path]);
            assert_eq!(check.status.code(), Some(0), "{}", text(&check.stderr));
        }
    }
}

/// A key of the new survey that says nothing of itself is explained.
#[test]
fn every_key_of_a_new_survey_is_explained_or_says_what_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let piano = folder.path().join("piano");
    made(&piano, "upright", "order");
    let survey = std::fs::read_to_string(piano.join("survey.toml")).expect("made");
    let plain = ["name", "notes", "format", "kind", "serial", "built", "table", "note", "year"];
    let plain = [&plain[..], &["address", "contact", "between", "temperature"]].concat();
    let mut asked = 0;
    for line in survey.lines().map(|line| line.trim_start_matches("# ")) {
        let Some((key, rest)) = line.split_once('=') else { continue };
        let key = key.trim();
        if plain.contains(&key) || !key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_') {
            continue;
        }
        asked += 1;
        let done = feltwire(&["explain", key]);
        assert!(
            done.status.code() == Some(0) || rest.contains("# "),
            "{line}: {}",
            text(&done.stderr)
        );
    }
    assert!(asked > 30, "{asked}");
}

#[test]
fn a_folder_that_holds_anything_is_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_str().expect("UTF-8");
    std::fs::write(folder.path().join("mine.txt"), "mine").expect("written");
    let done = feltwire(&["new", path, "--kind", "grand"]);
    assert_eq!(done.status.code(), Some(3));
    assert!(text(&done.stderr).contains("something is there already"));
    let left = std::fs::read_dir(folder.path()).expect("there").count();
    assert_eq!(left, 1);
    // An empty folder is taken.
    let empty = folder.path().join("empty");
    std::fs::create_dir(&empty).expect("made");
    made(&empty, "grand", "look");
}

#[test]
fn sections_that_do_not_fill_the_compass_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("piano");
    let path = path.to_str().expect("UTF-8");
    for sections in [&["a=A0-E3", "b=G3-C8"][..], &["a=A0-E3"], &["a=E3-A0"], &["a"]] {
        let mut args = vec!["new", path, "--kind", "upright"];
        args.extend(sections.iter().flat_map(|section| ["--section", section]));
        let done = feltwire(&args);
        assert_eq!(done.status.code(), Some(2), "{sections:?}: {}", text(&done.stderr));
        assert!(!Path::new(path).exists());
    }
}

/// Every part of a workbook, unpacked.
fn parts(bytes: &[u8]) -> Vec<(String, String)> {
    let mut zip = ZipArchive::new(Cursor::new(bytes)).expect("an archive");
    let count = zip.len();
    let part = |i| {
        let mut file = zip.by_index(i).expect("a part");
        let mut text = String::new();
        file.read_to_string(&mut text).expect("UTF-8");
        (file.name().expect("a name").into_owned(), text)
    };
    (0..count).map(part).collect()
}

#[test]
fn results_are_a_workbook_of_the_same_bytes_without_a_formula() {
    let folder = tempfile::tempdir().expect("a folder");
    let survey = folder.path().join("survey");
    std::fs::create_dir(&survey).expect("made");
    for entry in std::fs::read_dir(root().join("examples/upright")).expect("there") {
        let from = entry.expect("an entry").path();
        std::fs::copy(&from, survey.join(from.file_name().expect("a name"))).expect("copied");
    }
    let toml = survey.join("survey.toml");
    let own = std::fs::read_to_string(&toml).expect("there");
    std::fs::write(&toml, own.replace("Tarn & Hollis 124", "=HYPERLINK(1)")).expect("written");
    let write = |name: &str| {
        let out = folder.path().join(name);
        let (survey, out_text) = (survey.to_str().expect("UTF-8"), out.to_str().expect("UTF-8"));
        let done = feltwire(&["table", survey, "-o", out_text, "--date", "2026-11-25"]);
        assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
        std::fs::read(out).expect("written")
    };
    let bytes = write("a.xlsx");
    assert_eq!(bytes, write("b.xlsx"));
    let parts = parts(&bytes);
    let sheets: Vec<&(String, String)> =
        parts.iter().filter(|(name, _)| name.starts_with("xl/worksheets/sheet")).collect();
    assert!(sheets.len() > 8, "{}", sheets.len());
    for (name, xml) in &sheets {
        assert!(!xml.contains("<f>") && !xml.contains("<f "), "{name} holds a formula");
        assert!(xml.contains("state=\"frozen\"") && xml.contains("<autoFilter"), "{name}: heads");
    }
    let part = |wanted: &str| &parts.iter().find(|(name, _)| name == wanted).expect(wanted).1;
    assert!(part("xl/sharedStrings.xml").contains("=HYPERLINK(1)"));
    assert!(part("xl/styles.xml").contains("quotePrefix=\"1\""));
    assert!(part("docProps/core.xml").contains("2026-11-25"));
    let into_survey = survey.join("x.xlsx");
    let done = feltwire(&[
        "table",
        survey.to_str().expect("UTF-8"),
        "-o",
        into_survey.to_str().expect("UTF-8"),
    ]);
    assert_eq!(done.status.code(), Some(2));
}
