//! How the piano could be strung anew: worked out when it is asked for.

use super::Report;
use crate::measure::{Sentence, Stopped, Watch};
use crate::order::strings::{AsIf, Choice, Known, Name, Prefer, Rescale, Staying, Wanted, rescale};
use crate::sentence;

impl Report {
    /// The alternatives of `names`, by the weights of `prefer`. The strings that the verdicts leave are
    /// held as they are found; with all strings `wanted`, and where nothing goes, the whole piano is
    /// worked out.
    pub fn rescale(
        &self,
        names: &[Name],
        prefer: &Prefer,
        wanted: Wanted,
        watch: &dyn Watch,
    ) -> Result<Rescale, Stopped> {
        let advised = self.staying(Wanted::Advised);
        let staying = match wanted {
            Wanted::Advised => advised.or_all(),
            Wanted::All => advised.as_if(AsIf::Asked),
        };
        self.rescale_beside(&staying, names, prefer, watch)
    }

    fn rescale_beside(
        &self,
        staying: &Staying,
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
            staying,
        };
        rescale(&known, names, prefer, watch)
    }

    /// What stays on of the old strings when so much is `wanted`.
    pub fn staying(&self, wanted: Wanted) -> Staying {
        Staying::by(&self.instrument, &self.belief, &self.judgement, &self.limits, wanted)
    }

    /// The alternative that the survey chooses; the copy where it chooses none.
    pub fn chosen(&self) -> Name {
        let key = self.instrument.supply.choose;
        Name::ALL.into_iter().find(|name| Some(name.key()) == key).unwrap_or(Name::Copy)
    }

    /// What each note gets in the alternative `name`, and that in words. One that no choice keeps gives
    /// the copy, and says so. Strings that stay are given as their copies, of which single ones are
    /// ordered.
    pub(super) fn strung_as(
        &self,
        name: Name,
        wanted: Wanted,
        watch: &dyn Watch,
    ) -> Result<(Choice, Sentence), Stopped> {
        let staying = self.staying(wanted);
        let name = if staying.nothing_goes() { Name::Copy } else { name };
        let names = if name == Name::Copy { vec![name] } else { vec![Name::Copy, name] };
        let mut worked = self.rescale_beside(&staying, &names, &Prefer::default(), watch)?;
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
            let beside = staying.stay_whole().join(", ");
            if !beside.is_empty() {
                said.push(format!(", chosen beside the old strings that stay: {beside}"));
            }
        }
        Ok((one.choice.with_copies(&worked.copy), said))
    }
}
