//! In what a limit is written, and on what it rests.

/// In what a limit is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitUnit {
    /// Percent.
    Percent,
    /// A ratio, 1.5 being half as much again.
    Ratio,
    /// A chance between 0 and 1.
    Chance,
    /// Standard deviations.
    Deviations,
    /// Cents.
    Cents,
    /// Newton metres.
    NewtonMetres,
    /// Millimetres.
    Millimetres,
    /// Grams.
    Grams,
    /// Degrees.
    Degrees,
    /// Years.
    Years,
    /// Half sizes of wire.
    HalfSizes,
    /// How many.
    Count,
    /// So many a year.
    PerYear,
    /// So many a second.
    PerSecond,
    /// A grade of rust, 0 to 3.
    Grade,
    /// Money, in the survey's currency.
    Money,
}

impl LimitUnit {
    /// As printed behind the value.
    pub fn text(self) -> &'static str {
        match self {
            Self::Percent => "%",
            Self::Ratio => "×",
            Self::Chance => "chance",
            Self::Deviations => "sd",
            Self::Cents => "cents",
            Self::NewtonMetres => "N m",
            Self::Millimetres => "mm",
            Self::Grams => "g",
            Self::Degrees => "°",
            Self::Years => "years",
            Self::HalfSizes => "half sizes",
            Self::Count => "",
            Self::PerYear => "a year",
            Self::PerSecond => "a second",
            Self::Grade => "grade",
            Self::Money => "money",
        }
    }

    /// Whether `value` makes sense in this unit.
    pub(super) fn allows(self, value: f64) -> bool {
        let at_least = if self == Self::Ratio { 1.0 } else { 0.0 };
        let at_most = if self == Self::Chance { 1.0 } else { f64::MAX };
        (at_least..=at_most).contains(&value)
    }

    /// What it allows, in words.
    pub(super) fn range(self) -> &'static str {
        match self {
            Self::Ratio => "a ratio of 1 or more",
            Self::Chance => "a chance between 0 and 1",
            _ => "a number of 0 or more",
        }
    }
}

/// On what a limit rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitSource {
    /// Common practice of the trade, no source.
    CommonPractice,
    /// Our proposal.
    Proposal,
    /// A publication.
    Source(&'static str),
    /// The survey sets it.
    Survey,
}

impl LimitSource {
    /// As printed beside the limit.
    pub fn text(self) -> &'static str {
        match self {
            Self::CommonPractice => "common practice",
            Self::Proposal => "proposal",
            Self::Source(source) => source,
            Self::Survey => "set by the survey",
        }
    }
}
