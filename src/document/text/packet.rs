//! `feltwire packet`: what was written.

use super::head;
use crate::report::Report;
use std::fmt::Write as _;

/// Which instrument, and which files into which folder.
pub fn packet(report: &Report, folder: &str, files: &[&str]) -> String {
    let mut text = head(report);
    let _ = writeln!(text, "{} files in {folder}:", files.len());
    for file in files {
        let _ = writeln!(text, "  {file}");
    }
    text
}
