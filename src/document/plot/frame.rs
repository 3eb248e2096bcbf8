//! What stands around the curves: titles, key, axes, sections, breaks, zones.

use super::super::svg::{Anchor, Pen, Rect, Sheet, Type};
use super::super::words::Style;
use super::axis::Reach;
use super::curve;
use super::{Figure, HEIGHT, Key, Sample, Series, WIDTH};
use crate::measure::Note;

pub(super) const INK: &str = "#1c1c1c";
const SOFT: &str = "#4a4a4a";
const GRID: &str = "#e2e2e0";
const SHADE: &str = "#f4f4f2";
const HATCH: &str = "#c4c4c4";

const TITLE: Type = Type::new(23.0, INK).bold();
const SUBTITLE: Type = Type::new(16.5, SOFT);
const SMALL: Type = Type::new(16.0, INK);
/// Names written among the curves.
pub(super) const LABEL: Type = Type::new(16.0, INK).halo();

const LEFT: f64 = 16.0;
const RIGHT: f64 = WIDTH - 16.0;
/// From one key entry to the next.
const KEY_GAP: f64 = 26.0;
const SAMPLE_WIDTH: f64 = 26.0;
const ROW: f64 = 24.0;
const TITLE_ROW: f64 = 30.0;
const SUBTITLE_ROW: f64 = 22.0;
/// The area of the curves is never lower than this.
const LEAST_AREA: f64 = 260.0;
/// Room at either end of the compass, in notes.
const MARGIN_NOTES: f64 = 0.5;

/// Where everything stands.
pub(super) struct Frame {
    /// The area of the curves.
    pub area: Rect,
    pub reach: Reach,
    note_width: f64,
    first_key: u8,
    /// Height of the sheet: more than usual when the key or the sections need many rows.
    pub height: f64,
    title: Vec<String>,
    subtitle_top: f64,
    subtitle: Vec<String>,
    key_top: f64,
    key: Vec<(usize, f64, Key)>,
    sections: Vec<(usize, f64, String)>,
}

impl Frame {
    /// Lays out `figure`; series marked in `named_in_key` are named there.
    pub(super) fn of(figure: &Figure, reach: Reach, named_in_key: &[bool]) -> Self {
        let title = TITLE.wrapped(&figure.title, RIGHT - LEFT);
        let subtitle = SUBTITLE.wrapped(&figure.subtitle, RIGHT - LEFT);
        let subtitle_top = 4.0 + TITLE_ROW * title.len() as f64;
        let key_top = subtitle_top + SUBTITLE_ROW * subtitle.len() as f64 + 8.0;
        let key = key_rows(entries(figure, &reach, named_in_key));
        let key_rows = key.last().map_or(0, |(row, ..)| row + 1);
        let top = key_top + ROW * key_rows as f64 + 42.0;
        let widest = reach.ticks.iter().map(|(_, label)| SMALL.width(label)).fold(0.0, f64::max);
        let (left, right) = (LEFT + widest + 16.0, RIGHT);
        let note_width = (right - left) / (figure.compass.len() as f64 + 2.0 * MARGIN_NOTES);
        let mut frame = Self {
            area: Rect::new(left, top, right, HEIGHT),
            height: HEIGHT,
            reach,
            note_width,
            first_key: figure.compass.first.key(),
            title,
            subtitle_top,
            subtitle,
            key_top,
            key,
            sections: Vec::new(),
        };
        frame.sections = frame.section_labels(figure);
        let section_rows = frame.sections.iter().map(|(row, ..)| row + 1).max().unwrap_or(0);
        let below = 34.0 + if section_rows > 0 { 12.0 + 22.0 * section_rows as f64 } else { 0.0 };
        frame.height = HEIGHT.max(top + LEAST_AREA + below);
        frame.area.bottom = frame.height - below;
        frame
    }

    /// The middle of `note`.
    pub(super) fn x(&self, note: Note) -> f64 {
        self.area.left
            + (f64::from(note.key()) - f64::from(self.first_key) + 0.5 + MARGIN_NOTES)
                * self.note_width
    }

    /// The height of `value`.
    pub(super) fn y(&self, value: f64) -> f64 {
        self.area.bottom - self.reach.share(value) * (self.area.bottom - self.area.top)
    }

    /// The line between `below` and the next note.
    pub(super) fn above(&self, below: Note) -> f64 {
        self.x(below) + 0.5 * self.note_width
    }

    /// Half of what a mark is wide.
    pub(super) fn mark_reach(&self) -> f64 {
        (0.46 * self.note_width).clamp(3.2, 5.5)
    }

    /// Section names under their brackets: row, middle, text.
    fn section_labels(&self, figure: &Figure) -> Vec<(usize, f64, String)> {
        let mut placed: Vec<(usize, f64, f64, String)> = Vec::new();
        for section in &figure.sections {
            let name = SMALL.fitted(&section.name, 0.35 * WIDTH);
            let text = format!("{name} {}", Style::PAGE.notes(section.notes));
            let half = 0.5 * SMALL.width(&text) + 7.0;
            let middle = 0.5 * (self.x(section.notes.first) + self.x(section.notes.last));
            let middle = middle.max(LEFT + half).min(RIGHT - half);
            let free = |row: &usize| {
                placed.iter().all(|(r, at, h, _)| r != row || (middle - at).abs() >= half + h)
            };
            let row = (0..figure.sections.len()).find(free).unwrap_or(0);
            placed.push((row, middle, half, text));
        }
        placed.into_iter().map(|(row, middle, _, text)| (row, middle, text)).collect()
    }

    /// What lies under the curves.
    pub(super) fn draw_under(&self, figure: &Figure, sheet: &mut Sheet) {
        for section in figure.sections.iter().skip(1).step_by(2) {
            let left = self.x(section.notes.first) - 0.5 * self.note_width;
            let to_the_end = section.notes.last == figure.compass.last;
            let right = if to_the_end { self.area.right } else { self.above(section.notes.last) };
            let band = Rect { left, right, ..self.area };
            sheet.rect(band, None, Some(SHADE));
        }
        for (value, label) in &self.reach.ticks {
            let y = self.y(*value);
            sheet.line((self.area.left, y), (self.area.right, y), Pen::new(GRID, 1.0));
            let set = SMALL.anchored(Anchor::End);
            sheet.text(self.area.left - 9.0, y + 0.36 * SMALL.size, label, &set);
        }
        for zone in &figure.zones {
            self.draw_zone(zone.from, zone.to, sheet);
        }
        let edges =
            figure.sections.iter().skip(1).map(|s| self.x(s.notes.first) - 0.5 * self.note_width);
        for x in edges {
            sheet.line((x, self.area.top), (x, self.area.bottom), Pen::new("#8c8c8c", 1.2));
        }
        for line in &figure.breaks {
            let x = self.above(line.below);
            let pen = Pen::dashed("#8c8c8c", 1.2, 5.0, 4.0);
            sheet.line((x, self.area.top), (x, self.area.bottom), pen);
        }
    }

    /// Top and bottom of a zone on the sheet, and its edges that are inside the axis.
    pub(super) fn zone(&self, from: Option<f64>, to: Option<f64>) -> (f64, f64) {
        let bottom = from.map_or(self.area.bottom, |v| self.y(v));
        let top = to.map_or(self.area.top, |v| self.y(v));
        (
            top.max(self.area.top).min(self.area.bottom),
            bottom.min(self.area.bottom).max(self.area.top),
        )
    }

    fn draw_zone(&self, from: Option<f64>, to: Option<f64>, sheet: &mut Sheet) {
        let (top, bottom) = self.zone(from, to);
        let height = bottom - top;
        let mut start = self.area.left - height;
        while start < self.area.right && height > 0.5 {
            // One stroke of the hatch rises to the right; cut where it leaves the area.
            let cut_left = (self.area.left - start).max(0.0);
            let cut_right = (start + height - self.area.right).max(0.0);
            if cut_left + cut_right < height {
                let from = (start + cut_left, bottom - cut_left);
                let to = (start + height - cut_right, top + cut_right);
                sheet.line(from, to, Pen::new(HATCH, 0.8));
            }
            start += 13.0;
        }
        for value in [from, to].into_iter().flatten().filter(|v| self.reach.holds(*v)) {
            let y = self.y(value);
            sheet.line((self.area.left, y), (self.area.right, y), Pen::dashed(SOFT, 1.4, 9.0, 5.0));
        }
    }

    /// What lies over the curves: titles, key, axes, brackets.
    pub(super) fn draw_over(&self, figure: &Figure, sheet: &mut Sheet) {
        for (row, line) in self.title.iter().enumerate() {
            sheet.text(LEFT, 32.0 + TITLE_ROW * row as f64, line, &TITLE);
        }
        for (row, line) in self.subtitle.iter().enumerate() {
            let y = self.subtitle_top + SUBTITLE_ROW * (row as f64 + 1.0);
            sheet.text(LEFT, y, line, &SUBTITLE);
        }
        for (row, x, entry) in &self.key {
            let y = self.key_top + ROW * (*row as f64 + 1.0);
            curve::sample(entry.sample, (*x, y - 0.35 * SMALL.size), SAMPLE_WIDTH, sheet);
            sheet.text(x + SAMPLE_WIDTH + 7.0, y, &entry.text, &SMALL);
        }
        let unit = if figure.axis.unit.is_empty() {
            String::new()
        } else {
            format!(" ({})", figure.axis.unit)
        };
        let quantity = SMALL.bold().fitted(&figure.axis.quantity, 0.8 * WIDTH) + &unit;
        sheet.text(LEFT, self.area.top - 17.0, &quantity, &SMALL.bold());
        self.draw_notes(figure, sheet);
        sheet.rect(self.area, Some(Pen::new(INK, 1.3)), None);
    }

    fn draw_notes(&self, figure: &Figure, sheet: &mut Sheet) {
        let base = self.area.bottom;
        for note in figure.compass.notes() {
            let x = self.x(note);
            let name = note.to_string();
            let is_c = name.starts_with('C') && !note.is_sharp();
            let ends = note == figure.compass.first || note == figure.compass.last;
            let tick = if is_c || ends { 8.0 } else { 4.0 };
            sheet.line((x, base), (x, base + tick), Pen::new(INK, if is_c { 1.3 } else { 0.8 }));
            let near_c = |step| {
                note.step(step).is_some_and(|n| {
                    figure.compass.contains(n) && n.to_string().starts_with('C') && !n.is_sharp()
                })
            };
            let crowded = self.note_width < 16.0 && (-2..=2).any(|s| s != 0 && near_c(s));
            if is_c || (ends && !crowded) {
                let set = SMALL.anchored(Anchor::Middle);
                sheet.text(x, base + 25.0, &Style::PAGE.note(note), &set);
            }
        }
        for (section, (row, middle, text)) in figure.sections.iter().zip(&self.sections) {
            let left = self.x(section.notes.first) - 0.5 * self.note_width + 2.0;
            let right = self.above(section.notes.last) - 2.0;
            let y = base + 36.0;
            sheet.polyline(
                &[(left, y - 5.0), (left, y), (right, y), (right, y - 5.0)],
                Pen::new(INK, 1.2),
            );
            let set = SMALL.anchored(Anchor::Middle);
            sheet.text(*middle, y + 20.0 + 22.0 * *row as f64, text, &set);
        }
    }
}

/// The key's entries: what was asked for, and the names that found no room beside their curves.
fn entries(figure: &Figure, reach: &Reach, named_in_key: &[bool]) -> Vec<Key> {
    let named = figure.series.iter().zip(named_in_key).filter(|(_, named)| **named);
    let named = named.map(|(series, _)| Key {
        sample: Sample::Line(series.line, series.tone),
        text: series.name.clone(),
    });
    let beyond = |series: &&Series| {
        series.points.iter().any(|point| point.value.is_some_and(|value| !reach.holds(value)))
    };
    let beyond = figure.series.iter().find(beyond).map(|series| Key {
        sample: Sample::Beyond(series.tone),
        text: "beyond the axis".to_owned(),
    });
    named.chain(figure.key.iter().cloned()).chain(beyond).collect()
}

/// Entries side by side: row, left, entry.
fn key_rows(entries: Vec<Key>) -> Vec<(usize, f64, Key)> {
    let (mut row, mut x) = (0, LEFT);
    let mut placed = Vec::with_capacity(entries.len());
    for mut entry in entries {
        entry.text = SMALL.fitted(&entry.text, RIGHT - LEFT - SAMPLE_WIDTH - 7.0);
        let width = SAMPLE_WIDTH + 7.0 + SMALL.width(&entry.text);
        if x > LEFT && x + width > RIGHT {
            (row, x) = (row + 1, LEFT);
        }
        placed.push((row, x, entry));
        x += width + KEY_GAP;
    }
    placed
}
