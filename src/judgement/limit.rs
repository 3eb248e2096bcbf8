//! Every threshold of the program, in one table: what it is, in which unit, and on what it rests.
//!
//! No other file holds a threshold. A survey sets any of them by name under `[limits]`, in the
//! limit's own unit; the one that it sets is marked, and the assessment shows it.
//!
//! To add a limit, add a row to the table below: variant, name in a survey, value, unit, source, and
//! what it is. Names are stable: surveys rely on them.

use crate::instrument::{About, LimitOverride, Warning};
use crate::measure::number;
use crate::sentence;

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
    /// Degrees.
    Degrees,
    /// Years.
    Years,
    /// How many.
    Count,
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
            Self::Degrees => "°",
            Self::Years => "years",
            Self::Count => "",
        }
    }

    /// Whether `value` makes sense in this unit.
    fn allows(self, value: f64) -> bool {
        let at_least = if self == Self::Ratio { 1.0 } else { 0.0 };
        let at_most = if self == Self::Chance { 1.0 } else { f64::MAX };
        (at_least..=at_most).contains(&value)
    }

    /// What it allows, in words.
    fn range(self) -> &'static str {
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

/// One threshold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Which.
    pub key: LimitKey,
    /// Its name in a survey.
    pub name: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// In what it is written.
    pub unit: LimitUnit,
    /// What it is.
    pub about: &'static str,
    /// On what it rests.
    pub source: LimitSource,
    /// Our own value, where the survey has set another.
    pub instead_of: Option<f64>,
}

macro_rules! limits {
    ($($key:ident, $name:literal, $value:expr, $unit:ident, $source:expr, $about:literal;)*) => {
        /// The limits by key.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum LimitKey {
            $(#[doc = $about] $key,)*
        }

        /// Our own limits, in the order of the keys.
        const OURS: &[Limit] = &[$(
            Limit {
                key: LimitKey::$key,
                name: $name,
                value: $value,
                unit: LimitUnit::$unit,
                about: $about,
                source: $source,
                instead_of: None,
            },
        )*];
    };
}

use LimitSource::Proposal;

#[rustfmt::skip]
limits! {
    // Breaks: the larger side over the smaller, whichever way the step goes.
    BreakTension, "break_tension", 10.0, Percent, Proposal, "step of tension at a break, per string";
    BreakStress, "break_stress", 10.0, Percent, Proposal, "step of stress at a break, per string";
    BreakLoad, "break_load", 10.0, Percent, Proposal, "step of load at a break, per string";
    BreakInharmonicity, "break_inharmonicity", 1.5, Ratio, Proposal, "step of inharmonicity at a break, per string";
    BreakDrift, "break_drift", 25.0, Percent, Proposal, "step of drift with the seasons at a break, per string";
    BreakImpedance, "break_impedance", 15.0, Percent, Proposal, "step of impedance at a break, per unison";
    BreakMassRatio, "break_mass_ratio", 15.0, Percent, Proposal, "step of hammer mass over string mass at a break, per unison";
    BreakStrikeFraction, "break_strike_fraction", 10.0, Percent, Proposal, "step of the strike point over the speaking length at a break";
    BreakSmoothBelow, "break_smooth_below", 0.1, Chance, Proposal, "a break is smooth when the chance that it steps more than its limit is below this";
    BreakNoticeableAbove, "break_noticeable_above", 0.5, Chance, Proposal, "a break is noticeable when that chance is above this";
    BreakRoughAbove, "break_rough_above", 0.9, Chance, Proposal, "a break is rough when that chance is above this";
}

/// All limits as one survey has them.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    rows: Vec<Limit>,
    warnings: Vec<Warning>,
}

impl Default for Limits {
    fn default() -> Self {
        Self { rows: OURS.to_vec(), warnings: Vec::new() }
    }
}

impl Limits {
    /// Our limits, with those that a survey sets in their place. A name that does not exist, or a
    /// value that its unit does not allow, changes nothing and is a warning.
    ///
    /// ```
    /// use feltwire::instrument::LimitOverride;
    /// use feltwire::judgement::limit::{LimitKey, Limits};
    /// let set = LimitOverride { name: "break_tension".into(), value: 8.0 };
    /// let limits = Limits::with(&[set]);
    /// assert_eq!(limits.value(LimitKey::BreakTension), 8.0);
    /// assert_eq!(limits.limit(LimitKey::BreakTension).instead_of, Some(10.0));
    /// ```
    pub fn with(overrides: &[LimitOverride]) -> Self {
        let mut limits = Self::default();
        for set in overrides {
            limits.set(set);
        }
        limits
    }

    /// The limit of `key`.
    pub fn limit(&self, key: LimitKey) -> &Limit {
        &self.rows[key as usize]
    }

    /// The value of `key`, in its own unit.
    pub fn value(&self, key: LimitKey) -> f64 {
        self.limit(key).value
    }

    /// Every limit, in the order of the table.
    pub fn iter(&self) -> impl Iterator<Item = &Limit> {
        self.rows.iter()
    }

    /// The limits that the survey has set.
    pub fn overridden(&self) -> impl Iterator<Item = &Limit> {
        self.rows.iter().filter(|limit| limit.instead_of.is_some())
    }

    /// What the survey asked for and did not get.
    pub fn warnings(&self) -> &[Warning] {
        &self.warnings
    }

    fn set(&mut self, set: &LimitOverride) {
        let Some(limit) = self.rows.iter_mut().find(|limit| limit.name == set.name) else {
            self.warnings.push(unknown(&set.name));
            return;
        };
        if limit.unit.allows(set.value) {
            limit.instead_of = limit.instead_of.or(Some(limit.value));
            limit.value = set.value;
            limit.source = LimitSource::Survey;
        } else {
            self.warnings.push(not_allowed(limit));
        }
    }
}

fn unknown(name: &str) -> Warning {
    let near = OURS
        .iter()
        .map(|limit| (strsim::jaro_winkler(name, limit.name), limit.name))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let mut text = sentence![format!("there is no limit called `{name}`; it changes nothing")];
    if let Some((_, like)) = near {
        text.push(format!("; the nearest name is `{like}`"));
    }
    Warning { kind: "unknown_limit", about: About::Set, text }
}

fn not_allowed(limit: &Limit) -> Warning {
    let text = sentence![
        format!("the limit `{}` must be {}; ", limit.name, limit.unit.range()),
        number(limit.value),
        " stays in force"
    ];
    Warning { kind: "limit_not_allowed", about: About::Set, text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_snake_case_and_their_own() {
        for (index, limit) in OURS.iter().enumerate() {
            assert_eq!(limit.key as usize, index, "{}", limit.name);
            assert!(
                limit
                    .name
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b == b'_' || b.is_ascii_digit())
            );
            assert!(!limit.about.is_empty() && limit.unit.allows(limit.value), "{}", limit.name);
            assert_eq!(OURS.iter().filter(|other| other.name == limit.name).count(), 1);
        }
    }

    #[test]
    fn a_survey_sets_a_limit_and_it_is_marked() {
        let set = |name: &str, value| LimitOverride { name: name.into(), value };
        let limits = Limits::with(&[set("break_load", 12.0), set("break_load", 8.0)]);
        let load = limits.limit(LimitKey::BreakLoad);
        assert_eq!(
            (load.value, load.instead_of, load.source),
            (8.0, Some(10.0), LimitSource::Survey)
        );
        assert_eq!(limits.overridden().count(), 1);
        assert!(limits.warnings().is_empty());
    }

    #[test]
    fn a_wrong_name_or_value_changes_nothing_and_says_so() {
        let set = |name: &str, value| LimitOverride { name: name.into(), value };
        let wrong = [
            set("break_tensions", 5.0),
            set("break_load", f64::NAN),
            set("break_inharmonicity", 0.5),
            set("break_rough_above", 1.5),
            set("break_drift", -3.0),
        ];
        let limits = Limits::with(&wrong);
        assert_eq!(limits.warnings().len(), wrong.len());
        assert_eq!(limits.iter().copied().collect::<Vec<_>>(), OURS.to_vec());
        let said = format!("{:?}", limits.warnings()[0].text);
        assert!(said.contains("`break_tension`"), "{said}");
    }
}
