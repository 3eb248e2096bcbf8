//! Diameters of a winding that say the same thing twice must agree, else one of them is worth
//! repeating: a warning, never a fault.

use super::desk::Desk;
use crate::instrument::{About, CoreShape, StringRow};
use crate::measure::{Length, Measured, mm, to_mm};
use crate::sentence;

/// Two ways to one diameter may differ by this much (the survey's own rule).
const CLOSE_MM: f64 = 0.06;

/// Warns when core, winding wire and the diameters over the layers do not close.
pub(super) fn check(desk: &Desk, row: &StringRow) {
    let (Some(core), Some(wrap), Some(over)) = (row.core, row.wrap_wire, row.over) else { return };
    let hex = row.shape == Some(CoreShape::Hex);
    let corners = if hex { 2.0 / 3.0_f64.sqrt() } else { 1.0 };
    let (inside, inside_name) = match row.under {
        Some(under) => (under, "the diameter over the inner winding"),
        None => (core * corners, "the core"),
    };
    let closes_at = to_mm(inside.value) + 2.0 * to_mm(wrap.value);
    let open = to_mm(over.value) - closes_at;
    if open.abs() <= CLOSE_MM {
        return;
    }
    let readings = [
        Reading {
            name: "the winding wire",
            value: wrap,
            weight: 2.0,
            should: to_mm(wrap.value) + open / 2.0,
        },
        Reading {
            name: "the diameter over the winding",
            value: over,
            weight: 1.0,
            should: closes_at,
        },
        Reading {
            name: inside_name,
            value: inside,
            weight: 1.0,
            should: to_mm(inside.value) + open,
        },
    ];
    // The least sure of them, as it enters the sum; of equals the first.
    let doubt = |reading: &Reading| to_mm(reading.value.sd) * reading.weight;
    let mut worst = &readings[0];
    for reading in &readings[1..] {
        if doubt(reading) > doubt(worst) {
            worst = reading;
        }
    }
    desk.warn(
        "readings_do_not_close",
        About::Note(row.note),
        sentence![
            "the diameters of ",
            row.note,
            " do not agree: ",
            inside_name,
            " and twice the winding wire make ",
            mm(closes_at),
            ", the reading over the winding is ",
            over.value,
            "; measure ",
            worst.name,
            " again first (it would close at ",
            mm(worst.should),
            "), then the others",
        ],
    );
}

struct Reading {
    name: &'static str,
    value: Measured<Length>,
    weight: f64,
    should: f64,
}
