//! Progress and stopping of long work, without knowing of terminals or signals.

/// What long work tells its caller, and how the caller stops it.
pub trait Watch: Sync {
    /// `done` of `total` steps of `task` are finished.
    fn progress(&self, task: &'static str, done: usize, total: usize);
    /// Whether the work should end now.
    fn stop(&self) -> bool;

    /// `Err(Stopped)` when the work should end now: `watch.check()?` in every long loop.
    fn check(&self) -> Result<(), Stopped> {
        if self.stop() { Err(Stopped) } else { Ok(()) }
    }
}

/// The work was stopped by its caller; nothing was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

impl std::fmt::Display for Stopped {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("stopped")
    }
}

impl std::error::Error for Stopped {}

/// A watch that says nothing and never stops.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent;

impl Watch for Silent {
    fn progress(&self, _: &'static str, _: usize, _: usize) {}
    fn stop(&self) -> bool {
        false
    }
}
