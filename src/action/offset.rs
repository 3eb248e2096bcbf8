//! The shank's offset where it was read beside each height: butts of one action are made alike.
//!
//! For the bores of a section. Readings eᵢ with doubt σᵢ, butts that scatter by τ about their mean:
//!
//! - wᵢ = 1/(σᵢ² + τ²), mean ē = Σ wᵢeᵢ/Σ wᵢ, of variance 1/Σ wᵢ
//! - τ² = max(τ₀², (Q − (n − 1))/C), Q = Σ (eᵢ − e̅)²/σᵢ² about the mean weighted by 1/σᵢ²,
//!   C = Σ σᵢ⁻² − Σ σᵢ⁻⁴/Σ σᵢ⁻² (R. `DerSimonian`, N. Laird, Controlled Clinical Trials 7 (1986) 177, from memory)
//! - of one butt ē + B(eᵢ − ē), B = τ²/(τ² + σᵢ²): of variance σᵢ²B, which is its own, and (1 − B)²/Σ wᵢ,
//!   which it shares with all
//!
//! While Q is no more than chance makes it in 19 of 20, τ is τ₀. Where readings differ by more than they may be wrong
//! (another butt in the bass), τ grows and each reading stands for itself. Fewer than three readings say nothing of τ: each stands for itself.

use super::figure::{Figure, in_mm};
use crate::instrument::{HammerRow, Height, Instrument};
use crate::measure::{Length, Measured, mm};

/// How butts of one action scatter at the least, mm, one standard deviation (proposal, no source: made on one jig).
const BUTTS_MM: f64 = 0.1;

/// Upper 5 % point of the normal distribution, by which that of Q, of mean n − 1 and variance 2 (n − 1), is judged.
const ONE_IN_TWENTY: f64 = 1.645;

/// The offset believed at one row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offset {
    /// Value, with the part of the doubt that is its own.
    pub own: Measured<Length>,
    /// Standard deviation shared with the other rows.
    pub shared: Length,
}

/// What was read of the offset beside the height of `row`.
pub(super) fn beside_height(row: &HammerRow) -> Option<Measured<Length>> {
    match row.height {
        Some(Height::Centre { shank_offset, .. }) => Some(shank_offset),
        _ => None,
    }
}

/// The offset at a row where `read` was read.
pub(super) fn believed(instrument: &Instrument, read: Measured<Length>) -> Offset {
    let rows = instrument.hammers.rows.iter();
    let readings: Vec<Figure> = rows.filter_map(beside_height).map(in_mm).collect();
    match pooled(&readings, in_mm(read)) {
        Some(((value, own), shared)) => {
            Offset { own: Measured::new(mm(value), mm(own)), shared: mm(shared) }
        }
        None => Offset { own: read, shared: mm(0.0) },
    }
}

/// Value and own doubt of the butt read as `one` among `readings`, and the doubt that all share.
fn pooled(readings: &[Figure], one: Figure) -> Option<(Figure, f64)> {
    if readings.len() < 3 || readings.iter().any(|(_, sd)| *sd <= 0.0) {
        return None;
    }
    let sum = |of: &dyn Fn(Figure) -> f64| readings.iter().map(|read| of(*read)).sum::<f64>();
    let weight = |(_, sd): Figure| sd.powi(-2);
    let all = sum(&weight);
    let mean = sum(&|read| weight(read) * read.0) / all;
    let q = sum(&|read| weight(read) * (read.0 - mean).powi(2));
    let c = all - sum(&|read| weight(read).powi(2)) / all;
    let free = readings.len() as f64 - 1.0;
    let least = BUTTS_MM.powi(2);
    let alike = q <= free + ONE_IN_TWENTY * (2.0 * free).sqrt();
    let scatter = if alike { least } else { ((q - free) / c).max(least) };
    let weight = |(_, sd): Figure| 1.0 / (sd * sd + scatter);
    let all = sum(&weight);
    let mean = sum(&|read| weight(read) * read.0) / all;
    let (value, sd) = one;
    let kept = scatter * weight(one);
    Some(((mean + kept * (value - mean), sd * kept.sqrt()), (1.0 - kept) / all.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nine readings of 0.5 mm: alike, the mean rules, with a third of the doubt; two kinds of butt 5 mm apart stand
    /// for themselves.
    #[test]
    fn alike_they_are_one_and_unlike_each_stands_for_itself() {
        let alike: Vec<Figure> =
            [4.2, 3.7, 4.0, 4.5, 3.6, 4.1, 3.9, 4.3, 3.7].map(|value| (value, 0.5)).to_vec();
        let ((value, own), shared) = pooled(&alike, (4.5, 0.5)).expect("nine");
        assert!((value - 4.02).abs() < 0.005, "{value}");
        assert!(own < 0.15 && (0.1..0.5 / 3.0).contains(&shared), "{own} {shared}");
        let unlike: Vec<Figure> = [4.2, 3.7, 4.0, 9.5, 8.6, 9.1].map(|value| (value, 0.5)).to_vec();
        let ((value, own), shared) = pooled(&unlike, (8.6, 0.5)).expect("six");
        assert!((value - 8.6).abs() < 0.1 && own > 0.48 && shared < 0.05, "{value} {own} {shared}");
        assert!(pooled(&alike[..2], alike[0]).is_none());
    }
}
