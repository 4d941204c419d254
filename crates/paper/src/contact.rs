//! A contact sheet: many outlines or layouts in a grid, all at one scale.

use lattice::{Folding, Outline, Set};

use crate::colour::SOFT_INK;
use crate::error::{PaperError, check_layout, check_outline};
use crate::fold_sheet::SHEET;
use crate::layout::Scene;
use crate::lettering::{self, Weight};
use crate::line::Frame;
use crate::plate::{self, MARGIN, PITCH, TITLE, TITLE_ROOM, Use, WALL_WIDTH, counted};
use crate::sheet::{Picture, Sheet, Words};
use crate::style::Style;

/// What stands in a tile.
#[derive(Clone, Copy, Debug)]
pub enum TileContent<'a> {
    /// The plate alone.
    Outline(&'a Outline),
    /// A folding on its outline.
    Layout {
        /// The set.
        set: &'a Set,
        /// The outline.
        outline: &'a Outline,
        /// The folding.
        folding: &'a Folding,
        /// How its pieces are drawn.
        style: &'a Style,
    },
}

impl<'a> TileContent<'a> {
    fn outline(&self) -> &'a Outline {
        match self {
            TileContent::Outline(outline) | TileContent::Layout { outline, .. } => outline,
        }
    }
}

/// One tile of a contact sheet.
#[derive(Clone, Copy, Debug)]
pub struct Tile<'a> {
    /// Its name, set below it.
    pub title: &'a str,
    /// A few more words below that, or nothing.
    pub note: &'a str,
    /// The drawing.
    pub content: TileContent<'a>,
}

const GAP: f64 = 6.0;
const WORDS: f64 = 3.2;
const NOTE: f64 = 2.7;

/// Many outlines or layouts on one sheet, `columns` side by side (at least 1
/// is taken), all at one scale.
///
/// # Errors
/// No tiles, outlines too large, anything wrong with a layout.
pub fn contact_sheet(title: &str, tiles: &[Tile<'_>], columns: usize) -> Result<Picture, PaperError> {
    if tiles.is_empty() {
        return Err(PaperError::Nothing);
    }
    for tile in tiles {
        match tile.content {
            TileContent::Outline(outline) => check_outline(outline)?,
            TileContent::Layout { set, outline, folding, style } => {
                check_layout(set, outline, folding, &style.pieces)?;
            }
        }
    }
    let columns = columns.clamp(1, tiles.len());
    let size = |t: &Tile<'_>| {
        let (_, w, h) = t.content.outline().bounds();
        (f64::from(w) + 2.0 * WALL_WIDTH + 0.1, f64::from(h) + 2.0 * WALL_WIDTH + 0.1)
    };
    let widest = tiles.iter().map(|t| size(t).0).fold(1.0, f64::max);
    let room = (SHEET - 2.0 * MARGIN - GAP * (columns - 1) as f64) / columns as f64;
    let pitch = (room / widest).clamp(0.5, PITCH);
    // Room for titles, but no more than for a long one.
    let title_width = |t: &Tile<'_>| lettering::width(Weight::Bold, WORDS, t.title) + 0.5;
    let longest = tiles.iter().map(title_width).fold(24.0, f64::max).min(36.0);
    let tile_width = (widest * pitch).max(longest);
    let noted = tiles.iter().any(|t| !t.note.is_empty());
    let words = 5.2 + if noted { 4.2 } else { 0.0 };
    // Each row is as high as its highest plate.
    let heights: Vec<f64> = tiles
        .chunks(columns)
        .map(|row| row.iter().map(|t| size(t).1).fold(0.0, f64::max) * pitch + words + GAP)
        .collect();
    let width = (tile_width + GAP) * columns as f64 - GAP + 2.0 * MARGIN;
    let top = MARGIN + if title.is_empty() { 0.0 } else { TITLE_ROOM + 1.0 };
    let height = top + heights.iter().sum::<f64>() - GAP + MARGIN;
    let names: Vec<&str> = tiles.iter().map(|t| t.title).collect();
    let heading = if title.is_empty() { "Contact sheet" } else { title };
    let description = format!("{}: {}.", counted(tiles.len(), "picture"), names.join(", "));
    let mut sheet = Sheet::new(width, height, heading, &description);
    let shown = lettering::fit(Weight::Bold, TITLE, title, width - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
    let mut y = top;
    for (row, height) in tiles.chunks(columns).zip(&heights) {
        for (k, tile) in row.iter().enumerate() {
            let x = MARGIN + k as f64 * (tile_width + GAP);
            sheet.open("tile");
            one(&mut sheet, tile, (x, y), (tile_width, height - words - GAP), pitch);
            sheet.close();
        }
        y += height;
    }
    Ok(sheet.finish())
}

fn one(sheet: &mut Sheet, tile: &Tile<'_>, (x, y): (f64, f64), (width, height): (f64, f64), pitch: f64) {
    let (low, columns, rows) = tile.content.outline().bounds();
    let frame = Frame {
        left: x + (width - f64::from(columns) * pitch) / 2.0,
        top: y + height - (f64::from(rows) + WALL_WIDTH + 0.05) * pitch,
        pitch,
        x0: low.x,
        y1: low.y + rows,
    };
    match tile.content {
        TileContent::Outline(outline) => {
            plate::draw(sheet, &frame, outline, |_| Use::Open);
            plate::pockets(sheet, &frame, outline, |_| Use::Open);
        }
        TileContent::Layout { set, outline, folding, style } => {
            Scene::new(set, outline, folding).draw(sheet, &frame, style, false);
        }
    }
    let middle = x + width / 2.0;
    let title = lettering::fit(Weight::Bold, WORDS, tile.title, width);
    sheet.words("", (middle, y + height + 4.0), Words::new(Weight::Bold, WORDS, &title).middle());
    let note = lettering::fit(Weight::Regular, NOTE, tile.note, width);
    let words = Words::new(Weight::Regular, NOTE, &note).middle().in_colour(SOFT_INK);
    sheet.words("note", (middle, y + height + 8.0), words);
}
