//! The README's table of how far to trust the figures, made from the checks themselves.
//!
//! `FELTWIRE_REMAKE=1 cargo test --test published` writes it anew.

use super::sources;
use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

/// Quantity, the keys of its sources, the sources in words, what is not checked.
const ROWS: &[(&str, &[&str], &str, &str)] = &[
    (
        "tension, pitch and mass of real strings",
        &["woodhouse_euphonics", "chabassier_2012", "chabassier_2013", "chaigne_askenfelt_1994"],
        "Woodhouse (Euphonics 12.2.1); Chabassier 2012, 2013; Chaigne & Askenfelt 1994",
        "hexagonal cores in use",
    ),
    (
        "inharmonicity and partials",
        &[
            "fletcher_1962",
            "fletcher_1964",
            "young_1952",
            "rigaud_2013",
            "feynman_1961",
            "conklin_1996",
        ],
        "Fletcher 1962, 1964; Young 1952; Rigaud 2013; Feynman 1961; Conklin 1996",
        "bridge motion",
    ),
    (
        "modes of wound strings with bare ends",
        &["independent_fem", "stepped_strings_digits", "stepped_strings_elements", "hex_cores"],
        "independent finite elements and 50-digit computation",
        "flattened or swaged windings",
    ),
    (
        "plain strings to 50 digits, identities",
        &["closed_form_50_digits", "algebra", "jarvelainen_2001"],
        "independent computation; Järveläinen 2001",
        "",
    ),
    (
        "tuning by ear and beats",
        &["tuning_50_digits", "rigaud_2013_stretch"],
        "independent 50-digit computation; Rigaud 2013",
        "what a tuner chooses to do",
    ),
    (
        "wire sizes, strength, copper, metals",
        &[
            "machinery_2012",
            "en10270_1",
            "jis_g3522",
            "shigley_music_wire",
            "americana_1918",
            "copper_wire_tables",
            "iso_3",
        ],
        "Machinery's Handbook; EN 10270-1; JIS G 3522; Shigley; Americana 1918; ISO 3",
        "the standards themselves: reprints were read",
    ),
    (
        "hammer geometry, wear, gaps, touch",
        &[
            "hammer_geometry",
            "hammer_wear",
            "hammer_side_bore",
            "hammer_gaps",
            "hammer_string_slope",
            "hammer_touch",
            "technicians_conference_1919",
            "hammer_practice",
        ],
        "independent derivation and brute force; a conference of 1919",
        "felt that gives way at the strike",
    ),
    (
        "felt on a rigid stop, mass ratio",
        &["hammer_contact", "hammer_string_parameters", "hall_askenfelt_1988"],
        "independent computation; Hall & Askenfelt 1988; a measured set",
        "felt on a string",
    ),
    (
        "choice of strings, plain and wound",
        &["restring_milp", "restring_milp_wound"],
        "integer programming by a general solver, 88 notes",
        "which wound strings are on the list",
    ),
    (
        "pitch as found, in beats",
        &["pitch_practice"],
        "common practice, no source",
        "verdicts: their limits are practice or proposals",
    ),
];

fn table() -> String {
    let sources = sources();
    let mut named = 0;
    let mut text = String::from(
        "| quantity | source | checks | worst, of what is allowed | not checked |\n\
         | --- | --- | --- | --- | --- |\n",
    );
    for (quantity, keys, words, unchecked) in ROWS {
        let mut checks = 0;
        let mut worst = 0.0_f64;
        for key in *keys {
            let (source, _) = sources
                .iter()
                .find(|(source, _)| source.key() == *key)
                .unwrap_or_else(|| panic!("no source {key}"));
            checks += source.len();
            worst = worst.max(source.worst());
            named += 1;
        }
        writeln!(
            text,
            "| {quantity} | {words} | {checks} | {:.0} % | {unchecked} |",
            100.0 * worst
        )
        .expect("string");
    }
    assert_eq!(named, sources.len(), "every source stands in one row of the README");
    text
}

#[test]
fn the_readmes_table_of_trust_is_this_runs() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = fs::read_to_string(&path).expect("README.md");
    let start = readme.find("| quantity | source |").expect("the table of trust");
    let end = start + readme[start..].find("\n\n").expect("its end") + 1;
    let table = table();
    if std::env::var_os("FELTWIRE_REMAKE").is_some() {
        let remade = format!("{}{table}{}", &readme[..start], &readme[end..]);
        fs::write(&path, remade).expect("README.md is writable");
        return;
    }
    assert_eq!(&readme[start..end], table, "FELTWIRE_REMAKE=1 writes the table anew");
}
