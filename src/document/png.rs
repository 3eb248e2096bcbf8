//! Plots and drawings as PNG, drawn with the embedded fonts only.

use super::assets;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};
use std::fmt;
use std::sync::{Arc, LazyLock};

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for bytes in assets::FONTS {
        fonts.load_font_data(bytes.to_vec());
    }
    fonts.set_sans_serif_family(assets::SANS_FAMILY);
    Arc::new(fonts)
});

/// Why an SVG could not be turned into pixels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PngFault(pub String);

impl fmt::Display for PngFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the picture could not be drawn: {}", self.0)
    }
}

impl std::error::Error for PngFault {}

/// Widest picture that is drawn, in pixels.
const WIDEST: u32 = 10_000;

fn tree(svg: &str) -> Result<Tree, PngFault> {
    let options = Options {
        fontdb: Arc::clone(&FONTS),
        font_family: assets::SANS_FAMILY.to_owned(),
        ..Options::default()
    };
    Tree::from_str(svg, &options).map_err(|fault| PngFault(fault.to_string()))
}

/// `svg` as a PNG `width` pixels wide (1 to 10 000), its height in proportion.
pub fn png(svg: &str, width: u32) -> Result<Vec<u8>, PngFault> {
    if !(1..=WIDEST).contains(&width) {
        return Err(PngFault(format!("a width of {width} pixels is not between 1 and {WIDEST}")));
    }
    let tree = tree(svg)?;
    let scale = width as f32 / tree.size().width();
    let height = (tree.size().height() * scale).round().max(1.0) as u32;
    let mut pixels = Pixmap::new(width, height)
        .ok_or_else(|| PngFault(format!("{width} × {height} pixels are too many")))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.encode_png().map_err(|fault| PngFault(fault.to_string()))
}

/// Every text of an SVG and the box its glyphs fill (left, top, right, bottom), as a reader of SVG
/// that is not ours lays them out: for tests that nothing overlaps or leaves the sheet.
pub fn text_boxes(svg: &str) -> Result<TextBoxes, PngFault> {
    let tree = tree(svg)?;
    let mut texts = Vec::new();
    collect(tree.root(), &mut texts);
    let size = tree.size();
    Ok(TextBoxes { sheet: (f64::from(size.width()), f64::from(size.height())), texts })
}

/// The texts of one SVG.
#[derive(Debug, Clone, PartialEq)]
pub struct TextBoxes {
    /// Width and height of the sheet.
    pub sheet: (f64, f64),
    /// What stands where: left, top, right, bottom.
    pub texts: Vec<(String, [f64; 4])>,
}

impl TextBoxes {
    /// Every fault found: a text outside the sheet, two texts over each other.
    pub fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for (index, (text, [l, t, r, b])) in self.texts.iter().enumerate() {
            if *l < 0.0 || *t < 0.0 || *r > self.sheet.0 || *b > self.sheet.1 {
                faults.push(format!("`{text}` leaves the sheet"));
            }
            for (other, [ol, ot, or, ob]) in &self.texts[..index] {
                if l < or && ol < r && t < ob && ot < b {
                    faults.push(format!("`{text}` lies over `{other}`"));
                }
            }
        }
        faults
    }
}

fn collect(group: &resvg::usvg::Group, texts: &mut Vec<(String, [f64; 4])>) {
    for node in group.children() {
        match node {
            resvg::usvg::Node::Group(inner) => collect(inner, texts),
            resvg::usvg::Node::Text(text) => {
                let words: String =
                    text.chunks().iter().map(resvg::usvg::TextChunk::text).collect();
                // The glyphs' own box knows nothing of what the text was turned by.
                let glyphs = text.flattened().bounding_box();
                let at = glyphs.transform(text.abs_transform()).unwrap_or(glyphs);
                let sides = [at.left(), at.top(), at.right(), at.bottom()].map(f64::from);
                texts.push((words, sides));
            }
            _ => {}
        }
    }
}
