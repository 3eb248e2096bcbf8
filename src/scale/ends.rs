//! Bare ends that were not read: what they leave open of inharmonicity.
//!
//! Each assumed end is believed lognormal (median and factor in `instrument::belief`), the two ends of a
//! string correlated, for one winder made both. B is solved exactly at a lattice of lengths of either
//! end, and between them it is a polynomial of degree 3 in either: to first order it goes as the cube of
//! an end over the speaking length. The quantiles are those of B over a fine lattice of equally likely
//! pairs of ends, widened by what the other readings leave open.

use super::spec::{spec_of, with_bare_ends};
use crate::instrument::ReadingError;
use crate::instrument::belief::{BARE_END_FACTOR, BARE_END_MEDIAN_MM, BelievedString};
use crate::measure::{Frequency, mm, to_mm};
use crate::physics::warm::Warm;
use crate::physics::{Impossible, StringSpec};
use statrs::distribution::{ContinuousCDF, Normal};
use std::f64::consts::PI;
use std::sync::LazyLock;

/// Lengths of an end at which B is solved.
const NODES: usize = 4;
/// How many equally likely values each of the two independent normals behind a pair of ends takes.
const SLICES: usize = 32;
/// How far the lattice reaches, in deviations of an end's logarithm.
const REACH: f64 = 2.4;
/// An assumed end is at most this share of the speaking length.
const LONGEST: f64 = 0.2;

/// 5 and 95 % of B, when the other readings leave `rest` of it open (one standard deviation, relative).
///
/// `spec` is what the equations take for `string` as it is believed.
pub(super) fn ninety_percent(
    string: &BelievedString,
    spec: &StringSpec,
    pitch: Frequency,
    rest: f64,
) -> Result<[f64; 2], Impossible> {
    let longest = LONGEST * to_mm(string.length.value);
    let lattice = Lattice::new(string, spec, pitch, longest)?;
    let mut all: Vec<f64> =
        PAIRS.iter().map(|pair| lattice.at(pair.map(|end| end.min(longest)))).collect();
    all.sort_by(f64::total_cmp);
    Ok([0.05, 0.95].map(|share| quantile(&all, share, rest)))
}

/// Equally likely pairs of ends, mm.
static PAIRS: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    let normal = Normal::standard();
    let middle = |i: usize| normal.inverse_cdf((i as f64 + 0.5) / SLICES as f64);
    // What both have in common is half of a deviation each: a correlation of a quarter.
    let alike = ReadingError::SHARE_OF_TOOL.powi(2);
    let (together, apart) = (f64::midpoint(1.0, alike).sqrt(), f64::midpoint(1.0, -alike).sqrt());
    let end = |z: f64| BARE_END_MEDIAN_MM * BARE_END_FACTOR.powf(z);
    let pair = |i: usize| {
        let (sum, difference) = (together * middle(i / SLICES), apart * middle(i % SLICES));
        [end(sum + difference), end(sum - difference)]
    };
    (0..SLICES * SLICES).map(pair).collect()
});

/// B by the lengths of the ends.
struct Lattice {
    /// mm; one alone where an end was read.
    nodes: [Vec<f64>; 2],
    /// Of each node, one over the product of its distances from the others.
    scales: [[f64; NODES]; 2],
    /// By front, then back.
    b: Vec<Vec<f64>>,
}

impl Lattice {
    fn new(
        string: &BelievedString,
        spec: &StringSpec,
        pitch: Frequency,
        longest: f64,
    ) -> Result<Self, Impossible> {
        let Some(winding) = &string.winding else { return Err(Impossible::OutOfReach) };
        let ends = [winding.bare_front, winding.bare_back];
        let nodes = ends
            .map(|end| if end.assumed { nodes(longest) } else { vec![to_mm(end.length.value)] });
        let warm = Warm::new(spec, pitch)?;
        // Both ends assumed, and of all layers alike: front and back may be exchanged.
        let alike = ends.iter().all(|end| end.assumed)
            && winding.under_bare_front.is_none()
            && winding.under_bare_back.is_none();
        let mut b: Vec<Vec<f64>> = Vec::with_capacity(nodes[0].len());
        for (i, &front) in nodes[0].iter().enumerate() {
            let mut row = Vec::with_capacity(nodes[1].len());
            for (j, &back) in nodes[1].iter().enumerate() {
                row.push(if alike && j < i {
                    b[j][i]
                } else {
                    let string = with_bare_ends(string, [front, back].map(mm));
                    warm.sound(&spec_of(&string, spec.ends)?)?.inharmonicity.0
                });
            }
            b.push(row);
        }
        let scales = [scales(&nodes[0]), scales(&nodes[1])];
        Ok(Self { nodes, scales, b })
    }

    /// B at a pair of ends, mm; an end that was read is where it was read.
    fn at(&self, pair: [f64; 2]) -> f64 {
        let [front, back] = [0, 1].map(|i| weights(&self.nodes[i], &self.scales[i], pair[i]));
        self.b
            .iter()
            .zip(front)
            .map(|(row, front)| front * row.iter().zip(back).map(|(b, back)| b * back).sum::<f64>())
            .sum()
    }
}

/// Chebyshev's points over the lengths of an end, mm.
fn nodes(longest: f64) -> Vec<f64> {
    let end = |z: f64| (BARE_END_MEDIAN_MM * BARE_END_FACTOR.powf(z)).min(longest);
    let (low, high) = (end(-REACH).min(longest / 4.0), end(REACH));
    let turn = |i: usize| (PI * (i as f64 + 0.5) / NODES as f64).cos();
    (0..NODES).map(|i| f64::midpoint(low, high) + (high - low) / 2.0 * turn(i)).collect()
}

/// Lagrange's polynomials at `x`.
fn weights(nodes: &[f64], scales: &[f64; NODES], x: f64) -> [f64; NODES] {
    let mut weights = *scales;
    for (i, weight) in weights.iter_mut().enumerate().take(nodes.len()) {
        for (_, node) in nodes.iter().enumerate().filter(|(j, _)| *j != i) {
            *weight *= x - node;
        }
    }
    weights
}

fn scales(nodes: &[f64]) -> [f64; NODES] {
    let mut scales = [0.0; NODES];
    for (i, scale) in scales.iter_mut().enumerate().take(nodes.len()) {
        let others = nodes.iter().enumerate().filter(|(j, _)| *j != i);
        *scale = 1.0 / others.map(|(_, node)| nodes[i] - node).product::<f64>();
    }
    scales
}

/// The quantile of equally likely values, sorted, each of them spread by `rest` of itself.
fn quantile(sorted: &[f64], share: f64, rest: f64) -> f64 {
    const STEPS: usize = 20;
    let normal = Normal::standard();
    let place = share * sorted.len() as f64 - 0.5;
    let below = (place.floor() as usize).min(sorted.len() - 2);
    let plain = sorted[below] + (place - below as f64) * (sorted[below + 1] - sorted[below]);
    if rest <= 0.0 {
        return plain;
    }
    // Beyond five deviations a value lies wholly on one side.
    let share_below = |q: f64| {
        let sum: f64 = sorted
            .iter()
            .map(|b| match (q - b) / (rest * b.abs()) {
                z if z > 5.0 => 1.0,
                z if z < -5.0 => 0.0,
                z => normal.cdf(z),
            })
            .sum();
        sum / sorted.len() as f64
    };
    let reach = 4.0 * rest * plain.abs();
    let (mut low, mut high) = (plain - reach, plain + reach);
    let mut q = plain;
    for _ in 0..STEPS {
        let off = share_below(q) - share;
        if off.abs() < 1e-5 {
            break;
        }
        if off > 0.0 {
            high = q;
        } else {
            low = q;
        }
        q = f64::midpoint(low, high);
    }
    q
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half of all pairs have a geometric mean below the median, and a tenth of the front ends lie
    /// beyond 1.2816 deviations.
    #[test]
    fn pairs_are_as_likely_as_they_are_believed() {
        let share = |of: &dyn Fn(&[f64; 2]) -> bool| {
            PAIRS.iter().filter(|pair| of(pair)).count() as f64 / PAIRS.len() as f64
        };
        let below = share(&|pair| pair[0] * pair[1] < BARE_END_MEDIAN_MM.powi(2));
        assert!((below - 0.5).abs() < 1e-9, "{below}");
        let long = BARE_END_MEDIAN_MM * BARE_END_FACTOR.powf(1.2816);
        // A lattice of 32 slices knows shares to about half of one.
        assert!((share(&|pair| pair[0] > long) - 0.1).abs() < 0.015);
        let ln = |end: f64| (end / BARE_END_MEDIAN_MM).ln() / BARE_END_FACTOR.ln();
        let product: f64 = PAIRS.iter().map(|pair| ln(pair[0]) * ln(pair[1])).sum();
        assert!((product / PAIRS.len() as f64 - 0.25).abs() < 0.01);
    }

    /// One normal value: the quantile is the value and 1.645 deviations.
    #[test]
    fn a_single_value_is_spread_by_what_the_readings_leave_open() {
        let high = quantile(&[1.0, 1.0], 0.95, 0.02);
        assert!((high - 1.032_897).abs() < 1e-5, "{high}");
        assert!((quantile(&[1.0, 2.0, 3.0, 4.0], 0.5, 0.0) - 2.5).abs() < 1e-12);
    }
}
