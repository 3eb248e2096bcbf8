//! Felt against a rigid stop, and the mass ratio of a measured set: calculated independently.

use crate::frame::{Inputs, Source};
use crate::hammer_table::{Cells, Column, Row, checks, exact_inputs, rows};
use feltwire::measure::{
    Mass, MassRate, Time, grams, hertz, kg_per_s, metres_per_second, to_hertz, to_kilograms, to_ms,
    to_newtons, to_seconds,
};
use feltwire::physics::hammer::strike::{Felt, RigidStop, deceleration_time, mass_ratio};

fn hammer(row: &Inputs) -> Mass {
    grams(row.number("hammer_mass_g"))
}

fn strings(row: &Inputs) -> Mass {
    grams(row.number("string_mass_unison_g"))
}

fn stop(row: &Inputs) -> RigidStop {
    let felt = Felt::new(row.number("K_N_per_m_p"), row.number("p")).expect("felt");
    felt.against_rigid_stop(hammer(row), metres_per_second(row.number("V_mps"))).expect("a blow")
}

/// Z = 2 m/T of a unison of mass m.
fn impedance(row: &Inputs) -> MassRate {
    kg_per_s(2.0 * to_kilograms(strings(row)) * to_hertz(hertz(row.number("f1_Hz"))))
}

fn deceleration(row: &Inputs) -> Time {
    deceleration_time(hammer(row), impedance(row)).expect("a time")
}

fn ratio(row: &Inputs) -> f64 {
    mass_ratio(hammer(row), strings(row)).expect("a ratio")
}

/// Half a unit of the last digit of the masses (0.01 g), over the masses.
fn share(row: &Cells) -> f64 {
    0.005 / row.number("string_mass_unison_g") + 0.005 / row.number("hammer_mass_g")
}

const EXACT: &str =
    "reproduced from felt, mass and velocity as printed: half a unit of the last digit";
const MASSES: &str = "half a digit, and half of 0.01 g of strings and of head";

const STOP: &[Column] = &[
    Column {
        name: "rigid_stop_contact_ms",
        unit: "ms",
        inputs_allow: exact_inputs,
        reason: EXACT,
        ours: |row| to_ms(stop(row).contact),
    },
    Column {
        name: "rigid_Fmax_N",
        unit: "N",
        inputs_allow: exact_inputs,
        reason: EXACT,
        ours: |row| to_newtons(stop(row).peak),
    },
];

const SET: &[Column] = &[
    Column {
        name: "mass_ratio",
        unit: "",
        inputs_allow: |row| share(row) * row.number("mass_ratio"),
        reason: MASSES,
        ours: ratio,
    },
    Column {
        name: "mass_ratio_over_4",
        unit: "",
        inputs_allow: |row| share(row) * row.number("mass_ratio_over_4"),
        reason: MASSES,
        ours: |row| ratio(row) / 4.0,
    },
    Column {
        name: "decel_time_m_over_2Z_ms",
        unit: "ms",
        inputs_allow: |row| share(row) * row.number("decel_time_m_over_2Z_ms"),
        reason: MASSES,
        ours: |row| to_ms(deceleration(row)),
    },
    Column {
        name: "decel_time_over_period",
        unit: "",
        inputs_allow: |row| share(row) * row.number("decel_time_over_period"),
        reason: MASSES,
        ours: |row| to_seconds(deceleration(row)) * row.number("f1_Hz"),
    },
];

/// The contact table with the felt and masses of its note in every row.
fn with_felt(table: &'static str, set: &[Row]) -> Vec<Row> {
    let mut rows = rows(table);
    for row in &mut rows {
        let note = row[0];
        assert_eq!(note.0, "note");
        let felt = set.iter().find(|felt| felt[0] == note).expect("the note's felt");
        row.extend(&felt[1..]);
    }
    rows
}

pub fn contact() -> Source {
    let set = rows(include_str!("hammer/string_parameters.csv"));
    Source::new(
        "hammer_contact",
        "independent calculation of felt against a rigid stop",
        checks(with_felt(include_str!("hammer/contact.csv"), &set), STOP),
    )
}

pub fn set() -> Source {
    Source::new(
        "hammer_string_parameters",
        "independent calculation on a measured set, read in a public copy whose paper is not named",
        checks(rows(include_str!("hammer/string_parameters.csv")), SET),
    )
}
