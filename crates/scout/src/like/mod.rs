//! Outlines like a picture: its silhouette laid on the lattice, and the nearest
//! outlines that the set fills, with pockets that leave them one layout.
//!
//! The picture is tried in every position of its centre in a cell (eighths of a
//! pitch), at turns of five degrees and at scales round the one at which it
//! covers as many cells as the set fills. What is tried is ranked by
//! [likeness](Candidate::likeness), and looked at in that order until enough is
//! found. A ranking is not exhaustive beyond what it says: of one lie the best
//! cells are exact where they hang together, the others come by exchanging cells.

mod choice;
mod cover;
mod field;
mod ink;
mod library;
mod rank;
mod search;
#[cfg(test)]
mod specimen;
mod why;

use fill::Look;
use lattice::Cell;

pub use ink::{Ink, InkError, Moments};
pub use library::Library;
pub use search::{Looks, like};
pub use why::Why;

/// What is asked of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LikeAsk {
    /// Cells of the outlines; as many as the set has blocks if none are said,
    /// more if some shall stay empty.
    pub cells: Option<usize>,
    /// Leave the picture upright: no turns are tried.
    pub upright: bool,
    /// Outlines may hang together by corners alone.
    pub corners: bool,
    /// Outlines to find.
    pub finds: usize,
    /// Outlines to rank and look at, at most.
    pub most_candidates: usize,
}

impl Default for LikeAsk {
    fn default() -> Self {
        LikeAsk { cells: None, upright: false, corners: false, finds: 5, most_candidates: 400 }
    }
}

/// Why a picture is not laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LikeError {
    /// Fewer cells than blocks.
    #[error("an outline of {cells} cells is too small: the set has {blocks} blocks")]
    TooFew {
        /// Cells asked for.
        cells: usize,
        /// Blocks of the set.
        blocks: usize,
    },
    /// More cells than a picture is laid on.
    #[error(
        "an outline of {cells} cells is too large: pictures are laid on at most {} cells",
        LikeError::MOST_CELLS
    )]
    TooMany {
        /// Cells asked for.
        cells: usize,
    },
}

impl LikeError {
    /// The most cells that a picture is laid on.
    pub const MOST_CELLS: usize = 200;
}

/// Cells like a picture, and how they differ from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The cells, sorted, the lower left of their box at (0, 0).
    pub cells: Vec<Cell>,
    /// How like the picture they are, from 0 to 1: overlap, pixels in features
    /// (of ink or ground) thinner than a cell weighing up to three times as
    /// much, as if the feature were a cell wide; less up to a twentieth if the
    /// picture is its own mirror and the outline is not; less up to 3 in a
    /// hundred the more it is turned.
    pub likeness: f64,
    /// Plain overlap: the area that ink and cells share over the area of both.
    pub overlap: f64,
    /// The share of the ink that lies within the cells.
    pub share: f64,
    /// The picture is turned by so many degrees anticlockwise.
    pub degrees: i32,
    /// The side of a cell in pixels of the ink.
    pub pitch: f64,
    /// Where the vertex (0, 0) lies on the ink, in its pixels: x right and y down
    /// from the upper left corner. Turned clockwise by `degrees`, the lattice
    /// then lies on the ink.
    pub origin: [f64; 2],
    /// Cells of the outline that the picture has less than half of, counted as in `likeness`.
    pub added: Vec<Cell>,
    /// Cells that it has at least half of and the outline has not.
    pub missed: Vec<Cell>,
}

/// An outline like a picture that can be left one layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// The outline.
    pub candidate: Candidate,
    /// Its layouts and pockets.
    pub look: Look,
}

/// What becomes of the wish: the outline most like the picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It is the first find.
    Found,
    /// It does not hang together.
    Apart {
        /// A part that no pieces fill, if that can be said.
        why: Option<Why>,
    },
    /// No filling, with a pocket everywhere.
    Unfillable {
        /// Why, as far as can be said.
        why: Why,
    },
    /// It can be filled, but no pockets leave one layout (that drops in, if it must).
    NeverAlone {
        /// Layouts with a pocket everywhere.
        layouts: u64,
    },
    /// More layouts than were listed, so that pockets were not looked for.
    TooMany {
        /// Layouts listed.
        layouts: u64,
    },
    /// It was not looked at: the work was stopped before.
    Unknown,
}

/// Outlines like a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Liked {
    /// The cells of greatest cover where the picture lies best, whether or not they can be filled.
    pub wish: Candidate,
    /// Parts of the wish that do not hang together; 1 if it does.
    pub parts: usize,
    /// What becomes of it.
    pub fate: Fate,
    /// Outlines found, the most alike first.
    pub finds: Vec<Nearest>,
    /// Those looked at that can be filled at all.
    pub fillable: usize,
    /// Outlines looked at, in the order of likeness.
    pub looked: usize,
    /// Outlines ranked.
    pub candidates: usize,
    /// Cells that stay empty.
    pub spare: usize,
}
