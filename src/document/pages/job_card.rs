//! The job card: what is done in which order, with the figures to aim at, for the workshop's wall.

use super::heads::half_degree_words;
use super::order_facts::asked;
use super::sheet::{Column, Sheet};
use super::{
    capital, cautions, full, instrument_line, of_the, order_tables, raise, said, verdicts,
};
use crate::document::stamp::Stamp;
use crate::document::verdicts as words;
use crate::document::words::{Style, cell, list};
use crate::instrument::State;
use crate::judgement::hammers::BOXED;
use crate::judgement::{HammerVerdict, PinVerdict, SectionJudgement, StringVerdict};
use crate::measure::{Measured, to_grams, to_mm};
use crate::report::Report;
use crate::stock::nearest_tuning_pin;
use serde::Serialize;

/// What the template of the job card reads.
#[derive(Debug, Clone, Serialize)]
pub struct JobCard {
    instrument: String,
    aim: String,
    stops: Vec<String>,
    stages: Vec<Stage>,
    passes: Option<Sheet>,
    targets: Sheet,
    cautions: Vec<String>,
}

/// One stage of the job: steps to be ticked.
#[derive(Debug, Clone, Serialize)]
struct Stage {
    title: &'static str,
    steps: Vec<String>,
}

/// The job card.
pub fn job_card(report: &Report, stamp: Stamp) -> JobCard {
    let style = super::style(stamp);
    let judgement = &report.judgement;
    let stops: Vec<String> = judgement.stops.iter().map(|stop| said(style, &stop.why)).collect();
    let mut stages = vec![before(report, style), order(report)];
    // Nothing under tension while something stops the work.
    if stops.is_empty() {
        stages.push(strings(report, style));
        stages.push(hammers(report));
        stages.push(last(report));
    }
    stages.retain(|stage| !stage.steps.is_empty());
    JobCard {
        instrument: instrument_line(report),
        aim: full(&format!("to stand at A4 = {}", super::pitch(report))),
        passes: judgement.raise.as_ref().filter(|_| stops.is_empty()).map(raise::passes),
        stops,
        stages,
        targets: targets(report, style),
        cautions: cautions::cautions(report, style),
    }
}

/// What is looked at and measured before tension is let down or added.
fn before(report: &Report, style: Style) -> Stage {
    let parts = report.instrument.condition.parts();
    let of = |wanted: &dyn Fn(State) -> bool| -> Vec<String> {
        parts.iter().filter(|(_, s)| wanted(*s)).map(|(name, _)| (*name).to_owned()).collect()
    };
    let doubtful = of(&|state| matches!(state, State::Doubtful | State::Failed));
    let unseen = of(&|state| state == State::NotLookedAt);
    let mut steps = Vec::new();
    if !doubtful.is_empty() {
        steps.push(full(&format!("see to what is not sound: {}", list(&doubtful))));
    }
    if !unseen.is_empty() {
        steps.push(full(&format!("look at what was not looked at: {}", list(&unseen))));
    }
    steps.extend(verdicts::measure_next(report, style));
    Stage { title: "Before any string is let down or pulled up", steps }
}

/// Names of the sections with a verdict that answers to `wanted`.
fn named(report: &Report, wanted: impl Fn(&SectionJudgement) -> bool) -> Vec<String> {
    let sections = report.judgement.sections.iter();
    sections.filter(|section| wanted(section)).map(|section| section.name.clone()).collect()
}

/// Sections of which too little was measured.
fn open_sections(report: &Report) -> Vec<String> {
    named(report, has(StringVerdict::NotMeasured))
}

fn has(verdict: StringVerdict) -> impl Fn(&SectionJudgement) -> bool {
    move |section| section.verdict == verdict
}

/// New sizes have been chosen: there is an order of them.
fn chosen(report: &Report) -> bool {
    report.instrument.supply.choose.is_some_and(|name| name != "copy")
}

fn new_heads(report: &Report) -> bool {
    matches!(report.judgement.hammers.verdict, HammerVerdict::Set | HammerVerdict::Some)
}

/// What is ordered, and when.
fn order(report: &Report) -> Stage {
    let mut steps = Vec::new();
    let off = named(report, |section| section.verdict.strings_come_off());
    if !off.is_empty() {
        steps.push(format!(
            "Strings of the {}: measure them for the order while they are on.",
            of_the(report, &off)
        ));
    }
    if chosen(report) && !named(report, has(StringVerdict::RescaleBreak)).is_empty() {
        steps.push("Strings and wire by string-order.pdf; on arrival by its last list.".to_owned());
    }
    if new_heads(report) && report.hammer_order.is_some() {
        let held = report.hammer_warnings.iter().any(|warning| BOXED.contains(&warning.kind));
        steps.push(if held {
            "Hammers by hammer-order.pdf, not before what is boxed on it is settled.".to_owned()
        } else {
            "Hammers by hammer-order.pdf, with the samples labelled.".to_owned()
        });
        steps.push(
            "On arrival: check the heads by the list on the order before an old head comes off."
                .to_owned(),
        );
    }
    Stage { title: "Order, receive and check", steps }
}

/// Pins and strings.
fn strings(report: &Report, style: Style) -> Stage {
    const TITLE: &str = "Pins and strings";
    let open = open_sections(report);
    if !open.is_empty() {
        let step = format!(
            "Not yet: the {} must be settled first. Measure as above, then print this card again.",
            of_the(report, &open)
        );
        return Stage { title: TITLE, steps: vec![step] };
    }
    let mut steps = Vec::new();
    let off = named(report, |section| section.verdict.strings_come_off());
    if !off.is_empty() {
        steps.push(format!(
            "Let tension down evenly over the whole compass, then take off the strings of the {}; keep one of every \
             size, labelled.",
            of_the(report, &off)
        ));
    }
    steps.extend(pins(report, style));
    for (verdict, what) in [
        (StringVerdict::RestringSame, "String the {} as it was."),
        (StringVerdict::RestringNewScale, "String the {} to the new scale."),
        (StringVerdict::ReplaceWoundSame, "Put new wound strings on the {}, same scale."),
        (StringVerdict::ReplaceWoundStock, "Put wound strings of stock sizes on the {}."),
        (
            StringVerdict::RescaleBreak,
            "At the break in the {}: choose new sizes (“feltwire restring” compares them), order them, and put them on.",
        ),
        (StringVerdict::ReplaceNamed, "Replace the single strings of the {}."),
        (
            StringVerdict::KeepTreatWindings,
            "Clean or twist the dull wound strings of the {}: one first, and listen.",
        ),
        (StringVerdict::Document, "Leave the strings of the {} as found, and document them."),
    ] {
        let names = named(report, has(verdict));
        let what = match verdict {
            StringVerdict::RescaleBreak if chosen(report) => {
                "At the break in the {}: put on the new sizes by stringing-sheet.pdf."
            }
            _ => what,
        };
        if !names.is_empty() {
            steps.push(what.replace("{}", &of_the(report, &names)));
        }
    }
    match &report.judgement.raise {
        Some(plan) => steps.push(format!(
            "Bring up the strings that stay in {} passes by the table below, section by section: {}.",
            plan.passes.len(),
            plan.order.join(", ")
        )),
        None if steps.is_empty() => steps.push("Strings and pins stay as they are.".to_owned()),
        None => {}
    }
    Stage { title: TITLE, steps }
}

/// What is done to the pins of each region, with the sizes from and to.
fn pins(report: &Report, style: Style) -> Vec<String> {
    let regions = report.judgement.pins.iter().zip(&report.instrument.pins);
    regions
        .filter(|(judged, _)| judged.verdict != PinVerdict::Leave)
        .map(|(judged, read)| {
            let sizes = read
                .pin
                .filter(|_| matches!(judged.verdict, PinVerdict::NextSize | PinVerdict::Single))
                .and_then(|pin| {
                    let next = nearest_tuning_pin(pin)?.larger()?;
                    let now = style.length(Measured::new(pin, pin * 0.0));
                    let nominal = style.length(Measured::new(next.nominal, pin * 0.0));
                    Some(format!(" (now {now}; next {}, {nominal})", next.size))
                });
            full(&format!(
                "pins of the {}: {}{}",
                judged.region,
                words::pins(judged.verdict),
                sizes.unwrap_or_default()
            ))
        })
        .collect()
}

/// Hammers and touch.
fn hammers(report: &Report) -> Stage {
    let verdict = report.judgement.hammers.verdict;
    let mut steps = vec![full(words::hammers(verdict))];
    if new_heads(report) {
        steps.push(
            "Hang one new head of each section first: crown on its string, shank at its angle, gaps at rest and in \
             passing."
                .to_owned(),
        );
        steps.push("Hang the rest, then regulate; weigh down and up again.".to_owned());
    }
    Stage { title: "Hammers", steps }
}

/// Tuning and what follows.
fn last(report: &Report) -> Stage {
    if !open_sections(report).is_empty() {
        return Stage { title: "Tune", steps: Vec::new() };
    }
    let mut steps = vec![full(&format!("tune to A4 = {}", super::pitch(report)))];
    if report.judgement.sections.iter().any(|section| section.verdict.strings_come_off()) {
        steps.push("Agree on four to six tunings in the first year (common practice).".to_owned());
    }
    Stage { title: "Tune", steps }
}

/// Figures to aim at, section by section.
fn targets(report: &Report, style: Style) -> Sheet {
    let mut columns = vec![
        Column::left("Section").share(10),
        Column::left("Notes").share(5),
        Column::left("Strings").share(9),
    ];
    let order = report.hammer_order.as_ref().filter(|_| new_heads(report));
    if order.is_some() {
        columns.push(Column::left("Bore").unit("mm, first / middle / last").share(12));
        columns.push(Column::left("Side angle").unit("°, first to last").share(9));
        columns.push(Column::left("Head").unit("g, first to last").share(7));
    }
    let sections = report.judgement.sections.iter().zip(&report.instrument.sections);
    let rows = sections.enumerate().map(|(index, (judged, section))| {
        let mut cells = vec![
            capital(&judged.name),
            style.notes(section.notes),
            judged.verdict.words().to_owned(),
        ];
        if let Some(section) = order.and_then(|order| order.sections.get(index)) {
            let bore = |bore: &Measured<_>| cell(Some(to_mm(bore.value)), 1);
            let bores = section.bores.iter().map(|(_, item)| asked(item, style, bore));
            cells.push(bores.collect::<Vec<_>>().join(" / "));
            let side = |(_, side): &(_, _)| {
                asked(side, style, |side: &crate::order::hammers::Turned| {
                    let sense = order_tables::sense(side.angle.value);
                    format!("{} {sense}", half_degree_words(side.angle)).trim_end().to_owned()
                })
            };
            cells.push(section.side.iter().map(side).collect::<Vec<_>>().join(" to "));
            let own = order.into_iter().flat_map(|order| &order.notes);
            let own: Vec<_> = own.filter(|entry| entry.section == index).collect();
            let mass = |mass: &Measured<_>| cell(Some(to_grams(mass.value)), 1);
            let ends = [own.first(), own.last()].into_iter().flatten();
            let masses = ends.map(|entry| asked(&entry.mass, style, mass));
            cells.push(masses.collect::<Vec<_>>().join(" to "));
        }
        cells
    });
    Sheet::new(columns, rows.collect())
}
