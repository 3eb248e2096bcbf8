//! The packet: every paper for the bench, as names and bytes.

use super::plots::{self, Which};
use super::stamp::Stamp;
use super::typeset::{self, Plot, Template};
use super::{pages, png, shapes, string_table, tables};
use crate::measure::{Stopped, Watch};
use crate::order::strings::StringOrder;
use crate::report::{Report, Wanted};
use sha2::{Digest, Sha256};

/// One file of the packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PacketFile {
    /// Its name, without a folder.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Width of the pictures, in pixels.
pub const PNG_WIDTH: u32 = 1600;

/// The file that lists the others.
pub const LIST: &str = "numbers.json";

/// Why there is no packet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PacketFault {
    /// It was stopped.
    Stopped(Stopped),
    /// A paper could not be set, or a figure not drawn: a bug of ours, never the survey's.
    Bug {
        /// Which paper or figure.
        file: String,
        /// What went wrong.
        fault: String,
    },
}

impl PacketFault {
    fn bug(file: &str, fault: &dyn std::fmt::Display) -> Self {
        Self::Bug { file: file.to_owned(), fault: fault.to_string() }
    }
}

impl std::fmt::Display for PacketFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Stopped(_) => f.write_str("stopped"),
            Self::Bug { file, fault } => write!(f, "{file}: {fault}"),
        }
    }
}

impl std::error::Error for PacketFault {}

impl From<Stopped> for PacketFault {
    fn from(stopped: Stopped) -> Self {
        Self::Stopped(stopped)
    }
}

/// Every file of the packet of `report`; the list comes last.
pub fn packet(
    report: &Report,
    stamp: &Stamp,
    watch: &dyn Watch,
) -> Result<Vec<PacketFile>, PacketFault> {
    let mut drawings: Vec<(Which, String)> = Vec::new();
    for which in Which::of(report) {
        let drawing =
            plots::draw(report, which).map_err(|fault| PacketFault::bug(which.name(), &fault))?;
        drawings.extend(drawing.map(|drawing| (which, drawing)));
    }
    watch.check()?;
    let strings = report.string_order(Wanted::Advised, watch)?;
    let strings = (!strings.is_empty()).then_some(strings);
    let mut work = vec![Work::Assessment, Work::Owner, Work::JobCard];
    if let Some(order) = &strings {
        work.extend([Work::StringOrder(order), Work::StringingSheet(order)]);
    }
    if report.hammer_order.is_some() {
        work.push(Work::HammerOrder);
    }
    #[cfg(feature = "sheet")]
    work.push(Work::Workbook(strings.as_ref()));
    work.extend((0..drawings.len()).map(Work::Picture));
    let mut files = side_by_side(&work, |work| work.done(report, *stamp, &drawings))?;
    watch.check()?;
    for (which, drawing) in &drawings {
        files.push(file(&format!("{}.svg", which.name()), drawing.clone().into_bytes()));
    }
    if let Some(order) = pages::hammer_order_csv(report) {
        files.push(file("hammer-order.csv", order.into_bytes()));
    }
    if let Some(order) = &strings {
        files.push(file("string-order.csv", string_table::strings(report, order).into_bytes()));
    }
    files.push(file("scale.csv", tables::scale(report).into_bytes()));
    files.sort_by(|a, b| rank(&a.name).cmp(&rank(&b.name)));
    files.push(file(
        LIST,
        shapes::numbers(report, strings.as_ref(), stamp.date, &listed(&files)).into_bytes(),
    ));
    Ok(files)
}

/// Papers before tables before plots; names in the order of their letters within.
fn rank(name: &str) -> (usize, &str) {
    let endings = [".pdf", ".csv", ".xlsx", ".svg", ".png"];
    (endings.iter().position(|ending| name.ends_with(ending)).unwrap_or(endings.len()), name)
}

/// A file that takes its time.
#[derive(Debug, Clone, Copy)]
enum Work<'o> {
    Assessment,
    HammerOrder,
    Owner,
    JobCard,
    StringOrder(&'o StringOrder),
    StringingSheet(&'o StringOrder),
    #[cfg(feature = "sheet")]
    Workbook(Option<&'o StringOrder>),
    /// The plot of this index as pixels.
    Picture(usize),
}

impl Work<'_> {
    fn done(
        self,
        report: &Report,
        stamp: Stamp,
        drawings: &[(Which, String)],
    ) -> Result<Option<PacketFile>, PacketFault> {
        match self {
            Self::Assessment => assessment(report, stamp, drawings).map(Some),
            Self::HammerOrder => hammer_order(report, stamp),
            Self::Owner => {
                let data = pages::owner(report, stamp);
                set("owner.pdf", Template::Owner, &data, &[], report, stamp).map(Some)
            }
            Self::JobCard => {
                let data = pages::job_card(report, stamp);
                set("job-card.pdf", Template::JobCard, &data, &[], report, stamp).map(Some)
            }
            Self::StringOrder(order) => {
                let data = pages::string_order(report, order, stamp);
                set("string-order.pdf", Template::StringOrder, &data, &[], report, stamp).map(Some)
            }
            Self::StringingSheet(order) => {
                let data = pages::stringing_sheet(report, order, stamp);
                set("stringing-sheet.pdf", Template::StringingSheet, &data, &[], report, stamp)
                    .map(Some)
            }
            #[cfg(feature = "sheet")]
            Self::Workbook(order) => {
                const NAME: &str = "results.xlsx";
                super::results(report, order, stamp.date)
                    .map(|bytes| Some(file(NAME, bytes)))
                    .map_err(|fault| PacketFault::bug(NAME, &fault))
            }
            Self::Picture(index) => {
                drawings.get(index).map(|(which, svg)| picture(*which, svg)).transpose()
            }
        }
    }
}

fn assessment(
    report: &Report,
    stamp: Stamp,
    drawings: &[(Which, String)],
) -> Result<PacketFile, PacketFault> {
    const NAME: &str = "assessment.pdf";
    let drawn: Vec<Which> = drawings.iter().map(|(which, _)| *which).collect();
    let data = pages::assessment(report, stamp, &drawn);
    let names: Vec<String> = drawn.iter().map(|which| format!("{}.svg", which.name())).collect();
    let plots: Vec<Plot> = names
        .iter()
        .zip(drawings)
        .map(|(name, (_, svg))| Plot { name, bytes: svg.as_bytes() })
        .collect();
    set(NAME, Template::Assessment, &data, &plots, report, stamp)
}

/// `None` when the survey holds no hammer.
fn hammer_order(report: &Report, stamp: Stamp) -> Result<Option<PacketFile>, PacketFault> {
    const NAME: &str = "hammer-order.pdf";
    let Some((data, drawing)) = pages::hammer_order(report, stamp) else { return Ok(None) };
    let plots: Vec<Plot> =
        drawing.iter().map(|svg| Plot { name: pages::DRAWING, bytes: svg.as_bytes() }).collect();
    set(NAME, Template::HammerOrder, &data, &plots, report, stamp).map(Some)
}

fn set(
    name: &str,
    template: Template,
    data: &impl serde::Serialize,
    plots: &[Plot<'_>],
    report: &Report,
    stamp: Stamp,
) -> Result<PacketFile, PacketFault> {
    let origin = pages::origin(report, stamp);
    typeset::pdf(template, data, plots, &origin, stamp.paper)
        .map(|bytes| file(name, bytes))
        .map_err(|fault| PacketFault::bug(name, &fault))
}

fn picture(which: Which, svg: &str) -> Result<PacketFile, PacketFault> {
    let name = format!("{}.png", which.name());
    png::png(svg, PNG_WIDTH)
        .map(|bytes| file(&name, bytes))
        .map_err(|fault| PacketFault::bug(&name, &fault))
}

/// Does every piece of work, each on its own thread where there are threads; the first fault, if any.
fn side_by_side(
    work: &[Work<'_>],
    each: impl Fn(&Work<'_>) -> Result<Option<PacketFile>, PacketFault> + Sync + Send,
) -> Result<Vec<PacketFile>, PacketFault> {
    #[cfg(feature = "parallel")]
    let done: Result<Vec<_>, _> = {
        use rayon::prelude::*;
        work.par_iter().map(each).collect()
    };
    #[cfg(not(feature = "parallel"))]
    let done: Result<Vec<_>, _> = work.iter().map(each).collect();
    Ok(done?.into_iter().flatten().collect())
}

/// Names and fingerprints of what stands in the packet beside its list.
fn listed(files: &[PacketFile]) -> Vec<(String, String)> {
    files.iter().map(|file| (file.name.clone(), fingerprint(&file.bytes))).collect()
}

/// The SHA-256 of some bytes, in hexadecimal digits.
pub fn fingerprint(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    let mut text = String::new();
    for byte in Sha256::digest(bytes) {
        let _ = write!(text, "{byte:02x}");
    }
    text
}

fn file(name: &str, bytes: Vec<u8>) -> PacketFile {
    PacketFile { name: name.to_owned(), bytes }
}
