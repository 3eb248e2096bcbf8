//! Dimension lines with arrows and their numbers.

use super::super::svg::{Anchor, Pen, Sheet};
use super::{INK, TEXT};

pub(super) const THIN: Pen = Pen::new(INK, 0.13);
const ARROW: f64 = 1.7;

/// An arrowhead with its tip at `tip`, pointing along `(dx, dy)`, a unit vector.
pub(super) fn arrow(tip: (f64, f64), (dx, dy): (f64, f64), sheet: &mut Sheet) {
    let (bx, by) = (tip.0 - ARROW * dx, tip.1 - ARROW * dy);
    let half = 0.28;
    sheet.polygon(
        &[tip, (bx - half * dy, by + half * dx), (bx + half * dy, by - half * dx)],
        None,
        Some(INK),
    );
}

/// An upright dimension at `x` from `top` to `bottom`; the number stands left of the line and reads
/// upwards, or under it where the line is too short.
pub(super) fn upright(x: f64, top: f64, bottom: f64, says: &str, sheet: &mut Sheet) {
    let room = bottom - top;
    let middle = TEXT.anchored(Anchor::Middle);
    if room > TEXT.width(says) + 1.0 && room > 3.0 * ARROW {
        sheet.line((x, top), (x, bottom), THIN);
        arrow((x, top), (0.0, -1.0), sheet);
        arrow((x, bottom), (0.0, 1.0), sheet);
        sheet.text(x - 0.9, 0.5 * (top + bottom), says, &middle.upright());
    } else {
        sheet.line((x, top - 2.0 * ARROW), (x, top), THIN);
        sheet.line((x, bottom), (x, bottom + 2.0 * ARROW), THIN);
        sheet.line((x, top), (x, bottom), THIN);
        arrow((x, top), (0.0, 1.0), sheet);
        arrow((x, bottom), (0.0, -1.0), sheet);
        sheet.text(x, bottom + 2.0 * ARROW + 2.9, says, &middle);
    }
}

/// A level dimension at `y` from `left` to `right`, arrows from outside; the number stands above.
pub(super) fn level(y: f64, left: f64, right: f64, says: &str, sheet: &mut Sheet) {
    sheet.line((left - 2.0 * ARROW, y), (right + 2.0 * ARROW, y), THIN);
    arrow((left, y), (1.0, 0.0), sheet);
    arrow((right, y), (-1.0, 0.0), sheet);
    sheet.text(0.5 * (left + right), y - 1.5, says, &TEXT.anchored(Anchor::Middle));
}
