//! How a number is rounded and spelled: the uncertainty decides the places, the sign is a real minus,
//! powers of ten are superscripts.

/// A number and its places, before a unit is put beside it.
///
/// The uncertainty keeps one digit, two when it begins with a one (J. R. Taylor, *An Introduction to
/// Error Analysis*, section 2.2); the value keeps the same places. Without an uncertainty four digits
/// are kept, at most three places, trailing zeros dropped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rounded {
    value: f64,
    sd: Option<f64>,
    /// Places after the point; negative before it (−1 is tens).
    places: i32,
    trim: bool,
}

impl Rounded {
    /// Rounds `value` with its standard uncertainty `sd`; an `sd` of zero is none.
    pub(super) fn new(value: f64, sd: f64) -> Self {
        if sd > 0.0 && sd.is_finite() {
            Self { value, sd: Some(sd), places: places_of(sd), trim: false }
        } else {
            let places = (3 - exponent(value)).clamp(0, 3);
            Self { value, sd: None, places, trim: true }
        }
    }

    /// Rounds to no more than `places`, trailing zeros dropped.
    pub(super) fn trimmed(value: f64, places: i32) -> Self {
        Self { value, sd: None, places, trim: true }
    }

    /// Rounds to fixed places.
    pub(super) fn fixed(value: f64, places: i32) -> Self {
        Self { value, sd: None, places, trim: false }
    }

    /// Places after the point that are printed.
    pub(super) fn places(&self) -> i32 {
        if self.trim {
            let text = fixed(self.value, self.places);
            let kept = text.trim_end_matches('0');
            let after_point = kept.split_once('.').map_or(0, |(_, after)| after.len());
            return i32::try_from(after_point).unwrap_or(0);
        }
        self.places
    }

    /// The value alone.
    pub(super) fn value(&self) -> String {
        fixed(self.value, self.places())
    }

    /// The value, and its uncertainty where there is one: `812 ± 6`.
    pub(super) fn text(&self, space: char) -> String {
        match self.sd {
            Some(sd) => format!("{}{space}±{space}{}", self.value(), fixed(sd, self.places)),
            None => self.value(),
        }
    }
}

/// A value and its uncertainty for two columns of a table; places no finer than `finest`, of which one unit
/// is the least doubt shown.
pub(super) fn two_columns(value: f64, sd: f64, finest: u8) -> [String; 2] {
    let least = 10_f64.powi(-i32::from(finest));
    let rounded = if sd < 1.95 * least {
        let places = i32::from(finest);
        Rounded { value, sd: Some(sd.max(least)), places, trim: false }
    } else {
        Rounded::new(value, sd)
    };
    [rounded.value(), fixed(rounded.sd.unwrap_or(least), rounded.places)]
}

/// The power of ten of the first digit; of zero, zero.
fn exponent(value: f64) -> i32 {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    // Formatting rounds as printing does, so that 9.9996 counts as 10.00.
    let text = format!("{:.3e}", value.abs());
    text.split('e').nth(1).and_then(|e| e.parse().ok()).unwrap_or(0)
}

/// Places after the point that an uncertainty `sd` > 0 deserves.
fn places_of(sd: f64) -> i32 {
    let text = format!("{sd:.2e}");
    let (digits, power) = text.split_once('e').unwrap_or(("1.00", "0"));
    let power: i32 = power.parse().unwrap_or(0);
    let lead: f64 = digits.parse().unwrap_or(1.0);
    // From 1.95 on it would round to 2.0, which begins with a two.
    if lead < 1.95 { 1 - power } else { -power }
}

/// `value` to `places`, with a real minus sign; never minus zero.
pub(super) fn fixed(value: f64, places: i32) -> String {
    ascii(value, places).replace('-', "−")
}

/// The same with an ASCII minus, for machines.
pub(super) fn ascii(value: f64, places: i32) -> String {
    let text = if places >= 0 {
        format!("{value:.*}", places as usize)
    } else {
        let step = 10_f64.powi(-places);
        format!("{:.0}", (value / step).round() * step)
    };
    if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// `value`, and its standard uncertainty where `sd` > 0, as a power of ten: `3.9 × 10⁻⁴`,
/// `(3.9 ± 0.3) × 10⁻⁴`. Without an uncertainty two digits are kept.
pub(super) fn power_of_ten(value: f64, sd: f64, space: char) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{value:.1e}");
    let power: i32 = text.split('e').nth(1).and_then(|e| e.parse().ok()).unwrap_or(0);
    let scale = 10_f64.powi(power);
    let digits = if sd > 0.0 && sd.is_finite() {
        let rounded = Rounded::new(value / scale, sd / scale);
        if power == 0 {
            return rounded.text(space);
        }
        format!("({})", rounded.text(space))
    } else {
        fixed(value / scale, 1)
    };
    if power == 0 { digits } else { format!("{digits}{space}×{space}10{}", superscript(power)) }
}

/// A whole number as superscript digits.
pub(super) fn superscript(power: i32) -> String {
    power
        .to_string()
        .chars()
        .map(|c| match c {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            digit => char::from_u32('⁰' as u32 + digit.to_digit(10).unwrap_or(0)).unwrap_or('⁰'),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_uncertainty_decides_the_places() {
        // J. R. Taylor, section 2.2, from memory: 9.82 ± 0.02385 is 9.82 ± 0.02; an uncertainty of
        // 0.14 keeps both digits; 6051.78 ± 30 is 6050 ± 30.
        assert_eq!(Rounded::new(9.82, 0.02385).text(' '), "9.82 ± 0.02");
        assert_eq!(Rounded::new(3.6, 0.14).text(' '), "3.60 ± 0.14");
        assert_eq!(Rounded::new(6051.78, 30.0).text(' '), "6050 ± 30");
        assert_eq!(Rounded::new(812.34, 6.2).text(' '), "812 ± 6");
        assert_eq!(Rounded::new(52.34, 0.83).text(' '), "52.3 ± 0.8");
        assert_eq!(Rounded::new(1234.5, 97.0).text(' '), "1230 ± 100");
        assert_eq!(Rounded::new(12345.0, 240.0).text(' '), "12300 ± 200");
        assert_eq!(Rounded::new(-0.02, 0.4).text(' '), "0.0 ± 0.4");
    }

    #[test]
    fn without_uncertainty_four_digits_are_enough() {
        for (value, text) in [
            (1152.5, "1152"),
            (51.2, "51.2"),
            (0.975, "0.975"),
            (1.02, "1.02"),
            (440.0, "440"),
            (0.0, "0"),
            (-32.0, "−32"),
            (9.99961, "10"),
            (0.000_04, "0"),
        ] {
            assert_eq!(Rounded::new(value, 0.0).text(' '), text);
        }
    }

    #[test]
    fn powers_of_ten_are_superscripts() {
        assert_eq!(power_of_ten(3.94e-4, 0.0, ' '), "3.9 × 10⁻⁴");
        assert_eq!(power_of_ten(3.94e-4, 0.28e-4, ' '), "(3.9 ± 0.3) × 10⁻⁴");
        assert_eq!(power_of_ten(9.97e-4, 0.0, ' '), "1.0 × 10⁻³");
        assert_eq!(power_of_ten(2.2, 0.0, ' '), "2.2");
        assert_eq!(superscript(-12), "⁻¹²");
    }
}
