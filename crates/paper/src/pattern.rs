//! Hatchings that tell pieces apart without colour.
//!
//! Each is drawn block by block as plain lines: no pattern fills and no ids,
//! so that every reader of SVG shows them alike. They do not turn with the block.

use crate::line::{Line, Point};

/// A hatching.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Pattern {
    Plain,
    Rising,
    Dots,
    Upright,
    Lattice,
    Waves,
    Falling,
    Grid,
    Rings,
    Across,
    Zigzag,
    Bricks,
}

/// Clear rim round the hatching, in pitches.
const RIM: f64 = 0.09;
/// Side of the hatched square.
const SIDE: f64 = 1.0 - 2.0 * RIM;

impl Pattern {
    /// All, in the order in which pieces get them: neighbours in the round are
    /// as unlike as can be.
    pub const ALL: [Pattern; 12] = [
        Pattern::Plain,
        Pattern::Rising,
        Pattern::Dots,
        Pattern::Upright,
        Pattern::Lattice,
        Pattern::Waves,
        Pattern::Falling,
        Pattern::Grid,
        Pattern::Rings,
        Pattern::Across,
        Pattern::Zigzag,
        Pattern::Bricks,
    ];

    /// Its name in English, for descriptions.
    pub fn name(self) -> &'static str {
        match self {
            Pattern::Plain => "plain",
            Pattern::Rising => "rising lines",
            Pattern::Dots => "dots",
            Pattern::Upright => "upright lines",
            Pattern::Lattice => "crossed slanting lines",
            Pattern::Waves => "waves",
            Pattern::Falling => "falling lines",
            Pattern::Grid => "grid",
            Pattern::Rings => "rings",
            Pattern::Across => "lines across",
            Pattern::Zigzag => "zigzag",
            Pattern::Bricks => "bricks",
        }
    }

    /// Width of its lines, in pitches.
    pub(crate) fn weight(self) -> f64 {
        match self {
            Pattern::Dots => 0.085,
            Pattern::Grid | Pattern::Lattice | Pattern::Bricks | Pattern::Rings => 0.03,
            _ => 0.04,
        }
    }

    /// Adds the hatching of the block whose upper left corner is `corner`.
    pub(crate) fn hatch(self, line: &mut Line, corner: Point, pitch: f64) {
        // Places are given from 0 to 1 across the hatched square.
        let at = |x: f64, y: f64| (corner.0 + (RIM + SIDE * x) * pitch, corner.1 + (RIM + SIDE * y) * pitch);
        match self {
            Pattern::Plain => {}
            Pattern::Rising => slanting(5, |a, b| {
                line.segment(at(a.0, 1.0 - a.1), at(b.0, 1.0 - b.1));
            }),
            Pattern::Falling => slanting(5, |a, b| {
                line.segment(at(a.0, a.1), at(b.0, b.1));
            }),
            Pattern::Lattice => {
                slanting(4, |a, b| {
                    line.segment(at(a.0, 1.0 - a.1), at(b.0, 1.0 - b.1));
                });
                slanting(4, |a, b| {
                    line.segment(at(a.0, a.1), at(b.0, b.1));
                });
            }
            Pattern::Upright => rows(5, |t| {
                line.segment(at(t, 0.0), at(t, 1.0));
            }),
            Pattern::Across => rows(5, |t| {
                line.segment(at(0.0, t), at(1.0, t));
            }),
            Pattern::Grid => {
                rows(5, |t| {
                    line.segment(at(t, 0.0), at(t, 1.0));
                });
                rows(5, |t| {
                    line.segment(at(0.0, t), at(1.0, t));
                });
            }
            Pattern::Dots => {
                rows(5, |x| {
                    rows(5, |y| {
                        line.segment(at(x, y), at(x + 0.002, y));
                    })
                });
            }
            Pattern::Rings => {
                rows(3, |x| {
                    rows(3, |y| {
                        line.circle(at(x, y), 0.085 * pitch);
                    })
                });
            }
            Pattern::Waves => rows(4, |y| {
                line.to(at(0.0, y));
                for k in 0..4 {
                    let x = f64::from(k) / 4.0;
                    let lift = if k % 2 == 0 { -0.16 } else { 0.16 };
                    line.quad(at(x + 0.125, y + lift), at(x + 0.25, y));
                }
            }),
            Pattern::Zigzag => rows(4, |y| {
                line.to(at(0.0, y + 0.07));
                for k in 1..=6 {
                    let lift = if k % 2 == 0 { 0.07 } else { -0.07 };
                    line.line(at(f64::from(k) / 6.0, y + lift));
                }
            }),
            Pattern::Bricks => {
                for k in 0..=4 {
                    let y = f64::from(k) / 4.0;
                    line.segment(at(0.0, y), at(1.0, y));
                    let joints: &[f64] = if k % 2 == 0 { &[0.25, 0.75] } else { &[0.0, 0.5, 1.0] };
                    for &x in joints.iter().filter(|_| k < 4) {
                        line.segment(at(x, y), at(x, y + 0.25));
                    }
                }
            }
        }
    }
}

/// The middles of `n` equal rows.
fn rows(n: u32, mut draw: impl FnMut(f64)) {
    for k in 0..n {
        draw((f64::from(k) + 0.5) / f64::from(n));
    }
}

/// The lines y = x + c clipped to the unit square, 2n − 1 of them.
fn slanting(n: i32, mut draw: impl FnMut(Point, Point)) {
    for k in 1 - n..n {
        let c = f64::from(k) / f64::from(n);
        draw(((-c).max(0.0), c.max(0.0)), ((1.0 - c).min(1.0), (1.0 + c).min(1.0)));
    }
}
