//! D. E. Hall and A. Askenfelt, 1988, quoted in T. D. Rossing (ed.), The Science of String
//! Instruments, 2010, p. 350: a hammer whose felt hardens with the exponent p stays for a time that
//! falls with its peak force.

use crate::frame::{Allowed, Check, Class, Excluded, Inputs, Source};
use feltwire::measure::{grams, metres_per_second, to_newtons, to_seconds};
use feltwire::physics::hammer::strike::{Felt, RigidStop};

const FELT: &[(&str, &str)] = &[("p", "3")];

/// Exponents do not depend on stiffness or mass: any will do.
fn stop(row: &Inputs, velocity: f64) -> RigidStop {
    let felt = Felt::new(4e9, row.number("p")).expect("felt");
    felt.against_rigid_stop(grams(8.7), metres_per_second(velocity)).expect("a blow")
}

fn exponent(row: &Inputs, quantity: fn(RigidStop) -> f64) -> f64 {
    (quantity(stop(row, 2.0)) / quantity(stop(row, 1.0))).log2()
}

fn time(row: &Inputs) -> f64 {
    exponent(row, |stop| to_seconds(stop.contact))
}

fn force(row: &Inputs) -> f64 {
    exponent(row, |stop| to_newtons(stop.peak))
}

fn check(locator: &'static str, expected: &'static str, ours: fn(&Inputs) -> f64) -> Check {
    Check {
        locator,
        inputs: FELT,
        expected,
        unit: "",
        class: Class::Independent,
        allowed: Allowed::Absolute(1e-9),
        reason: "an algebraic identity",
        ours,
    }
}

pub fn source() -> Source {
    Source::new(
        "hall_askenfelt_1988",
        "quoted in T. D. Rossing (ed.), The Science of String Instruments, 2010, p. 350",
        vec![
            check("contact time by velocity, −(p − 1)/(p + 1)", "-0.5", time),
            check("peak force by velocity, 2p/(p + 1)", "1.5", force),
            check("contact time by peak force, (1 − p)/(2p)", "-0.333333333333", |row| {
                time(row) / force(row)
            }),
        ],
    )
    .without(vec![
        Excluded { locator: "Russell & Rossing 1998, fig. 7, A0: 0.41", reason: SPECTRUM },
        Excluded { locator: "Russell & Rossing 1998, fig. 7, F7: 0.61", reason: SPECTRUM },
        Excluded { locator: "Russell & Rossing 1998, table I, D7: 3064 Hz", reason: SPECTRUM },
    ])
}

const SPECTRUM: &str = "where a strike's spectrum peaks (Acustica 84, 967) is a figure of hammer and \
                        transducer together, which Feltwire does not compute";
