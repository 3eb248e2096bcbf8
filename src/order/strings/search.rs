//! The best choice of a course, exactly: dynamic programming over candidate, previous candidate and
//! length of the run, with Pareto labels of cost and pull where all strings together may pull only so
//! much.
//!
//! Without the cap a state needs its least cost alone. With it, a state keeps every pair (cost, pull)
//! of which no other is at most as dear and pulls at most as much. The labels are kept few by bounds
//! that lose nothing: a label goes when the least that it can still pull is more than the cap, or when
//! its cost, with a price on pull and the least cost to go at that price, cannot beat a choice that is
//! already known. The price is the one that bounds best (Lagrange's; it bounds, it does not decide).

use super::course::{Candidate, Course, Place};
use super::relax::{Allowed, Refusal};
use crate::measure::{Stopped, Watch};

/// A choice and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// Index into the candidates of each place.
    pub choice: Vec<usize>,
    /// Labels that were kept in the search; 0 where no cap bound it.
    pub labels: usize,
}

/// Why there is no choice.
#[derive(Debug, Clone, PartialEq)]
pub enum NoChoice {
    /// The work was stopped.
    Stopped,
    /// Nothing satisfies every limit.
    Impossible(Box<Refusal>),
}

impl From<Stopped> for NoChoice {
    fn from(_: Stopped) -> Self {
        Self::Stopped
    }
}

/// The choice of least objective among all that keep the course's rules, limits and cap.
pub fn best(course: &Course, watch: &dyn Watch) -> Result<Best, NoChoice> {
    best_within(course, &Allowed::default(), watch)?
        .ok_or_else(|| NoChoice::Impossible(Box::new(Refusal::of(course))))
}

/// The same with some limits relaxed; `None` when there is none.
pub(super) fn best_within(
    course: &Course,
    allowed: &Allowed,
    watch: &dyn Watch,
) -> Result<Option<Best>, Stopped> {
    let net = Net::of(course, allowed, watch)?;
    let Some(free) = net.cheapest(1.0, 0.0, watch)? else { return Ok(None) };
    let Some(cap) = allowed.cap(course) else { return Ok(Some(free.best())) };
    if free.pull <= cap {
        return Ok(Some(free.best()));
    }
    let Some(lightest) = net.cheapest(0.0, 1.0, watch)? else { return Ok(None) };
    if lightest.pull > cap {
        return Ok(None);
    }
    let price = Price::that_bounds_best(&net, cap, free, &lightest, watch)?;
    net.labelled(cap, &price, &lightest.to_go, watch).map(Some)
}

/// The course with the candidates that are allowed, as a net of the states that can be reached.
pub(super) struct Net<'a> {
    course: &'a Course,
    layers: Vec<Layer>,
    /// Notes that a run must have, by place.
    needs: Vec<usize>,
}

/// The states of one place, and the ways on from each.
#[derive(Default)]
struct Layer {
    states: Vec<Node>,
    edges: Vec<Edge>,
}

/// A state: what the search must remember at a place.
#[derive(Clone, Copy)]
struct Node {
    /// Index into the place's candidates.
    here: usize,
    /// Of the place below, where a later term asks for it; else 0.
    below: usize,
    /// Notes in the run of this wire, up to as many as it must have.
    run: usize,
    /// Pull of the candidate.
    pull: f64,
    /// Where its ways on begin among the layer's edges; they end where those of the next begin.
    edges: usize,
}

/// The choice of a next candidate.
#[derive(Clone, Copy)]
struct Edge {
    /// State of the next place.
    to: u32,
    /// What it adds to the objective.
    cost: f64,
}

/// Least cost from every state to the end, at a price on pull.
struct Path {
    /// By place and state; infinite where there is no way.
    to_go: Vec<Vec<f64>>,
    choice: Vec<usize>,
    cost: f64,
    pull: f64,
}

impl Path {
    fn best(self) -> Best {
        Best { choice: self.choice, labels: 0 }
    }
}

/// Builds a net place by place: only states that can be reached are made.
struct Builder<'a> {
    course: &'a Course,
    /// By place: indices of the candidates that are allowed.
    kept: Vec<Vec<usize>>,
    /// Notes that a run must have at most: longer ones are alike.
    fewest: usize,
    /// Notes that it must have, by place.
    needs: Vec<usize>,
    never_thinner_down: bool,
}

impl Builder<'_> {
    fn first(&self) -> Layer {
        let mut layer = Layer::default();
        for &here in self.kept.first().into_iter().flatten() {
            let pull = self.course.places[0].candidates[here].pull;
            layer.states.push(Node { here, below: 0, run: 1, pull, edges: 0 });
        }
        layer
    }

    /// Fills in the ways on from the states of place `i`; answers the states that they lead to.
    fn next(&self, i: usize, layer: &mut Layer) -> Layer {
        let candidates = &self.course.places[i + 1].candidates;
        // One slot a state that could be: candidate, candidate below, run.
        let belows = self.course.places[i].candidates.len();
        let mut slots = vec![u32::MAX; candidates.len() * belows * self.fewest];
        let mut above = Layer::default();
        for node in &mut layer.states {
            node.edges = layer.edges.len();
            for &next in &self.kept[i + 1] {
                let Some(run) = self.run_after(i, node, next) else { continue };
                let below = if self.course.three_inside(i + 2) { node.here } else { 0 };
                let slot = &mut slots[(next * belows + below) * self.fewest + run - 1];
                if *slot == u32::MAX {
                    *slot = above.states.len() as u32;
                    let pull = candidates[next].pull;
                    above.states.push(Node { here: next, below, run, pull, edges: 0 });
                }
                layer.edges.push(Edge { to: *slot, cost: self.adds(i, node, next) });
            }
        }
        above
    }

    /// Notes in the run when `next` follows `node` at place `i`; `None` where the rules forbid it.
    fn run_after(&self, i: usize, node: &Node, next: usize) -> Option<usize> {
        let here = &self.course.places[i].candidates[node.here];
        let above = &self.course.places[i + 1].candidates[next];
        let long_enough = node.run >= self.needs[i];
        if !self.course.goes_on(i + 1) {
            return long_enough.then_some(1);
        }
        if here.wire == above.wire {
            return Some((node.run + 1).min(self.fewest));
        }
        let thinner_below = self.never_thinner_down && above.wire > here.wire;
        (long_enough && !thinner_below).then_some(1)
    }

    /// What choosing `next` at `i + 1` adds.
    fn adds(&self, i: usize, node: &Node, next: usize) -> f64 {
        let candidate =
            |i: usize, index: usize| -> &Candidate { &self.course.places[i].candidates[index] };
        let (here, above) = (candidate(i, node.here), candidate(i + 1, next));
        let mut cost = above.far + above.step + self.course.change(i + 1, here, above);
        cost += self.course.step(i + 1, here, above);
        if self.course.three_inside(i + 1) {
            let lower = candidate(i - 1, node.below);
            cost += self.course.unevenness(i + 1, lower, here, above);
        }
        cost
    }
}

impl<'a> Net<'a> {
    pub(super) fn of(
        course: &'a Course,
        allowed: &Allowed,
        watch: &dyn Watch,
    ) -> Result<Self, Stopped> {
        let keeps = |place: &Place| {
            let fits = |index: &usize| allowed.allows(&place.candidates[*index]);
            (0..place.candidates.len()).filter(fits).collect()
        };
        let fewest = allowed.fewest_in_run(course);
        let builder = Builder {
            course,
            kept: course.places.iter().map(keeps).collect(),
            fewest,
            needs: course.needs(fewest),
            never_thinner_down: allowed.never_thinner_down(course),
        };
        let mut layers: Vec<Layer> = Vec::with_capacity(course.places.len());
        if course.places.is_empty() {
            return Ok(Self { course, layers, needs: builder.needs });
        }
        let mut layer = builder.first();
        for i in 1..course.places.len() {
            watch.check()?;
            let above = builder.next(i - 1, &mut layer);
            layers.push(std::mem::replace(&mut layer, above));
        }
        layers.push(layer);
        Ok(Self { course, layers, needs: builder.needs })
    }

    fn edges(&self, i: usize, state: usize) -> &[Edge] {
        let layer = &self.layers[i];
        let end = layer.states.get(state + 1).map_or(layer.edges.len(), |node| node.edges);
        &layer.edges[layer.states[state].edges..end]
    }

    /// The choice that pulls least; `None` when there is none.
    pub(super) fn least_pull(&self, watch: &dyn Watch) -> Result<Option<Vec<usize>>, Stopped> {
        Ok(self.cheapest(0.0, 1.0, watch)?.map(|path| path.choice))
    }

    /// The path that is cheapest when cost counts `of_cost` and pull `of_pull`; `None` when there is
    /// none.
    fn cheapest(
        &self,
        of_cost: f64,
        of_pull: f64,
        watch: &dyn Watch,
    ) -> Result<Option<Path>, Stopped> {
        watch.check()?;
        let mut to_go: Vec<Vec<f64>> = self.layers.iter().map(|_| Vec::new()).collect();
        for i in (0..self.layers.len()).rev() {
            to_go[i] = match to_go.get(i + 1) {
                None => self.layers[i].states.iter().map(|node| self.ends_well(node)).collect(),
                Some(above) => (0..self.layers[i].states.len())
                    .map(|state| self.onward(i, state, of_cost, of_pull, above).1)
                    .collect(),
            };
        }
        Ok(self.follow(of_cost, of_pull, to_go))
    }

    /// Nothing, or infinitely much where the last run is too short.
    fn ends_well(&self, node: &Node) -> f64 {
        let need = self.needs.last().copied().unwrap_or(0);
        if node.run >= need { 0.0 } else { f64::INFINITY }
    }

    /// The cheapest way on from a state of place `i`, and the cost to the end with it.
    fn onward(
        &self,
        i: usize,
        state: usize,
        of_cost: f64,
        of_pull: f64,
        to_go: &[f64],
    ) -> (Option<Edge>, f64) {
        let mut best = (None, f64::INFINITY);
        for edge in self.edges(i, state) {
            let to = edge.to as usize;
            let pull = self.layers[i + 1].states[to].pull;
            let cost = of_cost * edge.cost + of_pull * pull + to_go[to];
            if cost < best.1 {
                best = (Some(*edge), cost);
            }
        }
        best
    }

    /// The cheapest path from the first place on.
    fn follow(&self, of_cost: f64, of_pull: f64, to_go: Vec<Vec<f64>>) -> Option<Path> {
        let Some(first) = self.layers.first() else {
            return Some(Path { to_go, choice: Vec::new(), cost: 0.0, pull: 0.0 });
        };
        let total = |state: usize| {
            let (cost, pull) = self.own(state);
            of_cost * cost + of_pull * pull + to_go[0][state]
        };
        let mut state = (0..first.states.len()).min_by(|a, b| total(*a).total_cmp(&total(*b)))?;
        if total(state) == f64::INFINITY {
            return None;
        }
        let (mut cost, mut pull) = self.own(state);
        let mut choice = vec![first.states[state].here];
        for (i, (layer, rest)) in self.layers.iter().zip(&to_go).enumerate().skip(1) {
            let edge = self.onward(i - 1, state, of_cost, of_pull, rest).0?;
            state = edge.to as usize;
            let node = &layer.states[state];
            cost += edge.cost;
            pull += node.pull;
            choice.push(node.here);
        }
        Some(Path { to_go, choice, cost, pull })
    }

    /// Cost and pull of a state of the first place.
    fn own(&self, state: usize) -> (f64, f64) {
        let candidate = &self.course.places[0].candidates[self.layers[0].states[state].here];
        (candidate.far + candidate.step, candidate.pull)
    }
}

/// A price on pull, and what is known with it.
struct Price {
    /// Per newton.
    pull: f64,
    /// Least cost to go at that price, by place and state.
    to_go: Vec<Vec<f64>>,
    /// The cheapest choice known that keeps the cap.
    known: f64,
}

/// Rounds of halving the price: by then it is known to a millionth.
const ROUNDS: usize = 40;
/// A sum of a few hundred terms is exact to about this share.
const ROUNDING: f64 = 1e-11;

impl Price {
    /// Seeks the price between 0, at which the cheapest path pulls too much, and one at which it does
    /// not, that bounds the cost of all choices within the cap best.
    fn that_bounds_best(
        net: &Net,
        cap: f64,
        free: Path,
        lightest: &Path,
        watch: &dyn Watch,
    ) -> Result<Self, Stopped> {
        let mut known = lightest.cost;
        let bound = |path: &Path, pull: f64| path.cost + pull * (path.pull - cap);
        let (mut low, mut high) = ((0.0, free.cost, free.pull), None::<(f64, f64, f64)>);
        let mut best = (0.0, bound(&free, 0.0), free.to_go);
        for round in 0..ROUNDS {
            watch.progress("price on pull", round, ROUNDS);
            // Where the two paths cost the same at one price: the corner of the bound.
            let (cost, pull) = high.map_or((lightest.cost, lightest.pull), |h| (h.1, h.2));
            let price = (cost - low.1) / (low.2 - pull);
            if !(price.is_finite() && price > low.0) {
                break;
            }
            let Some(path) = net.cheapest(1.0, price, watch)? else { break };
            if path.pull <= cap {
                known = known.min(path.cost);
            }
            let found = bound(&path, price);
            let corner = low.1 + price * (low.2 - cap);
            let (cost, pull) = (path.cost, path.pull);
            if found > best.1 {
                best = (price, found, path.to_go);
            }
            if corner - found <= ROUNDING * (1.0 + corner.abs()) {
                break;
            }
            if pull <= cap {
                high = Some((price, cost, pull));
            } else {
                low = (price, cost, pull);
            }
        }
        Ok(Self { pull: best.0, to_go: best.2, known })
    }

    /// Whether a label at `index` of place `i` may still beat what is known.
    fn may_win(&self, i: usize, index: usize, label: &Label, cap: f64) -> bool {
        let bound = label.cost + self.to_go[i][index] + self.pull * (label.pull - cap);
        bound <= self.known + ROUNDING * (1.0 + self.known.abs())
    }
}

/// A way to a state, of which no other is at most as dear and pulls at most as much.
#[derive(Debug, Clone, Copy)]
struct Label {
    cost: f64,
    pull: f64,
    /// The label before it, among those of the place below.
    from: u32,
    /// Its state.
    at: u32,
}

impl Net<'_> {
    fn labelled(
        &self,
        cap: f64,
        price: &Price,
        least_pull: &[Vec<f64>],
        watch: &dyn Watch,
    ) -> Result<Best, Stopped> {
        // Forward and backward sums of one path may part in their last digits.
        let most = cap * (1.0 + ROUNDING);
        let fits = |i: usize, label: &Label| {
            let at = label.at as usize;
            label.pull + least_pull[i][at] <= most && price.may_win(i, at, label, cap)
        };
        let first = (0..self.layers[0].states.len()).map(|state| {
            let (cost, pull) = self.own(state);
            Label { cost, pull, from: 0, at: state as u32 }
        });
        let mut labels = vec![first.filter(|label| fits(0, label)).collect::<Vec<_>>()];
        for i in 1..self.layers.len() {
            watch.check()?;
            watch.progress("wire sizes", i, self.layers.len());
            let mut next = Vec::new();
            for (from, label) in labels[i - 1].iter().enumerate() {
                for edge in self.edges(i - 1, label.at as usize) {
                    let label = Label {
                        cost: label.cost + edge.cost,
                        pull: label.pull + self.layers[i].states[edge.to as usize].pull,
                        from: from as u32,
                        at: edge.to,
                    };
                    if fits(i, &label) {
                        next.push(label);
                    }
                }
            }
            labels.push(undominated(next));
        }
        Ok(self.trace(&labels))
    }

    /// The cheapest label of the last place, followed back.
    fn trace(&self, labels: &[Vec<Label>]) -> Best {
        let last = labels.len() - 1;
        let cheapest = labels[last].iter().min_by(|a, b| a.cost.total_cmp(&b.cost));
        // The choice that set the bound is itself among the labels, so there is one.
        let mut label = *cheapest.expect("the known choice is never cut off");
        let mut choice = vec![0; labels.len()];
        for i in (0..=last).rev() {
            choice[i] = self.layers[i].states[label.at as usize].here;
            if i > 0 {
                label = labels[i - 1][label.from as usize];
            }
        }
        Best { choice, labels: labels.iter().map(Vec::len).sum() }
    }
}

/// Labels of which, in each state, none is at most as dear and pulls at most as much as another.
fn undominated(mut labels: Vec<Label>) -> Vec<Label> {
    labels.sort_by(|a, b| {
        a.at.cmp(&b.at).then(a.cost.total_cmp(&b.cost)).then(a.pull.total_cmp(&b.pull))
    });
    let mut kept: Vec<Label> = Vec::with_capacity(labels.len());
    for label in labels {
        match kept.last() {
            Some(last) if last.at == label.at && last.pull <= label.pull => {}
            _ => kept.push(label),
        }
    }
    kept
}
