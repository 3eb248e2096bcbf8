//! Which number formats of XLSX show a number as a date or time.
//!
//! A spreadsheet keeps 1 May as the number 45778 and only the format tells. Built-in formats by number:
//! ECMA-376 part 1, 18.8.30 (14–22 and 45–47; 27–36 and 50–58 in East Asian locales).

use super::SheetFault;
use super::xml::{Said, Stream};
use std::collections::BTreeSet;

/// Indices of the cell styles that show dates.
pub(super) fn dates(mut stream: Stream) -> Result<BTreeSet<usize>, SheetFault> {
    let (mut formats, mut dates) = (BTreeSet::new(), BTreeSet::new());
    let (mut inside, mut index) = (false, 0);
    loop {
        match stream.next()? {
            Said::Open(element) => match element.name.as_str() {
                "numFmt" => {
                    if let (Some(id), Some(code)) =
                        (element.number("numFmtId"), element.get("formatCode"))
                        && is_date(code)
                    {
                        formats.insert(id);
                    }
                }
                "cellXfs" => inside = true,
                "xf" if inside => {
                    let id = element.number("numFmtId").unwrap_or(0);
                    if matches!(id, 14..=22 | 27..=36 | 45..=47 | 50..=58) || formats.contains(&id)
                    {
                        dates.insert(index);
                    }
                    index += 1;
                }
                _ => {}
            },
            Said::Close(name) if name == "cellXfs" => return Ok(dates),
            Said::End => return Ok(dates),
            _ => {}
        }
    }
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
    use super::{day, is_date};

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
