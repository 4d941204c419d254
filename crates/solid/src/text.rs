//! Figures and letters as plan areas, from the outlines of DejaVu Sans.
//!
//! The regular weight, not the bold: what stays between cut strokes must be a
//! wall too. Curves become chords within the chord error. Characters that the font lacks
//! are left out. Sizes are given by the height of a capital.

use ttf_parser::{Face, OutlineBuilder};

use crate::area::{Area, Point};
use crate::sizes::Sizes;

/// `words` as an area whose bounding box has its centre at the origin, capitals
/// `cap` high. Empty if nothing can be drawn.
pub(crate) fn text(words: &str, cap: f64, chord_error: f64) -> Area {
    let face = Face::parse(dejavu::sans::regular(), 0).expect("the font of the crate is sound");
    let scale = cap / f64::from(face.capital_height().unwrap_or(1493));
    let mut pen = Pen { scale, error: chord_error, x: 0.0, at: [0.0; 2], contours: Vec::new() };
    for letter in words.chars() {
        let Some(glyph) = face.glyph_index(letter) else { continue };
        face.outline_glyph(glyph, &mut pen);
        // A little more air than the font's own, for the wall between two letters.
        pen.x += f64::from(face.glyph_hor_advance(glyph).unwrap_or(0)) * scale + 0.08 * cap;
    }
    // TrueType outlines run clockwise; areas run anticlockwise.
    for contour in &mut pen.contours {
        contour.reverse();
    }
    let drawn = Area::from_contours(pen.contours.iter().map(Vec::as_slice));
    match drawn.bounds() {
        Some((lo, hi)) => drawn.shifted(-(lo[0] + hi[0]) / 2.0, -(lo[1] + hi[1]) / 2.0),
        None => drawn,
    }
}

struct Pen {
    scale: f64,
    error: f64,
    x: f64,
    at: Point,
    contours: Vec<Vec<Point>>,
}

impl Pen {
    fn place(&self, x: f32, y: f32) -> Point {
        [self.x + f64::from(x) * self.scale, f64::from(y) * self.scale]
    }

    fn go(&mut self, to: Point) {
        self.at = to;
        self.contours.last_mut().expect("a contour begins with a move").push(to);
    }

    fn curve(&mut self, controls: &[Point]) {
        let from = self.at;
        // A chord of a curve with control polygon of length L in n steps strays by about L / 8n².
        let mut length = 0.0;
        let mut last = from;
        for p in controls {
            length += (p[0] - last[0]).hypot(p[1] - last[1]);
            last = *p;
        }
        let steps = (length / (8.0 * self.error)).sqrt().ceil().clamp(2.0, 24.0) as u32;
        for i in 1..=steps {
            let t = f64::from(i) / f64::from(steps);
            // De Casteljau: repeated midpoints at t.
            let mut points: Vec<Point> = std::iter::once(from).chain(controls.iter().copied()).collect();
            while points.len() > 1 {
                points = points
                    .windows(2)
                    .map(|w| [w[0][0] + t * (w[1][0] - w[0][0]), w[0][1] + t * (w[1][1] - w[0][1])])
                    .collect();
            }
            self.go(points[0]);
        }
    }
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.contours.push(Vec::new());
        let to = self.place(x, y);
        self.go(to);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let to = self.place(x, y);
        self.go(to);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let controls = [self.place(x1, y1), self.place(x, y)];
        self.curve(&controls);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let controls = [self.place(x1, y1), self.place(x2, y2), self.place(x, y)];
        self.curve(&controls);
    }

    fn close(&mut self) {}
}

/// Words to be cut in: as [`text`], with every place between strokes that is
/// narrower than two lines filled up, so that what stays standing is a wall.
pub(crate) fn engraving(words: &str, cap: f64, sizes: &Sizes) -> Area {
    let by = sizes.nozzle + sizes.chord_error;
    text(words, cap, sizes.chord_error).grown(by, sizes.chord_error).grown(-by, sizes.chord_error)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_eight_has_two_holes_and_its_height() {
        let eight = text("8", 7.0, 0.02);
        assert_eq!(eight.contours().len(), 3);
        let (lo, hi) = eight.bounds().unwrap();
        assert!((hi[1] - lo[1] - 7.2).abs() < 0.3 && (hi[1] + lo[1]).abs() < 1e-9);
        assert!(text("\u{E000}", 7.0, 0.02).is_empty());
    }
}
