//! What a word means, completions and the manual.

use super::program::{feltwire, text};

fn says(args: &[&str]) -> String {
    let done = feltwire(args);
    assert_eq!(done.status.code(), Some(0), "{args:?}: {}", text(&done.stderr));
    let said = text(&done.stdout);
    let json = args.contains(&"--json");
    assert!(json || said.lines().all(|line| line.chars().count() <= 100), "{said}");
    said
}

#[test]
fn every_word_listed_is_explained_and_a_caution_stands_where_it_hurts() {
    let all: serde_json::Value =
        serde_json::from_str(&says(&["explain", "--json"])).expect("one object");
    let terms = all["terms"].as_array().expect("a list");
    assert!(terms.len() > 90, "{}", terms.len());
    let listed = says(&["explain"]).replace('\n', " ").replace("   ", " ").replace("  ", " ");
    for term in terms {
        let name = term["term"].as_str().expect("a word");
        assert!(listed.contains(name), "{name} is not listed");
    }
    for (word, caution) in [
        ("pitch raise", "eye and face protection"),
        ("down weight", "lead"),
        ("filing", "dust"),
        ("plate", "qualified person"),
    ] {
        let said = says(&["explain", word]).replace("\n    ", " ");
        assert!(said.contains(caution), "{word}: {said}");
    }
}

#[test]
fn other_words_capitals_columns_and_limits_lead_to_their_meaning() {
    assert!(says(&["explain", "Wrest", "Pin"]).starts_with("tuning pin (mm)\n"));
    assert!(says(&["explain", "bare_front_mm"]).contains("column of the table of strings"));
    assert!(says(&["explain", "pin-loose"]).starts_with("pin_loose (limit): "));
    let both = says(&["explain", "bore"]);
    assert!(both.starts_with("bore (mm)\n") && both.contains("bore_mm (column"), "{both}");
}

#[test]
fn a_word_unknown_is_answered_with_its_neighbours() {
    let done = feltwire(&["explain", "windig"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("did you mean winding"), "{}", text(&done.stderr));
    let done = feltwire(&["explain", "qqqq"]);
    assert!(text(&done.stderr).contains("lists every word"), "{}", text(&done.stderr));
}

#[test]
fn every_shell_completes_and_the_manual_has_every_command() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let done = feltwire(&["completions", shell]);
        assert_eq!(done.status.code(), Some(0), "{shell}");
        assert!(text(&done.stdout).contains("packet"), "{shell}");
    }
    let manual = text(&feltwire(&["manual"]).stdout);
    for command in ["check", "scale", "breaks", "decide", "hammers", "limits", "explain", "packet"]
    {
        assert!(manual.contains(&format!(".TH feltwire-{command} 1")), "{command}");
    }
}
