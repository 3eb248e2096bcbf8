//! The dictionary of readings: every column of a survey's tables, once.
//!
//! The table reader, the measuring sheet, the heads of printed tables and the glossary all take
//! names, units, tools and ranges from here.

use Unit::{
    Choice, Count, Degrees, Flag, Gauge, Grams, GramsPerMetre, Hertz, Millimetres, Name, Newtons,
    NoteName, Pure,
};

/// In what a reading is written in a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unit {
    /// The name of a note.
    NoteName,
    /// A whole number between two bounds, both allowed.
    Count(u32, u32),
    /// Millimetres; `_in` in the head takes inches.
    Millimetres,
    /// Grams.
    Grams,
    /// Grams per metre.
    GramsPerMetre,
    /// Newtons.
    Newtons,
    /// Hertz.
    Hertz,
    /// Degrees.
    Degrees,
    /// A pure number.
    Pure,
    /// A music wire number with halves.
    Gauge,
    /// The name of a material.
    Name,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// `true` or `false`.
    Flag,
}

impl Unit {
    /// What a column head carries after the reading's name.
    pub fn suffix(self) -> &'static str {
        match self {
            Millimetres => "_mm",
            Grams => "_g",
            GramsPerMetre => "_g_m",
            Newtons => "_n",
            Hertz => "_hz",
            Degrees => "_deg",
            NoteName | Count(..) | Pure | Gauge | Name | Choice(_) | Flag => "",
        }
    }
}

/// In which table of the survey a reading is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Table {
    /// One row per note.
    Strings,
    /// One row per run of wire.
    Runs,
    /// One row per sampled hammer or measured station.
    Hammers,
}

/// Which reading-error of the survey applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ErrorOf {
    /// Tape along the string.
    Length,
    /// Micrometer on plain wire or bare core.
    Core,
    /// Micrometer over a winding.
    Over,
    /// Hammer geometry.
    Centre,
    /// Bore of a sample.
    Bore,
    /// Scale.
    Mass,
    /// Rake of a sample.
    Rake,
    /// None is stated for it.
    None,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Where it is written.
    pub table: Table,
    /// Its name without the unit.
    pub name: &'static str,
    /// In what it is written.
    pub unit: Unit,
    /// What is possible, in the written unit; outside is a fault.
    pub range: Option<(f64, f64)>,
    /// Which reading error applies.
    pub error: ErrorOf,
    /// What it is.
    pub sense: &'static str,
    /// With what it is read.
    pub tool: &'static str,
    /// Which result needs it.
    pub gives: &'static str,
}

impl Reading {
    /// The head of its column: `length_mm`.
    pub fn column(&self) -> String {
        format!("{}{}", self.name, self.unit.suffix())
    }
}

/// Every reading of `table`, in the order of the columns.
pub fn of_table(table: Table) -> impl Iterator<Item = &'static Reading> {
    READINGS.iter().filter(move |reading| reading.table == table)
}

/// The reading of `table` whose column is headed `head` (`length_mm`).
pub fn headed(table: Table, head: &str) -> Option<&'static Reading> {
    of_table(table).find(|reading| reading.column() == head)
}

#[allow(clippy::too_many_arguments, reason = "one row of the dictionary, in its column order")]
const fn row(
    table: Table,
    name: &'static str,
    unit: Unit,
    range: Option<(f64, f64)>,
    error: ErrorOf,
    sense: &'static str,
    tool: &'static str,
    gives: &'static str,
) -> Reading {
    Reading { table, name, unit, range, error, sense, tool, gives }
}

const TAPE: &str = "steel tape or rule";
const MICROMETER: &str = "micrometer";
const CALIPER: &str = "caliper";
const BEVEL: &str = "bevel or protractor";
const SCALE: &str = "scale to 0.1 g";
const EYE: &str = "eye";

use ErrorOf as E;
use Table::{Hammers, Runs, Strings};

/// The dictionary itself.
#[rustfmt::skip]
pub const READINGS: &[Reading] = &[
    row(Strings, "note", NoteName, None, E::None, "the note, A0 to C8", EYE, "everything"),
    row(Strings, "strings", Count(1, 3), None, E::None, "strings in the unison", EYE, "load on the plate, order"),
    row(Strings, "length", Millimetres, Some((20.0, 6000.0)), E::Length, "speaking length, termination to termination; middle string of three, the longer of a pair", TAPE, "tension"),
    row(Strings, "core", Millimetres, Some((0.3, 2.5)), E::Core, "wire diameter; of a wound string the core's (hex: across flats)", MICROMETER, "tension, inharmonicity, load"),
    row(Strings, "core_gauge", Gauge, None, E::Core, "music wire number, in place of the diameter", "gauge plate or the number stamped at the pin", "tension, inharmonicity, load"),
    row(Strings, "core_shape", Choice(&["round", "hex"]), None, E::None, "shape of the core", EYE, "winding mass"),
    row(Strings, "over", Millimetres, Some((1.0, 15.0)), E::Over, "diameter over the winding; empty for a plain string", MICROMETER, "tension"),
    row(Strings, "wrap", Name, None, E::None, "winding material", EYE, "tension"),
    row(Strings, "wrap", Millimetres, Some((0.05, 5.0)), E::Core, "winding wire diameter, of the outer layer when there are two", MICROMETER, "tension"),
    row(Strings, "under", Millimetres, Some((0.5, 15.0)), E::Over, "diameter over the inner winding of a double-wound string", MICROMETER, "tension"),
    row(Strings, "bare_front", Millimetres, Some((0.0, 1000.0)), E::Length, "bare core between termination and winding, hammer end", TAPE, "inharmonicity"),
    row(Strings, "bare_back", Millimetres, Some((0.0, 1000.0)), E::Length, "bare core between winding and termination, bridge end", TAPE, "inharmonicity"),
    row(Strings, "under_bare_front", Millimetres, Some((0.0, 1000.0)), E::Length, "the same of the inner winding, hammer end", TAPE, "inharmonicity"),
    row(Strings, "under_bare_back", Millimetres, Some((0.0, 1000.0)), E::Length, "the same of the inner winding, bridge end", TAPE, "inharmonicity"),
    row(Strings, "strike", Millimetres, Some((1.0, 1000.0)), E::Length, "hammer-end termination to strike point", TAPE, "strike fraction"),
    row(Strings, "material", Name, None, E::None, "wire material of this note", EYE, "tension, load"),
    row(Strings, "mass_per_length", GramsPerMetre, Some((0.3, 2000.0)), E::None, "mass per length of the wound part, when the string was weighed", SCALE, "tension"),
    row(Strings, "breaking_load", Newtons, Some((50.0, 20000.0)), E::None, "breaking load of a tested sample", "tensile test", "load"),
    row(Strings, "back", Millimetres, Some((0.0, 3000.0)), E::Length, "hitch loop to bridge pin", TAPE, "string order"),
    row(Strings, "front", Millimetres, Some((0.0, 3000.0)), E::Length, "bearing to tuning-pin centre", TAPE, "string order"),
    row(Strings, "loop", Choice(&["single", "double", "tied"]), None, E::None, "how it is fastened at the hitch pin", EYE, "string order"),
    row(Strings, "spacing", Millimetres, Some((1.0, 100.0)), E::Length, "centre to centre of neighbouring strings at the strike point", CALIPER, "thicker windings"),
    row(Strings, "replaced", Flag, None, E::None, "true when this string is not of the set", EYE, "what stands out"),
    row(Strings, "f1", Hertz, Some((10.0, 10000.0)), E::None, "sounding fundamental from a recording", "recording", "checks the micrometer"),
    row(Strings, "inharmonicity", Pure, Some((0.0, 1.0)), E::None, "inharmonicity from a recording", "recording", "checks the micrometer"),

    row(Runs, "from", NoteName, None, E::None, "first note of the run", EYE, "wire sizes"),
    row(Runs, "to", NoteName, None, E::None, "last note of the run", EYE, "wire sizes"),
    row(Runs, "strings", Count(1, 3), None, E::None, "strings in the unison", EYE, "load on the plate"),
    row(Runs, "core", Millimetres, Some((0.3, 2.5)), E::Core, "wire diameter; of wound strings the core's", MICROMETER, "tension"),
    row(Runs, "core_gauge", Gauge, None, E::Core, "music wire number, in place of the diameter", "gauge plate or the number stamped at the pin", "tension"),

    row(Hammers, "note", NoteName, None, E::None, "the note, A0 to C8", EYE, "everything"),
    row(Hammers, "shank_to_string", Millimetres, Some((10.0, 200.0)), E::Centre, "shank held parallel to the strings: its axis to the string's surface where the head sits", CALIPER, "bore"),
    row(Hammers, "centre_to_string", Millimetres, Some((5.0, 200.0)), E::Centre, "hammer centre pin to string surface, square to the string", "straightedge and caliper", "bore"),
    row(Hammers, "shank_offset", Millimetres, Some((-30.0, 30.0)), E::Centre, "offset of the shank's axis from the centre pin, positive away from the string", CALIPER, "bore"),
    row(Hammers, "string_height", Millimetres, Some((50.0, 400.0)), E::Centre, "grand: string above the keybed", "height gauge", "bore"),
    row(Hammers, "centre_height", Millimetres, Some((20.0, 350.0)), E::Centre, "grand: hammer centre above the keybed", "height gauge", "bore"),
    row(Hammers, "centre_to_strike", Millimetres, Some((50.0, 250.0)), E::Centre, "grand: horizontal distance, centre to strike point", TAPE, "bore"),
    row(Hammers, "string_rise", Degrees, Some((-15.0, 15.0)), E::None, "grand: rise of the string to the rear", BEVEL, "bore"),
    row(Hammers, "centre_to_head", Millimetres, Some((50.0, 250.0)), E::Centre, "hammer centre pin to the head's axis, along the shank", TAPE, "strike line, contact angle"),
    row(Hammers, "rake", Degrees, Some((-20.0, 20.0)), E::Rake, "head's axis from square to the shank; positive tips the crown towards the centre", BEVEL, "bore"),
    row(Hammers, "bore", Millimetres, Some((10.0, 150.0)), E::Bore, "shank-hole axis to crown, at the bottom of the middle groove", CALIPER, "cross-check of the bore"),
    row(Hammers, "lost", Millimetres, Some((0.0, 20.0)), E::Bore, "felt already gone from the crown", CALIPER, "cross-check of the bore"),
    row(Hammers, "flat", Millimetres, Some((0.0, 40.0)), E::Bore, "length of the flat worn on the crown", CALIPER, "felt lost"),
    row(Hammers, "crown_radius", Millimetres, Some((1.0, 40.0)), E::Bore, "radius of the crown beside the flat", "radius gauge", "felt lost"),
    row(Hammers, "outline", Millimetres, Some((1.0, 80.0)), E::Bore, "width of the outline at a depth below the flat", CALIPER, "felt lost"),
    row(Hammers, "outline_depth", Millimetres, Some((0.5, 40.0)), E::Bore, "depth below the flat at which the width of the outline was read", CALIPER, "felt lost"),
    row(Hammers, "filed", Flag, None, E::None, "true when the head was reshaped before", EYE, "whether the crown proves anything"),
    row(Hammers, "head_mass", Grams, Some((0.5, 40.0)), E::Mass, "mass of the head alone", SCALE, "mass of the new set"),
    row(Hammers, "end_weight", Grams, Some((0.5, 60.0)), E::Mass, "head on its shank resting on the scale, shank held level by its centre", SCALE, "mass of the new set"),
    row(Hammers, "shank_end", Grams, Some((0.0, 30.0)), E::Mass, "a bare shank weighed the same way", SCALE, "mass of the new set"),
    row(Hammers, "side_angle", Degrees, Some((-30.0, 30.0)), E::Rake, "head in plan: positive when the end away from the centre leans to the treble", BEVEL, "side angle"),
    row(Hammers, "splay", Degrees, Some((-45.0, 45.0)), E::Rake, "string in plan: positive when the end away from the centre leans to the treble", BEVEL, "side angle"),
    row(Hammers, "tilt", Degrees, Some((-15.0, 15.0)), E::Rake, "tilt about the shank", BEVEL, "clearance"),
    row(Hammers, "pitch", Millimetres, Some((5.0, 30.0)), E::Centre, "spacing of heads along the rail", CALIPER, "clearance"),
    row(Hammers, "width", Millimetres, Some((3.0, 20.0)), E::Bore, "head width at the crown", CALIPER, "clearance"),
    row(Hammers, "tail", Millimetres, Some((0.0, 50.0)), E::Bore, "hole axis to tail end", CALIPER, "tail"),
    row(Hammers, "hole", Millimetres, Some((2.0, 12.0)), E::None, "hole diameter", "pin gauges", "hole"),
    row(Hammers, "hole_kind", Choice(&["through", "blind"]), None, E::None, "whether the hole goes through", EYE, "hole"),
    row(Hammers, "shank", Millimetres, Some((2.0, 12.0)), E::Core, "shank diameter where the head sits", MICROMETER, "hole"),
    row(Hammers, "moulding", Millimetres, Some((5.0, 100.0)), E::Bore, "hole axis to moulding tip", CALIPER, "head"),
    row(Hammers, "head_length", Millimetres, Some((15.0, 150.0)), E::Bore, "overall height of the head", CALIPER, "head"),
    row(Hammers, "felt", Millimetres, Some((0.0, 30.0)), E::Bore, "felt left over the moulding", CALIPER, "hammers: keep or replace"),
    row(Hammers, "mark", Millimetres, Some((0.0, 40.0)), E::None, "length of the string marks", CALIPER, "hammers: keep or replace"),
    row(Hammers, "blow", Millimetres, Some((10.0, 80.0)), E::Centre, "blow distance", TAPE, "swing, blow after wear"),
    row(Hammers, "down", Grams, Some((5.0, 200.0)), E::None, "down weight at the key, dampers lifted", "gram weights", "touch"),
    row(Hammers, "up", Grams, Some((0.0, 150.0)), E::None, "up weight, dampers lifted", "gram weights", "touch"),
    row(Hammers, "clip", Grams, Some((0.2, 20.0)), E::None, "known mass clipped on the head to weigh the key again, 2 g say", SCALE, "key force per gram of head"),
    row(Hammers, "clip_down", Grams, Some((5.0, 300.0)), E::None, "down weight with it", "gram weights", "key force per gram of head"),
    row(Hammers, "clip_up", Grams, Some((0.0, 250.0)), E::None, "up weight with it", "gram weights", "key force per gram of head"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_readings_of_a_table_share_a_column() {
        for table in [Strings, Runs, Hammers] {
            let mut columns: Vec<_> = of_table(table).map(Reading::column).collect();
            let count = columns.len();
            columns.sort();
            columns.dedup();
            assert_eq!(columns.len(), count);
        }
    }
}
