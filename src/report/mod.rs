//! One call from instrument to everything that a door shows.
