//! Heads that arrived, against the order: what is off, by how much, what it does, and what to do with the set.
//!
//! A set has two kinds of fault, and they are told apart: what all its heads, a section or a stretch share (an
//! allowance left out, a side angle of the wrong hand), and what is wrong with one head. Readings have errors of their
//! own: a head is off when it is beyond its tolerance by more than its reading explains; between the two
//! it is doubtful, and a finer reading would tell. What the order left to a sample is not judged.

mod bar;
mod effect;
mod fit;
mod group;
mod quantity;
mod verdict;
mod words;

pub use effect::Effect;
pub use quantity::Quantity;
pub use verdict::{Cure, ReceivedVerdict, Sending};

use super::limit::{LimitKey, Limits};
use crate::action::Action;
use crate::instrument::{HammerRow, Instrument, Warning};
use crate::measure::{Note, Sentence};
use bar::Bar;
use fit::Point;
use group::{Group, Lot};

/// A mistake that explains what a number of heads share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cause {
    /// Bored without the felt allowed for later filing.
    AllowanceLeftOut,
    /// That felt added twice.
    AllowanceTwice,
    /// Bored as the worn samples are.
    CopiedFromSamples,
    /// Made as ordered for another section, by index.
    OtherSection(usize),
    /// The section counted from its other end.
    WrongEnd,
    /// Leaning to the other side.
    Mirrored,
    /// Not leaning at all.
    Square,
    /// Turned by the whole splay of the strings.
    FullSplay,
}

impl Cause {
    /// Its name for machines.
    pub fn name(self) -> &'static str {
        match self {
            Self::AllowanceLeftOut => "allowance_left_out",
            Self::AllowanceTwice => "allowance_twice",
            Self::CopiedFromSamples => "copied_from_worn_samples",
            Self::OtherSection(_) => "other_section",
            Self::WrongEnd => "counted_from_wrong_end",
            Self::Mirrored => "wrong_hand",
            Self::Square => "square",
            Self::FullSplay => "full_splay",
        }
    }
}

/// What was ordered of one head in one respect, in the quantity's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// In which respect.
    pub quantity: Quantity,
    /// As ordered.
    pub value: f64,
    /// Its doubt, where it was read of a sample that the maker has in hand; zero where the order's figure rules.
    pub doubt: f64,
    /// What it would be under each mistake that makers make.
    pub otherwise: Vec<(Cause, f64)>,
}

impl Target {
    fn under(&self, cause: Cause) -> Option<f64> {
        self.otherwise.iter().find(|(of, _)| *of == cause).map(|(_, value)| *value)
    }
}

/// What was ordered of one head.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Its note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Each respect in which a figure was ordered.
    pub targets: Vec<Target>,
}

impl Wanted {
    /// What was ordered of it in one respect.
    pub fn target(&self, quantity: Quantity) -> Option<&Target> {
        self.targets.iter().find(|target| target.quantity == quantity)
    }
}

/// Of whom something holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whom {
    /// The whole set.
    Set,
    /// A section, by index.
    Section(usize),
    /// The heads from one note to another, inside a section.
    Notes(Note, Note),
}

/// What a number of heads share.
#[derive(Debug, Clone, PartialEq)]
pub struct Offset {
    /// In which respect.
    pub quantity: Quantity,
    /// Which heads.
    pub whom: Whom,
    /// How many of them were read.
    pub heads: usize,
    /// As read less as ordered, on the average, in the quantity's unit.
    pub off: f64,
    /// Standard error of that.
    pub error: f64,
    /// Every head by about as much; else it changes from head to head.
    pub even: bool,
    /// The head that is off most, and by how much.
    pub worst: Option<(Note, f64)>,
    /// Index, among those ordered, of a head that shows it: one in the middle, or the one off most.
    example: usize,
    /// Mistakes that explain it, the likeliest first; empty when none of those known does.
    pub causes: Vec<Cause>,
    /// What puts it right.
    pub cure: Cure,
}

/// How one reading stands to what was ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Within the tolerance.
    Within,
    /// Beyond it, but by no more than the reading may be wrong.
    Doubtful,
    /// Beyond it by more than a reading is often wrong, though among so many some are: to be repeated.
    ReadAgain,
    /// Off, as all of its section or set are.
    Shared,
    /// Off by itself.
    Off,
}

/// One reading of one head beside what was ordered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// In which respect.
    pub quantity: Quantity,
    /// As ordered.
    pub ordered: f64,
    /// As read.
    pub read: f64,
    /// One standard deviation of the difference.
    pub doubt: f64,
    /// What it may be off, either way: the tolerance, and half the step to which the order is written.
    pub tolerance: f64,
    /// How it stands.
    pub standing: Standing,
}

impl Compared {
    /// As read less as ordered.
    pub fn off(&self) -> f64 {
        self.read - self.ordered
    }
}

/// One head that arrived.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// Its note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// Its readings of which a figure was ordered.
    pub compared: Vec<Compared>,
    /// What it will do as it is.
    pub effect: Effect,
}

/// One respect over all heads read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// In which respect.
    pub quantity: Quantity,
    /// How many heads were read and had a figure ordered.
    pub heads: usize,
    /// Mean of as read less as ordered.
    pub mean: f64,
    /// The head that is off most, and by how much.
    pub worst: (Note, f64),
    /// The tolerance.
    pub tolerance: f64,
    /// Readings within it, doubtful, and off (by themselves or with others).
    pub counts: [usize; 3],
}

/// Everything that is said of heads that arrived.
#[derive(Debug, Clone, PartialEq)]
pub struct Received {
    /// Every head that has a row, from the bass.
    pub heads: Vec<Head>,
    /// Notes without a row.
    pub missing: Vec<Note>,
    /// Each respect that was read.
    pub summaries: Vec<Summary>,
    /// What the set, a section or a stretch shares.
    pub offsets: Vec<Offset>,
    /// The same in words, with what it does and what to do.
    pub said: Vec<Sentence>,
    /// Heads off by themselves, in words, from the bass.
    pub singles: Vec<(Note, Sentence)>,
    /// What to do with the set.
    pub verdict: ReceivedVerdict,
    /// Which heads go back, are bored again, or are worked on here.
    pub sending: Sending,
    /// Why, and what else to know.
    pub why: Vec<Sentence>,
    /// What the table's reader had to say.
    pub warnings: Vec<Warning>,
}

/// What a judgement of heads looks at.
struct Look<'a> {
    instrument: &'a Instrument,
    action: &'a Action,
    wanted: &'a [Wanted],
    rows: &'a [HammerRow],
    limits: &'a Limits,
}

/// Judges the heads of `rows` against those `wanted`.
pub fn judge(
    instrument: &Instrument,
    action: &Action,
    wanted: &[Wanted],
    rows: &[HammerRow],
    limits: &Limits,
) -> Received {
    let look = Look { instrument, action, wanted, rows, limits };
    let mut heads = look.heads();
    let mut offsets = Vec::new();
    let mut summaries = Vec::new();
    let readings = Quantity::ALL.map(|quantity| look.points(quantity));
    let bar = Bar::of(&readings, limits);
    for (quantity, points) in Quantity::ALL.into_iter().zip(&readings) {
        let groups = look.lot(quantity, points, bar).groups();
        look.stand((quantity, points), &groups, bar, &mut heads);
        summaries.extend(summary(quantity, &heads));
        offsets.extend(groups.into_iter().map(|group| group.offset));
    }

    let missing: Vec<Note> = wanted
        .iter()
        .map(|wanted| wanted.note)
        .filter(|note| !rows.iter().any(|row| row.note == *note))
        .collect();
    let (verdict, sending) = verdict::weigh(&look, &heads, &missing, &offsets);
    Received {
        said: offsets.iter().map(|offset| words::offset(&look, offset)).collect(),
        singles: words::singles(&look, &heads),
        why: words::why(&look, &heads, &missing, (&summaries, &offsets), verdict, &sending),
        heads,
        missing,
        summaries,
        offsets,
        verdict,
        sending,
        warnings: Vec::new(),
    }
}

impl Received {
    /// Readings to be repeated before the set is hung, from the bass.
    pub fn read_again(&self) -> Vec<(Note, Quantity)> {
        read_again(&self.heads)
    }
}

fn read_again(heads: &[Head]) -> Vec<(Note, Quantity)> {
    heads
        .iter()
        .flat_map(|head| head.compared.iter().map(|compared| (head.note, compared)))
        .filter(|(_, compared)| compared.standing == Standing::ReadAgain)
        .map(|(note, compared)| (note, compared.quantity))
        .collect()
}

impl Look<'_> {
    fn lot<'l>(&'l self, quantity: Quantity, points: &'l [Point], bar: Bar) -> Lot<'l> {
        let most_filed = self.limits.value(LimitKey::HammerAllowance);
        Lot { quantity, wanted: self.wanted, points, bar, most_filed }
    }

    /// Every row whose note was ordered, from the bass, nothing compared yet.
    fn heads(&self) -> Vec<Head> {
        let row = |note| self.rows.iter().find(|row| row.note == note);
        let arrived = self.wanted.iter().filter_map(|wanted| Some((wanted, row(wanted.note)?)));
        arrived
            .map(|(wanted, row)| Head {
                note: wanted.note,
                section: wanted.section,
                compared: Vec::new(),
                effect: effect::of_head(self, wanted, row),
            })
            .collect()
    }

    /// The readings of one respect of which a figure was ordered, from the bass.
    fn points(&self, quantity: Quantity) -> Vec<Point> {
        let unstated = quantity.doubt(&self.instrument.reading_error, self.limits);
        let point = |(index, wanted): (usize, &Wanted)| {
            let target = wanted.target(quantity)?;
            let row = self.rows.iter().find(|row| row.note == wanted.note)?;
            let (read, stated) = quantity.read(row)?;
            Some(Point {
                wanted: index,
                section: wanted.section,
                ordered: target.value,
                read,
                own: if stated > 0.0 { stated } else { unstated },
                shared: target.doubt,
                kept: quantity.tolerance(self.limits),
                written: quantity.written(self.limits),
            })
        };
        self.wanted.iter().enumerate().filter_map(point).collect()
    }

    /// Says how each reading stands, and writes it to its head.
    fn stand(
        &self,
        (quantity, points): (Quantity, &[Point]),
        groups: &[Group],
        bar: Bar,
        heads: &mut [Head],
    ) {
        for (index, point) in points.iter().enumerate() {
            let group = groups.iter().find(|group| group.members.contains(&index));
            let beyond = point.off().abs() - point.tolerance();
            let alone = match group {
                Some(group) => point.beyond(group.residual(point, self.wanted), bar.single),
                None => beyond > bar.single * point.doubt(),
            };
            let standing = match (beyond <= 0.0, alone, group) {
                (true, ..) => Standing::Within,
                (false, true, _) => Standing::Off,
                (false, false, Some(_)) => Standing::Shared,
                (false, false, None) if beyond > bar.again * point.doubt() => Standing::ReadAgain,
                (false, false, None) => Standing::Doubtful,
            };
            let note = self.wanted[point.wanted].note;
            let Some(head) = heads.iter_mut().find(|head| head.note == note) else { continue };
            head.compared.push(Compared {
                quantity,
                ordered: point.ordered,
                read: point.read,
                doubt: point.doubt(),
                tolerance: point.tolerance(),
                standing,
            });
        }
    }
}

fn summary(quantity: Quantity, heads: &[Head]) -> Option<Summary> {
    let read: Vec<(Note, Compared)> = heads
        .iter()
        .flat_map(|head| head.compared.iter().map(|compared| (head.note, *compared)))
        .filter(|(_, compared)| compared.quantity == quantity)
        .collect();
    let worst = read.iter().max_by(|a, b| a.1.off().abs().total_cmp(&b.1.off().abs()))?;
    let count = |of: &[Standing]| {
        read.iter().filter(|(_, compared)| of.contains(&compared.standing)).count()
    };
    Some(Summary {
        quantity,
        heads: read.len(),
        mean: read.iter().map(|(_, compared)| compared.off()).sum::<f64>() / read.len() as f64,
        worst: (worst.0, worst.1.off()),
        tolerance: worst.1.tolerance,
        counts: [
            count(&[Standing::Within]),
            count(&[Standing::Doubtful, Standing::ReadAgain]),
            count(&[Standing::Shared, Standing::Off]),
        ],
    })
}
