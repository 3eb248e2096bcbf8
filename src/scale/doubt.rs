//! How each doubt reaches tension, stress, mass and inharmonicity, to first order.
//!
//! The equations answer to what a string *is* (core, winding wire); the readings are what was put a
//! tool to (core, over the winding). A winding wire taken from the diameter over it shrinks when the
//! core reads larger, so that one reading reaches the figures along two ways, which are added before
//! anything is squared.

use super::cause::{Cause, MATERIALS, Shared};
use crate::instrument::CoreShape;
use crate::instrument::belief::{BelievedString, Shares};
use crate::physics::winding::layer_mass;
use crate::physics::{Impossible, Sensitivities, Slope, StringSpec};

/// Relative change of the figures of a string for one standard deviation of one cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Which cause.
    pub cause: Cause,
    /// Of the tension.
    pub tension: f64,
    /// Of the stress in the core.
    pub stress: f64,
    /// Of the mass per length.
    pub mass: f64,
    /// Of the inharmonicity.
    pub inharmonicity: f64,
    /// Of that standard deviation, the share that all notes have in common; of materials, which one
    /// lot of wire has in common, `None`.
    pub shared: Option<(Shared, f64)>,
}

/// The effect of everything that has a doubt.
pub fn effects(
    string: &BelievedString,
    spec: &StringSpec,
    slopes: &Sensitivities,
) -> Result<Vec<Effect>, Impossible> {
    Cause::ALL
        .into_iter()
        .filter(|cause| cause.sd(string) > 0.0)
        .map(|cause| effect(cause, string, spec, slopes))
        .collect()
}

fn effect(
    cause: Cause,
    string: &BelievedString,
    spec: &StringSpec,
    slopes: &Sensitivities,
) -> Result<Effect, Impossible> {
    let sd = cause.sd(string);
    let length = spec.length.value;
    let ways = ways(cause, string);
    let mut sum = Slope::default();
    let mut add = |slope: Slope, relative: f64| {
        sum.ln_tension += slope.ln_tension * relative;
        sum.ln_inharmonicity += slope.ln_inharmonicity * relative;
    };
    match cause {
        Cause::Length => add(slopes.length, sd / length),
        Cause::Weighed => {
            let weighed = string.weighed.map_or(f64::INFINITY, |mass| mass.value.value);
            add(slopes.weighed, sd / weighed);
        }
        Cause::BareFront | Cause::BareBack => add(end_slope(cause, string, slopes), sd / length),
        Cause::Core | Cause::Over | Cause::WindingWire | Cause::Under => {
            if cause == Cause::Core {
                add(slopes.core, sd / spec.core.size().value);
            }
            for ((layer, slope), way) in spec.layers.iter().zip(&slopes.layers).zip(ways) {
                add(slope.wire, way * sd / layer.wire.value);
            }
        }
        // More mass in a layer does what a denser metal does.
        Cause::HexWinding => {
            for (share, slope) in half_spreads(spec).into_iter().zip(&slopes.layers) {
                add(slope.density, sd * share);
            }
        }
        Cause::SteelDensity => add(slopes.steel_density, sd / spec.steel.density.value),
        Cause::Modulus => add(slopes.youngs_modulus, sd / spec.steel.youngs_modulus.value),
        Cause::WindingDensity => {
            for (layer, slope) in spec.layers.iter().zip(&slopes.layers) {
                add(slope.density, sd / layer.density.value);
            }
        }
    }
    let core = if cause == Cause::Core { sd / spec.core.size().value } else { 0.0 };
    Ok(Effect {
        cause,
        tension: sum.ln_tension,
        stress: sum.ln_tension - 2.0 * core,
        mass: mass(cause, spec, sd, ways)?,
        inharmonicity: sum.ln_inharmonicity,
        shared: cause.shared(string),
    })
}

/// By how much each chance moves the tension, relative to it; what one reading does along two ways is
/// added. Materials stay apart.
pub fn tension_shares(effects: &[Effect], string: &BelievedString) -> Shares {
    let mut sums: Vec<(usize, f64)> = Vec::new();
    let mut add = |chance: usize, moves: f64| match sums.iter_mut().find(|sum| sum.0 == chance) {
        Some(sum) => sum.1 += moves,
        None => sums.push((chance, moves)),
    };
    for effect in effects {
        if effect.cause == Cause::HexWinding {
            add(Shared::HexWinding as usize, effect.tension);
        }
        let Some(shares) = effect.cause.shares(string) else { continue };
        let sd = shares.sd();
        for share in shares.iter() {
            add(share.chance, effect.tension * share.moves / sd);
        }
    }
    sums.into_iter().collect()
}

/// Of each layer's mass, half the distance of the bounds that a hexagonal core leaves.
pub(super) fn half_spreads(spec: &StringSpec) -> [f64; 2] {
    let mut shares = [0.0; 2];
    let mut below = crate::measure::mm(0.0);
    for (share, layer) in shares.iter_mut().zip(&spec.layers) {
        let mass = layer_mass(spec.core, below, layer.wire, layer.density);
        *share = (mass.half_spread / mass.value).value;
        below += layer.wire;
    }
    shares
}

/// One figure's doubt, relative, by where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Parts {
    /// Scatter of the readings, new at every note.
    pub scatter: f64,
    /// By [`Shared`]: what all notes have in common; with its sign.
    pub shared: [f64; Shared::COUNT],
    /// Wire's density, its modulus, the winding's density: what one lot has in common; with its sign.
    pub material: [f64; MATERIALS],
}

impl Parts {
    /// From the effects on one figure, `read` from each.
    pub(crate) fn of(effects: &[Effect], read: impl Fn(&Effect) -> f64) -> Self {
        let mut parts = Self::default();
        let mut scatter = 0.0;
        for effect in effects {
            let size = read(effect);
            if let Some(place) = effect.cause.material() {
                parts.material[place] += size;
                continue;
            }
            let share = effect.shared.map_or(0.0, |(what, share)| {
                parts.shared[what as usize] += size * share;
                share
            });
            scatter += size * size * (1.0 - share * share);
        }
        parts.scatter = scatter.max(0.0).sqrt();
        parts
    }

    /// One standard deviation of what all notes have in common.
    pub fn in_common(&self) -> f64 {
        norm(&self.shared)
    }

    /// One standard deviation of what the materials leave open.
    pub fn of_material(&self) -> f64 {
        norm(&self.material)
    }

    /// One standard deviation from the readings of this string: scatter and what all notes have in
    /// common. This is the ± that is printed; the materials' stands beside it.
    pub fn of_readings(&self) -> f64 {
        self.scatter.hypot(self.in_common())
    }

    /// The same with more scatter of its own.
    #[must_use]
    pub(crate) fn scattered(self, more: f64) -> Self {
        Self { scatter: self.scatter.hypot(more), ..self }
    }
}

fn norm(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// The doubts of one string's figures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Doubts {
    /// Of the tension.
    pub tension: Parts,
    /// Of the stress.
    pub stress: Parts,
    /// Of tension over breaking load.
    pub load: Parts,
    /// Of the mass per length.
    pub mass: Parts,
    /// Of the inharmonicity, to first order.
    pub inharmonicity: Parts,
}

/// How far the wire of each layer, from the core outwards, grows with a unit of this reading.
fn ways(cause: Cause, string: &BelievedString) -> [f64; 2] {
    let Some(winding) = &string.winding else { return [0.0; 2] };
    // A micrometer over a hexagonal core's winding rests on the corners, 2/√3 of across flats.
    let core = match string.shape {
        CoreShape::Round => -0.5,
        CoreShape::Hex => -1.0 / 3.0_f64.sqrt(),
    };
    let outer_read = winding.wire.is_some();
    match (cause, winding.under.is_some()) {
        (Cause::Core, true) => [core, 0.0],
        (Cause::Core, false) if !outer_read => [core, 0.0],
        (Cause::Over, true) if !outer_read => [0.0, 0.5],
        (Cause::Over, false) if !outer_read => [0.5, 0.0],
        (Cause::WindingWire, true) => [0.0, 1.0],
        (Cause::WindingWire, false) => [1.0, 0.0],
        (Cause::Under, true) => [0.5, if outer_read { 0.0 } else { -0.5 }],
        _ => [0.0; 2],
    }
}

/// The slope by a bare end: of the outer layer, and of the inner one too unless its end was read.
fn end_slope(cause: Cause, string: &BelievedString, slopes: &Sensitivities) -> Slope {
    let inner = string.winding.as_ref().and_then(|winding| match cause {
        Cause::BareFront => winding.under_bare_front,
        _ => winding.under_bare_back,
    });
    let outer = slopes.layers.last().copied().unwrap_or_default();
    match (cause, inner) {
        (Cause::BareFront, Some(_)) => outer.bare_front,
        (_, Some(_)) => outer.bare_back,
        (Cause::BareFront, None) => slopes.bare_front,
        (_, None) => slopes.bare_back,
    }
}

/// Relative change of the mass per length, by moving the string itself a little.
fn mass(cause: Cause, spec: &StringSpec, sd: f64, ways: [f64; 2]) -> Result<f64, Impossible> {
    const STEP: f64 = 1e-3;
    if cause == Cause::Weighed {
        return Ok(spec.weighed.map_or(0.0, |mass| sd / mass.value));
    }
    let still = matches!(
        cause,
        Cause::Length | Cause::BareFront | Cause::BareBack | Cause::Modulus | Cause::Weighed
    );
    if spec.weighed.is_some() || still {
        return Ok(0.0);
    }
    let open = half_spreads(spec);
    let moved = |by: f64| -> Result<f64, Impossible> {
        let mut other = spec.clone();
        if cause == Cause::Core {
            let mut size = other.core.size();
            size.value += by;
            other.core = other.core.with_size(size);
        }
        if cause == Cause::SteelDensity {
            other.steel.density.value += by;
        }
        for ((layer, way), open) in other.layers.iter_mut().zip(ways).zip(open) {
            layer.wire.value += way * by;
            match cause {
                Cause::WindingDensity => layer.density.value += by,
                Cause::HexWinding => layer.density.value *= 1.0 + open * by,
                _ => {}
            }
        }
        Ok(other.mass_per_length()?.0.value)
    };
    let (up, down) = (moved(STEP * sd)?, moved(-STEP * sd)?);
    Ok((up - down) / STEP / (up + down))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::Material;
    use crate::instrument::belief::{BareEnd, BelievedWinding, StringShares, WindingShares};
    use crate::measure::{Length, Measured, hertz, mm};
    use crate::physics::{sensitivities, sound};
    use crate::scale::spec::spec_of;
    use crate::stock::material;
    use std::sync::Arc;

    fn read(value: f64, sd: f64) -> Measured<Length> {
        Measured::new(mm(value), mm(sd))
    }

    fn wound(shape: CoreShape, wire: Option<f64>, under: Option<f64>) -> BelievedString {
        let named = |name| Arc::new(Material::from(material(name).expect("of the table")));
        let bare = |value| BareEnd { length: read(value, 1.0), assumed: false };
        BelievedString {
            length: read(1100.0, 1.3),
            core: read(1.2, 0.005),
            size: None,
            shape,
            material: named("steel-modern"),
            winding: Some(BelievedWinding {
                over: read(4.6, 0.03),
                wire: wire.map(|wire| read(wire, 0.005)),
                under: under.map(|under| read(under, 0.03)),
                material: named("copper"),
                bare_front: bare(18.0),
                bare_back: bare(25.0),
                under_bare_front: under.map(|_| read(12.0, 1.0)),
                under_bare_back: None,
                approximate: false,
                shares: WindingShares::default(),
            }),
            weighed: None,
            breaking_load: None,
            strike: None,
            place: None,
            shares: StringShares::default(),
        }
    }

    /// One reading moved by `by` metres; what follows from it follows.
    fn moved(string: &BelievedString, cause: Cause, by: f64) -> BelievedString {
        let mut moved = string.clone();
        let winding = moved.winding.as_mut().expect("wound");
        match cause {
            Cause::Length => moved.length.value.value += by,
            Cause::Core => moved.core.value.value += by,
            Cause::Over => winding.over.value.value += by,
            Cause::WindingWire => winding.wire.as_mut().expect("read").value.value += by,
            Cause::Under => winding.under.as_mut().expect("read").value.value += by,
            Cause::BareFront => winding.bare_front.length.value.value += by,
            Cause::BareBack => winding.bare_back.length.value.value += by,
            // What is no reading is moved in the spec.
            _ => {}
        }
        moved
    }

    fn spec_moved(string: &BelievedString, cause: Cause, by: f64) -> StringSpec {
        let ends = crate::physics::string::Ends::Pinned;
        let mut spec = spec_of(&moved(string, cause, by), ends).expect("possible");
        let open = half_spreads(&spec);
        match cause {
            Cause::SteelDensity => spec.steel.density.value += by,
            Cause::Modulus => spec.steel.youngs_modulus.value += by,
            Cause::WindingDensity => {
                spec.layers.iter_mut().for_each(|layer| layer.density.value += by);
            }
            Cause::HexWinding => {
                for (layer, open) in spec.layers.iter_mut().zip(open) {
                    layer.density.value *= 1.0 + open * by;
                }
            }
            _ => {}
        }
        spec
    }

    /// Each reading moved by a hundredth of its deviation to both sides and the string solved anew.
    #[test]
    fn effects_are_what_moving_the_reading_does() {
        let cases = [
            wound(CoreShape::Round, None, None),
            wound(CoreShape::Hex, None, None),
            wound(CoreShape::Round, Some(1.7), None),
            wound(CoreShape::Round, None, Some(2.6)),
            wound(CoreShape::Hex, Some(1.0), Some(2.6)),
        ];
        let mut checked = 0;
        for string in cases {
            let ends = crate::physics::string::Ends::Pinned;
            let spec = spec_of(&string, ends).expect("possible");
            let slopes = sensitivities(&spec, hertz(50.0)).expect("possible");
            for effect in effects(&string, &spec, &slopes).expect("possible") {
                let sd = effect.cause.sd(&string);
                let at = |by: f64| {
                    let spec = spec_moved(&string, effect.cause, by);
                    sound(&spec, hertz(50.0)).expect("possible")
                };
                let (up, down) = (at(0.01 * sd), at(-0.01 * sd));
                let slope = |up: f64, down: f64| (up - down) / 0.01 / (up + down);
                for (said, seen) in [
                    (effect.tension, slope(up.tension.value, down.tension.value)),
                    (effect.stress, slope(up.stress.value, down.stress.value)),
                    (effect.mass, slope(up.mass_per_length.value, down.mass_per_length.value)),
                    (effect.inharmonicity, slope(up.inharmonicity.0, down.inharmonicity.0)),
                ] {
                    // The differences lose about 1e-9 to rounding, and a thousandth to curvature.
                    assert!(
                        (said - seen).abs() < 1e-3 * seen.abs() + 2e-8,
                        "{string:?} {effect:?} {seen}"
                    );
                    checked += 1;
                }
            }
        }
        assert!(checked >= 180, "{checked}");
    }
}
