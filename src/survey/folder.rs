//! The survey's folder: names to bytes. A door implements it on disk, a test or a fuzz target in
//! memory.

use std::collections::BTreeMap;

/// Largest file that is read, 16 MiB.
pub const MAX_FILE_BYTES: u64 = 16 << 20;

/// Files by plain relative name.
///
/// [`survey::read`](super::read) asks only for names that passed [`plain_name`]. What a name alone
/// cannot show is the folder's to refuse: a link that leads out, or a name that is no plain file.
pub trait Folder {
    /// The whole content of `name`, at most [`MAX_FILE_BYTES`].
    fn read(&self, name: &str) -> Result<Vec<u8>, FolderFault>;
}

/// Why a file cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FolderFault {
    /// There is none of that name.
    Missing,
    /// It is larger than [`MAX_FILE_BYTES`].
    TooLarge,
    /// A link that leads out of the folder.
    LeadsOutside,
    /// A folder, a device, a pipe: no plain file.
    NotAFile,
    /// It could not be read; in the system's words.
    Unreadable(String),
}

/// Files held in memory.
#[derive(Debug, Clone, Default)]
pub struct Memory(pub BTreeMap<String, Vec<u8>>);

impl Memory {
    /// A folder of these files.
    pub fn new<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> Self {
        Self(files.into_iter().map(|(name, bytes)| (name.to_owned(), bytes.to_vec())).collect())
    }
}

impl Folder for Memory {
    fn read(&self, name: &str) -> Result<Vec<u8>, FolderFault> {
        let bytes = self.0.get(name).ok_or(FolderFault::Missing)?;
        if bytes.len() as u64 > MAX_FILE_BYTES {
            Err(FolderFault::TooLarge)
        } else {
            Ok(bytes.clone())
        }
    }
}

/// Whether `name` is a plain relative name that stays inside the folder: parts divided by `/`, none
/// of them empty, `.` or `..`, without backslashes, colons or control characters.
///
/// ```
/// use feltwire::survey::plain_name;
/// assert!(plain_name("strings.csv") && plain_name("tables/strings.csv"));
/// assert!(!plain_name("../strings.csv") && !plain_name("/strings.csv") && !plain_name("C:\\a.csv"));
/// ```
pub fn plain_name(name: &str) -> bool {
    name.len() <= 255
        && !name.contains(['\\', ':'])
        && !name.contains(super::words::is_hidden)
        && name.split('/').all(|part| !matches!(part.trim(), "" | "." | ".."))
}
