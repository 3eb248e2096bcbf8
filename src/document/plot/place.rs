//! Room for words among the curves: names beside their curves, meanings of zones, kinds of breaks.
//!
//! Every candidate place is tried against all marks, lines and words already placed; the best that
//! touches none is taken. A name that finds no place is homeless and goes to the key.

use super::super::svg::{Anchor, Rect, Sheet, Type};
use super::curve;
use super::frame::{Frame, LABEL};
use super::{Figure, Line, Series};

/// Words with their places.
pub(super) struct Labels {
    placed: Vec<(f64, f64, String, Type)>,
    /// Series whose names found no place.
    pub homeless: Vec<usize>,
}

impl Labels {
    pub(super) fn draw(&self, sheet: &mut Sheet) {
        for (x, y, text, set) in &self.placed {
            sheet.text(*x, *y, text, set);
        }
    }
}

/// Words stand this far from the line that they belong to.
const BESIDE: f64 = 6.0;
/// Widest words among the curves.
const WIDEST: f64 = 420.0;

/// What is in the way.
struct Taken {
    /// By series: its marks and line.
    curves: Vec<Vec<Rect>>,
    words: Vec<Rect>,
    /// Lines that words should not cross: zone edges.
    edges: Vec<Rect>,
}

impl Taken {
    fn free(&self, place: &Rect) -> bool {
        let hits = |rects: &[Rect]| rects.iter().any(|rect| rect.overlaps(place));
        !hits(&self.words) && !hits(&self.edges) && !self.curves.iter().any(|curve| hits(curve))
    }

    /// Distance to the nearest curve but `own`.
    fn clearance(&self, place: &Rect, own: usize) -> f64 {
        let others = self.curves.iter().enumerate().filter(|(index, _)| *index != own);
        others.flat_map(|(_, curve)| curve).map(|rect| rect.distance(place)).fold(60.0, f64::min)
    }
}

pub(super) fn labels(figure: &Figure, frame: &Frame, named_in_key: &[bool]) -> Labels {
    let mut taken = Taken {
        curves: figure.series.iter().map(|series| obstacles(figure, frame, series)).collect(),
        words: Vec::new(),
        edges: edges(figure, frame),
    };
    let mut labels = Labels { placed: Vec::new(), homeless: Vec::new() };
    for zone in &figure.zones {
        let (top, bottom) = frame.zone(zone.from, zone.to);
        let candidates = zone_candidates(frame, top, bottom, zone.from.is_none());
        labels.take(&candidates, &zone.label, &mut taken);
    }
    for line in &figure.breaks {
        let x = frame.above(line.below);
        let room = (frame.area.right - x).max(x - frame.area.left) - 2.0 * BESIDE;
        let text = LABEL.fitted(&line.label, WIDEST.min(room));
        let inside = |(x, y, set): &(f64, f64, Type)| frame.area.holds(&set.extent(*x, *y, &text));
        let mut candidates = break_candidates(frame, x);
        candidates.retain(inside);
        labels.take(&candidates, &text, &mut taken);
    }
    if figure.series.len() > 1 {
        for (index, series) in figure.series.iter().enumerate() {
            let named = series.name.is_empty() || named_in_key[index];
            if !named && !labels.name(index, series, figure, frame, &mut taken) {
                labels.homeless.push(index);
            }
        }
    }
    labels
}

impl Labels {
    /// Puts `text` at the first candidate that is free, or at the first that covers no other words.
    fn take(&mut self, candidates: &[(f64, f64, Type)], text: &str, taken: &mut Taken) {
        let text = LABEL.fitted(text, WIDEST);
        let extent = |&(x, y, set): &(f64, f64, Type)| set.extent(x, y, &text);
        let wordless = |place: &Rect| !taken.words.iter().any(|word| word.overlaps(place));
        let best = candidates
            .iter()
            .find(|c| taken.free(&extent(c)))
            .or_else(|| candidates.iter().find(|c| wordless(&extent(c))));
        if let Some(best) = best {
            taken.words.push(extent(best));
            self.placed.push((best.0, best.1, text, best.2));
        }
    }

    /// Puts the name of a series near its curve, far from the others; says whether it found room.
    fn name(
        &mut self,
        index: usize,
        series: &Series,
        figure: &Figure,
        frame: &Frame,
        taken: &mut Taken,
    ) -> bool {
        let set = Type { colour: series.tone.colour(), ..LABEL.bold() }.anchored(Anchor::Middle);
        let mut best: Option<(f64, f64, f64)> = None;
        for (x, y) in curve::paths(figure, frame, series).into_iter().flatten() {
            for lift in [11.0, 16.0, 22.0, 30.0] {
                for at in [y - lift, y + lift + 0.7 * set.size] {
                    let place = set.extent(x, at, &series.name);
                    let fits = frame.area.holds(&grown(place, 6.0)) && taken.free(&place);
                    let clear = taken.clearance(&place, index);
                    let cost = lift + 300.0 / (clear + 5.0);
                    if fits && clear > 12.0 && best.is_none_or(|(least, ..)| cost < least) {
                        best = Some((cost, x, at));
                    }
                }
            }
        }
        if let Some((_, x, y)) = best {
            taken.words.push(grown(set.extent(x, y, &series.name), 4.0));
            self.placed.push((x, y, series.name.clone(), set));
        }
        best.is_some()
    }
}

fn grown(rect: Rect, by: f64) -> Rect {
    Rect::new(rect.left - by, rect.top - by, rect.right + by, rect.bottom + by)
}

/// Marks, and squares strung along the line, of one series.
fn obstacles(figure: &Figure, frame: &Frame, series: &Series) -> Vec<Rect> {
    let mut rects = Vec::new();
    for path in curve::paths(figure, frame, series) {
        rects.extend(path.iter().map(|&(x, y)| Rect::around(x, y, frame.mark_reach() + 2.0)));
        if series.line == Line::None {
            continue;
        }
        for pair in path.windows(2) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            let steps = ((x1 - x0).hypot(y1 - y0) / 5.0).ceil().max(1.0);
            rects.extend((0..=steps as usize).map(|step| {
                let t = step as f64 / steps;
                Rect::around(x0 + t * (x1 - x0), y0 + t * (y1 - y0), 3.0)
            }));
        }
    }
    rects
}

/// Lines that words should not cross: edges of zones, ends of sections, breaks.
fn edges(figure: &Figure, frame: &Frame) -> Vec<Rect> {
    let area = frame.area;
    let starts = figure.sections.iter().skip(1).filter_map(|s| s.notes.first.step(-1));
    let lines = starts.chain(figure.breaks.iter().map(|line| line.below));
    let upright = lines.map(|below| {
        let x = frame.above(below);
        Rect::new(x - 1.5, area.top, x + 1.5, area.bottom)
    });
    let values = figure.zones.iter().flat_map(|zone| [zone.from, zone.to]).flatten();
    let level = values.filter(|value| frame.reach.holds(*value)).map(|value| {
        let y = frame.y(value);
        Rect::new(area.left, y - 1.5, area.right, y + 1.5)
    });
    level.chain(upright).collect()
}

/// In the zone near its edge, which may be the upper one, at the ends first, then along it; outside when
/// the zone is too thin.
fn zone_candidates(frame: &Frame, top: f64, bottom: f64, upper: bool) -> Vec<(f64, f64, Type)> {
    let area = frame.area;
    let size = LABEL.size;
    let (low, high) = if bottom - top > 1.5 * size {
        (bottom - 0.5 * size, top + 1.1 * size)
    } else {
        (top - 0.5 * size, bottom + 1.1 * size)
    };
    let rows = if upper { [high, low] } else { [low, high] };
    let mut candidates = Vec::new();
    for row in rows {
        candidates.push((area.right - 10.0, row, LABEL.anchored(Anchor::End)));
        candidates.push((area.left + 10.0, row, LABEL));
        let mut x = area.left + 30.0;
        while x < area.right - 150.0 {
            candidates.push((x, row, LABEL));
            x += 20.0;
        }
    }
    candidates
}

/// Beside a break, at the top first, then at the foot.
fn break_candidates(frame: &Frame, x: f64) -> Vec<(f64, f64, Type)> {
    let size = LABEL.size;
    let rows = (0..5)
        .map(|row| frame.area.top + (1.2 + 1.3 * f64::from(row)) * size)
        .chain((0..5).map(|row| frame.area.bottom - (0.5 + 1.3 * f64::from(row)) * size));
    rows.flat_map(|y| [(x + BESIDE, y, LABEL), (x - BESIDE, y, LABEL.anchored(Anchor::End))])
        .collect()
}
