//! The house: what leans on what, and what is absent on purpose (`DEVELOPERS.md`).

mod absent;
mod rooms;
mod source;
