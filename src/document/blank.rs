//! An empty survey: the text of its `survey.toml`, and its tables with their heads and the planned notes.

use super::csv;
use crate::instrument::Kind;
use crate::instrument::reading::{Reading, Table, of_table};
use crate::judgement::plan::{Depth, Plan};
use crate::measure::{Compass, Note};
use std::fmt::Write as _;

/// What is known of a piano before anything is measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blank {
    /// What it is called.
    pub name: String,
    /// Upright or grand.
    pub kind: Kind,
    /// Lowest and highest note.
    pub compass: Compass,
    /// Its sections, bass to treble.
    pub sections: Vec<(String, Compass)>,
    /// The last wound note.
    pub wound_to: Note,
    /// How deep the survey shall go.
    pub depth: Depth,
}

/// The workbook's name, as `survey.toml` names it.
pub const WORKBOOK: &str = "readings.xlsx";

/// The tables of an empty survey: name of the sheet, name of the CSV file, and which it is.
pub const TABLES: [(&str, &str, Table); 3] = [
    ("Strings", "strings.csv", Table::Strings),
    ("Runs", "runs.csv", Table::Runs),
    ("Hammers", "hammers.csv", Table::Hammers),
];

/// The text of `survey.toml`, commented.
pub fn survey_toml(blank: &Blank) -> String {
    let kind = kind_word(blank.kind);
    let (first, last) = (blank.compass.first, blank.compass.last);
    let name = quoted(&blank.name);
    let mut text = format!(
        "# The survey of one piano. Lines that begin with # are not read: take the # away to use one.\n\
         # Quantities are text with their unit: \"980 mm\", \"38 5/8 in\", \"5.5 N m\".\n\
         format = 1\n\n\
         [instrument]\n\
         name    = {name}\n\
         kind    = \"{kind}\"\n\
         compass = [\"{first}\", \"{last}\"]\n\
         pitch   = \"440 Hz\"                 # where A4 is to stand when the work is done\n\
         # found = {{ note = \"A4\", offset = \"-20 cents\" }}   # how it stands now; \"-8 beats\", \"432 Hz\"\n\
         # serial = \"12345\"\n\
         # built = 1925\n\n\
         # [reading_error]                  # one standard deviation of what your tools read, where other than:\n\
         # length = \"0.2 mm + 0.1 %\"\n\
         # core   = \"0.005 mm\"\n\
         # over   = \"0.03 mm\"\n\n\
         [wire]\n\
         plain = \"steel-modern\"           # or \"iron-historic\", \"steel-replica-a\", \"steel-replica-b\"\n\
         core  = \"steel-modern\"           # the same of wound strings\n\
         wrap  = \"copper\"                 # or \"iron\", \"brass\", \"bronze\", \"aluminium\"\n\
         # gauge = \"inch\"                  # series of the wire numbers in the tables: \"inch\" or \"metric\"\n"
    );
    for (name, notes) in &blank.sections {
        let _ = write!(
            text,
            "\n[[section]]\nname  = {}\nnotes = [\"{}\", \"{}\"]\n",
            quoted(name),
            notes.first,
            notes.last
        );
        if notes.contains(blank.wound_to) {
            let _ = writeln!(
                text,
                "wound_to = \"{}\"                # its last wound note",
                blank.wound_to
            );
        }
        text.push_str(&counts(blank, *notes));
        text.push_str(
            "# strung = \"original\"             # a year, \"original\" or \"unknown\"\n\
             # found = \"-30 cents\"              # this section's own pitch as found\n",
        );
    }
    let _ = write!(
        text,
        "\n[strings]\n\
         table = \"{WORKBOOK}\"          # its sheet Strings; or \"strings.csv\"\n"
    );
    if blank.depth == Depth::Look {
        let _ = writeln!(text, "# runs = \"{WORKBOOK}\"         # its sheet Runs; or \"runs.csv\"");
    } else {
        let _ = writeln!(
            text,
            "runs  = \"{WORKBOOK}\"          # its sheet Runs; take the line out with \"runs.csv\" unused"
        );
    }
    if blank.depth == Depth::Order {
        let _ = write!(
            text,
            "\n[hammers]\n\
             table = \"{WORKBOOK}\"          # its sheet Hammers; or \"hammers.csv\"\n\
             heights_measured = \"old strings\"   # or \"new strings\"\n\
             # allowance = \"0.5 mm\"           # felt added to the bore for later filing\n"
        );
    }
    text.push_str(EVIDENCE);
    text.push_str(&heard(blank));
    text.push_str(PAPERS);
    text
}

/// The comment on the strings in the unison of one section: an example, and where it is needed.
fn counts(blank: &Blank, notes: Compass) -> String {
    let key = |by: u8| notes.first.step(i32::from(by)).filter(|note| *note <= notes.last);
    let (first, after) = (notes.first, blank.wound_to.step(1));
    let list = match (blank.wound_to >= first, key(10)) {
        (true, Some(pairs)) if first == blank.compass.first => {
            format!("1 = \"{first}\", 2 = \"{pairs}\"")
        }
        (true, _) => match after.filter(|after| notes.contains(*after)) {
            Some(after) => format!("2 = \"{first}\", 3 = \"{after}\""),
            None => format!("2 = \"{first}\""),
        },
        (false, _) => format!("3 = \"{first}\""),
    };
    format!(
        "# counts = {{ {list} }}   # each number of strings with its first note, where few rows say it\n"
    )
}

/// The comment on what is heard at the first break, and how to write it of the others.
fn heard(blank: &Blank) -> String {
    let Some([(_, below), (_, above)]) = blank.sections.get(..2) else { return String::new() };
    format!(
        "\n# [[break]]                          # one for each break listened to\n\
         # between = [\"{}\", \"{}\"]\n\
         # heard = \"slight\"                   # \"even\", \"slight\" or \"plain\"\n",
        below.last, above.first
    )
}

/// What the room is like, and whose papers these are.
const PAPERS: &str = "
# [climate]                          # the room when it was measured
# temperature = \"20 °C\"
# humidity = \"50 %\"

# [shop]                             # whose papers these are: the address that orders are sent to
# name    = \"Birch Lane Piano Workshop\"
# address = [\"2 Birch Lane\", \"Netherby\"]
# contact = \"workshop@example.org\"
";

/// What is seen and felt, each line to be filled in.
const EVIDENCE: &str = "
[condition]                          # \"sound\", \"doubtful\", \"failed\" or \"not looked at\"
plate      = \"not looked at\"
block      = \"not looked at\"
frame      = \"not looked at\"         # the wooden back: posts and beams
bearing    = \"not looked at\"
bridges    = \"not looked at\"
soundboard = \"not looked at\"

# [[pins]]                           # a dozen torques, tightening, over each region of the block
# region = \"bass\"                    # what you call this part of the block
# torque = [\"6.2 N m\", \"5.8 N m\"]
# pin    = \"7.00 mm\"                 # its diameter

# [[wire_state]]                     # one for each section; rust: 0 none, 1 tarnish, 2 light rust, 3 pitting
# section = \"bass\"
# rust = { coils = 1, length = 0, bridge = 0 }
# tone = [\"clear\", \"dull\", \"clear\"]   # every second wound string: clear, dull or dead

# [[broken]]                         # one for each string known to have broken
# note  = \"A4\"
# where = \"coil\"                     # \"coil\", \"bearing\", \"bridge\", \"hitch\" or \"length\"
# when  = \"tuning\"                   # or \"playing\"
# year  = 2020

# [use]
# kind = \"home\"                      # \"home\", \"teaching\" or \"concert\"
# guarantee_years = 5                # what is asked for
";

fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Upright => "upright",
        Kind::Grand => "grand",
    }
}

/// Text in quotation marks, as TOML wants it.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The readings of `table` that a survey of this depth and kind takes, in the order of the dictionary.
pub fn columns(table: Table, blank: &Blank) -> Vec<&'static Reading> {
    let order = blank.depth == Depth::Order;
    let wanted: &[&str] = match table {
        Table::Strings if order => &[
            "note",
            "strings",
            "length_mm",
            "core_mm",
            "core_gauge",
            "core_shape",
            "over_mm",
            "wrap_mm",
            "bare_front_mm",
            "bare_back_mm",
            "strike_mm",
            "back_mm",
            "front_mm",
            "loop",
        ],
        Table::Strings => &[
            "note",
            "strings",
            "length_mm",
            "core_mm",
            "core_gauge",
            "over_mm",
            "bare_front_mm",
            "bare_back_mm",
        ],
        Table::Runs => &["from", "to", "strings", "core_mm", "core_gauge"],
        Table::Hammers => &[
            "note",
            "shank_to_string_mm",
            "shank_offset_mm",
            "centre_to_head_mm",
            "rake_deg",
            "bore_mm",
            "flat_mm",
            "crown_radius_mm",
            "outline_mm",
            "outline_depth_mm",
            "filed",
            "head_mass_g",
            "side_angle_deg",
            "splay_deg",
            "pitch_mm",
            "width_mm",
            "tail_mm",
            "hole_mm",
            "hole_kind",
            "shank_mm",
            "moulding_mm",
            "head_length_mm",
            "felt_mm",
            "mark_mm",
            "blow_mm",
            "down_g",
            "up_g",
        ],
    };
    of_table(table).filter(|reading| wanted.contains(&reading.column().as_str())).collect()
}

/// The notes that `table` is begun with.
pub fn notes(table: Table, plan: &Plan) -> &[Note] {
    match table {
        Table::Strings => &plan.strings,
        Table::Hammers => &plan.hammers,
        Table::Runs => &[],
    }
}

/// A table as CSV: its heads, and a row for each planned note.
pub fn table_csv(table: Table, blank: &Blank, plan: &Plan) -> String {
    let columns = columns(table, blank);
    let heads: Vec<String> =
        columns.iter().map(|reading| reading.column()).chain(["remark".to_owned()]).collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let row = |note: &Note| {
        let mut row = vec![csv::Cell::Text(note.to_string())];
        row.resize(heads.len(), csv::Cell::Empty);
        row
    };
    let rows: Vec<Vec<csv::Cell>> = notes(table, plan).iter().map(row).collect();
    csv::table(&heads, &rows)
}

/// The workbook: a sheet for each table, each head saying what it is and with what it is read.
#[cfg(feature = "sheet")]
pub fn workbook(
    blank: &Blank,
    plan: &Plan,
    date: super::Date,
) -> Result<Vec<u8>, super::xlsx::XlsxFault> {
    use super::xlsx::{self, Entry, Head, Made, Sheet};
    let sheet = |(name, _, table): (&str, &str, Table)| {
        let columns = columns(table, blank);
        let mut heads: Vec<Head> = columns
            .iter()
            .map(|reading| Head {
                name: reading.column(),
                about: Some(format!("{}. Tool: {}.", reading.sense, reading.tool)),
            })
            .collect();
        heads.push(Head { name: "remark".to_owned(), about: None });
        let row = |note: &Note| {
            let mut row = vec![Entry::Text(note.to_string())];
            row.resize(heads.len(), Entry::Empty);
            row
        };
        let rows = notes(table, plan).iter().map(row).collect();
        Sheet { name: name.to_owned(), rows, heads }
    };
    let sheets: Vec<Sheet> = TABLES.into_iter().map(sheet).collect();
    xlsx::workbook(&sheets, Made { title: &blank.name, date })
}
