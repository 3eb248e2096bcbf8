//! Pages set from invented data: nothing leaves a page, nothing overlaps, fonts are inside, on both
//! papers.

use super::boxes::{faults, fonts_outside, pages};
use feltwire::document::Date;
use feltwire::document::typeset::{Origin, Paper, Plot, Template, pdf};
use serde_json::{Value, json};

fn origin() -> Origin {
    Origin {
        survey: "Tarn & Hollis 124".to_owned(),
        content_hash: "3f9a01c4".to_owned(),
        shop: Some("Birch Lane Piano Workshop".to_owned()),
        date: Date::new(2026, 11, 25).expect("a day"),
    }
}

/// What the assessment's template reads; every text is already worded and rounded.
fn assessment() -> Value {
    let row = |note: &str, tension: &str| {
        json!([note, "1", "1152.5", "1.395", "6.60", tension, "54.2 ± 1.1", "2.9 × 10⁻⁴"])
    };
    let notes: Vec<Value> = (1..=88)
        .map(|key| {
            row(
                &feltwire::measure::Note::from_key(key)
                    .expect("a key")
                    .to_string()
                    .replace('#', "♯"),
                "812 ± 6",
            )
        })
        .collect();
    json!({
        // One line under the title.
        "instrument": "Tarn & Hollis 124 – upright of 1926, number 18832, A0–C8, at A4 = 440 Hz",
        // What must be decided before anything else; empty when nothing stops the work.
        "stops": ["Two bolts of the plate are loose at the treble strut: have the plate judged before any string is pulled up."],
        // What it is about, the verdict, its notes, the finding that decided it with its doubt, what would turn it.
        "verdicts": [
            { "about": "Bass strings", "verdict": "replace the wound strings by the same", "notes": "A0–C♯3",
              "because": "5 of 12 wound strings sound dull (42 %, limit 30 %) and the coils show light rust. 9 in 10 re-runs agree.",
              "turned_by": "a bass that clears after the windings are turned up half a turn" },
            { "about": "Tenor strings", "verdict": "keep", "notes": "D3–F♯5",
              "because": "The most loaded string, E3, carries 52.3 ± 0.8 % of its breaking load (limit 70 %).",
              "turned_by": null },
            { "about": "Pins", "verdict": "leave", "notes": null,
              "because": "The median of 23 pins is 8.6 N m (limit 5.6 N m); none is below 3.4 N m.", "turned_by": "dry winters: measure again below 35 % humidity" },
            { "about": "Hammers", "verdict": "replace the set", "notes": null,
              "because": "Felt lost at C4 is 2.9 ± 0.4 mm (limit 2 mm).", "turned_by": null }
        ],
        "not_looked_at": [],
        "measure_next": ["A♯4: its length, 398.5 mm, lies 17 mm off its neighbours: measure again.", "Soundboard: doubtful; look for open cracks and the crown."],
        "cautions": ["Strings store energy: eye and face protection; let tension down evenly over the compass, the frame can crack.", "An upright tips: work with the casters blocked."],
        // Columns: head, unit, align, share of the width; rows of texts.
        "tables": [{
            "heading": "Scale as found", "text": "One string of each unison, at A4 = 440 Hz.",
            "columns": [
                { "head": "Note" }, { "head": "Strings", "align": "right" },
                { "head": "Speaking length", "unit": "mm", "align": "right" }, { "head": "Core", "unit": "mm", "align": "right" },
                { "head": "Over winding", "unit": "mm", "align": "right" }, { "head": "Tension", "unit": "N", "align": "right" },
                { "head": "Load", "unit": "%", "align": "right" }, { "head": "Inharmonicity", "align": "right" }
            ],
            "rows": notes, "note": "± is one standard deviation."
        }],
        "figures": [ { "file": "tension.svg", "about": "Tension of each string" }, { "file": "load.svg", "about": "Load of each string" } ],
        "assumptions": ["Bare ends of five wound strings were not read: 20 ± 4 mm assumed.", "Wire: modern steel, 7850 kg/m³."],
        "not_judged": ["Soundboard crown and downbearing", "#strong[not markup] $x^2$ _nor this_ \\ @nor"]
    })
}

/// What the hammer order's template reads.
fn hammer_order() -> Value {
    let fact = |label: &str, value: &str| json!({ "label": label, "value": value });
    let notes: Vec<Value> = (1..=88)
        .map(|key| {
            let note = feltwire::measure::Note::from_key(key)
                .expect("a key")
                .to_string()
                .replace('#', "♯");
            json!([key.to_string(), note, "57.2", "2.5", "5.5 left", "9.1"])
        })
        .collect();
    json!({
        "instrument": "Tarn & Hollis 124 – upright of 1926, number 18832, A0–C8",
        "job": [
            fact("For", "Birch Lane Piano Workshop, 2 Birch Lane, Netherby"), fact("Contact", "workshop@example.org"),
            fact("Heads", "88, numbered 1 to 88 from the bass"), fact("Spares", "one at either end of each section"),
            fact("Delivery", "loose, not hung"), fact("Samples", "10 on their shanks, to come back")
        ],
        "warnings": ["Heights were read on strings that are to be replaced: restring first, then measure again and confirm this order."],
        "copy_line": "Copy from the samples: width, moulding, tail, wood, side angle. Do not copy bore or crown from the samples: use the table.",
        "drawing": { "file": "heads.svg", "about": "Side view, front view and plan of three heads" },
        "sections": {
            "columns": [
                { "head": "Section" }, { "head": "Notes" }, { "head": "Heads", "align": "right" },
                { "head": "Bore first / middle / last", "unit": "mm, ± 0.3, allowance of 0.5 included", "align": "right" },
                { "head": "Rake", "unit": "crown to centre", "align": "right" }, { "head": "Side angle", "unit": "upper end, seen from the player", "share": 1 }
            ],
            "rows": [
                ["bass", "A0–C♯3", "29", "56.7 / 57.1 / 57.8", "2.5°", "5.5° to 4.0° to the left"],
                ["tenor", "D3–F♯5", "29", "63.8 / 64.0 / 64.2", "2.5°", "3.5° to 1.0° to the right"],
                ["treble", "G5–C8", "30", "64.3 / 63.9 / 63.2", "2.5°", "1.0° to 0.0° to the right"]
            ],
            "note": null
        },
        "note_blocks": 3,
        "notes": {
            "columns": [
                { "head": "No.", "align": "right" }, { "head": "Note" }, { "head": "Bore", "unit": "mm", "align": "right" },
                { "head": "Rake", "unit": "°", "align": "right" }, { "head": "Side angle", "unit": "°" }, { "head": "Mass", "unit": "g", "align": "right" }
            ],
            "rows": notes, "note": "Bore ± 0.3 mm, mass ± 0.3 g and smooth from note to note."
        },
        "samples": {
            "columns": [ { "head": "Sample" }, { "head": "Bore as found", "unit": "mm", "align": "right" }, { "head": "Felt lost", "unit": "mm", "align": "right" }, { "head": "Mass", "unit": "g", "align": "right" }, { "head": "Remarks", "share": 1 } ],
            "rows": [ ["A0", "56.7", "0.4", "9.15", "arrow to the treble on the shank"], ["C4", "61.1", "2.9", "7.20", "bore cut short: do not copy"] ],
            "note": null
        },
        "acceptance": ["bore of every sixth head, ± 0.3 mm", "mass of every head, ± 0.3 g, no step over 0.3 g", "side angle and its sense at both ends of each section"],
        "not_measured": ["tail width of the treble: make to sample C8", "felt hardness: maker’s choice"]
    })
}

#[test]
fn nothing_leaves_a_page_or_overlaps_on_either_paper() {
    let figures = super::figures::all();
    let plot = |name: &str| {
        let figure = &figures.iter().find(|(n, _)| *n == name).expect(name).1;
        feltwire::document::plot::svg(figure).expect("draws")
    };
    let (tension, load) = (plot("tension"), plot("load"));
    let heads = feltwire::document::drawing::svg(&super::drawing::upright()).expect("draws");
    let plots = [
        Plot { name: "tension.svg", bytes: tension.as_bytes() },
        Plot { name: "load.svg", bytes: load.as_bytes() },
        Plot { name: "heads.svg", bytes: heads.as_bytes() },
    ];
    for (paper, size) in [(Paper::A4, (595.0, 842.0)), (Paper::Letter, (612.0, 792.0))] {
        for (template, data, name) in [
            (Template::Assessment, assessment(), "assessment"),
            (Template::HammerOrder, hammer_order(), "hammer-order"),
        ] {
            let name = format!("{name}-{paper:?}");
            let bytes = pdf(template, &data, &plots, &origin(), paper)
                .unwrap_or_else(|fault| panic!("{name}: {fault}"));
            assert_eq!(bytes, pdf(template, &data, &plots, &origin(), paper).expect(&name));
            let pages = pages(&bytes, &name);
            for page in &pages {
                assert!(
                    (page.size.0 - size.0).abs() < 1.0 && (page.size.1 - size.1).abs() < 1.0,
                    "{name}"
                );
            }
            assert_eq!(faults(&pages), [""; 0], "{name}");
            assert_eq!(fonts_outside(&bytes, &name), [""; 0], "{name}");
            let words: Vec<&str> =
                pages.iter().flat_map(|page| &page.words).map(|(word, _)| word.as_str()).collect();
            assert!(words.contains(&"C♯3") || words.contains(&"A0–C♯3"), "{name}");
            if template == Template::Assessment {
                assert!(words.contains(&"#strong[not"), "survey text was taken for markup: {name}");
            }
        }
    }
}
