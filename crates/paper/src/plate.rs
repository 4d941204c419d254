//! An outline as its plate: the wall round the opening, the lattice in it, and
//! the pockets as round cut-backs with a centre mark.

use lattice::{Outline, Vertex};

use crate::colour::{FAINT, INK, SOFT_INK, WALL, WHITE};
use crate::contour::contour;
use crate::error::{PaperError, check_outline};
use crate::legend::{Entry, Legend, Symbol};
use crate::lettering::Weight;
use crate::line::{Frame, Line};
use crate::sheet::{Paint, Picture, Sheet, Words};

/// Millimetres a block side in single pictures.
pub(crate) const PITCH: f64 = 10.0;
/// White rim of a picture, in millimetres.
pub(crate) const MARGIN: f64 = 4.0;
/// Width of the wall in pitches: a hole or notch of one cell is all wall.
pub(crate) const WALL_WIDTH: f64 = 0.52;
/// Radius of a pocket in pitches: knuckle and clearance at the default sizes.
pub(crate) const POCKET: f64 = 0.22;
/// Size of a title and the room it takes.
pub(crate) const TITLE: f64 = 5.0;
pub(crate) const TITLE_ROOM: f64 = 8.0;
/// The least width of a single picture, so that its key can be read.
pub(crate) const LEAST_WIDTH: f64 = 56.0;

/// What a picture of an outline shows beside the plate.
#[derive(Clone, Copy, Debug, Default)]
pub struct OutlineOptions<'a> {
    /// Set above the plate if not empty.
    pub title: &'a str,
    /// Pockets to be marked as blind. Leave it empty on what solvers see.
    pub blind: &'a [Vertex],
}

/// The picture of an outline: its plate seen from above.
///
/// # Errors
/// Cells that spread too far.
pub fn outline(outline: &Outline, options: &OutlineOptions<'_>) -> Result<Picture, PaperError> {
    check_outline(outline)?;
    let (cells, all) = (outline.cells().len(), outline.pockets().len());
    let blind: Vec<Vertex> =
        outline.pockets().iter().copied().filter(|v| options.blind.contains(v)).collect();
    let mut entries = Vec::new();
    if all > blind.len() {
        entries.push(Entry::new(Symbol::Pocket, "pocket"));
    }
    if !blind.is_empty() {
        entries.push(Entry::new(Symbol::EmptyPocket, "blind pocket"));
    }
    let spare = outline.spare();
    let facts = [
        counted(cells, "cell"),
        counted(all, "pocket"),
        if spare > 0 { format!("{spare} to stay empty") } else { String::new() },
    ];
    let facts = facts.iter().filter(|f| !f.is_empty()).cloned().collect::<Vec<_>>().join(", ");
    let title = if options.title.is_empty() { "Outline" } else { options.title };
    let page = Page::new(outline, options.title, entries, std::slice::from_ref(&facts));
    let mut sheet = page.sheet(title, &format!("Plate of an outline with {facts}."));
    let used = |v: Vertex| if blind.contains(&v) { Use::Empty } else { Use::Open };
    draw(&mut sheet, &page.frame, outline, used);
    pockets(&mut sheet, &page.frame, outline, used);
    page.finish(&mut sheet);
    Ok(sheet.finish())
}

/// "1 cell", "2 cells".
pub(crate) fn counted(n: usize, word: &str) -> String {
    format!("{n} {word}{}", if n == 1 { "" } else { "s" })
}

/// How a pocket is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Use {
    /// Its centre only.
    Open,
    /// A hinge will be drawn in it.
    Used,
    /// Crossed out.
    Empty,
}

/// The page of a single plate: title, plate, key, notes.
pub(crate) struct Page {
    pub frame: Frame,
    width: f64,
    height: f64,
    title: String,
    legend: Legend,
    legend_top: f64,
}

impl Page {
    pub fn new(outline: &Outline, title: &str, entries: Vec<Entry>, notes: &[String]) -> Self {
        let (low, columns, rows) = outline.bounds();
        let plate = |cells: i32| (f64::from(cells) + 2.0 * WALL_WIDTH) * PITCH;
        let width = (plate(columns) + 2.0 * MARGIN).max(LEAST_WIDTH);
        let top = MARGIN + if title.is_empty() { 0.0 } else { TITLE_ROOM };
        let frame = Frame {
            left: (width - f64::from(columns) * PITCH) / 2.0,
            top: top + WALL_WIDTH * PITCH,
            pitch: PITCH,
            x0: low.x,
            y1: low.y + rows,
        };
        let legend = Legend::new(entries, notes, width - 2.0 * MARGIN);
        let legend_top = top + plate(rows) + 3.0;
        Page {
            frame,
            width,
            height: legend_top + legend.height() + MARGIN,
            title: title.into(),
            legend,
            legend_top,
        }
    }

    pub fn sheet(&self, title: &str, description: &str) -> Sheet {
        let mut sheet = Sheet::new(self.width, self.height, title, description);
        let room = self.width - 2.0 * MARGIN;
        let shown = crate::lettering::fit(Weight::Bold, TITLE, &self.title, room);
        sheet.words(
            "title",
            (self.width / 2.0, MARGIN + 4.2),
            Words::new(Weight::Bold, TITLE, &shown).middle(),
        );
        sheet
    }

    pub fn finish(&self, sheet: &mut Sheet) {
        self.legend.draw(sheet, (MARGIN, self.legend_top));
    }
}

/// Draws the plate; `used` says how each pocket is marked.
pub(crate) fn draw(sheet: &mut Sheet, frame: &Frame, outline: &Outline, used: impl Fn(Vertex) -> Use) {
    let pitch = frame.pitch;
    sheet.open("plate");
    let edge = contour(frame, outline.cells(), &[], 0.0);
    // The wall is the edge, drawn broad: parts that meet become one.
    sheet.path("", &edge, Paint::stroke(INK, (2.0 * WALL_WIDTH + 0.06) * pitch));
    sheet.path("wall", &edge, Paint::stroke(WALL, 2.0 * WALL_WIDTH * pitch));
    let opening = contour(frame, outline.cells(), outline.pockets(), POCKET);
    sheet.path("opening", &opening, Paint::fill(WHITE).outlined(INK, 0.05 * pitch));
    let mut lattice = Line::default();
    for &c in outline.cells() {
        if outline.has(c.shifted(1, 0)) {
            lattice.segment(
                frame.vertex(Vertex::new(c.x + 1, c.y)),
                frame.vertex(Vertex::new(c.x + 1, c.y + 1)),
            );
        }
        if outline.has(c.shifted(0, 1)) {
            lattice.segment(
                frame.vertex(Vertex::new(c.x, c.y + 1)),
                frame.vertex(Vertex::new(c.x + 1, c.y + 1)),
            );
        }
    }
    sheet.path("lattice", &lattice, Paint::stroke(FAINT, 0.02 * pitch));
    for &v in outline.pockets() {
        if used(v) == Use::Used {
            sheet.circle("pocket used", frame.vertex(v), POCKET * pitch, Paint::fill(WHITE));
        }
    }
    sheet.close();
}

/// Marks the pockets that no hinge stands in: over the pieces, whose blocks
/// reach into the corners.
pub(crate) fn pockets(sheet: &mut Sheet, frame: &Frame, outline: &Outline, used: impl Fn(Vertex) -> Use) {
    for &v in outline.pockets() {
        match used(v) {
            Use::Open => pocket(sheet, "pocket", frame.vertex(v), frame.pitch, Use::Open),
            Use::Empty => {
                let disc = Paint::fill(WHITE).outlined(INK, 0.035 * frame.pitch);
                sheet.circle("", frame.vertex(v), 0.85 * POCKET * frame.pitch, disc);
                pocket(sheet, "pocket empty", frame.vertex(v), frame.pitch, Use::Empty);
            }
            Use::Used => {}
        }
    }
}

/// The mark in an empty pocket's middle: upright cross or crossed out.
pub(crate) fn pocket(sheet: &mut Sheet, class: &str, (x, y): (f64, f64), pitch: f64, used: Use) {
    let mut line = Line::default();
    if used == Use::Empty {
        let r = 0.085 * pitch;
        line.segment((x - r, y - r), (x + r, y + r)).segment((x - r, y + r), (x + r, y - r));
        sheet.path(class, &line, Paint::stroke(INK, 0.045 * pitch));
    } else {
        let r = 0.09 * pitch;
        line.segment((x - r, y), (x + r, y)).segment((x, y - r), (x, y + r));
        sheet.path(class, &line, Paint::stroke(SOFT_INK, 0.025 * pitch));
    }
}
