//! A sheet drawn: at any angle, at both ends side by side, and turning.
//!
//! SVG in millimetres of a given pitch, y down as SVG has it. A panel is drawn
//! once in its own frame; the angle is in the groups' `transform` alone, so a page
//! can turn the sheet by writing those anew. Bands are a third of a side wide and
//! meet every seam in its middle, the same from all four sides of a void.

use std::fmt::Write;

use crate::geometry::{End, Sheet, Side};
use crate::ornament::Joining;

/// What is drawn, and in which colours.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// The ornament, a joining a block; none for a plain sheet.
    pub panels: Option<&'a [Joining]>,
    /// Side of a block in millimetres.
    pub side: f64,
    /// Colours of blocks, of the panels' ground and of their figure, as `#RRGGBB`.
    pub colours: [&'a str; 3],
}

/// Half the width of a band, in sides.
const HALF: f64 = 1.0 / 6.0;
/// How long one way lasts in the animated picture, in seconds.
const SECONDS: u32 = 4;
/// Frames of one way.
const FRAMES: u32 = 24;

/// The figure of a panel in its own frame, as one SVG path: lines between ports,
/// closed along the sides. Sides in turn: where a band begins and ends.
#[must_use]
pub fn figure(joining: Joining, side: f64, bears: impl Fn(Side) -> bool) -> String {
    let mut path = String::new();
    for group in joining.groups() {
        let sides: Vec<Side> =
            Side::ALL.into_iter().filter(|&s| group >> s as u8 & 1 == 1 && bears(s)).collect();
        let Some(&first) = sides.first() else { continue };
        let [x, y] = port(first, -1.0, side);
        let _ = write!(path, "M{x:.3} {y:.3}");
        for (k, &from) in sides.iter().enumerate() {
            let to = sides[(k + 1) % sides.len()];
            let ([ax, ay], [bx, by]) = (port(from, 1.0, side), port(to, -1.0, side));
            let _ = write!(path, "L{ax:.3} {ay:.3}");
            // Both ends leave at right angles to their sides.
            let reach = if from == to { 0.3 } else { 0.42 };
            let lean = |s: Side, [x, y]: [f64; 2]| {
                let [dx, dy] = s.step();
                [x - f64::from(dx) * reach * side, y + f64::from(dy) * reach * side]
            };
            let ([cx, cy], [ex, ey]) = (lean(from, [ax, ay]), lean(to, [bx, by]));
            let _ = write!(path, "C{cx:.3} {cy:.3} {ex:.3} {ey:.3} {bx:.3} {by:.3}");
        }
        path.push('Z');
    }
    path
}

/// A port of a side, anticlockwise (+1) or clockwise (−1) of its middle; y is down.
fn port(side: Side, way: f64, length: f64) -> [f64; 2] {
    let [dx, dy] = side.step().map(f64::from);
    let (x, y) = (dx / 2.0 - way * dy * HALF, dy / 2.0 + way * dx * HALF);
    [x * length, -y * length]
}

/// The sheet at an angle, in the frame of its widest.
#[must_use]
pub fn at(sheet: &Sheet, look: &Look, theta: f64) -> String {
    let [w, h] = widest(sheet, look);
    framed(w, h, &blocks(sheet, look, |b| place(sheet, look, b, theta)))
}

/// Closed at the left, turned at the right.
#[must_use]
pub fn both_ends(sheet: &Sheet, look: &Look) -> String {
    let [w, h] = sheet.extent(0.0).map(|x| (x + 0.5) * look.side);
    let ends = End::BOTH.map(|end| blocks(sheet, look, |b| place(sheet, look, b, end.theta())));
    let body = format!(
        "<g transform=\"translate({:.3} 0)\">{}</g><g transform=\"translate({:.3} 0)\">{}</g>",
        -w / 2.0,
        ends[0],
        w / 2.0,
        ends[1]
    );
    framed(2.0 * w, h, &body)
}

/// Turning there and back without end.
#[must_use]
pub fn turning(sheet: &Sheet, look: &Look) -> String {
    let [w, h] = widest(sheet, look);
    // Slow at the ends, as a hand is.
    let angles: Vec<f64> = (0..=2 * FRAMES)
        .map(|k| {
            std::f64::consts::FRAC_PI_4
                * (1.0 - (f64::from(k) / f64::from(FRAMES) * std::f64::consts::PI).cos())
        })
        .collect();
    let mut body = String::new();
    for block in 0..sheet.blocks() {
        let (mut ways, mut turns) = (Vec::new(), Vec::new());
        for &theta in &angles {
            let [x, y] = sheet.centre(block, theta).map(|v| v * look.side);
            ways.push(format!("{x:.2} {:.2}", -y));
            turns.push(format!("{:.2}", -sheet.turn(block, theta).to_degrees()));
        }
        let animate = |kind: &str, values: &[String]| {
            format!(
                "<animateTransform attributeName=\"transform\" type=\"{kind}\" values=\"{}\" dur=\"{}s\" repeatCount=\"indefinite\"/>",
                values.join(";"),
                2 * SECONDS
            )
        };
        let _ = write!(
            body,
            "<g>{}<g>{}{}</g></g>",
            animate("translate", &ways),
            animate("rotate", &turns),
            block_body(sheet, look, block)
        );
    }
    framed(w, h, &body)
}

fn widest(sheet: &Sheet, look: &Look) -> [f64; 2] {
    sheet.extent(std::f64::consts::FRAC_PI_4).map(|x| (x + 0.2) * look.side)
}

fn framed(w: f64, h: f64, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.3}mm\" height=\"{h:.3}mm\" viewBox=\"{:.3} {:.3} {w:.3} {h:.3}\">{body}</svg>\n",
        -w / 2.0,
        -h / 2.0
    )
}

fn place(sheet: &Sheet, look: &Look, block: usize, theta: f64) -> String {
    let [x, y] = sheet.centre(block, theta).map(|v| v * look.side);
    format!("translate({x:.3} {:.3}) rotate({:.3})", -y, -sheet.turn(block, theta).to_degrees())
}

fn blocks(sheet: &Sheet, look: &Look, place: impl Fn(usize) -> String) -> String {
    let mut body = String::new();
    for block in 0..sheet.blocks() {
        let _ = write!(body, "<g transform=\"{}\">{}</g>", place(block), block_body(sheet, look, block));
    }
    body
}

fn block_body(sheet: &Sheet, look: &Look, block: usize) -> String {
    let (s, [blocks, ground, figure_colour]) = (look.side, look.colours);
    let fill = if look.panels.is_some() { ground } else { blocks };
    let square = format!(
        "<rect x=\"{0:.3}\" y=\"{0:.3}\" width=\"{s:.3}\" height=\"{s:.3}\" fill=\"{fill}\" stroke=\"{blocks}\" stroke-width=\"{1:.3}\"/>",
        -s / 2.0,
        s / 60.0
    );
    match look.panels {
        None => square,
        Some(panels) => {
            let d = figure(panels[block], s, |side| sheet.bounds_void(block, side));
            format!("{square}<path d=\"{d}\" fill=\"{figure_colour}\"/>")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    #[test]
    fn ports_of_a_seam_meet_closed_and_turned() {
        let sheet = Sheet::new(4, 3, Hand::Right).unwrap();
        for end in End::BOTH {
            for block in 0..sheet.blocks() {
                for side in Side::ALL.into_iter().filter(|&s| sheet.bounds_void(block, s)) {
                    let facing = sheet.facing(block, side, end);
                    let next = sheet.beyond(block, facing).unwrap();
                    let theirs = facing.turned(2 - sheet.quarters(next, end));
                    let there = |b: usize, side: Side, way: f64| {
                        let [x, y] = port(side, way, 1.0);
                        sheet.carried(b, [x, -y], end.theta())
                    };
                    let (a, b) = (there(block, side, 1.0), there(next, theirs, -1.0));
                    assert!((a[0] - b[0]).hypot(a[1] - b[1]) < 1e-12);
                }
            }
        }
    }

    #[test]
    fn a_turning_sheet_is_one_picture_with_a_motion_a_block() {
        let sheet = Sheet::new(3, 3, Hand::Left).unwrap();
        let look = Look { panels: None, side: 15.0, colours: ["#4A4F55", "#F2EEE4", "#0072B2"] };
        let svg = turning(&sheet, &look);
        assert_eq!(svg.matches("type=\"rotate\"").count(), 9);
        assert!(svg.starts_with("<svg") && at(&sheet, &look, 0.4).matches("rotate(").count() == 9);
        assert_eq!(both_ends(&sheet, &look).matches("<rect").count(), 18);
    }
}
