//! The packet's folder: written beside its place, synced, and swapped in whole.
//!
//! Only files that an earlier packet lists in its own `numbers.json`, and that nobody changed since,
//! are replaced. An interrupted swap is finished by the next run.

use super::exit::Failure;
use feltwire::document::packet::{LIST, PacketFile, fingerprint};
use std::collections::BTreeMap;
use std::fs::{self, File, TryLockError};
use std::io::Write;
use std::path::{Path, PathBuf};

/// A packet being written; nothing of it is in its place until [`Packet::finish`].
#[derive(Debug)]
pub struct Packet {
    target: PathBuf,
    draft: PathBuf,
    aside: PathBuf,
    lock: PathBuf,
    _held: File,
    force: bool,
}

impl Packet {
    /// Takes `target` for this run: refuses another run's folder, the survey's own, and anything in
    /// it that an earlier packet did not write.
    pub fn open(target: &Path, survey: Option<&Path>, force: bool) -> Result<Self, Failure> {
        let target = absolute(target)?;
        if let Some(survey) = survey {
            refuse_the_survey(&target, survey)?;
        }
        let name = target
            .file_name()
            .and_then(|name| name.to_str())
            .ok_or_else(|| {
                Failure::CommandLine(format!("`{}` names no folder to write", target.display()))
            })?
            .to_owned();
        let beside = |what: &str| target.with_file_name(format!(".{name}.{what}"));
        let lock = beside("lock");
        let held = take_lock(&target, &lock)?;
        let packet = Self {
            draft: beside("draft"),
            aside: beside("aside"),
            lock,
            _held: held,
            force,
            target,
        };
        packet.finish_an_interrupted_swap()?;
        packet.refuse_what_is_not_ours()?;
        fs::create_dir(&packet.draft).map_err(|fault| {
            Failure::io("write", &packet.target, &fault)
                .with_remedy("choose a folder that may be written")
        })?;
        Ok(packet)
    }

    /// Writes every file and swaps the folder in.
    pub fn finish(self, files: &[PacketFile]) -> Result<(), Failure> {
        let listed = listed_files(&self.target).unwrap_or_default();
        for PacketFile { name, .. } in files {
            let stranger = self.target.join(name);
            if name != LIST && !listed.contains_key(name) && stranger.exists() {
                return Err(Failure::io("replace", stranger, &"it is not of an earlier packet")
                    .with_remedy("move that file away, or choose another folder"));
            }
        }
        self.fill(files).map_err(|fault| Failure::io("write", &self.target, &fault))?;
        self.swap().map_err(|fault| Failure::io("replace", &self.target, &fault))
    }

    fn fill(&self, files: &[PacketFile]) -> std::io::Result<()> {
        for PacketFile { name, bytes } in files {
            let mut file = File::create_new(self.draft.join(name))?;
            file.write_all(bytes)?;
            file.sync_all()?;
        }
        sync_folder(&self.draft)
    }

    fn swap(&self) -> std::io::Result<()> {
        if self.target.exists() {
            fs::rename(&self.target, &self.aside)?;
        }
        fs::rename(&self.draft, &self.target)?;
        if let Some(parent) = self.target.parent() {
            sync_folder(parent)?;
        }
        if self.aside.exists() {
            self.clear_aside()?;
        }
        Ok(())
    }

    /// Removes what the old packet lists and moves anything else back into the folder. The list goes last: a run
    /// that is killed here leaves the next one word of what was of the old packet.
    fn clear_aside(&self) -> std::io::Result<()> {
        let listed = listed_files(&self.aside).unwrap_or_default();
        for entry in fs::read_dir(&self.aside)? {
            let entry = entry?;
            let name = entry.file_name();
            let ours = name.to_str().is_some_and(|name| listed.contains_key(name));
            if name == LIST {
                continue;
            }
            // No stranger bears the name of a page: `finish` refuses them.
            if ours || self.target.join(&name).exists() {
                fs::remove_file(entry.path())?;
            } else {
                fs::rename(entry.path(), self.target.join(name))?;
            }
        }
        match fs::remove_file(self.aside.join(LIST)) {
            Err(fault) if fault.kind() != std::io::ErrorKind::NotFound => return Err(fault),
            _ => {}
        }
        fs::remove_dir(&self.aside)
    }

    fn finish_an_interrupted_swap(&self) -> Result<(), Failure> {
        let finish = || -> std::io::Result<()> {
            if self.aside.exists() {
                if !self.target.exists() {
                    let next = if is_whole(&self.draft) { &self.draft } else { &self.aside };
                    fs::rename(next, &self.target)?;
                }
                if self.aside.exists() {
                    self.clear_aside()?;
                }
            }
            if self.draft.exists() {
                fs::remove_dir_all(&self.draft)?;
            }
            Ok(())
        };
        finish()
            .map_err(|fault| Failure::io("finish an interrupted run into", &self.target, &fault))
    }

    /// Refuses files of `target` that an earlier packet did not write or that were changed since.
    fn refuse_what_is_not_ours(&self) -> Result<(), Failure> {
        if !self.target.exists() {
            return Ok(());
        }
        let refuse = |name: &str, why: &str, remedy: &str| {
            Err(Failure::io("replace", self.target.join(name), &why).with_remedy(remedy))
        };
        let entries = fs::read_dir(&self.target)
            .and_then(Iterator::collect::<Result<Vec<_>, _>>)
            .map_err(|fault| Failure::io("read", &self.target, &fault))?;
        let listed = listed_files(&self.target).unwrap_or_default();
        for entry in entries {
            let name = entry.file_name().to_string_lossy().into_owned();
            if name == LIST && !listed.is_empty() {
                continue;
            }
            let Some(known) = listed.get(&name) else {
                if self.force && !listed.is_empty() {
                    continue;
                }
                return refuse(
                    &name,
                    "it is not of an earlier packet",
                    "choose another folder, or move that file away",
                );
            };
            let now = fs::read(entry.path()).map(|bytes| fingerprint(&bytes));
            if !self.force && now.ok().as_ref() != Some(known) {
                return refuse(
                    &name,
                    "it was changed since it was written",
                    "move it away to keep it, or use --force to replace it",
                );
            }
        }
        Ok(())
    }
}

impl Drop for Packet {
    fn drop(&mut self) {
        // What was swapped in is gone from here; what was not is half-written and goes.
        let _ = fs::remove_dir_all(&self.draft);
        let _ = fs::remove_file(&self.lock);
    }
}

fn absolute(path: &Path) -> Result<PathBuf, Failure> {
    let path = std::path::absolute(path).map_err(|fault| Failure::io("write", path, &fault))?;
    // Links in the parents are followed, so that "beside" is on the same file system.
    let resolved = match (path.canonicalize(), path.parent(), path.file_name()) {
        (Ok(whole), _, _) => whole,
        (Err(_), Some(parent), Some(name)) => match parent.canonicalize() {
            Ok(parent) => parent.join(name),
            Err(fault) => {
                return Err(Failure::io("write", path, &fault)
                    .with_remedy("the folder that shall hold it must exist"));
            }
        },
        _ => path,
    };
    Ok(resolved)
}

fn refuse_the_survey(target: &Path, survey: &Path) -> Result<(), Failure> {
    let survey = survey.canonicalize().map_err(|fault| Failure::io("read", survey, &fault))?;
    if survey.starts_with(target) {
        return Err(Failure::CommandLine(format!(
            "`{}` holds the survey itself; choose another folder for the packet",
            target.display()
        )));
    }
    Ok(())
}

fn take_lock(target: &Path, lock: &Path) -> Result<File, Failure> {
    let held =
        File::options().create(true).truncate(false).write(true).open(lock).map_err(|fault| {
            Failure::io("write", target, &fault).with_remedy("choose a folder that may be written")
        })?;
    match held.try_lock() {
        Ok(()) => Ok(held),
        Err(TryLockError::WouldBlock) => {
            Err(Failure::io("write", target, &"another run is writing it")
                .with_remedy("wait for that run to end, or choose another folder"))
        }
        Err(TryLockError::Error(fault)) => Err(Failure::io("lock", target, &fault)),
    }
}

/// The files that a packet's list names, with their fingerprints.
fn listed_files(folder: &Path) -> Option<BTreeMap<String, String>> {
    let bytes = fs::read(folder.join(LIST)).ok()?;
    let list: serde_json::Value = serde_json::from_slice(&bytes).ok()?;
    list.get("files")?
        .as_array()?
        .iter()
        .map(|file| {
            let text = |key: &str| file.get(key)?.as_str().map(str::to_owned);
            Some((text("name")?, text("sha256")?))
        })
        .collect()
}

/// Whether a folder holds everything its list names, unchanged.
fn is_whole(folder: &Path) -> bool {
    listed_files(folder).is_some_and(|files| {
        files.iter().all(|(name, known)| {
            fs::read(folder.join(name)).is_ok_and(|bytes| fingerprint(&bytes) == *known)
        })
    })
}

fn sync_folder(folder: &Path) -> std::io::Result<()> {
    // Opening a folder to sync it is how Unix makes a rename last; elsewhere it is not needed.
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}
