//! The date a document carries: given by a door, never read from a clock.

use std::fmt;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl Date {
    /// The day `day` of month `month` (1 to 12), if the Gregorian calendar has it; years 1583 to 9999.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let length = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        ((1583..=9999).contains(&year) && (1..=length).contains(&day)).then_some(Self {
            year,
            month,
            day,
        })
    }

    /// Reads `2026-11-25` (ISO 8601).
    ///
    /// ```
    /// use feltwire::document::Date;
    /// assert_eq!(Date::parse("2024-02-29").unwrap().to_string(), "2024-02-29");
    /// assert!(Date::parse("2025-02-29").is_none());
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut next = |digits: usize| {
            parts.next().filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()))
        };
        let (year, month, day) = (next(4)?, next(2)?, next(2)?);
        if parts.next().is_some() {
            return None;
        }
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// The year.
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u8 {
        self.day
    }

    /// As a reader writes it: `25 November 2026`.
    pub fn in_words(self) -> String {
        format!("{} {} {}", self.day, MONTHS[usize::from(self.month - 1)], self.year)
    }
}

/// ISO 8601: `2026-11-25`.
impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_exist_are_dates() {
        for text in ["2026-11-25", "2000-02-29", "1583-01-01", "9999-12-31"] {
            assert_eq!(Date::parse(text).map(|d| d.to_string()).as_deref(), Some(text));
        }
        for text in [
            "1900-02-29",
            "2026-13-01",
            "2026-00-01",
            "2026-04-31",
            "26-11-25",
            "2026-11-25-1",
            "",
            "2026/11/25",
            "+026-11-25",
        ] {
            assert_eq!(Date::parse(text), None, "{text}");
        }
        assert_eq!(Date::new(2026, 11, 5).map(Date::in_words).as_deref(), Some("5 November 2026"));
    }
}
