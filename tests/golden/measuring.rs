//! The measuring sheet of both kinds on both papers: nothing leaves a page, nothing lies over another.

use super::boxes::{faults, fonts_outside, pages};
use std::process::Command;

#[test]
fn measuring_sheets_stay_inside_their_pages() {
    let folder = tempfile::tempdir().expect("a folder");
    for kind in ["upright", "grand"] {
        for depth in ["look", "decide", "order"] {
            for (paper, size) in [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))] {
                let name = format!("measuring-{kind}-{depth}-{paper}");
                let made = folder.path().join(&name);
                let output = Command::new(env!("CARGO_BIN_EXE_feltwire"))
                    .args(["new", "--kind", kind, "--depth", depth, "--paper", paper])
                    .args(["--name", "Tarn & Hollis, a piano of a rather long name <No. 18832>"])
                    .args(["--date", "2026-11-25"])
                    .arg(&made)
                    .output()
                    .expect("the program runs");
                assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
                let bytes = std::fs::read(made.join("measuring-sheet.pdf")).expect("written");
                let pages = pages(&bytes, &name);
                assert!((1..=6).contains(&pages.len()), "{name}: {} pages", pages.len());
                for page in &pages {
                    let off = (page.size.0 - size.0).abs().max((page.size.1 - size.1).abs());
                    assert!(off < 1.0, "{name}: {:?}", page.size);
                }
                assert_eq!(faults(&pages), [""; 0], "{name}");
                assert_eq!(fonts_outside(&bytes, &name), [""; 0], "{name}");
            }
        }
    }
}
