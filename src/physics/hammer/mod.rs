//! The hammer: where its head meets the string, how it swings, wears, clears its neighbours, weighs
//! at the key and stays on the string. [`geometry`] opens it, and its symbols hold in every file.

mod fault;
pub mod geometry;
pub mod inverse;
pub mod readings;
pub mod sideways;
pub mod slopes;
pub mod strike;
pub mod swing;
pub mod touch;
pub mod wear;

pub use fault::HammerFault;
