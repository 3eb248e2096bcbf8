//! Words and cells of an order of strings, the same on pages, in tables and on the terminal.

use super::words::{Style, cell, list};
use crate::instrument::Kind;
use crate::judgement::{PinVerdict, StringVerdict};
use crate::measure::{Length, Measured, Note, to_inches, to_mm};
use crate::order::strings::{
    Allowances, AsIf, Cut, HeldPart, LayerLine, PinLine, PlainLine, SectionShare, Staying,
    StringOrder, Wire, WoundLine, cuts,
};
use crate::report::Report;
use crate::stock::{Caution, TuningPin};

/// What stands where a figure was not read.
const PATTERN: &str = "pattern";

/// Cells of one line of wound strings.
pub(super) struct Cells {
    pub strings: String,
    pub core: String,
    pub winding: String,
    pub over: String,
    pub back: String,
    pub start: String,
    pub end: String,
    pub total: String,
}

impl Cells {
    pub(super) fn of(line: &WoundLine, style: Style) -> Self {
        let pattern = line.all_as_pattern();
        let sizes = |lengths: &[Length], places| {
            if pattern { PATTERN.to_owned() } else { lengths_cell(lengths, places, style) }
        };
        let way = |length: Option<Length>| {
            length.map_or_else(|| PATTERN.to_owned(), |length| lengths_cell(&[length], 1, style))
        };
        // From the loop; else from the mark on the pattern, where the bare end is known.
        let beside = |from_loop: Option<Length>, bare: Option<Length>, mark: &str| match bare {
            // A terminal has no room for it.
            Some(bare) if from_loop.is_none() && style.hard_spaces => {
                format!("{mark}{}", lengths_cell(&[bare], 1, style))
            }
            _ => way(from_loop),
        };
        let each = |of: &dyn Fn(&LayerLine) -> String| {
            one_or_all(&line.layers.iter().map(of).collect::<Vec<_>>())
        };
        let winding: Vec<Length> = line.layers.iter().map(|layer| layer.wire).collect();
        let spares = if line.spares > 0 { format!(" + {}", line.spares) } else { String::new() };
        Self {
            strings: format!("{}{spares}", line.strings),
            core: sizes(&[line.core.diameter], 3),
            winding: sizes(&winding, 2),
            over: sizes(&[line.over], 2),
            back: way(line.ends.back.read()),
            start: each(&|layer| beside(layer.start, layer.bare_back, "pin + ")),
            end: each(&|layer| beside(layer.end, layer.bare_front, "bearing − ")),
            total: way(line.total),
        }
    }
}

/// Lengths in millimetres; in inches below them where those are wanted.
fn lengths_cell(lengths: &[Length], places: u8, style: Style) -> String {
    let joined = |read: fn(Length) -> f64, places| {
        let each: Vec<String> =
            lengths.iter().map(|length| cell(Some(read(*length)), places)).collect();
        each.join(" + ")
    };
    let millimetres = joined(to_mm, places);
    if style.inches {
        return format!("{millimetres}\n{} in", joined(to_inches, places + 1));
    }
    millimetres
}

/// What is the same of all layers once; else from the core outwards.
fn one_or_all(cells: &[String]) -> String {
    match cells.split_first() {
        Some((first, rest)) if rest.iter().all(|other| other == first) => first.clone(),
        _ => cells.join(" / "),
    }
}

/// A wire as it is asked for: number and series, or its diameter where no series holds it.
pub(super) fn wire_name(wire: Wire) -> String {
    wire.size.map_or_else(|| "by diameter".to_owned(), |size| format!("{size} {}", size.series()))
}

/// Runs of notes: `F3–B3, D4`.
pub(super) fn notes_of(runs: &[(Note, Note)], style: Style) -> String {
    let run = |(first, last): &(Note, Note)| {
        style.notes(crate::measure::Compass { first: *first, last: *last })
    };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

/// How many strings of a section, in words that lead to why.
pub(super) fn share_words(share: &SectionShare) -> String {
    let many = |count: usize, kind: &str| {
        (count > 0).then(|| format!("{count} {kind} string{}", if count == 1 { "" } else { "s" }))
    };
    let each: Vec<String> =
        [many(share.wound, "wound"), many(share.plain, "plain")].into_iter().flatten().collect();
    if each.is_empty() { String::new() } else { format!("{}: ", each.join(", ")) }
}

/// What is held of the old strings, and by whose word; nothing where every string goes.
pub(super) fn held_words(staying: &Staying) -> Vec<String> {
    let stays = which_stay(staying);
    if stays.is_empty() {
        return Vec::new();
    }
    match staying.as_if {
        None => vec![
            format!("The old strings stay, by the verdicts of `decide`: {stays}."),
            "What stays is held as it was found: not chosen anew, held to no limit, not bought; steps, \
             evenness and pull count it as it is. --all works the whole piano out, as if every string went."
                .to_owned(),
        ],
        Some(AsIf::Asked) => vec![format!(
            "As if every string went (--all). By the verdicts of `decide` the old strings stay: {stays}. \
             restring = \"all\" under [strings] has them go."
        )],
        Some(AsIf::NothingGoes) => vec![format!(
            "As if every string went: by the verdicts of `decide` the old strings stay, and none is \
             ordered: {stays}. restring = \"all\" under [strings], or the names of sections, has them go."
        )],
    }
}

/// `bass and treble (keep); of the tenor (new sizes at the break only) those that keep their size`.
fn which_stay(staying: &Staying) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut whole: Vec<(&str, Vec<String>)> = Vec::new();
    for one in &staying.sections {
        let verdict = one.verdict.map_or("no verdict", StringVerdict::words);
        match one.part {
            HeldPart::All => match whole.iter_mut().find(|(other, _)| *other == verdict) {
                Some((_, names)) => names.push(one.section.clone()),
                None => whole.push((verdict, vec![one.section.clone()])),
            },
            HeldPart::Plain => {
                said.push(format!("of the {} ({verdict}) the plain ones", one.section));
            }
            HeldPart::Unchanged => {
                said.push(format!("of the {} ({verdict}) those that keep their size", one.section));
            }
            HeldPart::AllBut { first, last } => said.push(format!(
                "of the {} ({verdict}) all but those of {first} to {last}, beside the break, whose size changes",
                one.section
            )),
        }
    }
    let whole = whole.iter().map(|(verdict, names)| format!("{} ({verdict})", list(names)));
    whole.chain(said).collect::<Vec<_>>().join("; ")
}

/// That an order copies the old scale where a new one is advised; `None` where it does not.
pub(super) fn copied_all_the_same(report: &Report, order: &StringOrder) -> Option<String> {
    let advised = |share: &&SectionShare| {
        let new = [StringVerdict::RestringNewScale, StringVerdict::RescaleBreak];
        share.wound + share.plain > 0 && share.verdict.is_some_and(|is| new.contains(&is))
    };
    let names: Vec<String> =
        order.sections.iter().filter(advised).map(|share| share.name.clone()).collect();
    (report.instrument.supply.choose.is_none() && !names.is_empty()).then(|| {
        format!(
            "new sizes are advised for the {}, and this order copies the old ones: compare them with \
             `feltwire restring`, write the one you choose under [rescale], and have the order made again",
            list(&names)
        )
    })
}

/// What each wire is cut longer by.
pub(super) fn each_wire(allowances: &Allowances, style: Style) -> String {
    let length = |length: Length| style.length(Measured::new(length, crate::measure::mm(0.0)));
    format!(
        "Each string: loop to bridge pin, speaking length, bearing to tuning pin, {} coils, {} in the hole; \
         each wire {} more to hold, a loop of its own {}. Two strings of one wire share it round the hitch pin.",
        cell(Some(allowances.coils), 0),
        length(allowances.becket),
        length(allowances.handling),
        length(allowances.own_loop)
    )
}

fn size_words(size: &TuningPin, style: Style) -> String {
    format!("{} ({})", size.size, style.length_fixed(size.nominal, 2))
}

/// What is ordered of pins, in a sentence.
pub(super) fn pins(line: &PinLine, style: Style) -> String {
    let next = line.next.map_or_else(|| "the next size".to_owned(), |size| size_words(size, style));
    let found = match (line.found, line.found_size) {
        (Some(read), Some(size)) => {
            format!("; in the block now: {} read, size {}", style.length_fixed(read, 2), size.size)
        }
        (Some(read), None) => format!("; in the block now: {} read", style.length_fixed(read, 2)),
        (None, _) => "; the pins now in the block were not measured".to_owned(),
    };
    let count = line
        .pins
        .map_or_else(|| "as many as the region holds (count them)".to_owned(), |n| n.to_string());
    match line.verdict {
        PinVerdict::NextSize => format!("{count} of size {next}{found}"),
        PinVerdict::NewBlock => {
            format!("{count}, in the size that the new block is drilled for{found}")
        }
        PinVerdict::Single => format!(
            "size {next} for those found loose, tapped first ({} of {} read turn too easily; try the others){found}",
            line.loose, line.read
        ),
        _ => "none".to_owned(),
    }
}

/// Rows of the bench sheet: note, strings, wire, its diameter, what it was, speaking length, loop, cut.
pub(super) fn bench(report: &Report, order: &StringOrder, style: Style) -> Vec<Vec<String>> {
    let all = cuts(&order.plain, &order.allowances);
    let mut rows: Vec<(Note, Vec<String>)> = Vec::new();
    for line in &order.wound {
        rows.push((line.note, wound_row(line, style)));
    }
    for line in &order.plain {
        rows.push((line.note, plain_row(report, line, &all, style)));
    }
    rows.sort_by_key(|(note, _)| *note);
    rows.into_iter().map(|(_, row)| row).collect()
}

fn was(report: &Report, note: Note) -> String {
    let string =
        report.belief.notes.iter().find(|n| n.note == note).and_then(|n| n.string.as_ref());
    cell(string.map(|string| to_mm(string.core.value)), 3)
}

fn wound_row(line: &WoundLine, style: Style) -> Vec<String> {
    vec![
        style.note(line.note),
        line.strings.to_string(),
        format!("wound, tag {}", line.number),
        cell(Some(to_mm(line.over)), 2),
        cell(line.over_found.map(to_mm), 2),
        cell(Some(to_mm(line.speaking)), 1),
        line.ends.hitch.map_or("as the old", super::shapes::hitch).to_owned(),
        "ready made".to_owned(),
    ]
}

fn plain_row(report: &Report, line: &PlainLine, all: &[Cut], style: Style) -> Vec<String> {
    let own: Vec<String> =
        all.iter().filter(|cut| cut.note == line.note).map(|cut| cut_words(cut, style)).collect();
    let below = line
        .shares_down
        .then(|| line.note.step(-1))
        .flatten()
        .map(|below| format!("first with {}", style.note(below)));
    let cut: Vec<String> = below.into_iter().chain(own).collect();
    vec![
        style.note(line.note),
        line.strings.to_string(),
        wire_name(line.wire),
        cell(Some(to_mm(line.wire.diameter)), 3),
        was(report, line.note),
        format!(
            "{}{}",
            cell(Some(to_mm(line.speaking)), 1),
            if line.speaking_believed { "*" } else { "" }
        ),
        line.ends.hitch.map_or("not read", super::shapes::hitch).to_owned(),
        cut.join(", "),
    ]
}

/// One cut: how many, how long, for which strings.
fn cut_words(cut: &Cut, style: Style) -> String {
    let long =
        cut.length.map_or_else(|| "measure".to_owned(), |length| style.length_fixed(length, 0));
    let many = if cut.count > 1 { format!("{} × ", cut.count) } else { String::new() };
    match cut.other {
        Some(other) if other == cut.note => format!("{many}{long} for two"),
        Some(other) => format!("{long} with {}", style.note(other)),
        None => format!("{many}{long}, own loop"),
    }
}

/// What can hurt while strings come off and go on.
pub(super) fn bench_cautions(kind: Kind) -> [&'static str; 6] {
    let tips = match kind {
        Kind::Upright => Caution::UprightTips,
        Kind::Grand => Caution::GrandTips,
    };
    let first = [Caution::StringsUnderLoad, Caution::LetDown, Caution::Wire];
    let [load, down, wire] = first.map(Caution::words);
    [load, down, wire, Caution::Lead.words(), tips.words(), Caution::LocalRules.words()]
}
