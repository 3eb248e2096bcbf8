//! The strings drawn again and again from what is believed of them, every string solved anew.
//!
//! Each independent chance of the belief (`instrument::belief`) has a stream of its own, named by the
//! seed and the chance's name: what several notes owe to one reading moves with one number in all of
//! them. Notes may be worked out on any number of threads; what is summed over notes is summed in their
//! order, so the answer is the same.
//!
//! What is drawn is what is *believed given the readings*: a reading is believed normal about what was
//! read, with its own deviation once, never noise upon noise. Bare ends that nobody read are lognormal;
//! how a winding lies on a hexagonal core is uniform between its bounds. Materials stay at their values
//! unless asked for.

use super::Scale;
use super::doubt::half_spreads;
use super::spec::spec_of;
use super::strength::breaking_load;
use super::threads::each;
use crate::instrument::belief::{Belief, BelievedNote, BelievedString, Shared, Shares};
use crate::instrument::{Instrument, Material};
use crate::measure::{Force, Inharmonicity, Input, Note, Stopped, Watch, mm, newtons, to_newtons};
use crate::physics::warm::Warm;
use crate::physics::{Impossible, StringSpec};
use rand_distr::Distribution;
use rand_distr::StandardUniform;
use statrs::distribution::{ContinuousCDF, Normal};
use std::collections::BTreeMap;

/// How often one note is drawn where it is explained and nobody says how often: 5 and 95 % are then
/// good to about a twentieth of a standard deviation.
pub const EXPLAINED_DRAWS: usize = 2000;

/// What is asked of the draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// How many.
    pub draws: usize,
    /// Names all streams together with their chances.
    pub seed: u64,
    /// Whether density and modulus of the materials are drawn too.
    pub materials: bool,
}

impl Wanted {
    /// `draws` from the readings alone, under the usual seed.
    pub fn of_readings(draws: usize) -> Self {
        Self { draws, seed: 1, materials: false }
    }
}

/// What draws say of one figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<Q> {
    /// Mean.
    pub mean: Q,
    /// Standard deviation.
    pub sd: Q,
    /// 5 % lie below.
    pub lo: Q,
    /// 5 % lie above.
    pub hi: Q,
}

impl<Q> Spread<Q> {
    fn map<R>(self, quantity: impl Fn(Q) -> R) -> Spread<R> {
        Spread {
            mean: quantity(self.mean),
            sd: quantity(self.sd),
            lo: quantity(self.lo),
            hi: quantity(self.hi),
        }
    }
}

/// One string of one note, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct NoteDraws {
    /// The note.
    pub note: Note,
    /// Its tension.
    pub tension: Spread<Force>,
    /// Tension over breaking load; `None` where there is no breaking load.
    pub load: Option<Spread<f64>>,
    /// Its inharmonicity.
    pub inharmonicity: Spread<Inharmonicity>,
    /// How many draws made no string at all; they are left out.
    pub impossible: usize,
}

/// All strings, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws {
    /// What was asked.
    pub wanted: Wanted,
    /// The notes known, from the bass.
    pub notes: Vec<NoteDraws>,
    /// Pull of all strings known.
    pub total: Option<Spread<Force>>,
}

impl Draws {
    /// What was drawn of `note`.
    pub fn note(&self, note: Note) -> Option<&NoteDraws> {
        self.notes.iter().find(|drawn| drawn.note == note)
    }
}

/// One draw of one string.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// What was drawn, as the equations take it.
    pub spec: StringSpec,
    /// Its tension.
    pub tension: Force,
    /// Its inharmonicity.
    pub inharmonicity: Inharmonicity,
    /// Tension over breaking load.
    pub load: Option<f64>,
}

/// Draws every string of `scale`.
pub fn draw(
    instrument: &Instrument,
    belief: &Belief,
    scale: &Scale,
    wanted: Wanted,
    watch: &dyn Watch,
) -> Result<Draws, Stopped> {
    let known: Vec<(&BelievedNote, u8)> = belief
        .notes
        .iter()
        .filter(|believed| scale.note(believed.note).is_some_and(|entry| entry.string.is_some()))
        .filter_map(|believed| Some((believed, believed.strings?)))
        .collect();
    let sources: Vec<Sources> =
        known.iter().map(|(believed, _)| Sources::of(belief, believed, wanted)).collect();
    let mut uses: BTreeMap<&str, usize> = BTreeMap::new();
    for name in sources.iter().flat_map(|sources| &sources.names) {
        *uses.entry(name).or_default() += 1;
    }
    // A chance behind several notes is drawn once; one behind a single note is drawn with it.
    let names: Vec<&str> = uses.into_iter().filter(|(_, uses)| *uses > 1).map(|u| u.0).collect();
    let drawn = each(&names, |name| normals(name, wanted));
    let common: BTreeMap<&str, Vec<f64>> = names.into_iter().zip(drawn).collect();
    let pairs: Vec<(&BelievedNote, u8, &Sources)> = known
        .iter()
        .zip(&sources)
        .map(|((note, count), sources)| (*note, *count, sources))
        .collect();
    let notes = each(&pairs, |&(believed, count, sources)| {
        watch.check()?;
        Ok(one_note(instrument, believed, count, sources, &common, wanted))
    });
    let notes: Vec<_> = notes.into_iter().collect::<Result<_, Stopped>>()?;
    let mut total = vec![0.0; wanted.draws];
    for (_, pulls) in notes.iter().flatten() {
        for (sum, pull) in total.iter_mut().zip(pulls) {
            // Below zero: no string in that draw.
            *sum = if *sum < 0.0 || *pull < 0.0 { -1.0 } else { *sum + pull };
        }
    }
    total.retain(|sum| *sum >= 0.0);
    Ok(Draws {
        wanted,
        total: spread(&mut total).map(|total| total.map(newtons)),
        notes: notes.into_iter().flatten().map(|(note, _)| note).collect(),
    })
}

/// The draws of one note, one by one; `None` in place of a draw that makes no string. `Err` when the
/// string believed makes none.
pub fn of_note(
    instrument: &Instrument,
    belief: &Belief,
    believed: &BelievedNote,
    wanted: Wanted,
) -> Result<Vec<Option<Drawn>>, Impossible> {
    let sources = Sources::of(belief, believed, wanted);
    let mut all = Vec::with_capacity(wanted.draws);
    run(instrument, believed, &sources, &BTreeMap::new(), wanted, |drawn| all.push(drawn))?;
    Ok(all)
}

/// What the draws of one note say together; `None` when fewer than two of them make a string.
pub fn together(note: Note, draws: &[Option<Drawn>]) -> Option<NoteDraws> {
    let possible = || draws.iter().flatten();
    let mut tensions: Vec<f64> = possible().map(|drawn| to_newtons(drawn.tension)).collect();
    let mut b: Vec<f64> = possible().map(|drawn| drawn.inharmonicity.0).collect();
    let mut loads: Vec<f64> = possible().filter_map(|drawn| drawn.load).collect();
    Some(NoteDraws {
        note,
        impossible: draws.len() - tensions.len(),
        tension: spread(&mut tensions)?.map(newtons),
        load: spread(&mut loads),
        inharmonicity: spread(&mut b)?.map(Inharmonicity),
    })
}

/// The chances behind one note, by name, and how each of its figures moves with them.
struct Sources {
    names: Vec<String>,
    length: Moves,
    core: Moves,
    weighed: Moves,
    over: Moves,
    wire: Moves,
    under: Moves,
    front: Moves,
    back: Moves,
    hex: Option<usize>,
    breaking_load: Option<usize>,
    /// Wire's density, its modulus, the winding's density.
    materials: [Option<usize>; 3],
}

/// Place in `Sources::names`, and by how much.
type Moves = Vec<(usize, f64)>;

impl Sources {
    fn of(belief: &Belief, believed: &BelievedNote, wanted: Wanted) -> Self {
        let mut names: Vec<String> = Vec::new();
        let mut place = |name: &str| {
            names.iter().position(|known| known == name).unwrap_or_else(|| {
                names.push(name.to_owned());
                names.len() - 1
            })
        };
        let mut moves = |shares: Option<&Shares>| -> Moves {
            let all = shares.into_iter().flat_map(Shares::iter);
            all.map(|share| (place(&belief.chances[share.chance]), share.moves)).collect()
        };
        let string = believed.string.as_ref();
        let winding = string.and_then(|string| string.winding.as_ref());
        let own = string.map(|string| &string.shares);
        let of_winding = winding.map(|winding| &winding.shares);
        let length = moves(own.map(|shares| &shares.length));
        let core = moves(own.map(|shares| &shares.core));
        let weighed = moves(own.map(|shares| &shares.weighed));
        let over = moves(of_winding.map(|shares| &shares.over));
        let wire = moves(of_winding.map(|shares| &shares.wire));
        let under = moves(of_winding.map(|shares| &shares.under));
        let front = moves(of_winding.map(|shares| &shares.bare_front));
        let back = moves(of_winding.map(|shares| &shares.bare_back));
        let hexagonal =
            string.is_some_and(|string| super::cause::Cause::HexWinding.sd(string) > 0.0);
        let hex = hexagonal.then(|| place(&belief.chances[Shared::HexWinding as usize]));
        let tested = string.is_some_and(|string| string.breaking_load.is_some());
        let breaking_load = tested.then(|| place(&format!("breaking load {}", believed.note)));
        let mut material = |of: Option<&Material>, what: &str| {
            of.filter(|_| wanted.materials).map(|of| place(&format!("{what} of {}", of.name)))
        };
        let steel = string.map(|string| &*string.material);
        let materials = [
            material(steel, "density"),
            material(steel, "modulus"),
            material(winding.map(|winding| &*winding.material), "density"),
        ];
        Self {
            names,
            length,
            core,
            weighed,
            over,
            wire,
            under,
            front,
            back,
            hex,
            breaking_load,
            materials,
        }
    }
}

/// Normal deviates of the chance `name`, one a draw, by the inverse of the distribution function.
fn normals(name: &str, wanted: Wanted) -> Vec<f64> {
    let mut stream = Input::new(wanted.seed, name).draw(0);
    let normal = Normal::standard();
    (0..wanted.draws)
        .map(|_| {
            // From 0 on and below 1; half a step keeps it off 0.
            let uniform: f64 = StandardUniform.sample(&mut stream);
            normal.inverse_cdf(uniform + f64::EPSILON / 4.0)
        })
        .collect()
}

fn one_note(
    instrument: &Instrument,
    believed: &BelievedNote,
    count: u8,
    sources: &Sources,
    common: &BTreeMap<&str, Vec<f64>>,
    wanted: Wanted,
) -> Option<(NoteDraws, Vec<f64>)> {
    let mut pulls = Vec::with_capacity(wanted.draws);
    let (mut b, mut loads) = (Vec::with_capacity(wanted.draws), Vec::new());
    run(instrument, believed, sources, common, wanted, |drawn| {
        pulls.push(drawn.as_ref().map_or(-1.0, |drawn| to_newtons(drawn.tension)));
        if let Some(drawn) = drawn {
            b.push(drawn.inharmonicity.0);
            loads.extend(drawn.load);
        }
    })
    .ok()?;
    let mut tensions: Vec<f64> = pulls.iter().copied().filter(|pull| *pull >= 0.0).collect();
    let note = NoteDraws {
        note: believed.note,
        impossible: pulls.len() - tensions.len(),
        tension: spread(&mut tensions)?.map(newtons),
        load: spread(&mut loads),
        inharmonicity: spread(&mut b)?.map(Inharmonicity),
    };
    for pull in &mut pulls {
        *pull *= f64::from(count);
    }
    Some((note, pulls))
}

/// Every draw of one note, in order.
fn run(
    instrument: &Instrument,
    believed: &BelievedNote,
    sources: &Sources,
    common: &BTreeMap<&str, Vec<f64>>,
    wanted: Wanted,
    mut each: impl FnMut(Option<Drawn>),
) -> Result<(), Impossible> {
    let Some(string) = &believed.string else { return Err(Impossible::OutOfReach) };
    let ends = instrument.wire.ends;
    let warm = Warm::new(&spec_of(string, ends)?, believed.note.frequency(instrument.pitch))?;
    let own: Vec<Vec<f64>> =
        sources
            .names
            .iter()
            .map(|name| {
                if common.contains_key(name.as_str()) { Vec::new() } else { normals(name, wanted) }
            })
            .collect();
    let streams: Vec<&[f64]> = sources
        .names
        .iter()
        .zip(&own)
        .map(|(name, own)| common.get(name.as_str()).map_or(own.as_slice(), Vec::as_slice))
        .collect();
    let mut moved = string.clone();
    (0..wanted.draws).for_each(|draw| {
        let z = |place: usize| streams[place][draw];
        each(drawn(instrument, string, &mut moved, sources, &warm, z).ok());
    });
    Ok(())
}

/// One draw: `moved` is a copy of `string` in which the figures are set.
fn drawn(
    instrument: &Instrument,
    string: &BelievedString,
    moved: &mut BelievedString,
    sources: &Sources,
    warm: &Warm,
    z: impl Fn(usize) -> f64,
) -> Result<Drawn, Impossible> {
    let off = |moves: &Moves| moves.iter().map(|(place, by)| by * z(*place)).sum::<f64>();
    moved.length.value.value = string.length.value.value + off(&sources.length);
    moved.core.value.value = string.core.value.value + off(&sources.core);
    if let (Some(moved), Some(read)) = (&mut moved.weighed, string.weighed) {
        moved.value.value = read.value.value + off(&sources.weighed);
    }
    if let (Some(moved), Some(place)) = (&mut moved.breaking_load, sources.breaking_load) {
        let read = string.breaking_load.unwrap_or(*moved);
        moved.value.value = read.value.value + z(place) * read.sd.value;
    }
    if let (Some(moved), Some(read)) = (&mut moved.winding, &string.winding) {
        moved.over.value.value = read.over.value.value + off(&sources.over);
        for (moved, read, moves) in [
            (&mut moved.wire, read.wire, &sources.wire),
            (&mut moved.under, read.under, &sources.under),
        ] {
            if let (Some(moved), Some(read)) = (moved, read) {
                moved.value.value = read.value.value + off(moves);
            }
        }
        for (moved, read, moves) in [
            (&mut moved.bare_front, read.bare_front, &sources.front),
            (&mut moved.bare_back, read.bare_back, &sources.back),
        ] {
            let (median, off) = (read.length.value.value, off(moves));
            let end = if read.assumed { median * off.exp() } else { median + off };
            // An end that is read as next to nothing may be drawn below it.
            moved.length.value = mm(1e3 * end.max(0.0));
        }
    }
    let mut spec = spec_of(moved, instrument.wire.ends)?;
    if let Some(place) = sources.hex {
        let lies = 2.0 * Normal::standard().cdf(z(place)) - 1.0;
        let open = half_spreads(&spec);
        for (layer, open) in spec.layers.iter_mut().zip(open) {
            layer.density.value *= 1.0 + lies * open;
        }
    }
    let [steel, modulus, winding] = sources.materials;
    if let Some(place) = steel {
        spec.steel.density.value += z(place) * string.material.density.sd.value;
    }
    if let (Some(place), Some(of)) = (modulus, string.material.youngs_modulus) {
        spec.steel.youngs_modulus.value += z(place) * of.sd.value;
    }
    if let (Some(place), Some(of)) = (winding, &string.winding) {
        let relative = (of.material.density.sd / of.material.density.value).value;
        spec.layers.iter_mut().for_each(|layer| layer.density.value *= 1.0 + relative * z(place));
    }
    let near = warm.sound(&spec)?;
    let bearing = breaking_load(instrument, moved, &spec).ok();
    let load = bearing.map(|bearing| (near.tension / bearing.load).value);
    Ok(Drawn { tension: near.tension, inharmonicity: near.inharmonicity, load, spec })
}

/// `None` of fewer than two values, which it leaves in disorder.
fn spread(values: &mut [f64]) -> Option<Spread<f64>> {
    let count = values.len();
    if count < 2 {
        return None;
    }
    let mean = values.iter().sum::<f64>() / count as f64;
    let square: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    let mut at = |share: f64| {
        let place = share * (count - 1) as f64;
        let below = place.floor();
        let (_, &mut low, above) = values.select_nth_unstable_by(below as usize, f64::total_cmp);
        let high = above.iter().copied().fold(f64::INFINITY, f64::min);
        if high.is_finite() { low + (place - below) * (high - low) } else { low }
    };
    Some(Spread { mean, sd: (square / (count - 1) as f64).sqrt(), lo: at(0.05), hi: at(0.95) })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles of 1 to 101 are its members; the standard deviation is that of consecutive numbers,
    /// sqrt(n (n + 1)/12).
    #[test]
    fn the_spread_of_consecutive_numbers() {
        let mut values: Vec<f64> = (1..=101).rev().map(f64::from).collect();
        let spread = spread(&mut values).expect("more than one");
        assert!((spread.lo - 6.0).abs() < 1e-12 && (spread.hi - 96.0).abs() < 1e-12);
        assert!((spread.sd - (101.0_f64 * 102.0 / 12.0).sqrt()).abs() < 1e-12);
    }
}
