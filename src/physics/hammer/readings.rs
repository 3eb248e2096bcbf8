//! From what is read at the bench to the bore, with its doubt, for `action`.
//!
//! Symbols as in [`geometry`](super::geometry).
//!
//! - Height and offset read apart: b = h + e cos ρ + R sin ρ, the doubts of the independent
//!   readings added by squares with the slopes 1, cos ρ, sin ρ and s = R cos ρ − e sin ρ.
//! - The bench reading D: the shank held parallel to the strings, from its axis to the string
//!   surface at the head's place. There a = 0 and the axis lies at n = −e, so D = h + e, and
//!   b = D + R sin ρ − e (1 − cos ρ); slopes 1, sin ρ, −(1 − cos ρ) and R cos ρ − e sin ρ. The
//!   last term is at most 0.04 mm at 5° of rake for offsets to 10 mm: where e is not known its doubt is
//!   carried ([`anywhere_between`]), never left out and never guessed away.
//! - A grand from the keybed: the string rises by τ from O towards the head and passes H above O at
//!   the horizontal distance X. The square from O to that line is h = H cos τ − X sin τ; slopes
//!   cos τ, −sin τ and −(H sin τ + X cos τ). Boring by the plain height H (b = H, no rake, no
//!   offset, X = R) strikes oblique by exactly τ, for relation 2 holds with a = τ: (h + R sin τ)/cos τ = H.
//!
//! Source: derived here. Holds for small doubts (first order) and readings independent of each
//! other; a rake that is *decided* carries no doubt: give it a standard deviation of zero.
//!
//! ```
//! use feltwire::measure::{Measured, degrees, inches, mm, to_mm};
//! use feltwire::physics::hammer::readings::bore_from_parallel_shank;
//! // 2 1/8 in to the strings and 3/8 in of offset (1919 conference figures) read as one: 2 1/2 in.
//! let exact = |length| Measured::new(length, mm(0.0));
//! let rake = Measured::new(degrees(0.0), degrees(0.0));
//! let read = Measured::new(inches(2.5), mm(0.3));
//! let bore = bore_from_parallel_shank(read, exact(inches(5.625)), exact(mm(9.525)), rake).unwrap();
//! assert!((to_mm(bore.value) - 63.5).abs() < 1e-9 && (to_mm(bore.sd) - 0.3).abs() < 1e-9);
//! ```

use super::fault::{HammerFault, finite, not_negative, positive, slant, within_reach};
use super::geometry::Station;
use crate::measure::{Angle, Length, Measured, metres, to_metres, to_radians};

/// Independent doubts together.
pub(crate) fn by_squares(terms: &[f64]) -> f64 {
    terms.iter().fold(0.0, |sum, term| sum.hypot(*term))
}

/// Value and doubt in metres, both finite, the doubt not negative.
pub(crate) fn read(
    reading: Measured<Length>,
    what: &'static str,
) -> Result<(f64, f64), HammerFault> {
    Ok((finite(to_metres(reading.value), what)?, not_negative(to_metres(reading.sd), what)?))
}

/// An angle and its doubt in radians, the angle less than 90° either way.
pub(crate) fn read_slant(
    reading: Measured<Angle>,
    what: &'static str,
) -> Result<(f64, f64), HammerFault> {
    Ok((slant(reading.value, what)?, not_negative(to_radians(reading.sd), what)?))
}

/// A result in metres with its doubt, both finite.
pub(crate) fn result(
    value: f64,
    sd: f64,
    what: &'static str,
) -> Result<Measured<Length>, HammerFault> {
    Ok(Measured::new(metres(finite(value, what)?), metres(finite(sd, what)?)))
}

/// A length of which only two bounds are known: the middle, with the standard deviation of a
/// uniform spread (the width over √12, JCGM 100:2008, 4.3.7).
pub fn anywhere_between(low: Length, high: Length) -> Result<Measured<Length>, HammerFault> {
    let low = finite(to_metres(low), "lower bound")?;
    let width = not_negative(to_metres(high) - low, "width between the bounds")?;
    result(low + width / 2.0, width / 12.0_f64.sqrt(), "middle of the bounds")
}

/// The square bore from string height, hanging distance, shank offset and rake, each with its
/// doubt.
pub fn square_bore(
    string_height: Measured<Length>,
    hanging_distance: Measured<Length>,
    shank_offset: Measured<Length>,
    rake: Measured<Angle>,
) -> Result<Measured<Length>, HammerFault> {
    let (_, of_height) = read(string_height, "string height")?;
    let (_, of_hanging) = read(hanging_distance, "hanging distance")?;
    let (_, of_offset) = read(shank_offset, "shank offset")?;
    let (_, of_rake) = read_slant(rake, "rake")?;
    let station = Station::new(string_height.value, hanging_distance.value, shank_offset.value)?;
    let slopes = station.square_bore_slopes(rake.value)?;
    let sd = by_squares(&[
        slopes.by_height * of_height,
        slopes.by_hanging * of_hanging,
        slopes.by_offset * of_offset,
        to_metres(slopes.per_radian_of_rake) * of_rake,
    ]);
    result(to_metres(station.square_bore(rake.value)?), sd, "bore")
}

/// The square bore from the bench reading D: shank held parallel to the strings, its axis to the
/// string surface. Where the offset is not known give the bounds between which it lies, by
/// [`anywhere_between`].
pub fn bore_from_parallel_shank(
    axis_to_string: Measured<Length>,
    hanging_distance: Measured<Length>,
    shank_offset: Measured<Length>,
    rake: Measured<Angle>,
) -> Result<Measured<Length>, HammerFault> {
    let (d, of_d) = read(axis_to_string, "shank axis to string")?;
    let (hanging, of_hanging) = read(hanging_distance, "hanging distance")?;
    let (e, of_offset) = read(shank_offset, "shank offset")?;
    let (rake, of_rake) = read_slant(rake, "rake")?;
    positive(d, "shank axis to string")?;
    positive(hanging, "hanging distance")?;
    let short = 1.0 - rake.cos();
    let bore = d + hanging * rake.sin() - e * short;
    let sd = by_squares(&[
        of_d,
        rake.sin() * of_hanging,
        short * of_offset,
        (hanging * rake.cos() - e * rake.sin()) * of_rake,
    ]);
    within_reach(bore)?;
    result(bore, sd, "bore")
}

/// A grand's string height, square to the string, from the plain height difference H between centre
/// pin and string surface, read at the horizontal distance X from the pin, and the string's rise τ
/// towards the head's side.
pub fn height_over_rising_string(
    height_difference: Measured<Length>,
    horizontal_distance: Measured<Length>,
    rise: Measured<Angle>,
) -> Result<Measured<Length>, HammerFault> {
    let (height, of_height) = read(height_difference, "height difference")?;
    let (across, of_across) = read(horizontal_distance, "horizontal distance")?;
    let (rise, of_rise) = read_slant(rise, "rise of the string")?;
    let square = positive(height * rise.cos() - across * rise.sin(), "string height")?;
    let sd = by_squares(&[
        rise.cos() * of_height,
        rise.sin() * of_across,
        (height * rise.sin() + across * rise.cos()) * of_rise,
    ]);
    result(square, sd, "string height")
}
