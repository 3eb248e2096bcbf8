//! Spreadsheets as cells with their places.
//!
//! XLSX (ECMA-376 / ISO 29500) and ODS (OASIS `OpenDocument` 1.2) are archives of XML. Both are read here
//! as streams, cell by cell, and only the parts that a table needs: what a file may take is bounded by
//! [`archive::MAX_PART_BYTES`] and by the rows and columns of a table, whatever the file claims of itself.
//! A general reader was tried on paper and left: it holds a whole sheet, up to a hundred million cells.
//!
//! Values are taken as the spreadsheet last worked them out. Nothing is computed here.

mod archive;
mod grid;
mod ods;
mod styles;
mod xlsx;
mod xml;

pub(super) use grid::{Area, Grid, Value, address, letters};

pub(super) use archive::MAX_PART_BYTES;

use archive::Archive;

/// The sheets of one file, in its order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SheetName {
    pub name: String,
    pub hidden: bool,
}

/// Why a spreadsheet cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum SheetFault {
    /// Not the kind of file that its name says.
    NotThisFormat(&'static str),
    /// Its contents cannot be taken apart.
    Broken(String),
    /// It grows beyond what is read when it is unpacked.
    Bomb(String),
    /// None, or more than one, of its sheets is meant.
    WhichSheet(Vec<SheetName>),
    /// The one sheet that would fit is hidden.
    Hidden(String),
    /// A filled cell too far down, or too many of them: sheet and cell.
    TooManyRows(String, String),
    /// The same to the right.
    TooManyColumns(String, String),
    /// There is no sheet of the name that was written.
    NoSheet(Vec<SheetName>),
}

/// Which of the two formats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Ods,
}

/// Which sheet is asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted<'w> {
    /// Written after the file's name.
    pub name: Option<&'w str>,
    /// Names that speak for a sheet when none is written.
    pub usual: &'w [&'w str],
}

/// The cells of the sheet that is asked for.
pub(super) fn read(bytes: &[u8], format: Format, wanted: Wanted) -> Result<Grid, SheetFault> {
    let mut archive = Archive::open(bytes, format)?;
    match format {
        Format::Xlsx => xlsx::read(&mut archive, wanted),
        Format::Ods => ods::read(&mut archive, wanted),
    }
}

impl Wanted<'_> {
    /// The index of the sheet that is meant: the one named; else the only visible one; else the only
    /// visible one of a usual name.
    fn choose(self, sheets: &[SheetName]) -> Result<usize, SheetFault> {
        let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
        if let Some(name) = self.name {
            let exact = sheets.iter().position(|sheet| sheet.name == name);
            let found = exact.or_else(|| sheets.iter().position(|sheet| same(&sheet.name, name)));
            return found.ok_or_else(|| SheetFault::NoSheet(sheets.to_vec()));
        }
        let visible: Vec<usize> = (0..sheets.len()).filter(|i| !sheets[*i].hidden).collect();
        if let [only] = visible[..] {
            return Ok(only);
        }
        let usual = |i: &usize| self.usual.iter().any(|name| same(&sheets[*i].name, name));
        let fit: Vec<usize> = visible.iter().copied().filter(|i| usual(i)).collect();
        if let [only] = fit[..] {
            return Ok(only);
        }
        match (0..sheets.len()).find(|i| sheets[*i].hidden && usual(i)) {
            Some(hidden) if fit.is_empty() => Err(SheetFault::Hidden(sheets[hidden].name.clone())),
            _ => Err(SheetFault::WhichSheet(sheets.to_vec())),
        }
    }
}
