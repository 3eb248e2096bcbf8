//! Situations that a rebuilder would recognise: `decide_cases.toml`, filled in before the code.

use super::decide_piano::{Piano, SECTIONS, cases};
use feltwire::judgement::{FindingKind, Judgement};

/// Where a judgement departs from what was expected, in words.
fn departures(case: &Piano, judged: &Judgement) -> Vec<String> {
    let mut off = Vec::new();
    let mut check = |what: &str, found: &str, expected: &str| {
        if found != expected {
            off.push(format!("{}: {what} {found}, expected {expected}", case.name));
        }
    };
    let expect = &case.expect;
    for (index, section) in judged.sections.iter().enumerate() {
        check(SECTIONS[index], section.verdict.name(), &expect.strings[index]);
        check(SECTIONS[index], section.decided_by.name(), &expect.by[index]);
        let first = section.findings.first().map_or("nothing", |finding| finding.kind.name());
        check("first finding", first, section.decided_by.name());
    }
    for pin in &judged.pins {
        if let Some(expected) = &expect.pins {
            check(&pin.region, pin.verdict.name(), expected);
        }
        if let Some(expected) = expect.more_readings {
            check("readings", &pin.more_readings.to_string(), &expected.to_string());
        }
    }
    if let Some(expected) = &expect.hammers {
        check("hammers", judged.hammers.verdict.name(), expected);
    }
    let stops: Vec<_> = judged.stops.iter().map(|stop| stop.kind.name()).collect();
    check("stops", &stops.join(" "), &expect.stops.join(" "));
    check("not looked at", &judged.not_looked_at.join(" "), &expect.not_looked_at.join(" "));
    if let Some(expected) = expect.raise {
        check("raise plan", &judged.raise.is_some().to_string(), &expected.to_string());
    }
    if let Some(expected) = &expect.measure {
        let asked = judged.measure_next.iter().any(|next| next.kind.name() == expected);
        check("measure next", if asked { expected } else { "nothing" }, expected);
    }
    off
}

#[test]
fn every_case_is_judged_as_a_careful_colleague_would() {
    let cases = cases();
    assert!(cases.len() >= 57, "{}", cases.len());
    let off: Vec<String> = cases.iter().flat_map(|case| departures(case, &case.judge())).collect();
    assert!(off.is_empty(), "{}", off.join("\n"));
}

#[test]
fn the_words_of_a_loose_block_say_that_the_strings_alone_would_stay() {
    let case =
        cases().into_iter().find(|case| case.name == "good strings, loose block").expect("case");
    let judged = case.judge();
    let said = format!("{:?}", judged.sections[0].findings[0].why);
    assert_eq!(judged.sections[0].findings[0].kind, FindingKind::Pins);
    assert!(said.contains("because of the pins; strings alone: keep"), "{said}");
}
