//! How tests of this crate write down a piece.

use lattice::{Cell, Hinge, Level, Piece, Vertex};

/// A piece by its cells and its hinges: pin, the blocks it joins, level.
pub(crate) fn piece(cells: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).unwrap()
}
