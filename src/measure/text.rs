//! Quantities as text: the one parser and the one list of units.
//!
//! `"980 mm"`, `"38 5/8 in"`, `"0.041 in"`, `"160 lbf"`, `"5.5 N m"`, and with a stated standard
//! uncertainty `"980 mm ± 2 mm"`. A number without a unit is refused with the units that fit.

use super::{
    Angle, Cents, Force, Frequency, Length, LinearMassDensity, Mass, MassDensity, POUND_FORCE_IN_N,
    POUND_IN_KG, Pressure, STANDARD_GRAVITY, TemperatureCoefficient, ThermodynamicTemperature,
    Torque, quantity,
};
use std::fmt;

const INCH: f64 = super::INCH_IN_MM * 1e-3;

/// One unit: its spellings (the first is how we write it), its size in SI, and for temperatures the
/// SI value of its zero.
#[derive(Debug)]
pub struct Unit {
    names: &'static [&'static str],
    size: f64,
    zero: f64,
}

const fn unit(names: &'static [&'static str], size: f64) -> Unit {
    Unit { names, size, zero: 0.0 }
}

/// A kind of quantity that can be read from text.
pub trait Written: Copy {
    /// What it is called in a message.
    const NAME: &'static str;
    /// The units it may be written in, the usual one first.
    const UNITS: &'static [Unit];
    /// From its SI value.
    fn from_si(value: f64) -> Self;
    /// To its SI value.
    fn si(self) -> f64;
}

macro_rules! written {
    ($($quantity:ty, $name:literal, [$(($names:expr, $size:expr)),* $(,)?], $from:expr, $to:expr;)*) => {
        $(impl Written for $quantity {
            const NAME: &'static str = $name;
            const UNITS: &'static [Unit] = &[$(unit(&$names, $size)),*];
            fn from_si(value: f64) -> Self { $from(value) }
            fn si(self) -> f64 { $to(self) }
        })*
        /// Every kind with its units, to say what a misplaced unit measures.
        const KINDS: &[(&str, &[Unit])] = &[
            $((<$quantity as Written>::NAME, <$quantity as Written>::UNITS),)*
            (<ThermodynamicTemperature as Written>::NAME, <ThermodynamicTemperature as Written>::UNITS),
        ];
    };
}

written! {
    Length, "a length", [
        (["mm"], 1e-3), (["in", "\"", "″", "”", "inch", "inches", "in."], INCH), (["cm"], 1e-2), (["m"], 1.0),
        (["thou", "mil"], INCH * 1e-3), (["ft"], 12.0 * INCH), (["µm", "um"], 1e-6),
    ], quantity::metres, quantity::to_metres;
    Force, "a force", [
        (["N"], 1.0), (["lbf"], POUND_FORCE_IN_N), (["kgf"], STANDARD_GRAVITY), (["kN"], 1e3),
    ], quantity::newtons, quantity::to_newtons;
    Mass, "a mass", [
        (["g"], 1e-3), (["oz"], POUND_IN_KG / 16.0), (["kg"], 1.0), (["lb"], POUND_IN_KG),
    ], quantity::kilograms, quantity::to_kilograms;
    Torque, "a torque", [
        (["N m", "Nm", "N·m", "N.m"], 1.0),
        (["in lb", "in·lb", "in-lb", "in lbf", "in·lbf", "lbf in"], POUND_FORCE_IN_N * INCH),
        (["kgf cm", "kgf·cm"], STANDARD_GRAVITY * 1e-2),
    ], quantity::newton_metres, quantity::to_newton_metres;
    Frequency, "a frequency", [(["Hz"], 1.0), (["kHz"], 1e3)],
        quantity::hertz, quantity::to_hertz;
    Angle, "an angle", [
        (["°", "deg", "degrees"], std::f64::consts::PI / 180.0), (["rad"], 1.0),
    ], quantity::radians, quantity::to_radians;
    Pressure, "a stress or modulus", [
        (["MPa", "N/mm2", "N/mm²"], 1e6), (["GPa", "kN/mm2", "kN/mm²"], 1e9),
        (["ksi"], POUND_FORCE_IN_N / (INCH * INCH) * 1e3), (["psi"], POUND_FORCE_IN_N / (INCH * INCH)),
    ], |v: f64| quantity::mpa(v * 1e-6), |q| quantity::to_mpa(q) * 1e6;
    MassDensity, "a density", [(["kg/m3", "kg/m³"], 1.0), (["g/cm3", "g/cm³"], 1e3)],
        quantity::kg_per_m3, quantity::to_kg_per_m3;
    LinearMassDensity, "a mass per length", [(["g/m"], 1e-3), (["kg/m"], 1.0)],
        |v: f64| quantity::g_per_m(v * 1e3), |q| quantity::to_g_per_m(q) * 1e-3;
    TemperatureCoefficient, "an expansion coefficient", [(["1/K", "/K"], 1.0), (["ppm/K"], 1e-6)],
        quantity::per_kelvin, quantity::to_per_kelvin;
    Cents, "an interval", [(["cents", "cent"], 1.0)], Cents, |c: Cents| c.0;
}

impl Written for ThermodynamicTemperature {
    const NAME: &'static str = "a temperature";
    const UNITS: &'static [Unit] = &[
        Unit { names: &["degC", "°C", "deg C", "C"], size: 1.0, zero: 273.15 },
        Unit { names: &["degF", "°F", "F"], size: 5.0 / 9.0, zero: 459.67 * 5.0 / 9.0 },
    ];
    fn from_si(value: f64) -> Self {
        quantity::celsius(value - 273.15)
    }
    fn si(self) -> f64 {
        quantity::to_celsius(self) + 273.15
    }
}

/// What was written: the value, and its standard uncertainty where one was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading<Q> {
    /// The value.
    pub value: Q,
    /// The stated standard uncertainty.
    pub sd: Option<Q>,
}

/// Why a text is not the quantity asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum QuantityFault {
    /// No number at its start.
    NoNumber {
        /// What was asked for.
        wanted: &'static str,
        /// Units that fit.
        fits: Vec<&'static str>,
    },
    /// A number without a unit.
    NoUnit {
        /// What was asked for.
        wanted: &'static str,
        /// Units that fit.
        fits: Vec<&'static str>,
    },
    /// A unit of another kind of quantity.
    WrongUnit {
        /// The unit found.
        found: String,
        /// What that unit measures.
        measures: &'static str,
        /// What was asked for.
        wanted: &'static str,
        /// Units that fit.
        fits: Vec<&'static str>,
    },
    /// No unit we know.
    UnknownUnit {
        /// The unit found.
        found: String,
        /// What was asked for.
        wanted: &'static str,
        /// Units that fit.
        fits: Vec<&'static str>,
    },
    /// A fraction over zero, or a number too large to hold.
    NotFinite,
    /// An uncertainty below zero.
    NegativeUncertainty,
}

impl QuantityFault {
    /// The units that would have been right, the usual one first.
    pub fn fits(&self) -> &[&'static str] {
        match self {
            Self::NoNumber { fits, .. }
            | Self::NoUnit { fits, .. }
            | Self::WrongUnit { fits, .. }
            | Self::UnknownUnit { fits, .. } => fits,
            Self::NotFinite | Self::NegativeUncertainty => &[],
        }
    }
}

impl fmt::Display for QuantityFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoNumber { wanted, .. } => write!(f, "no number where {wanted} is expected"),
            Self::NoUnit { wanted, .. } => write!(f, "a number without a unit; expected {wanted}"),
            Self::WrongUnit { found, measures, wanted, .. } => {
                write!(f, "`{found}` measures {measures}; expected {wanted}")
            }
            Self::UnknownUnit { found, wanted, .. } => {
                write!(f, "unknown unit `{found}`; expected {wanted}")
            }
            Self::NotFinite => f.write_str("not a finite number"),
            Self::NegativeUncertainty => f.write_str("an uncertainty cannot be negative"),
        }
    }
}

impl std::error::Error for QuantityFault {}

fn fits<Q: Written>() -> Vec<&'static str> {
    Q::UNITS.iter().map(|unit| unit.names[0]).collect()
}

/// Reads a quantity with its unit and, where written, its standard uncertainty after `±`.
///
/// ```
/// use feltwire::measure::{Length, text, to_mm};
/// let tape = text::parse::<Length>("38 5/8 in").unwrap();
/// assert!((to_mm(tape.value) - 981.075).abs() < 1e-9);
/// let stated = text::parse::<Length>("980 mm ± 2 mm").unwrap();
/// assert!((to_mm(stated.sd.unwrap()) - 2.0).abs() < 1e-9);
/// assert!(text::parse::<Length>("980").is_err());
/// ```
pub fn parse<Q: Written>(text: &str) -> Result<Reading<Q>, QuantityFault> {
    let (value, spread) = split_uncertainty(text);
    let (number, unit) = split_number(value)
        .ok_or_else(|| QuantityFault::NoNumber { wanted: Q::NAME, fits: fits::<Q>() })?;
    let (si, unit) = in_si::<Q>(number, unit, None)?;
    let sd = match spread {
        None => None,
        Some(spread) => {
            let (number, spread_unit) = split_number(spread)
                .ok_or_else(|| QuantityFault::NoNumber { wanted: Q::NAME, fits: fits::<Q>() })?;
            let (_, spread_unit) = in_si::<Q>(number, spread_unit, Some(unit))?;
            if number < 0.0 {
                return Err(QuantityFault::NegativeUncertainty);
            }
            Some(Q::from_si(number * spread_unit.size))
        }
    };
    Ok(Reading { value: Q::from_si(si), sd })
}

/// No reading is as large, in SI units: every unit still holds it as a finite number.
const LARGEST: f64 = 1e200;

/// The SI value of `number` in the unit spelled `unit`; `fallback` stands in for no unit at all.
fn in_si<Q: Written>(
    number: f64,
    spelled: &str,
    fallback: Option<&'static Unit>,
) -> Result<(f64, &'static Unit), QuantityFault> {
    let unit = match (find(Q::UNITS, spelled), fallback) {
        (Some(unit), _) => unit,
        (None, Some(unit)) if spelled.is_empty() => unit,
        (None, _) => return Err(no_such_unit::<Q>(spelled)),
    };
    let si = number * unit.size + unit.zero;
    // Neither infinite nor no number, nor so large that another unit could not hold it.
    if si.abs() < LARGEST { Ok((si, unit)) } else { Err(QuantityFault::NotFinite) }
}

fn find(units: &'static [Unit], spelled: &str) -> Option<&'static Unit> {
    units.iter().find(|unit| unit.names.contains(&spelled))
}

fn no_such_unit<Q: Written>(found: &str) -> QuantityFault {
    let (wanted, fits) = (Q::NAME, fits::<Q>());
    if found.is_empty() {
        return QuantityFault::NoUnit { wanted, fits };
    }
    let other = KINDS.iter().find(|(_, units)| find(units, found).is_some());
    let found = found.to_owned();
    match other {
        Some((measures, _)) => QuantityFault::WrongUnit { found, measures, wanted, fits },
        None => QuantityFault::UnknownUnit { found, wanted, fits },
    }
}

/// Splits `980 mm ± 2 mm` at its sign of uncertainty.
pub fn split_uncertainty(text: &str) -> (&str, Option<&str>) {
    for sign in ["±", "+/-", "+-"] {
        if let Some((value, spread)) = text.split_once(sign) {
            return (value.trim(), Some(spread.trim()));
        }
    }
    (text.trim(), None)
}

/// Splits a text into its leading number (decimal, fraction or both) and what follows it.
///
/// `"38 5/8 in"`, `"1½ in"`, `"-32 cents"`, `"11.5e-6 1/K"`. A comma is not a decimal point here. What may be
/// read two ways is not split: `331/2` may be `33 1/2`, and neither `33 11/8` nor `33.5 1/2` is written so.
pub fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let (sign, unsigned) = match text.chars().next()? {
        '-' => (-1.0, &text[1..]),
        '−' => (-1.0, &text['−'.len_utf8()..]),
        '+' => (1.0, &text[1..]),
        _ => (1.0, text),
    };
    let unsigned = unsigned.trim_start();
    let (whole, rest) = match leading_decimal(unsigned) {
        Some((whole, rest)) => {
            if let Some((fraction, rest)) = leading_fraction(unsigned) {
                return Some((sign * fraction, rest.trim_start()));
            }
            (whole, rest)
        }
        None => (0.0, unsigned),
    };
    let joined = rest.trim_start().strip_prefix('-').unwrap_or(rest.trim_start());
    let plain = unsigned[..unsigned.len() - rest.len()].bytes().all(|b| b.is_ascii_digit());
    if let Some((fraction, rest)) =
        leading_fraction(joined).filter(|(part, _)| plain && *part < 1.0)
    {
        return Some((sign * (whole + fraction), rest.trim_start()));
    }
    if rest.len() == unsigned.len() {
        return None;
    }
    Some((sign * whole, rest.trim_start()))
}

fn leading_decimal(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') {
        end += 1 + digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let signed = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits(signed.min(bytes.len()));
        if exponent > 0 {
            end = signed + exponent;
        }
    }
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// A fraction at the start: `5/8` or one of the single characters. It must end where it ends:
/// `1/K` is a unit.
fn leading_fraction(text: &str) -> Option<(f64, &str)> {
    const SINGLE: [(char, f64); 9] = [
        ('½', 0.5),
        ('¼', 0.25),
        ('¾', 0.75),
        ('⅓', 1.0 / 3.0),
        ('⅔', 2.0 / 3.0),
        ('⅛', 0.125),
        ('⅜', 0.375),
        ('⅝', 0.625),
        ('⅞', 0.875),
    ];
    let first = text.chars().next()?;
    if let Some((sign, value)) = SINGLE.into_iter().find(|(sign, _)| *sign == first) {
        return Some((value, &text[sign.len_utf8()..]));
    }
    let digits = |t: &str| t.bytes().take_while(u8::is_ascii_digit).count();
    let over = digits(text);
    let below = text[over..].strip_prefix(['/', '⁄'])?;
    let under = digits(below);
    if over == 0 || under == 0 || over > 6 || under > 6 {
        return None;
    }
    let top: f64 = text[..over].parse().ok()?;
    let bottom: f64 = below[..under].parse().ok()?;
    let mixed = |at: usize| {
        let (_, part) = text[..over].split_at(at);
        !part.starts_with('0') && part.parse::<f64>().is_ok_and(|part| part < bottom)
    };
    let two_ways = (1..over).any(mixed) && top > bottom;
    (bottom > 0.0 && !two_ways).then(|| (top / bottom, &below[under..]))
}

/// Whether `text` is the name of a unit, whatever it measures.
pub fn is_unit(text: &str) -> bool {
    KINDS.iter().any(|(_, units)| find(units, text).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{to_mm, to_newton_metres, to_newtons};
    use approx::assert_relative_eq;

    fn length_mm(text: &str) -> f64 {
        to_mm(parse::<Length>(text).expect(text).value)
    }

    /// Found by fuzzing: finite in metres, not in millimetres.
    #[test]
    fn a_length_that_millimetres_cannot_hold_is_refused() {
        assert_eq!(parse::<Length>("5e306m"), Err(QuantityFault::NotFinite));
        assert_eq!(parse::<Length>("1 m ± 5e306 m"), Err(QuantityFault::NotFinite));
        assert!(parse::<Length>("5e6 m").is_ok());
    }

    #[test]
    fn lengths_as_rebuilders_write_them() {
        for (text, mm) in [
            ("980 mm", 980.0),
            ("98.0 cm", 980.0),
            ("0.041 in", 1.0414),
            ("38 5/8 in", 981.075),
            ("38-5/8 in", 981.075),
            ("5/8\"", 15.875),
            ("1½ in", 38.1),
            ("½ in", 12.7),
            ("41 thou", 1.0414),
            ("-2mm", -2.0),
            ("−2 mm", -2.0),
        ] {
            assert_relative_eq!(length_mm(text), mm, max_relative = 1e-12);
        }
    }

    /// Each of these has a second reading that is as near: `331/2` as 33½ or 165½, `33 11/8` as 33 and
    /// eleven eighths or a slip for 33 1/8.
    #[test]
    fn a_fraction_that_may_be_read_two_ways_is_refused() {
        for text in ["331/2 in", "151/2 in", "11/8 in", "33 11/8 in", "33.5 1/2 in", "33.5½ in"] {
            assert!(parse::<Length>(text).is_err(), "{text}");
        }
        for (text, inches) in [("7/4 in", 1.75), ("19/8 in", 2.375), ("10/16 in", 0.625)] {
            assert_relative_eq!(length_mm(text), inches * 25.4, max_relative = 1e-12);
        }
    }

    #[test]
    fn inch_marks_and_fraction_strokes_of_word_processors_are_read() {
        for text in ["33 1⁄2”", "33½ in.", "33 1/2″"] {
            assert_relative_eq!(length_mm(text), 850.9, max_relative = 1e-12);
        }
    }

    #[test]
    fn forces_and_torques_by_definition() {
        // NIST SP 811 (2008) appendix B.8: lbf = 4.448222 N, lbf·in = 0.1129848 N·m, kgf = 9.80665 N.
        let newtons = |t| to_newtons(parse::<Force>(t).expect(t).value);
        assert_relative_eq!(newtons("160 lbf"), 160.0 * 4.448_221_615_260_5, max_relative = 1e-12);
        assert_relative_eq!(newtons("1 kgf"), 9.80665, max_relative = 1e-12);
        let torque = to_newton_metres(parse::<Torque>("50 in lb").expect("torque").value);
        assert_relative_eq!(torque, 5.649_241_451, max_relative = 1e-9);
    }

    #[test]
    fn an_uncertainty_may_follow_and_may_leave_out_its_unit() {
        let reading = parse::<Length>("980 mm ± 2").expect("length");
        assert_relative_eq!(to_mm(reading.sd.expect("sd")), 2.0, max_relative = 1e-12);
        assert_eq!(parse::<Length>("980 mm ± -2 mm"), Err(QuantityFault::NegativeUncertainty));
    }

    #[test]
    fn faults_say_what_would_fit() {
        assert!(matches!(parse::<Length>("980"), Err(QuantityFault::NoUnit { .. })));
        assert!(matches!(
            parse::<Length>("980 N"),
            Err(QuantityFault::WrongUnit { measures: "a force", .. })
        ));
        assert!(matches!(parse::<Length>("980 furlong"), Err(QuantityFault::UnknownUnit { .. })));
        assert!(matches!(parse::<Length>("long"), Err(QuantityFault::NoNumber { .. })));
        assert!(parse::<Length>("1/0 in").is_err());
    }

    #[test]
    fn an_expansion_coefficient_is_no_fraction() {
        let alpha = parse::<TemperatureCoefficient>("11.5e-6 1/K").expect("alpha").value;
        assert_relative_eq!(alpha.si(), 11.5e-6, max_relative = 1e-12);
    }
}
