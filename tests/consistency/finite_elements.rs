//! A second method: Hermite finite elements with a banded elimination that counts eigenvalues.
//!
//! Cubic elements for deflection and slope, bending and tension stiffness and consistent mass
//! (J. S. Przemieniecki, Theory of Matrix Structural Analysis, 1968, sections 5.6, 11.4 and 15.3;
//! from memory); the number of eigenvalues below a value is the number of negative pivots of
//! K − value·M (Sylvester), and bisection finds each. It shares nothing with the exact solution: its
//! shapes are polynomials, and its error falls with the mesh.

/// Length (m) and mass per length (kg/m).
pub type Piece = (f64, f64);

const BAND: usize = 4;

/// K and M by rows: entry `j` of row `i` is (i, i + j).
struct Banded {
    stiffness: Vec<[f64; BAND]>,
    mass: Vec<[f64; BAND]>,
}

/// A string of pieces with one bending stiffness (N m²) under a tension (N).
pub struct Mesh {
    matrices: Banded,
}

impl Mesh {
    /// `fineness` elements for each decay length of the bending waves and at least 12·`fineness` for
    /// each sixteenth of the string near steps and ends; coarser in between.
    pub fn new(
        pieces: &[Piece],
        stiffness: f64,
        tension: f64,
        clamped: bool,
        fineness: f64,
    ) -> Self {
        let total: f64 = pieces.iter().map(|piece| piece.0).sum();
        let decay = (stiffness / tension).sqrt();
        let mut elements: Vec<(f64, f64)> = Vec::new();
        for &(length, mass) in pieces {
            elements.extend(graded(length, decay, total, fineness).map(|size| (size, mass)));
        }
        let nodes = elements.len() + 1;
        let mut full =
            Banded { stiffness: vec![[0.0; BAND]; 2 * nodes], mass: vec![[0.0; BAND]; 2 * nodes] };
        for (i, &(size, mass)) in elements.iter().enumerate() {
            full.add(2 * i, size, stiffness, tension, mass);
        }
        // Held ends: the deflection, and with clamped ends the slope, cannot move.
        let last = 2 * nodes - 2;
        let held: &[usize] = if clamped { &[0, 1, last, last + 1] } else { &[0, last] };
        for &dof in held {
            full.hold(dof);
        }
        Self { matrices: full }
    }

    /// How many eigenvalues lie below `value`.
    fn below(&self, value: f64) -> usize {
        let rows = self.matrices.stiffness.len();
        let mut band: Vec<[f64; BAND]> = (0..rows)
            .map(|i| {
                let (k, m) = (&self.matrices.stiffness[i], &self.matrices.mass[i]);
                std::array::from_fn(|j| k[j] - value * m[j])
            })
            .collect();
        let mut negative = 0;
        for i in 0..rows {
            let row = band[i];
            negative += usize::from(row[0] < 0.0);
            for j in 1..BAND.min(rows - i) {
                let factor = row[j] / row[0];
                for k in j..BAND {
                    band[i + j][k - j] -= factor * row[k];
                }
            }
        }
        negative
    }

    /// The first `count` frequencies, Hz.
    pub fn frequencies(&self, count: usize) -> Vec<f64> {
        let mut high = 1.0;
        while self.below(high) < count {
            high *= 4.0;
        }
        let mut low = 0.0;
        (0..count)
            .map(|n| {
                let (mut under, mut over) = (low, high);
                while over - under > 1e-10 * over {
                    let middle = f64::midpoint(under, over);
                    if self.below(middle) > n { over = middle } else { under = middle }
                }
                low = under;
                under.sqrt() / std::f64::consts::TAU
            })
            .collect()
    }
}

impl Banded {
    fn add(&mut self, dof: usize, h: f64, stiffness: f64, tension: f64, mass: f64) {
        let (b, t, m) = (stiffness / h.powi(3), tension / (30.0 * h), mass * h / 420.0);
        let bending = [
            [12.0, 6.0 * h, -12.0, 6.0 * h],
            [6.0 * h, 4.0 * h * h, -6.0 * h, 2.0 * h * h],
            [-12.0, -6.0 * h, 12.0, -6.0 * h],
            [6.0 * h, 2.0 * h * h, -6.0 * h, 4.0 * h * h],
        ];
        let pull = [
            [36.0, 3.0 * h, -36.0, 3.0 * h],
            [3.0 * h, 4.0 * h * h, -3.0 * h, -h * h],
            [-36.0, -3.0 * h, 36.0, -3.0 * h],
            [3.0 * h, -h * h, -3.0 * h, 4.0 * h * h],
        ];
        let inertia = [
            [156.0, 22.0 * h, 54.0, -13.0 * h],
            [22.0 * h, 4.0 * h * h, 13.0 * h, -3.0 * h * h],
            [54.0, 13.0 * h, 156.0, -22.0 * h],
            [-13.0 * h, -3.0 * h * h, -22.0 * h, 4.0 * h * h],
        ];
        for i in 0..4 {
            for j in i..4 {
                self.stiffness[dof + i][j - i] += b * bending[i][j] + t * pull[i][j];
                self.mass[dof + i][j - i] += m * inertia[i][j];
            }
        }
    }

    /// Takes a degree of freedom out: its row and column become 1 in K and 0 in M.
    fn hold(&mut self, dof: usize) {
        self.stiffness[dof] = [1.0, 0.0, 0.0, 0.0];
        self.mass[dof] = [0.0; BAND];
        for back in 1..BAND.min(dof + 1) {
            self.stiffness[dof - back][back] = 0.0;
            self.mass[dof - back][back] = 0.0;
        }
    }
}

/// Sizes of the elements of a piece: fine at its ends, where bending waves die away.
fn graded(length: f64, decay: f64, total: f64, fineness: f64) -> impl Iterator<Item = f64> {
    let coarse = total / (200.0 * fineness);
    let fine = (decay / (6.0 * fineness)).min(coarse).min(length / 8.0);
    let layer = (8.0 * decay).min(length / 2.0);
    let outer = (layer / fine).ceil();
    let middle = length - 2.0 * layer;
    let inner = if middle > 0.0 { (middle / coarse).ceil() } else { 0.0 };
    let side = std::iter::repeat_n(layer / outer, outer as usize);
    side.clone().chain(std::iter::repeat_n(middle / inner.max(1.0), inner as usize)).chain(side)
}

#[test]
fn the_elements_reproduce_a_string_without_stiffness() {
    // f_n = n/(2L)·sqrt(T/mu): 1 m, 1 g/m, 100 N: 158.113883 Hz; the stiffness left shifts it by 1e-9.
    let frequencies = Mesh::new(&[(1.0, 1e-3)], 1e-8, 100.0, false, 0.2).frequencies(3);
    for (n, f) in (1..).zip(frequencies) {
        let ideal = f64::from(n) * 158.113_883_008;
        assert!((1200.0 * (f / ideal).log2()).abs() < 0.01, "{n}: {f}");
    }
}

#[test]
fn a_finer_mesh_changes_nothing_that_is_asked() {
    let pieces = [(0.02, 0.009), (0.96, 0.19), (0.03, 0.009)];
    let coarse = Mesh::new(&pieces, 0.0212, 815.0, false, 1.0).frequencies(16);
    let fine = Mesh::new(&pieces, 0.0212, 815.0, false, 2.0).frequencies(16);
    for (coarse, fine) in coarse.iter().zip(fine) {
        assert!((1200.0 * (coarse / fine).log2()).abs() < 0.005, "{coarse} {fine}");
    }
}
