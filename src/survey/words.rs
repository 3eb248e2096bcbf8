//! Words: what may not stand in a name, how found text is shown, which word was probably meant.

use std::fmt::Write as _;

/// Whether a character is invisible or turns the direction of writing: refused in names.
pub(super) fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// Found text as a message shows it: on one line, hidden characters by number, cut when long.
pub(super) fn shown(text: &str) -> String {
    const LONGEST: usize = 48;
    let mut out = String::new();
    for (count, c) in text.trim().chars().enumerate() {
        if count == LONGEST {
            out.push('…');
            break;
        }
        if is_hidden(c) {
            let _ = write!(out, "<U+{:04X}>", c as u32);
        } else {
            out.push(c);
        }
    }
    out
}

/// The one of `known` nearest to `word`, when it is near enough to be a slip of the pen.
pub(super) fn meant<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let word: String = word.chars().take(64).flat_map(char::to_lowercase).collect();
    known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&word, &name.to_lowercase()), name))
        .filter(|(distance, name)| *distance <= name.chars().count() / 3)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// `a, b or c`.
pub(super) fn any_of<'k>(names: impl IntoIterator<Item = &'k str>) -> String {
    let names: Vec<_> = names.into_iter().collect();
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_pen_are_recognised_and_strangers_are_not() {
        let known = ["length", "core", "serial", "name"];
        assert_eq!(meant("lenght", known), Some("length"));
        assert_eq!(meant("Core", known), Some("core"));
        assert_eq!(meant("colour", known), None);
    }

    #[test]
    fn hidden_characters_are_shown_by_number() {
        assert_eq!(shown("a\u{202e}b\n\u{1b}[1m"), "a<U+202E>b<U+000A><U+001B>[1m");
    }
}
