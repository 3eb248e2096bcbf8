//! A course of notes to be strung, as a choice: what each note could get, and what a choice costs.
//!
//! The objective is a sum over neighbouring notes only, in percent of the figures:
//!
//! ```text
//!   even   sum of w |y(i-1) - 2 y(i) + y(i+1)|   three notes next to each other inside a section
//! + steps  sum of w |y(i+1) - y(i) - slope|      across a break, after the sections' own slope
//! + far    distance of each note from its target
//! + sizes  a price for every change of wire from note to note
//! ```
//!
//! with y = 100 ln of tension, inharmonicity, impedance (of one string) and load, each with a weight of
//! its own. [`Course::terms`] adds it up from a choice, and is the only place that does: the search
//! finds a choice by other means and is held to it.

/// How many figures are followed from note to note: [`Figure`].
pub const FIGURES: usize = 4;
/// How many limits a candidate may break: [`Bound`] counts them.
pub const BOUNDS: usize = 4;

/// A figure followed from note to note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Tension of one string.
    Tension,
    /// Inharmonicity.
    Inharmonicity,
    /// Impedance of one string.
    Impedance,
    /// Tension over breaking load.
    Load,
}

/// A limit that a candidate may break, by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bound {
    /// Slacker than strings may be.
    LoadLow,
    /// More heavily loaded than strings may be.
    LoadHigh,
    /// Beyond the elastic limit of its wire.
    Elastic,
    /// Nearer to its neighbour than strings may be.
    Gap,
}

impl Bound {
    /// Every such limit, in the order of [`Candidate::breach`].
    pub const ALL: [Self; BOUNDS] = [Self::LoadLow, Self::LoadHigh, Self::Elastic, Self::Gap];
}

/// One way to string a note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Rank of its wire (wound: of its core) among the sizes of the course; thicker is larger.
    pub wire: usize,
    /// Natural logarithms of the [`Figure`]s, per string.
    pub ln: [f64; FIGURES],
    /// Distance from the target, weighted, percent.
    pub far: f64,
    /// Steps to strings beside the course that stay as they are, weighted, percent.
    pub step: f64,
    /// Pull of all strings of the unison, N.
    pub pull: f64,
    /// How far each [`Bound`] is broken, in the bound's own unit; 0 where it is kept.
    pub breach: [f64; BOUNDS],
}

/// How a note stands to the one below it in the course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Join {
    /// Next to it, in the same section.
    Inside,
    /// Next to it, across a break; the figures' own slope there, in the logarithm.
    Break {
        /// Slope per key of each [`Figure`].
        slope: [f64; FIGURES],
    },
    /// Not next to it (notes between are unknown or stay as they are), or the first.
    Apart,
}

/// How the wires of a note stand to those of the note below it in the course.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Wires {
    /// One course of runs with them (where those are in runs at all).
    #[default]
    Run,
    /// Runs begin anew: neither their length nor their order looks below.
    Anew,
    /// Strings made singly, or that stay: no runs, no order, no price of a change.
    Single,
}

/// One note of a course.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// How it stands to the note below.
    pub join: Join,
    /// How its wires stand to those of the note below.
    pub wires: Wires,
    /// What it could be strung with.
    pub candidates: Vec<Candidate>,
}

/// What each term counts for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Evenness of each [`Figure`] inside sections.
    pub even: [f64; FIGURES],
    /// Steps of each [`Figure`] at breaks.
    pub steps: [f64; FIGURES],
    /// Price of a change of wire, percent.
    pub size: f64,
}

/// What a choice of wires must keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rules {
    /// A run of one wire has at least so many notes; of a shorter stretch of runs all.
    pub fewest_in_run: usize,
    /// Going down, wire never gets thinner.
    pub never_thinner_down: bool,
}

/// Notes to be strung together, from the bass.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The notes.
    pub places: Vec<Place>,
    /// What each term counts for.
    pub weights: Weights,
    /// What wires must keep.
    pub rules: Rules,
    /// Most pull of all strings together, N.
    pub most_pull: Option<f64>,
}

/// The terms of the objective, percent.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Terms {
    /// Unevenness inside sections.
    pub even: f64,
    /// Steps at breaks.
    pub steps: f64,
    /// Distance from the target.
    pub far: f64,
    /// Changes of wire.
    pub sizes: f64,
}

impl Terms {
    /// The objective.
    pub fn sum(&self) -> f64 {
        self.even + self.steps + self.far + self.sizes
    }
}

impl std::ops::Add for Terms {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            even: self.even + other.even,
            steps: self.steps + other.steps,
            far: self.far + other.far,
            sizes: self.sizes + other.sizes,
        }
    }
}

impl Course {
    /// The objective of a choice: an index into the candidates of each place.
    ///
    /// # Panics
    /// When the choice is not one of this course's.
    pub fn terms(&self, choice: &[usize]) -> Terms {
        assert_eq!(choice.len(), self.places.len(), "one candidate for each place");
        let chosen: Vec<&Candidate> = self.chosen(choice).collect();
        let mut terms = Terms::default();
        for (i, &here) in chosen.iter().enumerate() {
            terms.far += here.far;
            terms.steps += here.step;
            if i > 0 {
                let below = chosen[i - 1];
                terms.steps += self.step(i, below, here);
                terms.sizes += self.change(i, below, here);
                if i > 1 {
                    terms.even += self.unevenness(i, chosen[i - 2], below, here);
                }
            }
        }
        terms
    }

    /// The candidates of a choice.
    pub fn chosen(&self, choice: &[usize]) -> impl Iterator<Item = &Candidate> {
        self.places.iter().zip(choice).map(|(place, &index)| &place.candidates[index])
    }

    /// Pull of all strings of a choice, N.
    pub fn pull(&self, choice: &[usize]) -> f64 {
        self.chosen(choice).map(|candidate| candidate.pull).sum()
    }

    /// Length that a run must reach, where its stretch is long enough.
    pub fn fewest_in_run(&self) -> usize {
        self.rules.fewest_in_run.clamp(1, self.places.len().max(1))
    }

    /// Whether the wires of place `i` are in one course of runs with those of the place below.
    pub(super) fn goes_on(&self, i: usize) -> bool {
        i > 0
            && i < self.places.len()
            && self.places[i].wires == Wires::Run
            && self.places[i - 1].wires != Wires::Single
    }

    /// Length that a run at each place must reach when `fewest` is asked for: of a shorter stretch
    /// all of it, of strings made singly none.
    pub(super) fn needs(&self, fewest: usize) -> Vec<usize> {
        let mut needs = Vec::with_capacity(self.places.len());
        while needs.len() < self.places.len() {
            let first = needs.len();
            let on = (first + 1..self.places.len()).take_while(|&i| self.goes_on(i)).count();
            let single = self.places[first].wires == Wires::Single;
            let need = if single { 0 } else { fewest.min(on + 1) };
            needs.extend(std::iter::repeat_n(need, on + 1));
        }
        needs
    }

    /// The step from the place below `i` to `i`, weighted.
    pub(super) fn step(&self, i: usize, below: &Candidate, here: &Candidate) -> f64 {
        let Join::Break { slope } = self.places[i].join else { return 0.0 };
        let weight = self.weights.steps;
        (0..FIGURES).map(|q| weight[q] * (here.ln[q] - below.ln[q] - slope[q]).abs()).sum::<f64>()
            * 100.0
    }

    /// The price of a change of wire from the place below `i` to `i`.
    pub(super) fn change(&self, i: usize, below: &Candidate, here: &Candidate) -> f64 {
        if below.wire == here.wire || !self.goes_on(i) { 0.0 } else { self.weights.size }
    }

    /// Whether places `i - 2`, `i - 1` and `i` stand next to each other in one section.
    pub(super) fn three_inside(&self, i: usize) -> bool {
        i > 1
            && i < self.places.len()
            && [i - 1, i].iter().all(|&j| self.places[j].join == Join::Inside)
    }

    /// How far the place below `i` lies off the middle of its neighbours, weighted.
    pub(super) fn unevenness(
        &self,
        i: usize,
        lower: &Candidate,
        below: &Candidate,
        here: &Candidate,
    ) -> f64 {
        if !self.three_inside(i) {
            return 0.0;
        }
        let weight = self.weights.even;
        (0..FIGURES)
            .map(|q| weight[q] * (lower.ln[q] - 2.0 * below.ln[q] + here.ln[q]).abs())
            .sum::<f64>()
            * 100.0
    }
}
