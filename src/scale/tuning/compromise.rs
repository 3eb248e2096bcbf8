//! Thirds even or octaves clean: a few notes beside a break moved by a few cents, so that one, the other
//! or the sum of their squares is least.
//!
//! A beat is linear in the cents x by which its two notes are moved: `b = b0 + K (f_m x_high - f_n x_low)`,
//! `K = ln 2/1200` (exact to a part in a thousand for the few cents in question). Octaves are to beat
//! not at all. Thirds (or tenths) are to follow an even course, which is a parabola in the beat over the
//! frequency; so `b/2^(k/12) - (p + q k + r k^2)` is to vanish, k keys from the middle, with p, q and r
//! free: a scale may bend at a break, and its thirds run evenly all the same.
//! - octaves clean: x = 0, for so the piano is tuned;
//! - thirds even: they follow their course exactly, and the squares of the octaves' beats are least;
//! - compromise: the squares of both together are least.

use super::octave::{self, KINDS};
use super::solve::solve;
use super::{Interval, Rules, Tuning};
use crate::measure::Cents;
use std::f64::consts::LN_2;

/// Beats a second per hertz and cent.
const K: f64 = LN_2 / 1200.0;

/// Unknowns of an even course.
const COURSE: usize = 3;

/// One beat, or departure, and what moves it.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Key of the lower note.
    pub low: u8,
    /// As the piano is tuned.
    pub at: f64,
    /// Unknowns that move it, with how much of it one unit of each is.
    terms: Vec<(usize, f64)>,
    /// What the row was multiplied by to bring it to the pitch of the middle.
    pub scale: f64,
}

/// The intervals beside a place, and the notes that may be moved.
#[derive(Debug)]
pub(super) struct System {
    /// Keys of the notes that may be moved: the first unknowns. The last three are the course.
    pub moved: Vec<u8>,
    /// The octaves that hold one of them.
    pub octaves: Vec<Row>,
    /// The thirds or tenths that are to run evenly.
    pub guides: Vec<Row>,
}

impl System {
    /// Thirds or tenths above `lows`, the notes of `moved` being free. Only what can be heard is
    /// taken: intervals with both notes tuned, and notes that some octave holds in place.
    pub fn new(
        tuning: &Tuning,
        rules: &Rules,
        guide: Interval,
        lows: impl Iterator<Item = u8>,
        moved: impl Iterator<Item = u8>,
    ) -> Self {
        let tuned = |key: u8| tuning.partial_of(key, 1).is_some();
        let partner = |key: u8| tuned(key + 12) || key.checked_sub(12).is_some_and(tuned);
        let moved: Vec<u8> = moved.filter(|key| tuned(*key) && partner(*key)).collect();
        let lows: Vec<u8> = lows
            .filter(|low| tuning.rate(guide, *low).is_some())
            .filter(|low| moved.contains(low) || moved.contains(&(low + guide.semitones())))
            .collect();
        let middle = match (lows.first(), lows.last()) {
            (Some(first), Some(last)) => f64::midpoint(f64::from(*first), f64::from(*last)),
            _ => 0.0,
        };
        let guides =
            lows.iter().filter_map(|low| guide_row(tuning, guide, *low, middle, &moved)).collect();
        let mut lowers: Vec<u8> =
            moved.iter().flat_map(|key| [key.checked_sub(12), Some(*key)]).flatten().collect();
        lowers.sort_unstable();
        lowers.dedup();
        let octaves =
            lowers.into_iter().filter_map(|low| octave_row(tuning, rules, low, &moved)).collect();
        Self { moved, octaves, guides }
    }

    /// What the rows are when the unknowns are `x`.
    pub fn left(rows: &[Row], x: &[f64]) -> Vec<f64> {
        let of = |row: &Row| row.at + row.terms.iter().map(|(i, slope)| slope * x[*i]).sum::<f64>();
        rows.iter().map(of).collect()
    }

    /// Unknowns: cents of each note that may be moved, and the course.
    fn unknowns(&self) -> usize {
        self.moved.len() + COURSE
    }

    /// Nothing moved; the course that fits the thirds best.
    pub fn octaves_clean(&self) -> Option<Vec<f64>> {
        let alone = |row: &Row| Row {
            terms: row
                .terms
                .iter()
                .filter(|(i, _)| *i >= self.moved.len())
                .map(|(i, slope)| (i - self.moved.len(), *slope))
                .collect(),
            ..row.clone()
        };
        let rows: Vec<Row> = self.guides.iter().map(alone).collect();
        let mut x = vec![0.0; self.moved.len()];
        x.extend(least_squares(rows.iter(), COURSE)?);
        Some(x)
    }

    /// The least squares of octaves and thirds together.
    pub fn compromise(&self) -> Option<Vec<f64>> {
        least_squares(self.octaves.iter().chain(&self.guides), self.unknowns())
    }

    /// Thirds exactly on their course, octaves as clean as that allows.
    pub fn guides_even(&self) -> Option<Vec<f64>> {
        let (n, rows) = (self.unknowns(), self.guides.len());
        let (normal, right) = normal_equations(self.octaves.iter(), n);
        let mut a = vec![vec![0.0; n + rows]; n + rows];
        let mut b = vec![0.0; n + rows];
        for (i, row) in normal.into_iter().enumerate() {
            a[i][..n].copy_from_slice(&row);
            b[i] = right[i];
        }
        for (j, row) in self.guides.iter().enumerate() {
            for (i, slope) in &row.terms {
                a[n + j][*i] = *slope;
                a[*i][n + j] = *slope;
            }
            b[n + j] = -row.at;
        }
        let mut x = solve(a, b)?;
        x.truncate(n);
        Some(x)
    }
}

fn guide_row(tuning: &Tuning, guide: Interval, low: u8, middle: f64, moved: &[u8]) -> Option<Row> {
    let away = f64::from(low) - middle;
    let scale = (-away / 12.0).exp2();
    let mut terms = Vec::new();
    add_terms(&mut terms, tuning, guide, low, scale, moved)?;
    // In octaves, so that the three are of one size.
    let along = away / 12.0;
    let powers: [f64; COURSE] = [1.0, along, along * along];
    terms.extend(powers.iter().enumerate().map(|(i, power)| (moved.len() + i, -power)));
    Some(Row { low, at: scale * tuning.rate(guide, low)?, terms, scale })
}

/// The beat of an octave about the width that the rules give it. Of two kinds mixed it is each
/// kind's over the number of its partial, as often as their mean number.
fn octave_row(tuning: &Tuning, rules: &Rules, low: u8, moved: &[u8]) -> Option<Row> {
    let shares = rules.shares(low);
    let partial = |kind: &Interval| kind.partials().0 as f64;
    let mean: f64 = KINDS.iter().zip(shares).map(|(kind, share)| share * partial(kind)).sum();
    let mut row = Row { low, at: 0.0, terms: Vec::new(), scale: 1.0 };
    let mut per_cent = 0.0;
    for (kind, share) in KINDS.into_iter().zip(shares).filter(|(_, share)| *share > 0.0) {
        let weight = mean * share / partial(&kind);
        per_cent += weight * K * tuning.partial_of(low + 12, kind.partials().1)?;
        add_terms(&mut row.terms, tuning, kind, low, weight, moved)?;
    }
    let stands = tuning.partial_of(low + 12, 1)? / tuning.partial_of(low, 1)?;
    let off = Cents::of_ratio(stands) - octave::width(&tuning.tones, rules, low)?;
    row.at = per_cent * off.0;
    Some(row)
}

/// How `weight` times the beat of `interval` above `low` hangs on the notes that may be moved.
fn add_terms(
    terms: &mut Vec<(usize, f64)>,
    tuning: &Tuning,
    interval: Interval,
    low: u8,
    weight: f64,
    moved: &[u8],
) -> Option<()> {
    let (n, m) = interval.partials();
    let high = low + interval.semitones();
    let ends = [(low, -tuning.partial_of(low, n)?), (high, tuning.partial_of(high, m)?)];
    for (key, frequency) in ends {
        if let Some(i) = moved.iter().position(|moved| *moved == key) {
            terms.push((i, weight * K * frequency));
        }
    }
    Some(())
}

fn least_squares<'a>(rows: impl Iterator<Item = &'a Row>, unknowns: usize) -> Option<Vec<f64>> {
    let (a, b) = normal_equations(rows, unknowns);
    solve(a, b)
}

/// Sum over the rows of (row)ᵀ(row), and of -(row)ᵀ(what it is).
fn normal_equations<'a>(
    rows: impl Iterator<Item = &'a Row>,
    unknowns: usize,
) -> (Vec<Vec<f64>>, Vec<f64>) {
    let mut a = vec![vec![0.0; unknowns]; unknowns];
    let mut b = vec![0.0; unknowns];
    for row in rows {
        for (i, by) in &row.terms {
            b[*i] -= by * row.at;
            for (j, other) in &row.terms {
                a[*i][*j] += by * other;
            }
        }
    }
    (a, b)
}
