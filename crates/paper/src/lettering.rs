//! Words as outlines of a free font, so that every reader shows the same.
//!
//! One glyph a character, side by side: no kerning, no joining of letters.
//! A character that the font lacks shows the font's own empty box.

use std::sync::OnceLock;

use ttf_parser::{Face, GlyphId, OutlineBuilder};

use crate::line::{Line, Point};

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Weight {
    Regular,
    Bold,
}

fn face(weight: Weight) -> &'static Face<'static> {
    static FACES: OnceLock<[Face<'static>; 2]> = OnceLock::new();
    let parse = |bytes| Face::parse(bytes, 0).expect("the font comes with the program and is sound");
    let faces = FACES.get_or_init(|| [parse(dejavu::sans::regular()), parse(dejavu::sans::bold())]);
    &faces[weight as usize]
}

/// Units of the font's drawing board in one size of type.
pub(crate) const EM: f64 = 2048.0;

/// The glyph of each character and its width in sizes of type.
pub(crate) fn glyphs(weight: Weight, words: &str) -> impl Iterator<Item = (u16, f64)> {
    let face = face(weight);
    words.chars().map(move |c| {
        // Line breaks and other controls have no place on a line of words.
        let c = if c.is_control() { ' ' } else { c };
        let glyph = face.glyph_index(c).unwrap_or(GlyphId(0));
        (glyph.0, f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) / EM)
    })
}

/// The width of words at a size (both in millimetres).
pub(crate) fn width(weight: Weight, size: f64, words: &str) -> f64 {
    glyphs(weight, words).map(|(_, advance)| advance * size).sum()
}

/// The height of a capital letter at a size.
pub(crate) fn capital(size: f64) -> f64 {
    // DejaVu Sans: capitals of 1493 units in 2048.
    size * 0.729
}

/// The words, or as much of them as fits, with an ellipsis.
pub(crate) fn fit(weight: Weight, size: f64, words: &str, room: f64) -> String {
    if width(weight, size, words) <= room {
        return words.to_owned();
    }
    let mut kept: Vec<char> = words.chars().collect();
    while kept.pop().is_some() {
        let text: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if width(weight, size, &text) <= room {
            return text;
        }
    }
    String::new()
}

/// Lines of words no wider than `room` (a single word may be cut to fit).
pub(crate) fn wrap(weight: Weight, size: f64, words: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(weight, size, &format!("{line} {word}")) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fit(weight, size, word, room)),
        }
    }
    lines
}

struct Pen<'a> {
    line: &'a mut Line,
    origin: Point,
    scale: f64,
}

impl Pen<'_> {
    fn at(&self, x: f32, y: f32) -> Point {
        (self.origin.0 + f64::from(x) * self.scale, self.origin.1 - f64::from(y) * self.scale)
    }
}

impl OutlineBuilder for Pen<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.line.to(self.at(x, y));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.line.line(self.at(x, y));
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.line.quad(self.at(x1, y1), self.at(x, y));
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.line.cubic(self.at(x1, y1), self.at(x2, y2), self.at(x, y));
    }
    fn close(&mut self) {
        self.line.close();
    }
}

/// One glyph in the font's own units, y down.
pub(crate) fn shape(weight: Weight, glyph: u16) -> Line {
    let mut line = Line::default();
    face(weight).outline_glyph(GlyphId(glyph), &mut Pen { line: &mut line, origin: (0.0, 0.0), scale: 1.0 });
    line
}

/// Draws words with their baseline starting at `p`; gives where they end.
pub(crate) fn trace(line: &mut Line, weight: Weight, size: f64, p: Point, words: &str) -> f64 {
    let face = face(weight);
    let scale = size / EM;
    let mut x = p.0;
    for (glyph, advance) in glyphs(weight, words) {
        face.outline_glyph(GlyphId(glyph), &mut Pen { line, origin: (x, p.1), scale });
        x += advance * size;
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_have_outlines_and_widths() {
        let mut line = Line::default();
        let end = trace(&mut line, Weight::Bold, 4.0, (10.0, 10.0), "Tug 3");
        assert!((end - 10.0 - width(Weight::Bold, 4.0, "Tug 3")).abs() < 1e-9);
        // One outline a letter, two for a letter with an eye.
        assert_eq!(line.data().matches('M').count(), 5);
        assert!(face(Weight::Bold).glyph_index('…').is_some());
        for weight in [Weight::Regular, Weight::Bold] {
            assert_eq!(f64::from(face(weight).units_per_em()), EM);
        }
        let h = face(Weight::Bold).glyph_index('H').unwrap();
        let height = f64::from(face(Weight::Bold).glyph_bounding_box(h).unwrap().y_max);
        assert!((capital(EM) - height).abs() < 1.0);
    }

    #[test]
    fn long_words_are_cut_and_wrapped() {
        let cut = fit(Weight::Regular, 3.0, "The old harbour crane", 20.0);
        assert!(cut.ends_with('…') && width(Weight::Regular, 3.0, &cut) <= 20.0);
        assert_eq!(fit(Weight::Regular, 3.0, "Tug", 20.0), "Tug");
        assert_eq!(fit(Weight::Regular, 3.0, "Tug", 0.1), "");
        let lines = wrap(Weight::Regular, 3.0, "the old harbour crane at night", 25.0);
        assert!(lines.len() > 1 && lines.iter().all(|l| width(Weight::Regular, 3.0, l) <= 25.0));
        assert_eq!(lines.join(" "), "the old harbour crane at night");
    }
}
