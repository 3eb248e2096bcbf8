//! What the readings of one string must agree on.

use super::fault::{Fault, FaultKind};
use super::row::Row;
use crate::instrument::{CoreShape, StringRow};
use crate::measure::{Length, mm, to_mm};

/// Diameters from the core outwards, and no readings of a winding on a plain string.
pub(super) fn layers(row: &Row, read: &StringRow) {
    let Some(over) = read.over else {
        let winding =
            ["wrap", "under", "bare_front", "bare_back", "under_bare_front", "under_bare_back"];
        if let Some(name) =
            winding.into_iter().find(|name| row.has_length(name) && read.core.is_some())
        {
            row.desk().fault(
                Fault::new(FaultKind::WindingWithoutOver, &row.at(name), format!("{} has a reading of a winding, but no diameter over it", read.note))
                    .found("speaks of a winding")
                    .expected("over_mm beside it; a string without over_mm is a plain one")
                    .remedy("measure over the winding with a micrometer and fill in over_mm, or empty this cell"),
            );
        }
        return;
    };
    let Some(core) = read.core else { return };
    let hex = read.shape == Some(CoreShape::Hex);
    let corners = if hex { core.value * (2.0 / 3.0_f64.sqrt()) } else { core.value };
    let inner = if hex { "the corners of the hex core" } else { "the core" };
    if over.value <= corners {
        smaller(row, "over", "the diameter over the winding", over.value, inner, corners);
    } else if let Some(under) = read.under {
        if under.value <= corners {
            smaller(
                row,
                "under",
                "the diameter over the inner winding",
                under.value,
                inner,
                corners,
            );
        } else if under.value >= over.value {
            smaller(
                row,
                "over",
                "the diameter over the winding",
                over.value,
                "the inner winding",
                under.value,
            );
        }
    }
}

fn smaller(row: &Row, name: &str, what: &str, outer: Length, inside: &str, inner: Length) {
    row.desk().fault(
        Fault::new(
            FaultKind::OverSmallerThanCore,
            &row.at(name),
            format!("{what} is {:.3} mm, {inside} {:.3} mm", to_mm(outer), to_mm(inner)),
        )
        .found("too small to hold what lies under it")
        .expected(format!("more than {:.3} mm", to_mm(inner)))
        .remedy("measure again; perhaps the two were exchanged. A plain string has no over_mm"),
    );
}

/// Bare ends and strike point must find room on the string.
pub(super) fn ends(row: &Row, read: &StringRow) {
    let Some(length) = read.length else { return };
    let all = [
        ("bare_front", read.bare_front, read.bare_back),
        ("under_bare_front", read.under_bare_front, read.under_bare_back),
    ];
    for (name, front, back) in all {
        let bare = [front, back].into_iter().flatten().fold(mm(0.0), |sum, end| sum + end.value);
        if bare >= length.value {
            let name =
                if front.is_some() { name.to_owned() } else { name.replace("front", "back") };
            row.desk().fault(
                Fault::new(
                    FaultKind::BareEndsTooLong,
                    &row.at(&name),
                    format!("{} has {:.1} mm of bare ends on a string of {:.1} mm", read.note, to_mm(bare), to_mm(length.value)),
                )
                .found("no room for a winding")
                .expected(format!("together less than {:.1} mm", to_mm(length.value)))
                .remedy("measure bare core only, between termination and winding, and the speaking length from termination to termination"),
            );
        }
    }
    if let Some(strike) = read.strike.filter(|strike| strike.value >= length.value) {
        row.desk().fault(
            Fault::new(
                FaultKind::StrikeBeyondString,
                &row.at("strike"),
                format!(
                    "{} is struck at {:.1} mm, beyond its {:.1} mm",
                    read.note,
                    to_mm(strike.value),
                    to_mm(length.value)
                ),
            )
            .found("beyond the end of the string")
            .expected(format!("less than {:.1} mm, usually an eighth of it", to_mm(length.value)))
            .remedy("measure from the termination at the hammer's end to where the hammer strikes"),
        );
    }
}
