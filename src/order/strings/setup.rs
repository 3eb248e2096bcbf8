//! From what the notes could get and a wish to the course that the search takes.

use super::alternative::Known;
use super::buy::rank;
use super::choice::Make;
use super::course::{BOUNDS, Bound, Candidate, Course, FIGURES, Join, Place, Wires};
use super::gap::Gaps;
use super::line::Line;
use super::offer::{NoteOffers, Offer};
use super::staying::Fate;
use super::wish::Wish;
use crate::instrument::belief::StringKind;
use crate::judgement::limit::LimitKey;
use crate::judgement::load_limits;
use crate::measure::to_mm;

/// Notes on either side through which a slope is drawn, and the fewest that make one.
const SLOPE_NOTES: usize = 10;
const SLOPE_FEWEST: usize = 4;
/// Logarithms of the root of the mass per length that differ by less are of one wire: less than half a
/// half size.
const SAME_WIRE: f64 = 0.012;

/// How a note is strung: kind and strings of the unison.
pub(super) type Strung = (StringKind, u8);

/// A course with what its candidates stand for.
pub(super) struct Setup {
    /// The course.
    pub course: Course,
    /// By place and candidate.
    pub makes: Vec<Vec<Offer>>,
}

/// What the courses are made from.
pub(super) struct Maker<'a> {
    /// The piano.
    pub known: &'a Known<'a>,
    /// What each note could get.
    pub offers: &'a [NoteOffers],
    /// What holds the windings apart.
    pub gaps: &'a Gaps,
    /// The tension aimed at.
    pub line: &'a Line,
    /// What becomes of each note's old strings.
    pub fates: Vec<Fate>,
    /// What each note gets in the copy; `None` where nothing in stock would do.
    pub copy: Vec<Option<Make>>,
}

impl Maker<'_> {
    /// How the piano was found strung.
    pub fn as_found(&self) -> Vec<Strung> {
        self.offers.iter().map(|note| (note.kind, note.strings)).collect()
    }

    /// Most pull of all strings, N, where `most` times what was found is wished: what is allowed above
    /// it is a share of all that plate and soundboard bear; what is asked below it, of the strings that
    /// may go.
    fn most_pull(&self, most: f64) -> f64 {
        let (mut held, mut open) = (0.0, 0.0);
        for (note, fate) in self.offers.iter().zip(&self.fates) {
            let strings = f64::from(note.strings);
            match fate {
                Fate::Stays => held += strings * note.old.figures.tension,
                Fate::Goes | Fate::IfChanged => open += strings * note.found.tension,
            }
        }
        if most > 1.0 { most * (held + open) } else { held + most * open }
    }

    /// The old string of place `i`, called what its copy is: of one wire with neighbours of that size.
    fn old(&self, i: usize) -> Offer {
        let mut old = self.offers[i].old.clone();
        if let Some(Some(copy)) = self.copy.get(i) {
            old.make = copy.clone();
        }
        old
    }

    /// Whether the old string is what place `i`, strung as `strung`, has in `make`.
    pub fn stays(&self, i: usize, strung: Strung, make: &Make) -> bool {
        let note = &self.offers[i];
        match self.fates[i] {
            Fate::Goes => false,
            Fate::IfChanged => strung == (note.kind, note.strings) && self.old(i).make == *make,
            Fate::Stays => true,
        }
    }

    /// What place `i` may get by `wish`; where `held` says, that and no other.
    fn offered(&self, wish: &Wish, i: usize, strung: Strung, held: Option<&Make>) -> Vec<Offer> {
        let note = &self.offers[i];
        let old = self.old(i);
        let may_stay = self.stays(i, strung, &old.make);
        if self.fates[i] == Fate::Stays || (may_stay && held == Some(&old.make)) {
            return vec![old];
        }
        if let Some(make) = held {
            let own = note.plain.iter().chain(&note.wound);
            return own.filter(|offer| offer.make == *make).take(1).cloned().collect();
        }
        let all = match strung.0 {
            StringKind::Plain => &note.plain,
            StringKind::Wound => &note.wound,
        };
        let new =
            |offer: &&Offer| wanted(wish, note, offer) && !(may_stay && offer.make == old.make);
        let mut kept: Vec<Offer> = all.iter().filter(new).cloned().collect();
        // What stays need not be bought, nor does it ask for more than it has borne.
        kept.extend(may_stay.then_some(old));
        kept
    }

    /// The course of `wish` for a piano strung as `strung`; a note with an entry in `held` gets that
    /// and no other.
    pub fn setup(&self, wish: &Wish, strung: &[Strung], held: &[Option<Make>]) -> Setup {
        let mut places = Vec::with_capacity(self.offers.len());
        let mut makes = Vec::with_capacity(self.offers.len());
        for i in 0..self.offers.len() {
            let held_here = held.get(i).and_then(Option::as_ref);
            let kept = self.offered(wish, i, strung[i], held_here);
            let limits = wish.limits && held_here.is_none();
            let candidates =
                kept.iter().map(|offer| self.candidate(wish, i, offer, strung[i], limits));
            let candidates = candidates.collect();
            places.push(Place {
                join: self.join(i, strung),
                wires: self.wires(i, strung, held),
                candidates,
            });
            makes.push(kept);
        }
        let most_pull = wish.most.map(|most| self.most_pull(most));
        let course = Course { places, weights: wish.weights, rules: wish.rules, most_pull };
        Setup { course, makes }
    }

    fn candidate(
        &self,
        wish: &Wish,
        i: usize,
        offer: &Offer,
        strung: Strung,
        limits: bool,
    ) -> Candidate {
        let note = &self.offers[i];
        let figures = &offer.figures;
        let limits = limits && !self.stays(i, strung, &offer.make);
        let mut target = note.found.ln;
        if wish.along_line {
            target[0] = self.line.ln_at(note.note) + wish.aim.ln();
        }
        let off = (0..FIGURES).map(|q| wish.far[q] * (figures.ln[q] - target[q]).abs());
        Candidate {
            wire: rank(match &offer.make {
                Make::Plain(wire) => *wire,
                Make::Wound(wound) => wound.core,
            }),
            ln: figures.ln,
            // Where there is no choice, there is nothing to aim at.
            far: if self.fates[i] == Fate::Stays { 0.0 } else { 100.0 * off.sum::<f64>() },
            step: 0.0,
            pull: f64::from(strung.1) * figures.tension,
            breach: if limits { self.breaches(note, offer) } else { [0.0; BOUNDS] },
        }
    }

    /// How far an offer breaks each limit. A string that was found outside a limit may stand a little
    /// further outside it: no wire brings a plain string's load down.
    fn breaches(&self, note: &NoteOffers, offer: &Offer) -> [f64; BOUNDS] {
        let limits = self.known.limits;
        let wound = matches!(offer.make, Make::Wound(_));
        let kind = if wound { StringKind::Wound } else { StringKind::Plain };
        let mut breach = [0.0; BOUNDS];
        if let Some(load) = offer.figures.load {
            let (mut low, mut high) = load_limits(note.note, Some(kind), limits);
            let mut elastic = limits.value(LimitKey::ElasticLimit);
            if let (Some(found), true) = (note.found.load, note.kind == kind) {
                let beyond = limits.value(LimitKey::RestringOutside);
                let outside =
                    |limit: f64, found: f64| if found > limit { found + beyond } else { limit };
                high = outside(high, found);
                elastic = outside(elastic, found);
                if found < low {
                    low = found - beyond;
                }
            }
            breach[Bound::LoadLow as usize] = (low - load).max(0.0);
            breach[Bound::LoadHigh as usize] = (load - high).max(0.0);
            breach[Bound::Elastic as usize] = (load - elastic).max(0.0);
        }
        if let Make::Wound(wound) = &offer.make {
            breach[Bound::Gap as usize] = self.gaps.lacking(note.note, to_mm(wound.over()));
        }
        breach
    }

    fn join(&self, i: usize, strung: &[Strung]) -> Join {
        let Some(below) = i.checked_sub(1) else { return Join::Apart };
        let (low, high) = (&self.offers[below], &self.offers[i]);
        if high.at != low.at + 1 {
            return Join::Apart;
        }
        if self.is_break(i, strung) || self.is_in_zone(i, strung) {
            Join::Break { slope: self.slope(i, strung) }
        } else {
            Join::Inside
        }
    }

    /// Whether place `i` is in a run between two breaks too short for a course of its own: the steps
    /// in it are steps of the break.
    fn is_in_zone(&self, i: usize, strung: &[Strung]) -> bool {
        let run = self.run(i, strung);
        run.len() < SLOPE_FEWEST && run.start > 0 && run.end < self.offers.len()
    }

    /// Whether the make changes between place `i` and the one below.
    pub fn is_break(&self, i: usize, strung: &[Strung]) -> bool {
        i > 0
            && (self.offers[i].section != self.offers[i - 1].section || strung[i] != strung[i - 1])
    }

    fn wires(&self, i: usize, strung: &[Strung], held: &[Option<Make>]) -> Wires {
        let is_held = self.fates[i] == Fate::Stays || held.get(i).is_some_and(Option::is_some);
        if strung[i].0 == StringKind::Wound || is_held {
            return Wires::Single;
        }
        // Across a strut the old wire may have begun anew; then so may the new.
        let begins = i > 0 && self.offers[i].section != self.offers[i - 1].section && {
            let load_free = |note: &NoteOffers| note.found.ln[2] - 0.5 * note.found.ln[0];
            load_free(&self.offers[i]) > load_free(&self.offers[i - 1]) + SAME_WIRE
        };
        if begins { Wires::Anew } else { Wires::Run }
    }

    /// The run of one make that place `i` is in.
    fn run(&self, i: usize, strung: &[Strung]) -> std::ops::Range<usize> {
        let first = (1..=i).rev().find(|&at| self.is_break(at, strung)).unwrap_or(0);
        let above = (i + 1..self.offers.len()).find(|&at| self.is_break(at, strung));
        first..above.unwrap_or(self.offers.len())
    }

    /// The figures' own slope per key at the break below place `i`: the mean of the lines through the
    /// notes as found of the nearest runs on either side that are long enough for one.
    fn slope(&self, i: usize, strung: &[Strung]) -> [f64; FIGURES] {
        let below = std::iter::successors(Some(self.run(i - 1, strung)), |run| {
            Some(self.run(run.start.checked_sub(1)?, strung))
        });
        let above = std::iter::successors(Some(self.run(i, strung)), |run| {
            (run.end < self.offers.len()).then(|| self.run(run.end, strung))
        });
        let long = |run: &std::ops::Range<usize>| run.len() >= SLOPE_FEWEST;
        let below = below.into_iter().find(long);
        let below = below.map(|run| run.end.saturating_sub(SLOPE_NOTES).max(run.start)..run.end);
        let above = above.into_iter().find(long);
        let above = above.map(|run| run.start..(run.start + SLOPE_NOTES).min(run.end));
        let sides: Vec<std::ops::Range<usize>> = below.into_iter().chain(above).collect();
        std::array::from_fn(|q| {
            let slopes = sides.iter().map(|side| self.slope_through(side, q));
            slopes.sum::<f64>() / sides.len().max(1) as f64
        })
    }

    fn slope_through(&self, notes: &std::ops::Range<usize>, q: usize) -> f64 {
        let count = notes.len() as f64;
        let x = |i: usize| self.offers[i].at as f64;
        let y = |i: usize| self.offers[i].found.ln[q];
        let (mx, my) =
            notes.clone().fold((0.0, 0.0), |sum, i| (sum.0 + x(i) / count, sum.1 + y(i) / count));
        let (xy, xx) = notes.clone().fold((0.0, 0.0), |sum, i| {
            (sum.0 + (x(i) - mx) * (y(i) - my), sum.1 + (x(i) - mx).powi(2))
        });
        if xx > 0.0 { xy / xx } else { 0.0 }
    }
}

/// Whether the wish allows this string at all.
fn wanted(wish: &Wish, note: &NoteOffers, offer: &Offer) -> bool {
    match &offer.make {
        Make::Plain(wire) if wish.whole_sizes => {
            wire.size.is_some_and(|size| size.number().halves() % 2 == 0)
        }
        Make::Wound(wound) if !wish.limits => wound.layers.len() == note.layers,
        _ => true,
    }
}
