//! Which number formats of XLSX show a number as a date or time.
//!
//! A spreadsheet keeps 1 May as the number 45778 and only the format tells. Built-in formats by number:
//! ECMA-376 part 1, 18.8.30 (14–22 and 45–47; 27–36 and 50–58 in East Asian locales).

use super::SheetFault;
use super::xml::{Said, Stream};
use crate::measure::text;
use crate::survey::number::number_text;
use std::collections::{BTreeMap, BTreeSet};

/// What the cell styles, by index, show beside a number.
#[derive(Debug, Default)]
pub(super) struct Styles {
    /// Those that show it as a date.
    pub dates: BTreeSet<usize>,
    /// Those that show a unit behind it, with that unit.
    pub units: BTreeMap<usize, String>,
}

/// Dates and units of the cell styles.
pub(super) fn styles(mut stream: Stream) -> Result<Styles, SheetFault> {
    let (mut formats, mut written) = (BTreeSet::new(), BTreeMap::new());
    let mut styles = Styles::default();
    let (mut inside, mut index) = (false, 0);
    loop {
        match stream.next()? {
            Said::Open(element) => match element.name.as_str() {
                "numFmt" => {
                    if let (Some(id), Some(code)) =
                        (element.number("numFmtId"), element.get("formatCode"))
                    {
                        if is_date(code) {
                            formats.insert(id);
                        } else if let Some(unit) = unit(code) {
                            written.insert(id, unit);
                        }
                    }
                }
                "cellXfs" => inside = true,
                "xf" if inside => {
                    let id = element.number("numFmtId").unwrap_or(0);
                    if matches!(id, 14..=22 | 27..=36 | 45..=47 | 50..=58) || formats.contains(&id)
                    {
                        styles.dates.insert(index);
                    } else if let Some(unit) = written.get(&id) {
                        styles.units.insert(index, unit.clone());
                    } else if matches!(id, 9 | 10) {
                        styles.units.insert(index, PERCENT.to_owned());
                    }
                    index += 1;
                }
                _ => {}
            },
            Said::Close(name) if name == "cellXfs" => return Ok(styles),
            Said::End => return Ok(styles),
            _ => {}
        }
    }
}

/// The unit of a number that is shown times a hundred.
pub(super) const PERCENT: &str = "%";

/// The unit that a format code shows behind a positive number: `0.0" in"`, `0.0\ [$mm]`.
fn unit(code: &str) -> Option<String> {
    let (mut words, mut numbers) = (String::new(), false);
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        match c {
            ';' => break,
            '0' | '#' | '?' => (words, numbers) = (String::new(), true),
            '"' => words.extend(chars.by_ref().take_while(|c| *c != '"')),
            '[' => {
                let inner: String = chars.by_ref().take_while(|c| *c != ']').collect();
                // A sign of money, and its country after a dash.
                words.push_str(
                    inner.strip_prefix('$').and_then(|sign| sign.split('-').next()).unwrap_or(""),
                );
            }
            '\\' => words.extend(chars.next()),
            '_' | '*' => {
                chars.next();
            }
            c => words.push(c),
        }
    }
    let unit = words.trim();
    (numbers && (unit == PERCENT || text::is_unit(unit))).then(|| unit.to_owned())
}

/// A number with the unit that its cell shows behind it.
pub(super) fn with_unit(number: f64, unit: &str) -> String {
    let shown = if unit == PERCENT { number * 100.0 } else { number };
    format!("{} {unit}", number_text(shown))
}

/// Whether a format code shows days, months, years, hours or seconds: one of their letters outside
/// quotation marks, brackets and escapes. `General` and `[Red]0.0` do not.
fn is_date(code: &str) -> bool {
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        match c {
            '"' => {
                chars.by_ref().find(|c| *c == '"');
            }
            '[' => {
                // Elapsed time is written [h], [mm] or [ss]; anything else is a colour or a locale.
                let inner: String = chars.by_ref().take_while(|c| *c != ']').collect();
                if !inner.is_empty() && inner.chars().all(|c| matches!(c, 'h' | 'H' | 'm' | 's')) {
                    return true;
                }
            }
            '\\' | '_' | '*' => {
                chars.next();
            }
            'd' | 'D' | 'm' | 'M' | 'y' | 'Y' | 'h' | 'H' | 's' | 'S' => return true,
            // `General`, in which no other letter counts.
            'G' | 'g' => return false,
            _ => {}
        }
    }
    false
}

/// The day that a number stands for, counted from the end of 1899, as year-month-day; a time of day
/// is left out. From March 1900 on, where the spreadsheets' count agrees with the calendar.
pub(super) fn day(number: f64) -> Option<String> {
    /// Days from the end of 1899 to 1 March 0000, where the count of years below begins.
    const TO_YEAR_ZERO: i64 = 693_899;
    const FOUR_CENTURIES: i64 = 146_097;
    if !(61.0..2_958_466.0).contains(&number) {
        return None;
    }
    let days = number.floor() as i64 + TO_YEAR_ZERO;
    let (era, day) = (days.div_euclid(FOUR_CENTURIES), days.rem_euclid(FOUR_CENTURIES));
    // Years of an era begin in March, so that the leap day is the last of them.
    let year = (day - day / 1460 + day / 36_524 - day / 146_096) / 365;
    let of_year = day - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let of_month = of_year - (153 * month + 2) / 5 + 1;
    let (month, later) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    Some(format!("{:04}-{month:02}-{of_month:02}", era * 400 + year + later))
}

#[cfg(test)]
mod tests {
    use super::{day, is_date, unit};

    /// Day numbers of ECMA-376 part 1, 18.17.4.1, and of the calendar.
    #[test]
    fn day_numbers_are_days_of_the_calendar() {
        for (number, date) in [
            (61.0, "1900-03-01"),
            (25_569.0, "1970-01-01"),
            (36_585.0, "2000-02-29"),
            (46_143.5, "2026-05-01"),
            (2_958_465.0, "9999-12-31"),
        ] {
            assert_eq!(day(number).as_deref(), Some(date));
        }
        assert_eq!(day(f64::MAX), None);
    }

    #[test]
    fn the_unit_that_a_format_shows_is_taken() {
        for (code, shown) in [
            ("0.0\" in\"", "in"),
            ("0.0\\ \"mm\";[Red]\\-0.0", "mm"),
            ("0.00 [$cm]", "cm"),
            ("# ?/?\\\"", "\""),
            ("0.0%", "%"),
        ] {
            assert_eq!(unit(code).as_deref(), Some(shown), "{code}");
        }
        for code in [
            "General",
            "0.00",
            "# ?/?",
            "0\" strings\"",
            "\"No. \"0.0",
            "#,##0.0_)",
            "0.0E+00",
            "@",
        ] {
            assert_eq!(unit(code), None, "{code}");
        }
    }

    #[test]
    fn formats_of_days_and_hours_are_told_from_those_of_numbers() {
        for date in ["dd/mm/yyyy", "d. MMM", "[h]:mm", "[$-407]d/ mmmm yyyy", "0.0 \"x\"hh"] {
            assert!(is_date(date), "{date}");
        }
        for number in
            ["General", "0.00", "#,##0.0", "0.0 \"mm\"", "[Red]0.0", "0\\m", "@", "0.0E+00"]
        {
            assert!(!is_date(number), "{number}");
        }
    }
}
