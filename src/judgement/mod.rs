//! Opinion: limits, findings, verdicts.
