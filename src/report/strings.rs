//! The order of strings: worked out when it is asked for.

use super::Report;
use crate::measure::{Stopped, Watch};
use crate::order::strings::{Name, OrderFrom, StringOrder, Wanted, string_order};

impl Report {
    /// What is ordered of strings, wire and pins in the alternative that the survey chooses; `wanted`
    /// says how much.
    pub fn string_order(&self, wanted: Wanted, watch: &dyn Watch) -> Result<StringOrder, Stopped> {
        self.string_order_as(self.chosen(), wanted, watch)
    }

    /// The same in the alternative `name`.
    pub fn string_order_as(
        &self,
        name: Name,
        wanted: Wanted,
        watch: &dyn Watch,
    ) -> Result<StringOrder, Stopped> {
        let (choice, scale) = self.strung_as(name, wanted, watch)?;
        Ok(string_order(&self.order_from(), &choice, scale, wanted))
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
