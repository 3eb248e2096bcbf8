//! What a check is, and how it is judged.

use feltwire::measure::text::{self, Written};
use std::fmt::{self, Write};

/// Where an expected value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Printed in a publication.
    Printed,
    /// Measured by the source, with the scatter of a measurement.
    Measured,
    /// Computed by a method that is not ours (script beside the numbers, or algebra).
    Independent,
    /// A fact of the trade: common practice, no source.
    Practice,
    /// From memory, not read.
    Memory,
}

impl Class {
    pub const ALL: [Self; 5] =
        [Self::Printed, Self::Measured, Self::Independent, Self::Practice, Self::Memory];
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Printed => "printed",
            Self::Measured => "measured",
            Self::Independent => "computed independently",
            Self::Practice => "common practice, no source",
            Self::Memory => "from memory",
        })
    }
}

/// How far ours may be from theirs.
#[derive(Debug, Clone, Copy)]
#[allow(dead_code, reason = "each source uses the tolerance that its number needs")]
pub enum Allowed {
    /// Half a unit of the last printed digit.
    LastDigit,
    /// Share of the expected value.
    Share(f64),
    /// In the unit of the expected value.
    Absolute(f64),
    /// For frequencies.
    Cents(f64),
    /// Ours over theirs, or theirs over ours, at most this (above 1).
    Factor(f64),
    /// The text is `> x` or `< x`.
    Bound,
}

/// Inputs as printed: names and texts with their units.
pub struct Inputs(&'static [(&'static str, &'static str)]);

#[allow(dead_code, reason = "each source reads its inputs in its own way")]
impl Inputs {
    /// The text itself.
    pub fn text(&self, name: &str) -> &'static str {
        let found = self.0.iter().find(|(key, _)| *key == name);
        found.unwrap_or_else(|| panic!("no input `{name}` among {:?}", self.0)).1
    }

    /// A quantity, from its text with unit.
    pub fn get<Q: Written>(&self, name: &str) -> Q {
        let text = self.text(name);
        text::parse(text).unwrap_or_else(|fault| panic!("{name} = {text}: {fault}")).value
    }

    /// The same, when the row has it.
    pub fn find<Q: Written>(&self, name: &str) -> Option<Q> {
        self.0.iter().any(|(key, _)| *key == name).then(|| self.get(name))
    }

    /// A pure number.
    pub fn number(&self, name: &str) -> f64 {
        let text = self.text(name);
        text.parse().unwrap_or_else(|_| panic!("{name} = {text}: not a number"))
    }
}

/// One number against one of ours.
pub struct Check {
    /// Table, equation, page, row.
    pub locator: &'static str,
    /// As printed.
    pub inputs: &'static [(&'static str, &'static str)],
    /// As printed, without its unit.
    pub expected: &'static str,
    /// Unit of `expected` and of what `ours` returns; empty for a pure number.
    pub unit: &'static str,
    pub class: Class,
    pub allowed: Allowed,
    /// Why the tolerance is what it is.
    pub reason: &'static str,
    /// Our value in `unit`, from the inputs.
    pub ours: fn(&Inputs) -> f64,
}

impl Check {
    /// Error over allowed error: above 1 is a disagreement. Not finite is one too.
    fn ratio(&self) -> f64 {
        let ours = (self.ours)(&Inputs(self.inputs));
        let ratio = compare(ours, self.expected, self.allowed);
        if ratio.is_finite() { ratio } else { f64::INFINITY }
    }
}

fn compare(ours: f64, expected: &str, allowed: Allowed) -> f64 {
    if let Allowed::Bound = allowed {
        let (sign, bound) = expected.split_at(1);
        let bound = printed(bound);
        let holds = match sign {
            ">" => ours > bound,
            "<" => ours < bound,
            _ => panic!("`{expected}` is no bound"),
        };
        return if holds { 0.0 } else { f64::INFINITY };
    }
    let theirs = printed(expected);
    match allowed {
        Allowed::LastDigit => (ours - theirs).abs() / half_last_digit(expected),
        Allowed::Share(share) => (ours / theirs - 1.0).abs() / share,
        Allowed::Absolute(error) => (ours - theirs).abs() / error,
        Allowed::Cents(cents) => (1200.0 * (ours / theirs).log2()).abs() / cents,
        Allowed::Factor(factor) => (ours / theirs).ln().abs() / factor.ln(),
        Allowed::Bound => unreachable!("handled above"),
    }
}

fn printed(text: &str) -> f64 {
    text.trim().parse().unwrap_or_else(|_| panic!("`{text}` is not a printed number"))
}

/// `189` → 0.5, `0.06` → 0.005, `3.4e13` → 0.05e13. A hair more, for the binary form of the text.
fn half_last_digit(text: &str) -> f64 {
    let (digits, exponent) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
    let decimals = digits.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let exponent: i32 = exponent.parse().expect("exponent of a printed number");
    let decimals = i32::try_from(decimals).expect("a short text");
    10_f64.powi(exponent - decimals) * 0.500_000_001
}

/// A row that a source prints and that must not be used.
pub struct Excluded {
    pub locator: &'static str,
    pub reason: &'static str,
}

/// One publication, measurement or independent computation, with its checks.
pub struct Source {
    key: &'static str,
    citation: &'static str,
    checks: Vec<Check>,
    excluded: Vec<Excluded>,
}

impl Source {
    /// `key` is the file's name; `citation` is what a reader needs to find the source.
    pub fn new(key: &'static str, citation: &'static str, checks: Vec<Check>) -> Self {
        Self { key, citation, checks, excluded: Vec::new() }
    }

    /// Adds rows that are left out, each with its reason.
    #[allow(dead_code, reason = "few sources have a row to leave out")]
    pub fn without(mut self, excluded: Vec<Excluded>) -> Self {
        self.excluded = excluded;
        self
    }

    pub fn key(&self) -> &'static str {
        self.key
    }

    pub fn len(&self) -> usize {
        self.checks.len()
    }

    pub fn count(&self, class: Class) -> usize {
        self.checks.iter().filter(|check| check.class == class).count()
    }

    /// The worst error of any check, over what it is allowed.
    pub fn worst(&self) -> f64 {
        self.checks.iter().map(Check::ratio).fold(0.0, f64::max)
    }

    /// `key · checks · worst error over allowed, and where`.
    pub fn line(&self) -> String {
        let worst = self
            .checks
            .iter()
            .map(|check| (check.ratio(), check.locator))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .expect("a source has checks");
        format!(
            "{:28} {:4} checks   worst {:5.2} of allowed   {}\n",
            self.key,
            self.len(),
            worst.0,
            worst.1
        )
    }

    pub fn excluded_lines(&self) -> String {
        self.excluded.iter().fold(String::new(), |mut lines, row| {
            writeln!(lines, "left out: {}, {}: {}", self.key, row.locator, row.reason)
                .expect("string");
            lines
        })
    }

    /// Every disagreement, with all that is needed to look into it.
    pub fn faults(&self) -> Vec<String> {
        let wrong =
            self.checks.iter().filter(|check| check.ratio().is_nan() || check.ratio() > 1.0);
        wrong
            .map(|check| {
                format!(
                    "{} ({}), {}: {:?}: printed {} {}, ours {:.9}; {:.3} of what is allowed ({:?}: {})",
                    self.key,
                    self.citation,
                    check.locator,
                    check.inputs,
                    check.expected,
                    check.unit,
                    (check.ours)(&Inputs(check.inputs)),
                    check.ratio(),
                    check.allowed,
                    check.reason,
                )
            })
            .collect()
    }

    /// Checks without a locator, inputs or a reason, and rows left out without one.
    pub fn gaps(&self) -> Vec<String> {
        let mut gaps = Vec::new();
        for check in &self.checks {
            if check.locator.is_empty() || check.reason.is_empty() || check.inputs.is_empty() {
                gaps.push(format!("{}: {} {}", self.key, check.locator, check.expected));
            }
        }
        for row in &self.excluded {
            if row.locator.is_empty() || row.reason.is_empty() {
                gaps.push(format!("{}: left out {}", self.key, row.locator));
            }
        }
        if self.citation.is_empty() {
            gaps.push(format!("{}: no citation", self.key));
        }
        gaps
    }
}

#[test]
fn a_printed_text_carries_its_own_tolerance() {
    for (text, half) in [("189", 0.5), ("0.06", 0.005), ("3.4e13", 0.05e13), ("1.20e-4", 0.5e-6)] {
        assert!((half_last_digit(text) / half - 1.0).abs() < 1e-8, "{text}");
    }
}

#[test]
fn a_wrong_number_is_a_fault() {
    for (ours, expected, allowed, agrees) in [
        (189.4, "189", Allowed::LastDigit, true),
        (189.6, "189", Allowed::LastDigit, false),
        (102.0, "100", Allowed::Share(0.025), true),
        (103.0, "100", Allowed::Share(0.025), false),
        (440.5, "440", Allowed::Cents(2.0), true),
        (441.0, "440", Allowed::Cents(2.0), false),
        (1.9, "1", Allowed::Factor(2.0), true),
        (0.4, "1", Allowed::Factor(2.0), false),
        (2.0, ">1", Allowed::Bound, true),
        (2.0, "<1", Allowed::Bound, false),
        (f64::NAN, "1", Allowed::Absolute(1.0), false),
    ] {
        let check = Check {
            locator: "-",
            inputs: &[],
            expected,
            unit: "",
            class: Class::Independent,
            allowed,
            reason: "-",
            ours: |_| 0.0,
        };
        let ratio = compare(ours, check.expected, check.allowed);
        assert_eq!(ratio <= 1.0, agrees, "{ours} against {expected}");
    }
}
