//! F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107: treble asymptote of B over many
//! instruments, against B measured on one by H.-M. Lehtonen et al., J. Acoust. Soc. Am. 122 (2007) 1787,
//! table I, and against H. Fletcher's C8 of 1964.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{Note, hertz};
use feltwire::physics::typical;

fn treble(row: &Inputs) -> f64 {
    typical::treble(Note::parse(row.text("note")).expect("a note").frequency(hertz(440.0))).0
}

const BAND: &str = "many instruments against one: they agree within 12 % up to C5";
const HIGH: &str = "near the top instruments differ and the asymptote is a band";

pub fn source() -> Source {
    let row = |locator, inputs, expected, share, reason| Check {
        locator,
        inputs,
        expected,
        unit: "",
        class: Class::Measured,
        allowed: Allowed::Share(share),
        reason,
        ours: treble,
    };
    let checks = vec![
        row("C2, Lehtonen et al.", &[("note", "C2")], "3.8e-5", 0.12, BAND),
        row("C4, Lehtonen et al.", &[("note", "C4")], "3.3e-4", 0.12, BAND),
        row("C6, Lehtonen et al.", &[("note", "C6")], "2.3e-3", 0.40, HIGH),
        row("C8, Fletcher", &[("note", "C8")], "0.0244", 0.30, HIGH),
    ];
    let citation = "F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013) 3107, and H.-M. Lehtonen \
                    et al., J. Acoust. Soc. Am. 122 (2007) 1787";
    Source::new("rigaud_2013", citation, checks)
}
