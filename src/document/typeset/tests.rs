use super::*;

fn origin() -> Origin {
    Origin {
        survey: "Tarn & Hollis 124".to_owned(),
        content_hash: "3f9a 01c4".to_owned(),
        shop: Some("Birch Lane Piano Workshop".to_owned()),
        address: vec!["2 Birch Lane".to_owned(), "Netherby".to_owned()],
        logo: None,
        date: Date::new(2026, 11, 25).expect("a day"),
    }
}

fn plain(text: &str, data: &impl Serialize) -> Result<Vec<u8>, TypesetFault> {
    set("test.typ", text, data, &[], &origin(), Paper::A4)
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let text = "#set document(title: \"t\")\n= Head\n#json(\"data.json\").name";
    let data = serde_json::json!({ "name": "Tarn" });
    let once = plain(text, &data).expect("sets");
    assert!(once.starts_with(b"%PDF-1.7"));
    assert_eq!(once, plain(text, &data).expect("sets"));
}

#[test]
fn no_file_package_or_clock_is_within_reach() {
    let none = serde_json::json!({});
    for text in [
        "#read(\"/etc/passwd\")",
        "#read(\"../Cargo.toml\")",
        "#import \"@preview/example:0.1.0\": add",
        "#datetime.today()",
    ] {
        let fault = plain(text, &none).expect_err(text);
        assert!(fault.messages[0].starts_with("test.typ:1: "), "{fault}");
    }
}

#[test]
fn a_number_that_is_none_is_refused_by_its_place() {
    #[derive(Serialize)]
    struct Data {
        tension_n: f64,
    }
    let fault = plain("#1", &Data { tension_n: f64::NAN }).expect_err("NaN");
    assert_eq!(fault.messages, ["a number at tension_n is not finite"]);
}

#[test]
fn a_character_that_no_font_can_draw_does_not_stop_the_page() {
    // PDF/A refuses glyphs that are not there.
    let data = serde_json::json!({ "name": "Пианино 鋼琴 \u{200b}𝄞 ♯♭⌀⁻⁴" });
    let text = "#set document(title: \"t\")\n#set text(font: (\"IBM Plex Sans\", \"DejaVu Sans\"))\n#json(\"data.json\").name";
    assert!(plain(text, &data).is_ok());
    assert_eq!(covered("鋼A♯"), "\u{fffd}A♯");
    assert_eq!(covered(r#"a\\u\u0001\n\b\""#), "a\\\\u\u{fffd}\\n\u{fffd}\\\"");
    // Private, empty, joining, turning, combining and unfinished.
    for odd in [
        "\u{f6c5}",
        "\u{e000}",
        "\u{feff}",
        "\u{fffe}",
        "\u{ffff}",
        "\u{10fffd}",
        "\u{ad}",
        "\u{34f}",
        "\u{200d}",
        "\u{2060}",
        "\u{202e}",
        "\u{2028}",
        "\u{fffc}",
        "e\u{301}\u{323}",
        "\u{301}",
        "ﷺ",
        "عربي",
        "עברית",
        "❤\u{fe0f}",
        "\u{e0041}",
        "\u{85}",
        "\u{1}",
    ] {
        let data = serde_json::json!({ "name": format!("A{odd}B") });
        let set = plain(text, &data);
        assert!(set.is_ok(), "{odd:?}: {set:?}");
    }
}

#[test]
fn the_mark_of_the_workshop_is_printed_where_there_is_one() {
    let mark = resvg::tiny_skia::Pixmap::new(30, 20).expect("a size").encode_png().expect("PNG");
    let with = Origin { logo: Some(mark), ..origin() };
    let text = "#import \"style.typ\": *\n#show: pages.with(title: \"Head\")";
    let set = |origin: &Origin| set("test.typ", text, &(), &[], origin, Paper::A4).expect("sets");
    let pictures = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).matches("/Image").count();
    assert!(pictures(set(&with)) > pictures(set(&origin())));
}
