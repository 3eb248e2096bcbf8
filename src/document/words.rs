//! Words for people: figures with their uncertainty and unit, sentences, chances, note names.

use super::figures::{Rounded, fixed, power_of_ten};
use crate::measure::{
    Angle, Cents, Compass, Force, Frequency, Inharmonicity, Length, LinearMassDensity, Mass,
    Measured, Note, Piece, Pressure, Sentence, Torque, to_degrees, to_g_per_m, to_grams, to_hertz,
    to_inches, to_mm, to_mpa, to_newton_metres, to_newtons,
};

/// How figures and names are spelled for one kind of reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Inches beside millimetres.
    pub inches: bool,
    /// `C♯3` rather than `C#3`.
    pub sharp_signs: bool,
    /// Figure and unit are kept on one line.
    pub hard_spaces: bool,
}

impl Style {
    /// For terminals and machines: ASCII sharps, plain spaces.
    pub const PLAIN: Self = Self { inches: false, sharp_signs: false, hard_spaces: false };
    /// For pages: printed sharps, figures kept with their units.
    pub const PAGE: Self = Self { inches: false, sharp_signs: true, hard_spaces: true };

    /// The same with inches beside millimetres, or without.
    #[must_use]
    pub fn with_inches(self, inches: bool) -> Self {
        Self { inches, ..self }
    }

    fn space(self) -> char {
        if self.hard_spaces { '\u{a0}' } else { ' ' }
    }

    /// A note: `C#3`, printed `C♯3`.
    pub fn note(self, note: Note) -> String {
        let name = note.to_string();
        if self.sharp_signs { name.replace('#', "♯") } else { name }
    }

    /// A run of notes: `A0–C♯3`; one note alone when both ends are the same.
    pub fn notes(self, notes: Compass) -> String {
        if notes.first == notes.last {
            return self.note(notes.first);
        }
        format!("{}–{}", self.note(notes.first), self.note(notes.last))
    }

    fn with_unit(self, value: f64, sd: f64, unit: &str) -> String {
        let space = self.space();
        format!("{}{space}{unit}", Rounded::new(value, sd).text(space))
    }

    /// A length: `51.2 ± 0.3 mm`, with inches `51.2 ± 0.3 mm (2.016 in)`.
    ///
    /// ```
    /// use feltwire::document::words::Style;
    /// use feltwire::measure::{Measured, mm};
    /// let bore = Measured::new(mm(51.23), mm(0.31));
    /// assert_eq!(Style::PLAIN.length(bore), "51.2 ± 0.3 mm");
    /// assert_eq!(Style::PLAIN.with_inches(true).length(Measured::new(mm(25.4), mm(0.0))), "25.4 mm (1.000 in)");
    /// ```
    pub fn length(self, length: Measured<Length>) -> String {
        // Lengths without a stated doubt are readings or choices: half millimetres are kept.
        let (value, sd) = (to_mm(length.value), to_mm(length.sd));
        let rounded = if sd > 0.0 || value.abs() < 1000.0 {
            Rounded::new(value, sd)
        } else {
            let tenths = fixed(value, 1);
            Rounded::fixed(value, i32::from(!tenths.ends_with('0')))
        };
        self.length_text(length, rounded)
    }

    /// A length to fixed places of a millimetre, as a table wants it, with its unit.
    pub fn length_fixed(self, length: Length, places: u8) -> String {
        let exact = Measured::new(length, length * 0.0);
        self.length_text(exact, Rounded::fixed(to_mm(length), i32::from(places)))
    }

    fn length_text(self, length: Measured<Length>, rounded: Rounded) -> String {
        let space = self.space();
        let millimetres = rounded.text(space);
        if self.inches {
            let inches = inches(length, rounded.places());
            return format!("{millimetres}{space}mm{space}({inches}{space}in)");
        }
        format!("{millimetres}{space}mm")
    }

    /// A force: newtons, from ten thousand on kilonewtons.
    pub fn force(self, force: Measured<Force>) -> String {
        let (value, sd) = (to_newtons(force.value), to_newtons(force.sd));
        if value.abs() >= 1e4 {
            self.with_unit(value / 1e3, sd / 1e3, "kN")
        } else {
            self.with_unit(value, sd, "N")
        }
    }

    /// A mass: grams, from a thousand on kilograms.
    pub fn mass(self, mass: Measured<Mass>) -> String {
        let (value, sd) = (to_grams(mass.value), to_grams(mass.sd));
        if value.abs() >= 1e3 {
            self.with_unit(value / 1e3, sd / 1e3, "kg")
        } else {
            self.with_unit(value, sd, "g")
        }
    }

    /// A mass per length in grams per metre.
    pub fn mass_per_length(self, mass: Measured<LinearMassDensity>) -> String {
        self.with_unit(to_g_per_m(mass.value), to_g_per_m(mass.sd), "g/m")
    }

    /// An angle in degrees: `2.5°`, `2.5 ± 0.4°`.
    pub fn angle(self, angle: Measured<Angle>) -> String {
        let (value, sd) = (to_degrees(angle.value), to_degrees(angle.sd));
        // No angle of an action is known, or asked for, to more than a hundredth.
        let rounded = if sd > 0.0 { Rounded::new(value, sd) } else { Rounded::trimmed(value, 2) };
        format!("{}°", rounded.text(self.space()))
    }

    /// A torque in newton metres.
    pub fn torque(self, torque: Measured<Torque>) -> String {
        let unit = format!("N{}m", self.space());
        if to_newton_metres(torque.sd) == 0.0 {
            // A wrench is read to a tenth.
            let value = Rounded::fixed(to_newton_metres(torque.value), 1).text(self.space());
            return format!("{value}{}{unit}", self.space());
        }
        self.with_unit(to_newton_metres(torque.value), to_newton_metres(torque.sd), &unit)
    }

    /// A frequency in hertz.
    pub fn frequency(self, frequency: Measured<Frequency>) -> String {
        self.with_unit(to_hertz(frequency.value), to_hertz(frequency.sd), "Hz")
    }

    /// A stress in megapascals.
    pub fn pressure(self, pressure: Measured<Pressure>) -> String {
        self.with_unit(to_mpa(pressure.value), to_mpa(pressure.sd), "MPa")
    }

    /// An interval in cents.
    pub fn cents(self, cents: Measured<Cents>) -> String {
        let said = Rounded::new(cents.value.0, cents.sd.0).text(self.space());
        let unit = if matches!(said.as_str(), "1" | "−1") { "cent" } else { "cents" };
        format!("{said}{}{unit}", self.space())
    }

    /// An inharmonicity coefficient: `3.9 × 10⁻⁴`.
    pub fn inharmonicity(self, b: Measured<Inharmonicity>) -> String {
        power_of_ten(b.value.0, b.sd.0, self.space())
    }

    /// A share, given as a fraction, in percent: `52.3 ± 0.8 %`.
    ///
    /// Without a doubt of its own a share keeps two digits, and whole percents from ten on.
    pub fn share(self, share: Measured<f64>) -> String {
        let (value, sd) = (100.0 * share.value, 100.0 * share.sd);
        if sd > 0.0 {
            return self.with_unit(value, sd, "%");
        }
        if value > 0.0 && value < 0.05 {
            return format!("less than 0.1{}%", self.space());
        }
        let places = i32::from(value != 0.0 && value.abs() < 9.95);
        format!("{}{}%", Rounded::fixed(value, places).text(self.space()), self.space())
    }

    /// A pure number.
    pub fn number(self, number: Measured<f64>) -> String {
        let small = number.value != 0.0 && number.value.abs() < 1e-3;
        // Without a doubt of its own so small a number is an expected count: its digits say nothing.
        if small && number.value > 0.0 && number.sd == 0.0 {
            return "less than 0.001".to_owned();
        }
        if small || number.value.abs() >= 1e6 {
            power_of_ten(number.value, number.sd, self.space())
        } else {
            Rounded::new(number.value, number.sd).text(self.space())
        }
    }

    /// How many beats a second: tenths, hundredths below one.
    ///
    /// ```
    /// use feltwire::document::words::Style;
    /// assert_eq!(Style::PLAIN.beats(6.927), "6.9");
    /// assert_eq!(Style::PLAIN.beats(-0.136), "−0.14");
    /// ```
    pub fn beats(self, rate: f64) -> String {
        let places = if rate.abs() < 0.995 { 2 } else { 1 };
        Rounded::fixed(rate, places).text(self.space())
    }

    /// A whole sentence.
    ///
    /// ```
    /// use feltwire::document::words::Style;
    /// use feltwire::{measure::{Measured, Note, mm, newtons}, sentence};
    /// let said = sentence![Note::parse("C#3").unwrap(), " pulls ", Measured::new(newtons(812.3), newtons(6.2)), "."];
    /// assert_eq!(Style::PLAIN.sentence(&said), "C#3 pulls 812 ± 6 N.");
    /// ```
    pub fn sentence(self, sentence: &Sentence) -> String {
        sentence.0.iter().map(|piece| self.piece(piece)).collect()
    }

    /// One piece of a sentence.
    pub fn piece(self, piece: &Piece) -> String {
        match piece {
            Piece::Words(words) => words.clone(),
            Piece::Note(note) => self.note(*note),
            Piece::Many(0) => "none".to_owned(),
            Piece::Count(count) | Piece::Many(count) => count.to_string(),
            Piece::Year(year) => year.to_string(),
            Piece::Length(figure) => self.length(*figure),
            Piece::Force(figure) => self.force(*figure),
            Piece::Mass(figure) => self.mass(*figure),
            Piece::LinearMassDensity(figure) => self.mass_per_length(*figure),
            Piece::Angle(figure) => self.angle(*figure),
            Piece::Torque(figure) => self.torque(*figure),
            Piece::Frequency(figure) => self.frequency(*figure),
            Piece::Pressure(figure) => self.pressure(*figure),
            Piece::Cents(figure) => self.cents(*figure),
            Piece::Inharmonicity(figure) => self.inharmonicity(*figure),
            Piece::Share(figure) => self.share(*figure),
            Piece::Chance(chance) => self.chance(*chance),
            Piece::Expected(count) if *count < 0.005 => "fewer than 0.01".to_owned(),
            Piece::Expected(count) => {
                Rounded::fixed(*count, if *count < 9.95 { 2 } else { 0 }).text(' ')
            }
            Piece::ChanceBetween { chance, low, high, when, alike } => {
                let said = [*chance, *low, *high].map(|chance| self.chance(chance));
                let [chance, low, high] = &said;
                if low == high {
                    format!("{chance} times{alike}")
                } else {
                    format!("{chance} times ({low} to {high}{when})")
                }
            }
            Piece::Number(figure) => self.number(*figure),
            Piece::Beats(rate) => self.beats(*rate),
        }
    }

    /// A chance from 0 to 1: `9 in 10`.
    ///
    /// ```
    /// use feltwire::document::words::Style;
    /// assert_eq!(Style::PLAIN.chance(0.91), "9 in 10");
    /// assert_eq!(Style::PLAIN.chance(0.97), "97 in 100");
    /// assert_eq!(Style::PLAIN.chance(0.998), "more than 99 in 100");
    /// ```
    pub fn chance(self, chance: f64) -> String {
        let space = self.space();
        let of = |count: f64, all: u32| format!("{count:.0}{space}in{space}{all}");
        if chance > 0.99 {
            format!("more than {}", of(99.0, 100))
        } else if chance < 0.01 {
            format!("less than {}", of(1.0, 100))
        } else if (0.085..=0.915).contains(&chance) {
            of((10.0 * chance).round(), 10)
        } else {
            of((100.0 * chance).round(), 100)
        }
    }
}

/// Inches for a length printed to `places` of a millimetre: as fine as its doubt, without one as fine
/// as those places; not finer than a ten thousandth.
fn inches(length: Measured<Length>, places: i32) -> String {
    let sd = to_inches(length.sd);
    let places =
        if sd > 0.0 { Rounded::new(to_inches(length.value), sd).places() } else { places + 2 };
    fixed(to_inches(length.value), places.clamp(2, 4))
}

/// Cents from a pitch aimed at, whole, with their sign: `+6`, `0`, `−4`.
pub fn whole_cents(cents: Cents) -> String {
    let said = cell(Some(cents.0), 0);
    if said == "0" || cents.0 < 0.0 { said } else { format!("+{said}") }
}

/// A number for a table: fixed places, a real minus, `–` when unknown.
pub fn cell(value: Option<f64>, places: u8) -> String {
    value.map_or_else(|| "–".to_owned(), |v| fixed(v, i32::from(places)))
}

/// A number for machines: fixed places, an ASCII minus.
pub(super) fn ascii_fixed(value: f64, places: u8) -> String {
    super::figures::ascii(value, i32::from(places))
}

/// A list as one says it: `A0`, `A0 and C4`, `A0, C4 and C8`; parted by semicolons where an item holds a
/// comma itself.
pub fn list(items: &[String]) -> String {
    let between = if items.iter().any(|item| item.contains(',')) { "; " } else { ", " };
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] if between == "; " => format!("{}; and {last}", first.join(between)),
        [first @ .., last] => format!("{} and {last}", first.join(between)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{degrees, grams, hertz, mm, mpa, newton_metres, newtons};

    #[test]
    fn every_quantity_is_said_with_its_unit() {
        let plain = Style::PLAIN;
        assert_eq!(plain.force(Measured::new(newtons(812.3), newtons(6.2))), "812 ± 6 N");
        assert_eq!(
            plain.force(Measured::new(newtons(181_234.0), newtons(1400.0))),
            "181.2 ± 1.4 kN"
        );
        assert_eq!(plain.share(Measured::new(0.5234, 0.0083)), "52.3 ± 0.8 %");
        assert_eq!(plain.share(Measured::new(0.7, 0.0)), "70 %");
        assert_eq!(plain.mass(Measured::new(grams(9.15), grams(0.05))), "9.15 ± 0.05 g");
        assert_eq!(plain.angle(Measured::new(degrees(-2.5), degrees(0.0))), "−2.5°");
        assert_eq!(plain.angle(Measured::new(degrees(0.4187), degrees(0.0))), "0.42°");
        assert_eq!(plain.torque(Measured::new(newton_metres(6.2), newton_metres(0.0))), "6.2 N m");
        assert_eq!(plain.frequency(Measured::new(hertz(440.0), hertz(0.0))), "440 Hz");
        assert_eq!(plain.pressure(Measured::new(mpa(1033.4), mpa(12.0))), "1033 ± 12 MPa");
        assert_eq!(plain.cents(Measured::new(Cents(-32.0), Cents(2.0))), "−32 ± 2 cents");
        let b = Measured::new(Inharmonicity(3.91e-4), Inharmonicity(0.0));
        assert_eq!(plain.inharmonicity(b), "3.9 × 10⁻⁴");
        assert_eq!(plain.number(Measured::new(0.000_02, 0.0)), "less than 0.001");
        assert_eq!(plain.number(Measured::new(0.000_02, 0.000_01)), "(2.0 ± 1.0) × 10⁻⁵");
    }

    #[test]
    fn lengths_keep_half_millimetres_and_thousandths() {
        let plain = Style::PLAIN;
        let said = |value: f64| plain.length(Measured::new(mm(value), mm(0.0)));
        assert_eq!(said(1152.5), "1152.5 mm");
        assert_eq!(said(1152.0), "1152 mm");
        assert_eq!(said(0.975), "0.975 mm");
        assert_eq!(said(300.0), "300 mm");
        // The inch is 25.4 mm exactly.
        let both = plain.with_inches(true);
        assert_eq!(both.length(Measured::new(mm(1.0414), mm(0.0))), "1.041 mm (0.0410 in)");
        assert_eq!(both.length_fixed(mm(50.8), 1), "50.8 mm (2.000 in)");
        // ± 0.13 mm is ± 0.005 in, ± 3 mm is ± 0.12 in.
        assert_eq!(both.length(Measured::new(mm(1.14), mm(0.13))), "1.14 ± 0.13 mm (0.045 in)");
        assert_eq!(both.length(Measured::new(mm(508.0), mm(3.0))), "508 ± 3 mm (20.00 in)");
    }

    #[test]
    fn pages_print_sharps_and_keep_figures_together() {
        let note = Note::parse("C#3").expect("a note");
        assert_eq!(Style::PAGE.note(note), "C♯3");
        assert_eq!(Style::PLAIN.note(note), "C#3");
        assert_eq!(Style::PAGE.length(Measured::new(mm(51.2), mm(0.0))), "51.2\u{a0}mm");
        assert_eq!(Style::PAGE.notes(Compass { first: Note::A0, last: note }), "A0–C♯3");
        assert_eq!(Style::PAGE.notes(Compass { first: note, last: note }), "C♯3");
    }

    #[test]
    fn chances_are_words() {
        let plain = Style::PLAIN;
        for (chance, words) in [
            (0.0, "less than 1 in 100"),
            (0.03, "3 in 100"),
            (0.1, "1 in 10"),
            (0.5, "5 in 10"),
            (0.95, "95 in 100"),
            (1.0, "more than 99 in 100"),
        ] {
            assert_eq!(plain.chance(chance), words);
        }
    }

    #[test]
    fn lists_end_in_and() {
        let items: Vec<String> = ["A0", "C4", "C8"].iter().map(ToString::to_string).collect();
        assert_eq!(list(&items), "A0, C4 and C8");
        assert_eq!(list(&items[..2]), "A0 and C4");
        assert_eq!(list(&[]), "");
        let items = ["tenor, wound", "treble"].map(str::to_owned);
        assert_eq!(list(&items), "tenor, wound; and treble");
    }
}
