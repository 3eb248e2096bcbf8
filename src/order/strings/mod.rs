//! What to string the piano with: alternatives to choose from, and the order for the chosen one.

mod course;
mod relax;
mod search;

pub use course::{Bound, Candidate, Course, FIGURES, Figure, Join, Place, Rules, Terms, Weights};
pub use relax::{Refusal, Relaxation};
pub use search::{Best, NoChoice, best};
