//! A sheet of pieces in their home poses, all at one scale: what a catalogue
//! or a proposed set looks like.

use lattice::{Piece, Pose, Set};

use crate::block::{Marks, Posed};
use crate::colour::SOFT_INK;
use crate::error::PaperError;
use crate::fold_sheet::{SHEET, checked, draw};
use crate::legend::{self, Entry, Legend};
use crate::lettering::{self, Weight};
use crate::line::{Frame, bounds};
use crate::plate::{MARGIN, PITCH, TITLE, TITLE_ROOM, counted};
use crate::sheet::{Picture, Sheet, Words};
use crate::style::PieceStyle;

/// One piece on a sheet.
#[derive(Clone, Copy, Debug)]
pub struct PieceTile<'a> {
    /// The piece, drawn in its home pose.
    pub piece: &'a Piece,
    /// How it is drawn.
    pub style: &'a PieceStyle,
    /// Its name, set below it.
    pub title: &'a str,
    /// A few more words below that, or nothing.
    pub note: &'a str,
}

const AIR: f64 = 3.0;
const WORDS: f64 = 2.8;
const NOTE: f64 = 2.2;

/// Pieces of a set of `levels` levels, `columns` side by side (at least 1 is taken).
///
/// # Errors
/// No pieces, pieces too large, a letter that can't be drawn.
pub fn pieces(
    title: &str,
    tiles: &[PieceTile<'_>],
    levels: u8,
    columns: usize,
) -> Result<Picture, PaperError> {
    if tiles.is_empty() {
        return Err(PaperError::Nothing);
    }
    let columns = columns.clamp(1, tiles.len());
    let posed: Vec<Posed> = tiles
        .iter()
        .enumerate()
        .map(|(i, t)| {
            let set = Set { pieces: vec![t.piece.clone()], levels, turn_over: false };
            checked(&set, 0, &Pose::home(t.piece), i, t.style)
        })
        .collect::<Result<_, _>>()?;
    let extent = |p: &Posed| {
        let (x0, y0, x1, y1) = bounds(&p.cells);
        (f64::from(x1 - x0), f64::from(y1 - y0))
    };
    let room = (SHEET - 2.0 * MARGIN) / columns as f64;
    // Knuckles reach a little beyond the cells.
    let widest = posed.iter().map(|p| extent(p).0 + 0.5).fold(1.0, f64::max);
    let pitch = ((room - 2.0 * AIR) / widest).clamp(0.5, PITCH);
    let tile_width = (widest * pitch + 2.0 * AIR).max(22.0);
    let noted = tiles.iter().any(|t| !t.note.is_empty());
    let words = 4.4 + if noted { 3.6 } else { 0.0 };
    let heights: Vec<f64> = posed
        .chunks(columns)
        .map(|row| row.iter().map(|p| extent(p).1 + 0.5).fold(0.0, f64::max) * pitch + words + 2.0 * AIR)
        .collect();
    let width = tile_width * columns as f64 + 2.0 * MARGIN;
    let entries: Vec<Entry> = legend::levels(posed.iter().flat_map(|p| &p.pins), levels).collect();
    let legend = Legend::new(entries, &[], width - 2.0 * MARGIN);
    let top = MARGIN + TITLE_ROOM + legend.height() + 2.0;
    let names: Vec<&str> = tiles.iter().map(|t| t.title).collect();
    let words_told = format!("{}: {}.", counted(tiles.len(), "piece"), names.join(", "));
    let mut sheet = Sheet::new(width, top + heights.iter().sum::<f64>() + MARGIN, title, &words_told);
    let shown = lettering::fit(Weight::Bold, TITLE, title, width - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
    legend.draw(&mut sheet, (MARGIN, MARGIN + TITLE_ROOM));
    let mut y = top;
    for ((row, drawn), height) in tiles.chunks(columns).zip(posed.chunks(columns)).zip(&heights) {
        for (k, (tile, posed)) in row.iter().zip(drawn).enumerate() {
            let x = MARGIN + k as f64 * tile_width;
            let (w, h) = extent(posed);
            let (x0, _, _, y1) = bounds(&posed.cells);
            let foot = y + height - words - AIR;
            let left = x + (tile_width - w * pitch) / 2.0;
            let frame = Frame { left, top: foot - (h + 0.25) * pitch, pitch, x0, y1 };
            sheet.open("piece");
            draw(&mut sheet, &frame, posed, tile.style, levels, Marks::default(), (1.0, false));
            let middle = x + tile_width / 2.0;
            let name = lettering::fit(Weight::Bold, WORDS, tile.title, tile_width - 1.0);
            sheet.words("", (middle, foot + 3.6), Words::new(Weight::Bold, WORDS, &name).middle());
            let note = lettering::fit(Weight::Regular, NOTE, tile.note, tile_width - 1.0);
            let note = Words::new(Weight::Regular, NOTE, &note).middle().in_colour(SOFT_INK);
            sheet.words("note", (middle, foot + 7.0), note);
            sheet.close();
        }
        y += height;
    }
    Ok(sheet.finish())
}
