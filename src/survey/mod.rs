//! Text in; instrument, or all faults, out.
