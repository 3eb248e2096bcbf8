//! A hammer head to scale, with the numbers of one order: side view, front view and plan, for up to three
//! heads side by side.
//!
//! The side view looks along the hammer rail: the head stands upright, the shank comes from the hammer
//! centre on the left and shows the rake. The front view looks along the shank. The plan looks along the
//! head: what lies away from the hammer centre is at the top, the treble is at the right, and the side
//! angle is drawn and said in words, never by a bare sign.
//! What was not measured is not invented: it carries the word "sample" in place of a number, and a line
//! beneath says which sample to copy; without a sample it is "maker", the maker's choice.

mod dimension;
mod views;

use super::svg::{Anchor, Pen, Sheet, Type};
use super::words::Style;
use crate::instrument::{HoleKind, Kind};
use crate::measure::{Angle, Compass, Length, Note, to_degrees, to_mm};
use std::fmt;

/// Heads to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadDrawing {
    /// Upright or grand: which end of the head is named "upper" or "rear".
    pub kind: Kind,
    /// One to three heads, from the bass.
    pub heads: Vec<Head>,
}

/// One head of the order; `None` is "not measured".
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// What it is: `Bass, drawn for A0`.
    pub title: String,
    /// The notes for which it stands.
    pub notes: Compass,
    /// Shank-hole axis to crown, along the head.
    pub bore: Length,
    /// Hole axis to the tip of the moulding.
    pub moulding: Option<Length>,
    /// Overall height, crown to tail end.
    pub overall: Option<Length>,
    /// Hole axis to tail end.
    pub tail: Option<Length>,
    /// Width at the crown.
    pub width: Option<Length>,
    /// Depth of the head along the shank, where the felt is widest.
    pub depth: Option<Length>,
    /// Radius of the crown.
    pub crown_radius: Option<Length>,
    /// Diameter of the hole.
    pub hole: Option<Length>,
    /// Through or blind.
    pub hole_kind: Option<HoleKind>,
    /// Diameter of the shank.
    pub shank: Option<Length>,
    /// Rake, positive when the crown leans towards the hammer centre.
    pub rake: Option<Angle>,
    /// Side angle, positive when the end away from the hammer centre leans to the treble.
    pub side_angle: Option<Angle>,
    /// The sample to which what was not measured is made.
    pub sample: Option<Note>,
}

/// Why heads cannot be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DrawingFault {
    /// Not one to three heads.
    Count(usize),
    /// A length or angle of this head that no head can have.
    Impossible {
        /// The head.
        head: String,
        /// The dimension.
        what: &'static str,
    },
    /// Bore and tail do not add up to the overall height.
    Contradiction {
        /// The head.
        head: String,
    },
}

impl fmt::Display for DrawingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count(count) => write!(f, "{count} heads in one drawing: it holds one to three"),
            Self::Impossible { head, what } => write!(f, "`{head}`: no head has such a {what}"),
            Self::Contradiction { head } => {
                write!(f, "`{head}`: bore and tail do not add up to the overall height")
            }
        }
    }
}

impl std::error::Error for DrawingFault {}

/// Width of the sheet, mm.
const WIDTH: f64 = 174.0;
/// Paper over life.
const SCALE: f64 = 0.5;
const INK: &str = "#1c1c1c";
const TEXT: Type = Type::new(2.75, INK);
const HEADING: Type = Type::new(3.3, INK).bold();
const LINE: f64 = 3.7;

/// The heads as SVG, 174 mm wide at a scale of 1 : 2.
pub fn svg(drawing: &HeadDrawing) -> Result<String, DrawingFault> {
    if !(1..=3).contains(&drawing.heads.len()) {
        return Err(DrawingFault::Count(drawing.heads.len()));
    }
    let shapes = drawing.heads.iter().map(Shape::of).collect::<Result<Vec<_>, _>>()?;
    let cell = (WIDTH / drawing.heads.len() as f64).min(72.0);
    let most = |of: fn(&Shape) -> f64| shapes.iter().map(of).fold(0.0, f64::max);
    // Heights, from the top: two lines of heading, the side view, the plan, the words.
    let hole_y = 16.5 + SCALE * most(|shape| shape.bore);
    let plan_top = hole_y + SCALE * most(|shape| shape.tail) + 8.0;
    let plan_height = most(views::plan_height);
    let words: Vec<Vec<String>> = drawing
        .heads
        .iter()
        .map(|head| {
            words(drawing.kind, head).iter().flat_map(|w| TEXT.wrapped(w, cell - 4.0)).collect()
        })
        .collect();
    let words_top = plan_top + plan_height + 2.5;
    let rows = words.iter().map(Vec::len).max().unwrap_or(0);
    let height = words_top + LINE * rows as f64 + 6.5;
    let mut sheet = Sheet::new(WIDTH, height);
    for (index, (head, shape)) in drawing.heads.iter().zip(&shapes).enumerate() {
        let left = cell * index as f64;
        sheet.text(left + 1.0, 4.5, &HEADING.fitted(&head.title, cell - 4.0), &HEADING);
        let stands_for = format!("stands for {}", Style::PAGE.notes(head.notes));
        sheet.text(left + 1.0, 8.8, &stands_for, &TEXT);
        views::side(shape, left + 0.36 * cell, hole_y, &mut sheet);
        views::front(shape, left + cell - 9.5, hole_y, &mut sheet);
        views::plan(drawing.kind, shape, left + 0.5 * cell, plan_top, &mut sheet);
        for (row, line) in words[index].iter().enumerate() {
            sheet.text(left + 1.0, words_top + LINE * (row as f64 + 0.5), line, &TEXT);
        }
        if index > 0 {
            let x = left - 1.5;
            sheet.line((x, 1.0), (x, height - 6.5), Pen::new("#b5b5b5", 0.2));
        }
    }
    let foot = "Scale 1 : 2 when printed at full size; dimensions in millimetres. The outline of the felt \
                and parts marked “sample” or “maker” are not to scale.";
    sheet.text(0.5 * WIDTH, height - 2.0, foot, &TEXT.anchored(Anchor::Middle));
    let about = words_of_all(drawing);
    Ok(sheet.finish("mm", "Hammer heads of this order", &about))
}

/// A head in millimetres and radians, with a stand-in for what was not measured.
struct Shape {
    bore: f64,
    moulding: f64,
    tail: f64,
    width: f64,
    depth: f64,
    crown_radius: f64,
    hole: f64,
    through: bool,
    shank: f64,
    rake: f64,
    side_angle: f64,
    /// What is printed at each dimension.
    says: Says,
}

struct Says {
    bore: String,
    moulding: String,
    overall: String,
    tail: String,
    width: String,
    hole: String,
    rake: String,
    side_angle: String,
}

impl Shape {
    fn of(head: &Head) -> Result<Self, DrawingFault> {
        let impossible = |what| DrawingFault::Impossible { head: head.title.clone(), what };
        let inside = |what, value: f64, low: f64, high: f64| {
            if (low..=high).contains(&value) { Ok(value) } else { Err(impossible(what)) }
        };
        let length = |what, length: Option<Length>, low, high, instead: f64| {
            length.map_or(Ok(instead), |l| inside(what, to_mm(l), low, high))
        };
        let angle = |what, angle: Option<Angle>| {
            angle.map_or(Ok(0.0), |a| inside(what, to_degrees(a), -45.0, 45.0).map(f64::to_radians))
        };
        let bore = inside("bore", to_mm(head.bore), 10.0, 150.0)?;
        let moulding = length("moulding", head.moulding, 5.0, bore - 0.1, 0.78 * bore)?;
        let overall =
            head.overall.map(|l| inside("overall height", to_mm(l), bore, 200.0)).transpose()?;
        let tail = length("tail", head.tail, 0.0, 60.0, overall.map_or(9.0, |o| o - bore))?;
        if head.tail.is_some() && overall.is_some_and(|o| (o - bore - tail).abs() > 0.05) {
            return Err(DrawingFault::Contradiction { head: head.title.clone() });
        }
        // Indicative: the thicker the felt at the crown, the deeper the head.
        let depth = length("depth", head.depth, 8.0, 50.0, (13.0 + (bore - moulding)).min(40.0))?;
        let instead = if head.sample.is_some() { "sample" } else { "maker" };
        let said = |length: Option<Length>, places| {
            length
                .map_or_else(|| instead.to_owned(), |l| super::words::cell(Some(to_mm(l)), places))
        };
        let said_angle = |a: Option<Angle>| {
            a.map_or_else(
                || instead.to_owned(),
                |a| match super::words::cell(Some(to_degrees(a).abs()), 1).as_str() {
                    "0.0" => "0°".to_owned(),
                    size => format!("{size}°"),
                },
            )
        };
        Ok(Self {
            bore,
            moulding,
            tail,
            width: length("width", head.width, 3.0, 30.0, 10.5)?,
            depth,
            crown_radius: length("crown radius", head.crown_radius, 1.0, 40.0, 0.38 * depth)?,
            hole: length("hole", head.hole, 2.0, 12.0, 5.6)?,
            through: head.hole_kind != Some(HoleKind::Blind),
            shank: length("shank", head.shank, 2.0, 12.0, 5.5)?,
            rake: angle("rake", head.rake)?,
            side_angle: angle("side angle", head.side_angle)?,
            says: Says {
                bore: said(Some(head.bore), 1),
                moulding: said(head.moulding, 1),
                overall: said(head.overall, 1),
                tail: said(head.tail, 1),
                width: said(head.width, 1),
                hole: said(head.hole, 2),
                rake: said_angle(head.rake),
                side_angle: head
                    .side_angle
                    .map_or_else(|| format!("as {instead}"), |a| said_angle(Some(a))),
            },
        })
    }
}

/// What is said beneath a head, one entry a line before wrapping.
fn words(kind: Kind, head: &Head) -> Vec<String> {
    let rake = head.rake.map(rake_words);
    let side = head.side_angle.map(|angle| side_words(kind, angle));
    let mut lines: Vec<String> = rake.into_iter().chain(side).collect();
    let size = head.hole.map(|hole| super::words::cell(Some(to_mm(hole)), 2));
    let through = head.hole_kind.map(|kind| match kind {
        HoleKind::Through => "through".to_owned(),
        HoleKind::Blind => "blind".to_owned(),
    });
    let hole: Vec<String> = size.into_iter().chain(through).collect();
    let hole = (!hole.is_empty()).then(|| format!("hole {}", hole.join(", ")));
    let crown = head
        .crown_radius
        .map(|radius| format!("crown radius {}", super::words::cell(Some(to_mm(radius)), 1)));
    let sizes: Vec<String> = hole.into_iter().chain(crown).collect();
    if let Some(first) = sizes.first() {
        let mut said = sizes.join("; ");
        said.replace_range(..1, &first[..1].to_uppercase());
        lines.push(said);
    }
    let missing: Vec<String> = [
        ("moulding tip", head.moulding.is_none()),
        ("overall height", head.overall.is_none()),
        ("tail", head.tail.is_none()),
        ("width", head.width.is_none()),
        ("crown", head.crown_radius.is_none()),
        ("hole", head.hole.is_none()),
        ("hole through or blind", head.hole_kind.is_none()),
        ("rake", head.rake.is_none()),
        ("side angle", head.side_angle.is_none()),
    ]
    .into_iter()
    .filter(|(_, missing)| *missing)
    .map(|(what, _)| what.to_owned())
    .collect();
    if !missing.is_empty() {
        let whose = head.sample.map_or_else(
            || "maker’s choice".to_owned(),
            |note| format!("make to sample {}", Style::PAGE.note(note)),
        );
        lines.push(format!("Not measured: {} – {whose}", super::words::list(&missing)));
    }
    lines
}

fn rake_words(rake: Angle) -> String {
    let size = super::words::cell(Some(to_degrees(rake).abs()), 1);
    match size.as_str() {
        "0.0" => "Rake 0°: head square to the shank".to_owned(),
        _ if to_degrees(rake) > 0.0 => {
            format!("Rake {size}°: crown leans towards the hammer centre")
        }
        _ => format!("Rake {size}°: crown leans away from the hammer centre"),
    }
}

/// The sense of a side angle in words.
pub fn side_words(kind: Kind, angle: Angle) -> String {
    let size = super::words::cell(Some(to_degrees(angle).abs()), 1);
    if size == "0.0" {
        return "Side angle 0°: head in line with the shank".to_owned();
    }
    let end = far_end(kind);
    let side = if to_degrees(angle) > 0.0 { "right (treble)" } else { "left (bass)" };
    format!("Side angle {size}°: {end} to the {side}, seen from the player")
}

/// The end of the head that lies away from the hammer centre.
fn far_end(kind: Kind) -> &'static str {
    match kind {
        Kind::Upright => "upper end",
        Kind::Grand => "rear end",
    }
}

fn words_of_all(drawing: &HeadDrawing) -> String {
    let heads = drawing.heads.iter().map(|head| {
        format!(
            "{}: bore {}; {}",
            head.title,
            Style::PAGE.length_fixed(head.bore, 1),
            words(drawing.kind, head).join("; ")
        )
    });
    heads.collect::<Vec<_>>().join(". ")
}
