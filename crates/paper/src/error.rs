//! What can be wrong with a request for a picture.
//!
//! Also the checks shared by all drawings: after them, no index is out of
//! range and no coordinate overflows.

use lattice::{Folding, FoldingFault, Motion, Outline, Piece, Pose, Set};

use crate::style::PieceStyle;

/// Cells a picture may be wide or high.
const MAX_SIDE: i64 = 1000;
/// Coordinates further out than this are refused: sums of them stay in range.
const MAX_COORDINATE: i32 = 1_000_000;

/// Why a picture was not drawn. Pieces and placings are named by their
/// positions, from 0.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PaperError {
    /// The folding or the caller names a piece that the set does not have.
    #[error("piece {piece} was asked for, but the set has {pieces} pieces")]
    NoSuchPiece {
        /// The piece.
        piece: usize,
        /// Pieces in the set.
        pieces: usize,
    },
    /// A pose with a motion too many or too few.
    #[error("a pose of piece {piece} has {motions} motions, but the piece has {bodies} bodies")]
    PoseMismatch {
        /// The piece.
        piece: usize,
        /// Its bodies.
        bodies: usize,
        /// Motions of the pose.
        motions: usize,
    },
    /// A style for fewer pieces than the set has.
    #[error("the style names {styles} pieces, but the set has {pieces}")]
    StyleCount {
        /// Pieces in the set.
        pieces: usize,
        /// Pieces in the style.
        styles: usize,
    },
    /// A value to be drawn that is no finite number.
    #[error("a value to be drawn is not a finite number")]
    NotFinite,
    /// A letter that can't stand in one column of any terminal.
    #[error("{letter:?} can't mark a piece; use a letter or digit of plain ASCII")]
    BadLetter {
        /// The letter.
        letter: char,
    },
    /// A hinge above the set's top level.
    #[error("hinge {hinge} of piece {piece} is on level {level}, but the set has levels below {levels}")]
    LevelOutsideSet {
        /// The piece.
        piece: usize,
        /// The hinge.
        hinge: usize,
        /// Its level.
        level: u8,
        /// The set's number of levels.
        levels: u8,
    },
    /// What should be a layout breaks the rules, so that a picture would mislead.
    /// (Pieces not placed yet are no fault: that is how a hint is drawn.)
    #[error("this is no folding of the outline: {}", .faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    NotAFolding {
        /// Every fault.
        faults: Vec<FoldingFault>,
    },
    /// A pose in which a hinge is pulled apart.
    #[error("pose {pose} pulls hinge {hinge} of piece {piece} apart")]
    Torn {
        /// Position of the pose among those given.
        pose: usize,
        /// The piece.
        piece: usize,
        /// The hinge.
        hinge: usize,
    },
    /// A pose in which two blocks share a cell.
    #[error("pose {pose} puts two blocks of piece {piece} in one cell")]
    Overlap {
        /// Position of the pose among those given.
        pose: usize,
        /// The piece.
        piece: usize,
    },
    /// A swing of a hinge that the piece does not have, or that closes a loop.
    #[error("swing {swing} is of hinge {hinge}, which nothing hangs on")]
    NoSwing {
        /// Position of the swing among those given.
        swing: usize,
        /// The hinge.
        hinge: usize,
    },
    /// Nothing was given to be drawn.
    #[error("there is nothing to draw: the list is empty")]
    Nothing,
    /// A time that has no place on a scale of times.
    #[error("a time of {time} minutes can't be drawn; times are numbers above 0")]
    NoTime {
        /// The time, as a number is shown.
        time: String,
    },
    /// The cells spread too far for a picture.
    #[error("the drawing would be {width} by {height} cells; at most {MAX_SIDE} by {MAX_SIDE} are drawn")]
    TooWide {
        /// Width in cells.
        width: i64,
        /// Height in cells.
        height: i64,
    },
    /// A coordinate beyond all use.
    #[error("a coordinate of {at} is out of reach; drawings lie within ±{MAX_COORDINATE}")]
    FarAway {
        /// The coordinate.
        at: i32,
    },
    /// A picture of no width.
    #[error("the picture's width must be at least 1 pixel")]
    NoPixels,
    /// A picture too large to be held in memory.
    #[error("the picture would be {width} by {height} pixels; at most {limit} pixels are drawn")]
    TooManyPixels {
        /// Width asked for.
        width: u64,
        /// Height that follows from it.
        height: u64,
        /// The limit on their product.
        limit: u64,
    },
    /// The SVG could not be turned into pixels.
    #[error("the picture could not be turned into pixels: {reason}")]
    Raster {
        /// What the renderer said.
        reason: String,
    },
}

pub(crate) fn near(at: i32) -> Result<(), PaperError> {
    if at.abs_diff(0) <= MAX_COORDINATE as u32 { Ok(()) } else { Err(PaperError::FarAway { at }) }
}

/// The size of a drawing, refused when absurd.
pub(crate) fn spread(width: i64, height: i64) -> Result<(), PaperError> {
    let fits = width <= MAX_SIDE && height <= MAX_SIDE;
    if fits { Ok(()) } else { Err(PaperError::TooWide { width, height }) }
}

pub(crate) fn check_outline(outline: &Outline) -> Result<(), PaperError> {
    outline.cells().iter().try_for_each(|c| near(c.x).and(near(c.y)))?;
    let (_, width, height) = outline.bounds();
    spread(width.into(), height.into())
}

/// A piece of the set whose coordinates and levels are in range.
pub(crate) fn check_piece(set: &Set, piece: usize) -> Result<&Piece, PaperError> {
    let no_such = PaperError::NoSuchPiece { piece, pieces: set.pieces.len() };
    let found = set.pieces.get(piece).ok_or(no_such)?;
    found.blocks().iter().try_for_each(|c| near(c.x).and(near(c.y)))?;
    for (hinge, h) in found.hinges().iter().enumerate() {
        if h.level.0 >= set.levels {
            let (level, levels) = (h.level.0, set.levels);
            return Err(PaperError::LevelOutsideSet { piece, hinge, level, levels });
        }
    }
    Ok(found)
}

pub(crate) fn check_pose(piece: &Piece, position: usize, pose: &Pose) -> Result<(), PaperError> {
    let (bodies, motions) = (piece.bodies(), pose.motions().len());
    if bodies != motions {
        return Err(PaperError::PoseMismatch { piece: position, bodies, motions });
    }
    pose.motions().iter().try_for_each(|m: &Motion| near(m.dx).and(near(m.dy)))
}

/// Whether every hinge holds and no two blocks meet; `number` names the pose in the error.
pub(crate) fn check_held(
    piece: &Piece,
    position: usize,
    pose: &Pose,
    number: usize,
) -> Result<(), PaperError> {
    for (hinge, h) in piece.hinges().iter().enumerate() {
        let [a, b] = h.joins.map(|block| pose.motions()[piece.body_of(block)].vertex(h.pin));
        if a != b {
            return Err(PaperError::Torn { pose: number, piece: position, hinge });
        }
    }
    let mut cells = pose.cells(piece);
    cells.sort_unstable();
    let overlap = cells.windows(2).any(|w| w[0] == w[1]);
    if overlap { Err(PaperError::Overlap { pose: number, piece: position }) } else { Ok(()) }
}

pub(crate) fn check_letter(style: &PieceStyle) -> Result<(), PaperError> {
    let letter = style.letter;
    if letter.is_ascii_alphanumeric() { Ok(()) } else { Err(PaperError::BadLetter { letter }) }
}

/// Everything a layout drawing relies on.
pub(crate) fn check_layout(
    set: &Set,
    outline: &Outline,
    folding: &Folding,
    styles: &[PieceStyle],
) -> Result<(), PaperError> {
    check_outline(outline)?;
    if styles.len() < set.pieces.len() {
        return Err(PaperError::StyleCount { pieces: set.pieces.len(), styles: styles.len() });
    }
    styles.iter().try_for_each(check_letter)?;
    for placed in &folding.placed {
        check_pose(check_piece(set, placed.piece)?, placed.piece, &placed.pose)?;
    }
    let unfinished =
        |f: &FoldingFault| matches!(f, FoldingFault::Count { times: 0, .. } | FoldingFault::Empty { .. });
    let faults: Vec<_> = folding.faults(set, outline).into_iter().filter(|f| !unfinished(f)).collect();
    if faults.is_empty() { Ok(()) } else { Err(PaperError::NotAFolding { faults }) }
}
