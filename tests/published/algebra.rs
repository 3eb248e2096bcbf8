//! Relations that follow from definitions alone, worked out by hand or with a pocket calculator.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Cents, Frequency, Length, kg_per_m3, mm};
use feltwire::physics::{core::Core, pitch, winding};

/// 100 (2^(c/600) − 1), c in cents.
fn tension_added_percent(row: &Inputs) -> f64 {
    100.0 * (pitch::tension_ratio(row.get::<Cents>("raised by")) - 1.0)
}

fn raised(inputs: &'static [(&'static str, &'static str)], expected: &'static str) -> Check {
    Check {
        locator: "T2/T1 = (f2/f1)^2",
        inputs,
        expected,
        unit: "%",
        class: Class::Independent,
        allowed: Allowed::LastDigit,
        reason: "exact: half a unit of the last digit written down",
        ours: tension_added_percent,
    }
}

/// Touching round wire fills pi/4 of the ring that it is wound in.
fn share_of_ring(row: &Inputs) -> f64 {
    let core = row.get::<Length>("core");
    let wire = row.get::<Length>("wire");
    let copper = kg_per_m3(8930.0);
    let round = Core::Round { diameter: core };
    let ring = Core::Round { diameter: core + 2.0 * wire }.area() - round.area();
    (winding::layer_mass(round, mm(0.0), wire, copper).value / (ring * copper)).value
}

fn packing(inputs: &'static [(&'static str, &'static str)]) -> Check {
    Check {
        locator: "(pi^2/4) t (d + t) over pi t (d + t)",
        inputs,
        expected: "0.7853981633974483",
        unit: "",
        class: Class::Independent,
        allowed: Allowed::Share(1e-12),
        reason: "exact but for rounding",
        ours: share_of_ring,
    }
}

pub fn source() -> Source {
    let mut checks = vec![
        raised(&[("raised by", "5 cents")], "0.579"),
        raised(&[("raised by", "10 cents")], "1.162"),
        raised(&[("raised by", "15 cents")], "1.748"),
        raised(&[("raised by", "20 cents")], "2.337"),
        raised(&[("raised by", "25 cents")], "2.930"),
        raised(&[("raised by", "30 cents")], "3.526"),
        raised(&[("raised by", "40 cents")], "4.729"),
        raised(&[("raised by", "50 cents")], "5.946"),
        raised(&[("raised by", "75 cents")], "9.051"),
        raised(&[("raised by", "100 cents")], "12.246"),
        raised(&[("raised by", "150 cents")], "18.921"),
        raised(&[("raised by", "200 cents")], "25.992"),
        raised(&[("raised by", "300 cents")], "41.421"),
        packing(&[("core", "1.0 mm"), ("wire", "0.4 mm")]),
        packing(&[("core", "1.21 mm"), ("wire", "2.295 mm")]),
    ];
    checks.push(Check {
        locator: "600 log2(1.01)",
        inputs: &[("tension ratio", "1.01")],
        expected: "8.61",
        unit: "cents",
        class: Class::Independent,
        allowed: Allowed::LastDigit,
        reason: "exact: half a unit of the last digit written down",
        ours: |row| pitch::cents(row.number("tension ratio")).0,
    });
    checks.push(Check {
        locator: "A at 435 Hz for A at 440 Hz, (435/440)^2",
        inputs: &[("from", "440 Hz"), ("to", "435 Hz")],
        expected: "0.97740",
        unit: "",
        class: Class::Independent,
        allowed: Allowed::LastDigit,
        reason: "exact: half a unit of the last digit written down",
        ours: |row| {
            let ratio = (row.get::<Frequency>("to") / row.get::<Frequency>("from")).value;
            pitch::tension_ratio(Cents::of_ratio(ratio))
        },
    });
    Source::new("algebra", "definitions of the cent and of tension, geometry", checks)
}
