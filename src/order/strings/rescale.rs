//! Works out the alternatives: offers once, then a search for each wish.

use super::alternative::{
    Alternative, ExtentFigures, ExtentTried, Known, Refused, Rescale, Swayed, Totals,
};
use super::buy::Stock;
use super::choice::{Choice, Make, Stringing};
use super::course::{Course, Terms};
use super::gap::Gaps;
use super::going::is_beside;
use super::judge::{Judged, as_found, judged, strung_anew};
use super::line::Line;
use super::offer::{NoteOffers, Offers, stringing};
use super::search::{NoChoice, best};
use super::setup::{Maker, Strung};
use super::spread::each;
use super::staying::Fate;
use super::tell;
use super::wind::{self, Extent};
use super::wish::{Name, Prefer, Term, Wish};
use crate::instrument::belief::{BelievedNote, BelievedString, Source, StringKind};
use crate::judgement::limit::LimitKey;
use crate::measure::{Length, Note, Stopped, Watch, newtons, to_mm, to_newtons};
use crate::scale::Scale;
use crate::scale::breaks::Quantity;
use crate::sentence;
use std::sync::Arc;

/// Factors by which each weight is tried.
const SWAYS: [f64; 2] = [0.5, 2.0];
/// The weights that are tried.
const SWAYED: [Term; 4] = [Term::Even, Term::Breaks, Term::Old, Term::Sizes];

/// The alternatives of `names`; with `WindFurther` also every other number of wound notes, and with
/// more than the copy the answer of the choice to its weights.
pub fn rescale(
    known: &Known,
    names: &[Name],
    prefer: &Prefer,
    watch: &dyn Watch,
) -> Result<Rescale, Stopped> {
    on_bench(known, names.contains(&Name::WindFurther), prefer, watch, |bench, foot, window| {
        bench.rescale(names, foot, window)
    })
}

/// What the search takes for the alternative `name` of the piano strung as found: the course, and what
/// each candidate of each place stands for. For whoever wants to solve it by other means.
pub fn problem(
    known: &Known,
    name: Name,
    prefer: &Prefer,
    watch: &dyn Watch,
) -> Result<(Course, Vec<Vec<Make>>), Stopped> {
    on_bench(known, false, prefer, watch, |bench, _, _| {
        let held = bench.held(name);
        let setup = bench.maker.setup(&bench.wish(name), &bench.maker.as_found(), &held);
        let makes = setup.makes.into_iter().map(|one| one.into_iter().map(|offer| offer.make));
        Ok((setup.course, makes.map(Iterator::collect).collect()))
    })
}

/// Works out what each note could get, and hands it on.
fn on_bench<R>(
    known: &Known,
    wind_further: bool,
    prefer: &Prefer,
    watch: &dyn Watch,
    work: impl FnOnce(Bench, Option<usize>, &std::ops::Range<usize>) -> Result<R, Stopped>,
) -> Result<R, Stopped> {
    watch.check()?;
    let stock = Stock::of(known.instrument, known.belief);
    let table = Offers::new(known, &stock, strung_anew(known.instrument, |_| true));
    let heads: Vec<NoteOffers> = (0..table.len()).map(|i| table.head(i)).collect();
    let foot = wind_further.then(|| wind::foot(&heads)).flatten();
    let most = known.limits.value(LimitKey::RestringWind) as usize;
    let window = foot.map_or(0..0, |foot| wind::window(&heads, foot, most, known.staying));
    let places: Vec<usize> = (0..table.len()).collect();
    let offers: Result<Vec<NoteOffers>, Stopped> = each(&places, |&i| {
        watch.check()?;
        watch.progress("strings that can be had", i, places.len());
        Ok(table.of(i, window.contains(&i)))
    })
    .into_iter()
    .collect();
    let offers = offers?;
    let gaps = Gaps::of(known.instrument, known.belief, known.limits);
    let line = Line::of(&known.instrument.supply.line, &offers);
    let fates = vec![Fate::Goes; offers.len()];
    let maker = Maker { known, offers: &offers, gaps: &gaps, line: &line, fates, copy: Vec::new() };
    let mut bench = Bench { maker, prefer: *prefer, found: as_found(known), watch };
    // The copy is of every string: a single one of those that stay is replaced by it.
    bench.maker.copy = bench.copied()?;
    bench.maker.fates = offers.iter().map(|note| known.staying.fate(note.note)).collect();
    work(bench, foot, &window)
}

/// Where the alternatives are worked out.
struct Bench<'a> {
    maker: Maker<'a>,
    prefer: Prefer,
    found: Judged,
    watch: &'a dyn Watch,
}

/// What a search came to.
type Chosen = Result<(Vec<Make>, Terms), NoChoice>;

impl Bench<'_> {
    fn rescale(
        self,
        names: &[Name],
        foot: Option<usize>,
        window: &std::ops::Range<usize>,
    ) -> Result<Rescale, Stopped> {
        let found = self.maker.as_found();
        let plain: Vec<Name> = Name::ALL
            .into_iter()
            .filter(|name| names.contains(name) && self.is_asked(*name))
            .collect();
        let mut alternatives = Vec::new();
        let mut refused = Vec::new();
        let worked = each(&plain, |&name| {
            self.watch.progress("alternatives", 0, plain.len());
            self.alternative(name, &found, None)
        });
        for one in worked {
            match one? {
                Ok(alternative) => alternatives.push(alternative),
                Err(why) => refused.push(why),
            }
        }
        let (mut extents, mut extents_held) = (Vec::new(), Vec::new());
        if let Some(foot) = foot {
            let (tried, other) = self.extents(foot, window)?;
            extents = tried;
            extents_held = wind::held(self.maker.offers, foot, self.maker.known.staying);
            let at =
                alternatives.iter().position(|one| one.name as usize > Name::WindFurther as usize);
            match other {
                Some(Ok(alternative)) => {
                    alternatives.insert(at.unwrap_or(alternatives.len()), alternative);
                }
                Some(Err(why)) => refused.push(why),
                None => {}
            }
        }
        let from = if self.prefer.is_ours() { Name::Smooth } else { Name::Preferred };
        let base = alternatives.iter().find(|one| one.name == from);
        let swayed = match base {
            Some(base) => self.swayed(base, &found)?,
            None => Vec::new(),
        };
        let copy = self.old_in_stock(&found);
        Ok(Rescale {
            found_totals: self.found_totals(&copy),
            found_scatter: self.scatter(&self.found),
            alternatives,
            refused,
            extents,
            extents_held,
            swayed,
            swayed_from: from,
            prefer: self.prefer,
            staying: self.maker.known.staying.clone(),
            copy,
            found: self.found,
        })
    }

    /// The number of wound notes is looked for apart; without a preference there is none to follow.
    fn is_asked(&self, name: Name) -> bool {
        match name {
            Name::WindFurther => false,
            Name::Preferred => !self.prefer.is_ours(),
            _ => true,
        }
    }

    /// The copy: the nearest offer to each string as found.
    fn copied(&self) -> Result<Vec<Option<Make>>, Stopped> {
        let wish = self.wish(Name::Copy);
        let setup = self.maker.setup(&wish, &self.maker.as_found(), &[]);
        let nearest = setup.course.places.iter().zip(&setup.makes).map(|(place, makes)| {
            let far = |at: &usize| place.candidates[*at].far;
            let at = (0..makes.len()).min_by(|a, b| far(a).total_cmp(&far(b)))?;
            Some(makes[at].make.clone())
        });
        self.watch.check()?;
        Ok(nearest.collect())
    }

    fn wish(&self, name: Name) -> Wish {
        Wish::of(name, &self.prefer, self.maker.known.limits)
    }

    /// The least of `wish`.
    fn search(&self, wish: &Wish, strung: &[Strung], held: &[Option<Make>]) -> Chosen {
        let setup = self.maker.setup(wish, strung, held);
        let found = best(&setup.course, self.watch)?;
        let terms = setup.course.terms(&found.choice);
        let makes =
            found.choice.iter().zip(&setup.makes).map(|(&at, makes)| makes[at].make.clone());
        Ok((makes.collect(), terms))
    }

    fn alternative(
        &self,
        name: Name,
        strung: &[Strung],
        extent: Option<Extent>,
    ) -> Result<Result<Alternative, Refused>, Stopped> {
        let held = self.held(name);
        match self.search(&self.wish(name), strung, &held) {
            Ok((makes, terms)) => Ok(Ok(self.told(name, strung, extent, makes, terms))),
            Err(NoChoice::Stopped) => Err(Stopped),
            Err(NoChoice::Impossible(refusal)) => {
                Ok(Err(Refused { name, why: tell::refusal(&refusal, &self.notes()) }))
            }
        }
    }

    fn told(
        &self,
        name: Name,
        strung: &[Strung],
        extent: Option<Extent>,
        makes: Vec<Make>,
        terms: Terms,
    ) -> Alternative {
        let makes: Vec<Option<Make>> = makes.into_iter().map(Some).collect();
        let choice = self.choice(&makes, strung);
        let judged = judged(self.maker.known, &choice, true);
        let totals = self.totals(&choice, &judged.scale);
        let mut alternative = Alternative {
            name,
            totals,
            terms,
            scatter: self.scatter(&judged),
            gives_up: Vec::new(),
            knock_on: wind::knock_on(self.maker.offers, strung),
            extent,
            choice,
            judged,
        };
        alternative.gives_up =
            tell::gives_up(self.maker.known, &self.found, &alternative, self.maker.gaps);
        alternative
    }

    fn scatter(&self, judged: &Judged) -> [Option<f64>; 2] {
        [Quantity::Tension, Quantity::Inharmonicity]
            .map(|quantity| judged.scatter(self.maker.known, quantity))
    }

    /// What each note gets and no other in the alternative `name`.
    fn held(&self, name: Name) -> Vec<Option<Make>> {
        let maker = &self.maker;
        match name {
            Name::BreakOnly => self.away(),
            // The old string is the best copy of itself, whatever its ends are.
            Name::Copy => {
                let may_stay = maker.fates.iter().map(|fate| *fate == Fate::IfChanged);
                let copies = maker.copy.iter().zip(may_stay);
                copies.map(|(copy, may_stay)| copy.clone().filter(|_| may_stay)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Notes that keep the copy where only breaks are rescaled.
    fn away(&self) -> Vec<Option<Make>> {
        let rough: Vec<_> = self.found.breaks.iter().filter(|one| one.is_not_smooth()).collect();
        let places = if rough.is_empty() {
            self.found.wound_to_plain().into_iter().collect()
        } else {
            rough
        };
        let limits = self.maker.known.limits;
        let near = |note: Note| {
            places.iter().any(|one| is_beside(note, (one.place.below, one.place.above), limits))
        };
        let notes = self.maker.offers.iter().zip(&self.maker.copy);
        notes.map(|(note, make)| make.clone().filter(|_| !near(note.note))).collect()
    }

    fn notes(&self) -> Vec<Note> {
        self.maker.offers.iter().map(|note| note.note).collect()
    }

    /// Every other number of wound notes, and the best of them as an alternative.
    #[expect(clippy::type_complexity, reason = "two results of one look")]
    fn extents(
        &self,
        foot: usize,
        window: &std::ops::Range<usize>,
    ) -> Result<(Vec<ExtentTried>, Option<Result<Alternative, Refused>>), Stopped> {
        let all = wind::extents(self.maker.offers, foot, window);
        let wish = self.wish(Name::WindFurther);
        let tried: Vec<(ExtentTried, Option<Terms>)> = each(&all, |(extent, strung)| {
            self.watch.progress("other numbers of wound notes", 0, all.len());
            let outcome = self.search(&wish, strung, &[]);
            let (outcome, terms) = match outcome {
                Ok((makes, terms)) => {
                    let makes: Vec<Option<Make>> = makes.into_iter().map(Some).collect();
                    let choice = self.choice(&makes, strung);
                    let judged = judged(self.maker.known, &choice, false);
                    let totals = self.totals(&choice, &judged.scale);
                    let figures = ExtentFigures {
                        objective: terms.sum(),
                        pull: totals.pull,
                        steps: steps(&judged),
                    };
                    (Ok(figures), Some(terms))
                }
                Err(NoChoice::Stopped) => return Err(Stopped),
                Err(NoChoice::Impossible(refusal)) => {
                    (Err(tell::refusal(&refusal, &self.notes())), None)
                }
            };
            let knock_on = wind::knock_on(self.maker.offers, strung);
            Ok((ExtentTried { extent: *extent, knock_on, outcome }, terms))
        })
        .into_iter()
        .collect::<Result<_, Stopped>>()?;
        let least = tried
            .iter()
            .zip(&all)
            .filter_map(|(one, all)| Some((one.1?.sum(), all)))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let other = match least {
            Some((_, (extent, strung))) => {
                Some(self.alternative(Name::WindFurther, strung, Some(*extent))?)
            }
            None => None,
        };
        Ok((tried.into_iter().map(|one| one.0).collect(), other))
    }

    /// How the choice of `base` answers to its weights.
    fn swayed(&self, base: &Alternative, strung: &[Strung]) -> Result<Vec<Swayed>, Stopped> {
        let sways: Vec<(Term, f64)> =
            SWAYED.iter().flat_map(|term| SWAYS.map(|factor| (*term, factor))).collect();
        each(&sways, |&(term, factor)| {
            self.watch.progress("what the weights do", 0, sways.len());
            let one = Prefer::default().with(term, factor);
            let wish = self.wish(base.name).preferring(&one);
            match self.search(&wish, strung, &[]) {
                Ok((makes, _)) => {
                    let makes: Vec<Option<Make>> = makes.into_iter().map(Some).collect();
                    let choice = self.choice(&makes, strung);
                    let judged = judged(self.maker.known, &choice, false);
                    let pairs = choice.notes.iter().zip(&base.choice.notes);
                    Ok(Swayed {
                        term,
                        factor,
                        notes: Some(pairs.filter(|(a, b)| a.make != b.make).count()),
                        pull: Some(self.totals(&choice, &judged.scale).pull),
                        steps: steps(&judged),
                    })
                }
                Err(NoChoice::Stopped) => Err(Stopped),
                Err(NoChoice::Impossible(_)) => {
                    Ok(Swayed { term, factor, notes: None, pull: None, steps: [None; 3] })
                }
            }
        })
        .into_iter()
        .collect()
    }

    /// What each note gets, with the reason.
    fn choice(&self, makes: &[Option<Make>], strung: &[Strung]) -> Choice {
        let notes = self.maker.offers.iter().enumerate().filter_map(|(i, offers)| {
            let believed = &self.maker.known.belief.notes[offers.at];
            let string = believed.string.as_ref()?;
            let make = makes.get(i)?.clone()?;
            if self.maker.stays(i, strung[i], &make) {
                return Some(stays(believed, string, offers.old.make.clone()));
            }
            Some(self.bought(i, believed, string, make, strung[i]))
        });
        Choice { notes: notes.collect() }
    }

    /// A new string of place `i`.
    fn bought(
        &self,
        i: usize,
        believed: &BelievedNote,
        string: &BelievedString,
        make: Make,
        (kind, strings): Strung,
    ) -> Stringing {
        let offers = &self.maker.offers[i];
        let copy = self.maker.copy.get(i).and_then(Option::as_ref);
        Stringing {
            strings,
            changed: copy != Some(&make) || strings != offers.strings || kind != offers.kind,
            approximate: is_approximate(believed, string),
            why: tell::why(copy, &make, kind != offers.kind),
            ..stringing(believed, string, make)
        }
    }

    /// Every old string in the nearest size in stock, whatever stays.
    fn old_in_stock(&self, found: &[Strung]) -> Choice {
        let notes = self.maker.offers.iter().zip(&self.maker.copy).enumerate();
        let notes = notes.filter_map(|(i, (offers, make))| {
            let believed = &self.maker.known.belief.notes[offers.at];
            let string = believed.string.as_ref()?;
            Some(self.bought(i, believed, string, make.clone()?, found[i]))
        });
        Choice { notes: notes.collect() }
    }

    fn found_totals(&self, copy: &Choice) -> Totals {
        let staying = self.maker.known.staying;
        let may_go = |one: &&Stringing| staying.fate(one.note) != Fate::Stays;
        Totals {
            plain_sizes: plain_sizes(copy.notes.iter().filter(may_go)),
            changed: 0,
            ..self.totals(copy, &self.found.scale)
        }
    }

    fn totals(&self, choice: &Choice, scale: &Scale) -> Totals {
        let pull = |scale: &Scale, note: Note| -> f64 {
            let entry = scale.note(note);
            let tension =
                entry.and_then(|n| n.string.as_ref()).map(|s| to_newtons(s.tension.value));
            tension.unwrap_or(0.0) * f64::from(entry.and_then(|n| n.strings).unwrap_or(0))
        };
        let sum = |scale: &Scale| -> f64 { choice.notes.iter().map(|n| pull(scale, n.note)).sum() };
        Totals {
            pull: newtons(sum(scale)),
            found: newtons(sum(&self.found.scale)),
            strings: choice.notes.iter().map(|n| usize::from(n.strings)).sum(),
            open: self.maker.fates.iter().filter(|fate| **fate != Fate::Stays).count(),
            plain_sizes: plain_sizes(choice.notes.iter().filter(|n| !n.stays)),
            changed: choice.notes.iter().filter(|n| n.changed).count(),
        }
    }
}

/// The old string, which stays.
fn stays(believed: &BelievedNote, string: &BelievedString, make: Make) -> Stringing {
    Stringing {
        stays: true,
        material: Arc::clone(&string.material),
        approximate: is_approximate(believed, string),
        why: sentence!["the old strings stay"],
        ..stringing(believed, string, make)
    }
}

fn is_approximate(believed: &BelievedNote, string: &BelievedString) -> bool {
    believed.source != Source::Measured
        || string.winding.as_ref().is_some_and(|winding| winding.approximate)
}

/// Different plain wires among these strings.
fn plain_sizes<'a>(notes: impl Iterator<Item = &'a Stringing>) -> usize {
    let mut plain: Vec<Length> =
        notes.filter(|n| n.kind() == StringKind::Plain).map(|n| n.wire().diameter).collect();
    plain.sort_by(|a, b| to_mm(*a).total_cmp(&to_mm(*b)));
    plain.dedup();
    plain.len()
}

/// Steps at the break between wound and plain: tension, inharmonicity, load.
fn steps(judged: &Judged) -> [Option<f64>; 3] {
    [Quantity::Tension, Quantity::Inharmonicity, Quantity::Load]
        .map(|quantity| Some(judged.wound_to_plain()?.step(quantity)?.fraction()))
}
