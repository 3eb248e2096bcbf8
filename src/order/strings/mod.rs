//! What to string the piano with: alternatives to choose from, and the order for the chosen one.

mod allowance;
mod alternative;
mod choice;
mod course;
mod ends;
mod going;
mod judge;
mod missing;
mod order;
mod pins;
mod relax;
mod search;
mod wire;
mod words;
mod wound;

pub use allowance::Allowances;
pub use alternative::{Alternative, Known, Name, Totals, alternatives};
pub use choice::{Choice, Make, Stringing, Winding, Wire, Wound};
pub use course::{Bound, Candidate, Course, FIGURES, Figure, Join, Place, Rules, Terms, Weights};
pub use ends::{Beyond, Ends};
pub use going::{Going, Wanted, Why};
pub use judge::{Judged, JudgedBreak, judge};
pub use order::{OrderFrom, SectionShare, StringOrder, StringTolerances, string_order};
pub use pins::PinLine;
pub use relax::{Refusal, Relaxation};
pub use search::{Best, NoChoice, best};
pub use wire::{Cut, PlainLine, WireLine, cuts, wire_mass};
pub use words::runs_of;
pub use wound::{LayerLine, Unread, WoundLine};
