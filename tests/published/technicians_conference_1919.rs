//! Proceedings of a 1919 piano technicians' conference, as quoted on a technicians' list, May 2009:
//! an upright with 2 1/8 in from butt centre to strings, 5 5/8 in to the strike point and a bore of
//! 2 1/2 in.

use crate::frame::{Allowed, Check, Class, Inputs, Source};
use feltwire::measure::{degrees, to_inches, to_mm};
use feltwire::physics::hammer::geometry::Station;
use feltwire::physics::hammer::inverse::shank_offset_for_square_bore;

const UPRIGHT: &[(&str, &str)] =
    &[("h", "2 1/8 in"), ("R", "5 5/8 in"), ("b", "2 1/2 in"), ("e", "3/8 in")];
const EXACT: &str = "fractions of an inch, exact in millimetres";

fn station(row: &Inputs) -> Station {
    Station::new(row.get("h"), row.get("R"), row.get("e")).expect("a station")
}

fn bore(row: &Inputs) -> f64 {
    to_inches(station(row).square_bore(degrees(0.0)).expect("a bore"))
}

fn strike(row: &Inputs) -> f64 {
    to_inches(station(row).square_strike(degrees(0.0)).expect("a strike point"))
}

fn offset(row: &Inputs) -> f64 {
    let (b, h, hanging) = (row.get("b"), row.get("h"), row.get("R"));
    to_mm(shank_offset_for_square_bore(b, h, hanging, degrees(0.0)).expect("an offset"))
}

fn check(
    locator: &'static str,
    (expected, unit): (&'static str, &'static str),
    class: Class,
    ours: fn(&Inputs) -> f64,
) -> Check {
    let allowed = Allowed::Absolute(1e-9);
    Check { locator, inputs: UPRIGHT, expected, unit, class, allowed, reason: EXACT, ours }
}

pub fn source() -> Source {
    Source::new(
        "technicians_conference_1919",
        "proceedings of a 1919 piano technicians' conference, as quoted on a technicians' list, May 2009",
        vec![
            check("bore", ("2.5", "in"), Class::Printed, bore),
            check("strike point", ("5.625", "in"), Class::Printed, strike),
            check("offset that the figures imply", ("9.525", "mm"), Class::Independent, offset),
        ],
    )
}
