//! The measuring sheet: what to measure at which notes, in the order met at the piano, with which tool
//! and how exactly, and room to write it down.

use super::sheet::{Column, Sheet};
use crate::document::blank::{Blank, columns};
use crate::document::typeset::Plot;
use crate::document::words::{Style, ascii_fixed};
use crate::instrument::reading::{ErrorOf, Reading, Table};
use crate::instrument::{Kind, ReadingError};
use crate::judgement::plan::{Depth, Known, Plan};
use crate::measure::{Measured, Note, degrees, to_grams, to_mm};
use crate::stock::Caution;
use serde::Serialize;

/// What the template of the measuring sheet reads.
#[derive(Debug, Clone, Serialize)]
pub struct Measuring {
    instrument: String,
    aim: String,
    why: Vec<String>,
    tools: Sheet,
    /// Which piano, when and by whom: to be filled in.
    piano: BlankSheet,
    steps: Vec<Step>,
    cautions: Vec<String>,
}

/// One step: where, what to do, and a table to fill in.
#[derive(Debug, Clone, Serialize)]
struct Step {
    title: &'static str,
    drawing: Option<Drawing>,
    text: Vec<String>,
    blanks: Vec<BlankSheet>,
}

/// A drawing, over the text or, where it is narrow, beside it.
#[derive(Debug, Clone, Copy, Serialize)]
struct Drawing {
    file: &'static str,
    about: &'static str,
    beside: bool,
}

const STRING: Drawing = Drawing {
    file: "string.svg",
    about: "A wound string between tuning pin and hitch pin: what length, front, back, bare front, bare back, \
            strike, core, over and wrap are.",
    beside: false,
};
const IN_PLACE: Drawing = Drawing {
    file: "in-place.svg",
    about: "A hammer with its shank parallel to the string: what h, e and R are.",
    beside: true,
};
const HEAD: Drawing = Drawing {
    file: "head.svg",
    about: "A head on the bench: what bore, flat, outline width, depth and r are.",
    beside: true,
};

/// A table to be filled in by hand.
#[derive(Debug, Clone, Serialize)]
struct BlankSheet {
    heads: Vec<BlankHead>,
    rows: Vec<Vec<String>>,
}

#[derive(Debug, Clone, Serialize)]
struct BlankHead {
    head: String,
    unit: &'static str,
    share: u32,
}

/// The measuring sheet of `plan`.
pub fn measuring(blank: &Blank, plan: &Plan, error: &ReadingError) -> Measuring {
    let kind = match blank.kind {
        Kind::Upright => "upright",
        Kind::Grand => "grand",
    };
    let depth = match plan.depth {
        Depth::Look => "look: half an hour, action in; stop or go, pins, what to expect",
        Depth::Decide => "decide: an hour and a half; load, breaks, verdicts",
        Depth::Order => "order: three to four hours, action out; hammers and strings to order",
    };
    let mut steps = vec![look(blank)];
    steps.push(strings(blank, plan));
    if plan.depth > Depth::Look {
        steps.push(runs());
    }
    if plan.depth == Depth::Order {
        steps.extend([action_in(blank, plan), heads(plan)]);
    }
    Measuring {
        instrument: format!("{} ({kind}, {})", blank.name, blank.compass),
        aim: depth.to_owned(),
        why: why(blank, plan),
        tools: tools(blank, plan, error),
        piano: piano(),
        steps,
        cautions: cautions(blank.kind),
    }
}

fn piano() -> BlankSheet {
    let heads = [
        ("maker and model", "", 6),
        ("serial number", "", 3),
        ("built", "", 2),
        ("room", "°C", 2),
        ("humidity", "%", 2),
        ("date", "", 3),
        ("measured by", "", 4),
    ];
    BlankSheet {
        heads: heads
            .map(|(head, unit, share)| BlankHead { head: head.to_owned(), unit, share })
            .into(),
        rows: vec![vec![String::new(); heads.len()]],
    }
}

/// Why these notes, in figures.
fn why(blank: &Blank, plan: &Plan) -> Vec<String> {
    let sections: Vec<String> =
        blank.sections.iter().map(|(name, notes)| format!("{name} {notes}")).collect();
    let mut text = vec![format!(
        "Sections: {}; wound to {}. If the breaks of this piano lie elsewhere, make the sheet again with \
         its own sections.",
        sections.join(", "),
        blank.wound_to
    )];
    let known = |known: Option<Known>, what: &str, unit: &str, places: u8| {
        known.map(|known| {
            format!(
                "{what} of a note that is not read will be known to ±{} {unit} at worst, at {} (aim: {} {unit}).",
                ascii_fixed(known.sd, places),
                known.worst,
                ascii_fixed(known.target, places)
            )
        })
    };
    if let Some(line) = known(plan.tension, "The tension", "%", 1) {
        text.push(format!("{} notes are enough for the strings. {line}", plan.strings.len()));
    }
    if let Some(line) = known(plan.bore, "The bore", "mm", 2) {
        text.push(format!("{} are enough for the hammers. {line}", plan.hammers.len()));
    }
    text
}

/// Every tool with what it reads and how exactly.
fn tools(blank: &Blank, plan: &Plan, error: &ReadingError) -> Sheet {
    let mut tables = vec![Table::Strings];
    if plan.depth == Depth::Order {
        tables.push(Table::Hammers);
    }
    let mut tools: Vec<(&'static str, Vec<String>, Vec<String>)> = Vec::new();
    for table in tables {
        for reading in columns(table, blank) {
            if reading.tool == "eye" {
                continue;
            }
            let exactly = exactly(reading, error);
            let index =
                tools.iter().position(|(tool, ..)| *tool == reading.tool).unwrap_or_else(|| {
                    tools.push((reading.tool, Vec::new(), Vec::new()));
                    tools.len() - 1
                });
            let (_, reads, how) = &mut tools[index];
            let name = spoken(reading);
            if !reads.contains(&name) {
                reads.push(name);
            }
            if let Some(exactly) = exactly.filter(|e| !how.contains(e)) {
                how.push(exactly);
            }
        }
    }
    // What the first step reads is no column of a table.
    for (tool, what) in [
        ("tuning fork or device", "pitch as it stands"),
        ("lamp and mirror", "rust, cracks"),
        ("torque wrench", "tuning pins"),
    ]
    .into_iter()
    .rev()
    {
        tools.insert(0, (tool, vec![what.to_owned()], Vec::new()));
    }
    let row = |(tool, reads, how): (&str, Vec<String>, Vec<String>)| {
        vec![tool.to_owned(), how.join("; "), reads.join(", ")]
    };
    Sheet::new(
        vec![Column::left("Tool"), Column::left("Read to ±"), Column::left("For").share(1)],
        tools.into_iter().map(row).collect(),
    )
}

/// The stated error of a reading, one standard deviation.
fn exactly(reading: &Reading, error: &ReadingError) -> Option<String> {
    let length = |value: f64, places: u8| format!("{} mm", ascii_fixed(value, places));
    match reading.error {
        ErrorOf::Length => Some(format!(
            "{} + {} %",
            length(to_mm(error.length.fixed), 1),
            ascii_fixed(100.0 * error.length.share, 1)
        )),
        ErrorOf::Core => Some(length(to_mm(error.core), 3)),
        ErrorOf::Over => Some(format!("{} over a winding", length(to_mm(error.over), 2))),
        ErrorOf::Centre | ErrorOf::Bore => Some(length(to_mm(error.centre), 1)),
        ErrorOf::Mass => Some(format!("{} g", ascii_fixed(to_grams(error.mass), 2))),
        ErrorOf::Rake => {
            Some(Style::PLAIN.angle(Measured::new(ReadingError::usual_rake(), degrees(0.0))))
        }
        ErrorOf::None => None,
    }
}

/// A reading by name, without underscores.
fn spoken(reading: &Reading) -> String {
    match reading.name {
        "shank_to_string" => "h, shank to string".to_owned(),
        "shank_offset" => "e, offset of the shank".to_owned(),
        "centre_to_head" => "R, centre to head".to_owned(),
        "crown_radius" => "r, crown radius".to_owned(),
        name => name.replace('_', " "),
    }
}

fn look(blank: &Blank) -> Step {
    let row = |(name, _): &(String, crate::measure::Compass)| {
        let mut row = vec![name.clone()];
        row.resize(7, String::new());
        row
    };
    Step {
        title: "Lid and front open, action in",
        text: vec![
            "Pitch of each section as it stands, cents from A = 440 Hz. Rust at coils, along the length and \
             at the bridge: 0 none, 1 tarnish, 2 light rust, 3 pitting. Tone of every second wound string: \
             clear, dull, dead. Torque of a dozen pins spread over the block, tightening, N m; slack the pin \
             a little first and bring it back."
                .to_owned(),
            "Plate, pin block, back frame, pressure bar or agraffes, bridges, soundboard: write sound, doubtful or \
             failed; leave empty what was not looked at."
                .to_owned(),
        ],
        drawing: None,
        blanks: vec![BlankSheet {
            heads: [("section", "", 3), ("pitch", "cents", 2), ("rust coils", "0–3", 2), ("length", "0–3", 2), ("bridge", "0–3", 2), ("tone", "clear / dull / dead", 4), ("pin torques", "N m", 6)]
                .map(|(head, unit, share)| BlankHead { head: head.to_owned(), unit, share })
                .into(),
            rows: blank.sections.iter().map(row).collect(),
        },
        BlankSheet {
            heads: ["plate", "pin block", "back frame", "bearing", "bridges", "soundboard"]
                .map(|head| BlankHead { head: head.to_owned(), unit: "", share: 1 })
                .into(),
            rows: vec![vec![String::new(); 6]],
        }],
    }
}

fn strings(blank: &Blank, plan: &Plan) -> Step {
    let wound = plan.strings.iter().filter(|note| **note <= blank.wound_to).count();
    let mut text = vec![
        "Bass to treble. Length: from termination to termination along the middle string of three, the \
         longer of a pair. Wire: bare, beside the winding or between bridge pin and hitch pin, turned a \
         quarter and read twice."
            .to_owned(),
    ];
    if wound > 0 {
        text.push(
            "Wound strings: core between the end of the winding and the bridge pin; over the winding at its \
             middle; bare ends from termination to winding, hammer end (front) and bridge end (back)."
                .to_owned(),
        );
    }
    let readings: Vec<&Reading> = columns(Table::Strings, blank);
    Step {
        title: "Strings, from the bass",
        text,
        drawing: (wound > 0).then_some(STRING),
        blanks: vec![table(&readings, &plan.strings)],
    }
}

fn runs() -> Step {
    Step {
        title: "Wire of the plain strings, where it changes",
        text: vec![
            "Walk up the treble with the micrometer, or read the numbers stamped at the pins: first and last \
             note of each run of one wire."
                .to_owned(),
        ],
        drawing: None,
        blanks: vec![BlankSheet {
            heads: [("from", "", 2), ("to", "", 2), ("strings", "", 2), ("wire", "mm", 2), ("number", "", 2), ("remark", "", 5)]
                .map(|(head, unit, share)| BlankHead { head: head.to_owned(), unit, share })
                .into(),
            rows: vec![vec![String::new(); 6]; 14],
        }],
    }
}

fn action_in(blank: &Blank, plan: &Plan) -> Step {
    let wanted = [
        "note",
        "shank_to_string",
        "shank_offset",
        "centre_to_head",
        "splay",
        "pitch",
        "blow",
        "down",
        "up",
    ];
    let readings: Vec<&Reading> =
        columns(Table::Hammers, blank).into_iter().filter(|r| wanted.contains(&r.name)).collect();
    let shank = match blank.kind {
        Kind::Upright => "Lift the hammer until its shank stands parallel to the strings",
        Kind::Grand => "Lift the hammer until its shank lies parallel to the strings",
    };
    Step {
        title: "Hammers in their place",
        text: vec![
            format!(
                "{shank} and hold it: h is the distance from the shank's axis to the string's surface where \
                 the head sits; e the offset of that axis from the centre pin, positive away from the string. \
                 R: from the centre pin to the head's axis, along the shank."
            ),
            "Splay: the string in plan against the hammer's own line, positive when the end away from the \
             hammer centre leans to the treble. Down and up weight with the dampers lifted."
                .to_owned(),
        ],
        drawing: Some(IN_PLACE),
        blanks: vec![table(&readings, &plan.hammers)],
    }
}

fn heads(plan: &Plan) -> Step {
    let half = |names: &[&str]| {
        let heads: Vec<&Reading> = crate::instrument::reading::of_table(Table::Hammers)
            .filter(|reading| names.contains(&reading.column().as_str()))
            .collect();
        table(&heads, &plan.hammers)
    };
    Step {
        title: "The same heads on the bench",
        text: vec![
            "Mark each head with its note before it comes off. Bore: from the hole's axis to the crown, at the \
             bottom of the middle string groove. The felt already gone shows in the flat on the crown: its \
             length and the crown's radius r beside it, or the width of the outline at a depth below the flat. \
             Weigh the head alone."
                .to_owned(),
            "Rake: the head's axis from square to the shank, positive when the crown tips towards the centre \
             pin. Side angle: the head seen from above on its shank, positive when the end away from the \
             centre pin leans to the treble."
                .to_owned(),
        ],
        drawing: Some(HEAD),
        blanks: vec![
            half(&["note", "rake_deg", "bore_mm", "flat_mm", "crown_radius_mm", "outline_mm", "outline_depth_mm", "filed", "head_mass_g"]),
            half(&["note", "width_mm", "tail_mm", "hole_mm", "hole_kind", "shank_mm", "moulding_mm", "head_length_mm", "felt_mm", "mark_mm", "side_angle_deg"]),
        ],
    }
}

fn table(readings: &[&Reading], notes: &[Note]) -> BlankSheet {
    let head = |reading: &&Reading| BlankHead {
        head: match reading.name {
            "shank_to_string" => "h".to_owned(),
            "shank_offset" => "e".to_owned(),
            "centre_to_head" => "R".to_owned(),
            "crown_radius" => "radius r".to_owned(),
            name => name.replace('_', " "),
        },
        unit: match reading.unit.suffix() {
            "_deg" => "°",
            suffix => suffix.trim_start_matches('_'),
        },
        share: if reading.name == "note" { 2 } else { 3 },
    };
    let rows = notes.iter().map(|note| {
        let mut row = vec![Style::PLAIN.note(*note)];
        row.resize(readings.len(), String::new());
        row
    });
    BlankSheet { heads: readings.iter().map(head).collect(), rows: rows.collect() }
}

fn cautions(kind: Kind) -> Vec<String> {
    let of_kind = match kind {
        Kind::Upright => Caution::UprightTips.words(),
        Kind::Grand => {
            "Draw the action straight out, hammers down: a hammer caught at the pin block breaks. A lid is propped \
             with its own prop."
        }
    };
    let [load, lead, felt, rules] =
        [Caution::StringsUnderLoad, Caution::Lead, Caution::Felt, Caution::LocalRules]
            .map(Caution::words);
    [load, of_kind, lead, felt, rules].map(str::to_owned).into()
}

/// The drawings that the sheet asks for: what is read of a string, of a hammer in its place, of a head.
pub fn measuring_drawings(kind: Kind) -> [Plot<'static>; 3] {
    let in_place = match kind {
        Kind::Upright => include_str!("../assets/measuring-upright.svg"),
        Kind::Grand => include_str!("../assets/measuring-grand.svg"),
    };
    let drawings = [
        (STRING, include_str!("../assets/measuring-string.svg")),
        (IN_PLACE, in_place),
        (HEAD, include_str!("../assets/measuring-head.svg")),
    ];
    drawings.map(|(drawing, svg)| Plot { name: drawing.file, bytes: svg.as_bytes() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reading_of_a_hammer_has_a_name_to_be_spoken() {
        for reading in crate::instrument::reading::of_table(Table::Hammers) {
            assert!(!spoken(reading).contains('_'), "{}", reading.name);
        }
    }
}
