//! A stepped string cut into parts and solved part by part: how many modes lie below a frequency, and
//! how the string moves there; the arithmetic under [`stepped`](super::stepped).
//!
//! The pieces of [`beam`](super::beam) are cut so short that no part has a mode of its own between
//! clamped ends at or below w, and joined at nodes: `K(w) x = 0` at a mode, x the nodes' deflections (m)
//! and slopes, K over E I. The number of modes below w is then the number of negative pivots of K. K is
//! eliminated from both ends to a node that moves; `r = stay - couple^2/turn` is left there for a
//! deflection of 1. A piece that is shorter than its bending waves and stiffer than what it holds is carried
//! over by its power series: its stiffness would drown the rest in rounding.
//! Source: W. H. Wittrick, F. W. Williams, Q. J. Mech. Appl. Math. 24 (1971) 263-284 (the count; from
//! memory). Holds for what `beam` holds for, up to 96 parts (partial 16 of a string takes about 25).
//!
//! ```
//! use feltwire::measure::{gpa, hertz, kg_per_m3, mm, newtons};
//! use feltwire::physics::{StringSpec, core::Core, string::Elastic, wound};
//! // C4 between pinned ends, B 3.92351e-4, f0 261.6256 Hz: partial 16 is at 4391.2054 Hz (finite
//! // elements, `tests/published`).
//! let steel = Elastic { density: kg_per_m3(7850.0), youngs_modulus: gpa(202.0) };
//! let c4 = StringSpec::plain(mm(620.0), Core::Round { diameter: mm(1.0) }, steel);
//! let below = |f: f64| wound::modes_below(&c4, newtons(648.89), hertz(f)).unwrap();
//! assert_eq!((below(4391.0), below(4391.4)), (15, 16));
//! ```

use super::beam::{Element, Motion, Waves, parts};
use super::stepped::{PIECES, Stepped};

/// Motion elsewhere, over that of a place that counts as still.
const STILL: f64 = 10.0;
/// Parts that a shape may have.
const PARTS: usize = 96;

/// What a trial frequency and tension show.
pub(crate) struct Trial {
    /// How many modes lie below.
    pub below: usize,
    /// What is left of K at the node that moves by 1, over E I.
    pub residual: f64,
    /// One for each piece.
    pub motions: [Motion; PIECES],
    /// Where, in shares of the length, the motion is largest.
    pub loudest: f64,
    /// How large it is there.
    pub largest: f64,
}

impl Trial {
    /// Whether the meeting place moves: where it is still, the residual means nothing.
    pub fn is_lively(&self) -> bool {
        self.largest < STILL
    }
}

/// The string cut into parts that cannot vibrate between clamped ends.
pub(crate) struct Cut<'a> {
    string: &'a Stepped,
    waves: [Waves; PIECES],
    /// Of one part of each piece.
    elements: [Element; PIECES],
    counts: [usize; PIECES],
    /// The piece that each part belongs to.
    owner: [u8; PARTS],
    total: usize,
}

impl<'a> Cut<'a> {
    /// `None` when the figures overflow, or when there would be too many parts.
    pub fn new(string: &'a Stepped, tension: f64, squared: f64) -> Option<Self> {
        let (p, over) = (tension / string.stiffness, squared / string.stiffness);
        let mut cut = Self {
            string,
            waves: [Waves::default(); PIECES],
            elements: [Element::default(); PIECES],
            counts: [0; PIECES],
            owner: [0; PARTS],
            total: 0,
        };
        let least = if string.pieces().len() == 1 { 2.0 } else { 1.0 };
        for (i, piece) in string.pieces().iter().enumerate() {
            let waves = Waves::new(p, piece.mass * over);
            let count = parts(&waves, piece.length).max(least);
            if count.is_nan() || count > (PARTS - cut.total) as f64 {
                return None;
            }
            let end = cut.total + count as usize;
            cut.owner[cut.total..end].fill(i as u8);
            cut.elements[i] = Element::new(&waves, piece.length / count);
            (cut.waves[i], cut.counts[i], cut.total) = (waves, count as usize, end);
        }
        (cut.total >= 2).then_some(cut)
    }

    /// Eliminates from both ends to the inner node nearest to a share of the length.
    pub fn meet_near(&self, share: f64) -> Option<Trial> {
        let meet = self.node_near(share);
        let (left, right) = self.owner[..self.total].split_at(meet);
        let mut inverses = [[0.0; 3]; PARTS];
        let (of_left, of_right) = inverses[..self.total].split_at_mut(meet);
        let from_left = self.sweep(left.iter(), of_left);
        let from_right = self.sweep(right.iter().rev(), of_right);
        let [stay, couple, turn] = [
            from_left.left_over[0] + from_right.left_over[0],
            from_left.left_over[1] - from_right.left_over[1],
            from_left.left_over[2] + from_right.left_over[2],
        ];
        let residual = stay - couple * couple / turn;
        if !residual.is_finite() {
            return None;
        }
        let below = from_left.negative
            + from_right.negative
            + usize::from(turn < 0.0)
            + usize::from(residual < 0.0);
        let mut nodes = [[0.0; 2]; PARTS + 1];
        nodes[meet] = [1.0, -couple / turn];
        self.back(left.iter().rev(), of_left, nodes[..=meet].iter_mut().rev(), 1.0);
        self.back(right.iter(), of_right, nodes[meet..=self.total].iter_mut(), -1.0);
        let (loudest, largest) = self.loudest(&nodes);
        Some(Trial { below, residual, motions: self.motions(&nodes), loudest, largest })
    }

    /// The inner node nearest to a share of the length.
    fn node_near(&self, share: f64) -> usize {
        let target = share * self.string.length;
        let mut start = 0.0;
        let mut node = 0;
        for (piece, &count) in self.string.pieces().iter().zip(&self.counts) {
            if target < start + piece.length {
                let within = (target - start) / piece.length * count as f64;
                node += (within + 0.5) as usize;
                break;
            }
            start += piece.length;
            node += count;
        }
        node.clamp(1, self.total - 1)
    }

    /// Where, in shares of the length, the motion is largest, and how large it is.
    fn loudest(&self, nodes: &[[f64; 2]]) -> (f64, f64) {
        let mut start = 0.0;
        let mut node = 0;
        let (mut most, mut place) = (0.0, 0.5);
        for (piece, &count) in self.string.pieces().iter().zip(&self.counts) {
            for part in 0..count {
                let deflection = nodes[node + part][0].abs();
                if deflection > most {
                    most = deflection;
                    place = start + piece.length * part as f64 / count as f64;
                }
            }
            start += piece.length;
            node += count;
        }
        (place / self.string.length, most)
    }

    fn motions(&self, nodes: &[[f64; 2]]) -> [Motion; PIECES] {
        let mut motions = [Motion::default(); PIECES];
        let mut node = 0;
        for (i, (piece, &count)) in self.string.pieces().iter().zip(&self.counts).enumerate() {
            let end = node + count;
            let left = self.elements[i].left_state(nodes[node], nodes[node + 1]);
            let right = self.elements[i].right_state(nodes[end - 1], nodes[end]);
            motions[i] = Motion::new(&self.waves[i], piece.length, left, right);
            node = end;
        }
        motions
    }

    /// Eliminates node after node from one end, given the pieces that the parts belong to; keeps the
    /// inverted pivots.
    fn sweep<'b>(&self, owners: impl Iterator<Item = &'b u8>, inverses: &mut [[f64; 3]]) -> Swept {
        let mut left_over = [0.0; 3];
        let mut negative = 0;
        for (j, (&owner, inverse)) in owners.zip(inverses).enumerate() {
            let element = &self.elements[usize::from(owner)];
            let &Element { a, b, c, .. } = element;
            *inverse = if j > 0 {
                let [stay, couple, turn] = [left_over[0] + a, left_over[1] + b, left_over[2] + c];
                let determinant = stay * turn - couple * couple;
                negative += if determinant < 0.0 { 1 } else { 2 * usize::from(turn < 0.0) };
                [turn / determinant, -couple / determinant, stay / determinant]
            } else if self.string.clamped {
                [0.0; 3]
            } else {
                negative += usize::from(c < 0.0);
                [0.0, 0.0, 1.0 / c]
            };
            left_over = match &element.series {
                Some(series) if j > 0 && left_over[0].abs() < a => series.carry(left_over),
                _ => element.condense(*inverse),
            };
        }
        Swept { left_over, negative }
    }

    /// The motion of the nodes from the meeting node (the first of `nodes`) to an end; `turn` is -1
    /// where the elimination came from the right, which turns slopes about.
    fn back<'b, 'c>(
        &self,
        owners: impl Iterator<Item = &'b u8>,
        inverses: &[[f64; 3]],
        mut nodes: impl Iterator<Item = &'c mut [f64; 2]>,
        turn: f64,
    ) {
        let Some(&mut [mut y, mut slope]) = nodes.next() else { return };
        slope *= turn;
        for ((&owner, &[i, m, o]), node) in owners.zip(inverses.iter().rev()).zip(nodes) {
            let &Element { d, e, g, .. } = &self.elements[usize::from(owner)];
            let (force, moment) = (d * y + e * slope, g * slope - e * y);
            (y, slope) = (-i * force - m * moment, -m * force - o * moment);
            *node = [y, turn * slope];
        }
    }
}

/// What an elimination from one end leaves.
struct Swept {
    /// At the last node: (deflection, mixed, slope).
    left_over: [f64; 3],
    /// How many pivots were negative.
    negative: usize,
}
