//! Notes, keys and wire numbers as they are written at the bench: `A# 3`, `key 38`, `A#3/Bb3`, `#15`, `No. 15`.
//!
//! Only what can be read one way: a text that names two different notes names none.

use crate::measure::Note;

/// A number without the mark before it that says that it is one: `#15`, `No. 15`, `№ 15`.
pub(super) fn without_mark(text: &str) -> &str {
    const MARKS: [&str; 8] = ["№", "#", "no", "nr", "nº", "n°", "number", "num"];
    let text = text.trim();
    let rest = |mark: &&str| {
        let head = text.get(..mark.len()).filter(|head| head.eq_ignore_ascii_case(mark))?;
        let rest = text[head.len()..].trim_start();
        let rest = rest.strip_prefix('.').unwrap_or(rest).trim_start();
        rest.starts_with(|c: char| c.is_ascii_digit()).then_some(rest)
    };
    MARKS.iter().find_map(rest).unwrap_or(text)
}

/// The digits of a key number that says that it is one: `38`, `key 38`, `#38`, `Key no. 38`.
pub(super) fn key_digits(text: &str) -> &str {
    let text = text.trim();
    let after = text.get(..3).filter(|head| head.eq_ignore_ascii_case("key"));
    whole(without_mark(after.map_or(text, |_| &text[3..])))
}

/// A whole number without the noughts that a spreadsheet shows behind it: `3.00`, `3,0`.
pub(super) fn whole(text: &str) -> &str {
    match text.split_once(['.', ',']) {
        Some((whole, noughts)) if !noughts.is_empty() && noughts.bytes().all(|b| b == b'0') => {
            whole
        }
        _ => text,
    }
}

/// The note that a name stands for, in any spelling that stands for one note alone.
pub(super) fn note(text: &str) -> Option<Note> {
    const LONGEST: usize = 32;
    if text.len() > LONGEST {
        return None;
    }
    if let Ok(note) = Note::parse(text) {
        return Some(note);
    }
    let mut both = text.splitn(2, ['/', '=']);
    if let (Some(one), Some(other)) = (both.next(), both.next()) {
        return note(one).filter(|named| note(other) == Some(*named));
    }
    let text = text.trim().trim_end_matches('.');
    if let Some((name, key)) = text.strip_suffix(')').and_then(|text| text.split_once('(')) {
        return note(name).filter(|named| key_digits(key) == named.key().to_string());
    }
    let (letter, rest) = text.split_at_checked(1)?;
    let signs = rest.to_lowercase().replace("sharp", "#").replace("flat", "b");
    let joined: String =
        letter.chars().chain(signs.chars()).filter(|c| !c.is_whitespace()).collect();
    // One letter, at most one sign, one digit, however far apart they stand.
    (joined.chars().count() <= 3).then(|| Note::parse(&joined).ok()).flatten()
}

/// The note of `C40`: its letter with the number of its key, where no octave is meant.
pub(super) fn letter_with_key(text: &str) -> Option<Note> {
    let digits = text.trim().find(|c: char| c.is_ascii_digit())?;
    let (name, number) = text.trim().split_at(digits);
    let note = number.parse().ok().filter(|key| *key > 8).and_then(Note::from_key)?;
    let octave = note.to_string().chars().last()?;
    (Note::parse(&format!("{name}{octave}")) == Ok(note)).then_some(note)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_is_read_in_every_spelling_that_can_only_mean_it() {
        for written in [
            "A# 3",
            "a♯ 3",
            "B b 3",
            "A sharp 3",
            "B flat 3",
            "A#3/Bb3",
            "Bb3 / A#3",
            "A#3 = Bb3",
            "A#3 (38)",
            "A#3 (key 38)",
            "A#3.",
        ] {
            assert_eq!(note(written).map(Note::key), Some(38), "{written}");
        }
    }

    #[test]
    fn a_text_that_names_two_notes_or_none_is_no_note() {
        for written in [
            "A#3/B3",
            "A#3-B3",
            "A#3 (37)",
            "A##3",
            "A3#",
            "H3",
            "B",
            "A 38",
            "37 A#3",
            "A-3",
            "3A",
            "",
            "/",
            "A#3/",
            "(38)",
            "flat",
            "flat 3",
            "sharp 3",
            "A#3/Bb3/A#4",
        ] {
            assert_eq!(note(written), None, "{written}");
        }
    }

    #[test]
    fn a_letter_with_the_number_of_its_key_is_known_for_what_it_is() {
        for (written, named) in [("C40", "C4"), ("a49", "A4"), ("A#38", "A#3"), ("Bb38", "A#3")] {
            assert_eq!(letter_with_key(written), Note::parse(named).ok(), "{written}");
        }
        for other in ["C4", "C41", "H12", "40", "C", "A99", "C4x"] {
            assert_eq!(letter_with_key(other), None, "{other}");
        }
    }

    #[test]
    fn a_number_may_have_its_mark() {
        for written in ["15½", "#15½", "# 15½", "No. 15½", "no.15½", "Nr 15½", "№ 15½", " nº 15½ "]
        {
            assert_eq!(without_mark(written), "15½", "{written}");
        }
        for other in ["#", "No.", "north 15", "##15", "# #15", "M15"] {
            assert_eq!(without_mark(other), other);
        }
        for written in ["38", "key 38", "Key no. 38", "#38", "38.0", "38,00", "KEY #38"] {
            assert_eq!(key_digits(written), "38", "{written}");
        }
        assert_ne!(key_digits("monkey 38"), "38");
    }
}
