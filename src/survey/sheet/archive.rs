//! The archive around a spreadsheet: parts by name, none of them larger than is read.

use super::{Format, SheetFault};
use std::borrow::Cow;
use std::io::{BufReader, Cursor, ErrorKind, Read};
use zip::ZipArchive;
use zip::result::ZipError;

/// Most bytes that one part may take when it is unpacked: 2000 rows of 100 columns take about ten
/// million, and what is beyond is no table of a piano.
pub(in crate::survey) const MAX_PART_BYTES: u64 = 64 << 20;

/// An open archive.
pub(super) struct Archive<'b> {
    zip: ZipArchive<Cursor<&'b [u8]>>,
}

/// One part, unpacked as it is read, to its limit and no further.
pub(super) type Part<'p> = BufReader<Limited<Box<dyn Read + 'p>>>;

/// Says so when more than the limit is asked for, instead of seeming to end there.
pub(super) struct Limited<R> {
    inner: R,
    left: u64,
}

/// How a reader says that a part is too large.
pub(super) const TOO_LARGE: &str = "part beyond its limit";

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.inner.read(buffer)?;
        self.left = match self.left.checked_sub(read as u64) {
            Some(left) => left,
            None => return Err(std::io::Error::new(ErrorKind::InvalidData, TOO_LARGE)),
        };
        Ok(read)
    }
}

impl<'b> Archive<'b> {
    /// Opens the bytes of a file that by its name is of `format`.
    pub fn open(bytes: &'b [u8], format: Format) -> Result<Self, SheetFault> {
        const OLD_OR_LOCKED: &[u8] = &[0xd0, 0xcf, 0x11, 0xe0];
        if bytes.starts_with(OLD_OR_LOCKED) {
            return Err(SheetFault::NotThisFormat(
                "locked by a password, or in the older .xls format",
            ));
        }
        if !bytes.starts_with(b"PK") {
            return Err(SheetFault::NotThisFormat("not a spreadsheet inside, whatever its name"));
        }
        let zip = ZipArchive::new(Cursor::new(bytes))
            .map_err(|fault| SheetFault::Broken(fault.to_string()))?;
        let archive = Self { zip };
        let has = |name: &str| archive.zip.index_for_name(name).is_some();
        let fits = match format {
            Format::Xlsx => has("[Content_Types].xml"),
            Format::Ods => has("content.xml"),
        };
        if fits {
            return Ok(archive);
        }
        Err(SheetFault::NotThisFormat(if has("content.xml") {
            "an ODS file inside, whatever its name"
        } else if has("[Content_Types].xml") {
            "an XLSX file inside, whatever its name"
        } else {
            "an archive of something else"
        }))
    }

    /// A part that must be there.
    pub fn part(&mut self, name: &str) -> Result<Part<'_>, SheetFault> {
        match self.optional(name)? {
            Some(part) => Ok(part),
            None => Err(SheetFault::Broken(format!("it has no part {name}"))),
        }
    }

    /// A part that may be absent.
    pub fn optional(&mut self, name: &str) -> Result<Option<Part<'_>>, SheetFault> {
        // The archive's own index knows parts by exact name; some writers differ in capitals.
        let names = self.zip.file_names().filter_map(Result::ok);
        let Some(name) = names.map(Cow::into_owned).find(|known| known.eq_ignore_ascii_case(name))
        else {
            return Ok(None);
        };
        match self.zip.by_name(&name) {
            Ok(file) => {
                let inner: Box<dyn Read + '_> = Box::new(file);
                Ok(Some(BufReader::new(Limited { inner, left: MAX_PART_BYTES })))
            }
            Err(ZipError::UnsupportedArchive(what)) if what == ZipError::PASSWORD_REQUIRED => {
                Err(SheetFault::NotThisFormat("locked by a password"))
            }
            Err(fault) => Err(SheetFault::Broken(fault.to_string())),
        }
    }
}
