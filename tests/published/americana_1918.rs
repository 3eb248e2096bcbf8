//! Encyclopedia Americana, vol. 22, Pianoforte, about 1918: English wire of 0.029 in breaks at 225 lb,
//! of 0.052 in at 650 lb, "340,000 lb per square inch".

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{inches, to_newtons};
use feltwire::physics::{core::Core, strength};
use feltwire::stock::StrengthSeries;

/// Breaking load over area, lb per square inch.
fn psi(row: &Inputs) -> f64 {
    let wire = Core::Round { diameter: row.get("diameter") };
    let square_inch = inches(1.0) * inches(1.0);
    let pound_force = feltwire::measure::POUND_FORCE_IN_N;
    to_newtons(strength::tensile_strength(row.get("breaking load"), wire) * square_inch)
        / pound_force
}

/// Half of the spread that we give to wire of the year, over its mean: the two wires differ by less.
fn half_spread(row: &Inputs) -> f64 {
    let series = StrengthSeries::from_name(row.text("series")).expect("tests near 1918");
    let strength = series.strength(row.get("diameter")).expect("a size that was tested");
    ((strength.max - strength.min) / (strength.max + strength.min)).value
}

pub fn source() -> Source {
    let checks = vec![
        Check {
            locator: "English wire, 0.029 in",
            inputs: &[("diameter", "0.029 in"), ("breaking load", "225 lbf")],
            expected: "340000",
            unit: "lbf/in2",
            class: Class::Printed,
            allowed: Allowed::Share(0.005),
            reason: "printed to two digits; the load to 3 and the diameter to 2",
            ours: psi,
        },
        Check {
            locator: "both wires, how far apart",
            inputs: &[("series", "historical-1918"), ("diameter", "0.040 in")],
            // (340.6 - 306.1) / (340.6 + 306.1), thousands of lb per square inch.
            expected: ">0.0534",
            unit: "",
            class: Class::Independent,
            allowed: Allowed::Bound,
            reason: "a spread that does not hold the two wires of one page would be too narrow",
            ours: half_spread,
        },
    ];
    Source::new("americana_1918", "Encyclopedia Americana, vol. 22, Pianoforte, about 1918", checks)
        .without(vec![Excluded {
            locator: "English wire, 0.052 in",
            reason: "650 lb on 0.052 in is 306 thousand lb per square inch: the one figure printed \
                     fits the thin wire only",
        }])
}
