//! The page for the owner of the piano: plain words, no ±, no cents.

use super::{capital, full, instrument_line, of_the, once, said};
use crate::document::figures::Rounded;
use crate::document::stamp::Stamp;
use crate::document::words::{Style, cell, list};
use crate::instrument::State;
use crate::judgement::limit::LimitKey;
use crate::judgement::{
    FindingKind, HammerVerdict, PathCost, PinVerdict, SectionJudgement, StringVerdict, Weighs,
};
use crate::measure::{Measured, hertz};
use crate::report::Report;
use serde::Serialize;

/// What the template of the owner's page reads.
#[derive(Debug, Clone, Serialize)]
pub struct OwnerPage {
    instrument: String,
    found: Vec<String>,
    advised: Vec<String>,
    otherwise: Vec<String>,
    expect: Vec<String>,
    covered: Vec<String>,
    room: &'static str,
    contact: Option<String>,
}

/// The owner's page.
pub fn owner(report: &Report, stamp: Stamp) -> OwnerPage {
    let style = super::style(stamp);
    let shop = &report.instrument.shop;
    let who = [shop.name.clone(), shop.contact.clone()];
    let who: Vec<String> = who.into_iter().flatten().collect();
    OwnerPage {
        instrument: instrument_line(report),
        found: found(report),
        advised: advised(report),
        otherwise: otherwise(report, style),
        expect: expect(report, style),
        covered: covered(report, style),
        room: "A steady room keeps a piano in tune: about 20 °C and 45 to 60 % humidity the year round, away from \
               radiators, fires and sun (common practice).",
        contact: (!who.is_empty())
            .then(|| full(&format!("questions are welcome: {}", who.join(", ")))),
    }
}

/// Sections that share something, in one breath: `bass and treble`.
fn grouped<T: PartialEq>(
    report: &Report,
    what: impl Fn(&SectionJudgement) -> T,
    words: impl Fn(&T, &str) -> String,
) -> Vec<String> {
    let mut groups: Vec<(T, Vec<String>)> = Vec::new();
    for section in &report.judgement.sections {
        let key = what(section);
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, names)) => names.push(section.name.clone()),
            None => groups.push((key, vec![section.name.clone()])),
        }
    }
    groups.iter().map(|(key, names)| words(key, &of_the(report, names))).collect()
}

/// What was found.
fn found(report: &Report) -> Vec<String> {
    let mut said: Vec<String> = pitch(report).into_iter().collect();
    let stops = report.judgement.stops.iter().map(|stop| stopped(stop.kind).to_owned());
    said.extend(stops.map(|stop| full(&stop)));
    said.extend(
        grouped(
            report,
            |section| (section.verdict, section.decided_by),
            |(verdict, by), names| reason(*verdict, *by, names),
        )
        .iter()
        .filter(|text| !text.is_empty())
        .map(|text| full(text)),
    );
    let doubtful: Vec<String> = report
        .instrument
        .condition
        .parts()
        .into_iter()
        .filter(|(_, state)| matches!(state, State::Doubtful | State::Failed))
        .map(|(name, _)| name.to_owned())
        .collect();
    if !doubtful.is_empty() {
        said.push(full(&format!("not beyond doubt: {}", list(&doubtful))));
    }
    if !report.judgement.not_looked_at.is_empty() {
        let parts: Vec<String> =
            report.judgement.not_looked_at.iter().map(|part| (*part).to_owned()).collect();
        said.push(full(&format!("not looked at: {}", list(&parts))));
    }
    said
}

/// How far below pitch it stands, in words: fractions of a semitone, which is 100 cents.
fn pitch(report: &Report) -> Option<String> {
    let instrument = &report.instrument;
    let found = (0..instrument.sections.len()).filter_map(|index| instrument.found_in(index));
    let flat = -found.map(|cents| cents.0).reduce(f64::min)?;
    let limit = |key| report.limits.value(key);
    let words = if flat <= limit(LimitKey::AtPitch) {
        "at pitch"
    } else if flat <= limit(LimitKey::RaiseSmall) {
        "a little below pitch"
    } else if flat <= 100.0 / 3.0 {
        "up to a third of a semitone below pitch"
    } else if flat <= 50.0 {
        "up to half a semitone below pitch"
    } else if flat <= 100.0 {
        "up to a semitone below pitch"
    } else {
        "more than a semitone below pitch"
    };
    Some(format!("It stands {words}."))
}

fn stopped(kind: FindingKind) -> &'static str {
    match kind {
        FindingKind::Plate => "the iron frame is not to be trusted and must be seen to first",
        FindingKind::Frame => {
            "the wooden back frame is not to be trusted and must be seen to first"
        }
        FindingKind::Bridges => "a bridge must be repaired first",
        _ => "a part that carries the strings must be seen to first",
    }
}

/// Why the strings of `names` get their verdict; empty where another line says it.
fn reason(verdict: StringVerdict, by: FindingKind, names: &str) -> String {
    use StringVerdict as V;
    match (verdict, by) {
        (V::Stop, _) => String::new(),
        (V::NotMeasured, _) => {
            format!("too little has been measured yet to judge the strings of the {names}")
        }
        (V::Keep, _) => format!("the strings of the {names} bear the pitch asked of them"),
        (_, FindingKind::Pins) => {
            format!("the tuning pins no longer hold the strings of the {names}")
        }
        (_, FindingKind::Block) => "the block that holds the tuning pins has failed".to_owned(),
        (_, FindingKind::Fatigue) => {
            format!("strings of the {names} have broken again and again")
        }
        (_, FindingKind::Rust) => {
            format!("rust has eaten into the strings of the {names} where they bend")
        }
        (_, FindingKind::Tone) => {
            format!("wound strings of the {names} have lost some of their tone")
        }
        (_, FindingKind::Scale) => {
            format!("in the {names} the strings change too much from one kind to the next")
        }
        (_, FindingKind::Breakage) => {
            format!("strings of the {names} would probably break on the way up to pitch")
        }
        (_, FindingKind::Load) => {
            format!("the strings of the {names} are not rightly loaded at full pitch")
        }
        (_, FindingKind::Wire) => {
            format!("the wire of the {names} is so old that nobody can vouch for its strength")
        }
        (_, FindingKind::Heritage) => {
            format!("only what can be undone is wanted for the {names}")
        }
        (_, FindingKind::Money) => {
            format!("new strings for the {names} would cost more than the instrument would fetch")
        }
        _ => String::new(),
    }
}

/// What is advised and why, in three sentences.
fn advised(report: &Report) -> Vec<String> {
    let strings =
        grouped(report, |section| section.verdict, |verdict, names| advice(*verdict, names));
    let mut rest = pins(report);
    rest.push(hammers(report.judgement.hammers.verdict).to_owned());
    // What speaks for a change is the reason; where nothing changes, that nothing needs to.
    let changes =
        report.judgement.sections.iter().any(|section| section.verdict != StringVerdict::Keep);
    let reasons = grouped(
        report,
        |s| (s.verdict, s.decided_by),
        |(verdict, by), names| {
            let told = !(changes && *verdict == StringVerdict::Keep);
            if told { reason(*verdict, *by, names) } else { String::new() }
        },
    );
    let mut reasons: Vec<String> = reasons.into_iter().filter(|text| !text.is_empty()).collect();
    let stops = report.judgement.stops.iter().map(|stop| stopped(stop.kind).to_owned());
    reasons.splice(0..0, stops);
    let mut said = vec![full(&once(strings).join("; ")), full(&rest.join("; "))];
    if !reasons.is_empty() {
        said.push(full(&format!("this is advised because {}", reasons.join("; "))));
    }
    said
}

fn advice(verdict: StringVerdict, names: &str) -> String {
    use StringVerdict as V;
    match verdict {
        V::Keep => format!("the strings of the {names} stay"),
        V::KeepLowerPitch => format!("the strings of the {names} stay, at a lower pitch"),
        V::KeepTreatWindings => {
            format!(
                "the dull wound strings of the {names} are cleaned or twisted, which helps for a time"
            )
        }
        V::ReplaceNamed => format!("single strings of the {names} are replaced"),
        V::ReplaceWoundSame | V::ReplaceWoundStock => {
            format!("new wound strings go on in the {names}")
        }
        V::RescaleBreak => {
            format!(
                "in the {names} a few strings at the change are replaced by others of better size"
            )
        }
        V::RestringSame => format!("new strings like the old go on in the {names}"),
        V::RestringNewScale => format!("new strings of better sizes go on in the {names}"),
        V::Document => {
            format!("the strings of the {names} are left as found; a conservator should be asked")
        }
        V::NotWorthIt => format!("the strings of the {names} are not renewed"),
        V::Stop => "nothing is done to the strings before that is put right".to_owned(),
        V::NotMeasured => format!("before anything is decided, more is measured in the {names}"),
    }
}

fn pins(report: &Report) -> Vec<String> {
    let pins = &report.judgement.pins;
    let of = |verdict: PinVerdict| -> Vec<String> {
        pins.iter().filter(|p| p.verdict == verdict).map(|p| p.region.clone()).collect()
    };
    let say = |(verdict, words): (PinVerdict, &str)| {
        let regions = of(verdict);
        (!regions.is_empty()).then(|| {
            if regions.len() == pins.len() {
                words.replace(" of the {}", "")
            } else {
                words.replace("{}", &list(&regions))
            }
        })
    };
    if pins.is_empty() {
        return vec!["the tuning pins are still to be measured".to_owned()];
    }
    [
        (PinVerdict::Leave, "the tuning pins of the {} stay"),
        (PinVerdict::Single, "loose tuning pins of the {} are replaced one by one"),
        (PinVerdict::Treat, "the holes of loose tuning pins of the {} are treated"),
        (PinVerdict::NextSize, "the tuning pins of the {} are replaced by thicker ones"),
        (PinVerdict::NewBlock, "a new block for the tuning pins of the {} is needed"),
        (PinVerdict::NotMeasured, "the tuning pins of the {} are still to be measured"),
    ]
    .into_iter()
    .filter_map(say)
    .collect()
}

fn hammers(verdict: HammerVerdict) -> &'static str {
    match verdict {
        HammerVerdict::Needle => "the hammers are cleaned and voiced",
        HammerVerdict::Reshape => "the hammers are shaped anew",
        HammerVerdict::Some => "worn hammers are renewed",
        HammerVerdict::Set => "the set of hammers is replaced",
        HammerVerdict::NotMeasured => "the hammers are still to be looked at",
    }
}

/// What else could be done.
fn otherwise(report: &Report, style: Style) -> Vec<String> {
    let judgement = &report.judgement;
    let stays = |section: &SectionJudgement| section.verdict.may_be_raised();
    let mut said = Vec::new();
    let lower = judgement.sections.iter().find_map(|section| section.lower_pitch);
    if let Some(lower) = lower {
        let a4 = style.frequency(Measured::new(lower.a4, hertz(0.0)));
        said.push(format!(
            "It could stand lower, with A at {a4}: easier on old strings, but not in tune with other instruments."
        ));
    }
    if judgement.sections.iter().all(stays) {
        said.push(
            "It could be given new strings throughout: the old ones do not ask for it.".to_owned(),
        );
    }
    let money = report.instrument.money.as_ref().map_or("", |money| money.currency.as_str());
    let advised = |cost: &&PathCost| {
        judgement.sections.iter().any(|section| section.verdict.words() == cost.path.words())
    };
    said.extend(judgement.costs.iter().filter(|cost| !advised(cost)).map(|cost| {
        format!(
            "{}: about {} {money} over {} years, repairs to be expected included.",
            capital(cost.path.words()),
            Rounded::new(cost.expected, cost.sd).value(),
            cell(Some(cost.years), 0)
        )
    }));
    said.push(
        "Nothing at all: it then stays as it is, and what is worn goes on wearing.".to_owned(),
    );
    said
}

/// What to expect.
fn expect(report: &Report, style: Style) -> Vec<String> {
    let judgement = &report.judgement;
    let mut said = Vec::new();
    if judgement.sections.iter().any(|section| section.verdict.strings_come_off()) {
        said.push(
            "New strings go on stretching: four to six tunings in the first year, then as usual (common practice)."
                .to_owned(),
        );
    }
    if let Some(plan) = &judgement.raise {
        let passes = match plan.passes.len() {
            1 => "one pass".to_owned(),
            count => format!("{count} passes"),
        };
        said.push(format!(
            "It is brought up to pitch in {passes}, the last of them the tuning, and will want tuning again sooner \
             than usual."
        ));
        said.push(format!(
            "Old strings can break on the way up; the chance that none of these does is {}.",
            style.chance(plan.none_breaks)
        ));
    }
    let watched = judgement.sections.iter().flat_map(|section| &section.findings);
    if watched.into_iter().any(|f| f.kind == FindingKind::Fatigue && f.weighs <= Weighs::Watch) {
        said.push(
            "Where a string broke before, the next may follow; it is replaced singly.".to_owned(),
        );
    }
    if said.is_empty() {
        said.push("Tuning as usual.".to_owned());
    }
    said
}

/// What is covered and what not.
fn covered(report: &Report, style: Style) -> Vec<String> {
    match &report.judgement.guarantee {
        Some(guarantee) => guarantee.wording.iter().map(|wording| said(style, wording)).collect(),
        None => vec!["No guarantee was asked for: what is covered is to be agreed.".to_owned()],
    }
}
