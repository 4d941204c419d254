//! `[board]`: the base that plates stand on, and the colours of what is no piece.

use crate::colour::Colour;
use crate::fault::Fault;
use crate::reader::{Page, Table};

/// The board, and the colours of board and plates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// Columns and rows; `None`: as the outlines want it.
    pub size: Option<[i32; 2]>,
    /// The colour of its base, which shows as the lattice's lines.
    pub base: Colour,
    /// The colour of its tiles, the cells.
    pub tiles: Colour,
    /// The colour of the plates.
    pub plates: Colour,
}

impl Default for Board {
    fn default() -> Self {
        Board {
            size: None,
            base: Colour(0x33, 0x33, 0x33),
            tiles: Colour(0xDD, 0xDD, 0xDD),
            plates: Colour(0x44, 0x77, 0xAA),
        }
    }
}

impl Board {
    pub(crate) fn read(mut table: Table, page: &mut Page) -> Self {
        let mut board = Board::default();
        if let Some(item) = table.optional("size")
            && let Some([width, height]) = item.tuple(page, "size = [12, 10]")
            && let (Some(width), Some(height)) =
                (width.integer(page, 1..=1_000), height.integer(page, 1..=1_000))
        {
            board.size = Some([width as i32, height as i32]);
        }
        for (key, into) in
            [("base", &mut board.base), ("tiles", &mut board.tiles), ("plates", &mut board.plates)]
        {
            let example = format!("{key} = \"#333333\"");
            let Some(item) = table.optional(key) else { continue };
            let Some(text) = item.text(page, &example) else { continue };
            match Colour::parse(text) {
                Some(colour) => *into = colour,
                None => page.fault(item.span(), Fault::Colour { found: text.chars().take(60).collect() }),
            }
        }
        table.close(page);
        board
    }
}
