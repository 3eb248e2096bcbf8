//! What must hold of any judgement, whatever the piano.

use super::decide_piano::{Piano, Prices, usual};
use feltwire::instrument::{Climate, LimitOverride, Shop};
use feltwire::judgement::limit::Limits;
use feltwire::judgement::{Asked, FindingKind, Judgement, PinVerdict, StringVerdict, decide};
use feltwire::measure::{Watch, celsius};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseResult};
use std::collections::BTreeMap;

/// One section at random: load at its ends (never slack), rust, tone.
#[derive(Debug, Clone)]
struct Section {
    load: (f64, f64),
    coils: i8,
    length: i8,
    tone: (usize, usize, usize),
}

fn section() -> impl Strategy<Value = Section> {
    let tone = prop_oneof![3 => Just((12, 0, 0)), 1 => (0..10usize, 0..10usize, 0..10usize)];
    (33.0..60.0f64, 0.0..18.0f64, -1..4i8, 0..4i8, tone).prop_map(
        |(low, more, coils, length, tone)| Section { load: (low, low + more), coils, length, tone },
    )
}

fn torques() -> impl Strategy<Value = Vec<f64>> {
    prop_oneof![
        4 => prop::collection::vec(7.0..11.0f64, 5..12),
        3 => prop::collection::vec(2.0..11.0f64, 0..14),
        1 => Just(Vec::new()),
    ]
}

fn states() -> impl Strategy<Value = BTreeMap<String, String>> {
    let state = prop_oneof![
        12 => Just("sound"), 1 => Just("doubtful"), 1 => Just("failed"), 1 => Just("not looked at"),
    ];
    prop::collection::vec(state, 6).prop_map(|states| {
        PARTS.iter().zip(states).map(|(part, state)| ((*part).into(), state.into())).collect()
    })
}

const PARTS: [&str; 6] = ["plate", "block", "frame", "bearing", "bridges", "soundboard"];

fn broken() -> impl Strategy<Value = Vec<(String, String, String, i32)>> {
    let note = prop::sample::select(vec!["A1", "C4", "A4", "F6", "C7"]);
    let place = prop::sample::select(vec!["coil", "bearing", "bridge", "hitch", "length"]);
    let when = prop::sample::select(vec!["tuning", "playing"]);
    let one = (note, place, when, 1985..2026i32)
        .prop_map(|(note, place, when, year)| (note.into(), place.into(), when.into(), year));
    prop_oneof![2 => Just(Vec::new()), 1 => prop::collection::vec(one, 0..9)]
}

prop_compose! {
    fn piano()(
        sections in prop::array::uniform3(section()),
        pins in prop::array::uniform3(torques()),
        condition in states(),
        broken in broken(),
        found in prop_oneof![1 => -15.0..15.0f64, 2 => -250.0..0.0f64],
        built in prop_oneof![8 => 1885..1970i32, 1 => 1850..1880i32],
        heritage in prop::bool::weighted(0.2),
        must_match in prop::bool::weighted(0.2),
        usage in prop::sample::select(vec!["home", "home", "teaching", "concert"]),
        guarantee in prop_oneof![2 => Just(None), 1 => Just(Some(5.0))],
        iron in prop::bool::weighted(0.05),
        dear in prop::bool::weighted(0.1),
    ) -> Piano {
        let mut piano = usual();
        for (part, section) in piano.parts_mut().into_iter().zip(&sections) {
            part.load = Some(section.load);
            part.coils = Some(section.coils);
            part.length = Some(section.length);
        }
        piano.bass.tone = Some(sections[0].tone);
        let [bass, tenor, treble] = pins;
        piano.pins = [("bass", bass), ("tenor", tenor), ("treble", treble)]
            .map(|(region, torques)| (region.into(), torques))
            .into();
        let money = Prices { value_restored: Some(900.0), restring: Some(2400.0), ..Prices::default() };
        Piano {
            condition,
            broken,
            found: Some(found),
            built: Some(built),
            heritage,
            must_match,
            usage: Some(usage.into()),
            guarantee,
            wire: iron.then(|| "iron".into()),
            money: dear.then_some(money),
            ..piano
        }
    }
}

/// Runs `test` over many pianos.
fn over_pianos<T: std::fmt::Debug>(
    changed: impl Strategy<Value = T>,
    test: impl Fn(Piano, T) -> TestCaseResult,
) {
    // A quarter of what proptest runs by itself (64), or of what PROPTEST_CASES asks for.
    let usual = Config::default();
    let config = Config { cases: usual.cases.div_ceil(4), failure_persistence: None, ..usual };
    proptest!(config, |(piano in piano(), changed in changed)| { test(piano, changed)? });
}

/// No section moves toward keep from `before` to `after`.
fn never_toward_keep(before: &Judgement, after: &Judgement) -> TestCaseResult {
    for (a, b) in before.sections.iter().zip(&after.sections) {
        match (a.verdict.away_from_keep(), b.verdict.away_from_keep()) {
            (Some(from), Some(to)) => {
                prop_assert!(to >= from, "{}: {:?} to {:?}", a.name, a.verdict, b.verdict);
            }
            // Not enough measured stays so, or something worse has been found.
            (None, Some(to)) => prop_assert!(to > 3, "{}: to {:?}", a.name, b.verdict),
            // Pins read looser may leave it open whether they are single pins or the block.
            (None, None) => {}
            (Some(_), None) => {
                prop_assert_eq!(b.decided_by, FindingKind::Pins);
                prop_assert_ne!(&before.pins, &after.pins);
            }
        }
    }
    Ok(())
}

#[test]
fn more_rust_never_moves_toward_keep() {
    over_pianos((0..3usize, 1..3i8), |piano, (section, more)| {
        let mut worse = piano.clone();
        let part = &mut *worse.parts_mut()[section];
        // A grade that was not looked at is no grade.
        part.coils = part.coils.map(|grade| if grade < 0 { grade } else { (grade + more).min(3) });
        part.length = part.length.map(|grade| (grade + more).min(3));
        never_toward_keep(&piano.judge_with(0), &worse.judge_with(0))
    });
}

#[test]
fn looser_pins_never_move_toward_keep() {
    let region = prop::sample::select(vec!["bass", "tenor", "treble"]);
    over_pianos((region, 0.2..1.0f64), |piano, (region, factor)| {
        let mut worse = piano.clone();
        for torque in worse.pins.get_mut(region).into_iter().flatten() {
            *torque *= factor;
        }
        never_toward_keep(&piano.judge_with(0), &worse.judge_with(0))
    });
}

#[test]
fn a_higher_load_never_moves_toward_keep() {
    over_pianos((0..3usize, 1.0..1.3f64), |piano, (section, factor)| {
        let mut worse = piano.clone();
        let part = &mut *worse.parts_mut()[section];
        part.load = part.load.map(|(low, high)| (low * factor, high * factor));
        never_toward_keep(&piano.judge_with(0), &worse.judge_with(0))
    });
}

#[test]
fn a_worse_condition_never_moves_toward_keep() {
    over_pianos(prop::sample::select(PARTS.to_vec()), |piano, part| {
        let mut worse = piano.clone();
        let state = worse.condition.get_mut(part).expect("part");
        *state = match state.as_str() {
            "sound" => "doubtful",
            "doubtful" => "failed",
            other => other,
        }
        .to_owned();
        never_toward_keep(&piano.judge_with(0), &worse.judge_with(0))
    });
}

#[test]
fn duller_strings_and_more_breakages_never_move_toward_keep() {
    over_pianos((1..4usize, prop::bool::ANY), |piano, (strings, dead)| {
        let mut worse = piano.clone();
        let (clear, dull, gone) = worse.bass.tone.expect("tone");
        let moved = strings.min(if dead { dull } else { clear });
        worse.bass.tone = Some(if dead {
            (clear, dull - moved, gone + moved)
        } else {
            (clear - moved, dull + moved, gone)
        });
        worse.broken.extend(piano.broken.first().cloned());
        never_toward_keep(&piano.judge_with(0), &worse.judge_with(0))
    });
}

#[test]
fn what_has_no_bearing_flips_nothing() {
    over_pianos(0..8usize, |piano, turn| {
        let instrument = piano.instrument();
        let mut other = instrument.clone();
        other.name = "another name".into();
        other.serial = Some("1".into());
        other.shop = Shop { name: Some("another shop".into()), ..Shop::default() };
        other.climate = Climate { temperature: Some(celsius(31.0)), humidity: Some(0.7) };
        other.kind = feltwire::instrument::Kind::Grand;
        other.hammers.rows.clear();
        for region in &mut other.pins {
            let read = region.torques.len().max(1);
            region.torques.rotate_left(turn % read);
        }
        for state in &mut other.wire_state {
            state.tone.reverse();
            state.rust.length = Some(3);
            state.rust.bridge = Some(3);
        }
        let (a, b) = (piano.judge_as(&instrument, 0), piano.judge_as(&other, 0));
        for (a, b) in a.sections.iter().zip(&b.sections) {
            prop_assert_eq!(a.verdict, b.verdict);
            prop_assert_eq!(a.decided_by, b.decided_by);
        }
        Ok(())
    });
}

#[test]
fn without_pins_and_rust_nothing_is_said_of_strings_whatever_the_load() {
    over_pianos((0..3usize, prop::bool::ANY), |mut piano, (section, pins)| {
        let name = super::decide_piano::SECTIONS[section];
        if pins {
            piano.pins.insert(name.into(), Vec::new());
        } else {
            piano.parts_mut()[section].coils = Some(-1);
        }
        // A block that has failed is a look at the pins.
        piano.condition.insert("block".into(), "sound".into());
        let judged = piano.judge_with(0);
        let verdict = judged.sections[section].verdict;
        let old = piano.wire.is_some() || piano.built.is_some_and(|built| built < 1880);
        let stopped = !judged.stops.is_empty();
        let allowed = match verdict {
            StringVerdict::NotMeasured => true,
            StringVerdict::Stop => stopped,
            StringVerdict::Document => old,
            _ => false,
        };
        prop_assert!(allowed, "{verdict:?}");
        Ok(())
    });
}

#[test]
fn what_may_not_be_changed_for_good_is_kept_or_documented() {
    over_pianos(Just(()), |mut piano, ()| {
        if piano.built.is_some_and(|built| built >= 1880) && piano.wire.is_none() {
            piano.heritage = true;
        }
        let judged = piano.judge_with(0);
        for section in &judged.sections {
            use StringVerdict as V;
            let allowed = [V::Keep, V::KeepLowerPitch, V::Document, V::Stop, V::NotMeasured];
            prop_assert!(allowed.contains(&section.verdict), "{:?}", section.verdict);
        }
        if piano.heritage {
            use PinVerdict as P;
            let allowed = [P::Leave, P::Single, P::NotMeasured];
            for pin in &judged.pins {
                prop_assert!(allowed.contains(&pin.verdict), "{:?}", pin.verdict);
            }
        }
        Ok(())
    });
}

#[test]
fn nothing_is_pulled_up_past_a_stop_nor_restrung_onto_what_will_not_hold() {
    over_pianos(Just(()), |piano, ()| {
        let judged = piano.judge_with(0);
        let condition = |part: &str| piano.condition[part].as_str();
        let carried =
            ["plate", "frame"].iter().any(|part| matches!(condition(part), "doubtful" | "failed"));
        for section in &judged.sections {
            prop_assert_eq!(section.findings.first().map(|f| f.kind), Some(section.decided_by));
            if carried {
                prop_assert_eq!(section.verdict, StringVerdict::Stop);
            }
            if !section.verdict.strings_come_off() {
                continue;
            }
            prop_assert!(
                condition("bridges") != "failed",
                "{:?} onto a split bridge",
                section.verdict
            );
            let pins = judged.pins.iter().find(|pin| pin.region == section.name).expect("region");
            let holds = matches!(
                pins.verdict,
                PinVerdict::Leave | PinVerdict::NextSize | PinVerdict::NewBlock
            );
            prop_assert!(holds, "{:?} onto {:?}", section.verdict, pins.verdict);
            if condition("block") == "failed" {
                prop_assert_eq!(pins.verdict, PinVerdict::NewBlock);
            }
        }
        let stopped = judged.sections.iter().any(|s| s.verdict == StringVerdict::Stop);
        prop_assert!(!(stopped && judged.raise.is_some()));
        prop_assert_eq!(stopped, !judged.stops.is_empty());
        Ok(())
    });
}

#[test]
fn rust_never_decides_alone() {
    over_pianos(Just(()), |piano, ()| {
        let judged = piano.judge_with(0);
        for (section, part) in judged.sections.iter().zip(piano.parts()) {
            let decided = section.decided_by == FindingKind::Rust
                && section.verdict != StringVerdict::NotMeasured;
            if !decided {
                continue;
            }
            let pitting = part.coils == Some(3);
            let raised = piano.found.is_some_and(|found| -found > 20.0);
            // Smoothing may move a load by a little.
            let loaded = part.load.is_some_and(|(_, high)| high > 49.5);
            prop_assert!(pitting && (raised || loaded || piano.guarantee.is_some()));
        }
        Ok(())
    });
}

#[test]
fn a_load_between_60_and_70_in_the_top_octave_never_decides() {
    let mut piano = usual();
    // 58 % at B6, the last note below the top octave.
    piano.treble.load = Some((46.0, 69.0));
    for found in [-5.0, -25.0, -60.0, -120.0] {
        piano.found = Some(found);
        let treble = &piano.judge_with(0).sections[2];
        assert_eq!(treble.verdict, StringVerdict::Keep, "{found}");
    }
}

#[test]
fn a_survey_sets_a_limit_and_the_verdict_follows() {
    let mut instrument = usual().instrument();
    let set = |name: &str, value| LimitOverride { name: name.into(), value };
    instrument.limits = vec![set("pin_loose", 9.3), set("pins_half", 40.0)];
    let judged = usual().judge_as(&instrument, 0);
    assert_ne!(judged.pins[0].verdict, PinVerdict::Leave);
    // The limit that a finding was held against says that the survey has set it.
    assert_eq!(judged.pins[0].finding.limit.and_then(|limit| limit.instead_of), Some(50.0));
}

#[test]
fn a_verdict_near_its_limit_agrees_with_itself_half_the_time() {
    let mut piano = usual();
    piano.found = Some(-60.0);
    // B5 at the very limit of plain strings below the top octave.
    piano.tenor.load = Some((36.0, 60.0));
    let near = piano.judge().sections[1].agreement.expect("judged");
    assert!((0.35..0.75).contains(&near), "{near}");
    piano.tenor.load = Some((36.0, 50.0));
    let far = piano.judge().sections[1].agreement.expect("judged");
    assert!(far > 0.98, "{far}");
}

#[test]
fn the_same_seed_gives_the_same_agreement() {
    let mut piano = usual();
    piano.bass.tone = Some((8, 4, 0));
    let (a, b) = (piano.judge(), piano.judge());
    assert_eq!(a.sections[0].agreement, b.sections[0].agreement);
    assert!(a.sections[0].agreement.is_some_and(|agreement| agreement < 0.95));
    // In doubt about the tone: a trial is asked for.
    assert!(a.measure_next.iter().any(|next| next.kind == FindingKind::Tone));
}

#[test]
fn a_sound_piano_needs_nothing_more() {
    let judged = usual().judge();
    assert!(judged.measure_next.is_empty(), "{:?}", judged.measure_next);
    assert!(judged.guarantee.is_none() && judged.costs.is_empty() && judged.raise.is_none());
}

#[test]
fn what_would_turn_it_turns_it() {
    let mut piano = usual();
    piano.found = Some(-4.0);
    piano.tenor.load = Some((34.0, 45.0));
    piano.tenor.coils = Some(3);
    let judged = piano.judge_with(1);
    let tenor = &judged.sections[1];
    assert_eq!(tenor.verdict, StringVerdict::Keep);
    let turn =
        |kind| tenor.would_turn.iter().find(|turn| turn.kind == kind).expect("a turn").becomes;
    // Pitting decides above 20 cents of raise and above a load of 50 %.
    assert_eq!(turn(FindingKind::Pitch), StringVerdict::RestringSame);
    piano.found = Some(-21.0);
    assert_eq!(piano.judge_with(0).sections[1].verdict, StringVerdict::RestringSame);
    piano.found = Some(-4.0);
    assert_eq!(turn(FindingKind::Load), StringVerdict::RestringSame);
    piano.tenor.load = Some((34.0, 51.0));
    assert_eq!(piano.judge_with(0).sections[1].verdict, StringVerdict::RestringSame);
}

#[test]
fn any_limit_may_be_set_to_anything_that_its_unit_allows() {
    let mut piano = usual();
    piano.found = Some(-80.0);
    piano.guarantee = Some(5.0);
    piano.treble.coils = Some(2);
    piano.bass.tone = Some((8, 3, 1));
    piano.broken = vec![("C7".into(), "coil".into(), "tuning".into(), 2020)];
    let finite = |judged: &Judgement| {
        let figures = judged.sections.iter().flat_map(|section| &section.findings);
        figures.filter_map(|finding| finding.value).all(|figure| {
            let (low, high) = figure.range.unwrap_or_default();
            figure.value.is_finite() && low.is_finite() && high.is_finite()
        })
    };
    for limit in Limits::default().iter() {
        for value in [0.0, 1.0, 1e12] {
            let mut instrument = piano.instrument();
            instrument.limits = vec![LimitOverride { name: limit.name.into(), value }];
            let judged = piano.judge_as(&instrument, 1);
            assert!(finite(&judged), "{} {value}", limit.name);
            assert!(judged.guarantee.is_some_and(|guarantee| guarantee.expected.is_finite()));
            for section in judged.sections {
                assert!(section.agreement.is_none_or(|agreement| (0.0..=1.0).contains(&agreement)));
            }
        }
    }
}

/// Stops after so many looks.
struct StopsAfter(std::sync::atomic::AtomicUsize);

impl Watch for StopsAfter {
    fn progress(&self, _: &'static str, _: usize, _: usize) {}
    fn stop(&self) -> bool {
        use std::sync::atomic::Ordering::Relaxed;
        self.0.fetch_update(Relaxed, Relaxed, |left| left.checked_sub(1)).is_err()
    }
}

#[test]
fn the_re_runs_can_be_stopped_between_any_two_looks() {
    let (instrument, scale) = (usual().instrument(), usual().scale());
    let limits = Limits::default();
    let judge = |looks: usize| {
        let watch = StopsAfter(looks.into());
        decide(&instrument, &scale, &[], &limits, &Asked::default(), &watch)
    };
    assert!([0, 1, 10, 50].into_iter().all(|looks| judge(looks).is_err()));
    // 2000 re-runs of three sections, a look every 64 of them and one before.
    assert!(judge(1 + 3 * 2000_usize.div_ceil(64)).is_ok());
}
