//! Bringing the strings up, what a guarantee would have to pay for, and what each way costs.

use super::sheet::{Column, Part, Sheet};
use super::{full, said};
use crate::document::figures::Rounded;
use crate::document::words::{Style, cell, list, whole_cents};
use crate::judgement::{Guarantee, PassKind, PathCost, RaisePlan};
use crate::measure::{Cents, Measured, to_newtons};
use crate::report::Report;
use std::fmt::Write as _;

/// The parts on the raise, the guarantee and the costs, those that there are.
pub(super) fn parts(report: &Report, style: Style) -> Vec<Part> {
    let judgement = &report.judgement;
    let raise = judgement.raise.as_ref().map(|plan| raise(plan, style));
    let guarantee = judgement.guarantee.as_ref().map(|guarantee| self::guarantee(guarantee, style));
    let money = report.instrument.money.as_ref().map_or("", |money| money.currency.as_str());
    let costs = (!judgement.costs.is_empty()).then(|| costs(&judgement.costs, money));
    raise.into_iter().chain(guarantee).chain(costs).collect()
}

fn raise(plan: &RaisePlan, style: Style) -> Part {
    let aim = style.frequency(Measured::new(plan.a4, crate::measure::hertz(0.0)));
    let mut text = vec![format!("The strings that stay are brought to A4 at {aim}")];
    if plan.below.0 < 0.0 {
        let below = style.cents(Measured::new(Cents(-plan.below.0), Cents(0.0)));
        text.push(format!(
            "{below} below the finished pitch, for the sake of a section that needs it"
        ));
    }
    let added = cell(Some(to_newtons(plan.added) / 1e3), 1);
    text.push(format!("this adds {added}\u{a0}kN of pull"));
    text.push(format!("none of them breaks {} times", style.chance(plan.none_breaks)));
    let mut words = full(&text.join("; "));
    if !plan.at_risk.is_empty() {
        let names: Vec<String> = plan.at_risk.iter().map(|(note, _)| style.note(*note)).collect();
        let most = plan.at_risk.first().map_or(0.0, |(_, chance)| *chance);
        let _ = write!(
            words,
            " Most at risk, the riskiest first: {}; its chance is {} a string.",
            list(&names),
            style.share(Measured::new(most, 0.0))
        );
    }
    let order = full(&format!("Sections in this order: {}", list(&plan.order)));
    Part::new("Bringing the strings up")
        .text(words)
        .text(order)
        .sheets([passes(plan)])
        .points(plan.cautions.iter().map(|caution| said(style, caution)))
}

/// Passes downwards, sections across.
pub(super) fn passes(plan: &RaisePlan) -> Sheet {
    let mut columns = vec![Column::left("Pass"), Column::left("What it is")];
    columns.extend(plan.order.iter().map(|name| Column::right(name).unit("cents")));
    let rows = plan.passes.iter().enumerate().map(|(index, pass)| {
        let kind = match pass.kind {
            PassKind::PartWay => "part of the way",
            PassKind::ToPitch => "to pitch, nothing over",
            PassKind::Over => "over pitch, by what will fall back",
            PassKind::Fine => "fine tuning",
        };
        let mut cells = vec![(index + 1).to_string(), kind.to_owned()];
        cells.extend(plan.order.iter().map(|name| {
            let cents = pass.sections.iter().find(|(section, _)| section == name);
            cents.map_or_else(|| "–".to_owned(), |(_, cents)| whole_cents(*cents))
        }));
        cells
    });
    Sheet::new(columns, rows.collect()).noted(
        "Cents from the pitch aimed at, as left behind the hammer: + is over it, − below it.",
    )
}

fn guarantee(guarantee: &Guarantee, style: Style) -> Part {
    let years = style.number(Measured::new(guarantee.years, 0.0));
    let expected = cell(Some(guarantee.expected), 1);
    Part::new("Guarantee")
        .text(format!(
            "Over {years} years about {expected} strings are to be expected to break, {} to {} nine times in ten, \
             by this instrument’s history and the usual rate before it. A wording that follows from this:",
            guarantee.low, guarantee.high
        ))
        .points(guarantee.wording.iter().map(|wording| said(style, wording)))
}

/// What each way costs over the years, where prices are given.
fn costs(costs: &[PathCost], currency: &str) -> Part {
    let columns = vec![
        Column::left("Way"),
        Column::right("Expected").unit(currency),
        Column::left(""),
        Column::right("Over").unit("years"),
    ];
    let row = |cost: &PathCost| {
        let rounded = Rounded::new(cost.expected, cost.sd).text('\u{a0}');
        let (value, sd) = rounded.split_once('±').map_or((rounded.as_str(), ""), |cut| cut);
        let sd = if sd.is_empty() { String::new() } else { format!("±\u{a0}{}", sd.trim()) };
        vec![
            super::capital(cost.path.words()),
            value.trim().to_owned(),
            sd,
            cell(Some(cost.years), 0),
        ]
    };
    Part::new("What each way costs")
        .text("By the prices in the survey; ± is one standard deviation of the repairs to expect.")
        .sheets([Sheet::new(columns, costs.iter().map(row).collect())])
}
