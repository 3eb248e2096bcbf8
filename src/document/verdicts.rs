//! Verdicts on pins and hammers in the words of the trade.

use crate::judgement::{HammerVerdict, PinVerdict};

/// On the pins of one region.
pub(super) fn pins(verdict: PinVerdict) -> &'static str {
    match verdict {
        PinVerdict::Leave => "leave",
        PinVerdict::Single => "tap, or replace singly by the next size",
        PinVerdict::Treat => "treat the holes in place (cannot be undone)",
        PinVerdict::NextSize => "the next size throughout; the strings come off",
        PinVerdict::NewBlock => "a new pin block",
        PinVerdict::NotMeasured => "not enough measured",
    }
}

/// On the hammers.
pub(super) fn hammers(verdict: HammerVerdict) -> &'static str {
    match verdict {
        HammerVerdict::Needle => "clean and needle",
        HammerVerdict::Reshape => "reshape",
        HammerVerdict::Some => "reface or replace a few",
        HammerVerdict::Set => "replace the set",
        HammerVerdict::NotMeasured => "not enough measured",
    }
}
