//! Results and tables to fill in as XLSX (ECMA-376 / ISO 29500), for a spreadsheet.
//!
//! Heads stay in sight, sort and filter, repeat on every printed page, and carry their unit. Figures are
//! numbers, words are words: none of them is a formula, and words that would become one when the cell is
//! typed over carry the spreadsheet's own mark for text. The date of making comes from the door: same
//! results, same date, same bytes.

use super::Date;
pub use super::lists::Entry;
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Note, Workbook, Worksheet,
    XlsxError,
};

/// The head of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// Its name with its unit: `length_mm`.
    pub name: String,
    /// What it is, shown when the head is pointed at.
    pub about: Option<String>,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The name on its tab.
    pub name: String,
    /// Its columns.
    pub heads: Vec<Head>,
    /// Its rows, each as long as the heads.
    pub rows: Vec<Vec<Entry>>,
}

/// Words of whoever made the workbook: title and subject.
#[derive(Debug, Clone, Copy)]
pub struct Made<'m> {
    /// What it is called.
    pub title: &'m str,
    /// The date that it carries.
    pub date: Date,
}

/// Why a workbook could not be written: a bug of ours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct XlsxFault(String);

impl std::fmt::Display for XlsxFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the workbook could not be written: {}", self.0)
    }
}

impl std::error::Error for XlsxFault {}

impl From<XlsxError> for XlsxFault {
    fn from(fault: XlsxError) -> Self {
        Self(fault.to_string())
    }
}

/// The workbook of these sheets.
pub fn workbook(sheets: &[Sheet], made: Made) -> Result<Vec<u8>, XlsxFault> {
    let mut workbook = Workbook::new();
    let date = made.date;
    let made_on = ExcelDateTime::from_ymd(date.year(), date.month(), date.day())?;
    let program = concat!("Feltwire ", env!("CARGO_PKG_VERSION"));
    workbook.set_properties(
        &DocProperties::new()
            .set_title(made.title)
            .set_author(program)
            .set_creation_datetime(&made_on),
    );
    for sheet in sheets {
        write(workbook.add_worksheet(), sheet)?;
    }
    Ok(workbook.save_to_buffer()?)
}

fn write(page: &mut Worksheet, sheet: &Sheet) -> Result<(), XlsxFault> {
    const WIDEST: usize = 60;
    const FITS: usize = 16;
    page.set_name(tab(&sheet.name))?;
    let bold = Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(FormatAlign::Top)
        .set_border_bottom(FormatBorder::Thin);
    for (column, head) in sheet.heads.iter().enumerate() {
        let column = column as u16;
        page.write_string_with_format(0, column, &head.name, &bold)?;
        if let Some(about) = &head.about {
            page.insert_note(0, column, &Note::new(about).add_author_prefix(false))?;
        }
    }
    for (index, row) in sheet.rows.iter().enumerate() {
        let line = index as u32 + 1;
        for (column, entry) in row.iter().enumerate() {
            put(page, line, column as u16, entry)?;
        }
    }
    for (column, head) in sheet.heads.iter().enumerate() {
        let wide = |entry: &Entry| match entry {
            Entry::Text(text) => text.chars().count(),
            Entry::Number(value) => value.to_string().len().min(12),
            Entry::Flag(_) => 5,
            Entry::Empty => 0,
        };
        let widest = sheet.rows.iter().filter_map(|row| row.get(column)).map(wide).max();
        let longest_word = head.name.split(' ').map(str::len).max().unwrap_or(0);
        let width = widest.unwrap_or(0).max(longest_word).clamp(6, WIDEST);
        page.set_column_width(column as u16, width as f64 + 2.0)?;
    }
    let (last_row, last_column) = (sheet.rows.len() as u32, sheet.heads.len().max(1) as u16 - 1);
    page.set_freeze_panes(1, 1)?;
    page.set_repeat_rows(0, 0)?;
    page.autofilter(0, 0, last_row.max(1), last_column)?;
    page.set_landscape();
    // Wider than that, a page's width would make it too small to read: its first column goes along.
    if sheet.heads.len() <= FITS {
        page.set_print_fit_to_pages(1, 0);
    } else {
        page.set_repeat_columns(0, 0)?;
    }
    Ok(())
}

fn put(page: &mut Worksheet, row: u32, column: u16, entry: &Entry) -> Result<(), XlsxFault> {
    match entry {
        Entry::Text(text) if could_run(text) => {
            let as_text = Format::new().set_quote_prefix();
            page.write_string_with_format(row, column, text, &as_text)?;
        }
        Entry::Text(text) => {
            page.write_string(row, column, text)?;
        }
        Entry::Number(value) => {
            page.write_number(row, column, *value)?;
        }
        Entry::Flag(flag) => {
            page.write_boolean(row, column, *flag)?;
        }
        Entry::Empty => {}
    }
    Ok(())
}

/// Whether a spreadsheet would take `text` for a formula when it is typed.
fn could_run(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// A tab's name: at most 31 characters, without the marks that separate sheets and cells.
fn tab(name: &str) -> String {
    name.chars().filter(|c| !r"[]:*?/\'".contains(*c)).take(31).collect()
}
