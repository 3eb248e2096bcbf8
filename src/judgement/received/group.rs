//! What a set, a section or a stretch of heads is off together, and by which mistake.

use super::bar::Bar;
use super::fit::{Fit, Point, fit, stretch};
use super::quantity::Quantity;
use super::verdict::cure_of;
use super::{Cause, Offset, Wanted, Whom};

/// Heads off together, and what each of them is then taken to be meant as.
pub(super) struct Group {
    pub offset: Offset,
    /// Indices among the points.
    pub members: Vec<usize>,
}

/// One quantity of all heads read.
pub(super) struct Lot<'a> {
    pub quantity: Quantity,
    pub wanted: &'a [Wanted],
    /// In the order of the keys.
    pub points: &'a [Point],
    pub bar: Bar,
    /// Felt that may be filed off, mm.
    pub most_filed: f64,
}

/// The points of one section, by index.
type Part = (usize, Vec<usize>);

impl Lot<'_> {
    /// Everything that is off together; a head belongs to one group at most.
    pub fn groups(&self) -> Vec<Group> {
        let parts = self.parts();
        let bad: Vec<&Part> = parts
            .iter()
            .filter(|(_, own)| self.as_ordered(own).is_some_and(|fit| fit.bad()))
            .collect();
        let all: Vec<usize> = (0..self.points.len()).collect();
        let Some(whole) = self.as_ordered(&all) else { return Vec::new() };
        let apart = |part: &Part, allowed: f64| {
            self.as_ordered(&part.1).is_some_and(|fit| {
                (fit.centre - whole.centre).abs() > allowed + self.bar.many * fit.error
            })
        };
        // One section that is off speaks for the set only where the others are off as it is.
        let as_one = || whole.off && !parts.iter().any(|part| apart(part, 0.0));
        let together = bad.len() != 1 || parts.len() == 1 || as_one();
        if together && whole.bad() {
            let alike = |part: &Part| !apart(part, self.points[part.1[0]].kept);
            let causes = self.causes(&all, &parts);
            let shared = whole.off && whole.alike && parts.iter().all(alike);
            if !causes.is_empty() || shared {
                return vec![self.group(Whom::Set, all, whole, causes)];
            }
        }
        let mut groups = Vec::new();
        for part in &parts {
            groups.extend(self.of_section(part));
        }
        groups
    }

    /// The section as a whole where its heads are off alike or one mistake explains them; else stretches of it; else
    /// the whole of it again, off by different amounts.
    fn of_section(&self, part: &Part) -> Vec<Group> {
        let (section, own) = part;
        let Some(fit) = self.as_ordered(own) else { return Vec::new() };
        let causes =
            if fit.bad() { self.causes(own, std::slice::from_ref(part)) } else { Vec::new() };
        if !causes.is_empty() || (fit.off && fit.alike) {
            return vec![self.group(Whom::Section(*section), own.clone(), fit, causes)];
        }
        let stretches = self.stretches(*section, own);
        if stretches.is_empty() && fit.off {
            return vec![self.group(Whom::Section(*section), own.clone(), fit, causes)];
        }
        stretches
    }

    fn parts(&self) -> Vec<Part> {
        let mut parts: Vec<Part> = Vec::new();
        for (index, point) in self.points.iter().enumerate() {
            match parts.iter_mut().find(|(section, _)| *section == point.section) {
                Some((_, own)) => own.push(index),
                None => parts.push((point.section, vec![index])),
            }
        }
        parts
    }

    fn some(&self, own: &[usize]) -> Vec<Point> {
        own.iter().map(|index| self.points[*index]).collect()
    }

    fn as_ordered(&self, own: &[usize]) -> Option<Fit> {
        fit(&self.some(own), |point| point.ordered, self.bar)
    }

    /// The mistakes that explain all of `own`, and each of `parts` by itself; the likeliest first.
    fn causes(&self, own: &[usize], parts: &[Part]) -> Vec<Cause> {
        let Some(ordered) = self.as_ordered(own) else { return Vec::new() };
        // Twice the logarithm of a likelihood ratio: beyond so much the worse one is ruled out.
        let clear = self.bar.many.powi(2);
        let known = |cause: Cause| own.iter().all(|index| self.meant(*index, cause).is_some());
        let mut fits: Vec<(f64, Cause)> = self
            .wanted
            .get(self.points[own[0]].wanted)
            .and_then(|wanted| wanted.target(self.quantity))
            .into_iter()
            .flat_map(|target| &target.otherwise)
            .map(|(cause, _)| *cause)
            .filter(|cause| known(*cause))
            .filter(|cause| {
                parts.iter().all(|(_, own)| self.if_meant(own, *cause).is_none_or(|fit| !fit.bad()))
            })
            .filter_map(|cause| Some((self.if_meant(own, cause)?, cause)))
            .filter(|(fit, _)| {
                !fit.bad() && (ordered.off || ordered.scattered - fit.misfit > clear)
            })
            .map(|(fit, cause)| (fit.misfit, cause))
            .collect();
        fits.sort_by(|a, b| a.0.total_cmp(&b.0));
        let best = fits.first().map_or(0.0, |(misfit, _)| *misfit);
        fits.retain(|(misfit, _)| misfit - best < clear);
        fits.into_iter().map(|(_, cause)| cause).collect()
    }

    fn if_meant(&self, own: &[usize], cause: Cause) -> Option<Fit> {
        let meant = |point: &Point| {
            let target = self.wanted[point.wanted].target(self.quantity);
            target.and_then(|target| target.under(cause)).unwrap_or(point.ordered)
        };
        fit(&self.some(own), meant, self.bar)
    }

    fn meant(&self, index: usize, cause: Cause) -> Option<f64> {
        self.wanted[self.points[index].wanted].target(self.quantity)?.under(cause)
    }

    fn group(&self, whom: Whom, members: Vec<usize>, fit: Fit, causes: Vec<Cause>) -> Group {
        let worst = members
            .iter()
            .map(|index| &self.points[*index])
            .max_by(|a, b| a.off().abs().total_cmp(&b.off().abs()));
        let note = |point: &Point| self.wanted[point.wanted].note;
        let middle = self.points[members[members.len() / 2]].wanted;
        let example = worst.filter(|_| !fit.alike).map_or(middle, |point| point.wanted);
        let offset = Offset {
            quantity: self.quantity,
            whom,
            heads: members.len(),
            off: fit.centre,
            error: fit.error,
            even: fit.alike,
            worst: worst.map(|point| (note(point), point.off())),
            example,
            cure: cure_of(self.quantity, fit.centre, &causes, self.most_filed),
            causes,
        };
        Group { offset, members }
    }

    /// Stretches off together inside a section that is not, one after the other.
    fn stretches(&self, section: usize, own: &[usize]) -> Vec<Group> {
        let Some((first, last)) = stretch(&self.some(own), self.bar) else {
            return Vec::new();
        };
        let members = own[first..=last].to_vec();
        let mut groups = self.stretches(section, &own[..first]);
        if let Some(fit) = self.as_ordered(&members) {
            let note = |index: usize| self.wanted[self.points[index].wanted].note;
            let whom = Whom::Notes(note(own[first]), note(own[last]));
            let causes = self.causes(&members, &[(section, members.clone())]);
            groups.push(self.group(whom, members, fit, causes));
        }
        groups.extend(self.stretches(section, &own[last + 1..]));
        groups
    }
}

impl Group {
    /// What head `point` of the group is beyond what the group shares.
    pub fn residual(&self, point: &Point, wanted: &[Wanted]) -> f64 {
        let offset = &self.offset;
        let meant = offset.causes.first().and_then(|cause| {
            wanted[point.wanted].target(offset.quantity).and_then(|target| target.under(*cause))
        });
        point.read - meant.unwrap_or(point.ordered + offset.off)
    }
}
