//! The old string as it is, where it stays: told like a new one, and never bought.

use super::choice::{Make, Winding, Wire, Wound};
use super::offer::{Figures, Offer};
use crate::instrument::belief::BelievedString;
use crate::physics::StringSpec;
use std::sync::Arc;

/// `string` as it is, with its own `figures`.
pub(super) fn old(string: &BelievedString, spec: Option<&StringSpec>, figures: Figures) -> Offer {
    let wire = Wire { diameter: string.core.value, size: string.size };
    let layers = spec.map_or(&[][..], |spec| &spec.layers);
    let make = match &string.winding {
        None => Make::Plain(wire),
        Some(winding) => Make::Wound(Wound {
            core: wire,
            shape: string.shape,
            layers: layers
                .iter()
                .map(|layer| Winding {
                    wire: layer.wire,
                    material: Arc::clone(&winding.material),
                    bare_front: layer.bare_front,
                    bare_back: layer.bare_back,
                    ends_by_rule: winding.bare_front.assumed || winding.bare_back.assumed,
                })
                .collect(),
        }),
    };
    Offer { make, figures }
}
