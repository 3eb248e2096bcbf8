//! The order of strings: worked out when it is asked for.

use super::Report;
use crate::measure::{Note, Stopped, Watch};
use crate::order::strings::{Name, OrderFrom, StringOrder, Wanted, string_order};
use crate::sentence;

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
        let (choice, scale) = self.strung_as(name, watch)?;
        let mut order = string_order(&self.order_from(), &choice, scale, wanted);
        // The alternative is of the whole piano; of what stays, its new strings are not bought.
        let ordered = |note: Note| order.going.iter().any(|going| going.note == note);
        let staying = choice.notes.iter().filter(|one| one.changed && !ordered(one.note)).count();
        if staying > 0 && !order.is_empty() {
            order.scale.extend(sentence![", ", staying, " of them where the old strings stay"]);
        }
        Ok(order)
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
