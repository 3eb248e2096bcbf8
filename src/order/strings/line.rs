//! The tension that the strings are aimed at: the survey's line, or else one smooth curve through the
//! tensions found, the same across every break.
//!
//! `ln T = c0 + c1 x + c2 x^2 + c3 x^3`, x the key on a scale from -1 to 1, by least squares over the
//! notes; T of one string, N. A cubic follows a bass that is strung tighter than the middle and a treble
//! that falls off, and has no room for a step.

use super::offer::NoteOffers;
use crate::measure::{Force, Note, to_newtons};

/// Coefficients of the curve.
const TERMS: usize = 4;

/// The tension aimed at.
#[derive(Debug, Clone)]
pub(super) enum Line {
    /// By note and ln T, from the bass: straight between, level beyond.
    Survey(Vec<(f64, f64)>),
    /// Through the tensions found.
    Found([f64; TERMS]),
}

impl Line {
    /// The survey's line, or the curve through `notes` as found.
    pub fn of(wished: &[(Note, Force)], notes: &[NoteOffers]) -> Self {
        if wished.is_empty() {
            return Self::Found(curve(notes));
        }
        let point = |one: &(Note, Force)| (f64::from(one.0.key()), to_newtons(one.1).ln());
        Self::Survey(wished.iter().map(point).collect())
    }

    /// ln T at `note`, N.
    pub fn ln_at(&self, note: Note) -> f64 {
        let key = f64::from(note.key());
        match self {
            Self::Found(terms) => {
                let x = scaled(key);
                terms.iter().rev().fold(0.0, |sum, term| sum * x + term)
            }
            Self::Survey(points) => {
                let at = points.partition_point(|point| point.0 <= key);
                let (below, above) = (at.checked_sub(1), points.get(at));
                match (below.and_then(|below| points.get(below)), above) {
                    (Some(low), Some(high)) => {
                        low.1 + (high.1 - low.1) * (key - low.0) / (high.0 - low.0)
                    }
                    (Some(only), None) | (None, Some(only)) => only.1,
                    (None, None) => 0.0,
                }
            }
        }
    }
}

fn scaled(key: f64) -> f64 {
    (key - 44.5) / 43.5
}

/// Least squares by the normal equations; with fewer than four notes, the mean.
fn curve(notes: &[NoteOffers]) -> [f64; TERMS] {
    let mut matrix = [[0.0; TERMS + 1]; TERMS];
    for note in notes {
        let x = scaled(f64::from(note.note.key()));
        let powers: [f64; TERMS] = [1.0, x, x * x, x * x * x];
        for (row, power) in matrix.iter_mut().zip(powers) {
            for (cell, other) in row.iter_mut().zip(powers) {
                *cell += power * other;
            }
            row[TERMS] += power * note.found.ln[0];
        }
    }
    solve(matrix).unwrap_or_else(|| {
        let mean = notes.iter().map(|note| note.found.ln[0]).sum::<f64>();
        [mean / notes.len().max(1) as f64, 0.0, 0.0, 0.0]
    })
}

/// Gauss's elimination with the largest pivot; `None` when there is no single answer.
fn solve(mut rows: [[f64; TERMS + 1]; TERMS]) -> Option<[f64; TERMS]> {
    for column in 0..TERMS {
        let pivot = (column..TERMS)
            .max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        rows.swap(column, pivot);
        if rows[column][column].abs() < 1e-9 {
            return None;
        }
        for row in 0..TERMS {
            if row != column {
                let (from, factor) = (rows[column], rows[row][column] / rows[column][column]);
                for (cell, from) in rows[row].iter_mut().zip(from) {
                    *cell -= factor * from;
                }
            }
        }
    }
    Some(std::array::from_fn(|i| rows[i][TERMS] / rows[i][i]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::newtons;

    #[test]
    fn a_wished_line_is_straight_between_its_notes_and_level_beyond() {
        let at = |name: &str| Note::parse(name).expect("a note");
        let line = Line::of(&[(at("C2"), newtons(900.0)), (at("C4"), newtons(700.0))], &[]);
        assert!((line.ln_at(at("A0")) - 900_f64.ln()).abs() < 1e-12);
        assert!((line.ln_at(at("C8")) - 700_f64.ln()).abs() < 1e-12);
        // Half way between: the geometric mean.
        assert!((line.ln_at(at("C3")) - (900_f64 * 700.0).sqrt().ln()).abs() < 1e-12);
    }

    #[test]
    fn four_points_of_a_cubic_give_it_back() {
        let cubic = |x: f64| 6.5 - 0.2 * x + 0.1 * x * x - 0.05 * x.powi(3);
        let mut rows = [[0.0; TERMS + 1]; TERMS];
        for (row, x) in rows.iter_mut().zip([-1.0, -0.3, 0.4, 1.0_f64]) {
            *row = [1.0, x, x * x, x * x * x, cubic(x)];
        }
        let terms = solve(rows).expect("one answer");
        for (term, expected) in terms.into_iter().zip([6.5, -0.2, 0.1, -0.05]) {
            assert!((term - expected).abs() < 1e-9);
        }
    }
}
