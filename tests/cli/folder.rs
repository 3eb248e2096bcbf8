//! Folders for tests: files of this project, read into memory.

use feltwire::survey::{Faults, Folder, FolderFault, Known, Memory, Survey};
use std::path::{Path, PathBuf};

/// Limits that the surveys of these tests may set.
const LIMITS: &[&str] = &["pin_concern", "mass_ratio_step"];

pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Every file in `path`.
pub fn load(path: &Path) -> Memory {
    let mut folder = Memory::default();
    for entry in std::fs::read_dir(path).expect("a folder of this project") {
        let file = entry.expect("an entry").path();
        let name = file.file_name().expect("a name").to_string_lossy().into_owned();
        folder.0.insert(name, std::fs::read(&file).expect("a readable file"));
    }
    folder
}

/// Files in memory, some of which refuse to be read: `strings.csv.fault` says in words how
/// `strings.csv` refuses.
pub struct Refusing(pub Memory);

impl Folder for Refusing {
    fn read(&self, name: &str) -> Result<Vec<u8>, FolderFault> {
        let Some(words) = self.0.0.get(&format!("{name}.fault")) else { return self.0.read(name) };
        Err(match String::from_utf8_lossy(words).trim() {
            "too large" => FolderFault::TooLarge,
            "leads outside" => FolderFault::LeadsOutside,
            "not a file" => FolderFault::NotAFile,
            words => FolderFault::Unreadable(words.to_owned()),
        })
    }
}

pub fn read(folder: &dyn Folder) -> Result<Survey, Faults> {
    feltwire::survey::read(folder, &Known { limits: LIMITS })
}
