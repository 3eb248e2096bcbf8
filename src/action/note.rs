//! The hammer of every note, put together.

use super::bench::Bench;
use super::bore::{self, BoreFigures};
use super::figure::{from_grams, from_mm, in_grams};
use super::sample::Sample;
use super::side::{self, SideAngle};
use super::strike::StrikeFigures;
use super::{Parts, Remarks, swing, touch};
use crate::instrument::{About, Height, Instrument, Kind};
use crate::measure::{
    Angle, Length, Mass, Measured, Note, mm, radians, to_g_per_m, to_grams, to_metres, to_mm,
    to_radians,
};
use crate::physics::hammer::geometry::{Head, Station};
use crate::physics::hammer::strike::mass_ratio;
use crate::scale::NoteStrings;
use crate::sentence;

/// The hammer of one note, as ordered.
#[derive(Debug, Clone)]
pub struct NoteHammer {
    /// The note.
    pub note: Note,
    /// Index of its section.
    pub section: usize,
    /// What is believed of its bore, allowance not included.
    pub bore: Option<BoreFigures>,
    /// The bore as ordered, allowance included.
    pub bore_ordered: Option<Measured<Length>>,
    /// Rake decided.
    pub rake: Angle,
    /// Where its head stands, by the bore believed; `None` without the distance from the centre pin to the head.
    pub station: Option<Station>,
    /// Obliquity to expect from the head as ordered; with an allowance it strikes a little over-long.
    pub obliquity: Option<Measured<Angle>>,
    /// Side angle.
    pub side: Option<SideAngle>,
    /// Where it strikes.
    pub strike: Option<StrikeFigures>,
    /// Mass of the head.
    pub head_mass: Option<Measured<Mass>>,
    /// That mass over the mass of all strings of the unison.
    pub mass_ratio: Option<Measured<f64>>,
}

/// Fewest samples through which a curve of masses is drawn.
const FEWEST_MASSES: usize = 3;

/// Every note of the compass, from the bass.
pub(super) fn all(parts: &Parts) -> Vec<NoteHammer> {
    (0..parts.benches.len()).flat_map(|section| of_section(parts, section)).collect()
}

fn of_section(parts: &Parts, section: usize) -> Vec<NoteHammer> {
    let (instrument, bench) = (parts.instrument, &parts.benches[section]);
    let own: Vec<Sample> =
        parts.samples.iter().filter(|sample| sample.section == section).cloned().collect();
    let bores = bore::of_section(instrument, bench, &own, &parts.agreements[section]);
    let sides = side::of_section(instrument, section, bench);
    let allowance = instrument.hammers.allowance.unwrap_or(mm(0.0));
    bench
        .notes
        .notes()
        .zip(bores)
        .enumerate()
        .map(|(at, (note, bore))| {
            let ordered =
                bore.map(|bore| Measured::new(bore.square.value + allowance, bore.square.sd));
            let strings = parts.scale.note(note);
            let head_mass = head_mass(parts, note);
            NoteHammer {
                note,
                section,
                bore,
                bore_ordered: ordered,
                rake: bench.rake.angle,
                station: bore.and_then(|bore| bench.station(note, bore.square.value)),
                obliquity: bore.and_then(|bore| obliquity(bench, note, &bore, allowance)),
                side: sides.as_ref().map(|sides| sides[at]),
                strike: bore.zip(ordered).and_then(|(bore, ordered)| {
                    let (kind, square) = (instrument.kind, bore.square);
                    parts.strike.at(kind, bench, square, ordered.value, strings, note)
                }),
                head_mass,
                mass_ratio: head_mass.zip(strings).and_then(|(mass, strings)| ratio(mass, strings)),
            }
        })
        .collect()
}

/// Obliquity of the head as ordered: none but for the allowance, give or take the bore's doubt.
fn obliquity(
    bench: &Bench,
    note: Note,
    bore: &BoreFigures,
    allowance: Length,
) -> Option<Measured<Angle>> {
    let station = bench.station(note, bore.square.value)?;
    let head = Head::new(bore.square.value + allowance, bench.rake.angle, mm(0.0)).ok()?;
    let slope = station.contact_slopes(&head).ok()?.obliquity.per_mm_of_bore;
    let sd = to_radians(slope) * to_mm(bore.square.sd);
    Some(Measured::new(station.contact(&head).ok()?.obliquity, radians(sd)))
}

/// From the curve; with too few samples for one, only where a sample was weighed.
fn head_mass(parts: &Parts, note: Note) -> Option<Measured<Mass>> {
    let curve = parts.masses?;
    if curve.len() >= FEWEST_MASSES {
        return Some(from_grams(curve.at(note))).filter(|mass| to_grams(mass.value) > 0.0);
    }
    let sample = parts.samples.iter().find(|sample| sample.note == note)?;
    sample.mass.map(|mass| mass.as_new)
}

/// Head over strings of the unison. A wound string is taken wound over its whole length.
fn ratio(head: Measured<Mass>, strings: &NoteStrings) -> Option<Measured<f64>> {
    let (string, count) = (strings.string.as_ref()?, strings.strings?);
    let unison = string.mass_per_length.value * string.length.value * f64::from(count);
    let value = mass_ratio(head.value, unison).ok()?;
    let of_strings = (to_g_per_m(string.mass_per_length.sd)
        / to_g_per_m(string.mass_per_length.value))
    .hypot(to_metres(string.length.sd) / to_metres(string.length.value));
    let (mass, sd) = in_grams(head);
    Some(Measured::new(value, value * (sd / mass).hypot(of_strings)))
}

/// What a head ordered at a sample's note means there: swing, gaps, touch.
pub(super) fn at_samples(
    instrument: &Instrument,
    benches: &[Bench],
    notes: &[NoteHammer],
    samples: &mut [Sample],
) {
    for sample in samples {
        let Some(entry) = notes.iter().find(|entry| entry.note == sample.note) else { continue };
        let (row, bench) = (&instrument.hammers.rows[sample.row], &benches[sample.section]);
        let square = entry.bore.map(|bore| bore.square.value);
        let ordered = entry.bore_ordered.map(|bore| bore.value);
        sample.swing = square
            .zip(ordered)
            .and_then(|(square, bore)| swing::figures(row, sample, bore, square, bench));
        let side = entry.side.map(|side| side.angle.value);
        sample.gaps = side::gaps(row, sample, side, ordered, bench);
        sample.touch = touch::figures(row, sample, instrument.kind, bench, square, entry.head_mass);
    }
}

/// What these figures leave out, and which reading would give it.
pub(super) fn say(parts: &Parts, notes: &[NoteHammer], remarks: &mut Remarks) {
    for (index, section) in parts.instrument.sections.iter().enumerate() {
        let about = || About::Section(section.name.clone());
        let own = || notes.iter().filter(|entry| entry.section == index);
        if own().all(|entry| entry.bore.is_none()) {
            remarks.miss(
                "bore_mm",
                about(),
                sentence![format!(
                    "no height of the string was read in the section {}: hold the shank parallel to the strings and \
                     read from its axis to the string (shank_to_string_mm) at its first, middle and last note",
                    section.name
                )],
            );
        } else if own().all(|entry| entry.obliquity.is_none()) {
            remarks.miss(
                "obliquity_deg",
                about(),
                sentence![format!(
                    "no distance from hammer centre pin to head was read in the section {}: centre_to_head_mm of one \
                     hammer gives contact angle and strike point",
                    section.name
                )],
            );
        }
        if own().all(|entry| entry.side.is_none()) {
            remarks.miss(
                "side_angle_deg",
                about(),
                sentence![format!(
                    "neither side angle nor splay was read in the section {}: lay a bevel on a sample in plan \
                     (side_angle_deg)",
                    section.name
                )],
            );
        }
    }
    of_the_set(parts, notes, remarks);
    assumed(parts.instrument, remarks);
}

fn of_the_set(parts: &Parts, notes: &[NoteHammer], remarks: &mut Remarks) {
    let curve = parts.masses.map_or(0, super::curve::Curve::len);
    if curve < FEWEST_MASSES {
        remarks.miss(
            "head_mass_g",
            About::Set,
            sentence![
                "the mass of every head takes at least ",
                FEWEST_MASSES,
                " samples weighed over the compass, this survey has ",
                curve,
                ": weigh heads alone (head_mass_g), or on their shanks (end_weight_g) and a bare shank alike (shank_end_g)"
            ],
        );
    }
    let unknown: Vec<Note> = notes
        .iter()
        .filter(|entry| entry.head_mass.is_some() && entry.mass_ratio.is_none())
        .map(|entry| entry.note)
        .collect();
    if let (Some(first), Some(last)) = (unknown.first(), unknown.last()) {
        remarks.miss(
            "mass_ratio",
            About::Set,
            sentence![
                "hammer mass over string mass needs string count, length, wire and winding: not known of ",
                unknown.len(),
                " notes from ",
                *first,
                " to ",
                *last
            ],
        );
    }
    if !parts.strike.knows_strike() && !notes.is_empty() {
        remarks.miss(
            "strike_fraction",
            About::Set,
            sentence![
                "no strike point was read with its string: measure from the string's end to the strike point \
                 (strike_mm) at a handful of notes"
            ],
        );
    } else if !parts.strike.knows_wear() {
        remarks.miss(
            "strike_shift_mm",
            About::Set,
            sentence![
                "no sample says how much felt is gone (flat_mm with crown_radius_mm or an outline, or lost_mm): strike \
                 points are given as found, what wear has moved them is in their doubt"
            ],
        );
    }
}

/// What was taken as exact or as none because a grand's bench reading says nothing of it.
fn assumed(instrument: &Instrument, remarks: &mut Remarks) {
    let rises = || {
        instrument.hammers.rows.iter().filter_map(|row| match row.height {
            Some(Height::Keybed { string_rise, centre_to_strike, .. }) => {
                Some((string_rise, centre_to_strike))
            }
            _ => None,
        })
    };
    let Some((_, across)) = rises().next() else { return };
    if instrument.kind == Kind::Grand {
        remarks.warn(
            "grand_offset_zero",
            About::Set,
            sentence![
                "heights from the keybed say nothing of the shank's offset: the shank is taken to point at the hammer \
                 centre pin, and every millimetre that it does not changes the bore by as much"
            ],
        );
    }
    if rises().any(|(rise, _)| to_radians(rise.sd) == 0.0) {
        let tenth = 0.1_f64.to_radians();
        remarks.warn(
            "rise_taken_exact",
            About::Set,
            sentence![
                "the rise of the strings was taken as exact, for no error of it is stated: a tenth of a degree changes \
                 the bore by ",
                from_mm((to_mm(across.value) * tenth, to_mm(across.sd) * tenth))
            ],
        );
    }
}
