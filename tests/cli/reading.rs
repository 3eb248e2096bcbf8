//! What good surveys are read as. Expected values are the written ones, or are worked out beside them.

use crate::folder::{here, load, read};
use feltwire::instrument::{
    About, Crown, Ends, Hardener, Height, HeightsOn, Hung, Instrument, Restring, StringWishes,
    Strung, Wear,
};
use feltwire::measure::{
    Cents, Note, to_degrees, to_gpa, to_grams, to_hertz, to_kg_per_m3, to_mm, to_mpa,
};
use feltwire::survey::{Memory, Survey};

const HEAD: &str = "format = 1\n[instrument]\nname = \"Tarn & Hollis 124\"\nkind = \"upright\"\n\
    [[section]]\nname = \"all\"\nnotes = [\"A0\", \"C8\"]\n";

fn survey_of(text: &str, files: &[(&str, &str)]) -> Survey {
    let mut folder = Memory::default();
    folder.0.insert("survey.toml".to_owned(), text.as_bytes().to_vec());
    for (name, content) in files {
        folder.0.insert((*name).to_owned(), content.as_bytes().to_vec());
    }
    read(&folder).unwrap_or_else(|faults| panic!("{}", faults.render(false)))
}

fn instrument(extra: &str, files: &[(&str, &str)]) -> Instrument {
    survey_of(&format!("{HEAD}{extra}"), files).instrument
}

fn strings(csv: &str) -> Instrument {
    instrument("[strings]\ntable = \"strings.csv\"\n", &[("strings.csv", csv)])
}

fn note(name: &str) -> Note {
    Note::parse(name).expect(name)
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} for {expected}");
}

#[test]
fn the_examples_are_read_without_a_fault() {
    for name in ["upright", "grand"] {
        if let Err(faults) = read(&load(&here("examples").join(name))) {
            panic!("{name}:\n{}", faults.render(false));
        }
    }
}

#[test]
fn an_empty_survey_takes_the_stated_defaults() {
    let read = instrument("", &[]);
    assert_eq!((read.compass.first, read.compass.last), (Note::A0, Note::C8));
    near(to_hertz(read.pitch), 440.0);
    assert_eq!(
        (read.wire.plain.name.as_str(), read.wire.wrap.name.as_str()),
        ("steel-modern", "copper")
    );
    assert_eq!(read.wire.ends, Ends::Pinned);
    // The defaults of the survey's own page: 0.2 mm + 0.1 %, 0.005, 0.03, 0.3, 0.3 mm, 0.05 g.
    let error = read.reading_error;
    near(to_mm(error.length.of(feltwire::measure::mm(1000.0))), 1.2);
    near(to_mm(error.core), 0.005);
    near(to_mm(error.over), 0.03);
    near(to_mm(error.centre), 0.3);
    near(to_mm(error.bore), 0.3);
    near(to_grams(error.mass), 0.05);
    assert_eq!(error.rake, None);
    assert!(read.strings.is_empty() && read.hammers.rows.is_empty() && read.found.is_none());
    assert_eq!(read.hammers.heights_on, HeightsOn::NotSaid);
    assert_eq!(read.sections[0].strung, Strung::Unknown);
}

#[test]
fn a_reading_carries_the_error_of_its_tool_or_the_one_stated() {
    let read = strings(
        "note,length_mm,core_mm,over_mm\nA1,1000,1.100,3.50\nB1,950 ± 3,1.100 ± 0.02 mm,3.4\n",
    );
    let [tool, stated] = read.strings.as_slice() else { panic!("two rows") };
    near(to_mm(tool.length.expect("length").sd), 1.2);
    near(to_mm(tool.core.expect("core").sd), 0.005);
    near(to_mm(tool.over.expect("over").sd), 0.03);
    near(to_mm(stated.length.expect("length").sd), 3.0);
    near(to_mm(stated.core.expect("core").sd), 0.02);
}

#[test]
fn every_way_to_write_a_length_gives_the_same_length() {
    let tables = [
        ("note,length_mm\nA4,400.05\n", "millimetres"),
        ("note,length_in\nA4,15.75\n", "inches"),
        ("note,length_in\nA4,15 3/4\n", "fractions of an inch"),
        ("note,length_mm\nA4,15.75 in\n", "its own unit in the cell"),
        ("\u{feff}note,length_mm\r\nA4,400.05\r\n", "byte order mark and carriage returns"),
        ("note;length_mm\nA4;400,05\n", "semicolons and decimal commas"),
        ("note\tlength_mm\nA4\t400.05\n", "tabs"),
        (
            " note , length_mm ,\n\n A4 ,\"400.05\",\n,,\n# measured twice,,\n",
            "what a spreadsheet leaves",
        ),
        (
            "remark,length_mm,note\n\"first plain, I think\",400.05,a4\n",
            "another order, with remarks",
        ),
    ];
    for (csv, how) in tables {
        let read = strings(csv);
        assert_eq!(read.strings.len(), 1, "{how}");
        let length = to_mm(read.strings[0].length.expect(how).value);
        assert!((length - 400.05).abs() < 1e-9, "{how}: {length}");
        assert_eq!(read.strings[0].note, Note::A4, "{how}");
    }
    for row in [
        "length_mm = 400.05",
        "length = \"400.05 mm\"",
        "length_in = \"15 3/4\"",
        "length = \"15 3/4 in\"",
    ] {
        let read = instrument(&format!("[[strings.row]]\nnote = \"A4\"\n{row}\n"), &[]);
        near(to_mm(read.strings[0].length.expect(row).value), 400.05);
    }
}

#[test]
fn wire_numbers_are_read_by_their_series() {
    let run = |series: &str, number: &str| {
        let csv = format!("from,to,strings,core_gauge\nF3,B4,3,{number}\n");
        let text = format!("[wire]\ngauge = \"{series}\"\n[strings]\nruns = \"runs.csv\"\n");
        let read = instrument(&text, &[("runs.csv", &csv)]);
        let run = &read.runs[0];
        assert_eq!(
            (run.notes.first, run.notes.last, run.strings),
            (note("F3"), note("B4"), Some(3))
        );
        assert!(run.size.is_some());
        to_mm(run.core.value)
    };
    // Music wire: No. 15½ is 0.036 in (Machinery's Handbook, midpoint rows); metric No. 15½ 0.900 mm.
    for number in ["15½", "15.5", "15 1/2"] {
        near(run("inch", number), 0.9144);
        near(run("metric", number), 0.900);
    }
}

#[test]
fn pitch_as_found_may_be_cents_hertz_beats_or_the_frequency() {
    let found = |offset: &str, note: &str| {
        let text = HEAD.replace(
            "[[section]]",
            &format!("found = {{ note = \"{note}\", offset = \"{offset}\" }}\n[[section]]"),
        );
        survey_of(&text, &[]).instrument.found.expect(offset)
    };
    assert_eq!(found("-32 cents", "A4"), Cents(-32.0));
    // 432 Hz under 440 Hz: 1200 log2(432/440) = -31.767 cents.
    for offset in ["-8 Hz", "-8 beats", "−8 beats", "432 Hz"] {
        assert!((found(offset, "A4").0 + 31.767).abs() < 5e-4, "{offset}");
    }
    // A3 stands at 220 Hz: 4 beats below are the same interval.
    assert!((found("-4 beats", "A3").0 + 31.767).abs() < 5e-4);
    let section = HEAD.replace("notes =", "found = \"-20 cents ± 3 cents\"\nnotes =");
    assert_eq!(survey_of(&section, &[]).instrument.found_in(0), Some(Cents(-20.0)));
}

#[test]
fn own_materials_are_used_by_name() {
    let text = "[[material]]\nname = \"replica-a\"\ndensity = \"7769 kg/m3 ± 20 kg/m3\"\n\
        youngs_modulus = \"200 GPa\"\ntensile_strength = \"2046 MPa\"\n\
        [wire]\nplain = \"replica-a\"\nstrength = \"en10270-sh\"\nends = \"clamped\"\n";
    let wire = instrument(text, &[]).wire;
    near(to_kg_per_m3(wire.plain.density.value), 7769.0);
    near(to_kg_per_m3(wire.plain.density.sd), 20.0);
    near(to_gpa(wire.plain.youngs_modulus.expect("E").value), 200.0);
    let feltwire::instrument::TensileStrength::Stated(strength) = wire.plain.tensile else {
        panic!("stated")
    };
    near(to_mpa(strength), 2046.0);
    assert!(wire.plain.own && !wire.core.own);
    assert_eq!((wire.ends, wire.strength.name().as_ref()), (Ends::Clamped, "en10270-sh"));
}

#[test]
fn hammers_are_read_whole() {
    let csv = "note,shank_to_string_mm,shank_offset_mm,centre_to_string_mm,rake_deg,flat_mm,crown_radius_mm,outline_mm,outline_depth_mm,end_weight_g,shank_end_g,filed\n\
        A0,51.2,4,,2.5,6,11.5,,,9.55,1.70,\n\
        C4,,7,52.4,2.5,8,,16,3,,,yes\n";
    let text = "[reading_error]\nrake = \"0.5 °\"\n[hammers]\ntable = \"hammers.csv\"\nallowance = \"0.5 mm\"\nheights_measured = \"new strings\"\n";
    let read = instrument(text, &[("hammers.csv", csv)]).hammers;
    assert_eq!(read.heights_on, HeightsOn::NewStrings);
    near(to_mm(read.allowance.expect("allowance")), 0.5);
    let [low, middle] = read.rows.as_slice() else { panic!("two rows") };
    assert!(matches!(low.height, Some(Height::ShankParallel { .. })) && low.shank_offset.is_some());
    assert!(matches!(middle.height, Some(Height::Centre { .. })) && middle.filed && !low.filed);
    assert!(
        matches!(low.wear, Some(Wear::Flat { .. }))
            && matches!(middle.wear, Some(Wear::Outline { .. }))
    );
    near(to_degrees(low.rake.expect("rake").sd), 0.5);
    near(to_grams(low.mass.expect("mass").head().value), 7.85);
}

#[test]
fn diameters_that_do_not_close_are_a_warning_with_the_reading_to_repeat() {
    let warnings = |csv: &str| {
        let text = format!("{HEAD}[strings]\ntable = \"strings.csv\"\n");
        survey_of(&text, &[("strings.csv", csv)]).warnings
    };
    let head = "note,core_mm,wrap_mm,under_mm,over_mm\n";
    // 3.54 + 2 × 1.50 = 6.54: 0.06 away is allowed, 0.07 is not.
    assert!(warnings(&format!("{head}A0,1.40,1.50,3.54,6.60\n")).is_empty());
    let open = warnings(&format!("{head}A0,1.40,1.50,3.54,6.61\n"));
    assert_eq!(open.len(), 1);
    assert_eq!((open[0].kind, &open[0].about), ("readings_do_not_close", &About::Note(Note::A0)));
    assert!(format!("{:?}", open[0].text).contains("the winding wire"));
}

#[test]
fn a_row_that_its_run_or_section_contradicts_is_used_with_a_warning() {
    let text = format!(
        "{HEAD}counts = {{ 3 = \"A0\" }}\n[strings]\ntable = \"strings.csv\"\nruns = \"runs.csv\"\n"
    );
    let rows = "note,strings,core_mm\nA3,3,0.980\nA#3,3,1.025\nC5,2,0.900\n";
    let runs = "from,to,core_mm\nF3,B3,0.975\n";
    let survey = survey_of(&text, &[("strings.csv", rows), ("runs.csv", runs)]);
    let said: Vec<_> = survey.warnings.iter().map(|w| (w.kind, w.about.clone())).collect();
    let expected = [
        ("row_and_run_differ", About::Note(note("A#3"))),
        ("string_counts_differ", About::Note(note("C5"))),
    ];
    assert_eq!(said, expected);
    assert_eq!(survey.instrument.string(note("C5")).expect("row").strings, Some(2));
}

#[test]
fn the_hash_follows_every_file_and_its_name() {
    let text = format!("{HEAD}[strings]\ntable = \"strings.csv\"\n");
    let hash = |text: &str, name: &str, csv: &str| survey_of(text, &[(name, csv)]).hash;
    let first = hash(&text, "strings.csv", "note\nA4\n");
    assert_eq!(first, hash(&text, "strings.csv", "note\nA4\n"));
    assert_eq!(first.len(), 64);
    assert_ne!(first, hash(&text, "strings.csv", "note\nA4\n\n"));
    assert_ne!(first, hash(&format!("{text}# looked at twice\n"), "strings.csv", "note\nA4\n"));
    assert_ne!(first, hash(&text.replace("strings.csv", "notes.csv"), "notes.csv", "note\nA4\n"));
    // A file that the survey does not name is no part of it.
    assert_eq!(first, survey_of(&text, &[("strings.csv", "note\nA4\n"), ("other.csv", "x")]).hash);
}

/// What the maker is asked beside sizes: words, a date bare or in quotation marks, spares by section.
#[test]
fn wishes_to_the_maker_are_read_as_written() {
    let read = instrument(
        "[hammers]\nneeded_by = 2027-03-01\nhung = \"on shanks\"\nsamples_back = false\nwood = \"maple\"\n\
         felt_hardness = \"medium\"\nhardener = \"no\"\ncrown = \"Finish-Filed\"\nhole_shape = \"straight\"\n\
         hole_depth = \"1/2 in\"\nspares = { all = 3 }\n",
        &[],
    );
    let wishes = read.hammers.wishes;
    assert_eq!(wishes.needed_by.as_deref(), Some("2027-03-01"));
    assert_eq!((wishes.hung, wishes.samples_back), (Some(Hung::OnShanks), Some(false)));
    assert_eq!((wishes.wood.as_deref(), wishes.under_felt.as_deref()), (Some("maple"), None));
    assert_eq!((wishes.crown, wishes.hardener), (Some(Crown::FinishFiled), Some(Hardener::No)));
    near(to_mm(wishes.hole_depth.expect("depth")), 12.7);
    assert_eq!((wishes.spares.of(0), wishes.spares.of(1)), (Some(3), Some(0)));
    let each = instrument("[hammers]\nneeded_by = \"by Easter\"\nspares = 1\n", &[]).hammers.wishes;
    assert_eq!(each.needed_by.as_deref(), Some("by Easter"));
    assert_eq!((each.spares.of(0), each.spares.of(7)), (Some(1), Some(1)));
    assert_eq!(instrument("", &[]).hammers.wishes.spares.of(0), None);
}

#[test]
fn a_clip_test_is_read_whole() {
    let read = instrument(
        "[hammers]\ntable = \"h.csv\"\n",
        &[(
            "h.csv",
            "note,down_g,up_g,clip_g,clip_down_g,clip_up_g\nA4,52,30,2.00 ± 0.02,62,39\nC5,52,30,,,\n",
        )],
    );
    let clip = read.hammers.rows[0].clip.expect("a clip test");
    near(to_grams(clip.mass.value), 2.0);
    near(to_grams(clip.mass.sd), 0.02);
    near(to_grams(clip.down.value), 62.0);
    near(to_grams(clip.up.value), 39.0);
    assert!(read.hammers.rows[1].clip.is_none());
}

/// What an order of strings is asked for: which sections, which single strings, which spares.
#[test]
fn wishes_of_an_order_are_read_as_written() {
    let of = |lines: &str| instrument(&format!("[strings]\n{lines}"), &[]).string_wishes;
    let wishes = of(
        "restring = [\"all\"]\nreplace = [\"G#1\", \"F6\", \"F6\"]\nspares = [\"A0\"]\nneeded_by = 2027-03-01\n",
    );
    // The one section of this survey is called "all".
    assert_eq!(wishes.restring, Restring::Sections(vec![0]));
    assert_eq!(wishes.replace, [note("G#1"), note("F6"), note("F6")]);
    assert_eq!(wishes.spares, [Note::A0]);
    assert_eq!(wishes.needed_by.as_deref(), Some("2027-03-01"));
    assert_eq!(of("restring = \"All\"\n").restring, Restring::All);
    assert_eq!(of("restring = \"advised\"\n"), StringWishes::default());
    assert_eq!(instrument("", &[]).string_wishes, StringWishes::default());
}
