//! Everything that was assumed, and everything that is not judged.

use super::{full, once};
use crate::action::{RakeFrom, SideFrom};
use crate::document::words::{Style, cell, list};
use crate::instrument::belief::{BARE_END_FACTOR, BARE_END_MEDIAN_MM, BelievedString};
use crate::instrument::{Ends, Material, TensileStrength};
use crate::measure::{Measured, mm, to_degrees, to_gpa, to_grams, to_kg_per_m3, to_mm};
use crate::report::Report;
use crate::stock::{self, citation};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

/// Every assumption, in the order of the work.
pub(super) fn assumptions(report: &Report, style: Style) -> Vec<String> {
    let mut all = materials(report);
    all.push(strength(report));
    all.push(ends(report).to_owned());
    all.extend(bare_ends(report));
    all.extend(filled_in(report));
    all.push(tools(report, style));
    all.extend(hammers(report, style));
    all.extend(limits(report, style));
    all.push(
        "Re-runs judge the piano again and again over what is believed of it given the readings: their share is no \
         chance of being right."
            .to_owned(),
    );
    all.push(
        "Inharmonicity is fitted over partials 1 to 8. Temperature and humidity are taken to be the same when \
         readings are made and when the piano is tuned."
            .to_owned(),
    );
    all
}

fn strings(report: &Report) -> impl Iterator<Item = &BelievedString> {
    report.belief.notes.iter().filter_map(|note| note.string.as_ref())
}

/// Each material in use with its constants and where they come from.
fn materials(report: &Report) -> Vec<String> {
    let plain = strings(report).filter(|s| s.winding.is_none()).map(|s| &s.material);
    let core = strings(report).filter(|s| s.winding.is_some()).map(|s| &s.material);
    let winding = strings(report).filter_map(|s| Some(&s.winding.as_ref()?.material));
    let mut used: Vec<(Arc<Material>, Vec<&str>)> = Vec::new();
    let mut add = |material: &Arc<Material>, what: &'static str| match used
        .iter_mut()
        .find(|(known, _)| known == material)
    {
        Some((_, whats)) if whats.contains(&what) => {}
        Some((_, whats)) => whats.push(what),
        None => used.push((Arc::clone(material), vec![what])),
    };
    plain.for_each(|material| add(material, "plain wire"));
    core.for_each(|material| add(material, "cores"));
    winding.for_each(|material| add(material, "windings"));
    used.iter().map(|(material, whats)| one_material(material, whats)).collect()
}

fn one_material(material: &Material, whats: &[&str]) -> String {
    let whats: Vec<String> = whats.iter().map(|what| (*what).to_owned()).collect();
    let known = stock::material(&material.name).filter(|_| !material.own);
    let name = known.map_or_else(|| material.name.clone(), |known| known.about.clone());
    let (rho, sd) = (to_kg_per_m3(material.density.value), to_kg_per_m3(material.density.sd));
    let density = Style::PAGE.number(Measured::new(rho, sd));
    let mut said = format!("{}: {name}, density {density}\u{a0}kg/m³", list(&whats));
    if let Some(modulus) = material.youngs_modulus {
        let (e, sd) = (to_gpa(modulus.value), to_gpa(modulus.sd));
        let modulus = Style::PAGE.number(Measured::new(e, sd));
        let _ = write!(said, ", Young’s modulus {modulus}\u{a0}GPa");
    }
    let wire = whats.iter().any(|what| what != "windings");
    if let (TensileStrength::Unsettled(why), true) = (&material.tensile, wire) {
        let _ = write!(said, "; strength: {why}");
    }
    match known {
        Some(known) => {
            let modulus = known.youngs_modulus.iter().flat_map(|property| &property.sources);
            let keys = known.density.sources.iter().chain(modulus);
            let sources = once(keys.filter_map(|key| citation(key)).map(str::to_owned));
            let _ = write!(said, ". Sources: {}", sources.join("; "));
        }
        None => said.push_str(". Stated in the survey"),
    }
    full(&said)
}

fn strength(report: &Report) -> String {
    let bases: BTreeSet<String> = report
        .scale
        .notes
        .iter()
        .filter_map(|note| note.string.as_ref()?.strength)
        .map(crate::document::text::basis)
        .collect();
    let bases: Vec<String> = bases.into_iter().collect();
    if bases.is_empty() {
        return "Breaking load: none is stated for this wire, so no load is given.".to_owned();
    }
    full(&format!(
        "breaking load of straight new wire: {}. A load is tension at the finished pitch over this; what coils, \
         bends and age take off it is counted in the chance of breakage, by the limits in force",
        list(&bases)
    ))
}

fn ends(report: &Report) -> &'static str {
    match report.instrument.wire.ends {
        Ends::Pinned => "Terminations hold a string in place and leave it free to turn.",
        Ends::Clamped => "Terminations hold a string in place and in direction (clamped).",
    }
}

fn bare_ends(report: &Report) -> Option<String> {
    let assumed = report.scale.notes.iter().filter_map(|note| note.string.as_ref());
    let assumed = assumed.filter(|string| string.bare_ends_assumed).count();
    (assumed > 0).then(|| {
        format!(
            "Bare ends of the winding were not read of {assumed} notes: {} mm is assumed at each end, give or \
             take a factor of {} (proposal).",
            cell(Some(BARE_END_MEDIAN_MM), 0),
            cell(Some(BARE_END_FACTOR), 2)
        )
    })
}

/// What lies between and beyond the readings.
fn filled_in(report: &Report) -> Vec<String> {
    use crate::scale::Source;
    let count = |which| report.scale.notes.iter().filter(|note| note.source == which).count();
    let (between, beyond) = (count(Source::Interpolated), count(Source::Extrapolated));
    let windings = report.scale.notes.iter().filter_map(|note| note.string.as_ref());
    let windings = windings.filter(|string| string.approximate).count();
    let mut said = Vec::new();
    if between + beyond > 0 {
        said.push(format!(
            "Of {} notes not everything was read: lengths follow a smooth curve of their section, wire takes the \
             size of its neighbours, and nothing crosses a break.",
            between + beyond
        ));
    }
    if windings > 0 {
        said.push(format!(
            "Windings of {windings} notes are taken from their neighbours by trend: good enough to judge, not to \
             order strings by."
        ));
    }
    said
}

fn tools(report: &Report, style: Style) -> String {
    let error = &report.instrument.reading_error;
    let length = |length| style.length(Measured::new(length, mm(0.0)));
    let mut said = format!(
        "What the tools read, one standard deviation, as the survey states or as is usual: lengths {} and {} of \
         the length, wire {}, windings {}, hammer geometry {}, bores {}, masses {}\u{a0}g",
        length(error.length.fixed),
        style.share(Measured::new(error.length.share, 0.0)),
        length(error.core),
        length(error.over),
        length(error.centre),
        length(error.bore),
        cell(Some(to_grams(error.mass)), 2)
    );
    match error.rake {
        Some(rake) => {
            let rake = cell(Some(to_degrees(rake)), 1);
            let _ = write!(said, ", rake of a sample {rake}°");
        }
        None => said.push_str("; the rake of a sample is taken as exact"),
    }
    full(&said)
}

fn hammers(report: &Report, style: Style) -> Vec<String> {
    if report.instrument.hammers.rows.is_empty() {
        return Vec::new();
    }
    let action = &report.action;
    let mut said = Vec::new();
    let rakes = action.sections.iter().map(|section| {
        let angle = style.angle(Measured::new(section.rake.angle, crate::measure::degrees(0.0)));
        let from = match section.rake.from {
            RakeFrom::Section => "the middle of its samples",
            RakeFrom::OtherSections => "from the other sections, for none was read here",
            RakeFrom::NoneRead => "square, for none was read",
        };
        format!("{} {angle} ({from})", section.name)
    });
    said.push(full(&format!("rake of the heads: {}", rakes.collect::<Vec<_>>().join("; "))));
    let splay: Vec<String> = action
        .sections
        .iter()
        .enumerate()
        .filter(|(index, _)| {
            let side = |entry: &crate::action::NoteHammer| entry.side.map(|side| side.from);
            action.notes_of(*index).any(|entry| side(entry) == Some(SideFrom::Splay))
        })
        .map(|(_, section)| section.name.clone())
        .collect();
    if !splay.is_empty() {
        said.push(format!(
            "Side angles of {} were not read: a third to a half of the strings’ splay is taken.",
            list(&splay)
        ));
    }
    if action.samples.iter().any(|sample| sample.mass.is_some_and(|m| !m.felt_lost_computed)) {
        said.push(
            "Felt gone from heads whose flat was not read with its crown: 0.02 to 0.3 g, from practice."
                .to_owned(),
        );
    }
    if action.allowance.is_none_or(|felt| to_mm(felt) <= 0.0) {
        said.push("No felt is allowed for later filing: the survey asks for none.".to_owned());
    }
    said
}

/// Limits that the survey sets in place of ours.
fn limits(report: &Report, style: Style) -> Vec<String> {
    let set: Vec<String> = report
        .limits
        .overridden()
        .map(|limit| {
            let ours = limit.instead_of.map_or_else(String::new, |ours| {
                format!(" in place of {}", super::verdicts::value(limit, ours, style))
            });
            let value = super::verdicts::limit_value(limit, style);
            full(&format!("limit set by the survey: {}, {value}{ours}", limit.about))
        })
        .collect();
    if set.is_empty() {
        return vec![
            "All limits are Feltwire’s own; the command “feltwire limits” prints each with its source."
                .to_owned(),
        ];
    }
    set
}

/// What is outside all of this.
pub(super) fn not_judged() -> Vec<String> {
    [
        "Whether plate, pin block, back frame, bridges and soundboard are sound: that is looked at by a person, and \
         only what the survey says of it is used.",
        "Crown of the soundboard, downbearing, glue joints, cracks that do not show.",
        "Tone: only how wound strings were heard by ear is used. Decay, evenness of tone and what a bridge or \
         soundboard makes of a string are not modelled.",
        "Regulation, centres, keys, dampers, pedals, case.",
        "Hardness and quality of felt, and what needling will make of it.",
        "How long old wire lasts beyond its own history of breakages.",
        "What the instrument is worth, and what a repair costs, unless the survey gives prices.",
    ]
    .map(str::to_owned)
    .to_vec()
}
