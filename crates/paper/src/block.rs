//! Blocks, hinges and their marks, as every picture of pieces draws them.
//!
//! A block is drawn as it is made: a square with its corners relieved, full
//! only where it carries a hinge. A hinge is a disc, its knuckle, with a mark
//! of its level: a dot for level 0, a ring for each level above, further out
//! the higher it is. So two hinges on one vertex show as dot and ring.

use std::collections::BTreeMap;

use lattice::{Cell, Level, Piece, Pin, Pose, Vertex};

use crate::colour::{INK, Rgb, SOFT_INK, WHITE, ink_on, mix};
use crate::lettering::{self, Weight};
use crate::line::{Frame, Line, Point};
use crate::sheet::{Paint, Sheet, Words};
use crate::style::PieceStyle;

/// Half the air between two blocks, relief of a corner, radius of a knuckle, in pitches.
const GAP: f64 = 0.03;
const RELIEF: f64 = 0.1;
pub(crate) const KNUCKLE: f64 = 0.2;
/// Width of the border round a piece, in pitches.
const BORDER: f64 = 0.085;

/// A piece in a pose: where everything is.
pub(crate) struct Posed {
    pub cells: Vec<Cell>,
    pub pins: Vec<Pin>,
    /// The two cells that each hinge ties.
    pub joined: Vec<[Cell; 2]>,
    rigid: bool,
}

impl Posed {
    pub fn new(piece: &Piece, pose: &Pose, levels: u8) -> Self {
        let cells = pose.cells(piece);
        let joined = piece.hinges().iter().map(|h| h.joins.map(|b| cells[b])).collect();
        Posed { pins: pose.pins(piece, levels), joined, cells, rigid: piece.is_rigid() }
    }

    fn hinged(&self, cell: Cell, vertex: Vertex) -> bool {
        self.pins.iter().zip(&self.joined).any(|(pin, ends)| pin.at == vertex && ends.contains(&cell))
    }
}

/// How much is drawn of each block.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Marks {
    pub hatched: bool,
    pub lettered: bool,
    /// A thin line round each block.
    pub ruled: bool,
}

/// The blocks of a piece with pattern and letters.
pub(crate) fn blocks(sheet: &mut Sheet, frame: &Frame, posed: &Posed, style: &PieceStyle, marks: Marks) {
    let (pitch, ink) = (frame.pitch, ink_on(style.colour));
    for &cell in &posed.cells {
        let line = plan(frame, posed, cell);
        let paint = Paint::fill(style.colour);
        sheet.path(
            "block",
            &line,
            if posed.rigid || !marks.ruled { paint } else { paint.outlined(INK, 0.03 * pitch) },
        );
    }
    if marks.hatched {
        let mut hatching = Line::default();
        for &cell in &posed.cells {
            style.pattern.hatch(&mut hatching, frame.corner(cell), pitch);
        }
        let width = style.pattern.weight() * pitch;
        sheet.path("hatching", &hatching, Paint::stroke(mix(style.colour, ink, 62), width));
    }
    if marks.lettered {
        let (mut patches, mut letters) = (Line::default(), Line::default());
        for &cell in &posed.cells {
            let centre = frame.centre(cell);
            patches.circle(centre, 0.25 * pitch);
            letter(&mut letters, centre, 0.42 * pitch, style.letter);
        }
        if style.pattern != crate::pattern::Pattern::Plain {
            sheet.path("", &patches, Paint::fill(style.colour));
        }
        sheet.path("letter", &letters, Paint::fill(ink));
    }
}

pub(crate) fn letter(line: &mut Line, centre: Point, size: f64, letter: char) {
    let text = letter.to_string();
    let width = lettering::width(Weight::Bold, size, &text);
    line.words(
        Weight::Bold,
        size,
        (centre.0 - width / 2.0, centre.1 + lettering::capital(size) / 2.0),
        &text,
    );
}

/// The plan of one block, clockwise on paper from its upper left corner.
pub(crate) fn plan(frame: &Frame, posed: &Posed, cell: Cell) -> Line {
    let (cx, cy) = (f64::from(cell.x) + 0.5, f64::from(cell.y) + 0.5);
    // Within a rigid body there is no air: sides grow a hair into each other.
    let side = |dx: i32, dy: i32| {
        if posed.rigid && posed.cells.contains(&cell.shifted(dx, dy)) { 0.5 + 0.005 } else { 0.5 - GAP }
    };
    let reach = (RELIEF * RELIEF - GAP * GAP).sqrt();
    let mut line = Line::default();
    for (i, (sx, sy)) in [(-1, 1), (1, 1), (1, -1), (-1, -1)].into_iter().enumerate() {
        let vertex = Vertex::new(cell.x + i32::from(sx > 0), cell.y + i32::from(sy > 0));
        let (fx, fy) = (f64::from(sx), f64::from(sy));
        let (hx, hy) = (side(sx, 0), side(0, sy));
        let full = posed.hinged(cell, vertex) || hx > 0.5 || hy > 0.5;
        if full {
            let p = frame.at(cx + fx * hx, cy + fy * hy);
            if i == 0 {
                line.to(p)
            } else {
                line.line(p)
            };
            continue;
        }
        let along_x = frame.at(cx + fx * (0.5 - reach), cy + fy * hy);
        let along_y = frame.at(cx + fx * hx, cy + fy * (0.5 - reach));
        // Upper left and lower right are met coming along y.
        let (first, second) = if sx * sy < 0 { (along_y, along_x) } else { (along_x, along_y) };
        if i == 0 {
            line.to(first)
        } else {
            line.line(first)
        };
        line.arc(RELIEF * frame.pitch, false, false, second);
    }
    line.close();
    line
}

/// Heavy lines wherever a cell's owner differs from its neighbour's.
pub(crate) fn borders(sheet: &mut Sheet, frame: &Frame, owner: &BTreeMap<Cell, usize>) {
    let mut line = Line::default();
    for (&cell, piece) in owner {
        for (k, near) in cell.sides().into_iter().enumerate() {
            let other = owner.get(&near);
            if other == Some(piece) || (other.is_some() && near < cell) {
                continue;
            }
            let ends = [[(1, 0), (1, 1)], [(0, 1), (1, 1)], [(0, 0), (0, 1)], [(0, 0), (1, 0)]][k];
            let [a, b] = ends.map(|(x, y)| frame.vertex(Vertex::new(cell.x + x, cell.y + y)));
            line.segment(a, b);
        }
    }
    sheet.path("border", &line, Paint::stroke(INK, BORDER * frame.pitch));
}

/// All hinges, each vertex once: `pins` with the colour of their piece; `scale`
/// makes them larger than life where blocks are small.
pub(crate) fn hinges(sheet: &mut Sheet, frame: &Frame, pins: &[(Pin, Rgb)], levels: u8, scale: f64) {
    let mut at: BTreeMap<Vertex, Vec<(Level, Rgb)>> = BTreeMap::new();
    for &(pin, colour) in pins {
        at.entry(pin.at).or_default().push((pin.level, colour));
    }
    for (vertex, mut stack) in at {
        stack.sort_unstable();
        let colour = stack[0].1;
        let ground = if stack.iter().all(|h| h.1 == colour) { colour } else { WHITE };
        let (centre, pitch) = (frame.vertex(vertex), frame.pitch * scale);
        let disc = Paint::fill(ground).outlined(INK, 0.035 * pitch);
        sheet.circle("knuckle", centre, KNUCKLE * pitch, disc);
        for (level, _) in stack {
            let class = format!("hinge level-{}", level.0);
            mark(sheet, &class, centre, pitch, level, levels, ink_on(ground));
        }
    }
}

/// The mark of a level: a dot for 0, a ring for each one above.
pub(crate) fn mark(
    sheet: &mut Sheet,
    class: &str,
    at: Point,
    pitch: f64,
    level: Level,
    levels: u8,
    ink: Rgb,
) {
    if level.0 == 0 {
        sheet.circle(class, at, 0.075 * pitch, Paint::fill(ink));
        return;
    }
    let step = if levels <= 2 { 0.058 } else { 0.085 / f64::from(levels - 1) };
    let radius = 0.075 + step * f64::from(level.0);
    let width = (0.75 * step).min(0.04);
    sheet.circle(class, at, radius * pitch, Paint::stroke(ink, width * pitch));
}

/// A small numeral on white: the place in the drop-in order.
pub(crate) fn order(sheet: &mut Sheet, class: &str, at: Point, pitch: f64, number: usize) {
    let (text, size) = (number.to_string(), 0.215 * pitch);
    let width = (lettering::width(Weight::Bold, size, &text) + 0.12 * pitch).max(0.25 * pitch);
    let height = 0.24 * pitch;
    let corner = (at.0 - width / 2.0, at.1 - height / 2.0);
    let paint = Paint::fill(WHITE).outlined(INK, 0.02 * pitch);
    sheet.rect(class, corner, (width, height), 0.1 * pitch, paint);
    let base = at.1 + lettering::capital(size) / 2.0;
    sheet.words("", (at.0, base), Words::new(Weight::Bold, size, &text).middle());
}

/// The ring round a pin that something is about to turn on.
pub(crate) fn turning(sheet: &mut Sheet, at: Point, pitch: f64) {
    sheet.circle(
        "turning",
        at,
        0.36 * pitch,
        Paint::stroke(INK, 0.07 * pitch).dashed(0.14 * pitch, 0.14 * pitch),
    );
}

/// A cell that stays empty.
pub(crate) fn spare(sheet: &mut Sheet, class: &str, corner: Point, side: f64) {
    let inset = 0.16 * side;
    let size = side - 2.0 * inset;
    let paint = Paint::stroke(SOFT_INK, 0.03 * side).dashed(0.09 * side, 0.09 * side);
    sheet.rect(class, (corner.0 + inset, corner.1 + inset), (size, size), 0.06 * side, paint);
}

/// A block of a piece as a key shows it.
pub(crate) fn swatch(sheet: &mut Sheet, corner: Point, side: f64, style: &PieceStyle) {
    let ink = ink_on(style.colour);
    let paint = Paint::fill(style.colour).outlined(INK, 0.06 * side);
    sheet.rect("swatch", corner, (side, side), 0.0, paint);
    let mut line = Line::default();
    style.pattern.hatch(&mut line, corner, side);
    sheet.path("", &line, Paint::stroke(mix(style.colour, ink, 62), style.pattern.weight() * side));
    let centre = (corner.0 + side / 2.0, corner.1 + side / 2.0);
    sheet.circle("", centre, 0.31 * side, Paint::fill(style.colour));
    let mut glyph = Line::default();
    letter(&mut glyph, centre, 0.52 * side, style.letter);
    sheet.path("letter", &glyph, Paint::fill(ink));
}

/// A firm line round every block of a piece on its own, or a broken one.
pub(crate) fn silhouette(sheet: &mut Sheet, frame: &Frame, posed: &Posed, broken: bool) {
    if posed.rigid {
        let owner = posed.cells.iter().map(|&c| (c, 0)).collect();
        borders(sheet, frame, &owner);
        return;
    }
    let mut line = Line::default();
    for &cell in &posed.cells {
        line.append(&plan(frame, posed, cell));
    }
    let firm = Paint::stroke(INK, 0.05 * frame.pitch);
    let dash = 0.13 * frame.pitch;
    sheet.path("outline", &line, if broken { firm.dashed(dash, dash) } else { firm });
}
