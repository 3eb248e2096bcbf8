//! Whatever the numbers: a string that sounds, or an error; never a panic, a NaN or a hang.

use feltwire::measure::{
    Frequency, Length, g_per_m, gpa, hertz, kg_per_m3, metres, mm, newtons, to_hertz,
};
use feltwire::physics::core::Core;
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::Layer;
use feltwire::physics::{Impossible, Sounding, StringSpec, sensitivities, sound, wound};
use proptest::prelude::*;

/// Any number at all, now and then of the size of a string's.
fn any_number(usual: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-3.0..3.0).prop_map(move |decades: f64| usual * 10_f64.powf(decades)),
        1 => proptest::num::f64::ANY,
        1 => prop::sample::select(vec![0.0, -usual, f64::NAN, f64::INFINITY, f64::MIN_POSITIVE, 1e300]),
    ]
}

/// Mostly the size of a string's.
fn mostly(usual: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        9 => (-0.5..0.5).prop_map(move |decades: f64| usual * 10_f64.powf(decades)),
        1 => any_number(usual),
    ]
}

fn any_layer() -> impl Strategy<Value = Layer> {
    (mostly(1e-3), mostly(8900.0), mostly(0.02), mostly(0.02)).prop_map(
        |(wire, density, front, back)| Layer {
            wire: metres(wire),
            density: kg_per_m3(density),
            bare_front: metres(front),
            bare_back: metres(back),
        },
    )
}

fn any_string() -> impl Strategy<Value = (StringSpec, Frequency)> {
    (
        (mostly(1.0), mostly(1e-3), any::<bool>(), mostly(7850.0), mostly(202e9)),
        prop::collection::vec(any_layer(), 0..=3),
        prop::option::weighted(0.2, mostly(0.1)),
        any::<bool>(),
        mostly(60.0),
    )
        .prop_map(|((length, size, hex, density, modulus), layers, weighed, clamped, f1)| {
            let size = metres(size);
            let core =
                if hex { Core::Hex { across_flats: size } } else { Core::Round { diameter: size } };
            let steel =
                Elastic { density: kg_per_m3(density), youngs_modulus: gpa(modulus * 1e-9) };
            let mut spec = StringSpec::plain(metres(length), core, steel);
            spec.layers = layers;
            spec.weighed = weighed.map(|weighed| g_per_m(1e3 * weighed));
            spec.ends = if clamped { Ends::Clamped } else { Ends::Pinned };
            (spec, hertz(f1))
        })
}

/// A string such as pianos have, at a stress from slack to breaking: the pitch follows from it.
fn piano_string() -> impl Strategy<Value = (StringSpec, Frequency)> {
    let layer = || (0.2..2.2, 0.0..0.15, -9.0..-0.82);
    (
        (-1.4..0.38, 0.65..1.75, any::<bool>()),
        prop::collection::vec(layer(), 0..=2),
        (150.0..1600.0, any::<bool>()),
    )
        .prop_map(
            |((decades, size, hex), layers, (stress, clamped)): ((f64, _, _), _, (f64, _))| {
                let size = mm(size);
                let core = if hex {
                    Core::Hex { across_flats: size }
                } else {
                    Core::Round { diameter: size }
                };
                let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
                // Wound strings are no shorter than 350 mm.
                let length: Length = if layers.is_empty() {
                    metres(10_f64.powf(decades))
                } else {
                    metres(10_f64.powf(decades)).max(mm(350.0))
                };
                let mut spec = StringSpec::plain(length, core, steel);
                spec.layers = layers
                    .into_iter()
                    .map(|(wire, front, back): (f64, f64, f64)| Layer {
                        bare_front: length * front,
                        bare_back: length * 10_f64.powf(back),
                        ..Layer::full(mm(wire), kg_per_m3(8930.0))
                    })
                    .collect();
                spec.ends = if clamped { Ends::Clamped } else { Ends::Pinned };
                let tension = newtons(stress * 1e6 * core.area().value);
                let mu = spec.mass_per_length().expect("a piano's string").0;
                let speed = (tension.value / mu.value).sqrt();
                (spec, hertz(speed / (2.0 * length.value)))
            },
        )
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

/// What is finite, in order, and the pitch asked for.
fn sounds_well(spec: &StringSpec, pitch: Frequency) -> Result<Sounding, Impossible> {
    let sounding = sound(spec, pitch)?;
    let first = (sounding.partials[0] / pitch).value;
    assert!((first - 1.0).abs() < 1e-9, "the first mode is the pitch");
    assert!(sounding.partials.windows(2).all(|pair| pair[1] > pair[0]), "partials rise");
    let numbers = [
        sounding.tension.value,
        sounding.stress.value,
        sounding.mass_per_length.value,
        sounding.impedance.value,
        sounding.longitudinal.value,
        to_hertz(sounding.partials[15]),
    ];
    assert!(numbers.iter().all(|number| number.is_finite() && *number > 0.0), "{numbers:?}");
    assert!(sounding.inharmonicity.0.is_finite());
    assert!(sounding.winding_mass_half_spread.value.is_finite());
    Ok(sounding)
}

proptest! {
    #![proptest_config(config(60_000))]

    #[test]
    fn any_numbers_make_a_string_or_an_error((spec, pitch) in any_string()) {
        if let Err(fault) = sounds_well(&spec, pitch) {
            prop_assert!(!fault.to_string().is_empty());
        }
    }
}

proptest! {
    #![proptest_config(config(45_000))]

    #[test]
    fn a_string_such_as_pianos_have_sounds((spec, pitch) in piano_string()) {
        match sounds_well(&spec, pitch) {
            Ok(sounding) => {
                let above = sounding.partials[15] * (1.0 + 1e-8);
                let count = wound::modes_below(&spec, sounding.tension, above);
                prop_assert_eq!(count, Ok(16));
            }
            // A thick short wire at a low stress sounds by its stiffness alone.
            Err(fault) => prop_assert!(matches!(fault, Impossible::NoTension { .. }), "{fault}"),
        }
    }
}

proptest! {
    #![proptest_config(config(5_000))]

    #[test]
    fn any_tension_makes_modes_or_an_error(
        (spec, _) in any_string(),
        tension in mostly(700.0),
    ) {
        if let Ok(modes) = wound::modes(&spec, newtons(tension)) {
            prop_assert!(modes.iter().all(|mode| mode.value.is_finite()));
        }
    }

    #[test]
    fn slopes_are_finite_or_an_error((spec, pitch) in piano_string()) {
        if let Ok(slopes) = sensitivities(&spec, pitch) {
            let all = [slopes.length, slopes.core, slopes.steel_density, slopes.youngs_modulus, slopes.pitch];
            for slope in all {
                prop_assert!(slope.ln_tension.is_finite() && slope.ln_inharmonicity.is_finite());
            }
            // More pitch takes more tension, more length too.
            prop_assert!(slopes.pitch.ln_tension > 0.0 && slopes.length.ln_tension > 0.0);
        }
    }
}
