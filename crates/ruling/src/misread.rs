//! Mistakes of the hand in a written layout.

use crate::symbols::Miscopied;

fn rows(found: usize) -> String {
    if found == 1 {
        "there is 1 row of letters".to_owned()
    } else {
        format!("there are {found} rows of letters")
    }
}

/// Why a text is no layout. Rows count from 1 at the top.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Misread {
    /// Nothing is written.
    #[error("nothing is written: give the letters of the pieces row by row, or the short code")]
    Nothing,
    /// Longer than any layout.
    #[error("the text has {found} bytes; no layout of this outline needs more than {most}")]
    TooLong {
        /// Its bytes.
        found: usize,
        /// What is looked at.
        most: usize,
    },
    /// Too many rows or too few.
    #[error("{} instead of {expected}; a / stands between two rows", rows(*.found))]
    Rows {
        /// How many are written.
        found: usize,
        /// How many the outline has.
        expected: usize,
    },
    /// A row with too many marks or too few.
    #[error("row {row} from the top has {found} marks instead of {expected}, one for each of its cells")]
    RowLength {
        /// The row.
        row: usize,
        /// Marks in it.
        found: usize,
        /// Cells in it.
        expected: usize,
    },
    /// A letter that no piece has.
    #[error("row {row} from the top, mark {mark}: no piece has the letter '{}'; the letters are {letters}", .found.escape_debug())]
    Letter {
        /// The row.
        row: usize,
        /// Which of its marks, from 1, dots and spaces not counted.
        mark: usize,
        /// What stands there.
        found: char,
        /// What may stand there.
        letters: String,
    },
    /// Dots that do not stand where the outline has no cell.
    #[error(
        "row {row} from the top: its dots do not stand where the outline has no cell; dots can be left out"
    )]
    Dots {
        /// The row.
        row: usize,
    },
    /// A mistake in the short code.
    #[error("as a short code: {0}")]
    Code(#[from] Miscopied),
    /// A short code of the right form that was never given out.
    #[error("this short code stands for no layout of this outline's pieces")]
    NoSuchCode,
    /// Blocks and spare cells are not as many as the cells, or there are too many cells.
    #[error("this outline has no short codes: give the letters of the pieces row by row")]
    NoCodes,
}
