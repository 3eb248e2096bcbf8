//! Faults of a survey: where, what was found, what was expected, what to write instead.

use super::source::{At, Spot};

macro_rules! kinds {
    ($($(#[$doc:meta])* $kind:ident = $id:literal;)*) => {
        /// What kind of fault it is.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FaultKind { $($(#[$doc])* $kind,)* }

        impl FaultKind {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$kind,)*];

            /// Its stable name, which machines may rely on.
            pub fn id(self) -> &'static str {
                match self { $(Self::$kind => $id,)* }
            }
        }
    };
}

kinds! {
    /// The text of `survey.toml` cannot be taken apart.
    BadToml = "bad_toml";
    /// A key that nobody reads.
    UnknownKey = "unknown_key";
    /// A key that is needed.
    MissingKey = "missing_key";
    /// Text where a number belongs, a list where a table belongs …
    WrongType = "wrong_type";
    /// None of the words that may stand here.
    UnknownWord = "unknown_word";
    /// A number without its unit.
    BareNumber = "bare_number";
    /// A unit of another kind of quantity.
    WrongUnit = "wrong_unit";
    /// No unit that we know.
    UnknownUnit = "unknown_unit";
    /// No number at all.
    NotANumber = "not_a_number";
    /// Infinite, or no number by name.
    NotFinite = "not_finite";
    /// An uncertainty below zero.
    NegativeUncertainty = "negative_uncertainty";
    /// Beats, and no word on which side of the reference.
    BeatsWithoutSign = "beats_without_sign";
    /// A comma as decimal point.
    DecimalComma = "decimal_comma";
    /// A value that no piano has.
    ImpossibleValue = "impossible_value";
    /// A format of the survey that this program does not know.
    UnknownFormat = "unknown_format";
    /// A year that cannot be.
    BadYear = "bad_year";
    /// An empty or overlong name, or one with hidden characters.
    BadName = "bad_name";
    /// No name of a note.
    NotANote = "not_a_note";
    /// A note that no keyboard has.
    NoteOutsideKeyboard = "note_outside_keyboard";
    /// A note outside the instrument's compass.
    NoteOutsideCompass = "note_outside_compass";
    /// A second row for one note.
    NoteTwice = "note_twice";
    /// First and last note the wrong way round.
    Reversed = "reversed";
    /// Two sections hold one note.
    SectionOverlap = "section_overlap";
    /// Sections that fill the compass, but stand in another order.
    SectionOrder = "section_order";
    /// A note that no section holds.
    SectionGap = "section_gap";
    /// Two sections of one name.
    SectionTwice = "section_twice";
    /// No section of that name.
    UnknownSection = "unknown_section";
    /// The wire of one section described twice.
    WireStateTwice = "wire_state_twice";
    /// The last wound note lies outside its section.
    WoundToOutside = "wound_to_outside";
    /// A winding above the last wound note.
    WoundToDisagrees = "wound_to_disagrees";
    /// String counts that do not rise from bass to treble.
    CountsOutOfOrder = "counts_out_of_order";
    /// Two notes that are no neighbours, or no break between them.
    NotABreak = "not_a_break";
    /// No material of that name.
    UnknownMaterial = "unknown_material";
    /// A material of a name that is taken.
    MaterialTwice = "material_twice";
    /// A material without Young's modulus as wire.
    MaterialWithoutModulus = "material_without_modulus";
    /// No strength series of that name.
    UnknownStrength = "unknown_strength";
    /// No music wire number.
    BadGauge = "bad_gauge";
    /// A music wire number, and no word of its series.
    GaugeWithoutSeries = "gauge_without_series";
    /// A music wire number beside a diameter that it does not have.
    GaugeDisagrees = "gauge_disagrees";
    /// A file name that leads out of the survey's folder.
    PathEscape = "path_escape";
    /// A file that is not there.
    MissingFile = "missing_file";
    /// A file beyond the size limit.
    FileTooLarge = "file_too_large";
    /// A file that the system will not give.
    UnreadableFile = "unreadable_file";
    /// A file in another encoding than UTF-8.
    NotUtf8 = "not_utf8";
    /// A table in a format that is not read.
    UnknownTableFormat = "unknown_table_format";
    /// A spreadsheet that cannot be taken apart.
    BadSpreadsheet = "bad_spreadsheet";
    /// A spreadsheet with no one sheet that is meant.
    WhichSheet = "which_sheet";
    /// A cell that the spreadsheet took for a date.
    DateInCell = "date_in_cell";
    /// A cell that shows the spreadsheet's own fault.
    ErrorInCell = "error_in_cell";
    /// A formula whose result was never worked out.
    FormulaWithoutResult = "formula_without_result";
    /// One reading in a merged cell of several notes.
    MergedCells = "merged_cells";
    /// A key number that is not its note's.
    KeyDisagrees = "key_disagrees";
    /// A table and rows at once.
    TableAndRows = "table_and_rows";
    /// A table without rows.
    EmptyTable = "empty_table";
    /// A table beyond the limit of rows.
    TooManyRows = "too_many_rows";
    /// A table beyond the limit of columns.
    TooManyColumns = "too_many_columns";
    /// A row with more or fewer cells than the head.
    WrongCellCount = "wrong_cell_count";
    /// A quotation mark that is not closed.
    OpenQuote = "open_quote";
    /// A column that nobody reads.
    UnknownColumn = "unknown_column";
    /// A column head without its unit.
    ColumnWithoutUnit = "column_without_unit";
    /// A column that is needed.
    MissingColumn = "missing_column";
    /// One reading in two columns.
    ColumnTwice = "column_twice";
    /// A second head below the first.
    SecondHead = "second_head";
    /// A cell that is needed.
    MissingCell = "missing_cell";
    /// A diameter over the winding no larger than what lies under it.
    OverSmallerThanCore = "over_smaller_than_core";
    /// Bare ends that leave no room for a winding.
    BareEndsTooLong = "bare_ends_too_long";
    /// A strike point beyond the string.
    StrikeBeyondString = "strike_beyond_string";
    /// Readings of a winding on a string that has none.
    WindingWithoutOver = "winding_without_over";
    /// Two runs of wire hold one note.
    RunOverlap = "run_overlap";
    /// One reading of two that only mean something together.
    HalfReading = "half_reading";
    /// Readings of a grand on an upright.
    GrandReadingOnUpright = "grand_reading_on_upright";
    /// A hole that its shank cannot enter.
    HoleSmallerThanShank = "hole_smaller_than_shank";
    /// No limit of that name.
    UnknownLimit = "unknown_limit";
    /// A logo that is no PNG.
    BadLogo = "bad_logo";
}

/// One fault: where, what was found, what was expected, what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What kind.
    pub kind: FaultKind,
    /// Where.
    pub spot: Spot,
    /// What is wrong, in one line.
    pub title: String,
    /// What was found there.
    pub found: String,
    /// What was expected.
    pub expected: String,
    /// What to write, or do, instead.
    pub remedy: String,
    /// Text to write in place of the marked text, where there is only one choice.
    pub fix: Option<String>,
    /// A second place that belongs to it, and what is there.
    pub also: Option<(Spot, String)>,
    /// Further cells of the same column with the same fault and remedy.
    pub more: Vec<Spot>,
}

impl Fault {
    pub(super) fn new(kind: FaultKind, at: &At, title: impl Into<String>) -> Self {
        Self::at(kind, at.spot(), title)
    }

    pub(super) fn at(kind: FaultKind, spot: Spot, title: impl Into<String>) -> Self {
        Self {
            kind,
            spot,
            title: title.into(),
            found: String::new(),
            expected: String::new(),
            remedy: String::new(),
            fix: None,
            also: None,
            more: Vec::new(),
        }
    }

    /// What a fault in another cell of the same column with the same way out has in common with this one; none
    /// where there is only one such fault.
    pub(super) fn likeness(&self) -> Option<Likeness> {
        let column = self.spot.cell.as_deref()?.trim_end_matches(|c: char| c.is_ascii_digit());
        let spot = &self.spot;
        // What is expected of one reading beside another names that other, and differs from row to row.
        let beside = matches!(
            self.kind,
            FaultKind::OverSmallerThanCore
                | FaultKind::StrikeBeyondString
                | FaultKind::HoleSmallerThanShank
        );
        let expected = if beside { String::new() } else { self.expected.clone() };
        (self.fix.is_none() && self.also.is_none()).then(|| Likeness {
            kind: self.kind,
            table: (spot.file.clone(), spot.sheet.clone()),
            column: column.to_owned(),
            ways: (expected, self.remedy.clone()),
        })
    }

    pub(super) fn found(mut self, found: impl Into<String>) -> Self {
        self.found = found.into();
        self
    }

    pub(super) fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = expected.into();
        self
    }

    pub(super) fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }

    pub(super) fn fix(mut self, fix: impl Into<String>) -> Self {
        self.fix = Some(fix.into());
        self
    }

    pub(super) fn also(mut self, at: &At, what: impl Into<String>) -> Self {
        self.also = Some((at.spot(), what.into()));
        self
    }
}

/// What faults have in common that are shown as one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Likeness {
    kind: FaultKind,
    table: (String, Option<String>),
    column: String,
    /// What was expected, and the remedy.
    ways: (String, String),
}

/// All the faults of a survey, in the order of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults {
    /// The faults, `survey.toml` first; never empty.
    pub list: Vec<Fault>,
    /// How many more there are than the list holds.
    pub beyond: usize,
    /// In what they were found: "survey".
    pub of: &'static str,
}

impl Faults {
    /// The most faults that are kept.
    pub const MOST: usize = 1000;

    /// How many there are, those that are shown with another of their column among them.
    pub fn count(&self) -> usize {
        self.list.iter().map(|fault| 1 + fault.more.len()).sum()
    }
}
