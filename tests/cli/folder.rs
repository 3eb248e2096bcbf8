//! Folders for tests: files of this project, read into memory.

use feltwire::survey::{Faults, Known, Memory, Survey};
use std::path::{Path, PathBuf};

/// Limits that the surveys of these tests may set.
pub const LIMITS: &[&str] = &["pin_concern", "mass_ratio_step"];

pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Every file in `path` and the folders in it.
pub fn load(path: &Path) -> Memory {
    let mut folder = Memory::default();
    let mut open = vec![path.to_owned()];
    while let Some(dir) = open.pop() {
        for entry in std::fs::read_dir(&dir).expect("a folder of this project") {
            let file = entry.expect("an entry").path();
            if file.is_dir() {
                open.push(file);
                continue;
            }
            let name =
                file.strip_prefix(path).expect("inside").to_string_lossy().replace('\\', "/");
            folder.0.insert(name, std::fs::read(&file).expect("a readable file"));
        }
    }
    folder
}

pub fn read(folder: &Memory) -> Result<Survey, Faults> {
    feltwire::survey::read(folder, &Known { limits: LIMITS })
}
