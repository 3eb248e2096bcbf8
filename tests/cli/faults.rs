//! One tiny survey a fault, the whole message stored beside it.
//!
//! `FELTWIRE_REMAKE=1 cargo test --test cli` writes the messages anew; review them as a diff, as a
//! rebuilder would read them. A folder is named after its fault; `NAME.fault` in it stands for a file
//! that refuses to be read.

use crate::folder::{Refusing, here, load, read};
use feltwire::survey::{Fault, FaultKind, Faults};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn catalogue() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(here("tests/cli/faults")).expect("the catalogue");
    let mut dirs: Vec<_> = entries.map(|entry| entry.expect("an entry").path()).collect();
    dirs.sort();
    dirs
}

fn faults_in(dir: &Path) -> Faults {
    let mut folder = load(dir);
    folder.0.remove("expected.txt");
    match read(&Refusing(folder)) {
        Err(faults) => faults,
        Ok(_) => panic!("{} is read without a fault", dir.display()),
    }
}

#[test]
fn each_fault_says_what_is_stored_beside_it() {
    let remake = std::env::var_os("FELTWIRE_REMAKE").is_some();
    let mut different = Vec::new();
    for dir in catalogue() {
        let said = faults_in(&dir).render(false);
        let longest = said.lines().max_by_key(|line| line.chars().count()).unwrap_or_default();
        assert!(longest.chars().count() <= 100, "wider than a terminal: {longest}");
        let stored = dir.join("expected.txt");
        if remake {
            std::fs::write(&stored, &said).expect("written");
        } else if std::fs::read_to_string(&stored).unwrap_or_default() != said {
            different.push(format!("{}:\n{said}", dir.display()));
        }
    }
    assert!(different.is_empty(), "other messages than stored:\n{}", different.join("\n"));
}

#[test]
fn each_kind_of_fault_has_a_survey_of_its_own() {
    let seen: BTreeSet<_> = catalogue()
        .iter()
        .flat_map(|dir| faults_in(dir).list.into_iter().map(|fault| fault.kind))
        .collect();
    let unseen: Vec<_> = FaultKind::ALL.iter().filter(|kind| !seen.contains(kind)).collect();
    assert!(unseen.is_empty(), "kinds without a survey of their own: {unseen:?}");
    let ids: BTreeSet<_> = FaultKind::ALL.iter().map(|kind| kind.id()).collect();
    assert_eq!(ids.len(), FaultKind::ALL.len(), "two kinds share a name");
}

#[test]
fn each_fault_has_place_found_expected_and_remedy() {
    for dir in catalogue() {
        for fault in faults_in(&dir).list {
            let Fault { spot, title, found, expected, remedy, .. } = &fault;
            let whole = [title, found, expected, remedy].iter().all(|text| !text.trim().is_empty());
            assert!(
                whole && spot.line > 0 && !spot.file.is_empty(),
                "{}: {fault:?}",
                dir.display()
            );
            assert!(!title.ends_with('.') && title.chars().count() <= 110, "{title}");
        }
    }
}

#[test]
fn twelve_different_faults_are_reported_in_one_go() {
    let faults = faults_in(&here("tests/cli/faults/twelve_at_once"));
    let kinds: BTreeSet<_> = faults.list.iter().map(|fault| fault.kind.id()).collect();
    let expected = [
        "bad_year",
        "bare_number",
        "half_reading",
        "impossible_value",
        "not_a_note",
        "note_twice",
        "over_smaller_than_core",
        "section_gap",
        "unknown_key",
        "unknown_material",
        "unknown_section",
        "unknown_word",
        "wound_to_outside",
    ];
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), expected);
}

#[test]
fn colours_come_only_when_asked_for() {
    let faults = faults_in(&here("tests/cli/faults/bad_name_control"));
    assert!(!faults.render(false).contains('\u{1b}'));
    assert!(faults.render(true).contains("\u{1b}["));
    assert!(!faults.render(true).contains("\u{1b}[31m Hollis"));
}
