//! The survey's folder on disk.

use feltwire::survey::{Folder, FolderFault, MAX_FILE_BYTES};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

/// A folder on disk; never written to, and never read outside itself.
#[derive(Debug)]
pub struct OnDisk {
    root: PathBuf,
}

impl OnDisk {
    /// The folder of the survey at `path`: the folder itself, or its survey.toml.
    pub fn of_survey(path: &Path) -> Self {
        let root = if path.is_file() && path.file_name().is_some_and(|name| name == "survey.toml") {
            path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
        } else {
            path
        };
        Self { root: root.to_owned() }
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    fn stays_inside(&self, path: &Path) -> bool {
        match (fs::canonicalize(&self.root), fs::canonicalize(path)) {
            (Ok(root), Ok(path)) => path.starts_with(root),
            _ => false,
        }
    }
}

impl Folder for OnDisk {
    fn read(&self, name: &str) -> Result<Vec<u8>, FolderFault> {
        let path = self.root.join(name);
        let about = match fs::metadata(&path) {
            Ok(about) => about,
            Err(fault) if fault.kind() == ErrorKind::NotFound => return Err(FolderFault::Missing),
            Err(fault) => return Err(FolderFault::Unreadable(fault.to_string())),
        };
        if !about.is_file() {
            return Err(FolderFault::NotAFile);
        }
        if !self.stays_inside(&path) {
            return Err(FolderFault::LeadsOutside);
        }
        if about.len() > MAX_FILE_BYTES {
            return Err(FolderFault::TooLarge);
        }
        let mut bytes = Vec::new();
        // One byte beyond the limit, for a file that grew since it was looked at.
        File::open(&path)
            .and_then(|file| file.take(MAX_FILE_BYTES + 1).read_to_end(&mut bytes))
            .map_err(|fault| FolderFault::Unreadable(fault.to_string()))?;
        if bytes.len() as u64 > MAX_FILE_BYTES {
            return Err(FolderFault::TooLarge);
        }
        Ok(bytes)
    }
}
