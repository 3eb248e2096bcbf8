//! The modes of a wound string at a given tension, and what explains its inharmonicity; for findings
//! and for whoever has the tension and wants the pitch.
//!
//! A mode of the whole stepped string is found exactly (`stepped`). For explanation: the core alone
//! gives `B = pi^2 E I/(T L^2)`; bare ends of lengths `a_i` add, to first order,
//! `(2 pi^2/3) (1 - mu_c/mu_w) sum (a_i/L)^3`: E I of the core (N m^2), T tension (N), L length and
//! `a_i` bare ends (m), `mu_c` and `mu_w` mass per length of core and wound part (kg/m).
//! Source: the bare ends move as straight levers (derivation by Rayleigh's principle); held against
//! finite elements in `tests/published`: within 3 % of the fitted B for bare ends up to 2 % of L.
//! Holds for one or two layers with any bare ends; first order is for explanation only and
//! computes nothing.
//!
//! ```
//! use feltwire::measure::{gpa, kg_per_m3, mm, newtons};
//! use feltwire::physics::{StringSpec, core::Core, string::Elastic, wound, winding::Layer};
//! // Finite elements (`tests/published`, case A): E1, 1.4 m, core 1.0 mm, 1.8 mm over copper 8900,
//! // 20 mm bare at each end, 437.87 N: B over partials 1-8 is 1.3849e-4.
//! let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
//! let mut spec = StringSpec::plain(mm(1400.0), Core::Round { diameter: mm(1.0) }, steel);
//! let mut copper = Layer::full(mm(0.4), kg_per_m3(8900.0));
//! (copper.bare_front, copper.bare_back) = (mm(20.0), mm(20.0));
//! spec.layers.push(copper);
//! let parts = wound::explain(&spec, newtons(437.87)).unwrap();
//! assert!(((parts.core.0 + parts.bare_ends.0) / 1.3849e-4 - 1.0).abs() < 0.03);
//! ```

use super::impossible::positive;
use super::stepped::{Mode, Stepped};
use super::string::{PARTIALS, StringSpec, next_guess, partials};
use super::{Impossible, plain};
use crate::measure::{Force, Frequency, Inharmonicity, Length, hertz};
use std::f64::consts::TAU;

/// Where the inharmonicity comes from, to first order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Explanation {
    /// The stiffness of the core, wound from end to end.
    pub core: Inharmonicity,
    /// The bare ends of the winding.
    pub bare_ends: Inharmonicity,
}

/// Partials 1 to 16 at a given tension: the reverse of [`sound`](super::sound()).
pub fn modes(spec: &StringSpec, tension: Force) -> Result<[Frequency; PARTIALS], Impossible> {
    let (stepped, tension) = at_tension(spec, tension)?;
    let first = stepped.mode(tension, 1, stepped.first_squared(tension), 0.0)?.squared;
    let squared = partials(&stepped, tension, first)?;
    Ok(squared.map(|squared| hertz(squared.sqrt() / TAU)))
}

/// How many modes lie below `frequency`.
pub fn modes_below(
    spec: &StringSpec,
    tension: Force,
    frequency: Frequency,
) -> Result<usize, Impossible> {
    let (stepped, tension) = at_tension(spec, tension)?;
    let frequency = positive(frequency.value, "the frequency")?;
    stepped.modes_below(tension, (TAU * frequency).powi(2))
}

/// Deflection of mode `n` at `places` from the front end, its largest there set to 1.
pub fn shape(
    spec: &StringSpec,
    tension: Force,
    n: u32,
    places: &[Length],
) -> Result<Vec<f64>, Impossible> {
    let (stepped, tension) = at_tension(spec, tension)?;
    if n == 0 || n as usize > PARTIALS {
        return Err(Impossible::NotPositive { what: "the number of the mode, 1 to 16," });
    }
    let mode = nth(&stepped, tension, n as usize)?;
    let shape: Vec<f64> =
        places.iter().map(|place| stepped.deflection(&mode, place.value)).collect();
    let largest =
        shape.iter().fold(0.0, |most: f64, y| if y.abs() > most.abs() { *y } else { most });
    if largest == 0.0 { Ok(shape) } else { Ok(shape.iter().map(|y| y / largest).collect()) }
}

/// The mode nearest to `frequency`, at or above mode 1: its number and frequency.
///
/// `Err` as [`modes`], and where the frequency is so high that the string would have to be cut into too
/// many parts (above about partial 60).
pub fn nearest_mode(
    spec: &StringSpec,
    tension: Force,
    frequency: Frequency,
) -> Result<(u32, Frequency), Impossible> {
    let wanted = positive(frequency.value, "the frequency")?;
    if spec.is_closed() {
        return nearest_closed(spec, tension, wanted);
    }
    let (stepped, tension) = at_tension(spec, tension)?;
    let squared = (TAU * wanted).powi(2);
    let below = stepped.modes_below(tension, squared)?;
    let upper = stepped.mode(tension, below + 1, squared, 0.0)?.squared;
    let above = ((below + 1) as u32, hertz(upper.sqrt() / TAU));
    if below == 0 {
        return Ok(above);
    }
    let lower = stepped.mode(tension, below, squared, 0.0)?.squared;
    Ok(nearer(wanted, (below as u32, hertz(lower.sqrt() / TAU)), above))
}

/// Of a plain string between pinned ends.
fn nearest_closed(
    spec: &StringSpec,
    tension: Force,
    wanted: f64,
) -> Result<(u32, Frequency), Impossible> {
    let force = Force { value: positive(tension.value, "the tension")?, ..Force::default() };
    let (mass, _) = spec.mass_per_length()?;
    let b = plain::inharmonicity(spec.length, spec.stiffness(), force);
    let ideal = plain::ideal_frequency(spec.length, mass, force);
    // n from wanted = n f0 sqrt(1 + B n^2).
    let ratio2 = (wanted / ideal.value).powi(2);
    let n2 = 2.0 * ratio2 / (1.0 + (1.0 + 4.0 * b.0 * ratio2).sqrt());
    if n2.is_nan() || n2 > 1e8 {
        return Err(Impossible::OutOfReach);
    }
    let below = n2.sqrt().floor().max(1.0) as u32;
    let at = |n: u32| (n, plain::partial(ideal, b, n));
    Ok(nearer(wanted, at(below), at(below + 1)))
}

/// Of two partials, the one nearer to `wanted` as an interval.
fn nearer(wanted: f64, below: (u32, Frequency), above: (u32, Frequency)) -> (u32, Frequency) {
    if wanted * wanted < below.1.value * above.1.value { below } else { above }
}

/// The parts of B to first order; the outer layer's ends count with its own mass.
pub fn explain(spec: &StringSpec, tension: Force) -> Result<Explanation, Impossible> {
    let (stepped, tension) = at_tension(spec, tension)?;
    let core = plain::inharmonicity(
        spec.length,
        spec.stiffness(),
        Force { value: tension, ..Force::default() },
    );
    Ok(Explanation { core, bare_ends: Inharmonicity(stepped.first_order_b(tension) - core.0) })
}

fn at_tension(spec: &StringSpec, tension: Force) -> Result<(Stepped, f64), Impossible> {
    Ok((spec.stepped()?, positive(tension.value, "the tension")?))
}

fn nth(stepped: &Stepped, tension: f64, n: usize) -> Result<Mode, Impossible> {
    let mut mode = stepped.mode(tension, 1, stepped.first_squared(tension), 0.0)?;
    let mut below = vec![mode.squared];
    while below.len() < n {
        let guess = next_guess(stepped, tension, &below);
        mode = stepped.mode(tension, below.len() + 1, guess, mode.squared)?;
        below.push(mode.squared);
    }
    stepped.polished(tension, &mode)
}
