//! `feltwire scale --json`.

use super::{MissingShape, WarningShape};
use crate::measure::{to_g_per_m, to_hertz, to_kg_per_s, to_mm, to_mpa, to_newtons};
use crate::report::Report;
use crate::scale::doubt::Parts;
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
    missing: Vec<MissingShape>,
    warnings: Vec<WarningShape>,
}

/// Sums over all strings known.
#[derive(Debug, Serialize)]
pub(super) struct TotalsShape {
    tension_kn: f64,
    tension_sd_kn: f64,
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
    stretch_cents: Option<f64>,
    tension_stretched_n: Option<f64>,
    stress_mpa: Option<f64>,
    breaking_load_n: Option<f64>,
    breaking_load_basis: Option<String>,
    load_percent: Option<f64>,
    load_percent_sd: Option<f64>,
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
    pub(super) fn of(report: &Report) -> Self {
        let scale = &report.scale;
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            pitch_hz: to_hertz(report.instrument.pitch),
            notes: scale.notes.iter().map(|note| NoteShape::of(report, note)).collect(),
            totals: TotalsShape {
                tension_kn: to_newtons(scale.totals.tension.value) / 1e3,
                tension_sd_kn: to_newtons(scale.totals.tension.sd) / 1e3,
                tension_sd_material_kn: to_newtons(scale.totals.tension_material) / 1e3,
                strings: scale.totals.strings,
                notes_unknown: scale.totals.notes_unknown,
            },
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
    fn of(report: &Report, entry: &NoteStrings) -> Self {
        let string = entry.string.as_ref();
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
            stretch_cents: tuned.map(|tuned| tuned.stretch.0),
            tension_stretched_n: tuned.and_then(|tuned| tuned.tension).map(to_newtons),
            stress_mpa: figure(|s| to_mpa(s.stress.value)),
            breaking_load_n: maybe(|s| s.breaking_load.map(to_newtons)),
            breaking_load_basis: string.and_then(|s| s.strength).map(super::super::text::basis),
            load_percent: maybe(|s| s.load.map(|load| 100.0 * load.value)),
            load_percent_sd: maybe(|s| s.load.map(|load| 100.0 * load.sd)),
            inharmonicity: figure(|s| s.inharmonicity.value.0),
            inharmonicity_sd: figure(|s| s.inharmonicity.sd),
            inharmonicity_lo: figure(|s| s.inharmonicity.lo.0),
            inharmonicity_hi: figure(|s| s.inharmonicity.hi.0),
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
