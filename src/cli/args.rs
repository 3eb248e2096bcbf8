//! The command line, each option defined once.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use clap::{Parser, Subcommand, ValueHint};
use feltwire::document::Date;
use feltwire::document::plots::Which;
use feltwire::document::typeset::Paper;
use feltwire::instrument::Kind;
use feltwire::judgement::FindingKind;
use feltwire::judgement::plan::Depth;
use feltwire::measure::text::parse;
use feltwire::measure::{Compass, Note, NoteFault, ThermodynamicTemperature, to_celsius};
use feltwire::report::{Name, Prefer};
use std::path::PathBuf;

/// Reads the measurements of one piano and works out what its strings and hammers are, what may stay
/// and what must go, and what to order.
#[derive(Debug, Parser)]
#[command(name = "feltwire", version, max_term_width = 100, arg_required_else_help = true)]
#[command(after_help = "Examples:
  feltwire check examples/upright
  feltwire scale examples/upright
  feltwire explain bore
  feltwire packet examples/upright -o out

Exit status: 0 done, 1 the survey is at fault, 2 the command line is wrong, 3 something could not be
read or written, 130 interrupted, 101 a bug in the program.")]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Make an empty survey: its tables, and the sheet to print and measure by.
    New(New),
    /// Say what a survey holds, what it lacks, and what each missing reading would allow.
    Check(Read),
    /// The strings, note by note: tension, load, inharmonicity, each with its ±.
    Scale(Scale),
    /// The breaks: where they lie, and how far each figure steps there.
    Breaks(Breaks),
    /// Keep or restring, section by section; pins; hammers; with the finding that decides.
    Decide(Decide),
    /// The hammers, note by note: bore, angles, mass; the samples against the heights.
    Hammers(Hammers),
    /// How the piano could be strung anew: alternatives side by side, and what each gives up.
    Restring(Restring),
    /// The order of strings: wound strings line by line, plain wire by size, tuning pins.
    Strings(Strings),
    /// The limits by which things are judged, each with its source.
    Limits(LimitsOf),
    /// What a word means: a term of the trade, a column of a survey's tables, a limit.
    Explain(Explain),
    /// The completions of a shell, to be sourced by it.
    Completions(Completions),
    /// The manual page of the program, in roff.
    Manual,
    /// Every figure of the result in a workbook for a spreadsheet, units in the heads.
    Table(Table),
    /// One plot as SVG or PNG.
    Plot(Plot),
    /// Every paper for the bench, into one folder.
    Packet(Packet),
}

/// Options of `new`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example, an upright of three sections:
  feltwire new piano --kind upright --section bass=A0-E3 --section tenor=F3-B4 \\
    --section treble=C5-C8 --wound-to G#2 --depth order")]
pub struct New {
    /// The folder to make; it must not exist, or be empty.
    #[arg(value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub folder: PathBuf,
    /// Upright or grand.
    #[arg(long, value_parser = kind())]
    pub kind: Kind,
    /// What the piano is called; the folder's name when left out.
    #[arg(long)]
    pub name: Option<String>,
    /// Lowest and highest note.
    #[arg(long, value_name = "FIRST-LAST", default_value = "A0-C8", value_parser = notes)]
    pub compass: Compass,
    /// One section from break to break, bass to treble; once for each. Left out: usual ones, to be corrected.
    #[arg(long, value_name = "NAME=FIRST-LAST", value_parser = section)]
    pub section: Vec<(String, Compass)>,
    /// The last wound note; that of the first section when left out.
    #[arg(long, value_name = "NOTE", value_parser = note)]
    pub wound_to: Option<Note>,
    /// How deep: look (half an hour), decide (an hour and a half), order (three to four hours).
    #[arg(long, default_value = "decide", value_parser = depth())]
    pub depth: Depth,
    /// Paper size.
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = paper())]
    pub paper: Paper,
    /// The date on the sheet, as 2026-11-25; today when left out.
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub date: Option<Date>,
}

/// How a command prints: in words when nothing is asked.
#[derive(Debug, clap::Args)]
pub struct Form {
    /// Print one JSON object for other programs.
    #[arg(long, group = "for_programs")]
    pub json: bool,
    /// Print one list of that object as CSV, its keys as heads: the main list, or the one that is named
    /// (a name that is not there is answered by those that are).
    #[arg(
        long,
        group = "for_programs",
        value_name = "LIST",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = ""
    )]
    pub csv: Option<String>,
}

impl Form {
    /// Whether anything but words is asked for.
    pub fn is_for_programs(&self) -> bool {
        self.json || self.csv.is_some()
    }
}

/// A command that prints.
#[derive(Debug, clap::Args)]
pub struct Read {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
}

/// Options of `hammers`.
#[derive(Debug, clap::Args)]
pub struct Hammers {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// A sheet in place of the figures: what to check when the heads arrive.
    #[arg(long, value_name = "SHEET", value_enum)]
    pub sheet: Option<HammerSheet>,
    /// Judge the heads that arrived: a table with the columns of the hammers table, one row a head.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, conflicts_with = "sheet")]
    pub received: Option<PathBuf>,
}

/// A sheet of `hammers`.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum HammerSheet {
    /// The check on arrival, with the tolerance of each measurement.
    Receive,
}

/// Options of `decide`.
#[derive(Debug, clap::Args)]
pub struct Decide {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// The whole chain that leads to the findings of one kind, with limits and sources.
    #[arg(long, value_name = "FINDING", value_parser = finding(), conflicts_with = "for_programs")]
    pub explain: Option<FindingKind>,
}

/// Options of `restring`.
#[derive(Debug, clap::Args)]
#[command(after_help = "A survey may say what can be bought and what is wished:
  [stock]
  gauge       = \"inch\"                       series of music wire
  plain       = [13, 13.5, 14]               sizes that the merchant holds
  core        = [15, 16, 17]                 core wire of the string maker
  winding     = [\"0.20 mm\", \"0.25 mm\"]     winding wire of the string maker
  core_shapes = [\"round\", \"hex\"]
  [strings]
  restring    = [\"bass\"]                   sections that go beside those that `decide` names; or \"all\"
  [rescale]
  choose      = \"smooth\"                     the alternative that is ordered
  line        = [{ note = \"A0\", tension = \"950 N\" }, { note = \"C8\", tension = \"620 N\" }]")]
pub struct Restring {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// One alternative, note by note.
    #[arg(long, value_name = "NAME", value_parser = alternative(),
        conflicts_with = "for_programs")]
    pub of: Option<Name>,
    /// The whole piano, as if every string went; else the strings that `decide` leaves are held as found.
    #[arg(long)]
    pub all: bool,
    /// What shall count for more or less, as factors of the usual weights: breaks=2,sizes=0.5 (even,
    /// breaks, old, sizes, tension, inharmonicity, impedance, load).
    #[arg(long, value_name = "WEIGHTS", value_parser = Prefer::parse)]
    pub prefer: Option<Prefer>,
}

/// Options of `strings`.
#[derive(Debug, clap::Args)]
pub struct Strings {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// What to print: the order, or the sheet for the bench.
    #[arg(long, value_name = "SHEET", value_enum, default_value_t = Sheet::Order,
        conflicts_with = "for_programs")]
    pub sheet: Sheet,
    /// Every string of the piano, whatever is advised.
    #[arg(long)]
    pub all: bool,
    /// The alternative to order, in place of the one that the survey chooses.
    #[arg(long, value_name = "NAME", value_parser = alternative())]
    pub of: Option<Name>,
}

/// What of an order of strings is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Sheet {
    /// For the string maker and the wire merchant.
    Order,
    /// For the bench: every wire as it is cut.
    Stringing,
}

/// Options of `limits`.
#[derive(Debug, clap::Args)]
pub struct LimitsOf {
    /// A survey whose own limits shall stand in place of ours.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: Option<PathBuf>,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
}

/// Options of `scale`.
#[derive(Debug, clap::Args)]
pub struct Scale {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// The whole calculation of one note: formulas, numbers, sources, and where the ± comes from.
    #[arg(long, value_name = "NOTE", value_parser = note)]
    pub explain: Option<Note>,
    /// 5 and 95 % of every figure from so many draws of all readings, in place of its ±.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(100..=1_000_000))]
    pub draws: Option<u32>,
    /// What this temperature, as "22 degC", does to strings tuned at `--tuned-at`.
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, conflicts_with = "explain")]
    pub at: Option<ThermodynamicTemperature>,
    /// The temperature at which it was tuned; else the survey's own, under `[climate]`.
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, requires = "at")]
    pub tuned_at: Option<ThermodynamicTemperature>,
}

/// Options of `breaks`.
#[derive(Debug, clap::Args)]
pub struct Breaks {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
    /// Every quantity at every break, what the tuner will hear there, and how evenly the scale runs.
    #[arg(long)]
    pub detail: bool,
}

/// Options of `explain`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  feltwire explain
  feltwire explain bearing
  feltwire explain bare_front_mm
  feltwire explain pin_loose")]
pub struct Explain {
    /// The word; every word there is when left out.
    #[arg(num_args = 0..)]
    pub term: Vec<String>,
    /// How it is printed.
    #[command(flatten)]
    pub form: Form,
}

/// Options of `completions`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  feltwire completions bash > ~/.local/share/bash-completion/completions/feltwire
  feltwire completions fish | source")]
pub struct Completions {
    /// For which shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// Options of `table`.
#[derive(Debug, clap::Args)]
pub struct Table {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// The file to write, ending in .xlsx.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub output: PathBuf,
    /// The date that the file carries, as 2026-11-25; today when left out.
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub date: Option<Date>,
}

/// Options of `plot`.
#[derive(Debug, clap::Args)]
pub struct Plot {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// Which plot; breaks are numbered from the bass.
    #[arg(long, value_name = "PLOT", default_value = "tension", value_parser = which())]
    pub of: Which,
    /// The file to write; its ending (.svg or .png) says what.
    #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub output: PathBuf,
}

/// Options of `packet`.
#[derive(Debug, clap::Args)]
pub struct Packet {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// The folder to write; replaced as a whole when it holds an earlier packet.
    #[arg(short, long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub output: PathBuf,
    /// The date on the papers, as 2026-11-25; today when left out.
    #[arg(long, value_name = "DATE")]
    pub date: Option<String>,
    /// Paper size.
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = paper())]
    pub paper: Paper,
    /// Inches beside millimetres.
    #[arg(long)]
    pub also_inches: bool,
    /// Replace papers of an earlier packet that were changed since.
    #[arg(long)]
    pub force: bool,
}

/// A temperature of a room, or what to write in its place.
fn temperature(text: &str) -> Result<ThermodynamicTemperature, String> {
    let read = parse::<ThermodynamicTemperature>(text).map_err(|_| {
        "not a temperature; write it with its unit, as \"22 degC\" or \"72 degF\"".to_owned()
    })?;
    let celsius = to_celsius(read.value);
    if (-40.0..=60.0).contains(&celsius) {
        Ok(read.value)
    } else {
        Err("no temperature of a room with a piano, -40 to 60 °C".to_owned())
    }
}

/// Upright or grand.
fn kind() -> impl TypedValueParser<Value = Kind> {
    PossibleValuesParser::new(["upright", "grand"])
        .map(|name| if name == "grand" { Kind::Grand } else { Kind::Upright })
}

/// How deep a survey goes.
fn depth() -> impl TypedValueParser<Value = Depth> {
    PossibleValuesParser::new(["look", "decide", "order"]).map(|name| match name.as_str() {
        "look" => Depth::Look,
        "order" => Depth::Order,
        _ => Depth::Decide,
    })
}

/// First and last note of a run.
fn notes(text: &str) -> Result<Compass, String> {
    let wrong = || format!("`{text}` is no run of notes; write it as A0-C8, the lower note first");
    let (first, last) = text.split_once(['-', '–']).ok_or_else(wrong)?;
    let (first, last) = (note(first)?, note(last)?);
    if first <= last { Ok(Compass { first, last }) } else { Err(wrong()) }
}

/// A section by name and notes.
fn section(text: &str) -> Result<(String, Compass), String> {
    let wrong = || format!("`{text}` is no section; write it as bass=A0-E3");
    let (name, run) = text.split_once('=').ok_or_else(wrong)?;
    if name.trim().is_empty() {
        return Err(wrong());
    }
    Ok((name.trim().to_owned(), notes(run)?))
}

/// A date, or what to write in its place.
fn date(text: &str) -> Result<Date, &'static str> {
    Date::parse(text).ok_or("not a date; write it as year-month-day, such as 2026-11-25")
}

/// A note, or what to write in its place.
fn note(text: &str) -> Result<Note, &'static str> {
    Note::parse(text).map_err(|fault| match fault {
        NoteFault::NotANote => "not a note; write it as C4, F#2 or Bb3",
        NoteFault::OutsideKeyboard => "outside the keyboard, which goes from A0 to C8",
    })
}

/// The plots by the names of their files; of the breaks the first stands for all in the help.
fn which() -> impl TypedValueParser<Value = Which> {
    let breaks = Which::breaks().enumerate();
    let breaks = breaks.map(|(i, which)| PossibleValue::new(which.name()).hide(i > 0));
    let all = Which::ALL.into_iter().chain(Which::RESTRING);
    let all = all.map(|which| PossibleValue::new(which.name()));
    PossibleValuesParser::new(all.chain(breaks)).map(|name| {
        let mut every = Which::ALL.into_iter().chain(Which::RESTRING).chain(Which::breaks());
        every.find(|which| which.name() == name).unwrap_or(Which::Tension)
    })
}

/// The papers.
fn paper() -> impl TypedValueParser<Value = Paper> {
    PossibleValuesParser::new(["a4", "letter"])
        .map(|name| if name == "letter" { Paper::Letter } else { Paper::A4 })
}

/// The alternatives by their names.
fn alternative() -> impl TypedValueParser<Value = Name> {
    PossibleValuesParser::new(Name::ALL.map(Name::key))
        .map(|key| Name::ALL.into_iter().find(|name| name.key() == key).unwrap_or(Name::Copy))
}

/// The kinds of findings by their names.
fn finding() -> impl TypedValueParser<Value = FindingKind> {
    PossibleValuesParser::new(FindingKind::ALL.map(FindingKind::name)).map(|name| {
        FindingKind::ALL.into_iter().find(|kind| kind.name() == name).unwrap_or(FindingKind::Load)
    })
}
