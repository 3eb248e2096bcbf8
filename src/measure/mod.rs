//! Quantities, notes, uncertainty, draws, progress and stopping: what every other room stands on.
//!
//! Nothing here knows about pianos beyond the names of the notes; nothing here reads a file.

mod cents;
mod draw;
mod measured;
mod note;
mod quantity;
mod sentence;
pub mod text;
pub mod trend;
mod watch;

pub use cents::{Cents, Inharmonicity};
pub use draw::{Input, Stream};
pub use measured::Measured;
pub use note::{Compass, Note, NoteFault};
pub use quantity::*;
pub use sentence::{Piece, Sentence, number, share};
pub use watch::{Silent, Stopped, Watch};
