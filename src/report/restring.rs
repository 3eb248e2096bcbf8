//! How the piano could be strung anew: worked out when it is asked for.

use super::Report;
use crate::measure::{Note, Stopped, Watch};
use crate::order::strings::{Alternative, Known, alternatives};

impl Report {
    /// Every alternative, the copy of the old scale first.
    pub fn restring(&self, watch: &dyn Watch) -> Result<Vec<Alternative>, Stopped> {
        let doubtful: Vec<Note> = self.off_trend.iter().map(|off| off.note).collect();
        let known = Known {
            instrument: &self.instrument,
            belief: &self.belief,
            scale: &self.scale,
            doubtful: &doubtful,
            limits: &self.limits,
        };
        alternatives(&known, watch)
    }
}
