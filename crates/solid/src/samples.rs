//! Pieces, outlines and foldings made up for the tests, through lattice types alone.

use lattice::{Cell, Hinge, Level, Piece, Vertex};

fn piece(blocks: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = blocks.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinges = hinges
        .iter()
        .map(|&(x, y, a, b, l)| Hinge { pin: Vertex::new(x, y), joins: [a, b], level: Level(l) })
        .collect();
    Piece::hinged(blocks, hinges).expect("a sound sample")
}

/// Five pieces of four and five blocks: chains on one and two levels, a
/// branched one, one with two hinges on one vertex, and a sheet.
pub(crate) fn pieces() -> Vec<(&'static str, Piece)> {
    vec![
        (
            "chain of four",
            piece(&[(0, 0), (1, 0), (2, 0), (3, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 0), (3, 1, 2, 3, 0)]),
        ),
        (
            "chain on two levels",
            piece(&[(0, 0), (1, 0), (2, 0), (2, 1)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0)]),
        ),
        (
            "branched five",
            piece(
                &[(1, 1), (0, 1), (2, 1), (1, 0), (1, 2)],
                &[(1, 2, 0, 1, 0), (2, 1, 0, 2, 0), (1, 1, 0, 3, 1), (2, 2, 0, 4, 1)],
            ),
        ),
        (
            "two on one vertex",
            piece(
                &[(0, 0), (1, 0), (1, 1), (0, 1), (2, 0)],
                &[(1, 1, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (2, 0, 4, 1, 0)],
            ),
        ),
        (
            "corner to corner",
            piece(
                &[(0, 0), (1, 1), (2, 1), (3, 0), (3, 1)],
                &[(1, 1, 0, 1, 0), (2, 2, 1, 2, 1), (3, 1, 2, 3, 0), (4, 1, 3, 4, 1)],
            ),
        ),
    ]
}
