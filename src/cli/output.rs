//! One file, written whole or not at all.

use super::exit::Failure;
use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

/// A file being written beside the place where it shall stand.
#[derive(Debug)]
pub struct Output {
    target: PathBuf,
    draft: PathBuf,
    file: Option<File>,
}

impl Output {
    /// Opens the draft of `target`, so that a folder that cannot be written is found before the work.
    pub fn open(target: &Path) -> Result<Self, Failure> {
        let name = target.file_name().ok_or_else(|| {
            Failure::CommandLine(format!("`{}` names no file to write", target.display()))
        })?;
        let mut draft_name = std::ffi::OsString::from(".");
        draft_name.push(name);
        draft_name.push(format!(".{}.part", std::process::id()));
        let draft = target.with_file_name(draft_name);
        let file = File::create_new(&draft).map_err(|fault| {
            Failure::io("write", target, &fault)
                .with_remedy("choose a folder that exists and may be written")
        })?;
        Ok(Self { target: target.to_owned(), draft, file: Some(file) })
    }

    /// Writes it all and puts it in its place.
    pub fn finish(mut self, bytes: &[u8]) -> Result<(), Failure> {
        let Some(mut file) = self.file.take() else { return Ok(()) };
        file.write_all(bytes)
            .and_then(|()| file.sync_all())
            .and_then(|()| fs::rename(&self.draft, &self.target))
            .map_err(|fault| Failure::io("write", &self.target, &fault))
    }
}

impl Drop for Output {
    fn drop(&mut self) {
        // Gone already when it was put in its place.
        let _ = fs::remove_file(&self.draft);
    }
}
