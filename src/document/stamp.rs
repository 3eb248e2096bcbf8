//! What the door adds to a paper: the day and the wishes of the reader.

use super::Date;
use super::typeset::Paper;

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
