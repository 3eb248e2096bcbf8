//! What must not be there: doors inside the house, formats, bare numbers, rounding, thresholds.

use super::source::{SourceFile, files};

fn lines_with<'a>(file: &'a SourceFile, what: &'a [&'a str]) -> impl Iterator<Item = String> + 'a {
    file.code
        .iter()
        .filter(move |(_, line)| what.iter().any(|w| line.contains(w)))
        .map(move |(number, line)| format!("{}:{number}: {}", file.path, line.trim()))
}

fn assert_absent(rule: &str, found: &[String]) {
    assert!(found.is_empty(), "{rule}:\n{}", found.join("\n"));
}

#[test]
fn files_clock_environment_and_printing_stay_in_the_door() {
    let doors = ["cli", "main"];
    let what = [
        "std::fs",
        "std::env",
        "std::time",
        "print!(",
        "println!(",
        "eprint!(",
        "eprintln!(",
        "SystemTime",
    ];
    let found: Vec<_> = files()
        .iter()
        .filter(|file| !doors.contains(&file.room.as_str()))
        .flat_map(|file| lines_with(file, &what).collect::<Vec<_>>())
        .collect();
    assert_absent("only doors touch the machine", &found);
    let door_uses = files()
        .iter()
        .filter(|f| f.room == "cli")
        .flat_map(|f| lines_with(f, &what).collect::<Vec<_>>())
        .count();
    assert!(door_uses > 0, "the rule must be able to find what it forbids");
}

#[test]
fn formats_are_known_to_three_rooms_only() {
    let rooms = ["survey", "stock", "document"];
    let found: Vec<_> = files()
        .iter()
        .filter(|file| !rooms.contains(&file.room.as_str()))
        .flat_map(|file| {
            lines_with(file, &["Serialize", "Deserialize", "serde::"]).collect::<Vec<_>>()
        })
        .collect();
    assert_absent("serde derives only in survey, stock and document", &found);
}

#[test]
fn nobody_rounds_outside_document() {
    // A fault of the survey quotes a reading as it was read, before there is a report to print.
    let rounding = ["document", "cli", "main", "survey"];
    let what = [".round()", ".round_ties_even()", "{:."];
    let found: Vec<_> = files()
        .iter()
        .filter(|file| !rounding.contains(&file.room.as_str()))
        // The table's own three places of a metric wire, in a fault that names the wire.
        .filter(|file| file.path != "stock/wire.rs")
        .flat_map(|file| {
            let rounds = lines_with(file, &what).collect::<Vec<_>>();
            // Format strings lose their contents in `code`; look at them in the raw text too.
            let formats = file
                .text
                .split("#[cfg(test)]\nmod ")
                .next()
                .unwrap_or_default()
                .lines()
                .enumerate()
                .filter(|(_, line)| !line.trim_start().starts_with("//"))
                .filter(|(_, line)| {
                    line.contains("{:.")
                        || line.contains(":.0}")
                        || line.contains(":.1}")
                        || line.contains(":.2}")
                        || line.contains(":.3}")
                })
                .map(|(n, line)| format!("{}:{}: {}", file.path, n + 1, line.trim()))
                .collect::<Vec<_>>();
            rounds.into_iter().chain(formats)
        })
        .collect();
    assert_absent("only document rounds", &found);
}

/// Densities and moduli of wire and winding stand in `tables/` and nowhere else.
#[test]
fn no_material_constant_outside_the_tables() {
    let what =
        ["7850", "7_850", "7800.0", "8930", "8_930", "8890", "8960", "202.0", "202e9", "2.02e11"];
    let found: Vec<_> = files()
        .iter()
        .filter(|file| file.room != "stock")
        .flat_map(|file| lines_with(file, &what).collect::<Vec<_>>())
        .collect();
    assert_absent("a material's constant comes from its table", &found);
    let table = std::fs::read_to_string(super::source::root().join("tables/materials.toml"));
    let table = table.expect("tables/materials.toml");
    assert!(table.contains("7850") && table.contains("8930"), "the rule must be able to find them");
}

/// Pure numbers may cross the face of physics as `f64`; so may felt stiffness, which uom cannot
/// type. Each such line says which by its name.
#[test]
fn physics_shows_quantities_not_bare_numbers() {
    let pure = [
        "ratio",
        "share",
        "factor",
        "fraction",
        "per_",
        "cents",
        "exponent",
        "stiffness_n_per_m_p",
        "count",
        "key_force_per_gram",
        "level",
        "strain",
        "number",
        "slope",
        "shape",
    ];
    let mut found = Vec::new();
    let mut seen = 0;
    let kernels = kernels();
    for file in files().iter().filter(|f| f.room == "physics" && !kernels.contains(&f.path)) {
        for (number, signature) in public_signatures(file) {
            seen += 1;
            if signature.contains("f64") && !pure.iter().any(|word| signature.contains(word)) {
                found.push(format!("{}:{number}: {signature}", file.path));
            }
        }
    }
    assert!(seen > 40, "only {seen} public functions were seen");
    assert_absent("physics takes and gives quantities", &found);
}

/// Files of physics that nobody outside it sees: `mod`, not `pub mod`.
fn kernels() -> Vec<String> {
    let files = files();
    let door = files.iter().find(|f| f.path == "physics/mod.rs").expect("physics");
    door.code
        .iter()
        .filter_map(|(_, line)| line.strip_prefix("mod ")?.strip_suffix(';'))
        .map(|name| format!("physics/{name}.rs"))
        .collect()
}

/// `pub fn` signatures up to their opening brace, joined to one line.
fn public_signatures(file: &SourceFile) -> Vec<(usize, String)> {
    let mut signatures = Vec::new();
    let mut lines = file.code.iter();
    while let Some((number, line)) = lines.next() {
        if !line.trim_start().starts_with("pub fn ")
            && !line.trim_start().starts_with("pub const fn ")
        {
            continue;
        }
        let mut signature = line.trim_end().to_owned();
        while !signature.contains('{') {
            let Some((_, more)) = lines.next() else { break };
            signature.push(' ');
            signature.push_str(more.trim());
        }
        signatures.push((*number, signature));
    }
    signatures
}

#[test]
fn every_physics_file_opens_with_source_range_and_a_worked_number() {
    let mut checked = 0;
    for file in files().iter().filter(|f| f.room == "physics" && !f.path.ends_with("mod.rs")) {
        let opening: String = file
            .text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .collect::<Vec<_>>()
            .join("\n");
        let lower = opening.to_lowercase();
        // Error types carry no equation.
        if file.path.ends_with("impossible.rs") || file.path.ends_with("hammer/fault.rs") {
            continue;
        }
        checked += 1;
        assert!(lower.contains("source"), "{} names no source", file.path);
        assert!(
            lower.contains("leaves out") || lower.contains("holds") || lower.contains("range"),
            "{} does not say where it holds",
            file.path
        );
        assert!(opening.contains("```"), "{} has no worked number", file.path);
    }
    assert!(checked >= 8);
}

#[test]
fn files_stay_readable() {
    for file in files() {
        let lines = file.text.lines().count();
        assert!(lines <= 600, "{} has {lines} lines", file.path);
    }
    let main = files().into_iter().find(|f| f.path == "main.rs").expect("main.rs");
    assert!(main.text.lines().count() < 60);
}
