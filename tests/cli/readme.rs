//! The README's command, its output and its plot are what the program gives.
//!
//! `FELTWIRE_REMAKE=1 cargo test --test cli` writes them anew.

use super::program::{command, feltwire, root, text};
use std::fs;

const COMMAND: &str = "    cargo run --locked -- ";

fn remake() -> bool {
    std::env::var_os("FELTWIRE_REMAKE").is_some()
}

#[test]
fn the_readmes_command_prints_what_the_readme_shows() {
    let readme = fs::read_to_string(root().join("README.md")).expect("README.md");
    let line = readme.lines().find_map(|line| line.strip_prefix(COMMAND)).expect("its command");
    let temp = tempfile::tempdir().expect("a folder");
    let mut words: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
    // The same survey from elsewhere, so that nothing is written into the checkout.
    words[1] = root().join(&words[1]).to_string_lossy().into_owned();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let done = command(&words).current_dir(temp.path()).output().expect("runs");
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let printed = text(&done.stdout);
    assert!(printed.lines().count() <= 15, "the README shows it on one screen:\n{printed}");

    let start = readme.find("```text\n").expect("the block") + "```text\n".len();
    let end = start + readme[start..].find("```").expect("its end");
    if remake() {
        let remade = format!("{}{printed}{}", &readme[..start], &readme[end..]);
        fs::write(root().join("README.md"), remade).expect("writable");
        return;
    }
    assert_eq!(&readme[start..end], printed);
}

#[test]
fn the_readmes_plot_is_the_programs() {
    let temp = tempfile::tempdir().expect("a folder");
    let drawn = temp.path().join("tension.svg");
    let done = feltwire(&["plot", "examples/upright", "-o", drawn.to_str().expect("UTF-8")]);
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    let kept = root().join("examples/upright-tension.svg");
    let drawn = fs::read(drawn).expect("drawn");
    if remake() {
        fs::write(kept, drawn).expect("writable");
        return;
    }
    assert!(fs::read(kept).expect("the README's plot") == drawn, "FELTWIRE_REMAKE=1 draws it anew");
}

#[test]
fn every_link_of_the_readme_leads_somewhere() {
    let readme = fs::read_to_string(root().join("README.md")).expect("README.md");
    let mut links = 0;
    for part in readme.split("](").skip(1) {
        let target = part.split(')').next().expect("a target");
        assert!(root().join(target).exists(), "{target}");
        links += 1;
    }
    assert!(links >= 5);
}

/// The commands of a guide: lines of its blocks, one carried on where it ends in a backslash.
fn commands(guide: &str) -> Vec<Vec<String>> {
    let guide = guide.replace("\\\n", " ");
    let command = |line: &str| {
        let words = line.trim_start().strip_prefix("cargo run -- ")?;
        Some(words.split_whitespace().map(str::to_owned).collect())
    };
    guide.lines().filter_map(command).collect()
}

#[test]
fn every_command_of_the_guide_does_what_it_says() {
    let guide = fs::read_to_string(root().join("examples/README.md")).expect("the guide");
    let commands = commands(&guide);
    assert!(commands.len() >= 8, "{commands:?}");
    let temp = tempfile::tempdir().expect("a folder");
    for words in commands {
        // Surveys are named from the checkout; what is written goes elsewhere.
        let from_root = |word: &String| {
            let path = || root().join(word).to_string_lossy().into_owned();
            if word.starts_with("examples/") { path() } else { word.clone() }
        };
        let words: Vec<String> = words.iter().map(from_root).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let done = command(&words).current_dir(temp.path()).output().expect("runs");
        assert_eq!(done.status.code(), Some(0), "{words:?}: {}", text(&done.stderr));
        assert!(!done.stdout.is_empty(), "{words:?}");
    }
    for written in ["out/assessment.pdf", "piano/survey.toml", "piano/readings.xlsx"] {
        assert!(temp.path().join(written).exists(), "{written}");
    }
}
