//! What is possible outside the tables: a value beyond is a fault. What is possible in a table stands
//! in the dictionary of readings.

use super::quantity::Possible;
use crate::measure::{
    Angle, Cents, Force, Frequency, Length, Mass, MassDensity, Pressure, TemperatureCoefficient,
    ThermodynamicTemperature, Torque, celsius, degrees, gpa, grams, hertz, kg_per_m3, mm, mpa,
    newton_metres, newtons, per_kelvin,
};

macro_rules! possible {
    ($($(#[$doc:meta])* $name:ident: $quantity:ty = $low:expr, $high:expr, $words:literal;)*) => {$(
        $(#[$doc])*
        pub(super) fn $name() -> Possible<$quantity> {
            Possible { low: $low, high: $high, words: $words }
        }
    )*};
}

possible! {
    /// Where A4 stands. Historic and local pitches ran from about 380 to 460 Hz.
    pitch: Frequency = hertz(370.0), hertz(480.0), "370 to 480 Hz for A4";
    offset: Cents = Cents(-1200.0), Cents(1200.0), "within an octave of the pitch";
    reading_length: Length = mm(0.0), mm(20.0), "0 to 20 mm";
    reading_mass: Mass = grams(0.0), grams(10.0), "0 to 10 g";
    reading_rake: Angle = degrees(0.0), degrees(10.0), "0 to 10°";
    density: MassDensity = kg_per_m3(1000.0), kg_per_m3(25000.0), "1000 to 25000 kg/m3";
    modulus: Pressure = gpa(5.0), gpa(500.0), "5 to 500 GPa";
    strength: Pressure = mpa(50.0), mpa(6000.0), "50 to 6000 MPa";
    expansion: TemperatureCoefficient = per_kelvin(0.0), per_kelvin(1e-4), "0 to 100 ppm/K";
    allowance: Length = mm(0.0), mm(10.0), "0 to 10 mm";
    hole_depth: Length = mm(2.0), mm(40.0), "2 to 40 mm";
    winding_wire: Length = mm(0.05), mm(4.0), "0.05 to 4 mm";
    tension: Force = newtons(50.0), newtons(3000.0), "50 to 3000 N for one string";
    torque: Torque = newton_metres(0.0), newton_metres(60.0), "0 to 60 N m";
    pin: Length = mm(4.0), mm(12.0), "4 to 12 mm";
    temperature: ThermodynamicTemperature = celsius(-40.0), celsius(60.0), "-40 to 60 °C";
}
