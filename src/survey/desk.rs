//! The desk at which a survey is read: the folder, what was read from it, what was found.

use super::fault::{Fault, FaultKind, Faults, Likeness};
use super::folder::{Folder, FolderFault, MAX_FILE_BYTES, plain_name};
use super::source::{At, Source, Spot};
use super::words::shown;
use crate::instrument::{About, TableRead, Warning};
use crate::measure::{Note, Sentence};
use sha2::{Digest, Sha256};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::rc::Rc;

/// Faults that are held before the first of them in the text are chosen.
const ENOUGH: usize = 10 * Faults::MOST;

/// Largest `survey.toml`: it is written by hand, and its syntax takes more room than a table's.
const MAX_SURVEY_BYTES: usize = 4 << 20;

pub(super) struct Desk<'f> {
    folder: &'f dyn Folder,
    /// What lies on it, in a word.
    of: &'static str,
    faults: RefCell<Vec<Fault>>,
    /// Faults beyond [`ENOUGH`], counted only.
    more: Cell<usize>,
    warnings: RefCell<Vec<Warning>>,
    tables: RefCell<Vec<TableRead>>,
    /// Notes in other spellings than ours, by the table they stand in.
    spelled: RefCell<Vec<(String, String, Note)>>,
    digests: RefCell<BTreeMap<String, [u8; 32]>>,
}

impl<'f> Desk<'f> {
    pub fn new(folder: &'f dyn Folder, of: &'static str) -> Self {
        Self {
            folder,
            of,
            faults: RefCell::default(),
            more: Cell::default(),
            warnings: RefCell::default(),
            tables: RefCell::default(),
            spelled: RefCell::default(),
            digests: RefCell::default(),
        }
    }

    pub fn fault(&self, fault: Fault) {
        let mut faults = self.faults.borrow_mut();
        if faults.len() < ENOUGH {
            faults.push(fault);
        } else {
            self.more.set(self.more.get() + 1);
        }
    }

    pub fn warn(&self, kind: &'static str, about: About, text: Sentence) {
        self.warnings.borrow_mut().push(Warning { kind, about, text });
    }

    /// Keeps how a table was understood.
    pub fn understood(&self, table: TableRead) {
        self.tables.borrow_mut().push(table);
    }

    /// Keeps that a note of `table` is `written` otherwise than it is printed.
    pub fn spelled(&self, table: String, written: &str, note: Note) {
        self.spelled.borrow_mut().push((table, shown(written), note));
    }

    /// Drops what follows from text that could not be taken apart: keys that seem to be missing,
    /// and whatever else stands on a line that is at fault anyway.
    pub fn keep_apart_from_bad_text(&self) {
        let mut faults = self.faults.borrow_mut();
        let bad: Vec<_> = faults
            .iter()
            .filter(|fault| fault.kind == FaultKind::BadToml)
            .map(|fault| (fault.spot.file.clone(), fault.spot.line))
            .collect();
        if !bad.is_empty() {
            faults.retain(|fault| {
                fault.kind == FaultKind::BadToml
                    || (fault.kind != FaultKind::MissingKey
                        && !bad.contains(&(fault.spot.file.clone(), fault.spot.line)))
            });
        }
    }

    /// The bytes of `name`, which stands at `at`.
    pub fn bytes(&self, name: &str, at: Option<&At>) -> Option<Vec<u8>> {
        let spot = || at.map_or_else(|| Spot::file(name), At::spot);
        if !plain_name(name) {
            self.fault(
                Fault::at(FaultKind::PathEscape, spot(), "a file name that may lead out of the survey's folder")
                    .found("not a plain relative name")
                    .expected("the name of a file inside the survey's folder, without `..`, drive or leading `/`")
                    .remedy("put the file into the survey's folder and write its name alone: \"strings.csv\""),
            );
            return None;
        }
        match self.folder.read(name) {
            Ok(bytes) => {
                self.digests.borrow_mut().insert(name.to_owned(), Sha256::digest(&bytes).into());
                Some(bytes)
            }
            Err(FolderFault::Missing) if at.is_none() => {
                self.fault(
                    Fault::at(FaultKind::MissingFile, spot(), format!("there is no file `{name}`"))
                        .found("a folder without it")
                        .expected(format!("a survey: a folder with a file `{name}` in it"))
                        .remedy("name the folder that holds it; `examples/upright` is one to copy"),
                );
                None
            }
            Err(fault) => {
                self.fault(folder_fault(name, spot(), fault));
                None
            }
        }
    }

    /// The text of `name`, without a byte order mark.
    pub fn text(&self, name: &str, at: Option<&At>) -> Option<Rc<Source>> {
        let bytes = self.bytes(name, at)?;
        if name == super::SURVEY_FILE && bytes.len() > MAX_SURVEY_BYTES {
            let limit = MAX_SURVEY_BYTES >> 20;
            self.fault(
                Fault::at(
                    FaultKind::FileTooLarge,
                    Spot::file(name),
                    format!("`{name}` is too large"),
                )
                .found(format!("more than {limit} MiB"))
                .expected(format!("at most {limit} MiB"))
                .remedy(KEEP),
            );
            return None;
        }
        match String::from_utf8(bytes) {
            Ok(text) => {
                Some(Source::new(name, text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned()))
            }
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let bytes = error.into_bytes();
                let line = bytes[..good].split(|byte| *byte == b'\n').count();
                let utf16 = bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff");
                let sheet = bytes.starts_with(b"PK") || bytes.starts_with(b"\xd0\xcf\x11\xe0");
                let spot = Spot { line, ..Spot::file(name) };
                let title = format!("`{}` is not UTF-8 text", shown(name));
                let fault = Fault::at(FaultKind::NotUtf8, spot, title).expected("text in UTF-8");
                self.fault(if sheet {
                    fault.found("a spreadsheet inside, whatever its name").remedy(
                        "give the file its own ending, .xlsx or .ods, and write that name; or save it as \"CSV UTF-8\"",
                    )
                } else {
                    let found = if utf16 {
                        "UTF-16 text, as some programs save it".to_owned()
                    } else {
                        format!("byte 0x{:02x} on line {line} is no UTF-8", bytes[good])
                    };
                    fault.found(found).remedy(
                        "save the file again and choose \"UTF-8\" (in a spreadsheet: \"CSV UTF-8\")",
                    )
                });
                None
            }
        }
    }

    /// One hash of every file that was read, names included, in hexadecimal digits.
    fn hash(&self) -> String {
        let mut all = Sha256::new();
        for (name, digest) in self.digests.borrow().iter() {
            all.update((name.len() as u64).to_le_bytes());
            all.update(name.as_bytes());
            all.update(digest);
        }
        all.finalize().iter().fold(String::new(), |mut out, byte| {
            let _ = write!(out, "{byte:02x}");
            out
        })
    }

    /// What was found when there is no fault, else the faults in the order of the text.
    pub fn close(self) -> Result<Closed, Faults> {
        let hash = self.hash();
        let mut list = self.faults.into_inner();
        if list.is_empty() {
            let mut tables = self.tables.into_inner();
            for table in &mut tables {
                table.remarks.extend(spellings(&table.name, &self.spelled.borrow()));
            }
            return Ok(Closed { warnings: self.warnings.into_inner(), tables, hash });
        }
        list.sort_by_cached_key(|fault| {
            let spot = &fault.spot;
            let file = (spot.file != super::SURVEY_FILE, spot.file.clone(), spot.sheet.clone());
            (file, spot.line, spot.column)
        });
        list.dedup();
        keep_apart_from_bad_columns(&mut list);
        let beyond = list.len().saturating_sub(Faults::MOST) + self.more.get();
        list.truncate(Faults::MOST);
        let list = together(list);
        Err(Faults { list, beyond, of: self.of })
    }
}

/// Drops what follows from a column that was not understood: readings that seem to be missing beside others.
fn keep_apart_from_bad_columns(list: &mut Vec<Fault>) {
    use FaultKind::{
        BareEndsTooLong, ColumnTwice, ColumnWithoutUnit, HalfReading, MissingCell, MissingColumn,
        UnknownColumn, WindingWithoutOver,
    };
    let table = |fault: &Fault| (fault.spot.file.clone(), fault.spot.sheet.clone());
    let bad: Vec<_> = list
        .iter()
        .filter(|fault| matches!(fault.kind, UnknownColumn | ColumnWithoutUnit | ColumnTwice))
        .map(table)
        .collect();
    let follows = [WindingWithoutOver, HalfReading, MissingCell, BareEndsTooLong];
    list.retain(|fault| !follows.contains(&fault.kind) || !bad.contains(&table(fault)));
    let meant: Vec<_> = list
        .iter()
        .filter(|fault| fault.kind == UnknownColumn)
        .filter_map(|fault| Some((table(fault), format!("`{}`", fault.fix.as_deref()?))))
        .collect();
    list.retain(|fault| {
        let of = table(fault);
        let named = |(other, name): &(_, String)| *other == of && fault.title.ends_with(name);
        fault.kind != MissingColumn || !meant.iter().any(named)
    });
}

/// So many cells of one column with one fault are shown as one.
const TOGETHER: usize = 3;

/// Faults in the order of the text, those that are alike in the cells of one column shown with the first of them.
fn together(list: Vec<Fault>) -> Vec<Fault> {
    let mut alike: BTreeMap<Likeness, usize> = BTreeMap::new();
    for likeness in list.iter().filter_map(Fault::likeness) {
        *alike.entry(likeness).or_default() += 1;
    }
    alike.retain(|_, count| *count >= TOGETHER);
    let mut kept: Vec<Fault> = Vec::new();
    let mut first: BTreeMap<Likeness, usize> = BTreeMap::new();
    for fault in list {
        let many = fault.likeness().filter(|likeness| alike.contains_key(likeness));
        match many {
            Some(likeness) if first.contains_key(&likeness) => {
                kept[first[&likeness]].more.push(fault.spot);
            }
            Some(likeness) => {
                first.insert(likeness, kept.len());
                kept.push(fault);
            }
            None => kept.push(fault),
        }
    }
    for fault in &mut kept {
        if fault.more.is_empty() {
            continue;
        }
        match fault.kind {
            FaultKind::ImpossibleValue => {
                fault.remedy.push_str("; where a whole column is so, see the unit in its head");
            }
            FaultKind::OverSmallerThanCore
            | FaultKind::StrikeBeyondString
            | FaultKind::HoleSmallerThanShank => {
                fault
                    .remedy
                    .push_str("; where a whole column is so, see whether two heads are exchanged");
            }
            _ => {}
        }
    }
    kept
}

/// What a survey without faults leaves on the desk.
pub(super) struct Closed {
    pub warnings: Vec<Warning>,
    pub tables: Vec<TableRead>,
    pub hash: String,
}

/// Other spellings of notes in one table, in one remark.
fn spellings(table: &str, spelled: &[(String, String, Note)]) -> Option<String> {
    const MOST: usize = 6;
    let of: Vec<String> = spelled
        .iter()
        .filter(|(name, ..)| name == table)
        .map(|(_, written, note)| format!("{written} as {note}"))
        .collect();
    let more = of.len().saturating_sub(MOST);
    let shown = of.get(..MOST).unwrap_or(&of).join(", ");
    let more = if more == 0 { String::new() } else { format!(" and {more} more so") };
    (!of.is_empty()).then(|| format!("notes: {shown}{more}"))
}

fn folder_fault(name: &str, spot: Spot, fault: FolderFault) -> Fault {
    let name = shown(name);
    let new = |kind, title: String| Fault::at(kind, spot, title);
    match fault {
        FolderFault::Missing => new(FaultKind::MissingFile, format!("there is no file `{name}`"))
            .found("named here, not found in the survey's folder")
            .expected("a file of this name beside survey.toml; capitals count")
            .remedy("put the file there, or correct the name"),
        FolderFault::TooLarge => {
            let limit = MAX_FILE_BYTES >> 20;
            new(FaultKind::FileTooLarge, format!("`{name}` is too large"))
                .found(format!("more than {limit} MiB"))
                .expected(format!("at most {limit} MiB"))
                .remedy(KEEP)
        }
        FolderFault::LeadsOutside => new(
            FaultKind::PathEscape,
            format!("`{name}` is a link that leads out of the survey's folder"),
        )
        .found("a link")
        .expected("a plain file inside the survey's folder")
        .remedy("copy the file itself into the folder"),
        FolderFault::NotAFile => {
            new(FaultKind::UnreadableFile, format!("`{name}` is not a plain file"))
                .found("a folder or something else that cannot be read as a file")
                .expected("a plain file inside the survey's folder")
                .remedy("write the name of the file itself")
        }
        FolderFault::Unreadable(why) => {
            new(FaultKind::UnreadableFile, format!("`{name}` cannot be read"))
                .found(shown(&why))
                .expected("a file that this program may read")
                .remedy("close it in other programs and see that you may open it yourself")
        }
    }
}

const KEEP: &str = "keep only what Feltwire reads; a survey takes a few kilobytes";
