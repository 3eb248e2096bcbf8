//! Physical quantities over `uom`, with one short constructor and one reader per unit of the trade.
//!
//! `mm(980.0)` makes a [`Length`]; `to_mm(length)` reads it. The conversion constants are exact by
//! definition (international yard and pound, 1959; standard gravity, CGPM 1901) and live only here.

use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{P4, Z0};

pub use uom::si::f64::{
    Angle, Area, Force, Frequency, Length, LinearMassDensity, Mass, MassDensity, MassRate,
    Pressure, Ratio, TemperatureCoefficient, TemperatureInterval, ThermodynamicTemperature, Time,
    Torque, Velocity,
};

/// Second moment of area, m⁴.
pub type SecondMoment = Quantity<ISQ<P4, Z0, Z0, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Bending stiffness E·I, N·m².
pub type BendingStiffness = Quantity<
    ISQ<uom::typenum::P3, uom::typenum::P1, uom::typenum::N2, Z0, Z0, Z0, Z0>,
    SI<f64>,
    f64,
>;

/// Standard gravity, m/s² (exact, CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// One inch in millimetres (exact).
pub const INCH_IN_MM: f64 = 25.4;
/// One pound in kilograms (exact).
pub const POUND_IN_KG: f64 = 0.453_592_37;
/// One pound-force in newtons (exact).
pub const POUND_FORCE_IN_N: f64 = POUND_IN_KG * STANDARD_GRAVITY;

macro_rules! units {
    ($($make:ident, $read:ident: $quantity:ident, $factor:expr, $what:literal;)*) => {$(
        #[doc = concat!("A quantity from ", $what, ".")]
        #[inline]
        pub fn $make(value: f64) -> $quantity {
            $quantity { value: value * $factor, ..si_zero() }
        }
        #[doc = concat!("Reads a quantity in ", $what, ".")]
        #[inline]
        pub fn $read(quantity: $quantity) -> f64 {
            quantity.value / $factor
        }
    )*};
}

/// A zero of any quantity, used to fill uom's phantom fields.
fn si_zero<D: uom::si::Dimension + ?Sized>() -> Quantity<D, SI<f64>, f64> {
    Quantity { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value: 0.0 }
}

units! {
    metres, to_metres: Length, 1.0, "metres";
    mm, to_mm: Length, 1e-3, "millimetres";
    inches, to_inches: Length, INCH_IN_MM * 1e-3, "inches";
    square_mm, to_square_mm: Area, 1e-6, "square millimetres";
    newtons, to_newtons: Force, 1.0, "newtons";
    tonnes_force, to_tonnes_force: Force, STANDARD_GRAVITY * 1e3, "tonnes-force (metric)";
    hertz, to_hertz: Frequency, 1.0, "hertz";
    mpa, to_mpa: Pressure, 1e6, "megapascals";
    gpa, to_gpa: Pressure, 1e9, "gigapascals";
    kg_per_m3, to_kg_per_m3: MassDensity, 1.0, "kilograms per cubic metre";
    kilograms, to_kilograms: Mass, 1.0, "kilograms";
    grams, to_grams: Mass, 1e-3, "grams";
    g_per_m, to_g_per_m: LinearMassDensity, 1e-3, "grams per metre";
    kg_per_s, to_kg_per_s: MassRate, 1.0, "kilograms per second (mechanical impedance)";
    newton_metres, to_newton_metres: Torque, 1.0, "newton metres";
    radians, to_radians: Angle, 1.0, "radians";
    degrees, to_degrees: Angle, std::f64::consts::PI / 180.0, "degrees";
    seconds, to_seconds: Time, 1.0, "seconds";
    ms, to_ms: Time, 1e-3, "milliseconds";
    metres_per_second, to_metres_per_second: Velocity, 1.0, "metres per second";
    kelvins, to_kelvins: TemperatureInterval, 1.0, "kelvins (a difference)";
    per_kelvin, to_per_kelvin: TemperatureCoefficient, 1.0, "1/K";
}

/// A temperature from degrees Celsius.
pub fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::degree_celsius>(value)
}

/// Reads a temperature in degrees Celsius.
pub fn to_celsius(temperature: ThermodynamicTemperature) -> f64 {
    temperature.get::<uom::si::thermodynamic_temperature::degree_celsius>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_conversions_agree_with_their_definitions() {
        // NIST SP 811 (2008), appendix B.8: the inch, the pound and the pound-force.
        assert!((to_mm(inches(1.0)) - 25.4).abs() < 1e-14);
        assert!((POUND_FORCE_IN_N - 4.448_221_615_260_5).abs() < 1e-14);
        assert!((to_mpa(mpa(2000.0)) - 2000.0).abs() < 1e-12);
        // ISO 80000-4: standard gravity, 9.806 65 m/s².
        assert!((to_newtons(tonnes_force(1.0)) - 9806.65).abs() < 1e-9);
    }
}
