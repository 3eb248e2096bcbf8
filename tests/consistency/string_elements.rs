//! The exact modes against finite elements, over the cases of `cases.toml` and a grid besides.
//!
//! Tolerance: 0.05 cent in each of 16 partials, ten times what a finer mesh still changes.

use crate::cases;
use crate::finite_elements::{Mesh, Piece};
use feltwire::measure::{gpa, hertz, kg_per_m3, mm, to_hertz};
use feltwire::physics::core::Core;
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::Layer;
use feltwire::physics::{StringSpec, sound};

const ALLOWED_CENTS: f64 = 0.05;

/// Pieces from geometry alone: where a layer is, it weighs (π/4) ρ t times its perimeter.
fn pieces(spec: &StringSpec) -> Vec<Piece> {
    let length = spec.length.value;
    let mut cuts = vec![0.0, length];
    for layer in &spec.layers {
        cuts.extend([layer.bare_front.value, length - layer.bare_back.value]);
    }
    cuts.sort_by(f64::total_cmp);
    let core = (spec.core.area() * spec.steel.density).value;
    let winding = |at: Option<f64>| {
        let mut under = 0.0;
        let mut mass = 0.0;
        for layer in &spec.layers {
            let here = at.is_none_or(|at| {
                layer.bare_front.value < at && at < length - layer.bare_back.value
            });
            if here {
                let (wire, size) = (layer.wire.value, spec.core.size().value);
                let around = match spec.core {
                    Core::Round { .. } => std::f64::consts::PI * size,
                    Core::Hex { .. } => {
                        f64::midpoint(12_f64.sqrt(), std::f64::consts::PI * 2.0 / 3_f64.sqrt())
                            * size
                    }
                };
                let perimeter = around + std::f64::consts::PI * (2.0 * under + wire);
                mass += layer.density.value * std::f64::consts::PI / 4.0 * wire * perimeter;
                under += wire;
            }
        }
        mass
    };
    let scale = match spec.weighed {
        Some(weighed) if !spec.layers.is_empty() => (weighed.value - core) / winding(None),
        _ => 1.0,
    };
    let core = match spec.weighed {
        Some(weighed) if spec.layers.is_empty() => weighed.value,
        _ => core,
    };
    cuts.windows(2)
        .filter(|cut| cut[1] - cut[0] > 1e-7)
        .map(|cut| (cut[1] - cut[0], core + scale * winding(Some(f64::midpoint(cut[0], cut[1])))))
        .collect()
}

fn worst_cents(spec: &StringSpec, pitch: feltwire::measure::Frequency, name: &str) -> f64 {
    let sounding = sound(spec, pitch).expect(name);
    let stiffness = spec.stiffness().value;
    let clamped = spec.ends == Ends::Clamped;
    let mesh = Mesh::new(&pieces(spec), stiffness, sounding.tension.value, clamped, 1.0);
    let theirs = mesh.frequencies(sounding.partials.len());
    let cents = sounding
        .partials
        .iter()
        .zip(theirs)
        .map(|(ours, theirs)| (1200.0 * (to_hertz(*ours) / theirs).log2()).abs());
    cents.fold(0.0, f64::max)
}

#[test]
fn every_case_has_the_modes_of_finite_elements() {
    for case in cases::all() {
        let worst = worst_cents(&case.spec, case.pitch, &case.name);
        assert!(worst <= ALLOWED_CENTS, "{}: {worst} cents", case.name);
    }
}

#[test]
fn a_grid_of_bare_ends_and_masses_has_the_modes_of_finite_elements() {
    let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
    for (length, core, pitch) in [(700.0, 0.85, 98.0), (1900.0, 1.5, 27.5)] {
        for front in [0.0, 0.005, 0.02, 0.05, 0.2] {
            for back in [0.001, 0.03, 0.1] {
                for (wire, ends) in
                    [(0.15, Ends::Pinned), (0.9, Ends::Clamped), (2.6, Ends::Pinned)]
                {
                    let core = Core::Round { diameter: mm(core) };
                    let mut spec = StringSpec::plain(mm(length), core, steel);
                    spec.ends = ends;
                    spec.layers = vec![Layer {
                        bare_front: spec.length * front,
                        bare_back: spec.length * back,
                        ..Layer::full(mm(wire), kg_per_m3(8930.0))
                    }];
                    let name = format!("{length} mm, {wire} mm wire, bare {front} and {back}");
                    let worst = worst_cents(&spec, hertz(pitch), &name);
                    assert!(worst <= ALLOWED_CENTS, "{name}: {worst} cents");
                }
            }
        }
    }
}
