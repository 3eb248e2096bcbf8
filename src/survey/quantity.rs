//! Quantities, notes and years out of text, with their faults.

use super::fault::{Fault, FaultKind};
use super::item::Item;
use super::source::At;
use super::tree::Keys;
use super::words::shown;
use crate::measure::text::{self, QuantityFault, Reading, Written};
use crate::measure::{Compass, Note, NoteFault};

/// What is possible: lowest and highest, and the same in words.
#[derive(Clone, Copy)]
pub(super) struct Possible<Q> {
    pub low: Q,
    pub high: Q,
    pub words: &'static str,
}

/// The fault of a text that is not the quantity called `name`; `example` is one that is.
pub(super) fn quantity_fault(
    name: &str,
    found: &str,
    fault: &QuantityFault,
    at: &At,
    example: &str,
) -> Fault {
    let found = shown(found);
    let fits = |wanted: &str| {
        format!("{wanted} in {}", super::words::any_of(fault.fits().iter().copied()))
    };
    let decimal_comma = found.contains(',');
    let made = match fault {
        QuantityFault::NoUnit { wanted, .. } => {
            Fault::new(FaultKind::BareNumber, at, format!("{name} is a number without its unit"))
                .found("in what unit?")
                .expected(fits(wanted))
        }
        QuantityFault::WrongUnit { found: unit, measures, wanted, .. } => Fault::new(
            FaultKind::WrongUnit,
            at,
            format!("{name} is {wanted}, but `{}` is the unit of {measures}", shown(unit)),
        )
        .found(*measures)
        .expected(fits(wanted)),
        QuantityFault::UnknownUnit { wanted, .. } | QuantityFault::NoNumber { wanted, .. }
            if decimal_comma =>
        {
            let both = found
                .split_whitespace()
                .next()
                .is_some_and(|number| number.contains(',') && number.contains('.'));
            let title = if both {
                format!("{name} has a comma and a point, and only one can be the decimal mark")
            } else {
                format!("{name} has a comma where a decimal point belongs")
            };
            Fault::new(FaultKind::DecimalComma, at, title)
                .found(if both { "a comma and a point" } else { "a comma" })
                .expected(fits(wanted))
        }
        QuantityFault::UnknownUnit { found: unit, wanted, .. } => Fault::new(
            FaultKind::UnknownUnit,
            at,
            format!("{name} has the unit `{}`, which is not known", shown(unit)),
        )
        .found("not a known unit")
        .expected(fits(wanted)),
        QuantityFault::NoNumber { wanted, .. } => {
            let not_finite = ["nan", "inf", "infinity", "∞"];
            let bare = found.trim_start_matches(['+', '-']).to_ascii_lowercase();
            if not_finite.iter().any(|word| bare.starts_with(word)) {
                Fault::new(FaultKind::NotFinite, at, format!("{name} is not a finite number"))
                    .found("infinite, or no number")
                    .expected(fits(wanted))
            } else {
                Fault::new(
                    FaultKind::NotANumber,
                    at,
                    format!("{name} has no number where {wanted} is expected"),
                )
                .found("no number")
                .expected(fits(wanted))
            }
        }
        QuantityFault::NotFinite => {
            Fault::new(FaultKind::NotFinite, at, format!("{name} is not a finite number"))
                .found("too large to hold, or no number")
                .expected("a number that can be measured")
        }
        QuantityFault::NegativeUncertainty => Fault::new(
            FaultKind::NegativeUncertainty,
            at,
            format!("{name} has an uncertainty below zero"),
        )
        .found("below zero")
        .expected("one standard deviation after the ±, zero or more"),
    };
    made.remedy(format!("write it like this: {example}"))
}

/// The fault of a value that no piano has.
pub(super) fn impossible(name: &str, found: &str, possible: &str, at: &At) -> Fault {
    Fault::new(FaultKind::ImpossibleValue, at, format!("{name} cannot be {}", shown(found)))
        .found("outside what is possible")
        .expected(possible)
        .remedy("look at the unit and the decimal point, and measure again")
}

/// Whether `value` lies in `possible`, to the last digit of the conversion.
pub(super) fn within<Q: Written>(value: Q, low: Q, high: Q) -> bool {
    let slack = |edge: f64| edge.abs() * 1e-12;
    value.si() >= low.si() - slack(low.si()) && value.si() <= high.si() + slack(high.si())
}

impl Item<'_> {
    /// A quantity as text with its unit; `example` shows one, unit last.
    pub fn quantity<Q: Written>(&self, example: &str, possible: Possible<Q>) -> Option<Reading<Q>> {
        let example = format!("\"{example}\"");
        let Some((written, is_text)) = self.scalar() else {
            return self.wrong_type(
                &format!("{} as text with its unit", Q::NAME),
                &format!("write it like this: {example}"),
            );
        };
        match text::parse::<Q>(&written) {
            Ok(reading) if within(reading.value, possible.low, possible.high) => Some(reading),
            Ok(_) => {
                self.desk.fault(impossible(&self.name, &written, possible.words, &self.at));
                None
            }
            Err(fault) => {
                let made = quantity_fault(&self.name, &written, &fault, &self.at, &example);
                let bare = matches!(fault, QuantityFault::NoUnit { .. });
                let unit =
                    text::split_number(example.trim_matches('"')).map_or("", |(_, unit)| unit);
                let number = if is_text { written.trim() } else { written.as_str() };
                let one_comma = number.matches(',').count() == 1 && !number.contains('.');
                self.desk.fault(if bare {
                    made.fix(format!("\"{number} {unit}\""))
                } else if made.kind == FaultKind::DecimalComma && one_comma {
                    made.fix(format!("\"{}\"", number.replace(',', ".")))
                } else {
                    made
                });
                None
            }
        }
    }

    /// A note, inside `compass` where one is given.
    pub fn note(&self, compass: Option<Compass>) -> Option<Note> {
        let text = self.text("write the note in quotation marks: \"C#3\"")?;
        match note(&self.name, text, compass, &self.at) {
            Ok(note) => Some(note),
            Err(fault) => {
                self.desk.fault(*fault);
                None
            }
        }
    }

    /// First and last note of a run, inside `compass` where one is given.
    pub fn notes(&self, compass: Option<Compass>) -> Option<Compass> {
        let remedy = "write first and last note: [\"A0\", \"C#3\"]";
        let list = self.list(remedy)?;
        let [first, last] = list.as_slice() else {
            return self.wrong_type("a list of two notes", remedy);
        };
        let (a, b) = (first.note(compass), last.note(compass));
        let (first, last) = (a?, b?);
        if first > last {
            self.desk.fault(
                reversed(&self.name, first, last, &self.at)
                    .fix(format!("[\"{last}\", \"{first}\"]")),
            );
            return None;
        }
        Some(Compass { first, last })
    }

    /// A year, not before `not_before`.
    pub fn year(&self, not_before: Option<i32>) -> Option<i32> {
        const FIRST: i32 = 1700;
        const LAST: i32 = 2200;
        let year = self.whole("1931")?;
        let (low, why) = match not_before {
            Some(built) if built > FIRST => {
                (built, format!("a year from {built}, when the piano was built, to {LAST}"))
            }
            _ => (FIRST, format!("a year from {FIRST} to {LAST}")),
        };
        let fits = i32::try_from(year).ok().filter(|year| (low..=LAST).contains(year));
        if fits.is_none() {
            self.desk.fault(
                Fault::new(FaultKind::BadYear, &self.at, format!("{} cannot be {year}", self.name))
                    .found("not a year that fits")
                    .expected(why)
                    .remedy(
                        "write the year in four digits: 1931; leave the line out when nobody knows",
                    ),
            );
        }
        fits
    }
}

/// Shorthands for keys that may be absent.
impl Keys<'_> {
    pub fn name_of(&self, key: &'static str) -> Option<String> {
        self.get(key)?.name()
    }

    pub fn quantity<Q: Written>(
        &self,
        key: &'static str,
        example: &str,
        possible: Possible<Q>,
    ) -> Option<Reading<Q>> {
        self.get(key)?.quantity(example, possible)
    }

    pub fn word<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> Option<T> {
        self.get(key)?.word(words)
    }
}

/// The note called `text`.
pub(super) fn note(
    name: &str,
    text: &str,
    compass: Option<Compass>,
    at: &At,
) -> Result<Note, Box<Fault>> {
    let spelled = "a note from A0 to C8: letter, # or b, octave; C4 is middle C";
    let fault = match Note::parse(text) {
        Ok(note) => match compass {
            Some(compass) if !compass.contains(note) => Fault::new(
                FaultKind::NoteOutsideCompass,
                at,
                format!("{note} is not on this instrument"),
            )
            .found("outside the compass")
            .expected(format!("a note from {} to {}", compass.first, compass.last))
            .remedy("correct the note, or `compass` of [instrument]"),
            _ => return Ok(note),
        },
        Err(NoteFault::OutsideKeyboard) => Fault::new(
            FaultKind::NoteOutsideKeyboard,
            at,
            format!("no piano key is called {}", shown(text)),
        )
        .found("outside A0 to C8")
        .expected(spelled)
        .remedy("octaves are counted so that middle C is C4 and the lowest A is A0"),
        Err(NoteFault::NotANote) => {
            let german = text.trim().starts_with(['H', 'h']);
            Fault::new(
                FaultKind::NotANote,
                at,
                format!("{name} is \"{}\", which is not a note", shown(text)),
            )
            .found("not the name of a note")
            .expected(spelled)
            .remedy(if german {
                "H is written B here, and B is written A# or Bb"
            } else {
                "write it like this: A0, C#3, Bb4"
            })
        }
    };
    Err(Box::new(fault))
}

/// The fault of two notes the wrong way round.
pub(super) fn reversed(name: &str, first: Note, last: Note, at: &At) -> Fault {
    Fault::new(FaultKind::Reversed, at, format!("{name} goes from {first} down to {last}"))
        .found("the higher note stands first")
        .expected("the lower note first: from bass to treble")
        .remedy(format!("write {last} first and {first} last"))
}
