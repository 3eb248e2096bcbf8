//! From what is believed of a string to what the equations take.

use crate::instrument::CoreShape;
use crate::instrument::belief::{BelievedString, BelievedWinding};
use crate::measure::Length;
use crate::physics::core::Core;
use crate::physics::string::{Elastic, Ends};
use crate::physics::winding::{self, Layer};
use crate::physics::{Impossible, StringSpec};

/// What the equations take for `string` between `ends`.
pub fn spec_of(string: &BelievedString, ends: Ends) -> Result<StringSpec, Impossible> {
    let core = match string.shape {
        CoreShape::Round => Core::Round { diameter: string.core.value },
        CoreShape::Hex => Core::Hex { across_flats: string.core.value },
    };
    let material = &string.material;
    // A material without a modulus is refused by the reader where wire is asked for.
    let youngs_modulus =
        material.youngs_modulus.ok_or(Impossible::NotPositive { what: "Young's modulus" })?.value;
    let steel = Elastic { density: material.density.value, youngs_modulus };
    let layers = match &string.winding {
        None => Vec::new(),
        Some(winding) => layers(winding, core)?,
    };
    Ok(StringSpec {
        length: string.length.value,
        core,
        steel,
        layers,
        weighed: string.weighed.map(|mass| mass.value),
        ends,
    })
}

/// The layers of a winding from the core outwards.
fn layers(winding: &BelievedWinding, core: Core) -> Result<Vec<Layer>, Impossible> {
    let density = winding.material.density.value;
    let (front, back) = (winding.bare_front.length.value, winding.bare_back.length.value);
    let layer = |wire, bare_front, bare_back| Layer { wire, density, bare_front, bare_back };
    let Some(under) = winding.under else {
        let wire = match winding.wire {
            Some(wire) => wire.value,
            None => winding::wire_from_over(core, winding.over.value)?,
        };
        return Ok(vec![layer(wire, front, back)]);
    };
    let inner = winding::wire_from_over(core, under.value)?;
    let outer = match winding.wire {
        Some(wire) => wire.value,
        None => winding::wire_between(under.value, winding.over.value)?,
    };
    Ok(vec![
        layer(
            inner,
            winding.under_bare_front.map_or(front, |m| m.value),
            winding.under_bare_back.map_or(back, |m| m.value),
        ),
        layer(outer, front, back),
    ])
}

/// The string with other bare ends, front and back.
pub(crate) fn with_bare_ends(string: &BelievedString, ends: [Length; 2]) -> BelievedString {
    let mut other = string.clone();
    if let Some(winding) = other.winding.as_mut() {
        [winding.bare_front.length.value, winding.bare_back.length.value] = ends;
    }
    other
}
