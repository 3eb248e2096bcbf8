//! Report in, text or bytes out; the only room that rounds.
//!
//! Pure: no file, no clock. Figures become words here ([`words`]), tables become [`csv`], results
//! become [`json`]; with the feature `plot` curves become SVG and PNG, with `pdf` pages are set.

pub mod assets;
pub mod csv;
mod date;
mod figures;
mod finite;
pub mod json;
pub mod words;

pub use date::Date;
