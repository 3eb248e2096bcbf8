//! Numbers that somebody else printed, measured or computed, against ours.
//!
//! One file per source. Each check states its source, where in it the number stands, the inputs as
//! printed, the expected value as the printed text, its class, and a tolerance with its reason. An
//! expected value never comes from Feltwire itself. `SOURCES` states how many checks each file holds:
//! a check that is dropped fails the run, and a new one must be counted.
//!
//! The table is written to standard output even when everything passes.

mod algebra;
mod americana_1918;
mod chabassier_2012;
mod chabassier_2013;
mod chaigne_askenfelt_1994;
mod closed_form_50_digits;
mod conklin_1996;
mod copper_wire_tables;
mod en10270_1;
mod feynman_1961;
mod fletcher_1962;
mod fletcher_1964;
mod frame;
mod hall_askenfelt_1988;
mod hammer_geometry;
mod hammer_practice;
mod hammer_sideways;
mod hammer_strike;
mod hammer_string_slope;
mod hammer_table;
mod hammer_touch;
mod hammer_wear;
mod hex_cores;
mod independent_fem;
mod iso_3;
mod jarvelainen_2001;
mod jis_g3522;
mod machinery_2012;
mod pitch_practice;
mod readme;
mod restring_milp;
mod restring_milp_wound;
mod rigaud_2013;
mod shigley_music_wire;
mod stepped_strings;
mod tables;
mod technicians_conference_1919;
mod tuning_50_digits;
mod woodhouse_euphonics;
mod young_1952;

use frame::{Class, Source};
use std::fmt::Write as _;
use std::io::Write as _;

/// A source, and the number of checks that it holds.
type Stated = (fn() -> Source, usize);

const SOURCES: &[Stated] = &[
    // In the order of the alphabet.
    (algebra::source, 17),
    (americana_1918::source, 2),
    (chabassier_2012::source, 10),
    (chabassier_2013::source, 5),
    (chaigne_askenfelt_1994::source, 14),
    (closed_form_50_digits::source, 60),
    (conklin_1996::source, 1),
    (copper_wire_tables::source, 6),
    (en10270_1::source, 14),
    (feynman_1961::source, 1),
    (fletcher_1962::source, 5),
    (fletcher_1964::source, 9),
    (hall_askenfelt_1988::source, 3),
    (hammer_geometry::source, 312),
    (hammer_practice::source, 2),
    (hammer_sideways::faces, 36),
    (hammer_sideways::gaps, 75),
    (hammer_strike::contact, 36),
    (hammer_strike::set, 24),
    (hammer_string_slope::source, 72),
    (hammer_touch::source, 36),
    (hammer_wear::source, 99),
    (hex_cores::source, 48),
    (independent_fem::source, 32),
    (iso_3::source, 22),
    (jarvelainen_2001::source, 1),
    (jis_g3522::source, 9),
    (machinery_2012::source, 28),
    (pitch_practice::source, 3),
    (restring_milp::source, 28),
    (restring_milp_wound::source, 9),
    (rigaud_2013::source, 4),
    (rigaud_2013::stretches, 15),
    (shigley_music_wire::source, 6),
    (stepped_strings::digits, 45),
    (stepped_strings::elements, 81),
    (technicians_conference_1919::source, 3),
    (tuning_50_digits::source, 632),
    (woodhouse_euphonics::source, 31),
    (young_1952::source, 3),
];

fn sources() -> Vec<(Source, usize)> {
    SOURCES.iter().map(|(source, stated)| (source(), *stated)).collect()
}

#[test]
fn our_numbers_agree_with_every_source() {
    let sources = sources();
    let mut table = String::new();
    let mut faults = Vec::new();
    for (source, _) in &sources {
        table += &source.line();
        faults.extend(source.faults());
    }
    for class in Class::ALL {
        let count: usize = sources.iter().map(|(source, _)| source.count(class)).sum();
        writeln!(table, "{count:5} {class}").expect("string");
    }
    for (source, _) in &sources {
        table += &source.excluded_lines();
    }
    std::io::stdout().write_all(table.as_bytes()).expect("standard output");
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn no_check_is_lost_and_every_check_is_complete() {
    let mut keys = Vec::new();
    for (source, stated) in sources() {
        assert_eq!(source.len(), stated, "{}: number of checks; state the new one", source.key());
        assert!(stated > 0, "{} checks nothing", source.key());
        assert_eq!(source.gaps(), Vec::<String>::new());
        assert!(!keys.contains(&source.key()), "{} appears twice", source.key());
        keys.push(source.key());
    }
}
