//! `feltwire restring`: the alternatives in one table, what each gives up, and what the weights do; or
//! one alternative note by note.

use super::columns::{Align, Columns, item};
use super::{head, warnings};
use crate::document::figures::fixed;
use crate::document::string_words::{held_words, wire_name};
use crate::document::words::{Style, cell};
use crate::instrument::CoreShape;
use crate::judgement::breaks::Grade;
use crate::measure::{Compass, Sentence, to_mm, to_newtons};
use crate::order::strings::{
    Alternative, Extent, ExtentTried, Fate, Judged, Name, Rescale, Stringing, Swayed, Totals,
};
use crate::report::Report;
use crate::scale::breaks::Quantity;
use std::fmt::Write as _;

/// Every alternative against the piano as found.
pub fn restring(report: &Report, rescale: &Rescale) -> String {
    let mut text = head(report);
    text.push('\n');
    text.push_str(&comparison(rescale));
    text.push_str(&staying(rescale));
    for one in &rescale.alternatives {
        text.push_str(&alternative(one));
    }
    for refused in &rescale.refused {
        let _ = write!(text, "\n{}: no choice keeps every limit\n", refused.name.words());
        text.push_str(&list("  - ", &refused.why));
    }
    text.push_str(&extents(&rescale.extents, &rescale.extents_held));
    text.push_str(&swayed(rescale));
    text.push_str(&foot(report));
    text.push_str(&warnings(report.measure_again.iter()));
    text
}

/// The alternatives side by side.
fn comparison(rescale: &Rescale) -> String {
    let mut table = Columns::new(&[
        ("", Align::Left),
        ("pull", Align::Right),
        ("change", Align::Right),
        ("sizes", Align::Right),
        ("differ", Align::Right),
        ("uneven T", Align::Right),
        ("B", Align::Right),
        ("step T", Align::Right),
        ("B", Align::Right),
        ("load", Align::Right),
        ("Z", Align::Right),
        ("drift", Align::Right),
        ("ear", Align::Right),
        ("out", Align::Right),
    ]);
    let found = &rescale.found;
    table.row(row("found", &rescale.found_totals, rescale.found_scatter, found, true));
    for one in &rescale.alternatives {
        table.row(row(one.name.words(), &one.totals, one.scatter, &one.judged, false));
    }
    let place = found.wound_to_plain().map(|one| {
        let between = if one.place.is_zone() { "–" } else { "/" };
        format!("{}{between}{}", one.place.below, one.place.above)
    });
    let place = place.map_or_else(String::new, |place| format!(", as found {place}"));
    let holds = rescale.staying.holds();
    let of_those = if holds { " (as found: of the strings that may go)" } else { "" };
    let mut text = table.text();
    text.push_str(&item(
        "",
        &format!(
            "T tension, B inharmonicity, Z impedance of the unison. pull in kN. sizes: plain wires to buy{of_those}. differ: notes that get another string than in the copy. uneven: \
             scatter of one note about a smooth course, %. step: where wound strings end and plain wire \
             begins{place}, treble side over bass side, %, by the measure of `feltwire breaks`; ! rough, ~ noticeable, ? not settled. ear: how far off an even course the tuner \
             can bring thirds there, beats a second. out: notes outside a limit of load."
        ),
    ));
    text
}

fn row(
    name: &str,
    totals: &Totals,
    scatter: [Option<f64>; 2],
    judged: &Judged,
    found: bool,
) -> Vec<String> {
    let percent = |value: Option<f64>| cell(value.map(|value| 100.0 * value), 1);
    let change = 100.0 * ((totals.pull / totals.found).value - 1.0);
    let own = |text: String| if found { String::new() } else { text };
    let step = |quantity| step_cell(judged, quantity);
    let thirds = judged
        .wound_to_plain()
        .and_then(|one| one.by_ear.as_ref()?.guided.as_ref().ok())
        .map(|guided| guided.compromise.guides.rms);
    vec![
        name.to_owned(),
        fixed(to_newtons(totals.pull) / 1e3, 1),
        own(format!("{} %", signed(change, 1))),
        totals.plain_sizes.to_string(),
        own(totals.changed.to_string()),
        percent(scatter[0]),
        percent(scatter[1]),
        step(Quantity::Tension),
        step(Quantity::Inharmonicity),
        step(Quantity::Load),
        step(Quantity::Impedance),
        step(Quantity::Drift),
        cell(thirds, 2),
        judged.outside.len().to_string(),
    ]
}

fn step_cell(judged: &Judged, quantity: Quantity) -> String {
    let Some(place) = judged.wound_to_plain() else { return "–".to_owned() };
    let Some(step) = place.step(quantity) else { return "–".to_owned() };
    let mark = match place.figure(quantity).map(|(_, graded)| graded.grade) {
        Some(Grade::Rough) => "!",
        Some(Grade::Noticeable) => "~",
        Some(Grade::NotSettled) => "?",
        _ => "",
    };
    format!("{}{mark}", signed(100.0 * step.fraction(), 0))
}

fn signed(value: f64, places: i32) -> String {
    let said = fixed(value, places);
    let zero = fixed(0.0, places);
    if value > 0.0 && said != zero { format!("+{said}") } else { said }
}

/// What one alternative is, costs, gives up and asks for.
fn alternative(one: &Alternative) -> String {
    let terms = &one.terms;
    let mut text = format!("\n{}: {}\n", one.name.words(), one.name.about());
    if let Some(extent) = one.extent {
        let kind = if extent.notes < 0 { "plain" } else { "wound" };
        text.push_str(&item(
            "  ",
            &format!(
                "{} to {} become {kind}, {} strings each",
                extent.from, extent.to, extent.strings
            ),
        ));
    }
    text.push_str(&item(
        "  ",
        &format!(
            "objective {} = evenness {} + steps {} + distance {} + sizes {}",
            fixed(terms.sum(), 1),
            fixed(terms.even, 1),
            fixed(terms.steps, 1),
            fixed(terms.far, 1),
            fixed(terms.sizes, 1)
        ),
    ));
    if !one.gives_up.is_empty() {
        text.push_str("  gives up\n");
        text.push_str(&list("  - ", &one.gives_up));
    }
    if !one.knock_on.is_empty() {
        text.push_str("  also changes\n");
        text.push_str(&list("  > ", &one.knock_on));
    }
    text
}

fn list(mark: &str, said: &[Sentence]) -> String {
    said.iter().map(|said| item(mark, &Style::PLAIN.sentence(said))).collect()
}

/// What is held of the old strings, by whose word, and what that means for the figures.
fn staying(rescale: &Rescale) -> String {
    let said: String = held_words(&rescale.staying).iter().map(|said| item("", said)).collect();
    if said.is_empty() { said } else { format!("\n{said}") }
}

/// Other numbers of wound notes at the foot of the plain wire; which of them the old strings `held`
/// rule out.
fn extents(tried: &[ExtentTried], held: &[Sentence]) -> String {
    if tried.is_empty() && held.is_empty() {
        return String::new();
    }
    let title = "\nOther numbers of wound notes above the bass, by the weights of smooth\n";
    let held = list("  - ", held);
    if tried.is_empty() {
        return format!("{title}{held}");
    }
    let mut table = Columns::new(&[
        ("notes", Align::Left),
        ("become", Align::Left),
        ("strings", Align::Right),
        ("objective", Align::Right),
        ("pull kN", Align::Right),
        ("step T", Align::Right),
        ("B", Align::Right),
        ("load", Align::Right),
    ]);
    let mut refused = String::new();
    for one in tried {
        let (notes, kind) = (notes_of(one.extent), kind_of(one.extent));
        match &one.outcome {
            Ok(figures) => table.row(vec![
                notes,
                kind.to_owned(),
                one.extent.strings.to_string(),
                fixed(figures.objective, 0),
                fixed(to_newtons(figures.pull) / 1e3, 1),
                step(figures.steps[0]),
                step(figures.steps[1]),
                step(figures.steps[2]),
            ]),
            // What a smaller change cannot keep, a larger one of its kind rarely does.
            Err(_) if tried.iter().any(|other| is_refused_within(other, one)) => {}
            Err(why) => {
                let why: Vec<String> = why.iter().map(|why| Style::PLAIN.sentence(why)).collect();
                let what = format!("{notes} {kind}, {} strings", one.extent.strings);
                let said = format!("{what}, and further: {}", why.join("; "));
                refused.push_str(&item("  ", &said));
            }
        }
    }
    format!("{title}{}{refused}{held}", table.text())
}

fn notes_of(extent: Extent) -> String {
    Style::PLAIN.notes(Compass { first: extent.from, last: extent.to })
}

fn kind_of(extent: Extent) -> &'static str {
    if extent.notes < 0 { "plain" } else { "wound" }
}

/// Whether `other` is refused, changes fewer notes the same way, and `one` holds them all.
fn is_refused_within(other: &ExtentTried, one: &ExtentTried) -> bool {
    let (small, large) = (other.extent, one.extent);
    other.outcome.is_err()
        && small.strings == large.strings
        && small.notes.signum() == large.notes.signum()
        && small.notes.abs() < large.notes.abs()
}

fn step(step: Option<f64>) -> String {
    step.map_or_else(|| "–".to_owned(), |step| signed(100.0 * step, 0))
}

/// What the weights do to the choice.
fn swayed(rescale: &Rescale) -> String {
    if rescale.swayed.is_empty() {
        return String::new();
    }
    let mut table = Columns::new(&[
        ("weight", Align::Left),
        ("times", Align::Right),
        ("notes that change", Align::Right),
        ("pull kN", Align::Right),
        ("step T", Align::Right),
        ("B", Align::Right),
        ("load", Align::Right),
    ]);
    for one in &rescale.swayed {
        table.row(swayed_row(one));
    }
    format!(
        "\nWhat the weights do to {} (change them by --prefer {}=2)\n{}",
        rescale.swayed_from.words(),
        rescale.swayed[0].term.key(),
        table.text()
    )
}

fn swayed_row(one: &Swayed) -> Vec<String> {
    vec![
        one.term.key().to_owned(),
        cell(Some(one.factor), u8::from(one.factor < 1.0)),
        one.notes.map_or_else(|| "no choice".to_owned(), |notes| notes.to_string()),
        cell(one.pull.map(|pull| to_newtons(pull) / 1e3), 1),
        step(one.steps[0]),
        step(one.steps[1]),
        step(one.steps[2]),
    ]
}

fn foot(report: &Report) -> String {
    let supply = &report.instrument.supply;
    let stock = match (supply.plain.is_empty(), supply.winding.is_some()) {
        (true, false) => {
            "every plain size that the tables list, and winding wire by their lists (from \
                          memory and common practice: put the string maker's own under [stock])"
        }
        (false, false) => {
            "the plain wire listed under [stock], and winding wire by the tables' lists"
        }
        (true, true) => "every plain size that the tables list, and the winding wire under [stock]",
        (false, true) => "the wire listed under [stock]",
    };
    let mut text = String::from("\n");
    text.push_str(&item(
        "",
        &format!(
            "Each choice is the least of its objective, exactly, among what the notes could get: {stock}. \
             Wound strings choose from a bounded list for each note (cores within four sizes, windings \
             whose tension occurs nearby, the 36 nearest to the usual): the list is a rule, not a proof."
        ),
    ));
    text.push_str(&item(
        "",
        "Objective, percent against percent: evenness, weighted |second difference| of ln T, ln B, ln Z \
         (one string) and ln load inside sections; steps, |first difference| at breaks after the sections' \
         slope; distance from the old scale, in tension from a smooth line through it; sizes, a price \
         for each change of plain wire. The weights are proposals. The steps above judge the result \
         afterwards and were not themselves made least.",
    ));
    text.push_str(&item(
        "",
        "Not modelled: bridge, soundboard, decay. See one note by note with --of NAME; have it ordered by \
         choose = \"NAME\" under [rescale].",
    ));
    text
}

/// One alternative, note by note; `None` when it is not among them.
pub fn restring_notes(report: &Report, rescale: &Rescale, name: Name) -> Option<String> {
    let one = rescale.alternatives.iter().find(|one| one.name == name)?;
    let mut text = head(report);
    text.push_str(&alternative(one));
    text.push_str(&staying(rescale));
    for (index, section) in report.instrument.sections.iter().enumerate() {
        let notes: Vec<&Stringing> =
            one.choice.notes.iter().filter(|note| note.section == index).collect();
        if notes.is_empty() {
            continue;
        }
        let notes_of = Style::PLAIN.notes(section.notes);
        if notes.iter().all(|note| rescale.staying.fate(note.note) == Fate::Stays) {
            let _ = write!(text, "\n{} ({notes_of}): the old strings stay\n", section.name);
            continue;
        }
        let _ = write!(text, "\n{} ({notes_of})\n", section.name);
        let mut table = Columns::new(&[
            ("note", Align::Left),
            ("strings", Align::Left),
            ("wire", Align::Left),
            ("mm", Align::Right),
            ("winding mm", Align::Left),
            ("over mm", Align::Right),
            ("T N", Align::Right),
            ("found", Align::Right),
            ("load %", Align::Right),
            ("found", Align::Right),
            ("B·10⁴", Align::Right),
            ("found", Align::Right),
            ("", Align::Left),
        ]);
        for note in notes {
            table.row(note_row(report, one, note));
        }
        text.push_str(&table.text());
    }
    text.push_str("\n*: another string than in the copy of the old scale.\n");
    Some(text)
}

fn note_row(report: &Report, one: &Alternative, note: &Stringing) -> Vec<String> {
    let now = one.judged.scale.note(note.note).and_then(|entry| entry.string.as_ref());
    let old = report.scale.note(note.note).and_then(|entry| entry.string.as_ref());
    let wound = note.wound();
    let hex = wound.is_some_and(|wound| wound.shape == CoreShape::Hex);
    let layers = wound.map(|wound| {
        let wires = wound.layers.iter().map(|layer| cell(Some(to_mm(layer.wire)), 2));
        wires.collect::<Vec<_>>().join(" + ")
    });
    let kind = match (wound.is_some(), hex) {
        (true, true) => " wound hex",
        (true, false) => " wound",
        _ => "",
    };
    let load = |string: Option<&crate::scale::StringFigures>| {
        cell(string.and_then(|s| s.load).map(|load| 100.0 * load.value), 1)
    };
    let b = |string: Option<&crate::scale::StringFigures>| {
        cell(string.map(|s| 1e4 * s.inharmonicity.value.0), 2)
    };
    vec![
        note.note.to_string(),
        format!("{}{kind}", note.strings),
        if note.stays { "stays".to_owned() } else { wire_name(note.wire()) },
        cell(Some(to_mm(note.wire().diameter)), 3),
        layers.unwrap_or_default(),
        wound.map_or_else(String::new, |wound| cell(Some(to_mm(wound.over())), 2)),
        cell(now.map(|s| to_newtons(s.tension.value)), 0),
        cell(old.map(|s| to_newtons(s.tension.value)), 0),
        load(now),
        load(old),
        b(now),
        b(old),
        if note.changed { "*" } else { "" }.to_owned(),
    ]
}
