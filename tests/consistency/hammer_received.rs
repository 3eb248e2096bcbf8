//! Sets of heads made to an order by a maker who keeps its tolerances or makes one known mistake, read with the
//! errors of the tools, and judged: the sound are accepted, the mistake is named, and one bad head is told from a
//! bad section.
//!
//! The maker works from the order as it is written: bores, sizes and masses to a tenth, side angles to half a
//! degree; his own errors have half the tolerance as standard deviation, and no head goes out beyond it. Readings: bore 0.3 mm, mass 0.05 g,
//! angles 0.5°, sizes 0.1 mm, holes 0.02 mm, one standard deviation each.
//!
//! What decides is a share of false alarms (`received_false_alarms`, 5 %), from which the program works its limits out;
//! no limit was set by these sets, but two rules (an offset that all heads share; one section or the whole set) were
//! mended after they had been seen. Measured on seed 40217, 300 sets each: of sound
//! sets 0.3 % are accused where the maker is usual and at most 3.0 % where every head stands at the edge of its
//! tolerance; 99.3 to 100 % of the mistakes below are named.

use crate::hammer_orders::{Worked, example, note, worked};
use feltwire::instrument::{HammerRow, HeadMass, Place};
use feltwire::judgement::limit::Limits;
use feltwire::judgement::received::{
    Cause, Quantity, Received, ReceivedVerdict, Wanted, Whom, judge,
};
use feltwire::measure::{Input, Measured, Note, Stream, degrees, grams, mm};
use feltwire::order::hammers::wanted;
use rand_distr::{Distribution, Normal, Uniform};
use std::io::Write as _;

/// Sets simulated for each figure.
const SETS: u64 = 300;

const SEED: u64 = 40217;

/// One standard deviation of what is read of a quantity, the maker's tolerance, and the step of the order.
fn errors(quantity: Quantity) -> (f64, f64, f64) {
    match quantity {
        Quantity::Bore => (0.3, 0.3, 0.1),
        Quantity::Rake => (0.5, 0.5, 0.1),
        Quantity::SideAngle => (0.5, 0.5, 0.5),
        Quantity::Mass => (0.05, 0.3, 0.1),
        Quantity::Width => (0.1, 0.2, 0.1),
        Quantity::Tail | Quantity::Moulding | Quantity::Height => (0.1, 0.5, 0.1),
        Quantity::Hole => (0.02, 0.01, 0.01),
    }
}

fn normal(stream: &mut Stream, sd: f64) -> f64 {
    Normal::new(0.0, sd).expect("a standard deviation").sample(stream)
}

/// How a maker who keeps his tolerance makes his heads.
#[derive(Clone, Copy, PartialEq)]
enum Maker {
    /// Half the tolerance is his standard deviation, and nothing leaves beyond it.
    Usual,
    /// Every head anywhere within it.
    Even,
    /// Every head of a quantity at the same edge of it: the worst there is.
    AtTheEdge,
}

fn by_maker(maker: Maker, tolerance: f64, stream: &mut Stream, edge: f64) -> f64 {
    match maker {
        Maker::Usual => std::iter::repeat_with(|| normal(stream, 0.5 * tolerance))
            .find(|off| off.abs() <= tolerance)
            .expect("a head that may go out"),
        Maker::Even => Uniform::new(-tolerance, tolerance).expect("a tolerance").sample(stream),
        Maker::AtTheEdge => tolerance * edge,
    }
}

/// Seen with `--nocapture`; what may be asserted is asserted.
fn print(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Which heads are read in which respects.
#[derive(Clone, Copy, PartialEq)]
enum Read {
    /// All of everything.
    All,
    /// As the receiving check asks: bores of all, the rest at the ends of sections.
    AsAsked,
    /// Three heads a section, everything.
    Three,
}

fn is_read(read: Read, quantity: Quantity, own: &[&Wanted], at: usize) -> bool {
    let end = at == 0 || at + 1 == own.len();
    match read {
        Read::All => true,
        Read::AsAsked => end || quantity == Quantity::Bore,
        Read::Three => end || at == own.len() / 2,
    }
}

fn put(row: &mut HammerRow, quantity: Quantity, value: f64) {
    let length = Some(Measured::new(mm(value), mm(0.0)));
    let angle = Some(Measured::new(degrees(value), degrees(0.0)));
    match quantity {
        Quantity::Bore => row.bore = length,
        Quantity::Rake => row.rake = angle,
        Quantity::SideAngle => row.side_angle = angle,
        Quantity::Mass => {
            row.mass = Some(HeadMass::Alone(Measured::new(grams(value), grams(0.0))));
        }
        Quantity::Width => row.width = length,
        Quantity::Tail => row.tail = length,
        Quantity::Moulding => row.moulding = length,
        Quantity::Height => row.head_length = length,
        Quantity::Hole => row.hole = length,
    }
}

/// Set number `number`, every head made as `made` turns what was ordered.
fn set(
    number: u64,
    wanted: &[Wanted],
    (maker, read): (Maker, Read),
    made: impl Fn(&Wanted, Quantity, f64) -> f64,
) -> Vec<HammerRow> {
    let mut rows = Vec::new();
    for head in wanted {
        let heads: Vec<&Wanted> = wanted.iter().filter(|of| of.section == head.section).collect();
        let at = heads.iter().position(|of| of.note == head.note).expect("in its section");
        let mut row = HammerRow::empty(head.note, Place::default());
        for target in &head.targets {
            let quantity = target.quantity;
            let mut stream =
                Input::new(SEED, &format!("{} {}", quantity.name(), head.note)).draw(number);
            let (reading, tolerance, step) = errors(quantity);
            let written = (target.value / step).round() * step;
            let edge = if number.is_multiple_of(2) { 1.0 } else { -1.0 };
            let own = by_maker(maker, tolerance, &mut stream, edge);
            // What the maker copies from a sample is what the sample is, not what was read of it.
            let of = format!("copied {} {}", quantity.name(), head.section);
            let copied = normal(&mut Input::new(SEED, &of).draw(number), target.doubt);
            let value = made(head, quantity, written) + copied + own;
            if is_read(read, quantity, &heads, at) {
                put(&mut row, quantity, value + normal(&mut stream, reading));
            }
        }
        rows.push(row);
    }
    rows
}

struct Piano {
    worked: Worked,
    wanted: Vec<Wanted>,
}

fn piano(name: &str) -> Piano {
    let worked = worked(example(name));
    let wanted = wanted(&worked.instrument, &worked.order);
    Piano { worked, wanted }
}

impl Piano {
    fn judged(&self, rows: &[HammerRow]) -> Received {
        let limits = Limits::default();
        judge(&self.worked.instrument, &self.worked.action, &self.wanted, rows, &limits)
    }

    /// Share of sets of which `right` holds.
    fn share(
        &self,
        read: Read,
        made: impl Fn(&Wanted, Quantity, f64) -> f64,
        right: impl Fn(&Received) -> bool,
    ) -> f64 {
        self.share_of(Maker::Usual, read, made, right)
    }

    fn share_of(
        &self,
        maker: Maker,
        read: Read,
        made: impl Fn(&Wanted, Quantity, f64) -> f64,
        right: impl Fn(&Received) -> bool,
    ) -> f64 {
        let hits = (0..SETS).filter(|number| {
            let received = self.judged(&set(*number, &self.wanted, (maker, read), &made));
            right(&received)
        });
        hits.count() as f64 / SETS as f64
    }

    fn section(&self, name: &str) -> usize {
        let sections = &self.worked.instrument.sections;
        sections.iter().position(|section| section.name == name).expect("a section")
    }
}

fn as_ordered(_: &Wanted, _: Quantity, value: f64) -> f64 {
    value
}

/// The offsets of one quantity.
fn shared(received: &Received, of: Quantity) -> Vec<(Whom, Vec<Cause>)> {
    let own = received.offsets.iter().filter(|offset| offset.quantity == of);
    own.map(|offset| (offset.whom, offset.causes.clone())).collect()
}

/// Whether one mistake and no other was found in `of`, and nothing in any other respect.
fn named(received: &Received, of: Quantity, whom: Whom, cause: Cause) -> bool {
    matches!(shared(received, of).as_slice(), [(by, causes)]
        if *by == whom && causes.first() == Some(&cause))
}

#[test]
fn sound_sets_are_accepted() {
    for name in ["upright", "grand"] {
        let piano = piano(name);
        for read in [Read::All, Read::AsAsked] {
            let accepted = piano.share(read, as_ordered, |received| {
                received.verdict == ReceivedVerdict::Accept && received.missing.is_empty()
            });
            print(&format!("{name}: {accepted} of sound sets accepted"));
            assert!(accepted >= 0.95, "{name}: {accepted}");
        }
        // Three bores a section are too few to accept a set by, and nothing is said against it.
        let silent = piano.share(Read::Three, as_ordered, |received| {
            received.verdict == ReceivedVerdict::NotMeasured && received.offsets.is_empty()
        });
        print(&format!("{name}: {silent} silent"));
        assert!(silent >= 0.95, "{name}: {silent}");
    }
}

/// What the limit promises: of sets that keep their tolerance no more than 5 % are accused of anything, however the
/// heads lie within it. Two standard errors of a share of 5 % are added for the number of sets.
#[test]
fn no_maker_who_keeps_his_tolerance_is_accused_more_often_than_the_limit_says() {
    let most = 0.05 + 2.0 * (0.05 * 0.95 / SETS as f64).sqrt();
    for name in ["upright", "grand"] {
        let piano = piano(name);
        for (maker, read) in [
            (Maker::Usual, Read::All),
            (Maker::Even, Read::All),
            (Maker::AtTheEdge, Read::All),
            (Maker::AtTheEdge, Read::AsAsked),
            (Maker::AtTheEdge, Read::Three),
        ] {
            let accused = piano.share_of(maker, read, as_ordered, |received| {
                !received.offsets.is_empty() || !received.singles.is_empty()
            });
            print(&format!("{name}: {accused} of sound sets accused"));
            assert!(accused <= most, "{name}: {accused}");
        }
    }
}

/// Of a usual maker about one reading in a hundred is to be repeated.
#[test]
fn few_readings_of_a_sound_set_are_to_be_repeated() {
    let piano = piano("upright");
    let mut again = 0.0;
    let mut readings = 0.0;
    for number in 0..SETS {
        let rows = set(number, &piano.wanted, (Maker::Usual, Read::AsAsked), as_ordered);
        let received = piano.judged(&rows);
        again += received.read_again().len() as f64;
        readings += received.heads.iter().map(|head| head.compared.len() as f64).sum::<f64>();
    }
    print(&format!(
        "{} readings of {} to be repeated",
        again / SETS as f64,
        readings / SETS as f64
    ));
    assert!(again > 0.0 && again <= 0.05 * readings);
}

/// Three bores a section leave 0.17 mm of doubt, and what is beyond 0.3 mm by 3.3 of that begins at 0.9 mm: a
/// millimetre is then named three times in four, and a millimetre and a half is asked for.
#[test]
fn a_section_a_millimetre_off_is_named() {
    let piano = piano("upright");
    for (name, way) in [("bass", 1.0), ("tenor", -1.0), ("treble", 1.0)] {
        let section = piano.section(name);
        for (read, off) in [(Read::All, 1.0), (Read::AsAsked, 1.0), (Read::Three, 1.5)] {
            let made = |head: &Wanted, of: Quantity, value: f64| {
                let here = head.section == section && of == Quantity::Bore;
                value + if here { way * off } else { 0.0 }
            };
            let share = piano.share(read, made, |received| {
                let found = shared(received, Quantity::Bore);
                found.len() == 1
                    && found[0].0 == Whom::Section(section)
                    && received.verdict != ReceivedVerdict::Accept
            });
            print(&format!("{name} {off}: {share}"));
            assert!(share >= 0.95, "{name} {off}: {share}");
        }
    }
}

#[test]
fn an_allowance_left_out_or_added_twice_is_named_of_the_set() {
    // The upright's order includes 0.5 mm.
    let piano = piano("upright");
    for (off, cause, verdict) in [
        (-0.5, Cause::AllowanceLeftOut, ReceivedVerdict::Rebore),
        (0.5, Cause::AllowanceTwice, ReceivedVerdict::AcceptAfterWork),
    ] {
        let made =
            |_: &Wanted, of: Quantity, value| value + if of == Quantity::Bore { off } else { 0.0 };
        let share = piano.share(Read::AsAsked, made, |received| {
            named(received, Quantity::Bore, Whom::Set, cause) && received.verdict == verdict
        });
        print(&format!("allowance {off}: {share}"));
        assert!(share >= 0.95, "{off}: {share}");
    }
}

#[test]
fn side_angles_of_the_wrong_hand_are_named() {
    for name in ["upright", "grand"] {
        let piano = piano(name);
        let made = |_: &Wanted, of: Quantity, value: f64| {
            if of == Quantity::SideAngle { -value } else { value }
        };
        for read in [Read::All, Read::AsAsked] {
            let share = piano.share(read, made, |received| {
                named(received, Quantity::SideAngle, Whom::Set, Cause::Mirrored)
                    && received.verdict == ReceivedVerdict::Rebore
            });
            print(&format!("{name} mirrored: {share}"));
            assert!(share >= 0.95, "{name}: {share}");
        }
    }
}

/// The bass bored to the tenor's figures, and the other way round.
#[test]
fn a_section_bored_to_the_figures_of_another_is_named() {
    let piano = piano("upright");
    let (bass, tenor) = (piano.section("bass"), piano.section("tenor"));
    for (own, other) in [(bass, tenor), (tenor, bass)] {
        let made = |head: &Wanted, of: Quantity, value: f64| {
            if head.section != own || of != Quantity::Bore {
                return value;
            }
            let target = head.target(of).expect("a bore");
            let of = |cause| target.otherwise.iter().find(|(by, _)| *by == cause);
            of(Cause::OtherSection(other)).expect("the other section's figure").1
        };
        let share = piano.share(Read::AsAsked, made, |received| {
            let found = shared(received, Quantity::Bore);
            // Tenor and treble of this piano are bored alike: which of the two is not to be told.
            found.len() == 1
                && found[0].0 == Whom::Section(own)
                && found[0].1.contains(&Cause::OtherSection(other))
                && received.verdict == ReceivedVerdict::Rebore
        });
        print(&format!("swapped: {share}"));
        assert!(share >= 0.95, "{share}");
    }
}

#[test]
fn bores_copied_from_the_worn_samples_are_named() {
    let piano = piano("upright");
    let made = |head: &Wanted, of: Quantity, value: f64| {
        let copied = head.target(of).and_then(|target| {
            target.otherwise.iter().find(|(by, _)| *by == Cause::CopiedFromSamples)
        });
        copied.map_or(value, |(_, value)| *value)
    };
    let share = piano.share(Read::AsAsked, made, |received| {
        shared(received, Quantity::Bore)
            .iter()
            .any(|(_, causes)| causes.contains(&Cause::CopiedFromSamples))
    });
    print(&format!("copied: {share}"));
    assert!(share >= 0.95, "{share}");
}

#[test]
fn one_head_off_is_named_and_no_section_with_it() {
    let piano = piano("upright");
    let victim = note("E4");
    for (quantity, off) in [(Quantity::Bore, -2.5), (Quantity::Mass, 1.2), (Quantity::Hole, 0.2)] {
        let made = |head: &Wanted, of: Quantity, value: f64| {
            value + if head.note == victim && of == quantity { off } else { 0.0 }
        };
        let share = piano.share(Read::All, made, |received| {
            let singles: Vec<Note> = received.singles.iter().map(|(note, _)| *note).collect();
            received.offsets.is_empty()
                && singles.contains(&victim)
                && received.sending.replace == [victim]
                && received.verdict == ReceivedVerdict::SendBackSome
        });
        print(&format!("{} {off}: {share}", quantity.name()));
        assert!(share >= 0.95, "{} {off}: {share}", quantity.name());
    }
}

/// Twelve heads in the middle of a section bored 1.5 mm short.
#[test]
fn a_stretch_of_heads_is_told_from_its_section() {
    let piano = piano("upright");
    let (first, last) = (note("A3"), note("G#4"));
    let made = |head: &Wanted, of: Quantity, value: f64| {
        let inside = first <= head.note && head.note <= last;
        value - if inside && of == Quantity::Bore { 1.5 } else { 0.0 }
    };
    let share = piano.share(Read::AsAsked, made, |received| {
        let near = |a: Note, b: Note| a.key().abs_diff(b.key()) <= 2;
        matches!(shared(received, Quantity::Bore).as_slice(), [(Whom::Notes(from, to), _)]
            if near(*from, first) && near(*to, last))
    });
    print(&format!("stretch: {share}"));
    assert!(share >= 0.9, "{share}");
}

#[test]
fn heads_without_a_row_are_counted_as_missing() {
    let piano = piano("grand");
    let mut rows = set(0, &piano.wanted, (Maker::Usual, Read::AsAsked), as_ordered);
    rows.retain(|row| row.note < note("C5") || row.note > note("D5"));
    let received = piano.judged(&rows);
    assert_eq!(received.missing, ["C5", "C#5", "D5"].map(note));
    assert_eq!(received.verdict, ReceivedVerdict::Incomplete);
    let none = piano.judged(&[]);
    assert_eq!((none.missing.len(), none.verdict), (85, ReceivedVerdict::NotMeasured));
}

/// By hand, relation 3 of the hammer's figure: 1 mm of bore is 0.42° at a hanging distance of 136.5 mm; the blow grows
/// by about what the crown lost; a gram of head is 0.5 to 2 g at an upright's key.
#[test]
fn what_an_offset_does_is_said_in_figures() {
    let piano = piano("upright");
    let made =
        |_: &Wanted, of: Quantity, value| value - if of == Quantity::Bore { 2.0 } else { 0.0 };
    let received = piano.judged(&set(1, &piano.wanted, (Maker::Usual, Read::All), made));
    let head = received.heads.iter().find(|head| head.note == note("E4")).expect("E4");
    let off = head.compared.iter().find(|one| one.quantity == Quantity::Bore).expect("bore").off();
    let rake = head.compared.iter().find(|one| one.quantity == Quantity::Rake).expect("rake").off();
    let effect = head.effect;
    let turned = feltwire::measure::to_degrees(effect.obliquity.expect("read").value)
        - feltwire::measure::to_degrees(effect.obliquity_ordered.expect("ordered").value);
    let by_hand = (off / 136.6).to_degrees() - rake;
    assert!((turned - by_hand).abs() < 0.05, "{turned} for {by_hand}");
    let blow = feltwire::measure::to_mm(effect.blow.expect("a blow").value);
    assert!((blow / -off - 1.0).abs() < 0.1, "{blow} for {off}");
}
