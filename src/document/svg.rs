//! A sheet to draw on, written as SVG: lines, shapes and measured text, every text escaped.

use super::face::{self, Weight};
use std::fmt::Write as _;

/// A rectangle: left, top, right, bottom; y grows downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Rect {
    pub(super) const fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self { left, top, right, bottom }
    }

    pub(super) fn around(x: f64, y: f64, reach: f64) -> Self {
        Self::new(x - reach, y - reach, x + reach, y + reach)
    }

    pub(super) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(super) fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    /// Distance between the nearest points of the two; zero when they overlap.
    pub(super) fn distance(&self, other: &Self) -> f64 {
        let dx = (self.left - other.right).max(other.left - self.right).max(0.0);
        let dy = (self.top - other.bottom).max(other.top - self.bottom).max(0.0);
        dx.hypot(dy)
    }
}

/// A line's colour, width and dashes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pen {
    pub colour: &'static str,
    pub width: f64,
    /// Lengths of dash and gap.
    pub dash: Option<(f64, f64)>,
}

impl Pen {
    pub(super) const fn new(colour: &'static str, width: f64) -> Self {
        Self { colour, width, dash: None }
    }

    pub(super) const fn dashed(colour: &'static str, width: f64, dash: f64, gap: f64) -> Self {
        Self { colour, width, dash: Some((dash, gap)) }
    }
}

/// Which point of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    pub size: f64,
    pub weight: Weight,
    pub colour: &'static str,
    pub anchor: Anchor,
    /// Reads upwards, turned a quarter to the left.
    pub upright: bool,
    /// A white rim, so that the text stays legible on a line.
    pub halo: bool,
}

impl Type {
    pub(super) const fn new(size: f64, colour: &'static str) -> Self {
        Self {
            size,
            weight: Weight::Regular,
            colour,
            anchor: Anchor::Start,
            upright: false,
            halo: false,
        }
    }

    pub(super) const fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    pub(super) const fn bold(self) -> Self {
        Self { weight: Weight::SemiBold, ..self }
    }

    pub(super) const fn upright(self) -> Self {
        Self { upright: true, ..self }
    }

    pub(super) const fn halo(self) -> Self {
        Self { halo: true, ..self }
    }

    /// Width of `text` along its line.
    pub(super) fn width(&self, text: &str) -> f64 {
        face::width(text, self.size, self.weight)
    }

    /// `text`, cut where it is wider than `widest`.
    pub(super) fn fitted(&self, text: &str, widest: f64) -> String {
        face::fitted(text, self.size, self.weight, widest)
    }

    /// `text` in lines not wider than `widest`.
    pub(super) fn wrapped(&self, text: &str, widest: f64) -> Vec<String> {
        face::wrapped(text, self.size, self.weight, widest)
    }

    /// Where `text` lies when its anchor stands at `(x, y)`, y its baseline.
    pub(super) fn extent(&self, x: f64, y: f64, text: &str) -> Rect {
        let width = self.width(text);
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5 * width,
            Anchor::End => width,
        };
        // Height of capitals and depth of descenders over the size, of the first family.
        let (rise, fall) = (0.73 * self.size, 0.21 * self.size);
        if self.upright {
            Rect::new(x - rise, y - (width - before), x + fall, y + before)
        } else {
            Rect::new(x - before, y - rise, x + width - before, y + fall)
        }
    }
}

/// A sheet being drawn.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    width: f64,
    height: f64,
    body: String,
}

impl Sheet {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self { width, height, body: String::new() }
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), pen: Pen) {
        self.path(&[from, to], pen, None, false);
    }

    pub(super) fn polyline(&mut self, points: &[(f64, f64)], pen: Pen) {
        self.path(points, pen, None, false);
    }

    /// A closed shape: outline, fill or both.
    pub(super) fn polygon(
        &mut self,
        points: &[(f64, f64)],
        outline: Option<Pen>,
        fill: Option<&'static str>,
    ) {
        self.path(points, outline.unwrap_or(Pen::new("none", 0.0)), fill, true);
    }

    pub(super) fn rect(&mut self, rect: Rect, outline: Option<Pen>, fill: Option<&'static str>) {
        let Rect { left, top, right, bottom } = rect;
        self.polygon(&[(left, top), (right, top), (right, bottom), (left, bottom)], outline, fill);
    }

    fn path(&mut self, points: &[(f64, f64)], pen: Pen, fill: Option<&'static str>, closed: bool) {
        let mut d = String::new();
        for (index, &(x, y)) in points.iter().enumerate() {
            d.push(if index == 0 { 'M' } else { 'L' });
            let _ = write!(d, "{} {}", number(x), number(y));
        }
        if closed {
            d.push('Z');
        }
        self.curve(&d, pen, fill);
    }

    /// A path in SVG's own words (numbers only, made by us).
    pub(super) fn curve(&mut self, d: &str, pen: Pen, fill: Option<&'static str>) {
        let _ = write!(self.body, "<path d=\"{d}\" fill=\"{}\"", fill.unwrap_or("none"));
        if pen.width > 0.0 {
            let _ = write!(
                self.body,
                " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
                pen.colour,
                number(pen.width)
            );
        }
        if let Some((dash, gap)) = pen.dash {
            let _ = write!(self.body, " stroke-dasharray=\"{} {}\"", number(dash), number(gap));
        }
        self.body.push_str("/>\n");
    }

    pub(super) fn circle(
        &mut self,
        (x, y): (f64, f64),
        radius: f64,
        outline: Option<Pen>,
        fill: Option<&'static str>,
    ) {
        let (x, y, r) = (number(x), number(y), number(radius));
        let _ = write!(
            self.body,
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\" fill=\"{}\"",
            fill.unwrap_or("none")
        );
        if let Some(pen) = outline {
            let width = number(pen.width);
            let _ = write!(self.body, " stroke=\"{}\" stroke-width=\"{width}\"", pen.colour);
        }
        self.body.push_str("/>\n");
    }

    /// Writes `text` with its anchor at `(x, y)`, y its baseline.
    pub(super) fn text(&mut self, x: f64, y: f64, text: &str, set: &Type) {
        if text.is_empty() {
            return;
        }
        let pivot = x;
        let runs = face::runs(text);
        // Runs of several fonts stand side by side at places of their own: one run that lacks a glyph
        // would otherwise change the font of its neighbours.
        let (x, anchor) = match (set.anchor, runs.len()) {
            (Anchor::Start, _) => (x, "start"),
            (Anchor::Middle, 1) => (x, "middle"),
            (Anchor::End, 1) => (x, "end"),
            (Anchor::Middle, _) => (x - 0.5 * set.width(text), "start"),
            (Anchor::End, _) => (x - set.width(text), "start"),
        };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\" text-anchor=\"{anchor}\"",
            number(x),
            number(y),
            number(set.size),
            set.colour
        );
        if set.weight == Weight::SemiBold {
            self.body.push_str(" font-weight=\"600\"");
        }
        if set.upright {
            let _ = write!(self.body, " transform=\"rotate(-90 {} {})\"", number(pivot), number(y));
        }
        if set.halo {
            let _ = write!(
                self.body,
                " stroke=\"#ffffff\" stroke-width=\"{}\" stroke-linejoin=\"round\" \
                 paint-order=\"stroke\"",
                number(0.28 * set.size)
            );
        }
        self.body.push('>');
        if let [(false, run)] = &runs[..] {
            self.body.push_str(&escaped(run));
        } else {
            self.runs(x, &runs, set);
        }
        self.body.push_str("</text>\n");
    }

    fn runs(&mut self, x: f64, runs: &[(bool, String)], set: &Type) {
        let mut x = x;
        for (symbols, run) in runs {
            let _ = write!(self.body, "<tspan x=\"{}\"", number(x));
            if *symbols {
                let _ = write!(
                    self.body,
                    " font-family=\"DejaVu Sans, sans-serif\" font-weight=\"400\""
                );
            }
            let _ = write!(self.body, ">{}</tspan>", escaped(run));
            x += set.width(run);
        }
    }

    /// The finished SVG; `unit` is put behind width and height (`""` for pixels, `"mm"`), `title` and
    /// `about` are what a screen reader says.
    pub(super) fn finish(self, unit: &str, title: &str, about: &str) -> String {
        let (w, h) = (number(self.width), number(self.height));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}{unit}\" height=\"{h}{unit}\" \
             viewBox=\"0 0 {w} {h}\" role=\"img\" \
             font-family=\"IBM Plex Sans, Liberation Sans, Arial, Helvetica, sans-serif\">\n\
             <title>{}</title>\n<desc>{}</desc>\n\
             <rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>\n{}</svg>\n",
            escaped(title),
            escaped(about),
            self.body
        )
    }
}

/// Text as XML character data or attribute value; control characters, which XML cannot hold, become
/// U+FFFD.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => out.push(char::REPLACEMENT_CHARACTER),
            c if c.is_control() => out.push(char::REPLACEMENT_CHARACTER),
            c => out.push(c),
        }
    }
    out
}

/// A coordinate to a hundredth, without trailing zeros.
pub(super) fn number(value: f64) -> String {
    let text = super::figures::ascii(value, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_leave_its_place() {
        // XML 1.0, 2.2 and 2.4: the characters that may stand in character data.
        assert_eq!(
            escaped("a<b> & \"c\" 'd'\u{0}\n"),
            "a&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39;\u{fffd}\u{fffd}"
        );
        let mut sheet = Sheet::new(100.0, 50.0);
        sheet.text(1.0, 20.0, "</text><script>", &Type::new(10.0, "#000000"));
        let svg = sheet.finish("", "\"<t>", "&");
        assert!(!svg.contains("<script>") && svg.contains("&lt;/text&gt;&lt;script&gt;"), "{svg}");
    }

    #[test]
    fn coordinates_are_short() {
        assert_eq!(number(12.0), "12");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(120.504), "120.5");
    }

    #[test]
    fn a_text_lies_where_its_anchor_says() {
        let set = Type::new(10.0, "#000000");
        let width = set.width("F♯5");
        let middle = set.anchored(Anchor::Middle).extent(50.0, 20.0, "F♯5");
        assert!((middle.left - (50.0 - 0.5 * width)).abs() < 1e-9);
        let up = set.upright().anchored(Anchor::End).extent(50.0, 20.0, "F♯5");
        assert!((up.bottom - (20.0 + width)).abs() < 1e-9 && (up.top - 20.0).abs() < 1e-9);
    }
}
