//! The source as text: files by room, tests and comments left out.

use std::fs;
use std::path::{Path, PathBuf};

/// One file of `src/`.
pub struct SourceFile {
    /// Path below `src/`, with slashes.
    pub path: String,
    /// First folder (or `lib`, `main`).
    pub room: String,
    /// Lines of code: no comments, no string contents, nothing below `#[cfg(test)]`.
    pub code: Vec<(usize, String)>,
    /// The whole text.
    pub text: String,
}

pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file of `src/`.
pub fn files() -> Vec<SourceFile> {
    let src = root().join("src");
    let mut found = Vec::new();
    walk(&src, &src, &mut found);
    assert!(found.len() > 20, "the walk must find the source");
    found
}

fn walk(folder: &Path, src: &Path, found: &mut Vec<SourceFile>) {
    let mut entries: Vec<_> =
        fs::read_dir(folder).expect("src").map(|e| e.expect("entry").path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            walk(&path, src, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = fs::read_to_string(&path).expect("utf-8 source");
            let path =
                path.strip_prefix(src).expect("below src").to_string_lossy().replace('\\', "/");
            // Test modules may lean where they like.
            if path.ends_with("/tests.rs") || path.contains("/tests/") {
                continue;
            }
            let room = path.split('/').next().expect("name").trim_end_matches(".rs").to_owned();
            found.push(SourceFile { code: code_of(&text), path, room, text });
        }
    }
}

fn code_of(text: &str) -> Vec<(usize, String)> {
    let end = text.find("#[cfg(test)]\nmod ").unwrap_or(text.len());
    text[..end]
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(number, line)| (number + 1, without_strings(line)))
        .collect()
}

/// The line with the contents of its string literals and its trailing comment taken out.
fn without_strings(line: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\\' if inside => {
                chars.next();
            }
            '"' => {
                inside = !inside;
                out.push(c);
            }
            '/' if !inside && chars.peek() == Some(&'/') => break,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}
