//! H. A. Conklin, J. Acoust. Soc. Am. 100 (1996) 1286, part III, as quoted by technicians in 2001: the
//! longitudinal mode times the length is about 2500 Hz·m.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{Length, hertz, mm, to_hertz};
use feltwire::physics::string::Elastic;
use feltwire::physics::{StringSpec, core::Core, sound};

fn longitudinal_times_length(row: &Inputs) -> f64 {
    let steel = Elastic { density: row.get("rho"), youngs_modulus: row.get("E") };
    let length = row.get::<Length>("L");
    let spec = StringSpec::plain(length, Core::Round { diameter: mm(1.0) }, steel);
    let sounding = sound(&spec, hertz(261.63)).expect("a string");
    to_hertz(sounding.longitudinal) * length.value
}

pub fn source() -> Source {
    let check = Check {
        locator: "f L = sqrt(E/rho)/2",
        inputs: &[("E", "202 GPa"), ("rho", "7850 kg/m3"), ("L", "0.62 m")],
        expected: "2500",
        unit: "Hz m",
        class: Class::Printed,
        allowed: Allowed::Share(0.02),
        reason: "a rounded figure; E/rho of published steels spans 3 %, its root 1.5 %",
        ours: longitudinal_times_length,
    };
    let citation = "H. A. Conklin, J. Acoust. Soc. Am. 100 (1996) 1286, as quoted in 2001";
    Source::new("conklin_1996", citation, vec![check]).without(vec![Excluded {
        locator: "G1: longitudinal 690 Hz over 49 Hz is 14 (B. Bank, L. Sujbert, J. Acoust. Soc. Am. 117 (2005) 2268)",
        reason: "the string's length and winding are not given: nothing of ours can be computed from it",
    }])
}
