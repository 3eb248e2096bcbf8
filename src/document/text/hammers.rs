//! `feltwire hammers`: the hammers, note by note, and the samples against the heights.

use super::columns::{Align, Columns, item};
use super::{head, warnings};
use crate::action::{NoteHammer, Sample, SampleStanding};
use crate::document::shapes::bore_from;
use crate::document::words::{Style, cell, list};
use crate::judgement::hammers::{self, Filing};
use crate::judgement::limit::LimitKey;
use crate::measure::{Mass, Measured, to_degrees, to_grams, to_mm};
use crate::report::Report;
use std::fmt::Write as _;

/// Bores, angles and masses by section; then the samples.
pub fn hammers(report: &Report) -> String {
    let mut text = head(report);
    if report.instrument.hammers.rows.is_empty() {
        text.push_str(
            "No hammer was read: name a hammers table in survey.toml, [hammers] table.\n",
        );
        return text;
    }
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let _ =
            write!(text, "\n{} ({}–{})\n", section.name, section.notes.first, section.notes.last);
        let mut table = Columns::new(&[
            ("note", Align::Left),
            ("bore mm", Align::Right),
            ("±", Align::Right),
            ("from", Align::Left),
            ("rake °", Align::Right),
            ("side °", Align::Right),
            ("mass g", Align::Right),
            ("head/strings", Align::Right),
            ("strike", Align::Right),
            ("was", Align::Right),
        ]);
        for entry in report.action.notes_of(index) {
            table.row(row(entry));
        }
        text.push_str(&table.text());
    }
    text.push('\n');
    text.push_str(&foot(report));
    text.push_str(&wear(report));
    text.push_str(&filing(report));
    text.push_str(&samples(report));
    text.push_str(&touch(report));
    text.push_str(&warnings(report.all_hammer_warnings()));
    text
}

fn row(entry: &NoteHammer) -> Vec<String> {
    let fraction = |value: Option<f64>| {
        value.map_or(String::new(), |f| format!("1/{}", cell(Some(1.0 / f), 1)))
    };
    vec![
        entry.note.to_string(),
        cell(entry.bore_ordered.map(|bore| to_mm(bore.value)), 1),
        cell(entry.bore_ordered.map(|bore| to_mm(bore.sd)), 1),
        entry.bore.map_or("", |bore| bore_from(bore.from)).to_owned(),
        cell(Some(to_degrees(entry.rake)), 1),
        cell(entry.side.map(|side| to_degrees(side.angle.value)), 1),
        cell(entry.head_mass.map(|mass| to_grams(mass.value)), 1),
        cell(entry.mass_ratio.map(|ratio| ratio.value), 2),
        fraction(entry.strike.and_then(|s| s.fraction).map(|f| f.value)),
        fraction(entry.strike.and_then(|s| s.fraction_found)),
    ]
}

fn foot(report: &Report) -> String {
    let allowance = match report.action.allowance {
        Some(felt) => format!(
            "Bores include an allowance of {} for later filing: add none.",
            Style::PLAIN.length(Measured::new(felt, crate::measure::mm(0.0)))
        ),
        None => "Bores include no allowance for later filing.".to_owned(),
    };
    item(
        "",
        &format!(
            "Bore: shank-hole axis to crown, for a square strike. {allowance} Rake is positive when the \
             crown tips towards the hammer centre; side angle when the end away from the centre leans \
             to the treble. Strike: strike point over speaking length, as ordered and as found."
        ),
    )
}

/// How far felt lost moves the strike point of the last note whose place on its string is known.
fn wear(report: &Report) -> String {
    let known = report.action.notes.iter().rev().find_map(|entry| {
        let strike = entry.strike?;
        Some((entry.note, strike.fraction?.value, strike.fraction_per_mm?))
    });
    let Some((note, fraction, per_mm)) = known else { return String::new() };
    let of = |fraction: f64| format!("1/{}", cell(Some(1.0 / fraction), 1));
    let way = if per_mm < 0.0 { "towards the string's end" } else { "away from the string's end" };
    item(
        "",
        &format!(
            "Wear: at {note} each millimetre of felt lost moves the strike point {way}, from {} of the length to {}.",
            of(fraction),
            of(fraction + per_mm)
        ),
    )
}

/// What filing does to the strike, and which rakes the bores allow.
fn filing(report: &Report) -> String {
    let filing = hammers::filing(&report.action, &report.limits);
    let Some(first) = filing.first() else { return String::new() };
    let good = report.limits.value(LimitKey::HammerObliquityGood);
    let name = |one: &Filing| &report.action.sections[one.section].name;
    let rooms: Vec<String> = filing
        .iter()
        .map(|one| format!("{} {} mm", name(one), cell(Some(to_mm(one.room)), 1)))
        .collect();
    let degrees = |angle| cell(Some(to_degrees(angle)), 1);
    let rakes: Vec<String> = filing
        .iter()
        .filter_map(|one| Some((one, one.rakes?)))
        .map(|(one, rakes)| {
            format!("{} {} to {}°", name(one), degrees(rakes.least), degrees(rakes.greatest))
        })
        .collect();
    let good = Style::PLAIN.number(Measured::new(good, 0.0));
    let mut said = format!(
        "Filing: a millimetre off the crown turns the strike by {}° towards over centre. As ordered, allowance \
         included, heads may lose so much before it is more than {good}°: {}.",
        cell(Some(to_degrees(first.per_mm)), 2),
        list(&rooms)
    );
    if !rakes.is_empty() {
        let _ = write!(
            said,
            " With bores as ordered the strike stays within {good}° at rakes of {}.",
            list(&rakes)
        );
    }
    item("", &said)
}

/// Touch at the samples where keys were weighed: as found, and as to be expected with the heads ordered.
fn touch(report: &Report) -> String {
    let mut table = Columns::new(&[
        ("touch", Align::Left),
        ("down g", Align::Right),
        ("up g", Align::Right),
        ("mean", Align::Right),
        ("friction", Align::Right),
        ("per gram", Align::Right),
        ("±", Align::Right),
        ("by", Align::Left),
        ("mean new", Align::Right),
        ("±", Align::Right),
        ("in motion", Align::Right),
        ("new", Align::Right),
    ]);
    let mut any = false;
    for sample in &report.action.samples {
        let Some(touch) = sample.touch.filter(|touch| touch.mean.is_some()) else { continue };
        any = true;
        let grams = |mass: Option<Measured<Mass>>, places| {
            cell(mass.map(|mass| to_grams(mass.value)), places)
        };
        table.row(vec![
            sample.note.to_string(),
            grams(touch.down, 0),
            grams(touch.up, 0),
            grams(touch.mean, 1),
            grams(touch.friction, 1),
            cell(touch.per_gram_at_rest.map(|k| k.value), 2),
            cell(touch.per_gram_at_rest.map(|k| k.sd), 2),
            if touch.per_gram_measured { "clip" } else { "practice" }.to_owned(),
            grams(touch.mean_new, 1),
            cell(touch.mean_new.map(|mass| to_grams(mass.sd)), 1),
            grams(touch.reflected_found, 0),
            grams(touch.reflected_new, 0),
        ]);
    }
    if !any {
        return String::new();
    }
    let foot = item(
        "",
        "Mean: (down + up)/2; friction: (down − up)/2. Per gram: what a gram of head weighs at the key, by a mass \
         clipped on the head (clip_g) or by practice. In motion: mass at the key that the head adds, found and new, g.",
    );
    format!("\n{}{foot}", table.text())
}

fn samples(report: &Report) -> String {
    let mut table = Columns::new(&[
        ("sample", Align::Left),
        ("worn bore", Align::Right),
        ("lost mm", Align::Right),
        ("as new", Align::Right),
        ("by heights", Align::Right),
        ("apart mm", Align::Right),
        ("", Align::Left),
    ]);
    for sample in &report.action.samples {
        table.row(sample_row(report, sample));
    }
    format!("\nSamples against the heights\n{}", table.text())
}

fn sample_row(report: &Report, sample: &Sample) -> Vec<String> {
    let bore = sample.read(&report.instrument).bore;
    vec![
        sample.note.to_string(),
        cell(bore.map(|bore| to_mm(bore.value)), 1),
        cell(sample.wear.map(|wear| to_mm(wear.lost.value)), 1),
        cell(sample.bore_new.map(|bore| to_mm(bore.value)), 1),
        cell(sample.height_bore.map(|bore| to_mm(bore.value)), 1),
        cell(sample.difference.map(|apart| to_mm(apart.value)), 1),
        match sample.standing {
            SampleStanding::Sound => "",
            SampleStanding::Off | SampleStanding::OffAlone => "off: not used",
            SampleStanding::SectionOff => "its section is off",
            SampleStanding::NotCompared => "not compared",
        }
        .to_owned(),
    ]
}
