//! The survey's folder on disk.

use super::exit::Failure;
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
        whole(&path, |path| self.stays_inside(path))
    }
}

/// The whole of a plain file of bearable size, where `allowed`.
fn whole(path: &Path, allowed: impl Fn(&Path) -> bool) -> Result<Vec<u8>, FolderFault> {
    let about = match fs::metadata(path) {
        Ok(about) => about,
        Err(fault) if fault.kind() == ErrorKind::NotFound => return Err(FolderFault::Missing),
        Err(fault) => return Err(FolderFault::Unreadable(fault.to_string())),
    };
    if !about.is_file() {
        return Err(FolderFault::NotAFile);
    }
    if !allowed(path) {
        return Err(FolderFault::LeadsOutside);
    }
    if about.len() > MAX_FILE_BYTES {
        return Err(FolderFault::TooLarge);
    }
    let mut bytes = Vec::new();
    // One byte beyond the limit, for a file that grew since it was looked at.
    File::open(path)
        .and_then(|file| file.take(MAX_FILE_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|fault| FolderFault::Unreadable(fault.to_string()))?;
    if bytes.len() as u64 > MAX_FILE_BYTES {
        return Err(FolderFault::TooLarge);
    }
    Ok(bytes)
}

/// A table that the command line names, wherever it lies.
pub fn table(path: &Path) -> Result<Vec<u8>, Failure> {
    let limit = MAX_FILE_BYTES >> 20;
    whole(path, |_| true).map_err(|fault| {
        let (cause, remedy) = match fault {
            FolderFault::Missing => ("there is no such file".to_owned(), "correct the name"),
            FolderFault::NotAFile => ("it is not a plain file".to_owned(), "name the table itself"),
            FolderFault::TooLarge => (
                format!("it is larger than {limit} MiB"),
                "keep the columns that Feltwire reads, one row a head",
            ),
            FolderFault::LeadsOutside => ("it is a link".to_owned(), "name the file itself"),
            FolderFault::Unreadable(why) => (why, "close it in other programs"),
        };
        Failure::io("read", path, &cause).with_remedy(remedy)
    })
}
