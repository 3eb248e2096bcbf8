//! How far a number of heads are off together, told apart from how far one of them is off by itself.

use super::bar::Bar;

/// One reading of one head against what was ordered, in the quantity's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    /// Index of the head among those ordered.
    pub wanted: usize,
    /// Index of its section.
    pub section: usize,
    /// As ordered.
    pub ordered: f64,
    /// As read.
    pub read: f64,
    /// One standard deviation of the reading.
    pub own: f64,
    /// Doubt of what was ordered, where it was taken from a sample; neighbours share it.
    pub shared: f64,
    /// What the maker may be off, either way.
    pub kept: f64,
    /// Half the step to which the order writes.
    pub written: f64,
}

impl Point {
    /// As read less as ordered.
    pub fn off(&self) -> f64 {
        self.read - self.ordered
    }

    /// One standard deviation of the difference, whatever its maker did.
    pub fn doubt(&self) -> f64 {
        self.own.hypot(self.shared)
    }

    /// What one head may be off, either way, from what was meant.
    pub fn tolerance(&self) -> f64 {
        self.kept + self.written
    }

    /// One standard deviation of the difference of a sound head, what neighbours share left out: heads lie anywhere
    /// within their tolerance.
    fn scatter(&self) -> f64 {
        self.own.hypot(even(self.tolerance()))
    }

    /// Whether `residual` is more than the head's tolerance and its reading together explain.
    pub fn beyond(&self, residual: f64, deviations: f64) -> bool {
        residual.abs() > self.tolerance() + deviations * self.own
    }
}

/// What a number of heads say together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fit {
    /// Mean residual of the heads that are not off by themselves.
    pub centre: f64,
    /// Its standard error, of reading and writing alone.
    pub error: f64,
    /// Sum of their squared residuals over their scatter.
    pub misfit: f64,
    /// The same, what they share taken off as far as a maker may share it.
    pub scattered: f64,
    /// That mean is more than tolerance and readings explain.
    pub off: bool,
    /// They scatter about what they were taken for more than sound heads do.
    pub uneven: bool,
    /// About their mean they scatter no more than that: they are off alike.
    pub alike: bool,
}

impl Fit {
    /// They are not what they were taken for.
    pub fn bad(&self) -> bool {
        self.off || self.uneven
    }
}

/// Fewest readings that say something together.
const FEWEST: usize = 2;

/// `points` against what each is taken to be meant as; `None` with fewer than two.
pub(super) fn fit(points: &[Point], meant: impl Fn(&Point) -> f64, bar: Bar) -> Option<Fit> {
    if points.len() < FEWEST {
        return None;
    }
    let residuals: Vec<f64> = points.iter().map(|point| point.read - meant(point)).collect();
    let middle = median(&residuals);
    let apart = |(point, residual): &(&Point, &f64)| !point.beyond(**residual - middle, bar.single);
    let together: Vec<(&Point, &f64)> = points.iter().zip(&residuals).filter(apart).collect();
    // Where many are apart, they are not single heads: all of them speak.
    let single = points.len() - together.len();
    let few = points.len() > FEWEST && single <= (points.len() / 4).max(1);
    let speaking = if few { together } else { points.iter().zip(&residuals).collect() };
    let count = speaking.len() as f64;
    let mean = |of: &dyn Fn(&Point, f64) -> f64| {
        speaking.iter().map(|(point, residual)| of(point, **residual)).sum::<f64>() / count
    };
    let centre = mean(&|_, residual| residual);
    let own = mean(&|point, _| point.own.powi(2)).sqrt() / count.sqrt();
    let shared = mean(&|point, _| point.shared).hypot(written(&speaking));
    let error = own.hypot(shared);
    let about = |place: f64| {
        let square = |point: &Point, residual: f64| {
            ((residual - place) / point.scatter().hypot(point.shared)).powi(2)
        };
        count * mean(&square)
    };
    let kept = mean(&|point, _| point.kept);
    // What all of them share within the tolerance is no fault.
    let scattered = about(centre.clamp(-kept, kept));
    // Two that contradict each other have no mean worth a word.
    let agree = single == 0 || few;
    // The chance that a sum of n squares is beyond this is less than that of `bar.many` deviations (B. Laurent, P. Massart, Annals of
    // Statistics 28 (2000) 1302, lemma 1, from memory: n + 2 √(n x) + 2 x at x = z²/2).
    let most = count + bar.many * (2.0 * count).sqrt() + bar.many.powi(2);
    Some(Fit {
        centre,
        error,
        misfit: about(0.0),
        scattered,
        off: agree && centre.abs() > kept + bar.many * error,
        uneven: scattered > most,
        alike: about(centre) <= most,
    })
}

/// One standard deviation of what is left, in the mean of `points`, of writing to a step: figures that run over k steps
/// are rounded up as often as down.
fn written(points: &[(&Point, &f64)]) -> f64 {
    let ordered = || points.iter().map(|(point, _)| point.ordered);
    let run = ordered().fold(f64::MIN, f64::max) - ordered().fold(f64::MAX, f64::min);
    let half = points.iter().map(|(point, _)| point.written).fold(0.0, f64::max);
    if half > 0.0 { even(half) / (run / (2.0 * half)).max(1.0) } else { 0.0 }
}

/// One standard deviation of what lies anywhere within `half`, either way.
fn even(half: f64) -> f64 {
    half / 3.0_f64.sqrt()
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    if sorted.len() % 2 == 1 { sorted[half] } else { f64::midpoint(sorted[half - 1], sorted[half]) }
}

/// The longest stretch of `points`, in the order of the keys, that is off together inside a section that is not: its
/// first and last index.
pub(super) fn stretch(points: &[Point], bar: Bar) -> Option<(usize, usize)> {
    const SHORTEST: usize = 3;
    let mut best: Option<(f64, usize, usize)> = None;
    for first in 0..points.len() {
        for last in first + SHORTEST - 1..points.len() {
            let part = &points[first..=last];
            let offs: Vec<f64> = part.iter().map(Point::off).collect();
            let count = part.len() as f64;
            let mean = offs.iter().sum::<f64>() / count;
            let error = (part.iter().map(|point| point.own.powi(2)).sum::<f64>().sqrt() / count)
                .hypot(part[0].shared.hypot(even(part[0].written)));
            let most = part[0].kept + bar.stretch * error;
            let shared = mean.abs().min(median(&offs).abs());
            if shared <= most {
                continue;
            }
            let weight = mean.abs() * count.sqrt();
            if best.is_none_or(|(most, ..)| weight > most) {
                best = Some((weight, first, last));
            }
        }
    }
    best.map(|(_, first, last)| (first, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(offs: &[f64]) -> Vec<Point> {
        let point = |(wanted, off): (usize, &f64)| Point {
            wanted,
            section: 0,
            ordered: 50.0,
            read: 50.0 + off,
            own: 0.1,
            shared: 0.0,
            kept: 0.3,
            written: 0.0,
        };
        offs.iter().enumerate().map(point).collect()
    }

    const BAR: Bar = Bar { single: 3.8, many: 3.3, stretch: 4.3, again: 1.6 };

    fn as_ordered(offs: &[f64]) -> Fit {
        fit(&points(offs), |point| point.ordered, BAR).expect("more than one")
    }

    #[test]
    fn one_head_off_moves_nothing_but_itself() {
        let fit = as_ordered(&[0.1, -0.1, 2.0, 0.0, 0.05]);
        assert!(!fit.bad() && fit.centre.abs() < 0.05, "{fit:?}");
    }

    #[test]
    fn all_off_alike_are_off_together_and_even() {
        let fit = as_ordered(&[1.1, 0.9, 1.0, 1.05]);
        assert!(fit.off && fit.alike, "{fit:?}");
        let of = super::fit(&points(&[1.1, 0.9, 1.0, 1.05]), |point| point.ordered + 1.0, BAR);
        assert!(!of.expect("four").bad());
    }

    #[test]
    fn off_by_turns_is_uneven_and_two_that_contradict_each_other_say_nothing() {
        let fit = as_ordered(&[1.0, -1.0, 1.0, -1.0]);
        assert!(fit.uneven && !fit.off && !fit.alike, "{fit:?}");
        assert!(!as_ordered(&[0.0, 2.0]).off);
        assert!(as_ordered(&[1.9, 2.0]).off);
    }

    #[test]
    fn a_stretch_is_found_where_it_lies() {
        let mut offs = [0.0; 20];
        offs[6..12].fill(1.2);
        assert_eq!(stretch(&points(&offs), BAR), Some((6, 11)));
        offs[6..12].fill(0.3);
        assert_eq!(stretch(&points(&offs), BAR), None);
    }
}
