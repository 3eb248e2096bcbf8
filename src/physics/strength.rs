//! Breaking load and load of a string; for findings and orders.
//!
//! F = R A, load = T/F: F breaking load (N), R tensile strength of the wire (Pa) at the diameter of
//! equal area, A area of the *core* (m^2), T tension (N). A rusty place that was cleaned and measured
//! keeps (remaining/d)^2 of its strength.
//! Source: definition of tensile strength (ISO 6892-1, 3.10.1); the worked number is from the
//! Encyclopedia Americana (1918-20), "Pianoforte": wire of 0.029 in breaks at 225 lb, 340 000 psi.
//! Holds for straight new wire: coils, bends and bearings weaken it (the breakage model's business).
//! Corrosion that is not seen, iron and soft wire are left out: test a sample.
//!
//! ```
//! use feltwire::measure::{inches, newtons, to_mpa, POUND_FORCE_IN_N, INCH_IN_MM};
//! use feltwire::physics::{core::Core, strength};
//! let wire = Core::Round { diameter: inches(0.029) };
//! let strength = strength::tensile_strength(newtons(225.0 * POUND_FORCE_IN_N), wire);
//! let psi = to_mpa(strength) / POUND_FORCE_IN_N * INCH_IN_MM * INCH_IN_MM;
//! assert!((psi / 340_000.0 - 1.0).abs() < 5e-3);
//! ```

use super::{Impossible, core::Core, impossible::positive};
use crate::measure::{Force, Length, Pressure, Ratio};

/// Breaking load of straight wire: tensile strength times the area of the core.
pub fn breaking_load(tensile_strength: Pressure, core: Core) -> Force {
    tensile_strength * core.area()
}

/// Tensile strength from a tested breaking load.
pub fn tensile_strength(breaking_load: Force, core: Core) -> Pressure {
    breaking_load / core.area()
}

/// Load of a string: its tension over its breaking load.
pub fn load(tension: Force, breaking_load: Force) -> Ratio {
    tension / breaking_load
}

/// Share of the breaking load that is left where rust has eaten the wire down to `remaining`.
///
/// `Err` when a diameter is not positive; more wire than there was counts as all of it.
pub fn remaining_share(remaining: Length, new: Length) -> Result<Ratio, Impossible> {
    positive(remaining.value, "the remaining diameter")?;
    positive(new.value, "the diameter of the wire")?;
    let ratio = (remaining / new).value.min(1.0);
    Ok(Ratio { value: ratio * ratio, ..remaining / new })
}
