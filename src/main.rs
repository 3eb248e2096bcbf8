//! Feltwire.
fn main() {}
