//! What a head that is off does: how it meets its string, the blow, the touch, the gaps.

use super::{Look, Offset, Quantity, Wanted};
use crate::action::{NoteHammer, Sample};
use crate::instrument::HammerRow;
use crate::measure::{Angle, Length, Mass, Measured, Note, degrees, grams, mm, to_degrees, to_mm};
use crate::physics::hammer::geometry::Head as Bored;
use crate::physics::hammer::sideways::Neighbours;

/// What a head does as it is, each with the doubt of the reading and of what it is reckoned by; what nothing read can
/// tell is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Effect {
    /// Obliquity of its strike.
    pub obliquity: Option<Measured<Angle>>,
    /// The same of the head as ordered.
    pub obliquity_ordered: Option<Measured<Angle>>,
    /// Change of the blow with the rail left where it is.
    pub blow: Option<Measured<Length>>,
    /// Change of the mean of down and up at the key.
    pub mean: Option<Measured<Mass>>,
    /// Change of the mass that the key sets in motion.
    pub reflected: Option<Measured<Mass>>,
    /// Gap between heads at rest.
    pub gap_rest: Option<Measured<Length>>,
    /// The narrower gap while one head passes another.
    pub gap_passing: Option<Measured<Length>>,
}

/// A value and its doubt, in mm, degrees or grams.
type Figure = (f64, f64);

/// Figures of one head: bore and rake, side angle, width, as read or else as ordered; what its mass and its bore are
/// off.
struct Made {
    bored: Option<(Figure, Figure)>,
    side: Option<Figure>,
    width: Option<Figure>,
    mass_off: Option<Figure>,
    bore_off: Option<Figure>,
}

/// Of one head that arrived.
pub(super) fn of_head(look: &Look, wanted: &Wanted, row: &HammerRow) -> Effect {
    let ordered = |quantity: Quantity| Some((wanted.target(quantity)?.value, 0.0));
    let read = |quantity: Quantity| {
        let (value, stated) = quantity.read(row)?;
        let unstated = || quantity.doubt(&look.instrument.reading_error, look.limits);
        Some((value, if stated > 0.0 { stated } else { unstated() }))
    };
    let made = |quantity: Quantity| read(quantity).or(ordered(quantity));
    let off = |quantity: Quantity| {
        let (value, sd) = read(quantity)?;
        Some((value - ordered(quantity)?.0, sd))
    };
    let any = read(Quantity::Bore).or(read(Quantity::Rake));
    let made = Made {
        bored: any.and(made(Quantity::Bore).zip(made(Quantity::Rake))),
        side: made(Quantity::SideAngle),
        width: made(Quantity::Width),
        mass_off: off(Quantity::Mass),
        bore_off: off(Quantity::Bore),
    };
    of(look, wanted, &made)
}

/// Of one of the heads that `offset` speaks of, off by what they share and nothing else.
pub(super) fn of_offset(look: &Look, offset: &Offset) -> Effect {
    let wanted = &look.wanted[offset.example];
    let own = wanted.target(offset.quantity);
    let meant = own.zip(offset.causes.first()).and_then(|(target, cause)| target.under(*cause));
    let shared = meant.zip(own).map_or(offset.off, |(meant, target)| meant - target.value);
    let with = |quantity: Quantity| {
        let value = wanted.target(quantity)?.value;
        let moved = quantity == offset.quantity;
        Some(if moved { (value + shared, offset.error) } else { (value, 0.0) })
    };
    let moved = |quantity| Some((shared, offset.error)).filter(|_| offset.quantity == quantity);
    let made = Made {
        bored: with(Quantity::Bore).zip(with(Quantity::Rake)),
        side: with(Quantity::SideAngle),
        width: with(Quantity::Width),
        mass_off: moved(Quantity::Mass),
        bore_off: moved(Quantity::Bore),
    };
    of(look, wanted, &made)
}

fn of(look: &Look, wanted: &Wanted, made: &Made) -> Effect {
    let mut effect = Effect::default();
    let entry = look.action.note(wanted.note);
    let ordered = |quantity: Quantity| Some((wanted.target(quantity)?.value, 0.0));
    let as_ordered = ordered(Quantity::Bore).zip(ordered(Quantity::Rake));
    effect.obliquity = entry.zip(made.bored).and_then(|(entry, bored)| strikes(entry, bored));
    effect.obliquity_ordered =
        entry.zip(as_ordered).and_then(|(entry, bored)| strikes(entry, bored));
    let section = look.instrument.section_of(wanted.note);
    let near = |known: &dyn Fn(&Sample) -> bool| {
        nearest(look, wanted.note, |sample| Some(sample.section) == section && known(sample))
    };
    let swing = near(&|sample| sample.swing.is_some()).and_then(|sample| sample.swing);
    effect.blow = made
        .bore_off
        .zip(swing)
        .map(|((off, sd), swing)| Measured::new(mm(off), mm(sd)) * -swing.blow_per_wear);
    if let Some(off) = made.mass_off {
        touch(look, wanted.note, off, &mut effect);
    }
    let gaps = near(&|sample| sample.gaps.is_some()).and_then(|sample| sample.gaps);
    if let (Some(gaps), Some((side, _)), Some((width, sd))) = (gaps, made.side, made.width)
        && let Ok(heads) = Neighbours::new(gaps.pitch, mm(width), degrees(side), gaps.tilt)
    {
        // The doubt of pitch and width as sampled stands for that of this one where none was read.
        let doubt = if sd > 0.0 { mm(sd) } else { gaps.rest.sd };
        effect.gap_rest = Some(Measured::new(heads.rest_gap(), doubt));
        effect.gap_passing =
            gaps.pass.map(|pass| Measured::new(heads.passing_gaps(&pass).narrower(), doubt));
    }
    effect
}

fn strikes(entry: &NoteHammer, (bore, rake): (Figure, Figure)) -> Option<Measured<Angle>> {
    let head = Bored::new(mm(bore.0), degrees(rake.0), mm(0.0)).ok()?;
    let station = entry.station?;
    let slopes = station.contact_slopes(&head).ok()?.obliquity;
    // What is not known of the square bore itself is as much in doubt as what is read of the head.
    let of_bore = bore.1.hypot(to_mm(entry.bore?.square.sd)) * to_degrees(slopes.per_mm_of_bore);
    let sd = degrees(of_bore.hypot(rake.1 * slopes.by_rake));
    Some(Measured::new(station.contact(&head).ok()?.obliquity, sd))
}

/// By what a gram of head does at the nearest key where it is known.
fn touch(look: &Look, note: Note, (off, sd): Figure, effect: &mut Effect) {
    let known = |sample: &Sample| sample.touch.is_some_and(|t| t.per_gram_at_rest.is_some());
    let Some(touch) = nearest(look, note, known).and_then(|sample| sample.touch) else { return };
    let moved = |per_gram: Measured<f64>| {
        let doubt = (sd * per_gram.value).hypot(off * per_gram.sd);
        Measured::new(grams(off * per_gram.value), grams(doubt))
    };
    effect.mean = touch.per_gram_at_rest.map(moved);
    effect.reflected = touch.reflected_per_gram.map(moved);
}

/// The nearest sample of which something is known.
fn nearest<'a>(look: &Look<'a>, note: Note, known: impl Fn(&Sample) -> bool) -> Option<&'a Sample> {
    look.action
        .samples
        .iter()
        .filter(|sample| known(sample))
        .min_by_key(|sample| sample.note.key().abs_diff(note.key()))
}
