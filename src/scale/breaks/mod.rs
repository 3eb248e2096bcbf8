//! Breaks: where the scale changes its make, and how far each figure steps there.
//!
//! [`find`] names the places, [`Series`] holds one figure along the compass, [`jump`] measures its
//! step at a place against the piano's own steps inside its sections. Facts only: whether a step is
//! too much is said in `judgement`.
//!
//! Any figure with one value a note goes through the same machinery, whoever computed it: build a
//! [`Series`] and call [`jump`].

mod half_size;
mod jump;
mod line;
mod place;
mod quantity;
mod roughness;
mod series;
mod stands_out;
mod yardstick;

pub use half_size::{HalfSizes, half_size, half_sizes};
pub use jump::{Figures, Inside, Jump, Outcome, TooFew, jump};
pub use place::{Break, BreakPlace, Reason, find};
pub use quantity::{Per, Quantity};
pub use roughness::{Roughness, roughness};
pub use series::{Bias, Point, Series};
pub use stands_out::{OffTrend, Reading, Tolerance, stands_out};
pub use yardstick::Yardstick;

/// Fewest notes through which a trend is drawn on either side of a break.
pub const FEWEST_NOTES: usize = 4;
