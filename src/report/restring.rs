//! How the piano could be strung anew: worked out when it is asked for.

use super::Report;
use crate::measure::{Sentence, Stopped, Watch};
use crate::order::strings::{Choice, Known, Name, Prefer, Rescale, rescale};
use crate::sentence;

impl Report {
    /// The alternatives of `names`, by the weights of `prefer`.
    pub fn rescale(
        &self,
        names: &[Name],
        prefer: &Prefer,
        watch: &dyn Watch,
    ) -> Result<Rescale, Stopped> {
        let known = Known {
            instrument: &self.instrument,
            belief: &self.belief,
            scale: &self.scale,
            off: &self.off_trend,
            limits: &self.limits,
        };
        rescale(&known, names, prefer, watch)
    }

    /// The alternative that the survey chooses; the copy where it chooses none.
    pub fn chosen(&self) -> Name {
        let key = self.instrument.supply.choose;
        Name::ALL.into_iter().find(|name| Some(name.key()) == key).unwrap_or(Name::Copy)
    }

    /// What each note gets in the alternative `name`, and that in words. One that no choice keeps gives
    /// the copy, and says so.
    pub(super) fn strung_as(
        &self,
        name: Name,
        watch: &dyn Watch,
    ) -> Result<(Choice, Sentence), Stopped> {
        let names = if name == Name::Copy { vec![name] } else { vec![Name::Copy, name] };
        let mut worked = self.rescale(&names, &Prefer::default(), watch)?;
        let wanted = worked.alternatives.iter().position(|one| one.name == name);
        let mut said = sentence!["a copy of the old scale, in the nearest sizes that are made"];
        let at = wanted.or_else(|| {
            said.push(format!(", for nothing in stock keeps the limits of `{}`", name.key()));
            worked.alternatives.iter().position(|one| one.name == Name::Copy)
        });
        let Some(at) = at else { return Ok((Choice::default(), said)) };
        let one = worked.alternatives.swap_remove(at);
        if one.name != Name::Copy {
            said = sentence![
                format!("`{}`: {}; ", name.key(), name.about()),
                one.totals.changed,
                " notes differ from the old scale"
            ];
        }
        Ok((one.choice, said))
    }
}
