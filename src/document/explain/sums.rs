//! The sums themselves, head by head.

use super::{Group, Step, digits};
use crate::document::figures::Rounded;
use crate::document::text::basis;
use crate::instrument::CoreShape;
use crate::measure::{
    to_g_per_m, to_gpa, to_hertz, to_kg_per_m3, to_kg_per_s, to_mm, to_mpa, to_newtons,
    to_square_mm,
};
use crate::physics::string::{Ends, FIT_RANGE};
use crate::scale::{Explanation, LayerFacts};

pub(super) fn mass(told: &Explanation) -> Vec<Step> {
    let (core, density) = (&told.spec.core, to_kg_per_m3(told.spec.steel.density));
    let size = to_mm(core.size());
    let area = to_square_mm(told.area);
    let hex = told.string.shape == CoreShape::Hex;
    let (formula, numbers) = if hex {
        ("A = (√3/2) d²", format!("(√3/2) · {}²", digits(size)))
    } else {
        ("A = (π/4) d²", format!("(π/4) · {}²", digits(size)))
    };
    let core_mass = to_g_per_m(told.core_mass);
    let mut steps = vec![
        Step::new(Group::Mass, "area of the core", area, "mm²")
            .by(formula, numbers)
            .from("geometry"),
        Step::new(Group::Mass, "mass per length of the core", core_mass, "g/m")
            .by("ρ A", format!("{} · {} / 1000", digits(density), digits(area)))
            .from("geometry"),
    ];
    for (i, layer) in told.layers.iter().enumerate() {
        steps.extend(layer_steps(told, i, layer));
    }
    let used = to_g_per_m(told.sounding.mass_per_length);
    let whole = Step::new(Group::Mass, "mass per length µ where the winding is", used, "g/m")
        .relative(&told.doubts.mass);
    let parts: Vec<String> = std::iter::once(core_mass)
        .chain(told.layers.iter().map(|layer| to_g_per_m(layer.mass)))
        .map(digits)
        .collect();
    if told.string.weighed.is_some() {
        let computed = digits(to_g_per_m(told.computed_mass));
        steps.push(whole.noting(format!("as weighed; from the diameters: {computed} g/m")));
    } else if !told.layers.is_empty() {
        steps.push(whole.by("core + winding", parts.join(" + ")));
    }
    steps
}

fn layer_steps(told: &Explanation, i: usize, layer: &LayerFacts) -> Vec<Step> {
    let winding = told.string.winding.as_ref();
    let which = match (told.layers.len(), i) {
        (1, _) => "",
        (_, 0) => " (inner layer)",
        _ => " (outer layer)",
    };
    let wire = to_mm(layer.wire);
    let hex = told.string.shape == CoreShape::Hex;
    let size = to_mm(told.spec.core.size());
    let under = to_mm(told.spec.core.across_corners()) + 2.0 * to_mm(layer.below);
    let outer = i + 1 == told.layers.len();
    let read = winding.and_then(|w| w.wire).is_some() && outer;
    let step = Step::new(Group::Mass, format!("winding wire t{which}"), wire, "mm");
    let step = if read {
        step.noting("as read")
    } else {
        let formula = match (hex && i == 0, i) {
            (true, _) => "(D − 2d/√3)/2",
            (false, 0) => "(D − d)/2",
            _ => "(D − D1)/2",
        };
        step.by(formula, format!("({} − {})/2", digits(under + 2.0 * wire), digits(under)))
    };
    let density = to_kg_per_m3(told.spec.layers[i].density);
    let below = 2.0 * to_mm(layer.below);
    let (formula, numbers, remark) = if hex {
        let spread = 100.0 * to_g_per_m(layer.half_spread) / to_g_per_m(layer.mass);
        (
            "ρw (π/4) t · turn, turn between 2√3 d + π t' and π (2d/√3 + t'), middle; t' = t + 2 · wires below",
            format!("{} · (π/4) · {} · turn / 1000", digits(density), digits(wire)),
            format!("the bounds lie {} % to both sides", digits(spread)),
        )
    } else if below > 0.0 {
        (
            "ρw (π²/4) t2 (d + 2 t1 + t2)",
            format!(
                "{} · (π²/4) · {} · ({} + {} + {}) / 1000",
                digits(density),
                digits(wire),
                digits(size),
                digits(below),
                digits(wire)
            ),
            String::new(),
        )
    } else {
        (
            "ρw (π²/4) t (d + t)",
            format!(
                "{} · (π²/4) · {} · ({} + {}) / 1000",
                digits(density),
                digits(wire),
                digits(size),
                digits(wire)
            ),
            String::new(),
        )
    };
    vec![
        step.from("the wire touches the core and itself"),
        Step::new(
            Group::Mass,
            format!("mass per length of the winding{which}"),
            to_g_per_m(layer.mass),
            "g/m",
        )
        .by(formula, numbers)
        .noting(remark)
        .from("touching round wire; reproduces J. Woodhouse, Euphonics 12.2.1, table 1, to 0.6 %"),
    ]
}

pub(super) fn tension(told: &Explanation) -> Vec<Step> {
    let (length, pitch) = (to_mm(told.spec.length) / 1e3, to_hertz(told.frequency));
    let mass = to_g_per_m(told.sounding.mass_per_length) / 1e3;
    let ideal = to_newtons(told.without_stiffness);
    let t = to_newtons(told.sounding.tension);
    let stiffness = told.spec.stiffness().value;
    let exact = Step::new(Group::Tension, "tension T", t, "N").relative(&told.doubts.tension);
    let exact = if plain_pinned(told) {
        exact
            .by(
                "4 L² f1² µ − π² E I/L²",
                format!("{} − π² · {} / {}²", digits(ideal), digits(stiffness), digits(length)),
            )
            .from("H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203, pinned ends")
    } else {
        exact
            .noting("that at which the first mode of the stepped stiff string is f1, solved exactly")
            .from("dynamic stiffness, W. H. Wittrick, F. W. Williams, Q. J. Mech. Appl. Math. 24 (1971) 263")
    };
    let fourth = digits(to_mm(told.spec.core.size()));
    let (second, second_numbers) = match told.string.shape {
        CoreShape::Hex => ("I = (5√3/144) d⁴", format!("(5√3/144) · {fourth}⁴")),
        CoreShape::Round => ("I = (π/64) d⁴", format!("(π/64) · {fourth}⁴")),
    };
    let ends = match told.spec.ends {
        Ends::Pinned => "ends pinned",
        Ends::Clamped => "ends clamped",
    };
    let ideal_string = if told.layers.is_empty() {
        "tension without stiffness"
    } else {
        "tension without stiffness, wound from end to end"
    };
    vec![
        Step::new(Group::Tension, "fundamental f1, equal temperament", pitch, "Hz")
            .by(
                "A4 · 2^((key − 49)/12)",
                format!(
                    "{} · 2^(({} − 49)/12)",
                    digits(to_hertz(told.pitch)),
                    told.note.note.key()
                ),
            )
            .from("A4 = 440 Hz: ISO 16"),
        Step::new(Group::Tension, ideal_string, ideal, "N").by(
            "4 L² f1² µ",
            format!("4 · {}² · {}² · {}", digits(length), digits(pitch), digits(mass)),
        ),
        Step::new(
            Group::Tension,
            "second moment of the core",
            told.second_moment.value * 1e12,
            "mm⁴",
        )
        .by(second, second_numbers)
        .from("geometry"),
        Step::new(Group::Tension, "bending stiffness", stiffness, "N m²").by(
            "E I",
            format!(
                "{} · 10⁹ · {} · 10⁻¹²",
                digits(to_gpa(told.spec.steel.youngs_modulus)),
                digits(told.second_moment.value * 1e12)
            ),
        ),
        Step { what: format!("tension T, {ends}"), ..exact },
        Step::new(Group::Tension, "stress in the core", to_mpa(told.sounding.stress), "MPa")
            .relative(&told.doubts.stress)
            .by("T/A", format!("{} / {}", digits(t), digits(to_square_mm(told.area)))),
    ]
}

fn plain_pinned(told: &Explanation) -> bool {
    told.layers.is_empty() && told.spec.ends == Ends::Pinned
}

pub(super) fn load(told: &Explanation) -> Vec<Step> {
    let Ok(strength) = &told.strength else { return Vec::new() };
    let breaking = to_newtons(strength.load);
    let t = to_newtons(told.sounding.tension);
    let mut steps = Vec::new();
    if let Some(tensile) = strength.tensile {
        let at = digits(to_mm(told.spec.core.equal_area_diameter()));
        steps.push(
            Step::new(Group::Load, "tensile strength", to_mpa(tensile), "MPa")
                .noting(format!("at {at} mm"))
                .from(basis(strength.basis)),
        );
    }
    let step = Step::new(Group::Load, "breaking load of straight wire", breaking, "N");
    steps.push(match strength.tensile {
        Some(tensile) => step.by(
            "strength · A",
            format!("{} · {}", digits(to_mpa(tensile)), digits(to_square_mm(told.area))),
        ),
        None => step.from(basis(strength.basis)),
    });
    steps.push(
        Step::new(Group::Load, "load", 100.0 * t / breaking, "%")
            .relative(&told.doubts.load)
            .by("T / breaking load", format!("{} / {}", digits(t), digits(breaking))),
    );
    steps
}

pub(super) fn inharmonicity(told: &Explanation) -> Vec<Step> {
    let (length, t) = (to_mm(told.spec.length) / 1e3, to_newtons(told.sounding.tension));
    let b = told.sounding.inharmonicity.0;
    let core = Step::new(Group::Inharmonicity, "B of the core alone", told.parts.core.0, "")
        .by(
            "π² E I/(T L²)",
            format!(
                "π² · {} / ({} · {}²)",
                digits(told.spec.stiffness().value),
                digits(t),
                digits(length)
            ),
        )
        .from("H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203");
    let (first, last) = FIT_RANGE;
    let exact = Step::new(Group::Inharmonicity, "B", b, "").relative(&told.doubts.inharmonicity);
    if plain_pinned(told) {
        return vec![Step {
            what: core.what.replace(" of the core alone", ""),
            sd: exact.sd,
            ..core
        }];
    }
    let ends = told.parts.bare_ends.0;
    let mut steps = vec![core];
    if !told.layers.is_empty() {
        steps.push(
            Step::new(Group::Inharmonicity, "added by the bare ends, to first order", ends, "")
                .by("(2π²/3) (1 − µc/µ) Σ (a/L)³", bare_ends(told))
                .noting("good to 3 % while a/L is below 2 %")
                .from("Rayleigh's principle, the bare ends as levers"),
        );
        steps.push(
            Step::new(Group::Inharmonicity, "both together", told.parts.core.0 + ends, "")
                .noting(format!("{} of the exact B", ratio(told.parts.core.0 + ends, b))),
        );
    }
    steps.push(
        exact
            .noting(format!(
                "(f_n/n)² = f0² (1 + B n²) fitted to the exact partials {first} to {last}"
            ))
            .from("the law is H. Fletcher's; a fitted B belongs to its range of partials"),
    );
    steps
}

fn bare_ends(told: &Explanation) -> String {
    let share = to_g_per_m(told.core_mass) / to_g_per_m(told.sounding.mass_per_length);
    let ends = told.spec.layers.iter().flat_map(|layer| [layer.bare_front, layer.bare_back]);
    let cubes: Vec<String> =
        ends.map(|end| format!("{}³", digits((end / told.spec.length).value))).collect();
    let cubes = cubes.join(" + ");
    if told.spec.layers.len() > 1 {
        return format!("(2π²/3) · Σ, each layer with its own share of the mass ({cubes})");
    }
    format!("(2π²/3) · (1 − {}) · ({cubes})", digits(share))
}

fn ratio(part: f64, whole: f64) -> String {
    format!("{} %", Rounded::fixed(100.0 * part / whole, 1).value())
}

pub(super) fn besides(told: &Explanation) -> Vec<Step> {
    let (length, t) = (to_mm(told.spec.length) / 1e3, to_newtons(told.sounding.tension));
    let mass = to_g_per_m(told.sounding.mass_per_length) / 1e3;
    let modulus = to_gpa(told.spec.steel.youngs_modulus);
    let stress = to_mpa(told.sounding.stress);
    let mut steps = vec![
        Step::new(
            Group::Besides,
            "impedance of one string",
            to_kg_per_s(told.sounding.impedance),
            "kg/s",
        )
        .by("√(T µ)", format!("√({} · {})", digits(t), digits(mass))),
        Step::new(Group::Besides, "drift for 10⁻⁵ of strain", told.drift_cents, "cents")
            .by("(600/ln 2) (E/S) 10⁻⁵", format!("(600/ln 2) · {} / {} · 10⁻²", digits(modulus), digits(stress)))
            .from("Hooke's law at fixed length"),
        Step::new(
            Group::Besides,
            "first longitudinal mode",
            to_hertz(told.sounding.longitudinal),
            "Hz",
        )
        .by(
            "√(E A/µ)/(2L)",
            format!(
                "√({} · 10³ · {} / {})/(2 · {})",
                digits(modulus),
                digits(to_square_mm(told.area)),
                digits(mass),
                digits(length)
            ),
        )
        .from("a bar loaded by its winding; 2.5 kHz m for plain steel (H. A. Conklin, JASA 100 (1996) 1286)"),
    ];
    if let Some(near) = told.near_longitudinal {
        steps.push(Step::new(
            Group::Besides,
            format!("the same above transverse partial {}, the nearest", near.partial),
            near.above.0,
            "cents",
        ));
    }
    steps
}
