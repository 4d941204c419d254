//! An outline made ready for written layouts.

use lattice::{Cell, Folding, Outline, Vertex};

use crate::layout::Layout;
use crate::misread::Misread;
use crate::rules::Rules;
use crate::short::Short;
use crate::{rows, short};

/// A row of cells: where it lies and which part of the reading order it is.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub y: i32,
    pub cells: std::ops::Range<usize>,
}

/// Reads, writes and judges layouts of one outline. Cheap to make.
#[derive(Debug)]
pub struct Sheet<'a> {
    pub(crate) rules: &'a Rules,
    pub(crate) outline: &'a Outline,
    /// The cells in the order of reading: the top row first, left to right.
    pub(crate) reading: Vec<Cell>,
    pub(crate) rows: Vec<Row>,
    pub(crate) low: Vertex,
    /// Where each of the outline's cells, in its own order, stands in the reading.
    numbers: Vec<usize>,
    pub(crate) short: Option<Short>,
}

impl<'a> Sheet<'a> {
    /// The sheet of an outline.
    pub fn new(rules: &'a Rules, outline: &'a Outline) -> Self {
        // Turned so that the lattice's own order is that of reading: pages need no other sort.
        let mut turned: Vec<Cell> = outline.cells().iter().map(|c| Cell::new(-c.y, c.x)).collect();
        turned.sort_unstable();
        let reading: Vec<Cell> = turned.into_iter().map(|c| Cell::new(c.y, -c.x)).collect();
        let mut rows: Vec<Row> = Vec::new();
        for (i, cell) in reading.iter().enumerate() {
            match rows.last_mut() {
                Some(row) if row.y == cell.y => row.cells.end = i + 1,
                _ => rows.push(Row { y: cell.y, cells: i..i + 1 }),
            }
        }
        let mut numbers = vec![0; reading.len()];
        for (number, cell) in reading.iter().enumerate() {
            if let Ok(at) = outline.cells().binary_search(cell) {
                numbers[at] = number;
            }
        }
        let (low, ..) = outline.bounds();
        let short = Short::new(rules, outline, rows.len());
        Sheet { rules, outline, reading, rows, low, numbers, short }
    }

    /// The rules it judges by.
    pub fn rules(&self) -> &'a Rules {
        self.rules
    }

    /// The outline.
    pub fn outline(&self) -> &'a Outline {
        self.outline
    }

    /// The cells of the outline in the order of reading: the top row first and
    /// from left to right.
    pub fn reading(&self) -> &[Cell] {
        &self.reading
    }

    /// Where a cell stands in the order of reading, if it is one of the outline.
    pub fn number(&self, cell: Cell) -> Option<usize> {
        self.outline.cells().binary_search(&cell).ok().map(|at| self.numbers[at])
    }

    /// A layout from the piece of each cell, by position in the set and in the order
    /// of reading; none if there is not one entry a cell, or a piece that is not there.
    pub fn layout(&self, owners: Vec<Option<usize>>) -> Option<Layout> {
        let pieces = self.rules.set.pieces.len();
        let sound = owners.len() == self.reading.len() && owners.iter().flatten().all(|&p| p < pieces);
        sound.then_some(Layout { owners })
    }

    /// The layout of a folding; none if it has a block outside the outline or
    /// two in one cell.
    pub fn layout_of(&self, folding: &Folding) -> Option<Layout> {
        let mut owners = vec![None; self.reading.len()];
        for placed in &folding.placed {
            for cell in placed.pose.cells(self.rules.set.pieces.get(placed.piece)?) {
                if owners[self.number(cell)?].replace(placed.piece).is_some() {
                    return None;
                }
            }
        }
        Some(Layout { owners })
    }

    /// A layout written either way: rows of letters, or the short code.
    ///
    /// Rows go from the top, parted by `/` or, where there is none, by line
    /// breaks; a letter for each cell in any case, `-` for a cell that stays
    /// empty. Dots may stand where the outline has no cell.
    ///
    /// # Errors
    /// Every mistake of the hand.
    pub fn read(&self, text: &str) -> Result<Layout, Vec<Misread>> {
        let text = text.trim();
        if text.is_empty() {
            return Err(vec![Misread::Nothing]);
        }
        let most = 1024 + 32 * self.reading.len();
        if text.len() > most {
            return Err(vec![Misread::TooLong { found: text.len(), most }]);
        }
        if rows::is_rows(self, text) { rows::read(self, text) } else { short::read(self, text) }
    }

    /// A layout as rows of letters parted by `/`, without dots.
    pub fn rows(&self, layout: &Layout) -> String {
        rows::write(self, layout)
    }

    /// A layout as its short code. Interchangeable pieces are taken in the order in
    /// which they are met. None for what is no layout (a piece with too few or too
    /// many cells) and for outlines that have no codes.
    pub fn short(&self, layout: &Layout) -> Option<String> {
        short::write(self, layout)
    }

    /// A cell in words: columns and rows count from 1 at the lower left, as on
    /// the plates' drawings.
    pub fn cell_words(&self, cell: Cell) -> String {
        format!("column {}, row {}", cell.x - self.low.x + 1, cell.y - self.low.y + 1)
    }

    /// A vertex in words: how many lines from the left and from below it lies.
    pub fn corner_words(&self, at: Vertex) -> String {
        format!("corner ({}, {})", at.x - self.low.x, at.y - self.low.y)
    }
}
