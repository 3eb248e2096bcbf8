//! Imports follow the arrows of `DEVELOPERS.md`, and that page names every room.

use super::source::{files, root};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// room → rooms it may import, from the table of the architecture page.
fn allowed() -> BTreeMap<String, BTreeSet<String>> {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let names = |cell: &str| -> Vec<String> {
        cell.split('`').skip(1).step_by(2).map(str::to_owned).collect()
    };
    let table: BTreeMap<_, _> = page
        .lines()
        .skip_while(|line| !line.starts_with("| room |"))
        .take_while(|line| line.starts_with('|'))
        .filter(|line| line.starts_with("| `"))
        .filter_map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').collect();
            let room = names(cells.first()?).pop()?;
            Some((room, names(cells.get(1)?).into_iter().collect()))
        })
        .collect();
    assert!(table.len() >= 12, "the table of rooms was not found");
    table
}

#[test]
fn imports_follow_the_arrows() {
    let allowed = allowed();
    let mut wrong = Vec::new();
    let mut seen = 0;
    for file in files() {
        if matches!(file.room.as_str(), "lib" | "main") {
            continue;
        }
        let may = allowed.get(&file.room).unwrap_or_else(|| panic!("{} is in no room", file.path));
        for (number, line) in &file.code {
            for start in ["crate::", "feltwire::"] {
                for part in line.split(start).skip(1) {
                    let other: String =
                        part.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
                    // Macros of the crate (`crate::sentence!`) and a group of rooms are not one room.
                    if other.is_empty() || other == file.room || other == "sentence" {
                        continue;
                    }
                    seen += 1;
                    if !may.contains(&other) {
                        wrong.push(format!("{}:{number} leans on {other}", file.path));
                    }
                }
            }
        }
    }
    assert!(seen > 30, "only {seen} imports were seen");
    assert!(wrong.is_empty(), "against the arrows:\n{}", wrong.join("\n"));
}

#[test]
fn no_import_hides_several_rooms_in_braces() {
    for file in files() {
        for (number, line) in &file.code {
            assert!(
                !line.contains("use crate::{") && !line.contains("use feltwire::{"),
                "{}:{number}: one room a `use`, so that the arrows can be read",
                file.path
            );
        }
    }
}

#[test]
fn the_page_names_every_room_and_no_other() {
    let rooms: BTreeSet<String> = fs::read_dir(root().join("src"))
        .expect("src")
        .map(|entry| entry.expect("entry").path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().expect("name").to_string_lossy().into_owned())
        .collect();
    let page: BTreeSet<String> = allowed().into_keys().collect();
    assert_eq!(rooms, page);
}

#[test]
fn top_level_holds_what_the_house_allows_and_nothing_else() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "tables",
        "tests",
        "examples",
    ];
    let output = ["target", "out"];
    for entry in fs::read_dir(root()).expect("root") {
        let name = entry.expect("entry").file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.')
                || allowed.contains(&name.as_str())
                || output.contains(&name.as_str()),
            "{name} has no place at the top"
        );
    }
}
