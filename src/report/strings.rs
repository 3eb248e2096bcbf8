//! The order of strings: worked out when it is asked for.

use super::Report;
use crate::measure::{Stopped, Watch};
use crate::order::strings::{Choice, OrderFrom, StringOrder, Wanted, string_order};
use crate::sentence;

impl Report {
    /// What is ordered of strings, wire and pins; `wanted` says how much.
    pub fn string_order(&self, wanted: Wanted, watch: &dyn Watch) -> Result<StringOrder, Stopped> {
        let alternatives = self.restring(watch)?;
        let copy = alternatives.first().map_or_else(Choice::default, |first| first.choice.clone());
        let scale = sentence!["a copy of the old scale, in the nearest sizes that are made"];
        Ok(string_order(&self.order_from(), &copy, scale, wanted))
    }

    /// What orders are made from.
    fn order_from(&self) -> OrderFrom<'_> {
        OrderFrom {
            instrument: &self.instrument,
            belief: &self.belief,
            scale: &self.scale,
            judgement: &self.judgement,
            limits: &self.limits,
        }
    }
}
