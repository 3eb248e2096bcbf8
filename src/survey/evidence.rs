//! What was seen and heard: condition, pins, wire, broken strings, breaks, use and room.

use super::fault::{Fault, FaultKind};
use super::head::Head;
use super::item::Item;
use super::possible;
use super::quantity::impossible;
use super::sections::named;
use super::source::At;
use super::tree::Keys;
use super::words::shown;
use crate::instrument::{
    BrokeWhen, BrokeWhere, Broken, Climate, Condition, Heard, HeardBreak, PinRegion, Rust, Section,
    State, Tone, Usage, UseKind, WireState,
};
use crate::measure::text;

const STATES: &[(&str, State)] = &[
    ("sound", State::Sound),
    ("doubtful", State::Doubtful),
    ("failed", State::Failed),
    ("not looked at", State::NotLookedAt),
];

pub(super) fn condition(root: &Keys) -> Condition {
    let Some(keys) = root.table("condition") else { return Condition::default() };
    let state = |key| keys.word(key, STATES).unwrap_or_default();
    let condition = Condition {
        plate: state("plate"),
        block: state("block"),
        frame: state("frame"),
        bearing: state("bearing"),
        bridges: state("bridges"),
        soundboard: state("soundboard"),
    };
    keys.finish();
    condition
}

pub(super) fn pins(root: &Keys) -> Vec<PinRegion> {
    let one = |keys: Keys| {
        let region = keys
            .need("region", "write which part of the block: region = \"tenor\"")
            .and_then(|item| item.name());
        let torques = keys.get("torque").and_then(|item| {
            item.list("write torques in a list: torque = [\"6.2 N m\", \"5.4 N m\"]")
        });
        let torque =
            |item: Item| item.quantity("6.2 N m", possible::torque()).map(|read| read.value);
        let torques = torques.unwrap_or_default().into_iter().filter_map(torque).collect();
        let pin = keys.quantity("pin", "7.00 mm", possible::pin()).map(|read| read.value);
        let place = keys.at.place();
        keys.finish();
        Some(PinRegion { region: region?, torques, pin, place })
    };
    root.tables("pins").into_iter().filter_map(one).collect()
}

pub(super) fn wire_state(root: &Keys, sections: &[Section]) -> Vec<WireState> {
    let mut states: Vec<(WireState, At)> = Vec::new();
    for keys in root.tables("wire_state") {
        let Some((state, at)) = one_wire_state(&keys, sections) else { continue };
        if let Some((_, first)) = states.iter().find(|(other, _)| other.section == state.section) {
            let name = shown(&sections[state.section].name);
            let title = format!("the wire of \"{name}\" is described twice");
            root.desk.fault(
                Fault::new(FaultKind::WireStateTwice, &at, title)
                    .found("again here")
                    .expected("one [[wire_state]] for each section")
                    .remedy("put both into one table, or correct the name of the section")
                    .also(first, "the first one"),
            );
        }
        states.push((state, at));
    }
    states.into_iter().map(|(state, _)| state).collect()
}

fn one_wire_state(keys: &Keys, sections: &[Section]) -> Option<(WireState, At)> {
    let item = keys.need("section", "write the name of the section: section = \"bass\"");
    let section = item.as_ref().and_then(|item| named(item, sections));
    let rust = keys.get("rust").map(|item| rust(&item)).unwrap_or_default();
    let heard = "write a word for each string heard: tone = [\"clear\", \"dull\"]";
    let tone = keys.get("tone").and_then(|item| item.list(heard)).unwrap_or_default();
    let tones = [("clear", Tone::Clear), ("dull", Tone::Dull), ("dead", Tone::Dead)];
    let tone = tone.iter().filter_map(|item| item.word(&tones)).collect();
    let last_at_pitch = keys.quantity("last_at_pitch", "435 Hz", possible::pitch());
    let last_at_pitch = last_at_pitch.map(|read| read.value);
    keys.unknown();
    let place = keys.at.place();
    Some((WireState { section: section?, rust, tone, last_at_pitch, place }, item?.at))
}

fn rust(item: &Item) -> Rust {
    let Some(keys) = item.keys() else { return Rust::default() };
    let grade = |key| {
        let item = keys.get(key)?;
        let grade = item.whole("0 none, 1 tarnish, 2 light rust, 3 pitting")?;
        let fits = u8::try_from(grade).ok().filter(|grade| *grade <= 3);
        if fits.is_none() {
            let words =
                "0 none, 1 tarnish, 2 light rust, 3 pitting; leave it out where you did not look";
            let made = impossible(&item.name, &grade.to_string(), words, &item.at);
            item.desk.fault(made.remedy("write the grade as a number from 0 to 3"));
        }
        fits
    };
    let rust = Rust { coils: grade("coils"), length: grade("length"), bridge: grade("bridge") };
    keys.finish();
    rust
}

pub(super) fn broken(root: &Keys, head: &Head) -> Vec<Broken> {
    let places = [
        ("coil", BrokeWhere::Coil),
        ("bearing", BrokeWhere::Bearing),
        ("bridge", BrokeWhere::Bridge),
        ("hitch", BrokeWhere::Hitch),
        ("length", BrokeWhere::Length),
    ];
    let one = |keys: Keys| {
        let note = keys
            .need("note", "write which string broke: note = \"F6\"")
            .and_then(|item| item.note(Some(head.compass)));
        let at = keys.word("where", &places);
        let when =
            keys.word("when", &[("tuning", BrokeWhen::Tuning), ("playing", BrokeWhen::Playing)]);
        let year = keys.get("year").and_then(|item| item.year(head.built));
        let place = keys.at.place();
        keys.finish();
        Some(Broken { note: note?, at, when, year, place })
    };
    root.tables("broken").into_iter().filter_map(one).collect()
}

pub(super) fn heard(root: &Keys, head: &Head, sections: &[Section]) -> Vec<HeardBreak> {
    let words = [("even", Heard::Even), ("slight", Heard::Slight), ("plain", Heard::Plain)];
    let one = |keys: Keys| {
        let item = keys.need("between", "write the two notes: between = [\"C#3\", \"D3\"]");
        let notes = item.as_ref().and_then(|item| item.notes(Some(head.compass)));
        let heard = keys
            .need("heard", "write heard = \"even\", \"slight\" or \"plain\"")
            .and_then(|item| item.word(&words));
        keys.finish();
        let (item, notes) = (item?, notes?);
        if notes.len() != 2 {
            let ends: Vec<_> = sections.iter().skip(1).map(|section| section.notes.first).collect();
            let ends: Vec<_> = ends
                .iter()
                .filter_map(|above| Some(format!("{} and {above}", above.step(-1)?)))
                .collect();
            item.desk.fault(
                Fault::new(
                    FaultKind::NotABreak,
                    &item.at,
                    format!("{} and {} are no neighbours", notes.first, notes.last),
                )
                .found("a break lies between two neighbouring notes")
                .expected(if ends.is_empty() {
                    "two neighbouring notes".to_owned()
                } else {
                    format!("two neighbouring notes; your sections part at {}", ends.join(", "))
                })
                .remedy("write the last note below the break and the first above it"),
            );
            return None;
        }
        Some(HeardBreak { below: notes.first, above: notes.last, heard: heard? })
    };
    root.tables("break").into_iter().filter_map(one).collect()
}

pub(super) fn usage(root: &Keys) -> Usage {
    let Some(keys) = root.table("use") else { return Usage::default() };
    let kinds =
        [("home", UseKind::Home), ("teaching", UseKind::Teaching), ("concert", UseKind::Concert)];
    let kind = keys.word("kind", &kinds);
    let years = keys.get("guarantee_years").and_then(|item| Some((item.number("5")?, item)));
    let guarantee_years = years.and_then(|(years, item)| {
        let fits = (0.0..=30.0).contains(&years);
        if !fits {
            let made = impossible(&item.name, &years.to_string(), "0 to 30 years", &item.at);
            item.desk.fault(made.remedy("write the years of guarantee asked for: 5"));
        }
        fits.then_some(years)
    });
    let must_match = keys.get("must_match").and_then(|item| item.flag()).unwrap_or(false);
    keys.finish();
    Usage { kind, guarantee_years, must_match }
}

pub(super) fn climate(root: &Keys) -> Climate {
    let Some(keys) = root.table("climate") else { return Climate::default() };
    let temperature =
        keys.quantity("temperature", "20 °C", possible::temperature()).map(|read| read.value);
    let humidity = keys.get("humidity").and_then(|item| humidity(&item));
    keys.finish();
    Climate { temperature, humidity }
}

/// Relative humidity in percent.
fn humidity(item: &Item) -> Option<f64> {
    let remedy = "write it like this: humidity = \"45 %\"";
    let written = item.text(remedy)?;
    match text::split_number(written) {
        Some((percent, "%" | "% RH" | "%RH")) if (0.0..=100.0).contains(&percent) => {
            Some(percent / 100.0)
        }
        Some((_, "%" | "% RH" | "%RH")) => {
            item.desk.fault(impossible(&item.name, written, "0 to 100 %", &item.at));
            None
        }
        other => {
            let kind = match other {
                None => FaultKind::NotANumber,
                Some((_, "")) => FaultKind::BareNumber,
                Some(_) => FaultKind::WrongUnit,
            };
            item.desk.fault(
                Fault::new(kind, &item.at, format!("{} is no relative humidity", item.name))
                    .found("in what unit?")
                    .expected("relative humidity in %")
                    .remedy(remedy),
            );
            None
        }
    }
}
