//! A piano made up from a few figures: loads by section, pins, rust, tone, history. For judgement
//! tests; the strings are not computed but given by their load.

use feltwire::instrument::{
    BrokeWhen, BrokeWhere, Broken, Climate, Condition, HammerRow, Hammers, Heard, HeardBreak,
    Instrument, Kind, Material, Money, PinRegion, Place, ReadingError, Rust, Section, Shop, State,
    StringWishes, Strung, Supply, Tone, Usage, UseKind, Wear, Wire, WireState,
};
use feltwire::judgement::limit::Limits;
use feltwire::judgement::{Asked, Judgement, decide};
use feltwire::measure::{
    Cents, Compass, Inharmonicity, Measured, Note, Silent, g_per_m, hertz, kg_per_s, mm, mpa,
    newton_metres, newtons,
};
use feltwire::scale::doubt::Doubts;
use feltwire::scale::{
    InharmonicityFigure, NoteStrings, Scale, Source, StrengthBasis, StringFigures, StringKind,
    Totals,
};
use feltwire::stock::{self, StrengthSeries};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One case as written in `decide_cases.toml`; what is missing is as usual.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Piano {
    pub name: String,
    pub kind: Option<String>,
    pub built: Option<i32>,
    #[serde(rename = "use")]
    pub usage: Option<String>,
    pub found: Option<f64>,
    pub strung: Option<i32>,
    pub guarantee: Option<f64>,
    pub must_match: bool,
    pub heritage: bool,
    pub wire: Option<String>,
    pub bass: Part,
    pub tenor: Part,
    pub treble: Part,
    pub pins: BTreeMap<String, Vec<f64>>,
    pub pin: Option<f64>,
    pub hammers: Option<Vec<(String, f64, f64, f64)>>,
    pub condition: BTreeMap<String, String>,
    pub broken: Vec<(String, String, String, i32)>,
    pub heard: Option<(String, String, String)>,
    pub money: Option<Prices>,
    pub expect: Expect,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Part {
    pub notes: Option<(String, String)>,
    pub wound: Option<bool>,
    pub load: Option<(f64, f64)>,
    pub slack: Option<(String, String, f64)>,
    pub coils: Option<i8>,
    pub length: Option<i8>,
    pub tone: Option<(usize, usize, usize)>,
    /// Pitch it last stood at, cents of the finished pitch.
    pub last: Option<f64>,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Prices {
    pub value_restored: Option<f64>,
    pub restring: Option<f64>,
    pub wound_set: Option<f64>,
    pub visit: Option<f64>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Expect {
    pub strings: Vec<String>,
    pub by: Vec<String>,
    pub pins: Option<String>,
    pub hammers: Option<String>,
    pub stops: Vec<String>,
    pub not_looked_at: Vec<String>,
    pub raise: Option<bool>,
    pub more_readings: Option<usize>,
    pub measure: Option<String>,
}

#[derive(Debug, Deserialize)]
struct File {
    usual: Piano,
    case: Vec<Piano>,
}

pub const SECTIONS: [&str; 3] = ["bass", "tenor", "treble"];

/// Every case, filled up with what is usual.
pub fn cases() -> Vec<Piano> {
    let file: File = toml::from_str(include_str!("decide_cases.toml")).expect("decide_cases.toml");
    file.case.into_iter().map(|case| case.over(&file.usual)).collect()
}

/// The usual piano.
pub fn usual() -> Piano {
    let file: File = toml::from_str(include_str!("decide_cases.toml")).expect("decide_cases.toml");
    file.usual
}

impl Part {
    fn over(self, usual: &Self) -> Self {
        Self {
            notes: self.notes.or_else(|| usual.notes.clone()),
            wound: self.wound.or(usual.wound),
            load: self.load.or(usual.load),
            slack: self.slack.or_else(|| usual.slack.clone()),
            coils: self.coils.or(usual.coils),
            length: self.length.or(usual.length),
            tone: self.tone.or(usual.tone),
            last: self.last.or(usual.last),
        }
    }

    fn load_at(&self, note: Note) -> f64 {
        let ((first, last), (low, high)) = (self.range(), self.load.expect("load"));
        if let Some((from, to, load)) = &self.slack
            && (note_of(from)..=note_of(to)).contains(&note)
        {
            return *load / 100.0;
        }
        let along = f64::from(note.key() - first.key()) / f64::from(last.key() - first.key());
        (low + along * (high - low)) / 100.0
    }

    pub fn range(&self) -> (Note, Note) {
        let (first, last) = self.notes.as_ref().expect("notes");
        (note_of(first), note_of(last))
    }
}

fn note_of(name: &str) -> Note {
    Note::parse(name).unwrap_or_else(|_| panic!("{name}"))
}

impl Piano {
    fn over(self, usual: &Self) -> Self {
        Self {
            kind: self.kind.or_else(|| usual.kind.clone()),
            built: self.built.or(usual.built),
            usage: self.usage.or_else(|| usual.usage.clone()),
            found: self.found.or(usual.found),
            bass: self.bass.over(&usual.bass),
            tenor: self.tenor.over(&usual.tenor),
            treble: self.treble.over(&usual.treble),
            pins: if self.pins.is_empty() { usual.pins.clone() } else { self.pins },
            hammers: self.hammers.or_else(|| usual.hammers.clone()),
            ..self
        }
    }

    pub fn parts_mut(&mut self) -> [&mut Part; 3] {
        [&mut self.bass, &mut self.tenor, &mut self.treble]
    }

    pub fn parts(&self) -> [&Part; 3] {
        [&self.bass, &self.tenor, &self.treble]
    }

    pub fn judge(&self) -> Judgement {
        self.judge_with(Asked::default().draws)
    }

    /// The judgement with so many re-runs.
    pub fn judge_with(&self, draws: usize) -> Judgement {
        self.judge_as(&self.instrument(), draws)
    }

    /// The judgement on `instrument` with this piano's strings.
    pub fn judge_as(&self, instrument: &Instrument, draws: usize) -> Judgement {
        let limits = Limits::with(&instrument.limits);
        let asked = Asked { year: Some(2026), draws, ..Asked::default() };
        decide(instrument, &self.scale(), &[], &limits, &asked, &Silent).expect("not stopped")
    }

    pub fn instrument(&self) -> Instrument {
        let material = |name| Arc::new(Material::from(stock::material(name).expect("material")));
        let wire =
            if self.wire.as_deref() == Some("iron") { "iron-historic" } else { "steel-modern" };
        Instrument {
            supply: Supply::default(),
            name: "Tarn & Hollis".into(),
            kind: if self.kind.as_deref() == Some("grand") { Kind::Grand } else { Kind::Upright },
            serial: None,
            built: self.built,
            compass: Compass { first: Note::A0, last: Note::C8 },
            pitch: hertz(440.0),
            found: self.found.map(Cents),
            heritage: self.heritage,
            reading_error: ReadingError::default(),
            wire: Wire {
                plain: material(wire),
                core: material(wire),
                wrap: material("copper"),
                ends: feltwire::instrument::Ends::Pinned,
                strength: StrengthSeries::A228,
            },
            sections: self.sections(),
            strings: Vec::new(),
            runs: Vec::new(),
            string_wishes: StringWishes::default(),
            hammers: self.heads(),
            condition: self.condition(),
            pins: self.regions(),
            wire_state: self.wire_state(),
            broken: self.broken.iter().map(broken).collect(),
            heard: self.heard.iter().map(heard).collect(),
            usage: self.usage(),
            climate: Climate::default(),
            money: self.money.map(money),
            limits: Vec::new(),
            shop: Shop::default(),
        }
    }

    fn sections(&self) -> Vec<Section> {
        let parts = SECTIONS.iter().zip(self.parts());
        parts
            .map(|(name, part)| {
                let (first, last) = part.range();
                Section {
                    name: (*name).into(),
                    notes: Compass { first, last },
                    wound_to: None,
                    counts: Vec::new(),
                    strung: self.strung.map_or(Strung::Original, Strung::Year),
                    found: None,
                }
            })
            .collect()
    }

    fn heads(&self) -> Hammers {
        let row = |(note, mark, felt, lost): &(String, f64, f64, f64)| HammerRow {
            mark: Some(exact(mm(*mark))),
            felt: Some(exact(mm(*felt))),
            wear: Some(Wear::Lost(exact(mm(*lost)))),
            ..HammerRow::empty(note_of(note), Place::default())
        };
        Hammers { rows: self.hammers.iter().flatten().map(row).collect(), ..Hammers::default() }
    }

    fn condition(&self) -> Condition {
        let state = |part: &str| match self.condition.get(part).map(String::as_str) {
            None | Some("sound") => State::Sound,
            Some("doubtful") => State::Doubtful,
            Some("failed") => State::Failed,
            Some("not looked at") => State::NotLookedAt,
            Some(other) => panic!("{other}"),
        };
        Condition {
            plate: state("plate"),
            block: state("block"),
            frame: state("frame"),
            bearing: state("bearing"),
            bridges: state("bridges"),
            soundboard: state("soundboard"),
        }
    }

    fn regions(&self) -> Vec<PinRegion> {
        self.pins
            .iter()
            .map(|(region, torques)| PinRegion {
                region: region.clone(),
                torques: torques.iter().copied().map(newton_metres).collect(),
                pin: Some(mm(self.pin.unwrap_or(7.0))),
                place: Place::default(),
            })
            .collect()
    }

    fn wire_state(&self) -> Vec<WireState> {
        let grade = |grade: Option<i8>| grade.and_then(|g| u8::try_from(g).ok());
        let tones = |(clear, dull, dead): (usize, usize, usize)| {
            let of = |tone, count| std::iter::repeat_n(tone, count);
            of(Tone::Clear, clear).chain(of(Tone::Dull, dull)).chain(of(Tone::Dead, dead)).collect()
        };
        self.parts()
            .iter()
            .enumerate()
            .map(|(section, part)| WireState {
                section,
                rust: Rust { coils: grade(part.coils), length: grade(part.length), bridge: None },
                tone: part.tone.map_or_else(Vec::new, tones),
                last_at_pitch: part.last.map(|cents| hertz(440.0 * Cents(cents).ratio())),
                place: Place::default(),
            })
            .collect()
    }

    fn usage(&self) -> Usage {
        Usage {
            kind: self.usage.as_deref().map(|kind| match kind {
                "home" => UseKind::Home,
                "teaching" => UseKind::Teaching,
                "concert" => UseKind::Concert,
                other => panic!("{other}"),
            }),
            guarantee_years: self.guarantee,
            must_match: self.must_match,
        }
    }

    pub fn scale(&self) -> Scale {
        let notes = self
            .parts()
            .iter()
            .enumerate()
            .flat_map(|(section, part)| {
                let (first, last) = part.range();
                Compass { first, last }.notes().map(move |note| strings(part, section, note))
            })
            .collect();
        Scale {
            notes,
            totals: Totals {
                tension: exact(newtons(1.6e5)),
                tension_material: newtons(0.0),
                strings: 230,
                notes_unknown: 0,
            },
            warnings: Vec::new(),
            missing: Vec::new(),
        }
    }
}

fn exact<Q: Copy + std::ops::Mul<f64, Output = Q>>(value: Q) -> Measured<Q> {
    Measured::new(value, value * 0.0)
}

/// Strings of one note: only load, tension and breaking load mean anything.
fn strings(part: &Part, section: usize, note: Note) -> NoteStrings {
    let wound = part.wound.expect("wound");
    let count = match (wound, note.key()) {
        (true, ..=10) => 1,
        (true, _) => 2,
        (false, _) => 3,
    };
    let (load, breaking) = (part.load_at(note), 1600.0);
    NoteStrings {
        note,
        section,
        strings: Some(count),
        kind: Some(if wound { StringKind::Wound } else { StringKind::Plain }),
        source: Source::Measured,
        frequency: note.frequency(hertz(440.0)),
        string: Some(StringFigures {
            length: exact(mm(500.0)),
            core: exact(mm(1.0)),
            over: None,
            mass_per_length: exact(g_per_m(6.0)),
            tension: exact(newtons(load * breaking)),
            stress: exact(mpa(load * 2100.0)),
            breaking_load: Some(newtons(breaking)),
            strength: Some(StrengthBasis::SeriesMinimum(StrengthSeries::A228)),
            load: Some(Measured::new(load, 0.01 * load)),
            inharmonicity: InharmonicityFigure {
                value: Inharmonicity(4e-4),
                sd: 1e-5,
                lo: Inharmonicity(4e-4),
                hi: Inharmonicity(4e-4),
            },
            stiffness: newtons(0.0),
            impedance: kg_per_s(2.0),
            partials: [note.frequency(hertz(440.0)); 8],
            longitudinal: hertz(3000.0),
            near_longitudinal: None,
            drift: 2.0,
            strike_fraction: None,
            bare_ends_assumed: false,
            approximate: false,
            doubts: Doubts::default(),
            tension_shares: feltwire::instrument::belief::Shares::default(),
        }),
    }
}

fn broken((note, at, when, year): &(String, String, String, i32)) -> Broken {
    Broken {
        note: note_of(note),
        at: Some(match at.as_str() {
            "coil" => BrokeWhere::Coil,
            "bearing" => BrokeWhere::Bearing,
            "bridge" => BrokeWhere::Bridge,
            "hitch" => BrokeWhere::Hitch,
            "length" => BrokeWhere::Length,
            other => panic!("{other}"),
        }),
        when: Some(match when.as_str() {
            "tuning" => BrokeWhen::Tuning,
            "playing" => BrokeWhen::Playing,
            other => panic!("{other}"),
        }),
        year: Some(*year),
        place: Place::default(),
    }
}

fn heard((below, above, heard): &(String, String, String)) -> HeardBreak {
    HeardBreak {
        below: note_of(below),
        above: note_of(above),
        heard: match heard.as_str() {
            "even" => Heard::Even,
            "slight" => Heard::Slight,
            "plain" => Heard::Plain,
            other => panic!("{other}"),
        },
    }
}

fn money(prices: Prices) -> Money {
    Money {
        currency: "EUR".into(),
        value_restored: prices.value_restored,
        restring: prices.restring,
        wound_set: prices.wound_set,
        hammers: None,
        visit: prices.visit,
    }
}
