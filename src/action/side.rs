//! How the heads stand in plan: side angle, and the gaps that it leaves.

use super::bench::{Bench, rows_of};
use super::curve::Curve;
use super::figure::{Figure, in_mm};
use super::sample::Sample;
use super::usual::{anywhere, spread};
use crate::instrument::{HammerRow, Instrument};
use crate::measure::trend::Prior;
use crate::measure::{Angle, Length, Measured, Note, degrees, mm, to_degrees, to_mm};
use crate::physics::hammer::geometry::Head;
use crate::physics::hammer::sideways::{Neighbours, Pass, face_angles};
use crate::stock::Applies;

/// On what a side angle rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideFrom {
    /// The samples: what does not wear is copied.
    Samples,
    /// The splay of the strings, and the share of it that is usual.
    Splay,
}

/// The side angle of the heads of one note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideAngle {
    /// Hole to face, positive when the end away from the hammer centre leans to the treble.
    pub angle: Measured<Angle>,
    /// On what it rests.
    pub from: SideFrom,
}

/// Gaps of a sample's place with heads of its width at the side angle of the order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapFigures {
    /// Square to the faces, all heads at rest.
    pub rest: Measured<Length>,
    /// Along the rail, one head at its string beside one at rest, on the narrower side; `None` when the swing
    /// is not known.
    pub passing: Option<Measured<Length>>,
    /// The tilt about the shank that would even the gaps of both sides.
    pub evening_tilt: Option<Angle>,
    /// The narrower passing gap with the face turned by the whole splay.
    pub passing_at_full_splay: Option<Measured<Length>>,
    /// Spacing of the heads, as read.
    pub pitch: Length,
    /// Tilt about the shank, as read; none where it was not.
    pub tilt: Angle,
    /// How a head at its string passes its neighbour; `None` when the swing is not known.
    pub pass: Option<Pass>,
}

/// Side angle along a section, degrees: a few over its length (proposal).
const SIDE_ALONG_A_SECTION: Prior =
    Prior { slope: 0.0, slope_sd: 0.3, roughness: 0.01, roughness_factor: 1.0 };
/// What a bevel is read to, degrees, where the survey states nothing (one standard deviation).
const BEVEL_DEG: f64 = 0.5;

fn bevel(read: Measured<Angle>) -> Figure {
    (to_degrees(read.value), to_degrees(read.sd).max(BEVEL_DEG))
}

/// The side angle of every note of section `index`.
pub(super) fn of_section(
    instrument: &Instrument,
    index: usize,
    bench: &Bench,
) -> Option<Vec<SideAngle>> {
    let rows = || rows_of(instrument, index).map(|(_, row)| row);
    let read = rows().filter_map(|row| row.side_angle.map(|angle| (row.note, bevel(angle))));
    if let Some(curve) = Curve::through(read, SIDE_ALONG_A_SECTION) {
        return Some(along(&curve, bench, SideFrom::Samples));
    }
    let splayed = rows().filter_map(|row| Some((row.note, share(row.splay?, bench)?)));
    let curve = Curve::through(splayed, SIDE_ALONG_A_SECTION)?;
    Some(along(&curve, bench, SideFrom::Splay))
}

fn along(curve: &Curve, bench: &Bench, from: SideFrom) -> Vec<SideAngle> {
    let angle = |(value, sd)| Measured::new(degrees(value), degrees(sd));
    let figures = curve.along(bench.notes);
    figures.into_iter().map(|figure| SideAngle { angle: angle(figure), from }).collect()
}

/// The usual share, a third to a half, of the side angle that follows the string's whole splay.
fn share(splay: Measured<Angle>, bench: &Bench) -> Option<Figure> {
    let (share, of_share) = anywhere(spread("side-share", Applies::Both)?);
    let whole = to_degrees(face_angles(splay.value, bench.rake.angle).ok()?.side);
    let (_, of_splay) = bevel(splay);
    Some((whole * share, (whole * of_share).hypot(of_splay * share)))
}

/// The gaps at a sample, for the head ordered there.
pub(super) fn gaps(
    row: &HammerRow,
    sample: &Sample,
    side: Option<Angle>,
    bore: Option<Length>,
    bench: &Bench,
) -> Option<GapFigures> {
    let (pitch, width) = (row.pitch?, row.width?);
    let side = side?;
    let tilt = row.tilt.map_or(degrees(0.0), |tilt| tilt.value);
    let sd = mm(to_mm(pitch.sd).hypot(to_mm(width.sd)));
    let heads = Neighbours::new(pitch.value, width.value, side, tilt).ok()?;
    let pass = bore.and_then(|bore| pass(row.note, sample, bore, bench));
    let narrower =
        |heads: &Neighbours, pass: &Pass| Measured::new(heads.passing_gaps(pass).narrower(), sd);
    let full = row.splay.and_then(|splay| {
        let turned = face_angles(splay.value, bench.rake.angle).ok()?.side;
        Neighbours::new(pitch.value, width.value, turned, tilt).ok()
    });
    Some(GapFigures {
        rest: Measured::new(heads.rest_gap(), sd),
        passing: pass.map(|pass| narrower(&heads, &pass)),
        evening_tilt: pass.and_then(|pass| pass.evening_tilt(side).ok()),
        passing_at_full_splay: full.zip(pass).map(|(heads, pass)| narrower(&heads, &pass)),
        pitch: pitch.value,
        tilt,
        pass,
    })
}

/// A head at its string beside one at rest, looked at where the crown of the resting one is widest: at the
/// centre of its arc, for above it both grow narrow.
fn pass(note: Note, sample: &Sample, bore: Length, bench: &Bench) -> Option<Pass> {
    let swing = sample.swing.as_ref()?.swing;
    let (hanging, _) = in_mm(bench.hanging_at(note)?);
    let crown = sample.wear.and_then(|wear| wear.radius).map_or(0.0, |r| to_mm(r.value));
    Pass::new(swing, mm(hanging), mm(to_mm(bore) - crown)).ok()
}

/// A head of this rake and crown as bored.
pub(super) fn head(bore: Length, sample: &Sample, bench: &Bench) -> Option<Head> {
    let crown = sample.wear.and_then(|wear| wear.radius).map_or(mm(0.0), |radius| radius.value);
    Head::new(bore, bench.rake.angle, crown).ok()
}
