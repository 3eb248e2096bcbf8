//! Alternatives of whole pianos: what they keep, what they make better by the measure of the breaks, and
//! what comes back when a copy is asked for.

use feltwire::judgement::limit::{LimitKey, Limits};
use feltwire::measure::{Note, Silent, Stopped, Watch, to_mm, to_newtons};
use feltwire::order::strings::{
    Alternative, Join, Known, Make, Name, Prefer, Rescale, Staying, problem, rescale,
};
use feltwire::report::{self, Choices, Report};
use feltwire::scale::StringKind;
use feltwire::scale::breaks::Quantity;
use feltwire::stock::{WindingSizes, WireSeries};
use feltwire::survey::{self, Memory};
use std::fmt::Write as _;
use std::sync::LazyLock;

const TOML: &str = include_str!("../../examples/upright/survey.toml");
const CSV: &str = include_str!("../../examples/upright/strings.csv");
const LOGO: &[u8] = include_bytes!("../../examples/upright/logo.png");
const HAMMERS: &str = include_str!("../../examples/upright/hammers.csv");

/// The report on a survey of these two files.
pub fn report(toml: &str, csv: &str) -> Report {
    let texts = [("survey.toml", toml), ("strings.csv", csv), ("hammers.csv", HAMMERS)];
    let texts = texts.map(|(name, text)| (name, text.as_bytes()));
    let folder = Memory::new(texts.into_iter().chain([("logo.png", LOGO)]));
    let names: Vec<&str> = LIMITS.to_vec();
    let known = survey::Known { limits: &names };
    let survey = survey::read(&folder, &known).unwrap_or_else(|faults| panic!("{faults:?}"));
    report::build(survey.instrument, survey.warnings, survey.hash, &Choices::default(), &Silent)
        .expect("not stopped")
}

/// Limits that these tests set.
const LIMITS: [&str; 4] = ["restring_lighter", "restring_gap", "wound_act_high", "restring_run"];

/// The whole piano: nothing of the old strings stays.
fn every_string_goes() -> &'static Staying {
    static NOTHING_STAYS: LazyLock<Staying> = LazyLock::new(Staying::default);
    &NOTHING_STAYS
}

/// What the alternatives of `report` are worked out from.
pub fn known(report: &Report) -> Known<'_> {
    Known {
        instrument: &report.instrument,
        belief: &report.belief,
        scale: &report.scale,
        off: &report.off_trend,
        limits: &report.limits,
        staying: every_string_goes(),
    }
}

fn worked(report: &Report, names: &[Name]) -> Rescale {
    rescale(&known(report), names, &Prefer::default(), &Silent).expect("not stopped")
}

fn one(worked: &Rescale, name: Name) -> &Alternative {
    let found = worked.alternatives.iter().find(|one| one.name == name);
    found.unwrap_or_else(|| panic!("{name:?} was refused: {:?}", worked.refused))
}

/// The upright's survey with the length of A#4 read right: no reading of it stands out.
pub fn without_the_slip() -> String {
    let csv = CSV.replace("A#4,3,398.5,", "A#4,3,378.5,");
    assert_ne!(csv, CSV);
    csv
}

#[test]
fn the_upright_gets_a_smoother_break_in_tension_and_inharmonicity_within_the_cap() {
    let report = report(TOML, CSV);
    let worked = worked(&report, &Name::ALL);
    let step = |judged: &feltwire::order::strings::Judged, quantity| {
        let place = judged.wound_to_plain().expect("wound below, plain above");
        place.step(quantity).expect("notes enough").ln.abs()
    };
    let most = 1.0 + Limits::default().value(LimitKey::RestringPull) / 100.0;
    for name in [Name::Smooth, Name::Lighter, Name::WholeSizes] {
        let smooth = one(&worked, name);
        for quantity in [Quantity::Tension, Quantity::Inharmonicity] {
            let (found, now) = (step(&worked.found, quantity), step(&smooth.judged, quantity));
            assert!(now < found, "{name:?}, {quantity:?}: {now} is no smoother than {found}");
        }
        assert!((smooth.totals.pull / smooth.totals.found).value <= most * (1.0 + 1e-9));
    }
    // Inside the sections too, and not a little.
    let scatter = one(&worked, Name::Smooth).scatter;
    for (now, found) in scatter.into_iter().zip(worked.found_scatter) {
        let (now, found) = (now.expect("notes enough"), found.expect("notes enough"));
        assert!(now < 0.8 * found, "{now} against {found}");
    }
}

/// Runs, order, cap and limits, read from the choices themselves.
#[test]
fn alternatives_keep_runs_order_cap_and_limits() {
    let report = report(TOML, CSV);
    let worked = worked(&report, &Name::ALL);
    let asked = worked
        .alternatives
        .iter()
        .filter(|one| !matches!(one.name, Name::Copy | Name::BreakOnly | Name::WindFurther));
    let mut seen = 0;
    for one in asked {
        let plain: Vec<f64> = one
            .choice
            .notes
            .iter()
            .filter(|note| note.kind() == StringKind::Plain)
            .map(|note| to_mm(note.wire().diameter))
            .collect();
        for run in plain.chunk_by(|a, b| a.to_bits() == b.to_bits()) {
            assert!(run.len() >= 2, "{:?}: a run of {} notes", one.name, run.len());
        }
        assert!(plain.windows(2).all(|pair| pair[1] <= pair[0]), "{:?} gets thinner", one.name);
        if one.name == Name::WholeSizes {
            let whole = |make: &Make| match make {
                Make::Plain(wire) => wire.size.is_some_and(|size| size.number().halves() % 2 == 0),
                Make::Wound(_) => true,
            };
            assert!(one.choice.notes.iter().all(|note| whole(&note.make)));
        }
        let most = if one.name == Name::Lighter { 0.95 } else { 1.02 };
        assert!(
            (one.totals.pull / one.totals.found).value <= most * (1.0 + 1e-9),
            "{:?}",
            one.name
        );
        assert!(one.judged.outside.iter().all(|note| worked.found.outside.contains(note)));
        seen += 1;
    }
    assert_eq!(seen, 3);
}

/// Everything that stands in the objective, added up again from the strings as `scale` computes them.
#[test]
fn objectives_add_up_again_from_the_strings_chosen() {
    let report = report(TOML, &without_the_slip());
    let known = known(&report);
    let worked = worked(&report, &[Name::Copy, Name::Smooth, Name::Lighter, Name::WholeSizes]);
    for name in [Name::Smooth, Name::Lighter, Name::WholeSizes] {
        let one = one(&worked, name);
        let (course, makes) =
            problem(&known, name, &Prefer::default(), &Silent).expect("not stopped");
        let y: Vec<[f64; 4]> = one
            .choice
            .notes
            .iter()
            .map(|note| {
                let entry = one.judged.scale.note(note.note).expect("a note");
                let string = entry.string.as_ref().expect("a string");
                [
                    to_newtons(string.tension.value),
                    string.inharmonicity.value.0,
                    string.impedance.value,
                    string.load.expect("a load").value,
                ]
                .map(f64::ln)
            })
            .collect();
        let mut sum = 0.0;
        for i in 0..y.len() {
            let chosen = makes[i].iter().position(|make| *make == one.choice.notes[i].make);
            sum += course.places[i].candidates[chosen.expect("among what it could get")].far;
            if i == 0 {
                continue;
            }
            let plain = |i: usize| one.choice.notes[i].kind() == StringKind::Plain;
            let wire = |i: usize| to_mm(one.choice.notes[i].wire().diameter).to_bits();
            if plain(i) && plain(i - 1) && wire(i) != wire(i - 1) {
                sum += course.weights.size;
            }
            for q in 0..4 {
                if let Join::Break { slope } = course.places[i].join {
                    let step = y[i][q] - y[i - 1][q] - slope[q];
                    sum += 100.0 * course.weights.steps[q] * step.abs();
                }
                let inside = |i: usize| course.places[i].join == Join::Inside;
                if i + 1 < y.len() && inside(i) && inside(i + 1) {
                    let bend = y[i - 1][q] - 2.0 * y[i][q] + y[i + 1][q];
                    sum += 100.0 * course.weights.even[q] * bend.abs();
                }
            }
        }
        let ours = one.terms.sum();
        // A few hundred terms of some percent, added in another order.
        assert!((sum - ours).abs() < 1e-9 * ours, "{name:?}: {ours}, added up again {sum}");
    }
}

/// A note with its wire and the wires wound on it, mm.
type Strung = (Note, f64, Vec<f64>);

/// The upright's strings brought to sizes of the stock, wound and plain, and read without error.
fn of_stock_sizes() -> (String, String, Vec<Strung>) {
    let windings = WindingSizes::steps();
    let report = report(TOML, &without_the_slip());
    let mut csv = String::from(
        "note,strings,length_mm,core_gauge,over_mm,wrap_mm,under_mm,bare_front_mm,bare_back_mm\n",
    );
    let mut strung = Vec::new();
    for note in &report.belief.notes {
        let string = note.string.as_ref().expect("all notes are known");
        let size = WireSeries::Inch.nearest(string.core.value).expect("a piano size");
        let (name, strings) = (note.note, note.strings.expect("known"));
        let core = to_mm(size.diameter());
        let length = to_mm(string.length.value);
        let number = f64::from(size.number().halves()) / 2.0;
        let nearest = |t: f64| to_mm(windings.nearest(feltwire::measure::mm(t)).expect("listed"));
        let layers: Vec<f64> = match &string.winding {
            None => Vec::new(),
            Some(winding) => {
                let over = to_mm(winding.over.value);
                match winding.under.map(|under| to_mm(under.value)) {
                    Some(under) => {
                        vec![nearest((under - core) / 2.0), nearest((over - under) / 2.0)]
                    }
                    None => vec![nearest((over - core) / 2.0)],
                }
            }
        };
        let cells = match layers.as_slice() {
            [] => ",,,,".to_owned(),
            [only] => format!("{:.6},{only:.6},,20,18", core + 2.0 * only),
            [inner, outer, ..] => {
                let under = core + 2.0 * inner;
                format!("{:.6},{outer:.6},{under:.6},20,18", under + 2.0 * outer)
            }
        };
        writeln!(csv, "{name},{strings},{length:.3},{number},{cells}").expect("a string");
        strung.push((name, core, layers));
    }
    let sizes: Vec<String> = windings.iter().map(|t| format!("\"{} mm\"", to_mm(t))).collect();
    let toml = format!("{TOML}\n[stock]\nwinding = [{}]\n", sizes.join(", "));
    (toml, csv, strung)
}

#[test]
fn a_copy_gives_the_old_scale_back_when_stock_holds_its_sizes() {
    let (toml, csv, strung) = of_stock_sizes();
    let report = report(&toml, &csv);
    let worked = worked(&report, &[Name::Copy]);
    let copy = one(&worked, Name::Copy);
    assert_eq!(copy.choice.notes.len(), strung.len());
    for (note, (name, core, layers)) in copy.choice.notes.iter().zip(&strung) {
        assert_eq!(note.note, *name);
        assert!((to_mm(note.wire().diameter) - core).abs() < 1e-9, "{name}: core");
        let wires: Vec<f64> = note
            .wound()
            .map_or_else(Vec::new, |wound| wound.layers.iter().map(|l| to_mm(l.wire)).collect());
        assert_eq!(wires.len(), layers.len(), "{name}: layers");
        for (wire, layer) in wires.iter().zip(layers) {
            assert!((wire - layer).abs() < 1e-9, "{name}: winding {wire} for {layer}");
        }
    }
    // The table's lengths were written to 1 µm, and over to 1 nm.
    assert!(copy.terms.sum() < 1e-3, "{:?}", copy.terms);
    assert!(((copy.totals.pull / copy.totals.found).value - 1.0).abs() < 1e-9);
}

#[test]
fn what_the_merchant_holds_is_what_is_chosen() {
    let toml = format!("{TOML}\n[stock]\nplain = [13, 14, 14.5, 15, 16, 17, 18, 19, 20]\n");
    let report = report(&toml, CSV);
    let worked = worked(&report, &[Name::Copy, Name::Smooth]);
    let held: Vec<u8> = [26, 28, 29, 30, 32, 34, 36, 38, 40].to_vec();
    let mut seen = 0;
    for one in &worked.alternatives {
        for note in one.choice.notes.iter().filter(|note| note.kind() == StringKind::Plain) {
            let size = note.wire().size.expect("a size");
            assert!(held.contains(&size.number().halves()), "{}: {size}", note.note);
            seen += 1;
        }
    }
    assert_eq!(seen, 2 * 56);
}

#[test]
fn a_tension_line_is_followed() {
    let line = "[rescale]\nline = [{ note = \"A0\", tension = \"900 N\" }, { note = \"C8\", tension = \"600 N\" }]";
    let toml = TOML.replace("[rescale]", line);
    assert_ne!(toml, TOML);
    let off = |toml: &str| {
        let report = report(toml, CSV);
        let worked = worked(&report, &[Name::Copy, Name::Smooth]);
        let one = one(&worked, Name::Smooth);
        let notes = one.choice.notes.iter().map(|note| {
            let key = f64::from(note.note.key());
            let line = 900_f64.ln() + (600_f64 / 900.0).ln() * (key - 1.0) / 87.0;
            let entry = one.judged.scale.note(note.note).expect("a note");
            let tension = entry.string.as_ref().expect("a string").tension.value;
            (to_newtons(tension).ln() - line).abs()
        });
        notes.sum::<f64>() / 88.0
    };
    let (without, with) = (off(TOML), off(&toml));
    assert!(with < 0.7 * without, "{with} against {without}");
}

/// Each case asks for what cannot be had; the answer names the limit, the note and what would help.
#[test]
fn impossible_wishes_are_told_with_the_smallest_relaxation() {
    let said = |wish: &str, name: Name| {
        let toml = format!("{TOML}\n{wish}\n");
        let report = report(&toml, CSV);
        let worked = worked(&report, &[Name::Copy, name]);
        let refused = worked.refused.iter().find(|one| one.name == name);
        let refused = refused.unwrap_or_else(|| panic!("{wish}: {name:?} was possible"));
        let style = feltwire::document::words::Style::PLAIN;
        refused.why.iter().map(|why| style.sentence(why)).collect::<Vec<_>>().join("\n")
    };
    // The thinnest wire of the series pulls more than a fifth of what the old does.
    let lighter = said("[limits]\nrestring_lighter = 80", Name::Lighter);
    assert!(lighter.contains("a total pull of"), "{lighter}");
    // 0.031 in is 0.487 mm² of 2260 MPa (ASTM A228 at 0.031 in: 328 ksi), 1.1 kN: 58 % of that is 640 N,
    // and no tension within ten notes of A0 is so low.
    let heavy = said("[stock]\ncore = [13]", Name::Smooth);
    assert!(heavy.contains("loaded above the limit by") && heavy.contains("A0"), "{heavy}");
    // One size of plain wire strings a piano, but not within its pull.
    let one_size = said("[stock]\nplain = [22]", Name::Smooth);
    assert!(one_size.contains("a total pull of"), "{one_size}");
}

/// A string is never made so thick that less than the least gap is left, unless the old one was.
#[test]
fn the_clear_gap_is_kept() {
    // Pairs 5.0 mm apart at C#3 with 1.50 mm over the winding: 3.5 mm clear. Ask for 3.6.
    let toml = format!("{TOML}\n[limits]\nrestring_gap = 3.6\n");
    let report = report(&toml, CSV);
    let worked = worked(&report, &[Name::Copy, Name::Smooth]);
    let smooth = one(&worked, Name::Smooth);
    let mut seen = 0;
    for row in &report.instrument.strings {
        let (Some(spacing), Some(over)) = (row.spacing, row.over) else { continue };
        let new = smooth.choice.note(row.note).and_then(|note| note.wound()).expect("still wound");
        let (new, old, spacing) = (to_mm(new.over()), to_mm(over.value), to_mm(spacing.value));
        assert!(spacing - new >= 3.6 - 1e-9 || new <= old + 1e-9, "{}: {new}, was {old}", row.note);
        seen += 1;
    }
    assert!(seen >= 8, "{seen} spacings were read");
}

/// A watch that stops at its `n`th look.
struct StopsAt(std::sync::atomic::AtomicUsize);

impl Watch for StopsAt {
    fn progress(&self, _: &'static str, _: usize, _: usize) {}
    fn stop(&self) -> bool {
        use std::sync::atomic::Ordering;
        self.0.fetch_sub(1, Ordering::Relaxed) <= 1
    }
}

#[test]
fn the_work_stops_at_any_look() {
    let report = report(TOML, CSV);
    for looks in [1, 2, 50, 120, 500] {
        let watch = StopsAt(looks.into());
        let stopped = rescale(&known(&report), &Name::ALL, &Prefer::default(), &watch);
        assert!(matches!(stopped, Err(Stopped)), "after {looks} looks");
    }
}

#[test]
fn preferences_move_the_choice_where_they_say() {
    let report = report(TOML, CSV);
    let sizes = |prefer: &str| {
        let prefer = Prefer::parse(prefer).expect("weights");
        let worked = rescale(&known(&report), &[Name::Copy, Name::Preferred], &prefer, &Silent);
        let worked = worked.expect("not stopped");
        one(&worked, Name::Preferred).totals.plain_sizes
    };
    assert!(sizes("sizes=50") < sizes("sizes=0.1"));
}
