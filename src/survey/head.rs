//! `[instrument]` and `[reading_error]`.

use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::possible;
use super::quantity::{Possible, impossible, within};
use super::tree::Keys;
use super::words::shown;
use crate::instrument::{Kind, LengthError, ReadingError};
use crate::measure::text::{self, QuantityFault, Written};
use crate::measure::{Cents, Compass, Frequency, Length, Note, hertz, mm, to_hertz};

/// The `format` of surveys that this program reads.
const FORMAT: i64 = 1;

/// What `[instrument]` says.
pub(super) struct Head {
    pub name: Option<String>,
    pub kind: Option<Kind>,
    pub serial: Option<String>,
    pub built: Option<i32>,
    pub compass: Compass,
    pub pitch: Frequency,
    pub found: Option<Cents>,
    pub heritage: bool,
}

/// The whole keyboard: what is read by when the survey's own compass cannot be.
const KEYBOARD: Compass = Compass { first: Note::A0, last: Note::C8 };

impl Head {
    fn empty() -> Self {
        Self {
            name: None,
            kind: None,
            serial: None,
            built: None,
            compass: KEYBOARD,
            pitch: hertz(440.0),
            found: None,
            heritage: false,
        }
    }

    pub fn read(root: &Keys) -> Self {
        format(root);
        let item = root.need_as(
            "instrument",
            "[instrument]",
            "write a head [instrument], and under it name, kind and compass",
        );
        let Some(mut keys) = item.and_then(|item| item.keys()) else { return Self::empty() };
        "[instrument]".clone_into(&mut keys.name);
        let head = Self::fields(&keys);
        keys.finish();
        head
    }

    fn fields(keys: &Keys) -> Self {
        let kinds = [("upright", Kind::Upright), ("grand", Kind::Grand)];
        let pitch = keys
            .quantity("pitch", "440 Hz", possible::pitch())
            .map_or(hertz(440.0), |read| read.value);
        let compass = keys.get("compass").map_or(Some(KEYBOARD), |item| item.notes(None));
        let compass = compass.unwrap_or(KEYBOARD);
        Self {
            name: keys
                .need("name", "write what you call the instrument: name = \"Tarn & Hollis 124\"")
                .and_then(|item| item.name()),
            kind: keys
                .need("kind", "write kind = \"upright\" or kind = \"grand\"")
                .and_then(|item| item.word(&kinds)),
            serial: keys.get("serial").and_then(|item| text_or_number(&item)),
            built: keys.get("built").and_then(|item| item.year(None)),
            compass,
            pitch,
            found: keys.get("found").and_then(|item| found(&item, pitch, compass, Some(Note::A4))),
            heritage: keys.get("heritage").and_then(|item| item.flag()).unwrap_or(false),
        }
    }
}

fn format(root: &Keys) {
    let Some(item) = root.need("format", "write format = 1 on the first line") else { return };
    if let Some(number) = item.whole("1")
        && number != FORMAT
    {
        root.desk.fault(
            Fault::new(
                FaultKind::UnknownFormat,
                &item.at,
                format!("surveys of format {number} are not known"),
            )
            .found("not a format that this program reads")
            .expected(format!("format = {FORMAT}"))
            .remedy(format!(
                "write format = {FORMAT}; a survey made by a newer program needs that program"
            ))
            .fix(FORMAT.to_string()),
        );
    }
}

/// A serial number: text, or a number as people write it.
fn text_or_number(item: &Item) -> Option<String> {
    match item.scalar() {
        Some((number, false)) => Some(number),
        _ => item.name(),
    }
}

const FOUND: &str = "\"-32 cents\", \"-8 Hz\", \"-8 beats\" or \"432 Hz\"";

/// How far from `pitch` something stood when found: `"-32 cents"` or `{ note, offset }`, in cents,
/// Hz, beats against the reference, or the frequency itself.
///
/// Text alone speaks of `usual`; where there is no such note, only cents make sense.
pub(super) fn found(
    item: &Item,
    pitch: Frequency,
    compass: Compass,
    usual: Option<Note>,
) -> Option<Cents> {
    if !item.is_table() {
        return offset(item, usual.map(|note| note.frequency(pitch)));
    }
    let mut keys = item.keys()?;
    keys.name.clone_from(&item.name);
    let note = keys
        .need("note", "write which note was heard: note = \"A4\"")
        .and_then(|note| note.note(Some(compass)));
    let offset_item = keys.need("offset", &format!("write offset = {FOUND}"));
    keys.finish();
    offset(&offset_item?, Some(note?.frequency(pitch)))
}

fn offset(item: &Item, reference: Option<Frequency>) -> Option<Cents> {
    let written = item.text(&format!("write {FOUND}"))?;
    let cents = text::parse::<Cents>(written);
    let value = match cents {
        Ok(read) => read.value,
        Err(fault) => match in_hertz(written) {
            Some(_) if reference.is_none() => {
                item.desk.fault(
                    Fault::new(
                        FaultKind::MissingKey,
                        &item.at,
                        format!("{} is in Hz or beats, and of no note", item.name),
                    )
                    .found("of which note?")
                    .expected("cents, or a note beside the offset")
                    .remedy(format!("write {{ note = \"C4\", offset = \"{}\" }}", shown(written))),
                );
                return None;
            }
            Some(heard) => heard.cents(reference?),
            None if unsigned_beats(written) => {
                item.desk.fault(flat_or_sharp(item, written));
                return None;
            }
            None => {
                let made =
                    super::quantity::quantity_fault(&item.name, written, &fault, &item.at, FOUND);
                item.desk.fault(
                    made.expected("an offset in cents, Hz or beats, or the frequency itself in Hz"),
                );
                return None;
            }
        },
    };
    let Possible { low, high, words } = possible::offset();
    if value.0.is_finite() && within(value, low, high) {
        return Some(value);
    }
    item.desk.fault(impossible(&item.name, written, words, &item.at));
    None
}

fn flat_or_sharp(item: &Item, written: &str) -> Fault {
    let title = format!("{} does not say whether it is flat or sharp", item.name);
    Fault::new(FaultKind::BeatsWithoutSign, &item.at, title)
        .found("beats sound alike on both sides")
        .expected("a sign before the number of beats")
        .remedy(format!("write \"-{0}\" for flat or \"+{0}\" for sharp", shown(written)))
}

/// What was heard, in Hz.
enum Heard {
    Offset(f64),
    Itself(f64),
}

impl Heard {
    fn cents(&self, reference: Frequency) -> Cents {
        let reference = to_hertz(reference);
        Cents::of_ratio(match self {
            Self::Offset(hertz) => (reference + hertz) / reference,
            Self::Itself(hertz) => hertz / reference,
        })
    }
}

fn unsigned_beats(written: &str) -> bool {
    let (value, _) = text::split_uncertainty(written);
    text::split_number(value).is_some_and(|(_, unit)| BEATS.contains(&unit))
}

const BEATS: [&str; 3] = ["beats", "beat", "beats/s"];

/// A signed number of Hz or beats is an offset; one of Hz without a sign is the frequency itself.
fn in_hertz(written: &str) -> Option<Heard> {
    let (value, _) = text::split_uncertainty(written);
    let signed = value.starts_with(['+', '-', '−']);
    let (number, unit) = text::split_number(value)?;
    match unit {
        unit if BEATS.contains(&unit) => (signed || number == 0.0).then_some(Heard::Offset(number)),
        "Hz" if signed => Some(Heard::Offset(number)),
        "Hz" => Some(Heard::Itself(number)),
        _ => None,
    }
}

/// `[reading_error]`: one standard deviation of what each tool reads.
pub(super) fn reading_error(root: &Keys) -> ReadingError {
    let mut error = ReadingError::default();
    let Some(keys) = root.table("reading_error") else { return error };
    if let Some(length) = keys.get("length").and_then(|item| length_error(&item)) {
        error.length = length;
    }
    error.length_bias = keys.get("length_bias").and_then(|item| length_error(&item));
    let read = |key, example, into: &mut Length| {
        if let Some(read) = keys.quantity(key, example, possible::reading_length()) {
            *into = read.value;
        }
    };
    read("core", "0.005 mm", &mut error.core);
    read("over", "0.03 mm", &mut error.over);
    read("centre", "0.3 mm", &mut error.centre);
    read("bore", "0.3 mm", &mut error.bore);
    if let Some(mass) = keys.quantity("mass", "0.05 g", possible::reading_mass()) {
        error.mass = mass.value;
    }
    let bias = |key, example| {
        keys.quantity(key, example, possible::reading_length()).map(|read| read.value)
    };
    error.core_bias = bias("core_bias", "0.002 mm");
    error.over_bias = bias("over_bias", "0.005 mm");
    error.rake = keys.quantity("rake", "0.5 °", possible::reading_rake()).map(|read| read.value);
    keys.finish();
    error
}

/// `"0.2 mm + 0.1 %"`, or either part of it.
fn length_error(item: &Item) -> Option<LengthError> {
    let example = "\"0.2 mm + 0.1 %\"";
    let written = item.text(&format!("write it like this: {example}"))?;
    let mut error = LengthError { fixed: mm(0.0), share: 0.0 };
    for part in written.split('+') {
        if let Some((percent, "%")) = text::split_number(part) {
            error.share = percent / 100.0;
            continue;
        }
        match text::parse::<Length>(part) {
            Ok(read) => error.fixed = read.value,
            Err(fault) => {
                let made =
                    super::quantity::quantity_fault(&item.name, part, &fault, &item.at, example);
                let fits = "a fixed part as a length, a share in %, or both with a + between";
                item.desk.fault(match fault {
                    QuantityFault::NotFinite => made,
                    _ => made.expected(fits),
                });
                return None;
            }
        }
    }
    let fixed = possible::reading_length();
    if !within(error.fixed, fixed.low, fixed.high) || !(0.0..=0.1).contains(&error.share) {
        item.desk.fault(impossible(&item.name, written, "0 to 20 mm and 0 to 10 %", &item.at));
        return None;
    }
    debug_assert!(error.fixed.si().is_finite());
    Some(error)
}
