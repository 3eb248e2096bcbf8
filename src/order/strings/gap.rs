//! The clear gap between neighbouring strings: spacing less the diameter over the winding.

use crate::instrument::Instrument;
use crate::instrument::belief::Belief;
use crate::judgement::limit::{LimitKey, Limits};
use crate::measure::{Note, to_mm};

/// What each note's spacing leaves for a winding.
#[derive(Debug, Clone)]
pub(super) struct Gaps {
    /// Least gap, mm.
    least: f64,
    /// Note, spacing (mm) and diameter over the winding found there (mm; of a plain string the wire).
    notes: Vec<(Note, Option<f64>, f64)>,
}

impl Gaps {
    /// From the spacings read; between two of one section and string count, along a straight line.
    pub fn of(instrument: &Instrument, belief: &Belief, limits: &Limits) -> Self {
        let read = |note: Note| {
            let row = instrument.string(note)?;
            row.spacing.map(|spacing| to_mm(spacing.value))
        };
        let notes = belief.notes.iter().map(|here| {
            let alike = belief
                .notes
                .iter()
                .filter(|other| other.section == here.section && other.strings == here.strings);
            let points: Vec<(f64, f64)> = alike
                .filter_map(|other| Some((f64::from(other.note.key()), read(other.note)?)))
                .collect();
            let over = here.string.as_ref().map_or(0.0, |string| {
                string
                    .winding
                    .as_ref()
                    .map_or(to_mm(string.core.value), |winding| to_mm(winding.over.value))
            });
            (here.note, between(&points, f64::from(here.note.key())), over)
        });
        Self { least: limits.value(LimitKey::RestringGap), notes: notes.collect() }
    }

    /// How much of the least gap a winding of `over` mm would take, mm; nothing where it is kept, where
    /// the spacing is not known, or where the old string was as thick.
    pub fn lacking(&self, note: Note, over: f64) -> f64 {
        let Some((_, Some(spacing), found)) = self.notes.iter().find(|one| one.0 == note) else {
            return 0.0;
        };
        if over <= *found { 0.0 } else { (self.least - (spacing - over)).max(0.0) }
    }

    /// Whether the spacing at `note` is known.
    pub fn is_known(&self, note: Note) -> bool {
        self.notes.iter().any(|one| one.0 == note && one.1.is_some())
    }
}

/// The value at `x` on the line through the nearest points either side; `None` outside them.
fn between(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let below = points.iter().rfind(|point| point.0 <= x)?;
    let above = points.iter().find(|point| point.0 >= x)?;
    let width = above.0 - below.0;
    let share = if width > 0.0 { (x - below.0) / width } else { 0.0 };
    Some(below.1 + share * (above.1 - below.1))
}
