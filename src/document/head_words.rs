//! The head of a column in words: what the glossary says of it, its unit, and what its marks mean.

use super::lookup;
use crate::judgement::limit::Limits;

/// The ends of keys that are units, the longer before those that they end in.
const UNITS: [(&str, &str); 14] = [
    ("_g_m", "grams a metre"),
    ("_kg_s", "kilograms a second"),
    ("_beats_s", "beats a second"),
    ("_per_s", "a second"),
    ("_mm", "millimetres"),
    ("_kn", "kilonewtons"),
    ("_tf", "tonnes-force"),
    ("_mpa", "megapascals"),
    ("_hz", "hertz"),
    ("_cents", "cents"),
    ("_deg", "degrees"),
    ("_percent", "per cent"),
    ("_n", "newtons"),
    ("_g", "grams"),
];

/// Parts of keys that say which figure of several it is.
const MARKS: [(&str, &str); 6] = [
    ("sd", "one standard deviation, from the readings"),
    ("lo", "one time in twenty it is below this"),
    ("hi", "one time in twenty it is above this"),
    ("scatter", "the part of each reading by itself"),
    ("shared", "the part that readings of one tool share"),
    ("material", "the part of what the material leaves open"),
];

/// What the head `name` says, or nothing where there is no more to say than its name does.
pub(super) fn in_words(name: &str) -> Option<String> {
    let key = name.rsplit(' ').find(|key| key.parse::<u32>().is_err())?;
    // A mark may stand behind the unit: load_percent_sd.
    let parts: Vec<&str> = key.split('_').collect();
    let marks: Vec<&str> =
        MARKS.iter().filter(|(mark, _)| parts[1..].contains(mark)).map(|(_, says)| *says).collect();
    let bare: Vec<&str> = parts
        .iter()
        .enumerate()
        .filter(|(i, part)| *i == 0 || MARKS.iter().all(|(mark, _)| mark != *part))
        .map(|(_, part)| *part)
        .collect();
    let bare = bare.join("_");
    let unit = UNITS.iter().find_map(|(end, says)| Some((bare.strip_suffix(end)?, *says)));
    let (base, unit) = unit.map_or((bare.as_str(), None), |(base, says)| (base, Some(says)));
    let meaning = lookup::lookup(base, &Limits::default()).ok().and_then(|entry| entry.term);
    let says: Vec<&str> = meaning
        .map(|term| term.meaning.trim_end_matches('.'))
        .into_iter()
        .chain(unit)
        .chain(marks)
        .collect();
    if says.is_empty() { None } else { Some(format!("{}.", says.join("; "))) }
}

#[cfg(test)]
mod tests {
    use super::in_words;

    #[test]
    fn a_head_is_said_with_its_unit_and_its_marks() {
        let says = |name| in_words(name).unwrap_or_else(|| panic!("{name}"));
        assert!(
            says("tension_sd_n").ends_with("newtons; one standard deviation, from the readings.")
        );
        assert!(
            says("load_percent_lo").ends_with("per cent; one time in twenty it is below this.")
        );
        assert!(says("mass_per_length_g_m").ends_with("grams a metre."));
        assert!(says("bore_mm").len() > "millimetres.".len());
        assert!(says("partials_hz 3").ends_with("hertz."));
        assert_eq!(in_words("remark"), None);
    }
}
