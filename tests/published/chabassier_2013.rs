//! J. Chabassier, A. Chaigne, P. Joly, J. Acoust. Soc. Am. 134 (2013) 648, table III: five notes of one
//! grand. Wound notes by a density factor F on the core section, density F × 7850 kg/m³.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{Note, gpa, hertz, kg_per_m3, to_newtons};
use feltwire::physics::string::Elastic;
use feltwire::physics::{StringSpec, core::Core, sound};

type Row = &'static [(&'static str, &'static str)];

/// T (1 + B) at the equally tempered pitch.
fn tension(row: &Inputs) -> f64 {
    let core = Core::Round { diameter: row.get("d") };
    let density = kg_per_m3(7850.0 * row.number("F"));
    let steel = Elastic { density, youngs_modulus: gpa(202.0) };
    let spec = StringSpec::plain(row.get("L"), core, steel);
    let pitch = Note::parse(row.text("note")).expect("a note").frequency(hertz(440.0));
    let sounding = sound(&spec, pitch).expect("a string");
    to_newtons(sounding.tension) * (1.0 + sounding.inharmonicity.0)
}

const NOTES: [(&str, Row, &str); 5] = [
    ("D#1", &[("note", "D#1"), ("L", "1.945 m"), ("d", "1.48 mm"), ("F", "5.73")], "1781"),
    ("C2", &[("note", "C2"), ("L", "1.6 m"), ("d", "0.9502 mm"), ("F", "3.55")], "865"),
    ("F3", &[("note", "F3"), ("L", "0.961 m"), ("d", "1.0525 mm"), ("F", "1")], "774"),
    ("C#5", &[("note", "C#5"), ("L", "0.326 m"), ("d", "0.921 mm"), ("F", "1")], "684"),
    ("G6", &[("note", "G6"), ("L", "0.124 m"), ("d", "0.794 mm"), ("F", "1")], "587"),
];

const RING: &str = "the source's F equals a solid ring of copper, 14 to 17 % more than touching round \
                    wire: no check of a winding's mass";

pub fn source() -> Source {
    let checks = NOTES.map(|(locator, inputs, expected)| Check {
        locator,
        inputs,
        expected,
        unit: "N",
        class: Class::Printed,
        allowed: Allowed::Share(0.007),
        reason: "pitches are not printed: equal temperament at 440 Hz leaves 5 cents (0.6 %) at two notes",
        ours: tension,
    });
    let citation =
        "J. Chabassier, A. Chaigne, P. Joly, J. Acoust. Soc. Am. 134 (2013) 648, table III";
    Source::new("chabassier_2013", citation, checks.into()).without(vec![
        Excluded { locator: "D#1, F from the winding", reason: RING },
        Excluded { locator: "C2, F from the winding", reason: RING },
    ])
}
