//! Words of a PDF and where they stand, as poppler's `pdftotext` reads them.

use std::process::Command;

/// One page: its size and its words with their boxes (left, top, right, bottom), in points.
pub struct Page {
    pub size: (f64, f64),
    pub words: Vec<(String, [f64; 4])>,
}

/// Runs a tool of poppler-utils on `bytes` and hands back what it prints.
fn poppler(tool: &str, before: &[&str], bytes: &[u8], name: &str) -> String {
    let path = super::leave(&format!("{name}.pdf"), bytes);
    let output = Command::new(tool)
        .args(before)
        .arg(&path)
        .args(if tool == "pdftotext" { &["-"][..] } else { &[] })
        .output()
        .unwrap_or_else(|fault| panic!("{tool} of poppler-utils must be installed: {fault}"));
    assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// Page `number` of a PDF as a grey PNG.
pub fn picture(bytes: &[u8], number: u32, dpi: u32) -> Vec<u8> {
    let folder = tempfile::tempdir().expect("a folder");
    let (pdf, png) = (folder.path().join("page.pdf"), folder.path().join("page"));
    std::fs::write(&pdf, bytes).expect("writable");
    let (number, dpi) = (number.to_string(), dpi.to_string());
    let output = Command::new("pdftoppm")
        .args(["-gray", "-png", "-singlefile", "-r", &dpi, "-f", &number, "-l", &number])
        .args([&pdf, &png])
        .output()
        .unwrap_or_else(|fault| panic!("pdftoppm of poppler-utils must be installed: {fault}"));
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    std::fs::read(png.with_extension("png")).expect("drawn")
}

/// Pages and words of a PDF.
pub fn pages(bytes: &[u8], name: &str) -> Vec<Page> {
    let listing = poppler("pdftotext", &["-bbox"], bytes, name);
    let number = |line: &str, key: &str| -> f64 {
        let from = line.find(&format!(" {key}=\"")).expect(key) + key.len() + 3;
        line[from..].split('"').next().and_then(|n| n.parse().ok()).expect(key)
    };
    let mut pages: Vec<Page> = Vec::new();
    for line in listing.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(Page {
                size: (number(line, "width"), number(line, "height")),
                words: Vec::new(),
            });
        } else if line.starts_with("<word ") {
            let word =
                line.split_once('>').and_then(|(_, rest)| rest.split_once('<')).expect("a word").0;
            let sides = ["xMin", "yMin", "xMax", "yMax"].map(|key| number(line, key));
            let word = word.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
            pages.last_mut().expect("inside a page").words.push((word, sides));
        }
    }
    pages
}

/// Every fault found: a word outside its page, two words over each other.
///
/// poppler's boxes are a whole line high, ascent to descent of the font; a fifth of that is taken off
/// above and below, which is air in ours.
pub fn faults(pages: &[Page]) -> Vec<String> {
    let mut faults = Vec::new();
    for (number, page) in pages.iter().enumerate() {
        let tight: Vec<[f64; 4]> = page
            .words
            .iter()
            .map(|(_, [l, t, r, b])| {
                let air = 0.2 * (b - t).min(r - l);
                [*l + 0.05, t + air, *r - 0.05, b - air]
            })
            .collect();
        for (index, (word, [l, t, r, b])) in page.words.iter().enumerate() {
            if *l < 0.0 || *t < 0.0 || *r > page.size.0 || *b > page.size.1 {
                faults.push(format!("page {}: `{word}` leaves the page", number + 1));
            }
            let [l, t, r, b] = tight[index];
            for (other, [ol, ot, or, ob]) in
                page.words.iter().zip(&tight).take(index).map(|(w, b)| (&w.0, b))
            {
                if l < *or && *ol < r && t < *ob && *ot < b {
                    faults.push(format!("page {}: `{word}` lies over `{other}`", number + 1));
                }
            }
        }
    }
    faults
}

/// Fonts of a PDF that are not embedded.
pub fn fonts_outside(bytes: &[u8], name: &str) -> Vec<String> {
    let listing = poppler("pdffonts", &[], bytes, name);
    let rows: Vec<&str> = listing.lines().skip(2).collect();
    assert!(!rows.is_empty(), "{name} has no fonts");
    // Columns from the right: object ID (two), uni, sub, emb.
    let embedded = |row: &str| row.split_whitespace().rev().nth(4).map(str::to_owned);
    rows.into_iter()
        .filter(|row| embedded(row).as_deref() != Some("yes"))
        .map(str::to_owned)
        .collect()
}
