//! Report in, text or bytes out; the only room that rounds.
//!
//! Pure: no file, no clock. Figures become words here ([`words`]), tables become [`csv`], results
//! become [`json`]; with the feature `plot` curves become SVG and PNG, with `pdf` pages are set.

pub mod assets;
pub mod blank;
pub mod csv;
mod date;
#[cfg(feature = "plot")]
pub mod drawing;
mod explain;
#[cfg(feature = "plot")]
mod face;
mod figures;
mod finite;
#[cfg(feature = "sheet")]
mod head_words;
pub mod json;
mod lists;
pub mod lookup;
#[cfg(feature = "pdf")]
pub mod packet;
#[cfg(feature = "pdf")]
pub mod pages;
#[cfg(feature = "plot")]
pub mod plot;
#[cfg(feature = "plot")]
pub mod plots;
#[cfg(feature = "plot")]
pub mod png;
#[cfg(feature = "sheet")]
mod results;
pub mod shapes;
#[cfg(feature = "pdf")]
pub mod stamp;
pub mod string_table;
mod string_words;
#[cfg(feature = "plot")]
mod svg;
pub mod tables;
pub mod text;
#[cfg(feature = "pdf")]
pub mod typeset;
mod verdicts;
pub mod words;
#[cfg(feature = "sheet")]
pub mod xlsx;

pub use date::Date;
#[cfg(feature = "sheet")]
pub use results::results;
