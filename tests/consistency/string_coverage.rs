//! Pianos whose truth is known, read with the errors that their surveys state: how often the printed
//! 90 % interval holds the truth. The truth comes from the laws that the beliefs state (lengths along a
//! bridge, windings along a set, bare ends), and each string of it is solved by itself.
//!
//! Each piano gives one total a survey, so of them the number of pianos is what counts: of 1000 a share of
//! 90 % has a standard error of 0.95 %, and one total in thirty would lie outside 88 to 92 % though nothing
//! were wrong. Of [`PIANOS`] it is 0.55 %, so the bounds are asserted as they stand, and doubts that are a
//! twelfth too small or a tenth too large are seen.
//!
//! Where the wire of a gap was read at its two ends only, what is off is no normal deviate: it is nothing,
//! or a whole step of size. There the doubt is wide enough for that step, and the intervals must hold the truth
//! *at least* so often.

use crate::strings_survey::{computed, of_files};
use feltwire::measure::{
    Input, Note, Stream, gpa, kg_per_m3, mm, to_gpa, to_kg_per_m3, to_newtons,
};
use feltwire::physics::core::Core;
use feltwire::physics::string::{Elastic, Ends};
use feltwire::physics::winding::{Layer, layer_mass, wire_from_over};
use feltwire::physics::{StringSpec, sound, strength};
use feltwire::scale::{Scale, Source, StringFigures};
use feltwire::stock::{StrengthSeries, material};
use rand_distr::{Distribution, StandardNormal, StandardUniform};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::sync::LazyLock;

/// How many pianos. Their seed was taken when all else stood: none of them was looked at before.
const PIANOS: u64 = 3000;
const SEED: u64 = 20_263;
const NINETY: f64 = 1.644_853_6;
/// Half of a stated error, as a standard deviation, is the tool's own at all notes alike.
const ALIKE: f64 = 0.5;

/// One true string.
struct Truth {
    note: Note,
    strings: u8,
    length: f64,
    core: f64,
    over: Option<f64>,
    ends: [f64; 2],
}

/// What is off at all notes of one piano.
struct Tools {
    tape: f64,
    micrometer: f64,
    over: f64,
    /// Share of the half spread by which a hexagonal core's winding is heavier.
    lies: f64,
    hex: bool,
    /// Plain wire goes by whole sizes.
    whole_sizes: bool,
    /// As the tables have them, and as this piano's lots are.
    materials: [Materials; 2],
}

/// Density of steel, its modulus, density of copper: over the nominal ones.
type Materials = [f64; 3];
/// Tension (N), load, B.
type Solved = [f64; 3];

struct Chance(Stream);

impl Chance {
    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    fn uniform(&mut self) -> f64 {
        StandardUniform.sample(&mut self.0)
    }

    /// A reading that is off by `alike` of its tool and by its own scatter.
    fn read(&mut self, sd: f64, tool: f64) -> f64 {
        sd * (ALIKE * tool + (1.0 - ALIKE * ALIKE).sqrt() * self.normal())
    }
}

/// ln of something along `count` keys: an integrated Wiener process as `instrument::belief` states it.
fn course(
    chance: &mut Chance,
    level: f64,
    count: usize,
    (slope, slope_sd): (f64, f64),
    rough: f64,
) -> Vec<f64> {
    // How rough a bridge is differs by a factor of 2 from piano to piano; beyond 2.5 deviations a
    // piano would have strings that no survey accepts.
    let rough = rough * 2.0_f64.powf(chance.normal().clamp(-2.5, 2.5));
    let mut slope = slope + slope_sd * chance.normal();
    let mut here = level;
    (0..count)
        .map(|_| {
            let at = here;
            let (a, b) = (chance.normal(), chance.normal());
            // Over one key: the slope wanders by W, the value by its integral.
            here += slope + rough * (a / 2.0 + b / 12.0_f64.sqrt());
            slope += rough * a;
            at
        })
        .collect()
}

const SECTIONS: [(u8, u8, f64, u8); 4] =
    [(1, 12, 1150.0, 1), (13, 28, 1050.0, 2), (29, 58, 1000.0, 3), (59, 88, 320.0, 3)];

/// Wire by key, from 1, in runs of one size: plain wire goes by half sizes every 3 to 8 notes or by whole
/// ones every 6 to 13.
fn wires(chance: &mut Chance, whole_sizes: bool) -> Vec<f64> {
    let (step, least) = if whole_sizes { (0.0508, 6) } else { (0.0254, 3) };
    let (mut size, mut left) = (1.45, 0);
    (1..=88)
        .map(|key| {
            if key == 29 {
                size = 1.05;
            } else if left == 0 && key > 1 {
                size -= if key < 29 { 0.05 } else { step };
            }
            if left == 0 || key == 29 {
                let (least, more) =
                    if key < 29 { (3, 6.0) } else { (least, 2.0 + f64::from(least)) };
                left = least + (more * chance.uniform()) as u32;
            }
            left -= 1;
            size
        })
        .collect()
}

fn piano(chance: &mut Chance, whole_sizes: bool) -> Vec<Truth> {
    let winder = chance.normal();
    let wires = wires(chance, whole_sizes);
    let mut all = Vec::new();
    for (first, last, level, strings) in SECTIONS {
        let count = usize::from(last - first) + 1;
        let level = f64::ln(level) + 0.05 * chance.normal();
        let lengths = course(chance, level, count, (-0.04, 0.008), 0.0015);
        let wound = last <= 28;
        let over = if first == 1 { 6.0_f64.ln() } else { 3.4_f64.ln() };
        let overs = course(chance, over, count, (-0.03, 0.01), 0.004);
        for (key, (length, over)) in (first..=last).zip(lengths.into_iter().zip(overs)) {
            let mut end = || {
                20.0 * 1.45_f64
                    .powf(ALIKE * winder + (1.0 - ALIKE * ALIKE).sqrt() * chance.normal())
            };
            let core = wires[usize::from(key) - 1];
            all.push(Truth {
                note: Note::from_key(key).expect("a key"),
                strings,
                length: length.exp(),
                core,
                over: wound.then(|| over.exp().max(1.3 * core)),
                ends: [end(), end()],
            });
        }
    }
    all
}

fn tools(chance: &mut Chance) -> Tools {
    let mut relative = |value: f64, sd: f64| 1.0 + chance.normal() * sd / value;
    let steel = material("steel-modern").expect("of the table");
    let copper = &material("copper").expect("of the table").density;
    let modulus = steel.youngs_modulus.as_ref().expect("stated");
    let lots = [
        relative(to_kg_per_m3(steel.density.value), to_kg_per_m3(steel.density.sd)),
        relative(to_gpa(modulus.value), to_gpa(modulus.sd)),
        relative(to_kg_per_m3(copper.value), to_kg_per_m3(copper.sd)),
    ];
    Tools {
        tape: chance.normal(),
        micrometer: chance.normal(),
        over: chance.normal(),
        lies: 2.0 * chance.uniform() - 1.0,
        hex: chance.uniform() < 0.3,
        whole_sizes: chance.uniform() < 0.5,
        materials: [[1.0; 3], lots],
    }
}

/// What is read.
#[derive(Clone, Copy, PartialEq)]
enum Plan {
    /// Every note.
    All,
    /// Every sixth note of a section and its last; the wire of every run.
    Few,
    /// The same notes, and the wire of them alone.
    FewWires,
}

fn is_read(key: u8, plan: Plan) -> bool {
    let (first, last, _, _) =
        *SECTIONS.iter().find(|s| s.0 <= key && key <= s.1).expect("a section");
    plan == Plan::All || (key - first).is_multiple_of(6) || key == last
}

fn survey(
    truth: &[Truth],
    tools: &Tools,
    chance: &mut Chance,
    plan: Plan,
) -> [(&'static str, String); 3] {
    let mut toml = String::from(
        "format = 1\n[instrument]\nname = \"x\"\nkind = \"grand\"\n[strings]\ntable = \"strings.csv\"\n\
         runs = \"runs.csv\"\n",
    );
    for (i, (first, last, _, strings)) in SECTIONS.iter().enumerate() {
        let [first, last] = [first, last].map(|key| Note::from_key(*key).expect("a key"));
        let wound = if i < 2 { format!("wound_to = \"{last}\"\n") } else { String::new() };
        writeln!(
            toml,
            "[[section]]\nname = \"s{i}\"\nnotes = [\"{first}\", \"{last}\"]\n{wound}\
             counts = {{ {strings} = \"{first}\" }}"
        )
        .expect("string");
    }
    let mut runs = String::from("from,to,core_mm\n");
    let mut from = 0;
    for i in 1..=truth.len() {
        let in_runs = plan != Plan::FewWires;
        if in_runs && i < truth.len() && truth[i].core.to_bits() == truth[from].core.to_bits() {
            continue;
        }
        if !in_runs && !is_read(truth[from].note.key(), plan) {
            from = i;
            continue;
        }
        let read = truth[from].core + chance.read(0.005, tools.micrometer);
        writeln!(runs, "{},{},{read:.6}", truth[from].note, truth[i - 1].note).expect("string");
        from = i;
    }
    let shape = if tools.hex { "hex" } else { "round" };
    let mut rows =
        String::from("note,strings,length_mm,core_shape,over_mm,bare_front_mm,bare_back_mm\n");
    for string in truth {
        let length = string.length + chance.read(0.2 + 0.001 * string.length, tools.tape);
        let over = string.over.map(|over| over + chance.read(0.03, tools.over));
        let ends = string.ends.map(|end| end + chance.read(0.2 + 0.001 * end, tools.tape));
        let with_ends = chance.uniform() < 0.5;
        if !is_read(string.note.key(), plan) {
            continue;
        }
        write!(rows, "{},{},{length:.6},", string.note, string.strings).expect("string");
        match over {
            Some(over) if with_ends => {
                writeln!(rows, "{shape},{over:.6},{:.6},{:.6}", ends[0], ends[1])
            }
            Some(over) => writeln!(rows, "{shape},{over:.6},,"),
            None => writeln!(rows, ",,,"),
        }
        .expect("string");
    }
    [("survey.toml", toml), ("strings.csv", rows), ("runs.csv", runs)]
}

/// `None` where the laws made no string at all.
fn solved(string: &Truth, tools: &Tools, materials: Materials) -> Option<Solved> {
    let steel = material("steel-modern").expect("of the table");
    let modulus = steel.youngs_modulus.as_ref().expect("stated");
    let elastic = Elastic {
        density: kg_per_m3(to_kg_per_m3(steel.density.value) * materials[0]),
        youngs_modulus: gpa(to_gpa(modulus.value) * materials[1]),
    };
    let core = match (tools.hex, string.over) {
        (true, Some(_)) => Core::Hex { across_flats: mm(string.core) },
        _ => Core::Round { diameter: mm(string.core) },
    };
    let mut spec = StringSpec::plain(mm(string.length), core, elastic);
    spec.ends = Ends::Pinned;
    if let Some(over) = string.over {
        let copper = material("copper").expect("of the table").density.value;
        let density = kg_per_m3(to_kg_per_m3(copper) * materials[2]);
        let wire = wire_from_over(core, mm(over)).expect("room for a wire");
        let mass = layer_mass(core, mm(0.0), wire, density);
        let heavier = 1.0 + tools.lies * (mass.half_spread / mass.value).value;
        spec.layers.push(Layer {
            wire,
            density: density * heavier,
            bare_front: mm(string.ends[0]),
            bare_back: mm(string.ends[1]),
        });
    }
    let a4 = feltwire::measure::hertz(440.0);
    let sounding = sound(&spec, string.note.frequency(a4)).ok()?;
    let row = StrengthSeries::A228.strength(core.equal_area_diameter()).expect("of the series");
    let load = sounding.tension / strength::breaking_load(row.min, core);
    Some([to_newtons(sounding.tension), load.value, sounding.inharmonicity.0])
}

/// A piano with its strings solved, by the nominal materials and by those of its lots. In one of a
/// thousand the laws make a treble too short to be pulled at all, or a string that no survey accepts:
/// such a piano was never built, and another takes its place.
fn built(chance: &mut Chance) -> (Vec<Truth>, Tools, [Vec<Solved>; 2]) {
    // A little inside what a survey takes, for readings are off.
    const THICKEST_MM: f64 = 14.5;
    const SHORTEST_MM: f64 = 21.0;
    loop {
        let tools = tools(chance);
        let truth = piano(chance, tools.whole_sizes);
        let refused = |string: &Truth| {
            string.length < SHORTEST_MM || string.over.is_some_and(|over| over > THICKEST_MM)
        };
        if truth.iter().any(refused) {
            continue;
        }
        let [nominal, lots] = tools.materials.map(|materials| -> Option<Vec<Solved>> {
            truth.iter().map(|string| solved(string, &tools, materials)).collect()
        });
        if let (Some(nominal), Some(lots)) = (nominal, lots) {
            return (truth, tools, [nominal, lots]);
        }
    }
}

#[derive(Default)]
struct Counts(BTreeMap<String, [usize; 2]>);

impl Counts {
    fn add(&mut self, what: &str, holds: bool) {
        let count = self.0.entry(what.to_owned()).or_default();
        count[0] += usize::from(holds);
        count[1] += 1;
    }

    fn join(&mut self, other: Self) {
        for (what, [hold, all]) in other.0 {
            let count = self.0.entry(what).or_default();
            count[0] += hold;
            count[1] += all;
        }
    }
}

fn within(value: f64, sd: f64, truth: f64) -> bool {
    (value - truth).abs() <= NINETY * sd
}

/// Whether the printed intervals hold the truth; with `materials`, widened by their spread.
fn holds(figures: &StringFigures, [tension, load, b]: Solved, materials: bool) -> [bool; 3] {
    let sd = |parts: &feltwire::scale::doubt::Parts| {
        let material = if materials { parts.of_material() } else { 0.0 };
        parts.of_readings().hypot(material)
    };
    let said = figures.inharmonicity;
    // What the materials leave open of B widens both bounds.
    let more = NINETY * said.value.0 * figures.doubts.inharmonicity.of_material();
    let wider = |bound: f64| {
        let reach = bound - said.value.0;
        if materials { said.value.0 + reach.signum() * reach.hypot(more) } else { bound }
    };
    let value = to_newtons(figures.tension.value);
    let share = figures.load.expect("of the series");
    [
        within(value, value * sd(&figures.doubts.tension), tension),
        within(share.value, share.value * sd(&figures.doubts.load), load),
        wider(said.lo.0) <= b && b <= wider(said.hi.0),
    ]
}

/// What the surveys of one piano hold: by the nominal materials, and by those of its lots.
fn one(piano_number: u64) -> [Counts; 2] {
    let mut chance = Chance(Input::new(SEED, "pianos for coverage").draw(piano_number));
    let (truth, tools, solved) = built(&mut chance);
    let mut counts: [Counts; 2] = Default::default();
    for plan in [Plan::All, Plan::Few, Plan::FewWires] {
        if plan == Plan::FewWires && !piano_number.is_multiple_of(3) {
            continue;
        }
        let files = survey(&truth, &tools, &mut chance, plan);
        let files = files.each_ref().map(|(name, text)| (*name, text.as_str()));
        let (_, scale) = computed(&of_files(&files));
        for ((materials, solved), counts) in [false, true].into_iter().zip(&solved).zip(&mut counts)
        {
            count(&truth, &tools, solved, &scale, (plan, materials), counts);
        }
    }
    counts
}

const WIRES_UNREAD: [&str; 2] =
    ["wires between unread, half sizes", "wires between unread, whole sizes"];

/// Counts which intervals of `scale` hold the truth.
fn count(
    truth: &[Truth],
    tools: &Tools,
    solved: &[Solved],
    scale: &Scale,
    (plan, materials): (Plan, bool),
    counts: &mut Counts,
) {
    let mut total = 0.0;
    let wires_unread = WIRES_UNREAD[usize::from(tools.whole_sizes)];
    for (string, &solved) in truth.iter().zip(solved) {
        let entry = scale.note(string.note).expect("of the compass");
        total += f64::from(string.strings) * solved[0];
        let figures = entry.string.as_ref().unwrap_or_else(|| panic!("{}", string.note));
        let kind = if string.over.is_some() { "wound" } else { "plain" };
        let source = match entry.source {
            Source::Measured if plan == Plan::FewWires => continue,
            Source::Measured if figures.bare_ends_assumed => "read, ends assumed",
            Source::Measured => "read",
            _ if plan == Plan::FewWires => wires_unread,
            _ => "between",
        };
        for (what, holds) in
            ["tension", "load", "B"].into_iter().zip(holds(figures, solved, materials))
        {
            counts.add(&format!("{what}: {kind}, {source}"), holds);
        }
    }
    let said = scale.totals;
    let material = if materials { to_newtons(said.tension_material) } else { 0.0 };
    let sd = to_newtons(said.tension.sd).hypot(material);
    let how = match plan {
        Plan::All => "all read",
        Plan::Few => "few readings",
        Plan::FewWires => wires_unread,
    };
    let holds = within(to_newtons(said.tension.value), sd, total);
    counts.add(&format!("total tension: {how}"), holds);
}

/// Of all pianos, worked out once for both tests.
static COVERAGE: LazyLock<[Counts; 2]> = LazyLock::new(|| {
    let threads = std::thread::available_parallelism().map_or(2, std::num::NonZero::get);
    let each = |from: usize| {
        let mut counts: [Counts; 2] = Default::default();
        for piano in (from as u64..PIANOS).step_by(threads) {
            counts.iter_mut().zip(one(piano)).for_each(|(counts, more)| counts.join(more));
        }
        counts
    };
    std::thread::scope(|scope| {
        let started: Vec<_> = (0..threads).map(|from| scope.spawn(move || each(from))).collect();
        let mut counts: [Counts; 2] = Default::default();
        for part in started {
            let part = part.join().expect("no panic");
            counts.iter_mut().zip(part).for_each(|(counts, more)| counts.join(more));
        }
        counts
    })
});

fn check(counts: &Counts) {
    let mut faults = Vec::new();
    let mut table = String::new();
    for (what, [hold, all]) in &counts.0 {
        let share = 100.0 * *hold as f64 / *all as f64;
        writeln!(table, "{what:50} {share:6.1} % of {all}").expect("string");
        let most =
            if WIRES_UNREAD.iter().any(|unread| what.ends_with(unread)) { 100.0 } else { 92.0 };
        if !(88.0..=most).contains(&share) {
            faults.push(format!("{what}: {share:.1} %"));
        }
    }
    std::io::stdout().write_all(table.as_bytes()).expect("standard output");
    // Totals; tension, load and B of plain and wound strings between, and of strings read: plain, and wound
    // with ends read and assumed.
    assert_eq!(counts.0.len(), 4 + 3 * (3 * 2 + 3));
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn ninety_percent_intervals_hold_the_truth_nine_times_in_ten() {
    check(&COVERAGE[0]);
}

#[test]
fn with_the_spread_of_materials_they_hold_it_too() {
    check(&COVERAGE[1]);
}
