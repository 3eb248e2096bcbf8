//! What to string the piano with: alternatives to choose from, and the order for the chosen one.

mod alternative;
mod choice;
mod course;
mod judge;
mod relax;
mod search;

pub use alternative::{Alternative, Known, Name, Totals, alternatives};
pub use choice::{Choice, Make, Stringing, Winding, Wire, Wound};
pub use course::{Bound, Candidate, Course, FIGURES, Figure, Join, Place, Rules, Terms, Weights};
pub use judge::{Judged, JudgedBreak, judge};
pub use relax::{Refusal, Relaxation};
pub use search::{Best, NoChoice, best};
