//! Hammers by marks, felt left and bore lost, head by head, and what that says of the set.

use super::finding::{Figure, Finding, FindingKind, Weighs};
use super::limit::{LimitKey, LimitUnit, Limits};
use super::verdict::HammerVerdict;
use crate::instrument::{About, HammerRow, Wear};
use crate::measure::{Length, Measured, Note, Sentence, mm, to_mm};
use crate::physics::hammer::wear;
use crate::sentence;

/// What one head needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum HeadState {
    /// Nothing, or cleaning and needling.
    Good,
    /// Marks, felt or bore to be watched.
    Watch,
    /// Its marks are deep and the felt allows reshaping.
    Reshape,
    /// Its marks are deep and the felt left was not read.
    FeltNotRead,
    /// To be refaced or replaced.
    Replace,
}

/// What was read of one head, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Head {
    pub note: Note,
    pub mark: Option<f64>,
    pub felt: Option<f64>,
    pub lost: Option<f64>,
    /// One standard deviation of the felt lost.
    pub lost_sd: f64,
}

impl Head {
    /// The head of a row, if anything of its wear was read.
    pub fn of(row: &HammerRow) -> Option<Self> {
        let lost = lost(row.wear.as_ref()).filter(|_| !row.filed);
        let head = Self {
            note: row.note,
            mark: row.mark.map(|mark| to_mm(mark.value)),
            felt: row.felt.map(|felt| to_mm(felt.value)),
            lost: lost.map(|lost| to_mm(lost.value)),
            lost_sd: lost.map_or(0.0, |lost| to_mm(lost.sd)),
        };
        (head.mark.is_some() || head.felt.is_some() || head.lost.is_some()).then_some(head)
    }

    /// What it needs.
    pub fn state(&self, limits: &Limits) -> HeadState {
        let (good, act) = felt_limits(self.note, limits);
        let over = |value: Option<f64>, key| value.is_some_and(|v| v > limits.value(key));
        let under = |key| self.felt.is_some_and(|felt| felt < limits.value(key));
        if under(act) || over(self.lost, LimitKey::BoreLostAct) {
            HeadState::Replace
        } else if over(self.mark, LimitKey::MarkAct) {
            if self.felt.is_some() { HeadState::Reshape } else { HeadState::FeltNotRead }
        } else if under(good)
            || over(self.mark, LimitKey::MarkGood)
            || over(self.lost, LimitKey::BoreLostGood)
        {
            HeadState::Watch
        } else {
            HeadState::Good
        }
    }
}

fn lost(wear: Option<&Wear>) -> Option<Measured<Length>> {
    let lost = match *wear? {
        Wear::Lost(lost) => return Some(lost),
        Wear::Flat { flat, crown_radius } => wear::from_flat(flat, crown_radius),
        Wear::Outline { flat, outline, depth } => wear::from_outline(flat, outline, depth),
    };
    lost.ok().map(|wear| wear.lost)
}

fn felt_limits(note: Note, limits: &Limits) -> (LimitKey, LimitKey) {
    let key = f64::from(note.key());
    if key <= limits.value(LimitKey::FeltBassTo) {
        (LimitKey::FeltGoodBass, LimitKey::FeltActBass)
    } else if key < limits.value(LimitKey::FeltTopFrom) {
        (LimitKey::FeltGoodMiddle, LimitKey::FeltActMiddle)
    } else {
        (LimitKey::FeltGoodTop, LimitKey::FeltActTop)
    }
}

/// The verdict on the set from the heads read.
pub(crate) fn verdict(heads: &[Head], heritage: bool, limits: &Limits) -> HammerVerdict {
    if (heads.len() as f64) < limits.value(LimitKey::HammersLeast) {
        return HammerVerdict::NotMeasured;
    }
    if heritage {
        return HammerVerdict::Needle;
    }
    let percent = |which: HeadState| {
        let count = heads.iter().filter(|head| head.state(limits) == which).count();
        100.0 * count as f64 / heads.len() as f64
    };
    let replace = percent(HeadState::Replace);
    let (reshape, unread) = (percent(HeadState::Reshape), percent(HeadState::FeltNotRead));
    if replace >= limits.value(LimitKey::HammersSet) {
        HammerVerdict::Set
    } else if replace > 0.0 {
        HammerVerdict::Some
    } else if reshape + unread < limits.value(LimitKey::HammersReshape) {
        HammerVerdict::Needle
    } else if unread > 0.0 {
        HammerVerdict::NotMeasured
    } else {
        HammerVerdict::Reshape
    }
}

/// The findings on the heads read: the worst mark, the least felt, the most bore lost.
pub(crate) fn findings(heads: &[Head], verdict: HammerVerdict, limits: &Limits) -> Vec<Finding> {
    let mut findings = Vec::new();
    let decides = |bad: bool| match (bad, verdict) {
        (true, HammerVerdict::Needle | HammerVerdict::NotMeasured) => Weighs::Watch,
        (true, _) => Weighs::Decides,
        (false, _) => Weighs::Keeps,
    };
    let most = |of: fn(&Head) -> Option<f64>| {
        heads
            .iter()
            .filter_map(|head| Some((head.note, of(head)?)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    };
    if let Some((note, mark)) = most(|head| head.mark) {
        let limit = limits.limit(LimitKey::MarkAct);
        let mut said = sentence!["the longest string marks are ", mm(mark), " at ", note];
        if mark > limit.value && verdict == HammerVerdict::Needle {
            said.push(", deep on too few heads to reshape the set");
        }
        findings.push(finding(said, mark, limit, decides(mark > limit.value)));
    }
    let worn = heads.iter().filter_map(|head| Some((head, head.lost?)));
    if let Some((head, lost)) = worn.max_by(|a, b| a.1.total_cmp(&b.1)) {
        let limit = limits.limit(LimitKey::BoreLostAct);
        let figure = Measured::new(mm(lost), mm(head.lost_sd));
        let said = sentence!["the most felt gone from a crown is ", figure, " at ", head.note];
        findings.push(finding(said, lost, limit, decides(lost > limit.value)));
    }
    if let Some((head, felt)) = least_felt(heads, limits) {
        let limit = limits.limit(felt_limits(head.note, limits).1);
        let said = felt_words(head.note, felt);
        findings.push(finding(said, felt, limit, decides(felt < limit.value)));
    }
    findings
}

fn finding(said: Sentence, value: f64, limit: &super::limit::Limit, weighs: Weighs) -> Finding {
    Finding::new(FindingKind::Hammers, About::Set, weighs, said)
        .value(Figure::new(value, LimitUnit::Millimetres))
        .limit(limit)
}

fn least_felt(heads: &[Head], limits: &Limits) -> Option<(Head, f64)> {
    let left = |head: &Head| {
        Some(head.felt? / limits.value(felt_limits(head.note, limits).1).max(f64::MIN_POSITIVE))
    };
    heads
        .iter()
        .filter_map(|head| Some((*head, head.felt?, left(head)?)))
        .min_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(head, felt, _)| (head, felt))
}

fn felt_words(note: Note, felt: f64) -> Sentence {
    sentence!["felt left over the moulding is shortest at ", note, ": ", mm(felt)]
}
