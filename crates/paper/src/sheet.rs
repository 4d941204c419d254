//! The SVG writer: shapes with a class and a paint, everything escaped.

use std::collections::BTreeMap;

use quick_xml::Writer;
use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};

use crate::colour::{INK, Rgb, WHITE, hex};
use crate::lettering::{self, Weight};
use crate::line::{Line, Point, number};

/// A finished picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    svg: String,
    width: f64,
    height: f64,
}

impl Picture {
    /// The SVG document: UTF-8 without an XML declaration, so that it can also
    /// stand inside a page. Its only ids are those of letter shapes; one id is
    /// the same shape in every picture, so that several can stand in one page.
    pub fn svg(&self) -> &str {
        &self.svg
    }

    /// The SVG document itself.
    pub fn into_svg(self) -> String {
        self.svg
    }

    /// Width and height in millimetres when printed at full size.
    pub fn size_mm(&self) -> (f64, f64) {
        (self.width, self.height)
    }
}

/// How a shape is filled and stroked.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Paint {
    pub fill: Option<Rgb>,
    pub stroke: Option<(Rgb, f64)>,
    pub dash: Option<(f64, f64)>,
}

impl Paint {
    pub fn fill(colour: Rgb) -> Self {
        Paint { fill: Some(colour), ..Paint::default() }
    }

    pub fn stroke(colour: Rgb, width: f64) -> Self {
        Paint { stroke: Some((colour, width)), ..Paint::default() }
    }

    pub fn outlined(self, colour: Rgb, width: f64) -> Self {
        Paint { stroke: Some((colour, width)), ..self }
    }

    pub fn dashed(self, on: f64, off: f64) -> Self {
        Paint { dash: Some((on, off)), ..self }
    }

    fn on(self, element: &mut BytesStart<'_>) {
        let fill = self.fill.map_or("none".to_owned(), hex);
        element.push_attribute(("fill", fill.as_str()));
        if let Some((colour, width)) = self.stroke {
            element.push_attribute(("stroke", hex(colour).as_str()));
            element.push_attribute(("stroke-width", number(width).as_str()));
        }
        if let Some((on, off)) = self.dash {
            let dash = format!("{} {}", number(on), number(off));
            element.push_attribute(("stroke-dasharray", dash.as_str()));
        }
    }
}

/// Where words stand against their point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
}

/// Words to be set on a sheet.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Words<'a> {
    pub text: &'a str,
    pub weight: Weight,
    pub size: f64,
    pub colour: Rgb,
    pub anchor: Anchor,
}

impl<'a> Words<'a> {
    pub fn new(weight: Weight, size: f64, text: &'a str) -> Self {
        Words { text, weight, size, colour: INK, anchor: Anchor::Start }
    }

    pub fn middle(self) -> Self {
        Words { anchor: Anchor::Middle, ..self }
    }

    pub fn in_colour(self, colour: Rgb) -> Self {
        Words { colour, ..self }
    }
}

/// A picture being drawn. Units are millimetres, y down from the upper left.
pub(crate) struct Sheet {
    writer: Writer<Vec<u8>>,
    width: f64,
    height: f64,
    letters: BTreeMap<(Weight, u16), Line>,
}

fn letter_id(weight: Weight, glyph: u16) -> String {
    format!("letter-{}{glyph}", if weight == Weight::Bold { 'b' } else { 'r' })
}

/// XML 1.0 has no place for most control characters, not even escaped.
fn lawful(text: &str) -> String {
    let allowed = |c: char| !c.is_control() && !matches!(c, '\u{FFFE}' | '\u{FFFF}');
    text.chars().map(|c| if allowed(c) { c } else { ' ' }).collect()
}

impl Sheet {
    /// White paper of a size, with the words a reader who can't see it hears.
    pub fn new(width: f64, height: f64, title: &str, description: &str) -> Self {
        let mut sheet = Sheet { writer: Writer::new(Vec::new()), width, height, letters: BTreeMap::new() };
        let (w, h) = (number(width), number(height));
        let mut root = BytesStart::new("svg");
        root.push_attribute(("xmlns", "http://www.w3.org/2000/svg"));
        root.push_attribute(("width", format!("{w}mm").as_str()));
        root.push_attribute(("height", format!("{h}mm").as_str()));
        root.push_attribute(("viewBox", format!("0 0 {w} {h}").as_str()));
        root.push_attribute(("role", "img"));
        root.push_attribute(("stroke-linecap", "round"));
        root.push_attribute(("stroke-linejoin", "round"));
        sheet.event(Event::Start(root));
        for (name, text) in [("title", title), ("desc", description)] {
            sheet.newline();
            sheet.event(Event::Start(BytesStart::new(name)));
            sheet.event(Event::Text(BytesText::new(&lawful(text))));
            sheet.event(Event::End(BytesEnd::new(name)));
        }
        sheet.rect("paper", (0.0, 0.0), (width, height), 0.0, Paint::fill(WHITE));
        sheet
    }

    fn event(&mut self, event: Event<'_>) {
        self.writer.write_event(event).expect("writing to memory does not fail");
    }

    fn newline(&mut self) {
        self.writer.get_mut().push(b'\n');
    }

    pub fn open(&mut self, class: &str) {
        self.newline();
        let mut group = BytesStart::new("g");
        group.push_attribute(("class", class));
        self.event(Event::Start(group));
    }

    /// A group that may be turned by degrees, clockwise on paper, about a point.
    pub fn open_turned(&mut self, class: &str, turned: Option<(f64, Point)>) {
        self.newline();
        let mut group = BytesStart::new("g");
        if !class.is_empty() {
            group.push_attribute(("class", class));
        }
        if let Some((degrees, (x, y))) = turned {
            let turn = format!("rotate({degrees:.4} {} {})", number(x), number(y));
            group.push_attribute(("transform", turn.as_str()));
        }
        self.event(Event::Start(group));
    }

    /// A style sheet.
    pub fn style(&mut self, text: &str) {
        self.newline();
        self.event(Event::Start(BytesStart::new("style")));
        self.event(Event::Text(BytesText::new(text)));
        self.event(Event::End(BytesEnd::new("style")));
    }

    /// A drawing made elsewhere, fitted into a rectangle: what stands inside its
    /// SVG, and the left, top, width and height of what is seen of it.
    pub fn inset(&mut self, markup: &str, view: [f64; 4], corner: Point, size: Point) {
        self.newline();
        let mut svg = BytesStart::new("svg");
        for (name, value) in [("x", corner.0), ("y", corner.1), ("width", size.0), ("height", size.1)] {
            svg.push_attribute((name, number(value).as_str()));
        }
        svg.push_attribute(("viewBox", view.map(|v| format!("{v:.3}")).join(" ").as_str()));
        self.event(Event::Start(svg));
        self.writer.get_mut().extend_from_slice(markup.as_bytes());
        self.event(Event::End(BytesEnd::new("svg")));
    }

    pub fn close(&mut self) {
        self.event(Event::End(BytesEnd::new("g")));
    }

    fn shape(&mut self, name: &str, class: &str, attributes: &[(&str, &str)], paint: Paint) {
        self.newline();
        let mut element = BytesStart::new(name);
        if !class.is_empty() {
            element.push_attribute(("class", class));
        }
        for &attribute in attributes {
            element.push_attribute(attribute);
        }
        paint.on(&mut element);
        self.event(Event::Empty(element));
    }

    pub fn path(&mut self, class: &str, line: &Line, paint: Paint) {
        if !line.is_empty() {
            self.shape("path", class, &[("d", line.data())], paint);
        }
    }

    pub fn circle(&mut self, class: &str, centre: Point, radius: f64, paint: Paint) {
        let (x, y, r) = (number(centre.0), number(centre.1), number(radius));
        self.shape("circle", class, &[("cx", &x), ("cy", &y), ("r", &r)], paint);
    }

    pub fn rect(&mut self, class: &str, corner: Point, size: Point, round: f64, paint: Paint) {
        let (x, y) = (number(corner.0), number(corner.1));
        let (w, h, r) = (number(size.0), number(size.1), number(round));
        let mut attributes = vec![("x", x.as_str()), ("y", &y), ("width", &w), ("height", &h)];
        if round > 0.0 {
            attributes.push(("rx", &r));
        }
        self.shape("rect", class, &attributes, paint);
    }

    /// Words with their baseline at `p`. The shape of each letter is kept once
    /// a picture, however often it is used.
    pub fn words(&mut self, class: &str, p: Point, words: Words<'_>) {
        if words.text.trim().is_empty() {
            return;
        }
        let width = lettering::width(words.weight, words.size, words.text);
        let x = if words.anchor == Anchor::Middle { p.0 - width / 2.0 } else { p.0 };
        let scale = words.size / lettering::EM;
        let place = format!("translate({} {}) scale({scale:.6})", number(x), number(p.1));
        self.newline();
        let mut group = BytesStart::new("g");
        if !class.is_empty() {
            group.push_attribute(("class", class));
        }
        group.push_attribute(("fill", hex(words.colour).as_str()));
        group.push_attribute(("transform", place.as_str()));
        self.event(Event::Start(group));
        let mut right = 0.0;
        for (glyph, advance) in lettering::glyphs(words.weight, words.text) {
            let key = (words.weight, glyph);
            let shape = self.letters.entry(key).or_insert_with(|| lettering::shape(key.0, key.1));
            if !shape.is_empty() {
                let (href, x) = (format!("#{}", letter_id(words.weight, glyph)), format!("{right:.0}"));
                let mut letter = BytesStart::new("use");
                letter.push_attribute(("href", href.as_str()));
                letter.push_attribute(("x", x.as_str()));
                self.event(Event::Empty(letter));
            }
            right += advance * lettering::EM;
        }
        self.close();
    }

    fn define_letters(&mut self) {
        let letters = std::mem::take(&mut self.letters);
        if letters.values().all(Line::is_empty) {
            return;
        }
        self.newline();
        self.event(Event::Start(BytesStart::new("defs")));
        for ((weight, glyph), line) in letters.iter().filter(|(_, line)| !line.is_empty()) {
            self.newline();
            let mut path = BytesStart::new("path");
            path.push_attribute(("id", letter_id(*weight, *glyph).as_str()));
            path.push_attribute(("d", line.data()));
            self.event(Event::Empty(path));
        }
        self.event(Event::End(BytesEnd::new("defs")));
    }

    pub fn finish(mut self) -> Picture {
        self.define_letters();
        self.newline();
        self.event(Event::End(BytesEnd::new("svg")));
        self.newline();
        let svg = String::from_utf8(self.writer.into_inner()).expect("only text was written");
        Picture { svg, width: self.width, height: self.height }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_left_unescaped() {
        let hard = "</svg><script>\"&'\u{0}\u{1b}\u{FFFF}";
        let mut sheet = Sheet::new(10.0, 5.0, hard, hard);
        sheet.words("", (1.0, 4.0), Words::new(Weight::Bold, 3.0, hard));
        let picture = sheet.finish();
        assert!(!picture.svg().contains("<script>"));
        let tree = parsed(picture.svg());
        assert!((tree.size().width() - 10.0 / 25.4 * 96.0).abs() < 0.01);
    }

    fn parsed(svg: &str) -> resvg::usvg::Tree {
        resvg::usvg::Tree::from_str(svg, &resvg::usvg::Options::default()).unwrap()
    }
}
