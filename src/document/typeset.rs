//! Pages: a template, one JSON file and our own plots in; the bytes of a PDF out.
//!
//! The typesetter sees a closed world: the fonts and templates carried inside, `data.json`, `page.json`
//! and the plots handed in. No file, no package, no clock; the date is given. Text of the survey reaches
//! it only as data, never as source. Same input, same bytes.

mod world;

use super::{Date, assets, json};
use serde::Serialize;
use std::fmt;
use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, Smart};
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};
use world::{Pages, covered};

/// A document whose template is carried inside.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Template {
    /// Findings and verdicts, for the rebuilder.
    Assessment,
    /// What the hammer maker needs.
    HammerOrder,
    /// One page for the owner of the piano.
    Owner,
    /// The job in order, for the workshop's wall.
    JobCard,
    /// What to measure, to be filled in at the piano.
    MeasuringSheet,
    /// What string maker and wire merchant need.
    StringOrder,
    /// Every wire as it is cut, for the bench.
    StringingSheet,
}

impl Template {
    /// Every template.
    pub const ALL: [Self; 7] = [
        Self::Assessment,
        Self::HammerOrder,
        Self::Owner,
        Self::JobCard,
        Self::MeasuringSheet,
        Self::StringOrder,
        Self::StringingSheet,
    ];

    /// Its source and the name by which a fault names it.
    fn source(self) -> (&'static str, &'static str) {
        match self {
            Self::Assessment => ("assessment.typ", include_str!("assets/assessment.typ")),
            Self::HammerOrder => ("hammer-order.typ", include_str!("assets/hammer-order.typ")),
            Self::Owner => ("owner.typ", include_str!("assets/owner.typ")),
            Self::JobCard => ("job-card.typ", include_str!("assets/job-card.typ")),
            Self::MeasuringSheet => {
                ("measuring-sheet.typ", include_str!("assets/measuring-sheet.typ"))
            }
            Self::StringOrder => ("string-order.typ", include_str!("assets/string-order.typ")),
            Self::StringingSheet => {
                ("stringing-sheet.typ", include_str!("assets/stringing-sheet.typ"))
            }
        }
    }
}

/// Paper on which pages are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Paper {
    /// 210 mm × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8½ in × 11 in.
    Letter,
}

impl Paper {
    fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "us-letter",
        }
    }
}

/// What every page of a document says about where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Origin {
    /// What the survey calls the instrument.
    pub survey: String,
    /// Hash of the survey's content, as printed.
    pub content_hash: String,
    /// The workshop, the author of the document.
    pub shop: Option<String>,
    /// Where the workshop is to be found, in lines.
    pub address: Vec<String>,
    /// Its mark, a PNG picture.
    pub logo: Option<Vec<u8>>,
    /// The date that the document carries.
    pub date: Date,
}

/// A plot or drawing handed to a template by name.
#[derive(Debug, Clone, Copy)]
pub struct Plot<'a> {
    /// The name under which the template asks for it, with its ending: `tension.svg`.
    pub name: &'a str,
    /// Its bytes.
    pub bytes: &'a [u8],
}

/// Why a document could not be set: a mistake in a template or in the data handed to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypesetFault {
    /// What the typesetter said, one line each, with file and line where known.
    pub messages: Vec<String>,
}

impl fmt::Display for TypesetFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the document could not be set: {}", self.messages.join("; "))
    }
}

impl std::error::Error for TypesetFault {}

impl From<json::NotFinite> for TypesetFault {
    fn from(fault: json::NotFinite) -> Self {
        Self { messages: vec![fault.to_string()] }
    }
}

/// What `style.typ` reads about the page.
#[derive(Serialize)]
struct PageData<'a> {
    paper: &'static str,
    survey: &'a str,
    content_hash: &'a str,
    shop: Option<&'a str>,
    address: &'a [String],
    logo: bool,
    program: &'static str,
    year: u16,
    month: u8,
    day: u8,
    date_in_words: String,
}

/// Sets `template` with `data` and `plots` on `paper`.
///
/// A character that no font inside can draw is printed as U+FFFD, never left out.
pub fn pdf(
    template: Template,
    data: &impl Serialize,
    plots: &[Plot<'_>],
    origin: &Origin,
    paper: Paper,
) -> Result<Vec<u8>, TypesetFault> {
    let (name, text) = template.source();
    set(name, text, data, plots, origin, paper)
}

/// Sets the template `text`, which faults call `name`.
fn set(
    name: &str,
    text: &str,
    data: &impl Serialize,
    plots: &[Plot<'_>],
    origin: &Origin,
    paper: Paper,
) -> Result<Vec<u8>, TypesetFault> {
    let date = origin.date;
    let page = PageData {
        paper: paper.name(),
        survey: &origin.survey,
        content_hash: &origin.content_hash,
        shop: origin.shop.as_deref(),
        address: &origin.address,
        logo: origin.logo.is_some(),
        program: concat!("Feltwire ", env!("CARGO_PKG_VERSION")),
        year: date.year(),
        month: date.month(),
        day: date.day(),
        date_in_words: date.in_words(),
    };
    let mut pages = Pages::new(name, text)?;
    pages.add_source("style.typ", include_str!("assets/style.typ"))?;
    pages.add("data.json", covered(&json::compact(data)?).into_bytes())?;
    pages.add("page.json", covered(&json::compact(&page)?).into_bytes())?;
    if let Some(logo) = &origin.logo {
        pages.add("logo.png", logo.clone())?;
    }
    for plot in plots {
        pages.add(plot.name, plot.bytes.to_vec())?;
    }
    let result = typst::compile(&pages);
    let document = result.output.map_err(|faults| pages.fault(&faults))?;
    if let Some(first) = result.warnings.first() {
        // A warning is a mistake in a template; it is never the reader's.
        return Err(pages.fault(std::slice::from_ref(first)));
    }
    let bytes = typst_pdf::pdf(&document, &options(date)?).map_err(|faults| pages.fault(&faults));
    typst::comemo::evict(8);
    bytes
}

/// PDF/A-2a: archivable, tagged, every font inside.
fn options(date: Date) -> Result<PdfOptions, TypesetFault> {
    let standards = PdfStandards::new(&[PdfStandard::A_2a])
        .map_err(|fault| TypesetFault { messages: vec![fault.message().to_string()] })?;
    let day = Datetime::from_ymd_hms(i32::from(date.year()), date.month(), date.day(), 0, 0, 0);
    Ok(PdfOptions {
        creator: Smart::Custom(Some(concat!("Feltwire ", env!("CARGO_PKG_VERSION")).to_owned())),
        timestamp: day.map(Timestamp::new_utc),
        standards,
        ..PdfOptions::default()
    })
}

impl Pages {
    fn fault(&self, faults: &[SourceDiagnostic]) -> TypesetFault {
        TypesetFault { messages: faults.iter().map(|fault| self.describe(fault)).collect() }
    }
}

#[cfg(test)]
mod tests;
