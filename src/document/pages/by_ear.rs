//! What the tuner will hear at the breaks: one row each, thirds against octaves, then the widths of the
//! octaves.

use super::breaks::name;
use super::sheet::{Column, Part, Sheet};
use super::{full, once};
use crate::document::words::{Style, list};
use crate::judgement::by_ear;
use crate::measure::{Note, Piece};
use crate::report::{BreakReport, Report};
use crate::scale::tuning::{Guided, Interval, Left, Off, Widths};

/// The part on what is heard; none where there is no break.
pub(super) fn part(report: &Report, style: Style) -> Option<Part> {
    if report.breaks.is_empty() {
        return None;
    }
    let guided: Vec<(&BreakReport, &Guided)> = report
        .breaks
        .iter()
        .filter_map(|found| Some((found, found.by_ear.guided.as_ref().ok()?)))
        .collect();
    let rules = by_ear::rules(&report.limits);
    let widths: Vec<Vec<String>> = report
        .breaks
        .iter()
        .filter_map(|found| {
            let widths = by_ear::widths_heard(&found.by_ear, &found.place, &rules);
            octaves(found, widths, style)
        })
        .collect();
    let sheets = (!guided.is_empty()).then(|| thirds(&guided, style)).into_iter();
    let sheets = sheets.chain((!widths.is_empty()).then(|| {
        let columns = vec![
            Column::left("Break"),
            Column::left("Octaves wider").unit("by these partials"),
            Column::right("Below it").unit("cents"),
            Column::right("Across it").unit("cents"),
            Column::right("Above it").unit("cents"),
        ];
        Sheet::new(columns, widths)
    }));
    Some(
        Part::new("What the tuner will hear at the breaks")
            .text(
                "Foretold from the computed partials; rates in beats a second. Where octaves are kept clean thirds \
                 run unevenly across a break, where thirds are kept even octaves beat; a tuner chooses between. Thirds \
                 count where they are slow enough to be followed, tenths above them.",
            )
            .sheets(sheets)
            .points(points(report, &guided, style)),
    )
}

fn thirds(guided: &[(&BreakReport, &Guided)], style: Style) -> Sheet {
    let columns = vec![
        Column::left("Break").share(5),
        Column::left("They beat").unit("lowest to highest").share(9),
        Column::left("Octaves clean:").unit("thirds off by").share(10),
        Column::left("Thirds even:").unit("octaves off by").share(10),
        Column::left("Best compromise:").unit("thirds, octaves off by").share(9),
    ];
    let rows = guided.iter().map(|(found, guided)| row(found, guided, style)).collect();
    Sheet::new(columns, rows).noted(
        "Off by: root mean square, then the interval that is furthest off. In brackets: the same inside the \
         sections, at the middle one of the places nearest to the break; none where they are too short.",
    )
}

fn row(found: &BreakReport, guided: &Guided, style: Style) -> Vec<String> {
    let beats = |rate: f64| style.beats(rate.abs());
    let name_of = |low: Note, semitones: u8| {
        let high = low.step(i32::from(semitones));
        high.map_or_else(
            || style.note(low),
            |high| format!("{}–{}", style.note(low), style.note(high)),
        )
    };
    let inside = |figure: Option<f64>| {
        figure.map_or_else(String::new, |figure| format!("\u{a0}({})", beats(figure)))
    };
    let off = |off: &Off, figure: Option<f64>, semitones: u8, ways: [&str; 2]| {
        let (low, by) = off.worst;
        let way = ways[usize::from(by >= 0.0)];
        let worst = name_of(low, semitones).replace(' ', "\u{a0}");
        format!("{}{}; most {worst}, {}\u{a0}{way}", beats(off.rms), inside(figure), beats(by))
    };
    let course = match (guided.course.first(), guided.course.last()) {
        (Some(first), Some(last)) => {
            let [first, last] =
                [first, last].map(|one| format!("{} at {}", beats(one.rate), style.note(one.low)));
            format!("{}: {first} to {last}", guided.guide.plural())
        }
        _ => guided.guide.plural().to_owned(),
    };
    let Left { guides, octaves } = &guided.compromise;
    let within = guided.inside.as_ref();
    let both = within.map_or_else(String::new, |within| {
        let (guides, octaves) = within.compromise;
        format!(" ({}, {})", beats(guides), beats(octaves))
    });
    vec![
        name(found, style),
        super::capital(&course),
        off(
            &guided.octaves_clean.guides,
            within.map(|within| within.octaves_clean),
            guided.guide.semitones(),
            ["slow", "fast"],
        ),
        off(
            &guided.guides_even.octaves,
            within.map(|within| within.guides_even),
            Interval::Octave21.semitones(),
            ["narrow", "wide"],
        ),
        format!("{}, {}{both}", beats(guides.rms), beats(octaves.rms)),
    ]
}

/// How much wider octaves are by the one pair of partials than by the other, about a break.
fn octaves(found: &BreakReport, widths: &Widths, style: Style) -> Option<Vec<String>> {
    let sides = [widths.below, widths.across, widths.above];
    sides.iter().any(Option::is_some).then(|| {
        let pair = |interval: Interval| interval.plural().replace(" octaves", "");
        let (wide, narrow) = widths.of;
        let mut row = vec![name(found, style), format!("{} than {}", pair(wide), pair(narrow))];
        row.extend(sides.map(|width| {
            let said = width.map(|width| style.piece(&Piece::Cents(width)));
            // The unit stands in the head.
            said.map_or_else(
                || "–".to_owned(),
                |said| said.trim_end_matches(['\u{a0}', 'c', 'e', 'n', 't', 's']).to_owned(),
            )
        }));
        row
    })
}

/// What cannot be told, what does not quicken, and what takes from the trust in it.
fn points(
    report: &Report,
    guided: &[(&BreakReport, &Guided)],
    style: Style,
) -> impl Iterator<Item = String> + use<> {
    let untold = report.breaks.iter().filter_map(|found| {
        let why = found.by_ear.guided.as_ref().err()?;
        Some(full(&format!("{}: {}", name(found, style), style.sentence(why))))
    });
    let slower = guided.iter().filter_map(|(found, guided)| {
        let notes: Vec<String> =
            by_ear::not_quicker(guided).into_iter().map(|note| style.note(note)).collect();
        (!notes.is_empty()).then(|| {
            format!(
                "{}: going up, {} do not quicken at {}.",
                name(found, style),
                guided.guide.plural(),
                list(&notes)
            )
        })
    });
    let few = guided.iter().filter(|(_, guided)| guided.notes.1 < guided.notes.0);
    let few: Vec<String> = few
        .map(|(found, guided)| {
            let (notes, measured) = guided.notes;
            format!("{measured} of {notes} at {}", name(found, style))
        })
        .collect();
    let few = (!few.is_empty()).then(|| {
        format!(
            "Not every note in this was measured ({}): between readings a scale looks evener than it is.",
            few.join(", ")
        )
    });
    let ends = guided.iter().filter(|(_, guided)| guided.ends_assumed);
    let ends: Vec<String> = ends.map(|(found, _)| name(found, style)).collect();
    let ends = (!ends.is_empty()).then(|| {
        format!(
            "Bare ends of windings were assumed at {}: their inharmonicity, and what follows from it here, may be \
             off by up to a third.",
            list(&ends)
        )
    });
    once(untold.chain(slower).chain(few).chain(ends)).into_iter()
}
