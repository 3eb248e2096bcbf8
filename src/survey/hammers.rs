//! `[hammers]`: samples and stations. A reading that means nothing without its other half is a fault
//! that says how to measure that half.

use super::columns::Reader;
use super::fault::{Fault, FaultKind};
use super::possible;
use super::quantity::impossible;
use super::row::Row;
use super::strings::{note_twice, rows};
use super::tree::Keys;
use super::wishes;
use super::words::any_of;
use crate::instrument::reading::Table;
use crate::instrument::{
    About, Clip, HammerRow, Hammers, HeadMass, Height, HeightsOn, HoleKind, Kind, Section, Wear,
};
use crate::measure::{Mass, Measured, Note, to_grams, to_mm};
use crate::sentence;

/// What `[hammers]` says.
pub(super) fn read<'d>(
    root: &Keys<'d>,
    reader: &Reader<'d>,
    kind: Option<Kind>,
    sections: &[Section],
) -> Hammers {
    let Some(keys) = root.table("hammers") else { return Hammers::default() };
    let heights = [("old strings", HeightsOn::OldStrings), ("new strings", HeightsOn::NewStrings)];
    let allowance = keys.quantity("allowance", "0.5 mm", possible::allowance());
    let heights_on = keys.word("heights_measured", &heights);
    let wishes = wishes::read(&keys, sections);
    let table = rows(&keys, reader, "table", "row", Table::Hammers, &["note"]);
    keys.finish();
    Hammers {
        rows: heads(table, reader, kind),
        allowance: allowance.map(|read| read.value),
        heights_on: heights_on.unwrap_or_default(),
        wishes,
    }
}

/// The heads of a table, by note.
pub(super) fn heads(table: Vec<Row>, reader: &Reader, kind: Option<Kind>) -> Vec<HammerRow> {
    let mut hammers: Vec<(HammerRow, Row)> = Vec::new();
    for row in table {
        let Some(read) = one(&row, kind) else { continue };
        if let Some((_, first)) = hammers.iter().find(|(other, _)| other.note == read.note) {
            reader.desk.fault(note_twice(read.note, &row, first));
        }
        if row.is_ready() {
            continue;
        }
        hammers.push((read, row));
    }
    let mut rows: Vec<_> = hammers.into_iter().map(|(read, _)| read).collect();
    rows.sort_by_key(|row| row.note);
    rows
}

fn one(row: &Row, kind: Option<Kind>) -> Option<HammerRow> {
    let note = row.note("note");
    let mut read = HammerRow::empty(note.unwrap_or(Note::A0), row.place());
    read.height = height(row, &mut read, kind);
    read.centre_to_head = row.length("centre_to_head");
    read.rake = row.angle("rake");
    read.bore = row.length("bore");
    read.wear = wear(row, read.note);
    read.filed = row.flag("filed");
    read.mass = mass(row, read.note);
    read.side_angle = row.angle("side_angle");
    read.splay = row.angle("splay");
    read.tilt = row.angle("tilt");
    read.pitch = row.length("pitch");
    read.width = row.length("width");
    read.tail = row.length("tail");
    read.hole = row.length("hole");
    read.hole_kind =
        row.word("hole_kind", &[("through", HoleKind::Through), ("blind", HoleKind::Blind)]);
    read.shank = row.length("shank");
    read.moulding = row.length("moulding");
    read.head_length = row.length("head_length");
    read.felt = row.length("felt");
    read.mark = row.length("mark");
    read.blow = row.length("blow");
    read.down = row.mass("down");
    read.up = row.mass("up");
    not_above(row, read.up, read.down, "up", "down");
    read.clip = clip(row);
    note?;
    hole(row, &read);
    Some(read)
}

/// Whether all of a group of readings are there; a fault when some are and some are not.
fn whole(row: &Row, group: &[&str], how: &str) -> bool {
    let (there, missing): (Vec<&str>, Vec<&str>) = group.iter().partition(|name| row.has(name));
    if there.is_empty() || missing.is_empty() {
        return missing.is_empty();
    }
    let labels: Vec<_> = group.iter().map(|name| row.label(name)).collect();
    let missing: Vec<_> = missing.into_iter().map(|name| row.label(name)).collect();
    let missing = any_of(missing.iter().map(String::as_str)).replace(" or ", " and ");
    let title = format!("`{}` means nothing without {missing}", row.label(there[0]));
    row.desk().fault(
        Fault::new(FaultKind::HalfReading, &row.at(there[0]), title)
            .found(format!("no {missing} in this row"))
            .expected(format!("all of {}, or none of them", labels.join(", ")))
            .remedy(how),
    );
    false
}

const CENTRE: [&str; 2] = ["centre_to_string", "shank_offset"];
const HOW_CENTRE: &str = "hold a straightedge along the shank's axis: shank_offset_mm is its \
    distance from the hammer centre pin, positive when the shank lies on the side away from the \
    string, 0 when it points at the pin. Or hold the shank parallel to the strings and read from \
    its axis to the string, shank_to_string_mm, in one";
const KEYBED: [&str; 4] = ["string_height", "centre_height", "centre_to_strike", "string_rise"];
const HOW_KEYBED: &str = "read string and hammer centre above the keybed, the level distance between \
    centre and strike point, and lay a protractor on the string: string_rise_deg is its rise to the \
    rear, 0 only when it was looked at. Boring by the difference of heights alone is wrong by \
    exactly that angle";

fn height(row: &Row, read: &mut HammerRow, kind: Option<Kind>) -> Option<Height> {
    // Beside the shank's own distance the offset stands by itself: it sharpens a small term.
    let beside_shank = row.has("shank_to_string") && !row.has("centre_to_string");
    let centre = !beside_shank && whole(row, &CENTRE, HOW_CENTRE);
    if beside_shank {
        read.shank_offset = row.length("shank_offset");
    }
    let keybed = whole(row, &KEYBED, HOW_KEYBED);
    let grand_only = KEYBED.into_iter().find(|name| row.has(name));
    if let (Some(name), Some(Kind::Upright)) = (grand_only, kind) {
        row.desk().fault(on_upright(row, name));
    }
    let shank = row.length("shank_to_string");
    let heights = [
        shank.map(|shank_to_string| Height::ShankParallel { shank_to_string }),
        centre.then(|| centre_height(row)).flatten(),
        keybed.then(|| keybed_height(row)).flatten(),
    ];
    let mut heights = heights.into_iter().flatten();
    let first = heights.next()?;
    if heights.next().is_some() {
        let text = sentence![
            "the height of the string at ",
            read.note,
            " is given in two ways; the first of shank_to_string, centre_to_string and \
             string_height is used"
        ];
        row.desk().warn("two_heights", About::Note(read.note), text);
    }
    Some(first)
}

fn on_upright(row: &Row, name: &str) -> Fault {
    let title = format!("`{}` is read on a grand, and this is an upright", row.label(name));
    Fault::new(FaultKind::GrandReadingOnUpright, &row.at(name), title)
        .found("a height above the keybed")
        .expected("shank_to_string_mm, or centre_to_string_mm with shank_offset_mm")
        .remedy(
            "hold the shank parallel to the strings and read from its axis to the string: \
             shank_to_string_mm",
        )
}

fn centre_height(row: &Row) -> Option<Height> {
    let (centre_to_string, shank_offset) =
        (row.length("centre_to_string"), row.length("shank_offset"));
    Some(Height::Centre { centre_to_string: centre_to_string?, shank_offset: shank_offset? })
}

fn keybed_height(row: &Row) -> Option<Height> {
    let (string_height, centre_height) = (row.length("string_height"), row.length("centre_height"));
    let (centre_to_strike, string_rise) =
        (row.length("centre_to_strike"), row.angle("string_rise"));
    let (string_height, centre_height) = (string_height?, centre_height?);
    if string_height.value <= centre_height.value {
        row.desk().fault(impossible(
            &format!("`{}`", row.label("string_height")),
            &format!("{:.1} mm", to_mm(string_height.value)),
            &format!(
                "more than the hammer centre's {:.1} mm: the string lies above it",
                to_mm(centre_height.value)
            ),
            &row.at("string_height"),
        ));
    }
    Some(Height::Keybed {
        string_height,
        centre_height,
        centre_to_strike: centre_to_strike?,
        string_rise: string_rise?,
    })
}

const HOW_WEAR: &str = "lay a radius gauge on the crown beside the flat (crown_radius_mm); or measure \
    the width of the outline (outline_mm) at a depth below the flat (outline_depth_mm), 3 mm say";

fn wear(row: &Row, note: Note) -> Option<Wear> {
    let (lost, flat) = (row.length("lost"), row.length("flat"));
    let (radius, outline, depth) =
        (row.length("crown_radius"), row.length("outline"), row.length("outline_depth"));
    // A radius by itself does no harm; a flat, or half an outline, says nothing alone.
    if row.has("outline") || row.has("outline_depth") {
        whole(row, &["outline", "outline_depth", "flat"], HOW_WEAR);
    } else if row.has("flat") {
        whole(row, &["flat", "crown_radius"], HOW_WEAR);
    }
    if let Some(lost) = lost {
        if flat.is_some() {
            row.desk().warn(
                "two_wears",
                About::Note(note),
                sentence![
                    "the felt lost at ",
                    note,
                    " is given outright and by its flat; the ",
                    lost,
                    " given outright are used"
                ],
            );
        }
        return Some(Wear::Lost(lost));
    }
    let flat = flat?;
    if let Some(crown_radius) = radius {
        if to_mm(flat.value) > 2.0 * to_mm(crown_radius.value) {
            let found = format!("{:.1} mm", to_mm(flat.value));
            let possible =
                format!("at most twice the crown's radius of {:.1} mm", to_mm(crown_radius.value));
            row.desk().fault(impossible(
                &format!("`{}`", row.label("flat")),
                &found,
                &possible,
                &row.at("flat"),
            ));
        }
        return Some(Wear::Flat { flat, crown_radius });
    }
    let (outline, depth) = (outline?, depth?);
    if outline.value <= flat.value {
        let found = format!("{:.1} mm", to_mm(outline.value));
        let possible =
            format!("more than the flat of {:.1} mm: the head widens below it", to_mm(flat.value));
        row.desk().fault(impossible(
            &format!("`{}`", row.label("outline")),
            &found,
            &possible,
            &row.at("outline"),
        ));
    }
    Some(Wear::Outline { flat, outline, depth })
}

fn mass(row: &Row, note: Note) -> Option<HeadMass> {
    let both = whole(
        row,
        &["end_weight", "shank_end"],
        "cut the head off a spare shank, or take a bare one of the \
        same length: hold it level by its centre with its end on the scale, and write what the scale shows as shank_end_g",
    );
    let (alone, end_weight, shank_end) =
        (row.mass("head_mass"), row.mass("end_weight"), row.mass("shank_end"));
    if let (true, Some(with), Some(without)) = (both, end_weight, shank_end)
        && with.value <= without.value
    {
        let found = format!("{:.2} g", to_grams(with.value));
        let possible = format!("more than the bare shank's {:.2} g", to_grams(without.value));
        row.desk().fault(impossible(
            &format!("`{}`", row.label("end_weight")),
            &found,
            &possible,
            &row.at("end_weight"),
        ));
    }
    if let Some(alone) = alone {
        if end_weight.is_some() {
            row.desk().warn(
                "two_masses",
                About::Note(note),
                sentence![
                    "the head of ",
                    note,
                    " was weighed alone and on its shank; the ",
                    alone,
                    " alone are used"
                ],
            );
        }
        return Some(HeadMass::Alone(alone));
    }
    Some(HeadMass::OnShank { end_weight: end_weight?, shank_end: shank_end? })
}

const CLIP: [&str; 5] = ["clip", "clip_down", "clip_up", "down", "up"];
const HOW_CLIP: &str = "weigh the key down and up as it is (down_g, up_g); then clip a known mass on the head, 2 g \
    say (clip_g), and weigh the key down and up again (clip_down_g, clip_up_g), dampers lifted";

fn clip(row: &Row) -> Option<Clip> {
    if !CLIP[..3].iter().any(|name| row.has(name)) || !whole(row, &CLIP, HOW_CLIP) {
        return None;
    }
    let (mass, down, up) = (row.mass("clip"), row.mass("clip_down"), row.mass("clip_up"));
    not_above(row, up, down, "clip_up", "clip_down");
    Some(Clip { mass: mass?, down: down?, up: up? })
}

/// A key lifts less than it takes to push it down: friction works against both.
fn not_above(
    row: &Row,
    up: Option<Measured<Mass>>,
    down: Option<Measured<Mass>>,
    name: &str,
    other: &str,
) {
    let (Some(up), Some(down)) = (up, down) else { return };
    if up.value <= down.value {
        return;
    }
    row.desk().fault(impossible(
        &format!("`{}`", row.label(name)),
        &format!("{:.1} g", to_grams(up.value)),
        &format!(
            "at most the {} of {:.1} g: friction works against both",
            row.label(other),
            to_grams(down.value)
        ),
        &row.at(name),
    ));
}

fn hole(row: &Row, read: &HammerRow) {
    let (Some(hole), Some(shank)) = (read.hole, read.shank) else { return };
    if hole.value < shank.value {
        row.desk().fault(
            Fault::new(
                FaultKind::HoleSmallerThanShank,
                &row.at("hole"),
                format!(
                    "a hole of {:.2} mm does not take a shank of {:.2} mm",
                    to_mm(hole.value),
                    to_mm(shank.value)
                ),
            )
            .found("smaller than the shank")
            .expected(format!(
                "at least {:.2} mm; usual is 0.08 to 0.10 mm more than the shank",
                to_mm(shank.value)
            ))
            .remedy(
                "measure hole and shank again with the same caliper, the shank where the head sat",
            ),
        );
    }
}
