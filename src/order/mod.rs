//! Decisions that cost money: what to buy, wind, bore and cut, as data.

pub mod hammers;
pub mod strings;
