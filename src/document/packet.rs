//! The packet: every paper for the bench, as names and bytes.

use super::plots::{self, Which};
use super::typeset::Paper;
use super::{Date, png, shapes, tables};
use crate::measure::{Stopped, Watch};
use crate::report::Report;
use sha2::{Digest, Sha256};

/// What the door adds to a packet: the day and the wishes of the reader.
#[derive(Debug, Clone, Copy)]
pub struct Stamp {
    /// The date on the papers.
    pub date: Date,
    /// The paper.
    pub paper: Paper,
    /// Inches beside millimetres.
    pub also_inches: bool,
}

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

/// Every file of the packet of `report`; the list comes last.
pub fn packet(
    report: &Report,
    stamp: &Stamp,
    watch: &dyn Watch,
) -> Result<Vec<PacketFile>, Stopped> {
    let drawings: Vec<(Which, String)> = Which::ALL
        .into_iter()
        .filter_map(|which| plots::draw(report, which).map(|drawing| (which, drawing)))
        .collect();
    watch.check()?;
    let mut files = Vec::new();
    for (which, drawing) in &drawings {
        files.push(file(&format!("{}.svg", which.name()), drawing.clone().into_bytes()));
    }
    files.extend(pictures(&drawings));
    watch.check()?;
    files.push(file("scale.csv", tables::scale(report).into_bytes()));
    files.push(file(LIST, shapes::numbers(report, stamp.date, &listed(&files)).into_bytes()));
    Ok(files)
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

/// The drawings as PNG, each on its own thread where there are threads.
fn pictures(drawings: &[(Which, String)]) -> Vec<PacketFile> {
    let picture = |(which, drawing): &(Which, String)| {
        // Our own drawing in our own fonts: a failure is a bug of ours.
        let bytes = png::png(drawing, PNG_WIDTH).expect("our own drawing can be rasterised");
        file(&format!("{}.png", which.name()), bytes)
    };
    #[cfg(feature = "parallel")]
    {
        use rayon::prelude::*;
        drawings.par_iter().map(picture).collect()
    }
    #[cfg(not(feature = "parallel"))]
    {
        drawings.iter().map(picture).collect()
    }
}
