//! Pieces that tests of this crate share.

use lattice::{Cell, Hinge, Level, Piece, Vertex};

pub(crate) type Cells = &'static [(i32, i32)];
pub(crate) type Hinges = &'static [(i32, i32, usize, usize, u8)];

pub(crate) fn piece(cells: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).expect("a sound piece")
}

/// A straight chain with its pins up and down in turn, on both levels.
pub(crate) fn gangway(blocks: i32) -> Piece {
    let cells: Vec<_> = (0..blocks).map(|x| (x, 0)).collect();
    let hinges: Vec<_> = (1..blocks).map(|i| (i, i % 2, i as usize - 1, i as usize, (i % 2) as u8)).collect();
    piece(&cells, &hinges)
}

/// A ring of four that opens as rotating squares do, closed to a square.
pub(crate) const ROTATING_SQUARES: (Cells, Hinges) = (
    &[(0, 0), (1, 0), (1, 1), (0, 1)],
    &[(1, 0, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (1, 1, 3, 0, 0)],
);

/// A square of two diagonals, one on each level, crossing at its middle.
pub(crate) const LOCK: (Cells, Hinges) =
    (&[(0, 0), (-1, -1), (0, -1), (-1, 0)], &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)]);

/// Three blocks round one pin, two of them marked by blocks of their own.
pub(crate) const FAN: (Cells, Hinges) = (
    &[(0, 0), (0, 1), (1, 0), (-1, -1), (-1, 2)],
    &[(1, 1, 0, 1, 1), (1, 1, 1, 2, 0), (0, 0, 0, 3, 0), (0, 2, 1, 4, 1)],
);
