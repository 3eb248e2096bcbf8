//! `feltwire strings --json`, and the lines of an order wherever they are printed.

use super::{MissingShape, WarningShape};
use crate::document::words::Style;
use crate::instrument::{CoreShape, Loop};
use crate::judgement::StringVerdict;
use crate::measure::{Length, Sentence, to_grams, to_metres, to_mm};
use crate::order::strings::{
    Beyond, LayerLine, PinLine, PlainLine, SectionShare, StringOrder, Unread, Wanted, Wire,
    WireLine, WoundLine,
};
use crate::report::Report;
use serde::Serialize;

/// The order of strings of one piano.
#[derive(Debug, Serialize)]
pub(super) struct StringsShape {
    survey: String,
    survey_hash: String,
    wanted: &'static str,
    scale: String,
    sections: Vec<ShareShape>,
    lines: Vec<OrderLine>,
    plain: Vec<PlainShape>,
    allowances: AllowancesShape,
    missing: Vec<MissingShape>,
    settle: Vec<String>,
    enclose: Vec<String>,
    warnings: Vec<WarningShape>,
}

#[derive(Debug, Serialize)]
struct ShareShape {
    name: String,
    verdict: Option<&'static str>,
    wound_strings: usize,
    plain_strings: usize,
    why: String,
}

/// One line of an order.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(in crate::document) enum OrderLine {
    /// Wound strings of one note.
    Wound(WoundShape),
    /// Plain wire of one size.
    Wire(WireShape),
    /// Tuning pins of one region.
    Pins(PinsShape),
}

/// Wound strings of one note.
#[derive(Debug, Serialize)]
pub(in crate::document) struct WoundShape {
    number: usize,
    note: String,
    section: String,
    strings: u8,
    spares: usize,
    core_mm: f64,
    core_found_mm: Option<f64>,
    core_gauge: Option<String>,
    core_series: Option<&'static str>,
    core_shape: &'static str,
    core_material: String,
    layers: Vec<LayerShape>,
    over_mm: f64,
    over_found_mm: Option<f64>,
    r#loop: Option<&'static str>,
    back_mm: Option<f64>,
    speaking_mm: f64,
    front_mm: Option<f64>,
    total_mm: Option<f64>,
    pattern: bool,
    pattern_for: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct LayerShape {
    wire_mm: f64,
    material: String,
    bare_back_mm: Option<f64>,
    bare_front_mm: Option<f64>,
    start_mm: Option<f64>,
    end_mm: Option<f64>,
}

/// Plain wire of one size.
#[derive(Debug, Serialize)]
pub(in crate::document) struct WireShape {
    gauge: Option<String>,
    series: Option<&'static str>,
    diameter_mm: f64,
    material: String,
    notes: Vec<[String; 2]>,
    strings: usize,
    wires: usize,
    own_loops: usize,
    net_m: f64,
    metres: f64,
    mass_g: f64,
    coils: usize,
    ends_not_read_of: usize,
}

/// Tuning pins of one region.
#[derive(Debug, Serialize)]
pub(in crate::document) struct PinsShape {
    region: String,
    verdict: &'static str,
    found_mm: Option<f64>,
    found_size: Option<String>,
    size: Option<String>,
    diameter_mm: Option<f64>,
    count: Option<usize>,
    in_region: Option<usize>,
    read: usize,
    loose: usize,
}

/// Plain strings of one note.
#[derive(Debug, Serialize)]
struct PlainShape {
    note: String,
    section: String,
    strings: u8,
    gauge: Option<String>,
    series: Option<&'static str>,
    diameter_mm: f64,
    speaking_mm: f64,
    back_mm: Option<f64>,
    back_from: Option<&'static str>,
    front_mm: Option<f64>,
    front_from: Option<&'static str>,
    pin_mm: f64,
    on_pin_mm: f64,
    one_string_mm: Option<f64>,
    r#loop: Option<&'static str>,
    shares_wire_below: bool,
    pairs: u8,
    shares_wire_above: bool,
    own_loops: u8,
}

#[derive(Debug, Serialize)]
struct AllowancesShape {
    coils: f64,
    becket_mm: f64,
    handling_mm: f64,
    own_loop_mm: f64,
    waste_percent: f64,
    coil_g: f64,
}

impl StringsShape {
    pub(super) fn of(report: &Report, order: &StringOrder) -> Self {
        let said = |all: &[Sentence]| all.iter().map(|s| Style::PLAIN.sentence(s)).collect();
        let allowances = &order.allowances;
        Self {
            survey: report.instrument.name.clone(),
            survey_hash: report.survey_hash.clone(),
            wanted: match order.wanted {
                Wanted::Advised => "advised",
                Wanted::All => "all",
            },
            scale: Style::PLAIN.sentence(&order.scale),
            sections: order.sections.iter().map(ShareShape::of).collect(),
            lines: order_lines(report, order),
            plain: order.plain.iter().map(|line| PlainShape::of(report, line)).collect(),
            allowances: AllowancesShape {
                coils: allowances.coils,
                becket_mm: to_mm(allowances.becket),
                handling_mm: to_mm(allowances.handling),
                own_loop_mm: to_mm(allowances.own_loop),
                waste_percent: 100.0 * allowances.waste,
                coil_g: to_grams(allowances.coil),
            },
            missing: order.missing.iter().map(MissingShape::from).collect(),
            settle: said(&order.settle),
            enclose: said(&order.enclose),
            warnings: report.string_warnings().map(WarningShape::from).collect(),
        }
    }
}

/// The lines of an order: wound strings from the bass, wire from the thickest, pins by region.
pub(in crate::document) fn order_lines(report: &Report, order: &StringOrder) -> Vec<OrderLine> {
    let wound = order.wound.iter().map(|line| OrderLine::Wound(WoundShape::of(report, line)));
    let wire = order.wire.iter().map(|line| OrderLine::Wire(WireShape::of(line)));
    let pins = order.pins.iter().filter(|line| line.is_ordered());
    wound.chain(wire).chain(pins.map(|line| OrderLine::Pins(PinsShape::of(line)))).collect()
}

impl ShareShape {
    fn of(share: &SectionShare) -> Self {
        Self {
            name: share.name.clone(),
            verdict: share.verdict.map(StringVerdict::name),
            wound_strings: share.wound,
            plain_strings: share.plain,
            why: Style::PLAIN.sentence(&share.why),
        }
    }
}

fn gauge(wire: Wire) -> (Option<String>, Option<&'static str>) {
    (wire.size.map(|size| size.to_string()), wire.size.map(|size| size.series().name()))
}

/// How a string is fastened, as the survey writes it.
pub(in crate::document) fn hitch(hitch: Loop) -> &'static str {
    match hitch {
        Loop::Single => "single",
        Loop::Double => "double",
        Loop::Tied => "tied",
    }
}

/// The shape of a core, as the survey writes it.
pub(in crate::document) fn core_shape(shape: CoreShape) -> &'static str {
    match shape {
        CoreShape::Round => "round",
        CoreShape::Hex => "hex",
    }
}

impl WoundShape {
    fn of(report: &Report, line: &WoundLine) -> Self {
        let (core_gauge, core_series) = gauge(line.core);
        Self {
            number: line.number,
            note: line.note.to_string(),
            section: report.instrument.sections[line.section].name.clone(),
            strings: line.strings,
            spares: line.spares,
            core_mm: to_mm(line.core.diameter),
            core_found_mm: line.core_found.map(to_mm),
            core_gauge,
            core_series,
            core_shape: core_shape(line.shape),
            core_material: line.material.name.clone(),
            layers: line.layers.iter().map(LayerShape::of).collect(),
            over_mm: to_mm(line.over),
            over_found_mm: line.over_found.map(to_mm),
            r#loop: line.ends.hitch.map(hitch),
            back_mm: line.ends.back.read().map(to_mm),
            speaking_mm: to_mm(line.speaking),
            front_mm: line.ends.front.read().map(to_mm),
            total_mm: line.total.map(to_mm),
            pattern: line.needs_pattern(),
            pattern_for: line.pattern_for.iter().copied().map(Unread::words).collect(),
        }
    }
}

impl LayerShape {
    fn of(layer: &LayerLine) -> Self {
        Self {
            wire_mm: to_mm(layer.wire),
            material: layer.material.name.clone(),
            bare_back_mm: layer.bare_back.map(to_mm),
            bare_front_mm: layer.bare_front.map(to_mm),
            start_mm: layer.start.map(to_mm),
            end_mm: layer.end.map(to_mm),
        }
    }
}

impl WireShape {
    fn of(line: &WireLine) -> Self {
        let (gauge, series) = gauge(line.wire);
        Self {
            gauge,
            series,
            diameter_mm: to_mm(line.wire.diameter),
            material: line.material.name.clone(),
            notes: line.runs.iter().map(|(a, b)| [a.to_string(), b.to_string()]).collect(),
            strings: line.strings,
            wires: line.wires,
            own_loops: line.own,
            net_m: to_metres(line.net),
            metres: to_metres(line.metres),
            mass_g: to_grams(line.mass),
            coils: line.coils,
            ends_not_read_of: line.short_of,
        }
    }
}

impl PinsShape {
    fn of(line: &PinLine) -> Self {
        Self {
            region: line.region.clone(),
            verdict: line.verdict.name(),
            found_mm: line.found.map(to_mm),
            found_size: line.found_size.map(|size| size.size.clone()),
            size: line.size().map(|size| size.size.clone()),
            diameter_mm: line.size().map(|size| to_mm(size.diameter)),
            count: line.pins.filter(|_| line.all_change()),
            in_region: line.pins,
            read: line.read,
            loose: line.loose,
        }
    }
}

impl PlainShape {
    fn of(report: &Report, line: &PlainLine) -> Self {
        let (gauge, series) = gauge(line.wire);
        let from = |part: Beyond| match part {
            Beyond::Read(_) => Some("read"),
            Beyond::Carried(_) => Some("carried"),
            Beyond::NotRead => None,
        };
        let length = |length: Option<Length>| length.map(to_mm);
        Self {
            note: line.note.to_string(),
            section: report.instrument.sections[line.section].name.clone(),
            strings: line.strings,
            gauge,
            series,
            diameter_mm: to_mm(line.wire.diameter),
            speaking_mm: to_mm(line.speaking),
            back_mm: length(line.ends.back.known()),
            back_from: from(line.ends.back),
            front_mm: length(line.ends.front.known()),
            front_from: from(line.ends.front),
            pin_mm: to_mm(line.pin),
            on_pin_mm: to_mm(line.on_pin),
            one_string_mm: length(line.one_string()),
            r#loop: line.ends.hitch.map(hitch),
            shares_wire_below: line.shares_down,
            pairs: line.pairs,
            shares_wire_above: line.shares_up,
            own_loops: line.own,
        }
    }
}
