//! Feltwire models the strings and hammers of one piano from a rebuilder's measurements, judges what
//! stays and what goes, and writes the orders.
//!
//! Rooms, arrows only downward: see `DEVELOPERS.md`.

pub mod action;
pub mod document;
pub mod instrument;
pub mod judgement;
pub mod measure;
pub mod order;
pub mod physics;
pub mod report;
pub mod scale;
pub mod stock;
pub mod survey;
