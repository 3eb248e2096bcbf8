//! Readings along a section carried to the notes between and beyond them, with what their doubts have
//! in common.

use super::chance::{Chances, Shared, Shares};
use crate::instrument::Tool;
use crate::measure::trend::{Point, Prior, Trend};
use crate::measure::{Length, Measured, Note, mm, to_mm};

/// What is read along a section.
pub(super) struct Along<'a> {
    /// Its name, as part of the names of its chances.
    pub what: &'a str,
    /// With what it is read.
    pub tool: Tool,
    /// What its logarithm does along the keys.
    pub prior: Prior,
    /// The readings.
    pub read: &'a [(Note, Measured<Length>)],
}

impl Along<'_> {
    /// What is believed at each of `wanted`, from the bass; `None` without any reading.
    ///
    /// The curve averages the scatter of the readings; what the tool is off alike it keeps.
    pub fn at(
        &self,
        wanted: &[Note],
        chances: &mut Chances,
    ) -> Option<Vec<(Measured<Length>, Shares)>> {
        let mut read = self.read.to_vec();
        read.sort_by_key(|(note, _)| *note);
        let parts: Vec<(f64, f64)> = read
            .iter()
            .map(|&(_, length)| {
                let (alike, own) = chances.split(self.tool, length);
                (alike / length.value.value, own / length.value.value)
            })
            .collect();
        let points = read
            .iter()
            .zip(&parts)
            .map(|(&(note, length), &(_, own))| Point {
                at: f64::from(note.key()),
                value: to_mm(length.value).ln(),
                sd: own,
            })
            .collect();
        let places: Vec<f64> = wanted.iter().map(|note| f64::from(note.key())).collect();
        let joint = Trend::through(points, self.prior)?.jointly(&places);
        let believed = |i: usize| {
            let length = mm(joint.curve[i].value.exp());
            let mut shares = Shares::default();
            let weighed = |part: fn(&(f64, f64)) -> f64| {
                joint.shares[i].iter().zip(&parts).map(move |(share, parts)| share * part(parts))
            };
            shares.push(Shared::from(self.tool) as usize, weighed(|parts| parts.0).sum());
            for ((note, _), moves) in read.iter().zip(weighed(|parts| parts.1)) {
                shares.push(chances.named(format!("{} {note}", self.what)), moves);
            }
            for (note, &moves) in wanted.iter().zip(&joint.open[i]) {
                shares.push(chances.named(format!("{} about {note}", self.what)), moves);
            }
            let shares = shares.without_crumbs().times(length.value);
            let sd = mm(1e3 * shares.sd());
            (Measured::new(length, sd), shares)
        };
        Some((0..wanted.len()).map(believed).collect())
    }
}
