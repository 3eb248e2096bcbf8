//! Tuning pins: how many are loose, how sure that is, and how many more readings settle it.
//!
//! k of n pins read are loose. The share in the region is known to an exact binomial interval
//! (C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404): the shares that would give k or more, and
//! k or fewer, with a chance of 5 % each. So 2 of 5 is 8–81 % and 0 of 20 is 0–14 %.

use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use super::verdict::PinVerdict;
use crate::instrument::{About, PinRegion, State};
use crate::measure::{
    Length, Piece, Sentence, mm, newton_metres, number, share, to_mm, to_newton_metres,
};
use crate::sentence;
use statrs::distribution::{Beta, ContinuousCDF};

/// The exact interval of a share of which `loose` of `read` were seen, `tail` left out at each end.
///
/// ```
/// use feltwire::judgement::pins::interval;
/// let (low, high) = interval(2, 5, 0.05);
/// assert!((low - 0.0764).abs() < 5e-5 && (high - 0.8107).abs() < 5e-5);
/// assert!((interval(0, 20, 0.05).1 - (1.0 - 0.05_f64.powf(1.0 / 20.0))).abs() < 1e-9);
/// ```
pub fn interval(loose: usize, read: usize, tail: f64) -> (f64, f64) {
    let (k, n) = (loose.min(read) as f64, read as f64);
    let quantile = |at: f64, a: f64, b: f64| Beta::new(a, b).map(|beta| beta.inverse_cdf(at));
    let low = if loose == 0 { 0.0 } else { quantile(tail, k, n - k + 1.0).unwrap_or(0.0) };
    let high =
        if loose >= read { 1.0 } else { quantile(1.0 - tail, k + 1.0, n - k).unwrap_or(1.0) };
    (low, high)
}

/// Readings of one region, counted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PinCount {
    pub region: String,
    pub read: usize,
    pub loose: usize,
    pub gone: usize,
    /// Least torque read, N m.
    pub least: Option<f64>,
    /// Mean torque, N m.
    pub mean: Option<f64>,
    pub pin: Option<Length>,
}

impl PinCount {
    pub fn of(region: &PinRegion, limits: &Limits) -> Self {
        let torques: Vec<f64> = region.torques.iter().copied().map(to_newton_metres).collect();
        let below = |key| torques.iter().filter(|t| **t < limits.value(key)).count();
        Self {
            region: region.region.clone(),
            read: torques.len(),
            loose: below(LimitKey::PinLoose),
            gone: below(LimitKey::PinUnreliable),
            least: torques.iter().copied().reduce(f64::min),
            mean: (!torques.is_empty()).then(|| torques.iter().sum::<f64>() / torques.len() as f64),
            pin: region.pin,
        }
    }
}

/// Whether `loose` of `read` say enough. A dozen in a region speak for it; fewer do when they rule out
/// that more than half are loose, or, with more than half of them loose, that it is only a few. So more
/// loose pins among as many never turn "not enough" into "leave the strings on".
fn settled(loose: usize, read: usize, limits: &Limits) -> bool {
    if read == 0 {
        return false;
    }
    if read as f64 >= limits.value(LimitKey::PinsEnough) {
        return true;
    }
    let (low, high) = interval(loose, read, limits.value(LimitKey::PinTail));
    let part = |key| limits.value(key) / 100.0;
    let half = part(LimitKey::PinsHalf);
    high < half || (loose as f64 > half * read as f64 && low > part(LimitKey::PinsFew))
}

/// How many more readings settle it, however they turn out, in whole batches; 0 when it is settled.
pub(crate) fn readings_needed(count: &PinCount, limits: &Limits) -> usize {
    if settled(count.loose, count.read, limits) {
        return 0;
    }
    let batch = (limits.value(LimitKey::PinsBatch) as usize).max(1);
    if count.read == 0 {
        return batch;
    }
    let most = limits.value(LimitKey::PinsEnough) as usize;
    let more = (1..most).find(|more| {
        (0..=*more).all(|loose| settled(count.loose + loose, count.read + more, limits))
    });
    more.unwrap_or(most).next_multiple_of(batch)
}

/// What else bears on the pins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PinsBeside {
    pub block: State,
    /// Readings over the whole block, when not one of them is loose.
    pub none_loose_of: Option<usize>,
    /// Nothing that cannot be undone.
    pub heritage: bool,
    /// Performed on: holes are not treated.
    pub stage: bool,
}

/// The verdict on a region from what was read; `NotMeasured` when that is too little.
pub(crate) fn verdict(count: &PinCount, beside: &PinsBeside, limits: &Limits) -> PinVerdict {
    if beside.block == State::Failed && !beside.heritage {
        return PinVerdict::NewBlock;
    }
    if count.read == 0 {
        return PinVerdict::NotMeasured;
    }
    let pooled = beside.none_loose_of.is_some_and(|read| settled(0, read, limits));
    if !pooled && !settled(count.loose, count.read, limits) {
        return PinVerdict::NotMeasured;
    }
    let part = |of: usize| of as f64 / count.read as f64;
    by_share(part(count.loose), part(count.gone), count.pin, beside, limits)
}

/// The verdict when the shares are known.
pub(crate) fn by_share(
    loose: f64,
    gone: f64,
    pin: Option<Length>,
    beside: &PinsBeside,
    limits: &Limits,
) -> PinVerdict {
    let part = |key| limits.value(key) / 100.0;
    if loose <= 0.0 {
        return PinVerdict::Leave;
    }
    if beside.heritage || loose <= part(LimitKey::PinsTreat) {
        return PinVerdict::Single;
    }
    if gone > part(LimitKey::PinsGone) {
        return PinVerdict::NewBlock;
    }
    if loose <= part(LimitKey::PinsHalf) && !beside.stage {
        return PinVerdict::Treat;
    }
    let largest = pin.is_some_and(|pin| to_mm(pin) >= limits.value(LimitKey::PinLargest));
    if largest { PinVerdict::NewBlock } else { PinVerdict::NextSize }
}

/// Whether so many are loose that, in an instrument where nothing may be changed for good, nothing
/// is pulled up.
pub(crate) fn hold_too_little(count: &PinCount, limits: &Limits) -> bool {
    settled(count.loose, count.read, limits)
        && count.loose as f64 > limits.value(LimitKey::PinsHalf) / 100.0 * count.read as f64
}

/// The finding on a region's pins.
pub(crate) fn finding(
    count: &PinCount,
    verdict: PinVerdict,
    beside: &PinsBeside,
    limits: &Limits,
) -> Finding {
    let about = About::Section(count.region.clone());
    let good = limits.value(LimitKey::PinGood);
    if count.read == 0 {
        let why = sentence![format!("no pin of the region {} was read", count.region)];
        return Finding::new(FindingKind::Pins, about, Weighs::Decides, why);
    }
    let weighs = match verdict {
        PinVerdict::NotMeasured | PinVerdict::NextSize | PinVerdict::NewBlock => Weighs::Decides,
        PinVerdict::Treat | PinVerdict::Single => Weighs::Watch,
        PinVerdict::Leave if count.mean.is_some_and(|mean| mean < good) => Weighs::Watch,
        PinVerdict::Leave => Weighs::Keeps,
    };
    let (low, high) = interval(count.loose, count.read, limits.value(LimitKey::PinTail));
    let value = Figure::new(100.0 * count.loose as f64 / count.read as f64, LimitUnit::Percent)
        .between(100.0 * low, 100.0 * high);
    Finding::new(FindingKind::Pins, about, weighs, words(count, (low, high), limits))
        .value(value)
        .limit(limits.limit(held_against(verdict)))
        .step(torques(count, limits))
        .step(next(count, verdict, beside, limits))
}

/// The share of loose pins that a verdict was held against.
fn held_against(verdict: PinVerdict) -> LimitKey {
    match verdict {
        PinVerdict::Leave | PinVerdict::Single => LimitKey::PinsTreat,
        PinVerdict::Treat | PinVerdict::NextSize | PinVerdict::NotMeasured => LimitKey::PinsHalf,
        PinVerdict::NewBlock => LimitKey::PinsGone,
    }
}

fn words(count: &PinCount, (low, high): (f64, f64), limits: &Limits) -> Sentence {
    let mut said = sentence![
        Piece::Many(count.loose),
        " of ",
        count.read,
        format!(
            " pins read in the region {} {} below ",
            count.region,
            if count.loose < 2 { "turns" } else { "turn" }
        ),
        newton_metres(limits.value(LimitKey::PinLoose)),
        "; of all pins there it may be ",
        share(low),
        " to ",
        share(high)
    ];
    if count.gone > 0 {
        said.extend(sentence![
            "; ",
            count.gone,
            if count.gone == 1 { " turns below " } else { " turn below " },
            newton_metres(limits.value(LimitKey::PinUnreliable)),
            " and will not hold"
        ]);
    }
    said
}

fn torques(count: &PinCount, limits: &Limits) -> Sentence {
    let loose = limits.limit(LimitKey::PinLoose);
    match (count.least, count.mean) {
        (Some(least), Some(mean)) => sentence![
            "least torque ",
            newton_metres(least),
            ", mean ",
            newton_metres(mean),
            "; loose below ",
            newton_metres(loose.value),
            format!(" ({})", loose.source.text())
        ],
        _ => Sentence::default(),
    }
}

fn next(count: &PinCount, verdict: PinVerdict, beside: &PinsBeside, limits: &Limits) -> Sentence {
    match verdict {
        PinVerdict::NotMeasured => sentence![
            "not enough to tell single pins from a loose block: read ",
            readings_needed(count, limits),
            " more in this region, which settles it however they turn out"
        ],
        PinVerdict::Leave => match beside.none_loose_of {
            Some(read) if count.read < read && !settled(0, count.read, limits) => {
                sentence!["taken together with the other regions: none loose of ", read]
            }
            _ => "the pins stay as they are".into(),
        },
        PinVerdict::Single if beside.heritage => {
            "tap what is loose; nothing else that cannot be undone; ask a conservator".into()
        }
        PinVerdict::Single => "tap the loose ones, or replace them singly by the next size".into(),
        PinVerdict::Treat => {
            "treat the holes in place, with the strings on; that cannot be undone".into()
        }
        PinVerdict::NextSize => {
            "the next size throughout: the strings come off, new ones go on because of the pins"
                .into()
        }
        PinVerdict::NewBlock => new_block(count, beside, limits),
    }
}

fn new_block(count: &PinCount, beside: &PinsBeside, limits: &Limits) -> Sentence {
    let largest = mm(limits.value(LimitKey::PinLargest));
    match count.pin {
        _ if beside.block == State::Failed => "the block has failed: a new one".into(),
        Some(pin) if pin >= largest => sentence![
            "pins of ",
            pin,
            " are in already, no next size is left for this block: a new one"
        ],
        _ => sentence![
            "too many will not hold (",
            number(count.gone as f64),
            " of ",
            count.read,
            "): a new block"
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(loose: usize, read: usize) -> PinCount {
        PinCount { region: "bass".into(), read, loose, gone: 0, least: None, mean: None, pin: None }
    }

    #[test]
    fn both_printed_intervals_leave_out_five_percent_at_each_end() {
        // Design of the judgement: 2 loose of 5 is 8–81 %, 0 of 20 is 0–14 %, to the percent. With
        // 2.5 % at each end it would be 5–85 % and 0–17 %.
        let printed = |loose, read, tail| {
            let (low, high) = interval(loose, read, tail);
            ((100.0 * low).round(), (100.0 * high).round())
        };
        assert_eq!(printed(2, 5, 0.05), (8.0, 81.0));
        assert_eq!(printed(0, 20, 0.05), (0.0, 14.0));
        assert_eq!(printed(2, 5, 0.025), (5.0, 85.0));
        assert_eq!(printed(0, 20, 0.025), (0.0, 17.0));
    }

    #[test]
    fn the_interval_is_where_the_binomial_tails_hold_five_percent() {
        // Independent of the beta distribution: the binomial sums themselves.
        let at_least = |k: u64, n: u64, p: f64| -> f64 {
            (k..=n)
                .map(|j| {
                    let ways: f64 = (0..j).map(|i| (n - i) as f64 / (j - i) as f64).product();
                    ways * p.powi(j as i32) * (1.0 - p).powi((n - j) as i32)
                })
                .sum()
        };
        for (k, n) in [(1, 8), (2, 5), (3, 8), (6, 8), (7, 24)] {
            let (low, high) = interval(k as usize, n as usize, 0.05);
            assert!((at_least(k, n, low) - 0.05).abs() < 1e-7, "{k} of {n}");
            assert!((1.0 - at_least(k + 1, n, high) - 0.05).abs() < 1e-7, "{k} of {n}");
        }
    }

    #[test]
    fn two_loose_of_five_ask_for_eight_more() {
        let limits = Limits::default();
        assert_eq!(readings_needed(&count(2, 5), &limits), 8);
        assert_eq!(readings_needed(&count(0, 8), &limits), 0);
        assert_eq!(readings_needed(&count(6, 8), &limits), 0);
    }
}
