//! How wide a text is, and which of the embedded fonts draws which character.

use super::assets;
use std::sync::LazyLock;
use ttf_parser::Face;

/// Weight of a text in a plot or drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Weight {
    #[default]
    Regular,
    SemiBold,
}

static REGULAR: LazyLock<Option<Face<'static>>> = LazyLock::new(|| parse(assets::SANS));
static SEMIBOLD: LazyLock<Option<Face<'static>>> = LazyLock::new(|| parse(assets::SANS_SEMIBOLD));
static SYMBOLS: LazyLock<Option<Face<'static>>> = LazyLock::new(|| parse(assets::SYMBOLS));

/// The fonts are part of the program and a test parses each; were one broken, its texts would measure
/// zero.
fn parse(bytes: &'static [u8]) -> Option<Face<'static>> {
    Face::parse(bytes, 0).ok()
}

/// Whether `c` is drawn by the second family: what the first lacks, and all superscripts, so that the
/// minus and the digits of a power match.
fn from_symbols(c: char) -> bool {
    matches!(c, '⁰' | '¹' | '²' | '³' | '⁴'..='⁻')
        || REGULAR.as_ref().is_some_and(|face| face.glyph_index(c).is_none())
}

/// Splits `text` into runs of one font each; `true` for the second family.
pub(super) fn runs(text: &str) -> Vec<(bool, String)> {
    let mut runs: Vec<(bool, String)> = Vec::new();
    for c in text.chars() {
        let symbols = from_symbols(c);
        match runs.last_mut() {
            Some((last, run)) if *last == symbols => run.push(c),
            _ => runs.push((symbols, c.to_string())),
        }
    }
    runs
}

/// Width of `text` at `size`, in the unit of `size`; kerning is left out.
pub(super) fn width(text: &str, size: f64, weight: Weight) -> f64 {
    let sans = match weight {
        Weight::Regular => REGULAR.as_ref(),
        Weight::SemiBold => SEMIBOLD.as_ref(),
    };
    text.chars()
        .map(|c| advance(if from_symbols(c) { SYMBOLS.as_ref() } else { sans }, c))
        .sum::<f64>()
        * size
}

/// `text`, cut and ended with `…` where it is wider than `widest`.
pub(super) fn fitted(text: &str, size: f64, weight: Weight, widest: f64) -> String {
    if width(text, size, weight) <= widest {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let cut = format!("{}…", kept.trim_end());
        if width(&cut, size, weight) <= widest {
            return cut;
        }
    }
    String::new()
}

/// `text` in lines not wider than `widest`; a word wider than that is cut.
pub(super) fn wrapped(text: &str, size: f64, weight: Weight, widest: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // A hard space keeps a figure and its unit on one line.
    for word in text.split([' ', '\n']).filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size, weight) <= widest => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fitted(word, size, weight, widest)),
        }
    }
    lines
}

/// Advance of `c` in units of the font's size.
fn advance(face: Option<&Face<'static>>, c: char) -> f64 {
    face.map_or(0.0, |face| {
        let glyph = face.glyph_index(c).unwrap_or_default();
        f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) / f64::from(face.units_per_em())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_embedded_font_parses_and_figures_have_one_width() {
        for bytes in assets::FONTS {
            assert!(parse(bytes).is_some());
        }
        for digit in '1'..='9' {
            let difference = advance(REGULAR.as_ref(), digit) - advance(REGULAR.as_ref(), '0');
            assert!(difference.abs() < 1e-12, "{digit}");
        }
    }

    #[test]
    fn long_texts_are_wrapped_and_cut_to_their_room() {
        let fits = |text: &str| width(text, 10.0, Weight::Regular) <= 100.0;
        let lines = wrapped(
            "a section with a very longwindedlyconcatenatedname indeed",
            10.0,
            Weight::Regular,
            100.0,
        );
        assert!(lines.len() > 2 && lines.iter().all(|line| fits(line)), "{lines:?}");
        assert_eq!(fitted("short", 10.0, Weight::Regular, 100.0), "short");
        let cut = fitted(&"long ".repeat(20), 10.0, Weight::Regular, 100.0);
        assert!(cut.ends_with('…') && cut.len() > 10 && fits(&cut), "{cut}");
        assert_eq!(fitted("x", 10.0, Weight::Regular, 1.0), "");
    }

    #[test]
    fn sharps_and_powers_come_whole_from_the_second_family() {
        let expected = [(false, "F".to_owned()), (true, "♯".to_owned()), (false, "5".to_owned())];
        assert_eq!(runs("F♯5"), expected);
        assert_eq!(runs("10⁻⁴")[1], (true, "⁻⁴".to_owned()));
    }
}
