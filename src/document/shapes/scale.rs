//! `feltwire scale --json`.

use super::pitches::{PitchesShape, WarmedShape};
use super::{MissingShape, WarningShape};
use crate::measure::{to_g_per_m, to_hertz, to_kg_per_s, to_mm, to_mpa, to_newtons};
use crate::report::{Report, ScaleMore};
use crate::scale::doubt::Parts;
use crate::scale::draws::{NoteDraws, Spread};
use crate::scale::{NoteStrings, Source, StringFigures, StringKind};
use serde::Serialize;

/// The strings of one piano.
#[derive(Debug, Serialize)]
pub(super) struct ScaleShape {
    survey: String,
    survey_hash: String,
    pitch_hz: f64,
    notes: Vec<NoteShape>,
    totals: TotalsShape,
    /// How `…_lo` and `…_hi` (5 and 95 %) were found: `first_order` or `draws`.
    intervals: &'static str,
    draws: Option<usize>,
    pitches: PitchesShape,
    warmed: Option<WarmedShape>,
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// Sums over all strings known.
#[derive(Debug, Serialize)]
pub(super) struct TotalsShape {
    tension_kn: f64,
    tension_sd_kn: f64,
    tension_lo_kn: f64,
    tension_hi_kn: f64,
    tension_sd_material_kn: f64,
    strings: usize,
    notes_unknown: usize,
}

/// One note.
#[derive(Debug, Serialize)]
pub(super) struct NoteShape {
    note: String,
    key: u8,
    section: String,
    strings: Option<u8>,
    kind: Option<&'static str>,
    source: &'static str,
    frequency_hz: f64,
    length_mm: Option<f64>,
    length_sd_mm: Option<f64>,
    core_mm: Option<f64>,
    core_sd_mm: Option<f64>,
    over_mm: Option<f64>,
    over_sd_mm: Option<f64>,
    mass_per_length_g_m: Option<f64>,
    mass_per_length_sd_g_m: Option<f64>,
    tension_n: Option<f64>,
    tension_sd_n: Option<f64>,
    tension_lo_n: Option<f64>,
    tension_hi_n: Option<f64>,
    stretch_cents: Option<f64>,
    tension_stretched_n: Option<f64>,
    stress_mpa: Option<f64>,
    breaking_load_n: Option<f64>,
    breaking_load_basis: Option<String>,
    load_percent: Option<f64>,
    load_percent_sd: Option<f64>,
    load_percent_lo: Option<f64>,
    load_percent_hi: Option<f64>,
    inharmonicity: Option<f64>,
    inharmonicity_sd: Option<f64>,
    inharmonicity_lo: Option<f64>,
    inharmonicity_hi: Option<f64>,
    impedance_kg_s: Option<f64>,
    strike_fraction: Option<f64>,
    partials_hz: Option<[f64; 8]>,
    longitudinal_hz: Option<f64>,
    longitudinal_near_partial: Option<u32>,
    longitudinal_above_cents: Option<f64>,
    drift_cents: Option<f64>,
    bare_ends_assumed: Option<bool>,
    approximate: Option<bool>,
    tension_sd_scatter_n: Option<f64>,
    tension_sd_shared_n: Option<f64>,
    tension_sd_material_n: Option<f64>,
    load_percent_sd_scatter: Option<f64>,
    load_percent_sd_shared: Option<f64>,
    load_percent_sd_material: Option<f64>,
    inharmonicity_sd_scatter: Option<f64>,
    inharmonicity_sd_shared: Option<f64>,
    inharmonicity_sd_material: Option<f64>,
}

impl ScaleShape {
    /// The scale of `report`.
    pub(super) fn of(report: &Report, more: &ScaleMore) -> Self {
        let scale = &report.scale;
        let total = scale.totals.tension;
        let total = [total.value, total.sd].map(|force| to_newtons(force) / 1e3);
        let drawn = more.draws.as_ref().and_then(|draws| draws.total);
        let [lo, hi] = drawn.map_or_else(
            || ninety(total[0], total[1]),
            |total| [total.lo, total.hi].map(|force| to_newtons(force) / 1e3),
        );
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            pitch_hz: to_hertz(report.instrument.pitch),
            notes: scale
                .notes
                .iter()
                .map(|note| {
                    let drawn = more.draws.as_ref().and_then(|draws| draws.note(note.note));
                    NoteShape::of(report, note, drawn)
                })
                .collect(),
            totals: TotalsShape {
                tension_kn: total[0],
                tension_sd_kn: total[1],
                tension_lo_kn: lo,
                tension_hi_kn: hi,
                tension_sd_material_kn: to_newtons(scale.totals.tension_material) / 1e3,
                strings: scale.totals.strings,
                notes_unknown: scale.totals.notes_unknown,
            },
            intervals: if more.draws.is_some() { "draws" } else { "first_order" },
            draws: more.asked.draws,
            pitches: PitchesShape::of(report),
            warmed: WarmedShape::of(more),
            missing: scale
                .missing
                .iter()
                .chain(&report.tuning.missing)
                .map(MissingShape::from)
                .collect(),
            warnings: report.string_warnings().map(WarningShape::from).collect(),
        }
    }
}

impl NoteShape {
    fn of(report: &Report, entry: &NoteStrings, drawn: Option<&NoteDraws>) -> Self {
        let string = entry.string.as_ref();
        let pulls = string.map(|s| match drawn {
            Some(drawn) => ends(drawn.tension, to_newtons),
            None => ninety(to_newtons(s.tension.value), to_newtons(s.tension.sd)),
        });
        let loads = string.and_then(|s| s.load).map(|load| match drawn.and_then(|d| d.load) {
            Some(drawn) => ends(drawn, |load| 100.0 * load),
            None => ninety(100.0 * load.value, 100.0 * load.sd),
        });
        let bounds = string.map(|s| match drawn {
            Some(drawn) => ends(drawn.inharmonicity, |b| b.0),
            None => [s.inharmonicity.lo.0, s.inharmonicity.hi.0],
        });
        let tuned = report.tuning.note(entry.note);
        let figure = |read: fn(&StringFigures) -> f64| string.map(read);
        let maybe = |read: fn(&StringFigures) -> Option<f64>| string.and_then(read);
        let maybe_near = string.and_then(|s| s.near_longitudinal);
        let tension = |part: fn(&Parts) -> f64| {
            string.map(|s| to_newtons(s.tension.value) * part(&s.doubts.tension))
        };
        let load = |part: fn(&Parts) -> f64| {
            string.and_then(|s| Some(100.0 * s.load?.value * part(&s.doubts.load)))
        };
        let b = |part: fn(&Parts) -> f64| {
            string.map(|s| s.inharmonicity.value.0 * part(&s.doubts.inharmonicity))
        };
        Self {
            note: entry.note.to_string(),
            key: entry.note.key(),
            section: report.instrument.sections[entry.section].name.clone(),
            strings: entry.strings,
            kind: entry.kind.map(kind),
            source: source(entry.source),
            frequency_hz: to_hertz(entry.frequency),
            length_mm: figure(|s| to_mm(s.length.value)),
            length_sd_mm: figure(|s| to_mm(s.length.sd)),
            core_mm: figure(|s| to_mm(s.core.value)),
            core_sd_mm: figure(|s| to_mm(s.core.sd)),
            over_mm: maybe(|s| s.over.map(|over| to_mm(over.value))),
            over_sd_mm: maybe(|s| s.over.map(|over| to_mm(over.sd))),
            mass_per_length_g_m: figure(|s| to_g_per_m(s.mass_per_length.value)),
            mass_per_length_sd_g_m: figure(|s| to_g_per_m(s.mass_per_length.sd)),
            tension_n: figure(|s| to_newtons(s.tension.value)),
            tension_sd_n: figure(|s| to_newtons(s.tension.sd)),
            tension_lo_n: pulls.map(|pulls| pulls[0]),
            tension_hi_n: pulls.map(|pulls| pulls[1]),
            stretch_cents: tuned.map(|tuned| tuned.stretch.0),
            tension_stretched_n: tuned.and_then(|tuned| tuned.tension).map(to_newtons),
            stress_mpa: figure(|s| to_mpa(s.stress.value)),
            breaking_load_n: maybe(|s| s.breaking_load.map(to_newtons)),
            breaking_load_basis: string.and_then(|s| s.strength).map(super::super::text::basis),
            load_percent: maybe(|s| s.load.map(|load| 100.0 * load.value)),
            load_percent_sd: maybe(|s| s.load.map(|load| 100.0 * load.sd)),
            load_percent_lo: loads.map(|loads| loads[0]),
            load_percent_hi: loads.map(|loads| loads[1]),
            inharmonicity: figure(|s| s.inharmonicity.value.0),
            inharmonicity_sd: figure(|s| s.inharmonicity.sd),
            inharmonicity_lo: bounds.map(|bounds| bounds[0]),
            inharmonicity_hi: bounds.map(|bounds| bounds[1]),
            impedance_kg_s: figure(|s| to_kg_per_s(s.impedance)),
            strike_fraction: maybe(|s| s.strike_fraction),
            partials_hz: string.map(|s| s.partials.map(to_hertz)),
            longitudinal_hz: figure(|s| to_hertz(s.longitudinal)),
            longitudinal_near_partial: maybe_near.map(|near| near.partial),
            longitudinal_above_cents: maybe_near.map(|near| near.above.0),
            drift_cents: figure(|s| s.drift),
            bare_ends_assumed: string.map(|s| s.bare_ends_assumed),
            approximate: string.map(|s| s.approximate),
            tension_sd_scatter_n: tension(|parts| parts.scatter),
            tension_sd_shared_n: tension(Parts::in_common),
            tension_sd_material_n: tension(Parts::of_material),
            load_percent_sd_scatter: load(|parts| parts.scatter),
            load_percent_sd_shared: load(Parts::in_common),
            load_percent_sd_material: load(Parts::of_material),
            inharmonicity_sd_scatter: b(|parts| parts.scatter),
            inharmonicity_sd_shared: b(Parts::in_common),
            inharmonicity_sd_material: b(Parts::of_material),
        }
    }
}

/// 5 and 95 % of a normal figure.
fn ninety(value: f64, sd: f64) -> [f64; 2] {
    const NINETY: f64 = 1.644_853_626_951_472_2;
    [value - NINETY * sd, value + NINETY * sd]
}

fn ends<Q: Copy>(spread: Spread<Q>, read: impl Fn(Q) -> f64) -> [f64; 2] {
    [read(spread.lo), read(spread.hi)]
}

/// `plain` or `wound`.
pub(in crate::document) fn kind(kind: StringKind) -> &'static str {
    match kind {
        StringKind::Plain => "plain",
        StringKind::Wound => "wound",
    }
}

/// Where figures come from, as one word.
pub(in crate::document) fn source(source: Source) -> &'static str {
    match source {
        Source::Measured => "measured",
        Source::Interpolated => "interpolated",
        Source::Extrapolated => "extrapolated",
        Source::Unknown => "unknown",
    }
}
