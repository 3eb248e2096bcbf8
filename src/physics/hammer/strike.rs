//! Felt against a rigid stop, in closed form, and the ratio of hammer to string mass, for `action`.
//!
//! Felt pushes back with F = K xᵖ (x compression, m; K stiffness, N/mᵖ; p a pure number, 1 or
//! more). A head of mass M arrives at V; there is no loss:
//!
//! - energy: M V²/2 = K Xᵖ⁺¹/(p + 1), so the greatest compression is
//!   X = [(p + 1) M V²/(2K)]^(1/(p + 1)) and the peak force K Xᵖ
//! - time, there and back: t = (2/V) ∫ dx/√(1 − (x/X)ᵖ⁺¹) from 0 to X
//!   = 2√π (X/V) Γ(1 + 1/(p + 1))/Γ(1/2 + 1/(p + 1))
//! - hammer over string mass: with Z the unison's impedance, M/(2Z) is the time in which an endless
//!   string would slow the hammer; a unison of mass m and period T has Z = 2m/T, hence
//!   M/m = 4 (M/(2Z))/T: four times the deceleration time over the period. It goes with how many
//!   periods the head stays on the string.
//!
//! Source: energy and a beta integral, derived here; p = 1 is the half period of a mass on a
//! spring. Holds for a stop that does not give. It leaves out the string: contact on a string is
//! longer and the peak lower, about twice in the bass; and hysteresis, without which felt
//! understates how the sound changes with dynamics. A flexible string is not modelled here yet; it
//! would stand beside [`Felt`] in this file.
//!
//! ```
//! use feltwire::measure::{kilograms, metres_per_second, to_ms};
//! use feltwire::physics::hammer::strike::Felt;
//! // Mass on a spring: half a period, π√(M/K) = π·√(0.01/10 000) s = 3.14159 ms.
//! let spring = Felt::new(10_000.0, 1.0).unwrap();
//! let stop = spring.against_rigid_stop(kilograms(0.01), metres_per_second(2.0)).unwrap();
//! assert!((to_ms(stop.contact) - 3.141_592_653_59).abs() < 1e-10);
//! ```

use super::fault::{HammerFault, finite, not_negative, positive};
use crate::measure::{
    Force, Length, Mass, MassRate, Time, Velocity, metres, newtons, seconds, to_kg_per_s,
    to_kilograms, to_metres, to_metres_per_second,
};
use statrs::function::gamma::ln_gamma;
use std::f64::consts::PI;

/// Felt that pushes back with F = K xᵖ, without loss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Felt {
    stiffness: f64,
    exponent: f64,
}

/// A blow against a stop that does not give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RigidStop {
    /// Greatest compression.
    pub compression: Length,
    /// Force there.
    pub peak: Force,
    /// Time from touch to parting.
    pub contact: Time,
}

impl Felt {
    /// Felt from its stiffness K in N/mᵖ (above zero) and its exponent p (1 or more).
    pub fn new(stiffness_n_per_m_p: f64, exponent: f64) -> Result<Self, HammerFault> {
        let stiffness = positive(stiffness_n_per_m_p, "felt stiffness")?;
        not_negative(exponent - 1.0, "felt exponent less 1")?;
        Ok(Self { stiffness, exponent })
    }

    /// The force at a compression (not negative).
    pub fn force(&self, compression: Length) -> Result<Force, HammerFault> {
        let x = not_negative(to_metres(compression), "compression")?;
        finite(self.stiffness * x.powf(self.exponent), "force").map(newtons)
    }

    /// The blow of a head of this mass at this velocity (both above zero) against a rigid stop.
    pub fn against_rigid_stop(
        &self,
        head: Mass,
        velocity: Velocity,
    ) -> Result<RigidStop, HammerFault> {
        let m = positive(to_kilograms(head), "mass of the head")?;
        let v = positive(to_metres_per_second(velocity), "hammer velocity")?;
        let q = self.exponent + 1.0;
        let x = (q * m * v * v / (2.0 * self.stiffness)).powf(1.0 / q);
        let compression = positive(x, "compression").map(metres)?;
        let beta = (ln_gamma(1.0 + 1.0 / q) - ln_gamma(0.5 + 1.0 / q)).exp();
        let contact = finite(2.0 * PI.sqrt() * (x / v) * beta, "contact time")?;
        Ok(RigidStop { compression, peak: self.force(compression)?, contact: seconds(contact) })
    }
}

/// Hammer mass over the mass of all strings of its unison (both above zero): a pure number.
pub fn mass_ratio(head: Mass, strings_of_unison: Mass) -> Result<f64, HammerFault> {
    let head = positive(to_kilograms(head), "mass of the head")?;
    let strings = positive(to_kilograms(strings_of_unison), "mass of the strings")?;
    finite(head / strings, "mass ratio")
}

/// M/(2Z), the time in which endless strings of this impedance (the whole unison's) would slow the
/// hammer.
pub fn deceleration_time(head: Mass, impedance: MassRate) -> Result<Time, HammerFault> {
    let head = positive(to_kilograms(head), "mass of the head")?;
    let impedance = positive(to_kg_per_s(impedance), "impedance of the strings")?;
    finite(head / (2.0 * impedance), "deceleration time").map(seconds)
}
