//! The pull of many strings together, with what their doubts have in common.

use super::cause::MATERIALS;
use super::{NoteStrings, Totals};
use crate::measure::{Measured, newtons, to_newtons};
use std::collections::BTreeMap;

/// Pull of all strings of `notes` with each note's tension taken `factor` times; notes whose factor is 0
/// are left out. One reading may stand behind many notes: each chance is added up over all of them
/// before anything is squared.
pub fn pull(notes: &[NoteStrings], factor: impl Fn(&NoteStrings) -> f64) -> Totals {
    let mut sum = 0.0;
    let mut chances: BTreeMap<usize, f64> = BTreeMap::new();
    let mut material = [0.0; MATERIALS];
    let (mut strings, mut notes_unknown) = (0, 0);
    for entry in notes {
        let factor = factor(entry);
        if factor == 0.0 {
            continue;
        }
        let (Some(string), Some(count)) = (&entry.string, entry.strings) else {
            notes_unknown += 1;
            continue;
        };
        strings += usize::from(count);
        // One reading stands for the unison, so its doubt counts for each of its strings.
        let pull = factor * f64::from(count) * to_newtons(string.tension.value);
        sum += pull;
        for share in string.tension_shares.iter() {
            *chances.entry(share.chance).or_default() += pull * share.moves;
        }
        for (sum, part) in material.iter_mut().zip(string.doubts.tension.material) {
            *sum += pull * part;
        }
    }
    let norm = |parts: &mut dyn Iterator<Item = f64>| parts.map(|p| p * p).sum::<f64>().sqrt();
    Totals {
        tension: Measured::new(newtons(sum), newtons(norm(&mut chances.into_values()))),
        tension_material: newtons(norm(&mut material.into_iter())),
        strings,
        notes_unknown,
    }
}
