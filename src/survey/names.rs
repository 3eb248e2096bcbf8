//! Heads of columns as people write them: `Speaking length (mm)` is `length_mm`.
//!
//! A head is taken apart into words; the unit at its end is set aside; what is left is a name of the
//! dictionary, or another word of the trade for it. Words of the trade: common practice, no source.

use super::columns::REMARK;
use super::words::meant;
use crate::instrument::reading::{Table, Unit, of_table};

/// What the note is called by its number from the bass.
pub(super) const KEY: &str = "key";

/// Other words for readings: table, words, name in the dictionary.
#[rustfmt::skip]
const ALSO: &[(Table, &str, &str)] = {
    use Table::{Hammers, Runs, Strings};
    &[
        (Strings, "tone", "note"), (Strings, "note name", "note"),
        (Strings, "speaking length", "length"), (Strings, "string length", "length"),
        (Strings, "sounding length", "length"), (Strings, "length of string", "length"),
        (Strings, "wire", "core"), (Strings, "wire diameter", "core"), (Strings, "diameter", "core"),
        (Strings, "core diameter", "core"), (Strings, "diameter core", "core"),
        (Strings, "diameter of core", "core"), (Strings, "diameter wire", "core"), (Strings, "core wire", "core"), (Strings, "plain wire", "core"),
        (Strings, "wire no", "core_gauge"), (Strings, "wire gauge", "core_gauge"),
        (Strings, "music wire no", "core_gauge"), (Strings, "gauge no", "core_gauge"),
        (Strings, "gauge", "core_gauge"), (Strings, "wire size", "core_gauge"),
        (Strings, "core gauge no", "core_gauge"), (Strings, "shape", "core_shape"),
        (Strings, "core shape", "core_shape"),
        (Strings, "over winding", "over"), (Strings, "over diameter", "over"),
        (Strings, "diameter over winding", "over"), (Strings, "overall diameter", "over"),
        (Strings, "outside diameter", "over"), (Strings, "wound diameter", "over"),
        (Strings, "covered", "over"), (Strings, "covered diameter", "over"), (Strings, "wound", "over"),
        (Strings, "winding", "wrap"), (Strings, "winding material", "wrap"),
        (Strings, "winding wire", "wrap"), (Strings, "wrap wire", "wrap"), (Strings, "wrapping wire", "wrap"),
        (Strings, "under winding", "under"), (Strings, "diameter over inner winding", "under"),
        (Strings, "unison", "strings"), (Strings, "unisons", "strings"), (Strings, "strings per note", "strings"),
        (Strings, "no of strings", "strings"), (Strings, "count", "strings"), (Strings, "no strings", "strings"),
        (Strings, "strings per unison", "strings"), (Strings, "string count", "strings"),
        (Strings, "bare end front", "bare_front"), (Strings, "bare hammer end", "bare_front"),
        (Strings, "bare end back", "bare_back"), (Strings, "bare bridge end", "bare_back"),
        (Strings, "strike point", "strike"), (Strings, "striking point", "strike"),
        (Strings, "strike distance", "strike"), (Strings, "wire material", "material"),
        (Strings, "weight per length", "mass_per_length"), (Strings, "back length", "back"),
        (Strings, "spacing of strings", "spacing"), (Strings, "string spacing", "spacing"),
        (Runs, "from note", "from"), (Runs, "first", "from"), (Runs, "first note", "from"),
        (Runs, "to note", "to"), (Runs, "last", "to"), (Runs, "last note", "to"),
        (Runs, "wire", "core"), (Runs, "wire diameter", "core"), (Runs, "diameter", "core"),
        (Runs, "wire no", "core_gauge"), (Runs, "wire gauge", "core_gauge"), (Runs, "gauge", "core_gauge"),
        (Runs, "unison", "strings"), (Runs, "strings per note", "strings"),
        (Hammers, "tone", "note"), (Hammers, "note name", "note"),
        (Hammers, "head", "note"), (Hammers, "hammer", "note"),
        (Hammers, "bore distance", "bore"), (Hammers, "boring", "bore"), (Hammers, "boring distance", "bore"),
        (Hammers, "rake angle", "rake"), (Hammers, "head weight", "head_mass"),
        (Hammers, "hammer weight", "head_mass"), (Hammers, "mass", "head_mass"), (Hammers, "weight", "head_mass"),
        (Hammers, "shank diameter", "shank"), (Hammers, "hole diameter", "hole"),
        (Hammers, "head width", "width"), (Hammers, "tail length", "tail"),
        (Hammers, "crown radius r", "crown_radius"), (Hammers, "radius", "crown_radius"),
        (Hammers, "flat length", "flat"), (Hammers, "outline width", "outline"),
        (Hammers, "blow distance", "blow"), (Hammers, "down weight", "down"), (Hammers, "up weight", "up"),
        (Hammers, "downweight", "down"), (Hammers, "upweight", "up"),
        (Hammers, "felt lost", "lost"), (Hammers, "felt left", "felt"), (Hammers, "felt thickness", "felt"),
        (Hammers, "mark length", "mark"), (Hammers, "string marks", "mark"), (Hammers, "spacing", "pitch"),
    ]
};

/// Words for remarks, which nobody reads.
const REMARKS: [&str; 6] = ["remark", "remarks", "comment", "comments", "notes", "observations"];
/// Words for the number of a key.
const KEYS: [&str; 6] = ["key", "key no", "note no", "hammer no", "head no", "no"];

/// The unit at the end of a head, and how its column is called.
fn unit_of(word: &str) -> Option<&'static str> {
    Some(match word {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => "_mm",
        "cm" | "centimetre" | "centimetres" | "centimeters" => "_cm",
        "in" | "inch" | "inches" => "_in",
        "g" | "gram" | "grams" | "gramme" | "grammes" => "_g",
        "g/m" => "_g_m",
        "n" | "newton" | "newtons" => "_n",
        "hz" | "hertz" => "_hz",
        "deg" | "degree" | "degrees" | "°" => "_deg",
        _ => return None,
    })
}

/// Whether a cell below a head holds nothing but its unit.
pub(super) fn is_unit(text: &str) -> bool {
    matches!(&words(text)[..], [unit] if unit_of(unit).is_some())
}

/// Whether a head says that a number stands below it, and not of what.
pub(super) fn is_bare_number(text: &str) -> bool {
    words(text) == ["no"]
}

/// The words of a head, in small letters, marks taken out.
fn words(text: &str) -> Vec<String> {
    let mut text = text.to_lowercase().replace("g/m", " gperm ").replace('°', " deg ");
    for (mark, word) in [
        ("ø", " diameter "),
        ("⌀", " diameter "),
        ("№", " no "),
        ("#", " no "),
        ("\"", " in "),
        ("”", " in "),
        ("″", " in "),
    ] {
        text = text.replace(mark, word);
    }
    let split = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let plain = split.map(|word| match word {
        "gperm" => "g/m",
        "nr" | "num" | "number" => "no",
        "dia" | "diam" => "diameter",
        "center" => "centre",
        "centers" => "centres",
        word => word,
    });
    plain.map(str::to_owned).collect()
}

/// The column that `text` heads, by the name of the dictionary with its unit; the unit is left out
/// where the head has none and the reading needs one.
pub(super) fn column_of(text: &str, table: Table) -> Option<String> {
    if of_table(table).any(|reading| reading.column() == text) {
        return Some(text.to_owned());
    }
    let mut words = words(text);
    let joined = words.join(" ");
    if REMARKS.contains(&joined.as_str()) {
        return Some(REMARK.to_owned());
    }
    if KEYS.contains(&joined.as_str()) {
        return Some(KEY.to_owned());
    }
    let whole = named(&words, table);
    if let Some(reading) = whole.iter().find(|reading| reading.unit.suffix().is_empty()) {
        return Some(reading.column());
    }
    let unit = words.last().and_then(|word| unit_of(word));
    if let Some(unit) = unit {
        words.pop();
        // `Length in mm`.
        if words.len() > 1 && words.last().is_some_and(|word| word == "in") {
            words.pop();
        }
        let fits = |of: Unit| match unit {
            "_in" | "_cm" => of == Unit::Millimetres,
            unit => of.suffix() == unit,
        };
        let reading = named(&words, table).into_iter().find(|reading| fits(reading.unit));
        return reading.map(|reading| format!("{}{unit}", reading.name));
    }
    whole.first().map(|reading| reading.name.to_owned())
}

/// The column that a head most likely means which none is called: a slip of the pen in the name of a reading or in
/// another word for it, its unit set aside.
pub(super) fn meant_column(text: &str, table: Table) -> Option<String> {
    let mut words = words(text);
    if words.len() > 1 && words.last().is_some_and(|word| unit_of(word).is_some()) {
        words.pop();
    }
    let head = words.join(" ");
    let own = of_table(table).map(|reading| reading.name.replace('_', " "));
    let also = ALSO.iter().filter(|(of, ..)| *of == table).map(|(_, words, _)| (*words).to_owned());
    let known: Vec<String> = own.chain(also).collect();
    let near = meant(&head, known.iter().map(String::as_str))?;
    let name = named(&near.split(' ').map(str::to_owned).collect::<Vec<_>>(), table);
    let unit = name.iter().find(|reading| !reading.unit.suffix().is_empty()).or(name.first())?;
    Some(unit.column())
}

/// Every reading that goes by these words.
fn named(words: &[String], table: Table) -> Vec<&'static crate::instrument::reading::Reading> {
    let (spaced, joined) = (words.join(" "), words.join("_"));
    let also = ALSO.iter().find(|(of, known, _)| *of == table && *known == spaced);
    let name = also.map_or(joined.as_str(), |(_, _, name)| name);
    of_table(table).filter(|reading| reading.name == name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_other_word_stands_for_a_reading_of_its_table() {
        for (table, words, name) in ALSO {
            assert!(of_table(*table).any(|reading| reading.name == *name), "{words}: {name}");
        }
    }

    #[test]
    fn every_head_of_the_dictionary_is_its_own_name() {
        for table in [Table::Strings, Table::Runs, Table::Hammers] {
            for reading in of_table(table) {
                assert_eq!(column_of(&reading.column(), table), Some(reading.column()));
            }
        }
    }

    #[test]
    fn a_slip_of_the_pen_in_a_head_is_taken_for_what_was_meant() {
        for (written, column) in [
            ("Lenght (mm)", "length_mm"),
            ("Speeking length mm", "length_mm"),
            ("overall diametre (mm)", "over_mm"),
            ("stike point", "strike_mm"),
            ("Wire guage", "core_gauge"),
        ] {
            assert_eq!(meant_column(written, Table::Strings).as_deref(), Some(column), "{written}");
        }
        for stranger in ["colour", "Tarn & Hollis", "mm", ""] {
            assert_eq!(meant_column(stranger, Table::Strings), None, "{stranger}");
        }
    }

    #[test]
    fn heads_are_understood_as_people_write_them() {
        for (written, column) in [
            ("Speaking length (mm)", "length_mm"),
            ("Length [in]", "length_in"),
            ("Length, cm", "length_cm"),
            ("CORE Ø MM", "core_mm"),
            ("Wire no.", "core_gauge"),
            ("Winding", "wrap"),
            ("Winding wire mm", "wrap_mm"),
            ("over\nwinding\n(mm)", "over_mm"),
            ("Mass per length g/m", "mass_per_length_g_m"),
            ("Note", "note"),
            ("Key №", "key"),
            ("Remarks", "remark"),
            ("Length", "length"),
            ("Length in mm", "length_mm"),
            ("Length in inches", "length_in"),
            ("Length in in.", "length_in"),
            ("Ø core, mm", "core_mm"),
            ("# strings", "strings"),
            ("#", "key"),
            ("Wire #", "core_gauge"),
            ("Strings per unison", "strings"),
        ] {
            assert_eq!(column_of(written, Table::Strings).as_deref(), Some(column), "{written}");
        }
        assert_eq!(column_of("Rake °", Table::Hammers).as_deref(), Some("rake_deg"));
        for stranger in ["colour", "length kg", "length mm in", "Tarn & Hollis", "A4", ""] {
            assert_eq!(column_of(stranger, Table::Strings), None, "{stranger}");
        }
    }
}
