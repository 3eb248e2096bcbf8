//! Feltwire models the strings and hammers of one piano from a rebuilder's measurements, judges what
//! stays and what goes, and writes the orders.

pub mod measure;
