//! Numbers as a spreadsheet shows them: fifteen digits, of the seventeen that it keeps.

/// `0.1 + 0.2` as `0.3`, as every spreadsheet shows it.
pub(super) fn number_text(value: f64) -> String {
    let kept = format!("{value:.14e}").parse().unwrap_or(value);
    if kept == 0.0 {
        return "0".to_owned();
    }
    let plain = (1e-9..1e15).contains(&f64::abs(kept));
    if plain { format!("{kept}") } else { format!("{kept:e}") }
}

#[cfg(test)]
mod tests {
    use super::number_text;

    #[test]
    fn numbers_are_shown_as_they_were_typed() {
        assert_eq!(number_text(0.1 + 0.2), "0.3");
        assert_eq!(number_text(1.0 / 3.0), "0.333333333333333");
        assert_eq!(number_text(980.0), "980");
        assert_eq!(number_text(15.5), "15.5");
        assert_eq!(number_text(1e300), "1e300");
        assert_eq!(number_text(-0.0), "0");
    }
}
