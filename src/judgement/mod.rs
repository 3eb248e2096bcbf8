//! Opinion: limits, findings, verdicts.

pub mod limit;
