use super::*;

#[test]
fn names_are_snake_case_and_their_own() {
    for (index, limit) in OURS.iter().enumerate() {
        assert_eq!(limit.key as usize, index, "{}", limit.name);
        assert!(
            limit.name.bytes().all(|b| b.is_ascii_lowercase() || b == b'_' || b.is_ascii_digit())
        );
        assert!(!limit.about.is_empty() && limit.unit.allows(limit.value), "{}", limit.name);
        assert_eq!(OURS.iter().filter(|other| other.name == limit.name).count(), 1);
    }
}

#[test]
fn a_survey_sets_a_limit_and_it_is_marked() {
    let set = |name: &str, value| LimitOverride { name: name.into(), value };
    let limits = Limits::with(&[set("break_load", 12.0), set("break_load", 8.0)]);
    let load = limits.limit(LimitKey::BreakLoad);
    assert_eq!((load.value, load.instead_of, load.source), (8.0, Some(10.0), LimitSource::Survey));
    assert_eq!(limits.overridden().count(), 1);
    assert!(limits.warnings().is_empty());
}

#[test]
fn a_wrong_name_or_value_changes_nothing_and_says_so() {
    let set = |name: &str, value| LimitOverride { name: name.into(), value };
    let wrong = [
        set("break_tensions", 5.0),
        set("break_load", f64::NAN),
        set("break_inharmonicity", 0.5),
        set("break_rough_above", 1.5),
        set("break_drift", -3.0),
    ];
    let limits = Limits::with(&wrong);
    assert_eq!(limits.warnings().len(), wrong.len());
    assert_eq!(limits.iter().copied().collect::<Vec<_>>(), OURS.to_vec());
    let said = format!("{:?}", limits.warnings()[0].text);
    assert!(said.contains("`break_tension`"), "{said}");
}
