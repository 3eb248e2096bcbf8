//! Bare ends that were not read: how they spread, and what that does to inharmonicity.
//!
//! Each assumed end a is believed lognormal (median and factor in `instrument::belief`). To first
//! order the ends add to B in proportion to the sum of their a³, so the quantile of that sum, as two
//! equal ends, is the pair of ends at which the exact B lies at about the same quantile.

use crate::instrument::belief::{BARE_END_FACTOR, BARE_END_MEDIAN_MM};
use crate::measure::{Length, mm};
use statrs::distribution::{ContinuousCDF, Normal};
use std::sync::LazyLock;

/// Which quantile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantile {
    /// 5 %.
    Five,
    /// 95 %.
    NinetyFive,
}

/// The length of each of `ends` assumed ends (1 or 2) that puts the sum of their cubes at `quantile`.
pub(super) fn assumed_end(quantile: Quantile, ends: usize) -> Length {
    static PAIR: LazyLock<[f64; 2]> = LazyLock::new(|| [pair_quantile(0.05), pair_quantile(0.95)]);
    let z = 1.644_853_626_951_472_2;
    let factor = match (quantile, ends) {
        (Quantile::Five, 2) => (PAIR[0] / 2.0).cbrt(),
        (Quantile::NinetyFive, 2) => (PAIR[1] / 2.0).cbrt(),
        (Quantile::Five, _) => BARE_END_FACTOR.powf(-z),
        (Quantile::NinetyFive, _) => BARE_END_FACTOR.powf(z),
    };
    mm(BARE_END_MEDIAN_MM * factor)
}

/// The `p` quantile of x³ + y³, x and y lognormal with median 1 and the assumed factor, by halving
/// on its distribution function, an integral over x of the chance that y³ is small enough.
fn pair_quantile(p: f64) -> f64 {
    let sigma = 3.0 * BARE_END_FACTOR.ln();
    let normal = Normal::standard();
    let below = |sum: f64| {
        const STEPS: usize = 400;
        // Midpoints of equal slices of probability of x³.
        (0..STEPS)
            .map(|i| {
                let z = normal.inverse_cdf((i as f64 + 0.5) / STEPS as f64);
                let left = sum - (sigma * z).exp();
                if left <= 0.0 { 0.0 } else { normal.cdf(left.ln() / sigma) }
            })
            .sum::<f64>()
            / STEPS as f64
    };
    let (mut low, mut high) = (1e-6_f64, 1e4_f64);
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        if below(middle) < p { low = middle } else { high = middle }
    }
    (low * high).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Input, to_mm};
    use rand_distr::{Distribution, LogNormal};

    /// Against 200 000 draws: 5 and 95 % of the sums of cubes lie beyond the two quantiles.
    #[test]
    fn the_quantiles_of_two_ends_are_those_of_draws() {
        let law = LogNormal::new(0.0, 3.0 * BARE_END_FACTOR.ln()).expect("a lognormal law");
        let mut stream = Input::new(1, "bare ends").draw(0);
        let draws = 200_000;
        let (five, ninety_five) = (pair_quantile(0.05), pair_quantile(0.95));
        let (mut low, mut high) = (0, 0);
        for _ in 0..draws {
            let sum = law.sample(&mut stream) + law.sample(&mut stream);
            low += usize::from(sum < five);
            high += usize::from(sum > ninety_five);
        }
        for share in [low, high]
            .map(|count| f64::from(u32::try_from(count).expect("small")) / f64::from(draws))
        {
            // Three standard errors of a share of 5 % in 200 000, and the slices' own error.
            assert!((share - 0.05).abs() < 0.002, "{share}");
        }
    }

    #[test]
    fn one_end_is_its_own_quantile() {
        let high = to_mm(assumed_end(Quantile::NinetyFive, 1));
        assert!((high - 20.0 * 1.45_f64.powf(1.644_853_6)).abs() < 1e-5);
    }
}
