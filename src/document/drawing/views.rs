//! The three views of a head: side, front, plan.

use super::super::svg::{Anchor, Pen, Sheet, number};
use super::dimension::{THIN, arrow, level, upright};
use super::{INK, SCALE, Shape, TEXT, far_end};
use crate::instrument::Kind;

const OUTLINE: Pen = Pen::new(INK, 0.35);
const HIDDEN: Pen = Pen::dashed(INK, 0.18, 1.0, 0.7);
const AXIS: Pen = Pen::dashed(INK, 0.13, 2.4, 0.8);
const WOOD: &str = "#e4e4e4";
const FELT: &str = "#ffffff";
/// Columns of upright dimensions.
const COLUMN: f64 = 4.9;

/// From a head's own millimetres (right, up from the hole) to the sheet.
struct Place {
    x: f64,
    y: f64,
}

impl Place {
    fn at(&self, right: f64, up: f64) -> (f64, f64) {
        (self.x + SCALE * right, self.y - SCALE * up)
    }

    fn path(&self, words: &[(char, &[(f64, f64)])]) -> String {
        let mut d = String::new();
        for (word, points) in words {
            d.push(*word);
            for (index, (right, up)) in points.iter().enumerate() {
                let (x, y) = self.at(*right, *up);
                if index > 0 {
                    d.push(' ');
                }
                d.push_str(&number(x));
                d.push(' ');
                d.push_str(&number(y));
            }
        }
        d
    }
}

/// Seen along the rail; the hole's axis crosses the head's at `(x, y)`.
pub(super) fn side(shape: &Shape, x: f64, y: f64, sheet: &mut Sheet) {
    let place = Place { x, y };
    let half = 0.5 * shape.depth;
    let neck = 5.0_f64.min(0.8 * half);
    felt(shape, &place, half, neck, sheet);
    moulding(shape, &place, neck, sheet);
    shank(shape, &place, neck, sheet);
    sheet.line(place.at(0.0, shape.bore + 4.0), place.at(0.0, -shape.tail - 4.0), AXIS);
    // Dimensions on the right, from the square line through the hole.
    let first = x + SCALE * half + 4.6;
    let says = &shape.says;
    let top = y - SCALE * shape.bore;
    let foot = y + SCALE * shape.tail;
    let tip = y - SCALE * shape.moulding;
    let columns = [first, first + COLUMN, first + 2.0 * COLUMN];
    sheet.line((x, y), (columns[1] + 1.0, y), THIN);
    sheet.line((x, tip), (columns[0] + 1.0, tip), THIN);
    sheet.line((x, top), (columns[2] + 1.0, top), THIN);
    sheet.line((x, foot), (columns[2] + 1.0, foot), THIN);
    upright(columns[0], tip, y, &says.moulding, sheet);
    upright(columns[0], y, foot, &says.tail, sheet);
    upright(columns[1], top, y, &says.bore, sheet);
    upright(columns[2], top, foot, &says.overall, sheet);
}

/// How far above the hole the felt ends: indicative.
fn felt_end(shape: &Shape) -> f64 {
    (shape.bore - 1.55 * shape.depth).clamp(0.25 * shape.moulding, 0.6 * shape.moulding)
}

/// The felt: a crown of its own radius, widest halfway down, closing on the moulding.
fn felt(shape: &Shape, place: &Place, half: f64, neck: f64, sheet: &mut Sheet) {
    let b = shape.bore;
    // The curvature of a cubic at its start is 2/3 · drop / reach²: it makes the crown's radius true.
    let reach = (0.5 * half).min(0.9 * shape.crown_radius);
    let drop = (1.5 * reach * reach / shape.crown_radius).min(0.8 * half);
    let end = felt_end(shape);
    let widest = 0.5 * (b + end) + 0.06 * b;
    let d = place.path(&[
        ('M', &[(0.0, b)]),
        ('C', &[(reach, b), (half, b - drop), (half, widest)]),
        (
            'C',
            &[
                (half, 0.4 * widest + 0.6 * end),
                (neck + 1.5, 0.4 * widest + 0.6 * end),
                (neck, end),
            ],
        ),
        ('L', &[(-neck, end)]),
        (
            'C',
            &[
                (-neck - 1.5, 0.4 * widest + 0.6 * end),
                (-half, 0.4 * widest + 0.6 * end),
                (-half, widest),
            ],
        ),
        ('C', &[(-half, b - drop), (-reach, b), (0.0, b)]),
    ]);
    sheet.curve(&(d + "Z"), OUTLINE, Some(FELT));
}

/// The moulding: a wedge with a rounded tip, straight below the felt.
fn moulding(shape: &Shape, place: &Place, neck: f64, sheet: &mut Sheet) {
    let (m, t) = (shape.moulding, shape.tail);
    let end = felt_end(shape);
    let d = place.path(&[
        ('M', &[(-neck, -t)]),
        ('L', &[(-neck, end), (-1.6, m - 2.4)]),
        ('C', &[(-1.2, m - 0.6), (-0.7, m), (0.0, m)]),
        ('C', &[(0.7, m), (1.2, m - 0.6), (1.6, m - 2.4)]),
        ('L', &[(neck, end), (neck, -t)]),
    ]);
    sheet.curve(&(d + "Z"), OUTLINE, Some(WOOD));
}

/// The shank towards the hammer centre, its hole, and the rake.
fn shank(shape: &Shape, place: &Place, neck: f64, sheet: &mut Sheet) {
    let (sin, cos) = shape.rake.sin_cos();
    // Along the shank away from the centre, and square to it upwards.
    let at = |along: f64, up: f64| place.at(along * cos + up * sin, up * cos - along * sin);
    let near = -neck / cos;
    let far = near - 24.0;
    let r = 0.5 * shape.shank;
    for side in [-r, r] {
        // From the break in the shank to the face of the moulding.
        let face = -(neck + side * sin) / cos;
        sheet.line(at(far, side), at(face, side), OUTLINE);
    }
    let wave = [(0.0, -r), (-1.2, -0.5 * r), (0.0, 0.0), (1.2, 0.5 * r), (0.0, r)];
    let wave: Vec<(f64, f64)> = wave.iter().map(|(along, up)| at(far + along, *up)).collect();
    sheet.polyline(&wave, THIN);
    let hole = 0.5 * shape.hole;
    let end = if shape.through { neck / cos } else { 0.6 * neck / cos };
    for side in [-hole, hole] {
        sheet.line(at(near, side), at(end, side), HIDDEN);
    }
    if !shape.through {
        sheet.line(at(end, -hole), at(end, hole), HIDDEN);
    }
    sheet.line(at(far - 3.0, 0.0), at(neck + 4.0, 0.0), AXIS);
    // The square line, and the angle between it and the shank's axis.
    let left = -neck - 30.0;
    sheet.line(place.at(left, 0.0), place.at(0.0, 0.0), THIN);
    let (x, y) = place.at(left, 0.0);
    let rise = SCALE * left.abs() * shape.rake.tan().abs();
    let text_y = if shape.rake >= 0.0 { y + 3.2 } else { y - 1.2 };
    if rise > 0.05 {
        let (top, bottom) = if shape.rake > 0.0 { (y - rise, y) } else { (y, y + rise) };
        sheet.line((x, top), (x, bottom), THIN);
    }
    let says = format!("rake {}", shape.says.rake);
    let offset = SCALE * (r + 2.5);
    let x = x.min(place.at(-neck, 0.0).0 - 1.0 - TEXT.width(&says));
    sheet.text(x, if shape.rake >= 0.0 { text_y + offset } else { text_y - offset }, &says, &TEXT);
}

/// Seen along the shank: width and hole.
pub(super) fn front(shape: &Shape, x: f64, y: f64, sheet: &mut Sheet) {
    let place = Place { x, y };
    let half = 0.5 * shape.width;
    let (b, m, t) = (shape.bore, shape.moulding, shape.tail);
    let end = felt_end(shape);
    let wood = [place.at(-half, end), place.at(half, end), place.at(half, -t), place.at(-half, -t)];
    sheet.polygon(&wood, Some(OUTLINE), Some(WOOD));
    let felt = [place.at(-half, b), place.at(half, b), place.at(half, end), place.at(-half, end)];
    sheet.polygon(&felt, Some(OUTLINE), Some(FELT));
    sheet.line(place.at(-half, m), place.at(half, m), HIDDEN);
    sheet.circle(place.at(0.0, 0.0), SCALE * 0.5 * shape.hole, Some(OUTLINE), Some("#ffffff"));
    sheet.line(place.at(0.0, b + 2.0), place.at(0.0, -t - 3.0), AXIS);
    sheet.line(place.at(-half - 3.0, 0.0), place.at(half + 3.0, 0.0), AXIS);
    let (left, top) = place.at(-half, b);
    let (right, _) = place.at(half, b);
    sheet.line((left, top - 0.6), (left, top - 2.9), THIN);
    sheet.line((right, top - 0.6), (right, top - 2.9), THIN);
    level(top - 2.2, left, right, &shape.says.width, sheet);
    let (hole_x, hole_y) = place.at(0.0, -t);
    sheet.text(
        hole_x,
        hole_y + 5.2,
        &format!("⌀ {}", shape.says.hole),
        &TEXT.anchored(Anchor::Middle),
    );
}

/// Length of the shank drawn in the plan, millimetres of life.
const PLAN_SHANK: f64 = 15.0;
/// Room above the plan for its words.
const PLAN_HEAD: f64 = 5.5;

/// Height of the plan on the sheet.
pub(super) fn plan_height(shape: &Shape) -> f64 {
    PLAN_HEAD + SCALE * (shape.depth + PLAN_SHANK + 0.5 * shape.width) + 10.0
}

/// Seen along the head: the side angle between shank and head.
pub(super) fn plan(kind: Kind, shape: &Shape, x: f64, top: f64, sheet: &mut Sheet) {
    let (half, reach) = (0.5 * shape.width, 0.5 * shape.depth);
    let place = Place { x, y: top + PLAN_HEAD + SCALE * (reach + half) };
    let r = 0.5 * shape.shank;
    let (sin, cos) = shape.side_angle.sin_cos();
    let turned = |right: f64, up: f64| place.at(right * cos + up * sin, up * cos - right * sin);
    let foot = -reach - PLAN_SHANK;
    for side in [-r, r] {
        sheet.line(place.at(side, foot), place.at(side, -reach + side * sin), OUTLINE);
        sheet.line(place.at(side, -reach), place.at(side, reach), HIDDEN);
    }
    let wave = [(-r, 0.0), (-0.5 * r, -1.2), (0.0, 0.0), (0.5 * r, 1.2), (r, 0.0)];
    let wave: Vec<(f64, f64)> =
        wave.iter().map(|(right, up)| place.at(*right, foot + up)).collect();
    sheet.polyline(&wave, THIN);
    let corners = [(-half, -reach), (half, -reach), (half, reach), (-half, reach)];
    let corners: Vec<(f64, f64)> = corners.iter().map(|(right, up)| turned(*right, *up)).collect();
    sheet.polygon(&corners, Some(OUTLINE), None);
    // Axes of shank and head, and the angle between them.
    sheet.line(place.at(0.0, foot - 2.0), place.at(0.0, reach + 8.0), AXIS);
    sheet.line(turned(0.0, -reach - 3.0), turned(0.0, reach + 8.0), AXIS);
    let says = format!("{} {}", far_end(kind), shape.says.side_angle);
    let right_side = shape.side_angle >= 0.0;
    let set = TEXT.anchored(if right_side { Anchor::Start } else { Anchor::End });
    let beside = if right_side { 1.0 } else { -1.0 } * (half + 5.0);
    let (text_x, text_y) = place.at(beside, reach + 3.0);
    sheet.text(text_x, text_y, &says, &set);
    let level = place.at(0.0, -reach - 0.5 * PLAN_SHANK).1;
    sheet.text(x - 9.0, level, "bass", &TEXT.anchored(Anchor::End));
    sheet.text(x + 9.0, level, "treble", &TEXT);
    for (from, to, way) in [(x - 4.0, x - 8.0, -1.0), (x + 4.0, x + 8.0, 1.0)] {
        sheet.line((from, level - 0.9), (to, level - 0.9), THIN);
        arrow((to, level - 0.9), (way, 0.0), sheet);
    }
    let seen = match kind {
        Kind::Upright => "plan, seen from the player",
        Kind::Grand => "plan, seen from above",
    };
    let under = place.at(0.0, foot).1;
    sheet.text(x, under + 5.0, "towards the hammer centre", &TEXT.anchored(Anchor::Middle));
    sheet.text(x, under + 9.0, seen, &TEXT.anchored(Anchor::Middle));
}
