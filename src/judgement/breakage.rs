//! Breakage when strings are pulled up: how likely none breaks, and which are at risk.
//!
//! In-place strength over the series' minimum R: S/R = `m q g_piano g_wire g_string w`. m: 1.00 for wire
//! of 1890–1945, 1.05 later. q: 0.80, coils, bends and friction. `g_piano` ~ N(1, 0.04), one a piano;
//! `g_wire` ~ N(1, 0.026) and `g_string` ~ lognormal(0, 0.04), one a string (taken together as lognormal).
//! w = 1, or with probability phi a flaw, uniform 0.55–0.85. A string that holds `T_now` breaks on the way
//! to `T_max` with `p = P(S < T_max | S ≥ T_now)`. None of a section breaks with probability
//! mean over `g_piano` of Π(1 − p): strings of one piano share its luck, so never the bare product.
//!
//! Source: our proposal, chosen so that about 90 of 100 old uprights 50–300 cents flat come up
//! unbroken (technicians' mailing list, 2000 and 2004; one technician's figure): defensible, not
//! estimated. It hangs on the final load and the share of flaws, little on the size of the raise.
//! Leaves out strings that broke and were replaced before: it asks only of those now on the piano.

use super::limit::{LimitKey, Limits};
use statrs::function::erf::erfc;

/// One unison on its way up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulled {
    /// Strings of the unison.
    pub strings: usize,
    /// Load at the highest pull of the raise, a fraction of the series' minimum.
    pub highest: f64,
    /// Load that it is known to have borne, a fraction; zero when not known.
    pub borne: f64,
}

/// What the model assumes of the strings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wires {
    /// m q: in-place strength of a sound string over the series' minimum, on average.
    pub in_place: f64,
    /// Spread between pianos.
    pub pianos: f64,
    /// Spread between wires and strings of one piano, logarithmic.
    pub strings: f64,
    /// Share of flawed strings.
    pub flawed: f64,
    /// Least and most of its strength that a flawed string keeps.
    pub flaw: (f64, f64),
}

impl Wires {
    /// The wires of a section: year strung, and rust grade at coils and bends (`None` not looked at).
    pub fn of(strung: Option<i32>, rust: Option<u8>, limits: &Limits) -> Self {
        let part = |key| limits.value(key) / 100.0;
        let from = limits.value(LimitKey::WireLaterFrom);
        let later = strung.is_some_and(|year| f64::from(year) >= from);
        let m = if later { part(LimitKey::WireLater) } else { 1.0 };
        let flawed = part(match rust {
            None => LimitKey::FlawUnknown,
            Some(0) => LimitKey::FlawNoRust,
            Some(1) => LimitKey::FlawTarnish,
            Some(2) => LimitKey::FlawLight,
            Some(_) => LimitKey::FlawPitting,
        });
        Self {
            in_place: (m * part(LimitKey::InPlace)).max(LEAST_SPREAD),
            pianos: part(LimitKey::SpreadPianos),
            strings: part(LimitKey::SpreadWires)
                .hypot(part(LimitKey::SpreadStrings))
                .max(LEAST_SPREAD),
            flawed: flawed.min(1.0),
            flaw: (
                part(LimitKey::FlawLeast).max(LEAST_SPREAD),
                part(LimitKey::FlawMost).max(LEAST_SPREAD),
            ),
        }
    }

    /// The same with another share of flawed strings.
    #[must_use]
    pub fn flawed(self, flawed: f64) -> Self {
        Self { flawed: flawed.clamp(0.0, 1.0), ..self }
    }

    /// Chance that a string of a piano of strength `piano` breaks at `load` or below.
    fn breaks_by(&self, load: f64, piano: f64) -> f64 {
        if load <= 0.0 {
            return 0.0;
        }
        let relative = load / (self.in_place * piano);
        let sound = normal(relative.ln() / self.strings);
        let (least, most) = self.flaw;
        let flawed = if (most - least).abs() > LEAST_SPREAD {
            (self.flaw_below(relative, most) - self.flaw_below(relative, least)) / (most - least)
        } else {
            normal((relative / most).ln() / self.strings)
        };
        (1.0 - self.flawed) * sound + self.flawed * flawed
    }

    /// Antiderivative over the flaw w of Φ(ln(c/w)/σ): w Φ(u) − c exp(σ²/2) Φ(u + σ).
    fn flaw_below(&self, c: f64, w: f64) -> f64 {
        let sigma = self.strings;
        let u = (c / w).ln() / sigma;
        w * normal(u) - c * (0.5 * sigma * sigma).exp() * normal(u + sigma)
    }

    /// p of one string in a piano of strength `piano`.
    fn breaks_on_the_way(&self, pulled: &Pulled, piano: f64) -> f64 {
        if pulled.highest <= pulled.borne {
            return 0.0;
        }
        let before = self.breaks_by(pulled.borne, piano);
        let after = self.breaks_by(pulled.highest, piano);
        let held = 1.0 - before;
        if held > f64::MIN_POSITIVE { ((after - before) / held).clamp(0.0, 1.0) } else { 1.0 }
    }
}

/// Strengths and spreads that a survey sets to nothing are taken as this much.
const LEAST_SPREAD: f64 = 1e-6;

/// What a raise does to strings.
#[derive(Debug, Clone, PartialEq)]
pub struct Breakage {
    /// Expected number of strings broken.
    pub expected: f64,
    /// Chance that none breaks.
    pub none: f64,
    /// Chance of each unison's single string to break, in the order given.
    pub each: Vec<f64>,
}

/// Breakage of unisons, each with its wires, in one piano.
pub fn breakage(strings: &[(Pulled, Wires)]) -> Breakage {
    let spread = strings.first().map_or(0.0, |(_, wires)| wires.pianos);
    let mut each = vec![0.0; strings.len()];
    let mut none = 0.0;
    for (z, weight) in NORMAL_NODES {
        let piano = (1.0 + spread * z).max(f64::MIN_POSITIVE);
        let mut unbroken = 0.0;
        for ((pulled, wires), sum) in strings.iter().zip(&mut each) {
            let p = wires.breaks_on_the_way(pulled, piano);
            *sum += weight * p;
            unbroken += pulled.strings as f64 * (-p).ln_1p();
        }
        none += weight * unbroken.exp();
    }
    let expected =
        strings.iter().zip(&each).map(|((pulled, _), p)| pulled.strings as f64 * p).sum();
    Breakage { expected, none, each }
}

/// Chance alone that none breaks: the same as [`breakage`] without the list.
pub fn none_breaks(strings: &[(Pulled, Wires)]) -> f64 {
    breakage(strings).none
}

fn normal(z: f64) -> f64 {
    0.5 * erfc(-z / std::f64::consts::SQRT_2)
}

/// Nodes and weights for the mean over a standard normal deviate: the trapezium rule from −4.5 to
/// 4.5 in steps of 0.75, φ(z) scaled to add up to one.
#[rustfmt::skip]
const NORMAL_NODES: [(f64, f64); 13] = [
    (-4.5, 1.198_781_336_405_541_6e-5), (-3.75, 2.644_469_279_702_34e-4), (-3.0, 3.323_888_397_888_601e-3),
    (-2.25, 2.380_475_383_711_619e-2), (-1.5, 9.713_825_779_705_083e-2), (-0.75, 2.258_532_160_561_004e-1),
    (0.0, 2.992_068_983_410_193e-1), (0.75, 2.258_532_160_561_004e-1), (1.5, 9.713_825_779_705_083e-2),
    (2.25, 2.380_475_383_711_619e-2), (3.0, 3.323_888_397_888_601e-3), (3.75, 2.644_469_279_702_34e-4),
    (4.5, 1.198_781_336_405_541_6e-5),
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_nodes_give_the_moments_of_a_normal_deviate() {
        // Moments of N(0, 1): 1, 0, 1, 0, 3 (any table); the tails cut off at 4.5 cost the fourth 2e-3.
        let moment = |power| NORMAL_NODES.iter().map(|(z, w)| w * z.powi(power)).sum::<f64>();
        assert_relative_eq!(moment(0), 1.0, max_relative = 1e-12);
        assert_relative_eq!(moment(2), 1.0, max_relative = 2e-4);
        assert_relative_eq!(moment(4), 3.0, max_relative = 2e-3);
    }

    #[test]
    fn the_flaw_integral_is_the_mean_over_flaws() {
        // Against the midpoint rule over w.
        let wires =
            Wires { in_place: 1.0, pianos: 0.0, strings: 0.05, flawed: 1.0, flaw: (0.55, 0.85) };
        for load in [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.1] {
            let steps = 30_000;
            let mean = (0..steps)
                .map(|i| 0.55 + 0.30 * (f64::from(i) + 0.5) / f64::from(steps))
                .map(|w| normal((load / w).ln() / 0.05))
                .sum::<f64>()
                / f64::from(steps);
            assert!((wires.breaks_by(load, 1.0) - mean).abs() < 1e-8, "{load}");
        }
    }

    #[test]
    fn a_string_that_bore_more_does_not_break() {
        let wires = Wires::of(Some(1925), Some(3), &Limits::default());
        let unison = |highest, borne| [(Pulled { strings: 3, highest, borne }, wires)];
        assert_relative_eq!(breakage(&unison(0.55, 0.60)).none, 1.0, max_relative = 1e-12);
        assert!(breakage(&unison(0.60, 0.0)).none < breakage(&unison(0.60, 0.55)).none);
        assert!(breakage(&unison(3.0, 0.5)).expected > 2.999);
    }

    #[test]
    fn strings_of_one_piano_share_its_luck() {
        let wires = Wires::of(Some(1925), Some(1), &Limits::default());
        let pulled = Pulled { strings: 3, highest: 0.70, borne: 0.5 };
        let all = breakage(&vec![(pulled, wires); 25]);
        // By Jensen's inequality the mean of the product lies above the product of the means.
        let product = all.each.iter().map(|p| (1.0 - p).powi(3)).product::<f64>();
        assert!(all.none > product, "{} {product}", all.none);
    }
}
