//! Identities of strings, over the cases of `cases.toml`. Each has its own tolerance, with the reason,
//! and states over how many cases it ran.

use crate::cases::{self, Case};
use feltwire::measure::{Cents, Frequency, Length, hertz, mm, text, to_hertz, to_mm};
use feltwire::physics::core::Core;
use feltwire::physics::string::Ends;
use feltwire::physics::winding::Layer;
use feltwire::physics::{Sounding, StringSpec, pitch, plain, sound, wound};
use std::f64::consts::PI;

/// What rounding leaves in a solved tension or frequency, with a margin of ten: measured on the
/// closed form, where both are known.
const ROUNDING: f64 = 1e-10;
/// B is a small difference of frequencies: rounding over B n², about 1e-4.
const ROUNDING_OF_B: f64 = 1e-6;

/// Runs `identity` over the cases that `fits`, of which there must be ten.
fn each(fits: impl Fn(&Case) -> bool, identity: impl Fn(&Case, &Sounding)) {
    let mut ran = 0;
    for case in cases::all().iter().filter(|case| fits(case)) {
        let sounding = sound(&case.spec, case.pitch).expect(&case.name);
        identity(case, &sounding);
        ran += 1;
    }
    assert!(ran >= 10, "only {ran} cases");
}

fn close(name: &str, ours: f64, theirs: f64, share: f64) {
    assert!((ours / theirs - 1.0).abs() <= share, "{name}: {ours} against {theirs}");
}

fn same(name: &str, one: &Sounding, other: &Sounding) {
    close(name, one.tension.value, other.tension.value, ROUNDING);
    close(name, one.inharmonicity.0, other.inharmonicity.0, ROUNDING_OF_B);
    for (one, other) in one.partials.iter().zip(other.partials) {
        close(name, one.value, other.value, ROUNDING);
    }
}

fn pinned(spec: &StringSpec) -> StringSpec {
    StringSpec { ends: Ends::Pinned, ..spec.clone() }
}

#[test]
fn a_winding_without_mass_is_no_winding() {
    // A density of 1e-9 kg/m³ adds 1e-12 of the mass.
    each(
        |_| true,
        |case, _| {
            let mut bare = pinned(&case.spec);
            (bare.layers, bare.weighed) = (Vec::new(), None);
            let mut wound = bare.clone();
            wound.layers = vec![Layer {
                bare_front: bare.length * 0.03,
                bare_back: bare.length * 0.11,
                ..Layer::full(mm(1.0), feltwire::measure::kg_per_m3(1e-9))
            }];
            // A pitch that keeps the bare core at a string's tension.
            let pitch = hertz(150.0 / bare.length.value);
            let sounds = |spec| sound(spec, pitch).expect(&case.name);
            same(&case.name, &sounds(&wound), &sounds(&bare));
        },
    );
}

#[test]
fn wound_from_end_to_end_is_the_closed_form() {
    each(
        |case| !case.spec.layers.is_empty(),
        |case, _| {
            let mut spec = pinned(&case.spec);
            for layer in &mut spec.layers {
                (layer.bare_front, layer.bare_back) = (mm(0.0), mm(0.0));
            }
            let ours = sound(&spec, case.pitch).expect(&case.name);
            let mu = spec.mass_per_length().expect(&case.name).0;
            let tension =
                plain::tension(spec.length, mu, spec.stiffness(), case.pitch).expect(&case.name);
            let b = plain::inharmonicity(spec.length, spec.stiffness(), tension);
            close(&case.name, ours.tension.value, tension.value, ROUNDING);
            close(&case.name, ours.inharmonicity.0, b.0, ROUNDING_OF_B);
            let ideal = plain::ideal_frequency(spec.length, mu, tension);
            for (n, ours) in (1..).zip(ours.partials) {
                close(&case.name, ours.value, plain::partial(ideal, b, n).value, ROUNDING);
            }
            // And it is reached without a jump: bare ends of 1e-5 L shift B by about (1e-5)³.
            for layer in &mut spec.layers {
                (layer.bare_front, layer.bare_back) = (spec.length * 1e-5, spec.length * 1e-5);
            }
            same(&case.name, &sound(&spec, case.pitch).expect(&case.name), &ours);
        },
    );
}

#[test]
fn a_string_turned_round_sounds_the_same() {
    each(
        |_| true,
        |case, sounding| {
            let mut spec = case.spec.clone();
            for layer in &mut spec.layers {
                std::mem::swap(&mut layer.bare_front, &mut layer.bare_back);
            }
            same(&case.name, &sound(&spec, case.pitch).expect(&case.name), sounding);
        },
    );
}

#[test]
fn one_layer_split_in_two_of_one_metal_is_the_same_string() {
    // (π/4) ρ [t₁ (p + π t₁) + t₂ (p + 2π t₁ + π t₂)] = (π/4) ρ t (p + π t) with t = t₁ + t₂.
    each(
        |case| !case.spec.layers.is_empty(),
        |case, _| {
            let mut one = case.spec.clone();
            one.layers.truncate(1);
            let layer = one.layers[0];
            let mut two = one.clone();
            two.layers[0].wire = layer.wire * 0.3;
            two.layers.push(Layer { wire: layer.wire * 0.7, ..layer });
            // Low enough for the lighter string of one layer, too.
            let sounds = |spec| sound(spec, case.pitch).expect(&case.name);
            same(&case.name, &sounds(&two), &sounds(&one));
        },
    );
}

#[test]
fn more_mass_lowers_every_mode() {
    // 1 % of the winding: every mode falls, by at most half of 1 % (Rayleigh).
    each(
        |case| !case.spec.layers.is_empty() && case.spec.weighed.is_none(),
        |case, sounding| {
            for i in 0..case.spec.layers.len() {
                let mut heavier = case.spec.clone();
                heavier.layers[i].density *= 1.01;
                let lower = wound::modes(&heavier, sounding.tension).expect(&case.name);
                for (lower, partial) in lower.iter().zip(sounding.partials) {
                    let ratio = (*lower / partial).value;
                    assert!(ratio < 1.0 - 1e-6 && ratio > 0.995, "{}: {ratio}", case.name);
                }
            }
        },
    );
}

#[test]
fn the_count_steps_by_one_at_each_mode() {
    each(
        |_| true,
        |case, sounding| {
            for (n, partial) in (1..).zip(sounding.partials) {
                let below = |share: f64| {
                    wound::modes_below(&case.spec, sounding.tension, partial * share)
                        .expect(&case.name)
                };
                let counts = (below(1.0 - 1e-8), below(1.0 + 1e-8));
                assert_eq!(counts, (n - 1, n), "{} at partial {n}", case.name);
            }
        },
    );
}

#[test]
fn the_first_mode_is_the_pitch() {
    each(
        |_| true,
        |case, sounding| {
            close(&case.name, sounding.partials[0].value, case.pitch.value, ROUNDING);
            let again = wound::modes(&case.spec, sounding.tension).expect(&case.name);
            for (again, partial) in again.iter().zip(sounding.partials) {
                close(&case.name, again.value, partial.value, ROUNDING);
            }
        },
    );
}

/// The integral of mu f over the string by Simpson's rule, piece by piece, for shapes taken at the
/// places of `simpson`.
struct Simpson {
    places: Vec<Length>,
    weights: Vec<f64>,
}

impl Simpson {
    fn over(spec: &StringSpec) -> Self {
        let length = spec.length.value;
        let core = (spec.core.area() * spec.steel.density).value;
        let full = spec.mass_per_length().expect("masses").0.value;
        let layer = &spec.layers[0];
        let (from, to) = (layer.bare_front.value, length - layer.bare_back.value);
        let mut simpson = Self { places: Vec::new(), weights: Vec::new() };
        for (start, end, mass) in [(0.0, from, core), (from, to, full), (to, length, core)] {
            let step = (end - start) / 2000.0;
            for i in 0..=2000 {
                let weight = if i == 0 || i == 2000 { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
                simpson.places.push(mm(1e3 * (start + f64::from(i) * step)));
                simpson.weights.push(mass * weight * step / 3.0);
            }
        }
        simpson
    }

    fn product(&self, one: &[f64], other: &[f64]) -> f64 {
        one.iter().zip(other).zip(&self.weights).map(|((y, z), weight)| y * z * weight).sum()
    }
}

#[test]
fn modes_are_orthogonal_in_mass() {
    // Simpson's rule over 2000 steps a piece leaves below 1e-7 of the norms at mode 8.
    each(
        |case| !case.spec.layers.is_empty(),
        |case, _| {
            let mut spec = case.spec.clone();
            spec.layers.truncate(1);
            let tension = sound(&spec, case.pitch).expect(&case.name).tension;
            let simpson = Simpson::over(&spec);
            let shapes: Vec<Vec<f64>> = (1..=8)
                .map(|n| wound::shape(&spec, tension, n, &simpson.places).expect(&case.name))
                .collect();
            for (i, one) in shapes.iter().enumerate() {
                for other in &shapes[..i] {
                    let norms = simpson.product(one, one) * simpson.product(other, other);
                    let cosine = simpson.product(one, other) / norms.sqrt();
                    assert!(cosine.abs() < 1e-6, "{} mode {}: {cosine}", case.name, i + 1);
                }
            }
        },
    );
}

#[test]
fn clamped_ends_tend_to_the_published_factor() {
    // Fletcher 1964: f_n times 1 + (2/π)√B + (4/π²)B, an expansion in √B: what it leaves out is of
    // order B^(3/2), so that a quarter of the stiffness leaves an eighth of the error (next term: a
    // share √B of it, within 15 % here).
    each(
        |_| true,
        |case, sounding| {
            let mut spec = pinned(&case.spec);
            (spec.layers, spec.weighed) = (Vec::new(), None);
            let error = |softening: f64| {
                let mut spec = spec.clone();
                spec.steel.youngs_modulus *= 1e-2 * softening;
                let tension = sounding.tension;
                let b = plain::inharmonicity(spec.length, spec.stiffness(), tension);
                let pinned = wound::modes(&spec, tension).expect(&case.name)[0];
                spec.ends = Ends::Clamped;
                let clamped = wound::modes(&spec, tension).expect(&case.name)[0];
                (clamped / pinned).value - plain::clamped_factor(b)
            };
            let ratio = error(1.0) / error(0.25);
            assert!((ratio / 8.0 - 1.0).abs() < 0.15, "{}: {ratio}", case.name);
        },
    );
}

#[test]
fn one_percent_of_tension_is_8_61_cents() {
    // 600 log2(1.01) = 8.613176 cents, less the share of the pitch that stiffness carries: B between
    // pinned ends, 2√B/π more between clamped ones, a little else for steps in mass: half as much
    // either way is allowed.
    each(
        |_| true,
        |case, sounding| {
            let raised = wound::modes(&case.spec, sounding.tension * 1.01).expect(&case.name)[0];
            let cents = Cents::of_ratio((raised / case.pitch).value).0;
            let spec = &case.spec;
            let b = plain::inharmonicity(spec.length, spec.stiffness(), sounding.tension).0;
            let clamped = if spec.ends == Ends::Clamped { 2.0 / PI * b.sqrt() } else { 0.0 };
            let share = 1.0 - cents / 8.613_176;
            assert!(share > 0.5 * b && share < 1.5 * (b + clamped), "{}: {cents}", case.name);
            if spec.layers.is_empty() && spec.ends == Ends::Pinned {
                let ratio = pitch::tension_ratio_stiff(Cents(cents), sounding.inharmonicity);
                close(&case.name, ratio, 1.01, ROUNDING);
            }
        },
    );
}

/// The same length, through its text in inches.
fn in_inches(length: Length) -> Length {
    let written = format!("{:.17} in", to_mm(length) / 25.4);
    text::parse(&written).expect(&written).value
}

#[test]
fn the_same_string_in_inches_sounds_the_same() {
    each(
        |_| true,
        |case, sounding| {
            let mut spec = case.spec.clone();
            spec.length = in_inches(spec.length);
            spec.core = spec.core.with_size(in_inches(spec.core.size()));
            for layer in &mut spec.layers {
                layer.wire = in_inches(layer.wire);
                layer.bare_front = in_inches(layer.bare_front);
                layer.bare_back = in_inches(layer.bare_back);
            }
            same(&case.name, &sound(&spec, case.pitch).expect(&case.name), sounding);
        },
    );
}

#[test]
fn twice_as_large_at_half_the_pitch_takes_four_times_the_tension_at_one_stress() {
    // Every term of the equation of motion scales alike: B and stress stay, partials halve.
    each(
        |_| true,
        |case, sounding| {
            let mut spec = case.spec.clone();
            spec.length *= 2.0;
            spec.core = spec.core.with_size(spec.core.size() * 2.0);
            spec.weighed = spec.weighed.map(|weighed| weighed * 4.0);
            for layer in &mut spec.layers {
                layer.wire *= 2.0;
                layer.bare_front *= 2.0;
                layer.bare_back *= 2.0;
            }
            let half = |f: Frequency| hertz(to_hertz(f) / 2.0);
            let large = sound(&spec, half(case.pitch)).expect(&case.name);
            let expected = Sounding {
                tension: sounding.tension * 4.0,
                partials: sounding.partials.map(half),
                ..sounding.clone()
            };
            same(&case.name, &large, &expected);
            close(&case.name, large.stress.value, sounding.stress.value, ROUNDING);
        },
    );
}

#[test]
fn weighing_what_was_computed_changes_nothing() {
    each(
        |case| case.spec.weighed.is_none(),
        |case, sounding| {
            let mut spec = case.spec.clone();
            spec.weighed = Some(sounding.mass_per_length);
            let weighed = sound(&spec, case.pitch).expect(&case.name);
            same(&case.name, &weighed, sounding);
            assert!(weighed.winding_mass_half_spread.value == 0.0);
        },
    );
}

#[test]
fn a_hexagon_sounds_as_the_round_core_of_its_mass_and_stiffness() {
    // Wound strings with the winding weighed see a core only through its mass, E I and area: a round
    // core of 1.050 a with E raised by 1.0073 (I of the hexagon over I of that round core) is the same.
    each(
        |case| !case.spec.layers.is_empty(),
        |case, sounding| {
            let mut hex = case.spec.clone();
            hex.weighed = Some(sounding.mass_per_length);
            hex.core = Core::Hex { across_flats: hex.core.size() };
            let diameter = hex.core.equal_area_diameter();
            let mut round = hex.clone();
            round.core = Core::Round { diameter };
            let stiffer = (hex.core.second_moment() / round.core.second_moment()).value;
            assert!((stiffer - 1.00767).abs() < 1e-5, "5√3/144 over (12/π²)·π/64: {stiffer}");
            round.steel.youngs_modulus *= stiffer;
            // Two layers share the weighed winding by their perimeters, which the shape changes.
            hex.layers.truncate(1);
            round.layers.truncate(1);
            let sounds = |spec| sound(spec, case.pitch).expect(&case.name);
            same(&case.name, &sounds(&hex), &sounds(&round));
        },
    );
}
