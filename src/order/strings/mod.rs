//! What to string the piano with: alternatives to choose from, and the order for the chosen one.

mod allowance;
mod alternative;
mod buy;
mod choice;
mod course;
mod ends;
mod gap;
mod going;
mod judge;
mod line;
mod missing;
mod offer;
mod old;
mod order;
mod pins;
mod relax;
mod rescale;
mod search;
mod setup;
mod spread;
mod staying;
mod tell;
mod wind;
mod wire;
mod wish;
mod words;
mod wound;

pub use allowance::Allowances;
pub use alternative::{
    Alternative, ExtentFigures, ExtentTried, Known, Refused, Rescale, Swayed, Totals,
};
pub use choice::{Choice, Make, Stringing, Winding, Wire, Wound};
pub use course::{
    Bound, Candidate, Course, FIGURES, Figure, Join, Place, Rules, Terms, Weights, Wires,
};
pub use ends::{Beyond, Ends};
pub use going::{Going, Wanted, Why};
pub use judge::{Judged, JudgedBreak, judge};
pub use order::{OrderFrom, SectionShare, StringOrder, StringTolerances, string_order};
pub use pins::PinLine;
pub use relax::{Refusal, Relaxation};
pub use rescale::{problem, rescale};
pub use search::{Best, NoChoice, best};
pub use staying::{AsIf, Fate, Held, HeldPart, Staying};
pub use wind::Extent;
pub use wire::{Cut, PlainLine, WireLine, cuts, wire_mass};
pub use wish::{Name, Prefer, Term};
pub use words::runs_of;
pub use wound::{LayerLine, Unread, WoundLine};
