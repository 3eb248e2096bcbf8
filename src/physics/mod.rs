//! Equations only: no key numbers, no tables, no input or output, no rounding.
