//! The analytic slopes against central differences of the whole solution.
//!
//! Tolerance: differences at two steps, carried to step zero (Richardson), leave the fifth derivative
//! times 1e-16 and rounding of about 1e-12/1e-4; slopes are of order 1, those of B by the bare ends up
//! to some hundreds: 1e-6 of the slope and 1e-6 besides.

use crate::cases::{self, Case};
use feltwire::measure::{Frequency, hertz, to_hertz};
use feltwire::physics::{Slope, StringSpec, sensitivities, sound};

const STEP: f64 = 1e-4;

/// Slopes by a relative change, from two whole solutions.
fn difference(case: &Case, change: impl Fn(&mut StringSpec, &mut Frequency, f64)) -> Slope {
    let at = |step: f64| {
        let (mut spec, mut pitch) = (case.spec.clone(), case.pitch);
        change(&mut spec, &mut pitch, step);
        let sounding = sound(&spec, pitch).expect(&case.name);
        (sounding.tension.value.ln(), sounding.inharmonicity.0.ln())
    };
    let central = |step: f64| {
        let (up, down) = (at(step), at(-step));
        [(up.0 - down.0) / (2.0 * step), (up.1 - down.1) / (2.0 * step)]
    };
    let (wide, narrow) = (central(STEP), central(STEP / 2.0));
    let [ln_tension, ln_inharmonicity] = [0, 1].map(|i| (4.0 * narrow[i] - wide[i]) / 3.0);
    Slope { ln_tension, ln_inharmonicity }
}

fn agree(case: &Case, input: &str, slope: Slope, difference: Slope) {
    for (ours, theirs) in [
        (slope.ln_tension, difference.ln_tension),
        (slope.ln_inharmonicity, difference.ln_inharmonicity),
    ] {
        let error = (ours - theirs).abs();
        assert!(
            error <= 1e-6 + 1e-6 * theirs.abs(),
            "{} by {input}: {ours} against {theirs}",
            case.name
        );
    }
}

#[test]
fn slopes_are_those_of_the_whole_solution() {
    for case in cases::all() {
        let slopes = sensitivities(&case.spec, case.pitch).expect(&case.name);
        let check = |input, slope, change: &dyn Fn(&mut StringSpec, &mut Frequency, f64)| {
            agree(&case, input, slope, difference(&case, change));
        };
        check("length", slopes.length, &|spec, _, step| spec.length *= 1.0 + step);
        check("core", slopes.core, &|spec, _, step| {
            spec.core = spec.core.with_size(spec.core.size() * (1.0 + step));
        });
        check("steel", slopes.steel_density, &|spec, _, step| spec.steel.density *= 1.0 + step);
        check("modulus", slopes.youngs_modulus, &|spec, _, step| {
            spec.steel.youngs_modulus *= 1.0 + step;
        });
        check("pitch", slopes.pitch, &|_, pitch, step| {
            *pitch = hertz(to_hertz(*pitch) * (1.0 + step));
        });
        check("weighed", slopes.weighed, &|spec, _, step| {
            spec.weighed = spec.weighed.map(|weighed| weighed * (1.0 + step));
        });
        for (i, layer) in slopes.layers.iter().enumerate() {
            check("wire", layer.wire, &|spec, _, step| spec.layers[i].wire *= 1.0 + step);
            check("metal", layer.density, &|spec, _, step| spec.layers[i].density *= 1.0 + step);
            // Where the winding starts at the end itself nothing moves: the slope is zero, and a
            // difference would need a bare end below zero.
            if case.spec.layers[i].bare_front.value == 0.0 {
                agree(&case, "no bare front", layer.bare_front, Slope::default());
            } else {
                check("bare front", layer.bare_front, &|spec, _, step| {
                    spec.layers[i].bare_front += spec.length * step;
                });
            }
            check("bare back", layer.bare_back, &|spec, _, step| {
                spec.layers[i].bare_back += spec.length * step;
            });
        }
    }
}

#[test]
fn layers_that_end_at_one_place_move_together() {
    let mut seen = 0;
    for mut case in cases::all().into_iter().filter(|case| case.spec.layers.len() == 2) {
        (case.spec.layers[1].bare_front, case.spec.layers[1].bare_back) =
            (case.spec.layers[0].bare_front, case.spec.layers[0].bare_back);
        let slopes = sensitivities(&case.spec, case.pitch).expect(&case.name);
        let [inner, outer] = [slopes.layers[0], slopes.layers[1]];
        let front = difference(&case, |spec, _, step| {
            let moved = spec.length * step;
            spec.layers.iter_mut().for_each(|layer| layer.bare_front += moved);
        });
        agree(&case, "front of both", inner.bare_front + outer.bare_front, front);
        let back = difference(&case, |spec, _, step| {
            let moved = spec.length * step;
            spec.layers.iter_mut().for_each(|layer| layer.bare_back += moved);
        });
        agree(&case, "back of both", inner.bare_back + outer.bare_back, back);
        let length = difference(&case, |spec, _, step| spec.length *= 1.0 + step);
        agree(&case, "length", slopes.length, length);
        seen += 1;
    }
    assert!(seen >= 3, "{seen} strings with two layers");
}

#[test]
fn caliper_slopes_are_those_of_wires_worked_out_again() {
    let mut seen = 0;
    for case in cases::all().into_iter().filter(|case| !case.spec.layers.is_empty()) {
        let slopes =
            sensitivities(&case.spec, case.pitch).expect(&case.name).by_caliper(&case.spec);
        let wires: Vec<_> = case.spec.layers.iter().map(|layer| layer.wire).collect();
        // Readings over core (at its corners) and layers, then the wires from them.
        let overs = |spec: &StringSpec| {
            let mut over = vec![spec.core.across_corners()];
            for wire in &wires {
                over.push(over[over.len() - 1] + 2.0 * *wire);
            }
            over
        };
        let rework = |spec: &mut StringSpec, read: usize, step: f64| {
            let mut over = overs(spec);
            if read == 0 {
                spec.core = spec.core.with_size(spec.core.size() * (1.0 + step));
                over[0] = spec.core.across_corners();
            } else {
                over[read] *= 1.0 + step;
            }
            for (i, layer) in spec.layers.iter_mut().enumerate() {
                layer.wire = (over[i + 1] - over[i]) / 2.0;
            }
        };
        agree(
            &case,
            "core under caliper",
            slopes.core,
            difference(&case, |spec, _, step| rework(spec, 0, step)),
        );
        for (i, slope) in slopes.over.iter().enumerate() {
            agree(
                &case,
                "over",
                *slope,
                difference(&case, |spec, _, step| rework(spec, i + 1, step)),
            );
            seen += 1;
        }
    }
    assert!(seen >= 10, "{seen} readings over windings");
}
