//! Path data with a fixed number of decimals, and lattice to paper.

use std::fmt::Write;

use lattice::{Cell, Vertex};

use crate::lettering::Weight;

/// Millimetres with two decimals, never a negative zero.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text }
}

/// A point on paper: millimetres from the upper left, y down.
pub(crate) type Point = (f64, f64);

/// The `d` of an SVG path under construction.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line {
    d: String,
}

impl Line {
    fn put(&mut self, command: char, numbers: &[f64]) -> &mut Self {
        self.d.push(command);
        for (i, &n) in numbers.iter().enumerate() {
            let _ = write!(self.d, "{}{}", if i == 0 { "" } else { " " }, number(n));
        }
        self
    }

    pub fn to(&mut self, p: Point) -> &mut Self {
        self.put('M', &[p.0, p.1])
    }

    pub fn line(&mut self, p: Point) -> &mut Self {
        self.put('L', &[p.0, p.1])
    }

    pub fn quad(&mut self, via: Point, p: Point) -> &mut Self {
        self.put('Q', &[via.0, via.1, p.0, p.1])
    }

    pub fn cubic(&mut self, a: Point, b: Point, p: Point) -> &mut Self {
        self.put('C', &[a.0, a.1, b.0, b.1, p.0, p.1])
    }

    /// A circular arc; `clockwise` as seen on paper.
    pub fn arc(&mut self, radius: f64, large: bool, clockwise: bool, p: Point) -> &mut Self {
        let r = number(radius);
        let (large, clockwise) = (u8::from(large), u8::from(clockwise));
        let _ = write!(self.d, "A{r} {r} 0 {large} {clockwise} {} {}", number(p.0), number(p.1));
        self
    }

    pub fn close(&mut self) -> &mut Self {
        self.d.push('Z');
        self
    }

    pub fn segment(&mut self, a: Point, b: Point) -> &mut Self {
        self.to(a).line(b)
    }

    pub fn circle(&mut self, c: Point, r: f64) -> &mut Self {
        self.to((c.0 - r, c.1))
            .arc(r, false, true, (c.0 + r, c.1))
            .arc(r, false, true, (c.0 - r, c.1))
            .close()
    }

    /// Words with their baseline starting at `p`; gives where they end.
    pub fn words(&mut self, weight: Weight, size: f64, p: Point, words: &str) -> f64 {
        crate::lettering::trace(self, weight, size, p, words)
    }

    pub fn append(&mut self, other: &Line) {
        self.d.push_str(&other.d);
    }

    pub fn is_empty(&self) -> bool {
        self.d.is_empty()
    }

    pub fn data(&self) -> &str {
        &self.d
    }
}

/// Where the lattice lies on paper.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    /// Paper place of the lattice point (`x0`, `y1`).
    pub left: f64,
    pub top: f64,
    /// Millimetres a block side.
    pub pitch: f64,
    /// Column of the left edge.
    pub x0: i32,
    /// Row of the upper edge.
    pub y1: i32,
}

impl Frame {
    /// A place given in lattice units.
    pub fn at(&self, x: f64, y: f64) -> Point {
        (self.left + (x - f64::from(self.x0)) * self.pitch, self.top + (f64::from(self.y1) - y) * self.pitch)
    }

    pub fn vertex(&self, v: Vertex) -> Point {
        self.at(f64::from(v.x), f64::from(v.y))
    }

    /// The upper left corner of a cell.
    pub fn corner(&self, c: Cell) -> Point {
        self.at(f64::from(c.x), f64::from(c.y) + 1.0)
    }

    pub fn centre(&self, c: Cell) -> Point {
        self.at(f64::from(c.x) + 0.5, f64::from(c.y) + 0.5)
    }
}

/// Lowest and highest corner of some cells: x0, y0, x1, y1.
pub(crate) fn bounds<'a>(cells: impl IntoIterator<Item = &'a Cell>) -> (i32, i32, i32, i32) {
    cells
        .into_iter()
        .map(|c| (c.x, c.y, c.x + 1, c.y + 1))
        .reduce(|a, b| (a.0.min(b.0), a.1.min(b.1), a.2.max(b.2), a.3.max(b.3)))
        .unwrap_or((0, 0, 0, 0))
}
